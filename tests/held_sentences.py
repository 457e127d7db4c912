"""What the chapters say in short of small sets, of drafts and the demo's, in full of a few: what moves of it is seen.

    python tests/held_sentences.py --write

writes the text anew after a change that was meant to say something otherwise; what it says now is then seen in the
difference, and the commit says why. The sets stand in `small_sets.txt`, most of them as other tests have them; a
further one is one more block.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from html import unescape

import makers
from benchleaf.chapters.examine import Examined, digest, said
from benchleaf.chapters.order import CHAPTERS, Chapter
from benchleaf.pages.rendering import render_chapter
from benchleaf.report.digest import Digest
from benchleaf.report.sentence import Deviation, Drawing, Judged, Link, Phrase, Sentence, Styled, text_of
from benchleaf.report.table import Cell, Table
from first_drafts import DRAFTS, looked
from held_drawings import examined_of
from held_figures import SETS as DEMO
from sites import REPO

HELD = REPO / "tests" / "facts" / "held_sentences.txt"
_BLOCKS = re.split(r"^### (.+)\n", (REPO / "tests" / "small_sets.txt").read_text(encoding="utf-8"), flags=re.M)
SETS = dict(zip(_BLOCKS[1::2], _BLOCKS[2::2], strict=True))
"""The records of small sets by where they come from."""
IN_FULL = {
    "digests: sets 3": ("readings", "line_up", "power_up", "alignment", "supply", "speaker"),
    "digests: sets": ("heaters", "how_it_works"),
    "digests: sets 6": ("results", "mechanics", "log", "photos", "faults"),
    "parts read: full": ("parts",),
    "heaters figures: strings": ("heaters",),
    "line side page: american set": ("line_side",),
    "line side: an earth wire fitted": ("line_side",),
    "line side: an earth wire taken off": ("line_side",),
    "line side: direct mains": ("line_side",),
    "line side: a barrier within a tenth of the usual one": ("line_side",),
    "line side: an autotransformer": ("line_side",),
    "supply return: back biased": ("supply", "power_up"),
    "tracking: gang": ("alignment",),
    "trade: eye": ("eye",),
    "trade: tone": ("tone",),
}
"""Chapters that are held in full, by the small set that they tell most of."""
_BLOCK = re.compile(
    r"</?(?:p|h[2-6]|li|ul|ol|tr|table|caption|dl|dt|dd|div|section|figure|summary|details)(?: [^>]*)?>"
)
_CELL = re.compile(r"</t[hd]>")
_TAG = re.compile(r"<[^>]*>")
DRAFTED = (
    "american_ham_loctal", "american_kitchen_set", "australian_back_bias", "australian_vibrator", "danish_engineer_fm",
    "dutch_tinkerer", "english_teacher_field_coil", "french_rimlock", "german_vielsetzer", "indian_teacher_battery",
    "new_zealand_portable", "spanish_transformer",
)  # fmt: skip
"""First drafts, as their writers mended them."""
NAMES = (*SETS, *DRAFTED, *DEMO)


def said_of(name: str) -> list[str]:
    """What stands out of a set and what each of its chapters says in short, a line each sentence and each row."""
    made = examined_of(name) if name in DEMO else makers.examined(makers.record(_text_of(name)))
    lines = []
    for chapter in CHAPTERS:
        if made.findings[chapter.folder] is not None:
            told = tuple(made.standouts_of(chapter))
            lines += [f"# {chapter.folder}", *_sentences("!", told), *_in_short(digest(made, chapter), told)]
        if chapter.folder in IN_FULL.get(name, ()):
            lines += [f"# {chapter.folder} in full", *_in_full(made, chapter)]
    return [line for line in lines if line.strip(" -|!")]


def _text_of(name: str) -> str:
    return SETS[name] if name in SETS else looked(next(draft for draft in DRAFTS if draft.name == name), mended=True)[0]


def held() -> dict[str, list[str]]:
    """What was said of each set."""
    blocks = re.split(r"^### (.+)\n", HELD.read_text(encoding="utf-8"), flags=re.M)
    return {name: text.splitlines() for name, text in zip(blocks[1::2], blocks[2::2], strict=True)}


def write() -> None:
    """Write what is said of each set."""
    HELD.write_text("".join(f"### {name}\n{_joined(said_of(name))}" for name in NAMES), encoding="utf-8")


def _joined(lines: list[str]) -> str:
    return "".join(f"{line}\n" for line in lines)


def _in_full(made: Examined, chapter: Chapter) -> Iterator[str]:
    """The words of a chapter's own page without its figures, a line each paragraph and each row."""
    bench, found = made.bench, made.findings[chapter.folder]
    html = render_chapter(
        chapter.folder, record=made.record, f=found, said=said(made, chapter), bench=bench, words=bench.words,
        chapter=chapter, figures={}, pictures={},
    )  # fmt: skip
    for block in _BLOCK.split(" ".join(html.split())):
        yield " ".join(unescape(_TAG.sub(" ", _CELL.sub(" | ", block))).split())


