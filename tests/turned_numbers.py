"""Every number of every demo record, first draft and documented example, turned into one that nobody would write."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from benchleaf.archive.order_list import as_csv, as_json, as_text
from benchleaf.archive.orders import order
from benchleaf.archive.page import archive_page
from benchleaf.archive.wanted_parts import wanted
from benchleaf.build.cache import Cache
from benchleaf.build.figures import kept_figures
from benchleaf.build.one_set import examined_record
from benchleaf.pages.compose import composed
from benchleaf.pages.set_page import Choices
from benchleaf.record.inputs import Inputs
from first_drafts import DRAFTS
from sites import DEMO

_NUMBER = re.compile(r"(?<![\w.\-+/])\d+(?:[.,]\d+)?(?=$|[\s,;:/%)-]|[a-zA-Z])", re.M)
_EXAMPLE = re.compile(r"```yaml\n(.*?)```", re.S)


@dataclass(frozen=True)
class Source:
    """A record that numbers are turned in, and the folder whose files it names."""

    name: str
    text: str
    folder: Path


@dataclass(frozen=True)
class Turned:
    """A record with one number turned, and the line it stands on."""

    record: str
    line: str


def sources(empty: Path) -> list[Source]:
    """The demo's records and the first drafts, and the examples of the written word: ``empty`` is their folder."""
    demo = [Source(f.parent.name, f.read_text(), f.parent) for f in sorted(DEMO.glob("sets/*/record.yml"))]
    written = [
        Source(f"{page.stem}-{number}", _whole(example), empty)
        for page in sorted((DEMO / "writing").glob("*.md"))
        for number, example in enumerate(_EXAMPLE.findall(page.read_text()), 1)
        if not example.startswith("plugins:")
    ]
    drafts = [Source(folder.name, (folder / "record.yml").read_text(encoding="utf-8"), folder) for folder in DRAFTS]
    return [*demo, *written, *drafts]


def _whole(example: str) -> str:
    return example if example.startswith(("maker:", "format:")) else f"maker: A\nmodel: B\n{example}"


def turned(text: str) -> Iterator[Turned]:
    """The record with each of its numbers in turn below zero, zero, very large and very small."""
    for number in _NUMBER.finditer(text):
        for instead in (f"-{number[0]}", "0", "1e9", "1e-9"):
            record = text[: number.start()] + instead + text[number.end() :]
            yield Turned(record, record.split("\n")[text.count("\n", 0, number.start())])


def work_out(record: str, source: Source, cache: Cache) -> bool:
    """Everything that is made of one record, figures and downloads too; False where it cannot be read."""
    data, choices = record.encode(), Choices()
    examined, problems = examined_record(data, source.folder, "record.yml", choices)
    if examined is None:
        assert problems
        return False
    inputs = Inputs(source.folder, source.name, source.name, data, ())
    page = composed(inputs, choices, lambda chapter: kept_figures(chapter, examined, cache), examined, problems, ())
    assert {"record.json", "bench-sheet.html"} <= {file.path for file in page.files}
    archive_page([page], choices)
    ordered = order(wanted(examined), (), spare=0.0)
    assert all((as_text(ordered), as_csv(ordered), as_json(ordered)))
    return True
