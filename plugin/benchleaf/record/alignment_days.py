"""An alignment as it is jotted down: its day on a line of its own or as a name, and its steps below it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from .text import Entries, Listing, Text
from .written_days import lacks_its_year, looks_like_a_date, opening_day


def steps_below_their_day(tree: Entries) -> None:
    """Put the steps that stand below a day, ``- 2026-03-08`` or ``- 2026-03-08:``, into one session each, in place."""
    for key, rows in tree.items():
        if key.casefold() == "alignment" and isinstance(rows, Listing):
            rows[:] = list(_sessions(rows))
        elif key.casefold() == "alignment" and isinstance(rows, Entries) and rows and not rows.empty:
            days = [day for day in rows if _is_a_day(day)]
            if len(days) == len(rows) and all(isinstance(rows[day], Listing) for day in days):
                listed = Listing(rows.place)
                listed += [_session(day, rows[day]) for day in days]
                tree[key] = listed


def _sessions(rows: Listing) -> Iterator[Any]:
    open_steps: Listing | None = None
    for row, next_row in zip(rows, [*rows[1:], None], strict=False):
        step = isinstance(row, Text) and not opening_day(row, with_year=True) and not _is_a_day(row)
        if open_steps is not None and step:
            open_steps.append(row)
            continue
        open_steps = None
        if isinstance(row, Text) and _is_a_day(row) and isinstance(next_row, Text) and not _opens(next_row):
            open_steps = Listing(row.place)
            yield _session(row, open_steps)
        elif isinstance(row, Entries) and len(row) == 1 and not row.empty and _is_a_day(next(iter(row))):
            ((day, told),) = row.items()
            yield _session(day, told) if isinstance(told, Listing) else row
        else:
            yield row


def _session(day: Text, steps: Listing) -> Entries:
    session = Entries(day.place)
    session[Text("date", day.place)] = day
    session[Text("steps", day.place)] = steps
    return session


def _is_a_day(text: str) -> bool:
    return looks_like_a_date(text) or lacks_its_year(text)


def _opens(text: str) -> bool:
    return _is_a_day(text) or bool(opening_day(text, with_year=True))
