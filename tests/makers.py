"""Records, benches, findings and pages for every test: one way to make each, the way the build makes them."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any

from benchleaf.archive import wanted_parts
from benchleaf.chapters.bench import Bench
from benchleaf.chapters.examine import Examined, draw, examine
from benchleaf.chapters.examine import digest as chapter_digest
from benchleaf.chapters.examine import said as chapter_said
from benchleaf.chapters.order import CHAPTERS, Chapter
from benchleaf.circuit.circuit import Circuit
from benchleaf.circuit.place import place
from benchleaf.pages.compose import composed
from benchleaf.pages.leaves import Leaf, Leaves
from benchleaf.pages.rendering import render_chapter
from benchleaf.pages.set_page import Choices, SetPage
from benchleaf.pages.site_files import STYLE, asset_files
from benchleaf.record import read_record
from benchleaf.record.inputs import Inputs
from benchleaf.record.model import Record
from benchleaf.record.problems import Problem
from benchleaf.record.slips import Slips
from benchleaf.tubes import Tube, find
from benchleaf.words import DIALECTS

if TYPE_CHECKING:
    from benchleaf.drawing import Figure
    from benchleaf.report.digest import Digest
    from benchleaf.report.picture import Picture
    from benchleaf.report.sentence import Sentence

FILE = "record.yml"
SET = "maker: Larkfield\nmodel: Minuet 5\n"
"""What every record must have."""


def record(text: str | bytes = "") -> Record:
    """The record of ``text``, which may leave out maker and model. Fails where it cannot be read."""
    made, problems = read_record(_whole(text), FILE)
    assert made is not None, [str(problem) for problem in problems]
    assert problems == []
    return made


def readable(text: str | bytes) -> Record | None:
    """The record of a text made by chance; None where it cannot be read."""
    made, problems = read_record(_whole(text), FILE)
    return None if problems else made


def refused(text: str | bytes) -> list[Problem]:
    """What is told of a record that cannot be read."""
    _, problems = read_record(_whole(text), FILE)
    assert problems
    return problems


def _whole(text: str | bytes) -> bytes:
    data = text.encode() if isinstance(text, str) else text
    return data if re.search(rb"(?m)^maker:", data) else SET.encode() + data


def rows(lines: str, indent: int = 2) -> str:
    """Lines of a section, one below the other; empty where there are none."""
    return "".join(f"{' ' * indent}{line}\n" for line in lines.splitlines())


def bench(of: Record | str = "", *, tubes: Mapping[str, str] | None = None, **more: Any) -> Bench:
    """A set on the bench, with its tubes from the table; ``tubes`` puts types in positions the record leaves out."""
    made = record(of) if isinstance(of, str) else of
    circuit = place(made, Slips(FILE))
    if tubes is not None:
        circuit = replace(circuit, tubes={p: known(type_) for p, type_ in tubes.items()})
    return Bench(circuit, **more)


def circuit(of: Record | str = "") -> Circuit:
    """The circuit of a record."""
    return bench(of).circuit


def told(look_over: Callable[[Record, Slips], None], of: Record) -> list[str]:
    """What one rule tells of a record."""
    slips = Slips(FILE)
    look_over(of, slips)
    return [str(problem) for problem in slips.problems()]


def known(type_: str) -> Tube:
    """A type of the tube table."""
    tube = find(type_)
    assert tube is not None, type_
    return tube


def examined(of: Record | str = "", **more: Any) -> Examined:
    """A record with the findings of all chapters."""
    return examine(bench(of, **more))


def chapter(folder: str) -> Chapter:
    """The chapter of a folder."""
    return next(c for c in CHAPTERS if c.folder == folder)


def findings(folder: str, of: Bench | Record | str, known: dict[str, Any] | None = None) -> Any:
    """A chapter's findings, given those it needs; None where the record says nothing on the subject.

    ``known`` are findings of other chapters of the same set, which are added to.
    """
    on, known = _on_bench(of), {} if known is None else known
    for need in chapter(folder).needs:
        if need not in known:
            known[need] = findings(need, on, known)
    needed = {need: known[need] for need in chapter(folder).needs}
    return import_module(f"benchleaf.chapters.{folder}.examine").examine(on, **needed)


def found(folder: str, of: Bench | Record | str) -> Any:
    """A chapter's findings on a record that says something on the subject."""
    result = findings(folder, of)
    assert result is not None, f"nothing on {folder}"
    return result


