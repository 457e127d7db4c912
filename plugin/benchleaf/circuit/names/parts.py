"""Parts named outside their own list: in faults, alignment steps, reforming and circuit changes."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...record.problems import Nearest, quoted
from ...record.slips import Slips, near

if TYPE_CHECKING:
    from ...record.model import Record
    from ...record.sections.changes import Change
    from ...record.text import Text

_DESIGNATOR = re.compile(r"(?<![\w.+-])([A-Z]{1,2})\d{1,3}(?![\w.]*\w)")
_LETTERS = frozenset("CRLTV")
_STEPS = "alignment.steps"
_COILS = frozenset("CLT")
"""Letters of trimmers and coils, which nobody lists for an alignment alone: a remark of the record's own says so."""
_PART = "a part listed under parts"
_LIST_IT = "list it under parts, even as “to do”"


def look_over(record: Record, slips: Slips) -> None:
    """Every part that is named is listed."""
    parts = [str(name) for name in record.parts]
    for name in record.reforming:
        if name not in record.parts and name.split()[0] not in record.parts:
            slips.add(name, "reforming", quoted(name), _PART, Nearest(str(name), tuple(parts), _LIST_IT))
    for name, change in record.changes.items():
        _change(str(name), change, record, slips)
    known = {str(n) for n in (*record.parts, *record.tubes, *record.changes)}
    letters = _LETTERS | {re.sub(r"\d.*", "", name, flags=re.S) for name in known}
    for text, field in _prose(record):
        for match in _DESIGNATOR.finditer(text):
            if match[0] not in known and match[1] in letters and not (field == _STEPS and match[1] in _COILS):
                at = text.cut(*match.span())
                slips.add(at, field, quoted(match[0]), "a part or tube of this record", _LIST_IT)


def _change(name: str, change: Change, record: Record, slips: Slips) -> None:
    """A change across a part, or across one section of it."""
    across = change.across
    if not across or re.search(r"\s(?:and|to)\s|, ", across):
        return
    field = f"changes.{name}.across"
    first = across.split()[0]
    section = across.cut(len(first))
    part = next((p for key, p in record.parts.items() if key == first), None)
    if part is None and first not in record.changes:
        known = tuple(map(str, record.parts))
        slips.add(across.cut(0, len(first)), field, quoted(first), _PART, Nearest(first, known, _LIST_IT))
    elif part and section and section not in part.sections:
        slips.add(section, field, quoted(section), f"a section of {first}", near(section, part.sections))


def _prose(record: Record) -> Iterator[tuple[Text, str]]:
    """The texts that name parts in passing, with their fields."""
    for fault in record.faults:
        said = {"found": fault.found, "cause": fault.cause, "cure": fault.cure}
        yield from ((text, f"faults.{key}") for key, text in said.items() if text)
        yield from ((text, "faults.ruled out") for text in fault.ruled_out)
    for alignment in record.alignment:
        yield from ((step.adjust, _STEPS) for step in alignment.steps if step.adjust)