def _in_short(made: Digest | None, told: tuple[Sentence, ...]) -> Iterator[str]:
    assert made is not None
    yield from map(_phrase, (made.conclusion, *made.more, made.after, made.small))
    yield from (f"figure {shown.figure}: {_phrase(shown.caption)}" for shown in made.figures)
    if made.table is not None:
        yield from _table(made.table)
    for fold in made.folded:
        yield from (fold.summary, *_table(fold.table))
    if made.rows is not None:
        yield f"{made.rows.label} | {' | '.join(made.rows.columns)}"
        for row in made.rows.rows:
            yield f"| {row.anchor} | {' | '.join(map(_cell, row.cells))}"
            yield from (f"  - {word}: {_phrase(said)}" for word, said in row.inside)
    how = "; ".join(name for name in ("half", "told_above") if getattr(made, name))
    yield f"{made.working} | {how}"
    for one in made.brief.compared:
        yield f"{one.rank} {one.label}: {_phrase(one.before)} > {_phrase(one.after)} {_phrase(one.how)}"
    yield from (*_sentences("wrong", made.brief.wrong), *_sentences("done", made.brief.done))
    remains = made.brief.remains
    if again := [str(told.index(one) + 1) for one in remains if one in told]:
        yield f"remains of what stands out: {', '.join(again)}"
    yield from _sentences("remains", tuple(one for one in remains if one not in told))


def _sentences(mark: str, sentences: tuple[Sentence, ...]) -> Iterator[str]:
    for one in sentences:
        settled = f" ({one.settled_by})" if one.settled_by else ""
        yield f"{mark} {one.verdict.name} {_phrase(one.phrase)} #{one.anchor}{settled}"


def _table(table: Table) -> Iterator[str]:
    yield f"{table.label}, {table.caption}, {table.kind}"
    yield f"| {' | '.join(f'{column.heading} {column.align}' for column in table.columns)}"
    for group in table.groups:
        yield group.heading
        yield from (
            f"| {' | '.join(map(_cell, (row.head, *row.cells)))} #{row.anchor} {row.also}" for row in group.rows
        )


def _cell(cell: Cell) -> str:
    return " / ".join(map(_phrase, cell.lines)) + (f" over {cell.span}" if cell.span > 1 else "")


def _phrase(words: Phrase) -> str:
    """Words with what their verdicts are and where their links lead."""
    return " ".join("".join(map(_part, words)).split())


def _part(part: object) -> str:
    match part:
        case Judged():
            return f"{{{part.verdict.name}: {_phrase(part.words)}}}{_phrase(part.beside)}"
        case Link():
            return f"[{part.text}](#{part.anchor})"
        case Styled():
            return f"<{part.style if isinstance(part.style, str) else part.style.name}: {_phrase(part.words)}>"
        case Deviation():
            return f"<{part.ratio:+.3g} of {part.tolerance:.3g}>"
        case Drawing():
            return f"<drawing {part.name} {part.label}>"
    return text_of((part,))  # type: ignore[arg-type]


if __name__ == "__main__":
    if sys.argv[1:] != ["--write"]:
        raise SystemExit(__doc__)
    write()