def standouts(folder: str, of: Bench | Record | str, result: Any = None) -> list[Sentence]:
    """What a chapter puts at the top of the page."""
    on = _on_bench(of)
    result = found(folder, on) if result is None else result
    told: list[Sentence] = import_module(f"benchleaf.chapters.{folder}.say").standouts(result, on)
    return told


def said(folder: str, of: Bench | Record | str, result: Any = None) -> list[str]:
    """The sentences of what stands out, with plain spaces."""
    return [plain(s.text) for s in standouts(folder, of, result)]


def meant(value: float, digits: int = 3) -> float:
    """A number with the figures that a page says."""
    return float(f"{value:.{digits}g}")


def plain(text: str) -> str:
    """Text with plain spaces for the narrow ones between a number and its unit."""
    return text.replace("\u202f", " ")


def figures(folder: str, of: Bench | Record | str, result: Any = None) -> dict[str, Figure]:
    """A chapter's figures by name; none where it draws nothing."""
    on = _on_bench(of)
    examined = Examined(on, {folder: found(folder, on) if result is None else result})
    return {figure.name: figure for figure in draw(examined, chapter(folder))}


def digest(folder: str, of: Bench | Record | str, result: Any = None) -> Digest:
    """A chapter in short."""
    on = _on_bench(of)
    made = chapter_digest(Examined(on, {folder: found(folder, on) if result is None else result}), chapter(folder))
    assert made is not None
    return made


def leaf(folder: str, of: Bench | Record | str, result: Any = None) -> str:
    """A chapter in short as it stands on the record, without its figures."""
    in_short = Leaf(chapter(folder), digest(folder, of, result), {})
    return Leaves({folder: in_short}, frozenset(), {}, _on_bench(of).words).html(folder, 2)


def page(folder: str, of: Bench | Record | str, result: Any = None, *, drawn: bool = False, **more: Any) -> str:
    """A chapter as HTML, with its figures where ``drawn``."""
    on = _on_bench(of)
    result = found(folder, on) if result is None else result
    given = {"figures": figures(folder, on, result) if drawn else {}, "pictures": {}, **more}
    return render_chapter(
        folder,
        record=on.record,
        f=result,
        said=chapter_said(Examined(on, {folder: result}), chapter(folder)),
        bench=on,
        words=on.words,
        chapter=chapter(folder),
        **given,
    )


def set_page(
    text: str,
    story: str = "",
    *,
    pictures: Mapping[str, Picture] | None = None,
    drawn: Mapping[str, Mapping[str, Figure]] | None = None,
    found: Examined | None = None,
    **choices: Any,
) -> SetPage:
    """All pages of a set, without its figures but those of ``drawn``, by the folder of their chapter.

    ``found`` is what the chapters found in the same record, where that is known already.
    """
    inputs = Inputs(
        Path("a-set"), "a-set", "sets/a-set", _whole(text), (("story.md", story.encode()),) if story else ()
    )
    chosen = Choices(**choices)
    found = found or examined(text, words=DIALECTS[chosen.dialect], pictures=pictures or {})
    return composed(inputs, chosen, lambda chapter: (drawn or {}).get(chapter.folder, {}), found, [], ())


def _on_bench(of: Bench | Record | str) -> Bench:
    return of if isinstance(of, Bench) else bench(of)


def carded_page(folder: str, model: str, maker: str = "Larkfield", **card: Any) -> SetPage:
    """The finished page of a set as the archive sees it: its name and its card, which says no more than ``card``."""
    year = card.get("year")
    title = f"{maker} {model}" + (f" ({year})" if year else "")
    filled = {
        "title": title, "maker": maker, "model": model, "year": None, "made": str(year or ""), "kind": "battery",
        "tubes": [], "tube_types": list(card.get("tubes", ())), "state": "", "lead": f"The {model}.", "dated": None,
        "picture": None, "line_side": "",
    }  # fmt: skip
    return SetPage(folder, title, "", "", "", (), (), card=filled | card)


def archive(count: int) -> list[SetPage]:
    """An archive of ``count`` sets that differ in all that a list of sets shows; the same in each run."""
    return [_of_archive(number) for number in range(count)]


