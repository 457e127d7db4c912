"""Marks on photos: what they name is in the record, where they point is on the picture, and on which is said."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...record.problems import Nearest, one_of, quoted
from ...record.slips import Slips, near

if TYPE_CHECKING:
    from ...record.model import Record
    from ...record.sections.photos import Photo, PhotoMark


def look_over(record: Record, slips: Slips) -> None:
    """Every mark names a part or tube, lies on its picture, and says on which where there are several."""
    known = (*map(str, record.parts), *map(str, record.tubes))
    for name, photo in record.photos.items():
        for mark in photo.marks:
            field = f"photos.{name}.marks"
            if str(mark.part) not in known and not slips.lost.mentions(mark.part):
                remedy = Nearest(str(mark.part), known, "list it under parts, even as “to do”")
                slips.add(mark.part, field, quoted(mark.part), "a part or tube of this record", remedy)
            _place(mark, field, slips)
            _stage(mark, photo, field, slips)


def _place(mark: PhotoMark, field: str, slips: Slips) -> None:
    for value, key, side in ((mark.x, "x", "left"), (mark.y, "y", "top")):
        if value.si is None or not 0 <= value.si <= 1:
            expected = f"how far from the {side} of the picture it is, from 0 % to 100 %"
            slips.add(value, f"{field}.{key}", quoted(value.written), expected)


def _stage(mark: PhotoMark, photo: Photo, field: str, slips: Slips) -> None:
    stages = [stage for stage in photo.files() if stage]
    if mark.stage and str(mark.stage) not in stages:
        found = f"{quoted(mark.stage)}, which this photo does not have"
        expected = one_of(map(quoted, stages)) if stages else "nothing more: there is one picture"
        slips.add(mark.stage, f"{field}.stage", found, expected, near(mark.stage, stages))
    elif not mark.stage and len(photo.files()) > 1:
        expected = f"which it is on too, {one_of(map(quoted, stages))}"
        slips.add(mark.part, field, f"{quoted(mark.part)} on one of {len(photo.files())} pictures", expected)
