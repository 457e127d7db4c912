"""What a record says about the set must hold together: each rule asks at the word it is about."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

from ...record.problems import quoted

if TYPE_CHECKING:
    from ...record.model import Record
    from ...record.slips import Slips


def contradictions(record: Record, slips: Slips) -> None:
    """Tell what contradicts itself, subject by subject; only what the record has something for is looked at.

    What is held against sections that lost something is not: that may be where it would agree.
    """
    _look_over_dates(record, slips)
    _look_over_intermediate_frequency(record, slips)
    for subject, section, held_against in (
        ("mains", record.line, ("power", "line", "mains")),
        ("heaters", record.heaters, ()),
        ("readings", record.readings, ()),
        ("line_side", record.line_side, ()),
        ("parts", record.parts, ()),
    ):
        if section and not (held_against and slips.lost.touches(*held_against)):
            import_module(f"{__package__}.{subject}").look_over(record, slips)


def _look_over_dates(record: Record, slips: Slips) -> None:
    if record.came_in and record.finished and record.finished < record.came_in:
        expected = f"a day not before it came in, {record.came_in}"
        slips.add(record.finished, "finished", str(record.finished), expected, "check both dates")


def _look_over_intermediate_frequency(record: Record, slips: Slips) -> None:
    if record.IF and record.IF.si is not None and record.IF.si <= 0:
        slips.add(record.IF, "IF", quoted(record.IF.written), "a frequency above zero")