def _of_archive(n: int) -> SetPage:
    maker = ("Abbot", "Brack", "Dun", "East", "Fern", "Glass", "Hare", "Kettle", "Mer", "Nether", "Rush", "Thorn")[
        n % 12
    ]
    state = ("finished", "finished", "finished", "on the bench", "waiting")[n % 5]
    day = f"2026-{1 + n % 12:02}-{1 + n % 28:02}"
    complaint, cause = (("hum from the start", "C12, dried out"), ("dead", "T3 open"), ("weak", "V2"))[n % 3]
    part = {"job": "output coupling", "how": "leaked", "name": "C7", "typed": "10 nF 400 V paper", "anchor": "part-c7"}
    tubes = (("12BE6", "12BA6", "12AV6", "50C5", "35W4"), ("DK91", "DF91", "DAF91", "DL92"))[n % 2]
    open_ = [7, "V5 grid at +0.9 V, where it should never be positive: suspect C9."]
    wanted = wanted_parts.WantedPart(f"set {n}", "C1", (1 + n % 90) * 1e-9, "F", "film", 200.0)
    return carded_page(
        f"set-{n:04}",
        f"Heron {n}",
        f"{maker}wick",
        year=1928 + n % 31,
        kind=("battery", "line transformer")[n % 2],
        tubes=list(tubes),
        state=state,
        dated=day,
        finished=day if state == "finished" else "",
        by=("R. Alder", "I. Sand")[n % 2],
        picture=_PHOTO if n % 4 else None,
        faults=[[complaint, cause, "replaced"]],
        failed=[part] if n % 7 == 0 else [],
        looked_at=[
            {"kind": "paper", "value": 1e-8, "unit": "F", "out": n % 3 > 0, "drift": 0.1, "leaky": True, "year": 1938}
        ],
        line_side="B- to chassis: 1 MΩ and 3.3 nF Y1",
        open_count=1,
        still_open=[] if state == "finished" else [open_],
        wanted=[] if state == "finished" else [wanted_parts.as_dict(wanted)],
    )


_PHOTO = {
    "fallback": "photos/front-480.jpg", "width": 480, "height": 360,
    "sources": {"webp": [["photos/front-480.webp", 480]], "jpeg": [["photos/front-480.jpg", 480]]},
}  # fmt: skip


def write_archive(root: Path, pages: Sequence[SetPage], choices: Choices | None = None) -> Path:
    """The pages of an archive below ``root`` as a browser sees them in the Material theme; returns the index."""
    import material

    from benchleaf.archive.page import archive_page

    made = archive_page(pages, choices or Choices(directory_urls=False))
    theme = sorted((Path(material.__file__).parent / "templates/assets/stylesheets").glob("*.min.css"))
    files = [*asset_files(), *((f"sets/{file.path}", file.text or "") for file in made.files)]
    for name, page in (("", made), *((f"{each.name}/", each) for each in made.workings)):
        up = "../" * (1 + name.count("/"))
        sheets = [f"assets/{each.name}" for each in theme] + [STYLE]
        links = "".join(f'<link rel="stylesheet" href="{up}{sheet}">' for sheet in sheets)
        files.append((f"sets/{name}index.html", _SHELL.format(links=links, html=page.html)))
    files += [(f"assets/{each.name}", each.read_text()) for each in theme]
    for name, text in files:
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        (root / name).write_text(text, encoding="utf-8")
    for page in pages:
        (root / "sets" / page.folder).mkdir(parents=True, exist_ok=True)
        (root / "sets" / page.folder / "index.html").write_text(f"<title>{page.folder}</title>", encoding="utf-8")
    return root / "sets" / "index.html"


_SHELL = """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Sets</title>
<meta name="viewport" content="width=device-width,initial-scale=1">{links}</head>
<body dir="ltr" data-md-color-scheme="default"><header class="md-header"><nav class="md-header__inner md-grid">
</nav></header><div class="md-container"><main class="md-main"><div class="md-main__inner md-grid">
<div class="md-content"><article class="md-content__inner md-typeset">{html}</article></div></div></main>
<footer class="md-footer"><div class="md-footer-meta md-typeset"><div class="md-footer-meta__inner md-grid">
<div class="md-copyright">Invented.</div></div></div></footer></div></body></html>
"""
