#!/usr/bin/env python3
"""How long an archive takes, as ratios against plain MkDocs building the same content written by hand. Not a test.

    python tests/bench/archive.py [--sets 300] [--json FILE] [--write]
    python tests/bench/archive.py --sets 3000 --in FOLDER --part cold --json 3000.json
    python tests/bench/archive.py --growth 300.json 3000.json [--write]

Makes N records from the demo's first set, each with its own name and figures, builds them with Benchleaf cold,
unchanged and with one set edited; then turns the pages it made, a set's record and its chapters in full, into Markdown
files and has plain MkDocs build those. All in one run, CPU seconds of the program and its children, so that only the
ratios matter. Then ``check`` and ``export`` of the demo's first set, the best of five. What was measured is printed;
``--json`` writes it to a file, ``--write`` puts it into the tables of DEVELOPERS.md with the targets beside it.

Where one run would take too long, ``--in`` keeps the site in a folder of your own and ``--part`` runs one part of it,
in the order of PARTS; ``--json`` then adds to the file. ``--growth`` holds two such files, of a small and of a large
archive, against each other.
"""

from __future__ import annotations

import argparse
import ctypes
import json
import os
import re
import resource
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Mapping, Sequence
from contextlib import suppress
from html import unescape
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve()
REPO = HERE.parents[2]
MODEL_SET = REPO / "site_src" / "sets" / "larkfield-minuet-5"
_ARTICLE = '<article class="bl-set'
CONFIG = "site_name: Bench\ntheme: {name: material, font: false}\n"


MKDOCS = ("-W", "ignore", "-m", "mkdocs", "build", "-q")
PROGRAM = ("-c", "import sys; from benchleaf.cli import main; sys.exit(main())")
TABLES = REPO / "DEVELOPERS.md"
BEGIN, END = "<!-- measured by tests/bench/archive.py -->\n", "<!-- measured -->\n"
BUILDS = (
    ("by_hand", "plain MkDocs, the same content as Markdown", None),
    ("unchanged", "nothing changed", 0.15),
    ("edited", "one set edited", 0.15),
    ("cold", "everything cold", 2.0),
)
"""Each build, and the most it may take of what plain MkDocs takes."""
COMMANDS = (("check", 0.3), ("export", 0.8), ("export again", 0.8))
"""Each command on one record, and the CPU seconds it may take; what is exported again lies in a site's cache."""
PARTS = ("cold", "unchanged", "edited", "by_hand", "commands")
GROWN = 1.1
"""How much more a set may take in a large archive than in a small one."""
MOST_MB, MOST_INDEX_MB, MOST_UNCHANGED = 500, 4.0, 12.0
"""The largest process, and at 1,000 sets the search index and the CPU seconds of a build in which nothing changed."""
BEGIN_GROWTH, END_GROWTH = "<!-- growth by tests/bench/archive.py -->\n", "<!-- growth -->\n"


def cpu_seconds(folder: Path, *arguments: str) -> float:
    """CPU seconds of one run of Python in ``folder``; a failed run ends all."""
    return _taken(folder, *arguments)[0]


def _taken(folder: Path, *arguments: str) -> tuple[float, float]:
    """CPU seconds of one run of Python in ``folder``, and the MB of its largest process; a failed run ends all."""
    _adopt_orphans()
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    # Python keeps what it compiled, as it does for everybody who did not forbid it.
    environment = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    with tempfile.TemporaryFile() as said:
        run = subprocess.Popen(
            [sys.executable, *arguments],
            cwd=folder,
            env={**environment, "NO_MKDOCS_2_WARNING": "1"},
            stdout=subprocess.DEVNULL,
            stderr=said,
        )
        _, status, of_run = os.wait4(run.pid, 0)
        run.returncode = os.waitstatus_to_exitcode(status)
        if run.returncode:
            said.seek(0)
            sys.exit(said.read().decode(errors="replace")[-2000:])
    with suppress(ChildProcessError):
        while os.wait():
            pass
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime, of_run.ru_maxrss / 1024


