"""The day that each section of a can says by itself: of all of them, that of the part."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from .line_items import items
from .text import Entries, Text
from .whole_sentences import in_its_clauses
from .written_days import looks_like_a_date

_FITTED = "fitted "


def day_of_sections(part: Mapping[Any, Any]) -> Mapping[Any, Any]:
    """The part with the one day on which its sections were fitted; as it is where they name several, or it has one."""
    key = next((name for name in part if str(name).casefold() in ("sections", "inside")), None)
    sections = part[key] if key is not None else None
    if not (isinstance(part, Entries) and isinstance(sections, Entries)):
        return part
    if any(str(name).casefold() == "fitted" for name in part):
        return part
    apart = {name: _parted(line) for name, line in sections.items() if isinstance(line, Text) and line.single}
    days = {str(day): day for _, day in apart.values() if day is not None}
    if len(days) != 1:
        return part
    for name, (line, _) in apart.items():
        sections[name] = line
    (day,) = days.values()
    part[Text("fitted", day.place)] = day
    return part


def _parted(line: Text) -> tuple[Text, Text | None]:
    """A section's line without the day it was fitted on, and that day."""
    plain = in_its_clauses(line)
    said = items(Text(plain, line.place).like(line))
    rows = [(item, item.cut(len(_FITTED)) if item.casefold().startswith(_FITTED) else None) for item in said]
    days = [day for _, day in rows if day is not None and looks_like_a_date(day)]
    if len(days) != 1:
        return line, None
    rest = ", ".join(str(item) for item, day in rows if day is not days[0])
    return line.taken_as(rest), days[0]
