#!/usr/bin/env python3
"""How long an archive takes, as ratios against plain MkDocs building the same content written by hand. Not a test.

    .venv/bin/python tests/bench/archive.py [--sets 1000]

Makes N records from the demo's first set, each with its own name and figures, builds them with Benchleaf cold,
unchanged and with one set edited; then turns the pages it made into Markdown files and has plain MkDocs build those.
All in one run, CPU seconds of the program and its children, so that only the ratios matter.
"""

from __future__ import annotations

import argparse
import os
import re
import resource
import shutil
import subprocess
import sys
import tempfile
from html import unescape
from html.parser import HTMLParser
from pathlib import Path

HERE = Path(__file__).resolve()
REPO = HERE.parents[2]
MODEL_SET = REPO / "site_src" / "sets" / "larkfield-minuet-5"
CONFIG = "site_name: Bench\ntheme: {name: material, font: false}\n"


def cpu_seconds(folder: Path) -> float:
    """CPU seconds of one build in ``folder``; a failed build ends the run."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    result = subprocess.run(
        [sys.executable, "-W", "ignore", "-m", "mkdocs", "build", "-q"],
        cwd=folder,
        env={**os.environ, "NO_MKDOCS_2_WARNING": "1"},
        capture_output=True,
        text=True,
        check=False,
    )
    if result.returncode:
        sys.exit(result.stderr[-2000:])
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


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
    article = page[
        page.index('<article class="bl-set"') : page.index("</article>", page.index('<article class="bl-set"'))
    ]
    writer = _Markdown()
    writer.feed(article)
    return "".join(writer.out)


def write_by_hand(built: Path, docs: Path) -> None:
    """The same content as hand-written Markdown, outside the navigation as Benchleaf's pages are."""
    docs.mkdir(parents=True)
    (docs / "index.md").write_text("# Bench\n", encoding="utf-8")
    for page in sorted(built.glob("sets/*/index.html")):
        text = as_markdown(page.read_text(encoding="utf-8"))
        (docs / f"{page.parent.name}.md").write_text(text, encoding="utf-8")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--sets", type=int, default=1000)
    count = parser.parse_args().sets
    folder = Path(tempfile.mkdtemp(prefix="benchleaf-bench-"))
    ours, plain = folder / "ours", folder / "plain"
    write_records(ours / "docs", count)
    (ours / "mkdocs.yml").write_text(f"{CONFIG}plugins: [search, benchleaf]\n", encoding="utf-8")
    cold = cpu_seconds(ours)
    unchanged = cpu_seconds(ours)
    record = ours / "docs/sets/set-00000/record.yml"
    record.write_text(record.read_text(encoding="utf-8").replace("Minuet 0", "Edited"), encoding="utf-8")
    edited = cpu_seconds(ours)
    write_by_hand(ours / "site", plain / "docs")
    (plain / "mkdocs.yml").write_text(f"{CONFIG}plugins: [search]\nnav: [index.md]\n", encoding="utf-8")
    by_hand = cpu_seconds(plain)
    size = sum(p.stat().st_size for p in (ours / "site").glob("sets/*/index.html")) / count
    print(f"{count} sets, {size / 1000:.0f} kB of HTML each; plain MkDocs with the same content: {by_hand:.1f} s CPU")
    for name, seconds in (("everything cold", cold), ("nothing changed", unchanged), ("one set edited", edited)):
        print(f"  {name:16} {seconds:7.1f} s  {1000 * seconds / count:6.1f} ms a set  ratio {seconds / by_hand:.3f}")
    shutil.rmtree(folder)


if __name__ == "__main__":
    main()