def _adopt_orphans() -> None:
    """Be the one who waits for processes that outlive the one that started them: only then their time is told."""
    set_child_subreaper = 36  # PR_SET_CHILD_SUBREAPER of prctl(2)
    if ctypes.CDLL(None).prctl(set_child_subreaper, 1, 0, 0, 0):
        sys.exit("this system does not tell what processes have taken that nobody waited for")


def write_records(docs: Path, count: int) -> None:
    """``count`` sets that differ in name and in measured values, without photos."""
    record = (MODEL_SET / "record.yml").read_text(encoding="utf-8")
    record = record[: record.index("photos:")]
    story = re.sub(r"^!\[.*$", "", (MODEL_SET / "story.md").read_text(encoding="utf-8"), flags=re.M)
    for number in range(count):
        folder = docs / "sets" / f"set-{number:05}"
        folder.mkdir(parents=True)
        own = record.replace("model: Minuet 5", f"model: Minuet {number}")
        own = own.replace("measured 13.6 nF", f"measured {10 + number % 997 / 100:.2f} nF")
        own = own.replace("V5: 32.1 V", f"V5: {30 + number % 389 / 100:.2f} V")
        (folder / "record.yml").write_text(own, encoding="utf-8")
        (folder / "story.md").write_text(story, encoding="utf-8")
    (docs / "index.md").write_text("# Bench\n", encoding="utf-8")


class _Markdown(HTMLParser):
    """A finished page as the Markdown a person would have typed for the same content; drawings as they are."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=False)
        self.out: list[str] = []
        self.cell: list[str] | None = None
        self.row: list[str] = []
        self.rows = 0
        self.drawing = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "svg" or self.drawing:
            self.drawing += tag == "svg"
            self.out.append(self.get_starttag_text() or "")
        elif re.fullmatch(r"h[1-6]", tag):
            self.out.append(f"\n\n{'#' * int(tag[1])} ")
        elif tag == "table":
            self.rows = 0
            self.out.append("\n\n")
        elif tag == "tr":
            self.row = []
        elif tag in ("td", "th"):
            self.cell = []
        elif tag == "li":
            self.out.append("\n- ")
        elif tag in ("p", "figure", "ul", "ol", "section", "details", "div", "dl", "dt", "dd", "summary"):
            self.out.append("\n\n" if self.cell is None else " ")

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if self.drawing:
            self.out.append(self.get_starttag_text() or "")

    def handle_endtag(self, tag: str) -> None:
        if self.drawing:
            self.out.append(f"</{tag}>")
            self.drawing -= tag == "svg"
        elif tag in ("td", "th") and self.cell is not None:
            self.row.append(" ".join("".join(self.cell).split()).replace("|", "/"))
            self.cell = None
        elif tag == "tr":
            self.out.append(f"| {' | '.join(self.row)} |\n")
            if self.rows == 0:
                self.out.append(f"|{' --- |' * len(self.row)}\n")
            self.rows += 1

    def handle_data(self, data: str) -> None:
        if self.drawing:
            self.out.append(data)
        elif self.cell is not None:
            self.cell.append(data)
        else:
            self.out.append(" ".join(data.split()))

    def handle_entityref(self, name: str) -> None:
        self.handle_data(f"&{name};" if self.drawing else unescape(f"&{name};"))

    def handle_charref(self, name: str) -> None:
        self.handle_data(f"&#{name};" if self.drawing else unescape(f"&#{name};"))


def as_markdown(page: str) -> str:
    """The article of a built page as Markdown."""
    begin = page.index(_ARTICLE)
    writer = _Markdown()
    writer.feed(page[begin : page.index("</article>", begin)])
    return "".join(writer.out)


def write_by_hand(built: Path, docs: Path) -> None:
    """The same content as hand-written Markdown, outside the navigation as Benchleaf's pages are."""
    docs.mkdir(parents=True)
    (docs / "index.md").write_text("# Bench\n", encoding="utf-8")
    for page in pages_of_sets(built):
        text = as_markdown(page.read_text(encoding="utf-8"))
        name = page.parent.relative_to(built / "sets").as_posix().replace("/", "-")
        (docs / f"{name}.md").write_text(text, encoding="utf-8")


