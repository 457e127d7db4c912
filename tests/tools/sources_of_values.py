"""On what the values rest that a site shows: how many on each kind of source, page by page.

    python tests/tools/sources_of_values.py [--site FOLDER]

FOLDER is a site that was built; without it the demo is built into a folder that is thrown away. Two things are counted
for every set: the values in its pages by the mark they carry (measured, published, computed, assumed), and the rows of
what the tube table knows by grade and by the kind of their first source (``sources.csv``). A row of pins counts once.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator, Mapping
from html.parser import HTMLParser
from pathlib import Path

from benchleaf.tubes.grade import GRADES, Grade
from benchleaf.tubes.tables import read_table

REPO = Path(__file__).parents[2]
MARKS = ("measured", "published", "computed", "assumed")


class Page(HTMLParser):
    """Counts the elements that carry the mark of an origin, and collects the sources of what the tube table knows."""

    def __init__(self) -> None:
        super().__init__()
        self.marks: Counter[str] = Counter()
        self.sources: list[str] = []
        self._in_table = self._in_cell = False
        self._numbers: list[int] = []
        self._listed: list[str] | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """One element's marks, and whether a source begins."""
        given = dict(attrs)
        self.marks.update(mark for mark in MARKS if f"bl-{mark}" in (given.get("class") or "").split())
        if tag == "div" and given.get("role") == "region":
            self._in_table = given.get("aria-label") == "What the table knows"
        self._in_cell = self._in_table and tag == "td" and given.get("data-label") == "Source"
        if tag == "ol" and self._numbers:
            self._listed = []
        if tag == "li" and self._listed is not None:
            self._listed.append("")

    def handle_endtag(self, tag: str) -> None:
        """The end of a number, of the table, or of the list that its numbers stand for."""
        self._in_cell = self._in_cell and tag != "td"
        self._in_table = self._in_table and tag != "table"
        if tag == "ol" and self._listed is not None:
            self.sources += [self._listed[number - 1] for number in self._numbers]
            self._numbers, self._listed = [], None

    def handle_data(self, data: str) -> None:
        """The number of a source, or its words."""
        if self._in_cell:
            self._numbers.append(int(data))
        elif self._listed:
            self._listed[-1] += data


def grade_of(source: str) -> Grade:
    """The grade a row's source says."""
    if "; cross-checked: " in source:
        return "cross-checked"
    return "from memory" if "from memory" in source else "read"


def kind_of(source: str, kinds: Mapping[str, str]) -> str:
    """The kind of the first source a row names. Raises KeyError where it names none of the table's."""
    first = max((title for title in kinds if source.startswith(title)), key=len, default=source)
    return kinds[first]


def counted(site: Path) -> Iterator[tuple[str, Counter[str], Counter[str], Counter[str]]]:
    """For every set of a site: its folder, and counts by mark, by grade and by kind of source."""
    kinds = {row["title"]: row["kind"] for row in read_table("sources.csv")}
    for record in sorted(site.glob("sets/**/record.json")):
        reader = Page()
        for page in sorted(record.parent.rglob("*.html")):
            reader.feed(page.read_text(encoding="utf-8"))
        grades: Counter[str] = Counter(map(grade_of, reader.sources))
        yield record.parent.name, reader.marks, grades, Counter(kind_of(s, kinds) for s in reader.sources)


def said(title: str, counts: Mapping[str, int], order: tuple[str, ...]) -> str:
    """One line: the counts in this order, with their shares."""
    total = sum(counts.values()) or 1
    parts = (f"{name} {counts[name]} ({counts[name] / total:.0%})" for name in order if counts.get(name))
    return f"  {title}: {', '.join(parts) or 'none'}"


def main() -> int:
    """Builds the demo if no site is given, and prints the counts."""
    ap = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ap.add_argument("--site", type=Path)
    given = ap.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        site = given.site or Path(folder)
        if not given.site:
            build = [sys.executable, "-m", "mkdocs", "build", "-q", "-d", folder]
            subprocess.run(build, cwd=REPO, check=True)
        order = tuple(dict.fromkeys(row["kind"] for row in read_table("sources.csv") if row["kind"] != "memory"))
        whole: Counter[str] = Counter()
        for name, marks, grades, kinds in counted(site):
            print(name)
            print(said("values shown", marks, MARKS))
            print(said("tube table, by grade", grades, GRADES))
            print(said("tube table, by first source", kinds, (*order, "memory")))
            whole += kinds
        print("all sets")
        print(said("tube table, by first source", whole, (*order, "memory")))
    return 0


if __name__ == "__main__":
    sys.exit(main())
