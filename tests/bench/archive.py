#!/usr/bin/env python3
"""How long an archive takes, as ratios against plain MkDocs building the same content written by hand. Not a test.

    python tests/bench/archive.py [--sets 300] [--json FILE] [--write]

Makes N records from the demo's first set, each with its own name and figures, builds them with Benchleaf cold,
unchanged and with one set edited; then turns the pages it made, a set's record and its chapters in full, into Markdown
files and has plain MkDocs build those. All in one run, CPU seconds of the program and its children, so that only the
ratios matter. Then ``check`` and ``export`` of the demo's first set, the best of five. What was measured is printed;
``--json`` writes it to a file, ``--write`` puts it into the tables of DEVELOPERS.md with the targets beside it.
"""

from __future__ import annotations

import argparse
import ctypes
import json
import os
import re
import resource
import subprocess
import sys
import tempfile
from collections.abc import Mapping
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
COMMANDS = (("check", 0.3), ("export", 0.8))
"""Each command on one record, and the CPU seconds it may take."""


def cpu_seconds(folder: Path, *arguments: str) -> float:
    """CPU seconds of one run of Python in ``folder``; a failed run ends all."""
    _adopt_orphans()
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    # Python keeps what it compiled, as it does for everybody who did not forbid it.
    environment = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    result = subprocess.run(
        [sys.executable, *arguments],
        cwd=folder,
        env={**environment, "NO_MKDOCS_2_WARNING": "1"},
        capture_output=True,
        text=True,
        check=False,
    )
    if result.returncode:
        sys.exit(result.stderr[-2000:])
    with suppress(ChildProcessError):
        while os.wait():
            pass
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


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


def builds(folder: Path, count: int) -> tuple[dict[str, float], int, int]:
    """CPU seconds of each build of ``count`` sets, and how many pages and bytes of HTML the sets have."""
    ours, plain = folder / "ours", folder / "plain"
    write_records(ours / "docs", count)
    (ours / "mkdocs.yml").write_text(f"{CONFIG}plugins: [search, benchleaf]\n", encoding="utf-8")
    seconds = {"cold": cpu_seconds(ours, *MKDOCS), "unchanged": cpu_seconds(ours, *MKDOCS)}
    record = ours / "docs/sets/set-00000/record.yml"
    record.write_text(record.read_text(encoding="utf-8").replace("Minuet 0", "Edited"), encoding="utf-8")
    seconds["edited"] = cpu_seconds(ours, *MKDOCS)
    write_by_hand(ours / "site", plain / "docs")
    (plain / "mkdocs.yml").write_text(f"{CONFIG}plugins: [search]\nnav: [index.md]\n", encoding="utf-8")
    seconds["by_hand"] = cpu_seconds(plain, *MKDOCS)
    pages = pages_of_sets(ours / "site")
    return seconds, len(pages), sum(page.stat().st_size for page in pages)


def measured(count: int) -> dict[str, Any]:
    """What builds of ``count`` sets and commands on one take, in CPU seconds."""
    with tempfile.TemporaryDirectory(prefix="benchleaf-bench-") as folder:
        seconds, pages, size = builds(Path(folder), count)
    commands = {
        command: min(cpu_seconds(REPO, *PROGRAM, command, str(MODEL_SET)) for _ in range(5)) for command, _ in COMMANDS
    }
    of_a_set = {"pages_of_a_set": pages / count, "html_bytes_of_a_set": size / count}
    return {"sets": count, "cores": os.cpu_count(), **of_a_set, "build_cpu_seconds": seconds, "cpu_seconds": commands}


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


def _kept(value: float, most: float) -> str:
    return "kept" if value <= most else "missed"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--sets", type=int, default=300)
    parser.add_argument("--json", type=Path, metavar="FILE", help="where to write what was measured")
    parser.add_argument("--write", action="store_true", help="put the tables into DEVELOPERS.md")
    given = parser.parse_args()
    found = measured(given.sets)
    print(tables(found))
    if given.json:
        given.json.write_text(json.dumps(found, indent=1) + "\n", encoding="utf-8")
    if given.write:
        before, _, rest = TABLES.read_text(encoding="utf-8").partition(BEGIN)
        TABLES.write_text(f"{before}{BEGIN}{tables(found)}{END}{rest.partition(END)[2]}", encoding="utf-8")


if __name__ == "__main__":
    main()