def pages_of_sets(built: Path) -> list[Path]:
    """Each set's record and its chapters in full."""
    found = sorted([*built.glob("sets/set-*/index.html"), *built.glob("sets/set-*/*/index.html")])
    return [page for page in found if _ARTICLE in page.read_text(encoding="utf-8")]


def measure(found: dict[str, Any], part: str, folder: Path) -> None:
    """Run one of PARTS on the archive in ``folder`` and put what it took into ``found``."""
    ours, plain = folder / "ours", folder / "plain"
    if part == "commands":
        found["cpu_seconds"] = {name: _of_command(name) for name, _ in COMMANDS}
        return
    if part == "cold":
        write_records(ours / "docs", found["sets"])
        (ours / "mkdocs.yml").write_text(f"{CONFIG}plugins: [search, benchleaf]\n", encoding="utf-8")
    elif part == "edited":
        record = ours / "docs/sets/set-00000/record.yml"
        text = record.read_text(encoding="utf-8")
        record.write_text(re.sub(r"(?m)^model: .*$", "model: Edited", text), encoding="utf-8")
    elif part == "by_hand":
        write_by_hand(ours / "site", plain / "docs")
        (plain / "mkdocs.yml").write_text(f"{CONFIG}plugins: [search]\nnav: [index.md]\n", encoding="utf-8")
    seconds, megabytes = _taken(plain if part == "by_hand" else ours, *MKDOCS)
    found.setdefault("build_cpu_seconds", {})[part] = seconds
    found.setdefault("largest_process_mb", {})[part] = megabytes
    if part == "cold":
        pages = pages_of_sets(ours / "site")
        found["pages_of_a_set"] = len(pages) / found["sets"]
        found["html_bytes_of_a_set"] = sum(page.stat().st_size for page in pages) / found["sets"]
        found["search_index_mb"] = (ours / "site/search/search_index.json").stat().st_size / 1e6


def tables(found: Mapping[str, Any]) -> str:
    """The tables of DEVELOPERS.md: builds as ratios against plain MkDocs, commands in CPU seconds, and the targets."""
    count, taken = found["sets"], found["build_cpu_seconds"]
    pages, size = found["pages_of_a_set"], found["html_bytes_of_a_set"] / 1000
    lines = [f"{count} sets of {pages:.0f} pages and {size:.0f} kB of HTML, {found['cores']} cores:\n"]
    lines += ["| Build | CPU | a set | ratio | target | |", "| --- | --- | --- | --- | --- | --- |"]
    for key, told, most in BUILDS:
        ratio = taken[key] / taken["by_hand"]
        target = f"{most:g} | {_kept(ratio, most)}" if most else "|"
        lines.append(f"| {told} | {taken[key]:.1f} s | {1000 * taken[key] / count:.0f} ms | {ratio:.2f} | {target} |")
    lines += ["", "| Command, one record, the best of five | CPU | target | |", "| --- | --- | --- | --- |"]
    for command, most in COMMANDS:
        seconds = found["cpu_seconds"][command]
        lines.append(f"| `{command}` | {seconds:.2f} s | {most:g} s | {_kept(seconds, most)} |")
    return "\n".join([*lines, ""])


def _of_command(name: str) -> float:
    """The best of five, of a record in no site, or in one that keeps what it made."""
    command, _, again = name.partition(" ")
    with tempfile.TemporaryDirectory() as folder:
        of_set = Path(folder) / "docs/sets/one"
        shutil.copytree(MODEL_SET, of_set)
        if again:
            (Path(folder) / "mkdocs.yml").write_text(f"{CONFIG}plugins: [search, benchleaf]\n", encoding="utf-8")
            (Path(folder) / ".cache/benchleaf").mkdir(parents=True)
            cpu_seconds(Path(folder), *PROGRAM, command, str(of_set))
        return min(cpu_seconds(Path(folder), *PROGRAM, command, str(of_set)) for _ in range(5))


