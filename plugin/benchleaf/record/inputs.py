"""What a writer puts into a set's folder, as bytes: the record and the parts of the story."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from .problems import Problem

RECORD_FILE = "record.yml"


@dataclass(frozen=True)
class Inputs:
    """What lies in a set's folder in the writer's own words: the record and the parts of the story, by file name.

    ``name`` is the set's folder below that of the sets, ``label`` the same as the writer sees it. ``record`` is None
    where the file must not be read; ``refused`` says so, and of the parts of the story too. ``table`` is the club's own
    tube table, which lies beside the sets.
    """

    folder: Path
    name: str
    label: str
    record: bytes | None
    story: tuple[tuple[str, bytes], ...]
    refused: tuple[Problem, ...] = ()
    table: tuple[tuple[str, bytes], ...] = ()

    def parts(self) -> Iterator[str | bytes]:
        """What a page depends on, for its key in the cache."""
        yield from (self.name, self.label, self.record or b"")
        for name, data in (*self.story, *self.table):
            yield from (name, data)
        yield from (str(problem) for problem in self.refused)
