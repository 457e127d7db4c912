"""The marks on photos, numbered, each with the place that what it names is told at."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from ...report.anchors import part_anchor, tube_anchor
from .findings import Pointer

if TYPE_CHECKING:
    from ...record.model import Record


def pointers(record: Record) -> Mapping[str, tuple[Pointer, ...]]:
    """The marks of each picture by its file, numbered in the order written; without those that cannot be placed."""
    found: dict[str, list[Pointer]] = {}
    tubes = {str(position) for position in record.tubes}
    for photo in record.photos.values():
        files = photo.files()
        for mark in photo.marks:
            file = files.get(str(mark.stage or "")) or (next(iter(files.values())) if len(files) == 1 else None)
            if file is None or mark.x.si is None or mark.y.si is None:
                continue
            name = str(mark.part)
            here = found.setdefault(str(file), [])
            anchor = tube_anchor(name) if name in tubes else part_anchor(name)
            here.append(Pointer(len(here) + 1, name, mark.x.si, mark.y.si, anchor))
    return {file: tuple(of_file) for file, of_file in found.items()}