def growth(small: Mapping[str, Any], large: Mapping[str, Any]) -> str:
    """What a set takes in two archives, and the memory and the search index of the larger one, beside the targets."""
    lines = [
        f"| CPU of a set | of {small['sets']:,} | of {large['sets']:,} | ratio | target | |",
        "| --- | --- | --- | --- | --- | --- |",
    ]
    told = {key: words for key, words, _ in BUILDS}
    for key in ("cold", "unchanged", "edited"):
        if key in small["build_cpu_seconds"] and key in large["build_cpu_seconds"]:
            a, b = (1000 * one["build_cpu_seconds"][key] / one["sets"] for one in (small, large))
            lines.append(f"| {told[key]} | {a:.0f} ms | {b:.0f} ms | {b / a:.2f} | {GROWN:g} | {_kept(b / a, GROWN)} |")
    lines += ["", f"| With {large['sets']:,} sets | | target | |", "| --- | --- | --- | --- |"]
    for key, most in large["largest_process_mb"].items():
        if key != "by_hand":
            lines.append(f"| largest process, {told[key]} | {most:.0f} MB | {MOST_MB} MB | {_kept(most, MOST_MB)} |")
    if large["sets"] == 1000:
        index, unchanged = large["search_index_mb"], large["build_cpu_seconds"]["unchanged"]
        kept = _kept(index, MOST_INDEX_MB), _kept(unchanged, MOST_UNCHANGED)
        lines.append(f"| search index | {index:.1f} MB | {MOST_INDEX_MB:g} MB | {kept[0]} |")
        lines.append(f"| nothing changed | {unchanged:.1f} s | {MOST_UNCHANGED:g} s | {kept[1]} |")
    return "\n".join([*lines, ""])


def _kept(value: float, most: float) -> str:
    return "kept" if value <= most else "missed"


def _write(begin: str, end: str, made: str) -> None:
    """Put ``made`` between two marks of DEVELOPERS.md."""
    before, _, rest = TABLES.read_text(encoding="utf-8").partition(begin)
    TABLES.write_text(f"{before}{begin}{made}{end}{rest.partition(end)[2]}", encoding="utf-8")


def _measured(count: int, parts: Sequence[str], folder: Path | None, kept: Path | None) -> dict[str, Any]:
    """What the ``parts`` take, added to what the file ``kept`` has of others; written there after each of them."""
    known = json.loads(kept.read_text(encoding="utf-8")) if folder and kept and kept.exists() else {}
    found = {**known, "sets": count, "cores": os.cpu_count()}
    with tempfile.TemporaryDirectory(prefix="benchleaf-bench-") as own:
        for part in parts:
            measure(found, part, folder or Path(own))
            if kept:
                kept.write_text(json.dumps(found, indent=1) + "\n", encoding="utf-8")
    return found


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--sets", type=int, default=300)
    parser.add_argument("--in", type=Path, metavar="FOLDER", dest="folder", help="an empty folder, to go on in later")
    parser.add_argument("--part", choices=PARTS, action="append", help="run this part alone; may be given again")
    parser.add_argument("--json", type=Path, metavar="FILE", help="where to write what was measured")
    parser.add_argument(
        "--growth", type=Path, nargs=2, metavar="FILE", help="what two runs measured, the smaller first"
    )
    parser.add_argument("--write", action="store_true", help="put the tables into DEVELOPERS.md")
    given = parser.parse_args()
    if given.growth:
        made = growth(*(json.loads(file.read_text(encoding="utf-8")) for file in given.growth))
        print(made)
        if given.write:
            _write(BEGIN_GROWTH, END_GROWTH, made)
        return
    found = _measured(given.sets, given.part or PARTS, given.folder and given.folder.resolve(), given.json)
    if {*PARTS} - {"commands"} > {*found.get("build_cpu_seconds", {})} or "cpu_seconds" not in found:
        print(json.dumps(found, indent=1))
        return
    print(tables(found))
    if given.write:
        _write(BEGIN, END, tables(found))


if __name__ == "__main__":
    main()
