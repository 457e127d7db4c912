"""Which list of readings it is: the sheet's or the set's own, of which day, before the work or after it."""

from __future__ import annotations

import datetime
import re
from collections.abc import Mapping
from contextlib import suppress
from typing import TYPE_CHECKING

from ..said_readings import days_in_name
from ..text import Text
from ..values import day_of_text
from ..written_days import UnclearDayError
from .without_line import FED_BY_NONE

if TYPE_CHECKING:
    from .readings import Run

_DAY = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})\b")


def day_of(name: str, run: Run) -> datetime.date | None:
    """The day a list was taken on, as written or by its name; None where neither says."""
    match = _DAY.search(name)
    if run.date or match is None:
        return run.date
    try:
        return datetime.date(*map(int, match.groups()))
    except ValueError:
        return None


def day_in_name(name: Text) -> datetime.date | None:
    """The day in a list's name, in any way that the record's dates are written; None for none."""
    for day in days_in_name(name):
        with suppress(UnclearDayError):
            return day_of_text(day)
    return None


_AS_FOUND = re.compile(
    r"(?:(?:readings?|run|list|voltages?) )?(?:as )?(?:i |it was )?(?:found|received|bought)"
    r"|on arrival|as it came(?: in)?"
    r"|before(?: (?:any |all |the )?(?:work|repairs?|restoration|recapping|touching (?:it|anything)))?",
    re.I,
)
_AFTER_WORK = re.compile(
    r"(?:readings? |run |list )?(?:after|na|nach)"
    r"(?: (?:everything|(?:it |that )?all|(?:all |the |all the )?(?:work|repairs?|restoration|recap(?:ping)?)))?"
    r"|(?:as )?(?:finished|restored|repaired)|final(?: .*)?",
    re.I,
)
_MONTH = r"(?:jan|feb|mar|apr|may|jun|jul|aug|sep|sept|oct|nov|dec|mrt|mei|okt|dez|mai)[a-z]*"
_NO_WORDS = re.compile(
    rf"\b(?:\d{{1,2}}(?:st|nd|rd|th)?\s+(?:of\s+)?{_MONTH}|{_MONTH}\s+\d{{1,2}}(?:st|nd|rd|th)?)\b|[^A-Za-z]+", re.I
)
"""The day in a list's name, and whatever else is no word."""


def is_as_found(name: str) -> bool:
    """Whether a list says of itself, by its name, that it was read before the work."""
    return _AS_FOUND.fullmatch(_NO_WORDS.sub(" ", name).strip()) is not None


def is_after_work(name: str) -> bool:
    """Whether a list says of itself, by its name, that it was read after the work."""
    return _AFTER_WORK.fullmatch(_NO_WORDS.sub(" ", name).strip()) is not None


def is_without_line(name: str, run: Run) -> bool:
    """Whether a list says of itself, by its name or its note, that batteries or a bench supply fed the set."""
    return run.line is None and FED_BY_NONE.search(f"{name}; {run.note or ''}") is not None


PUBLISHED_NAME = re.compile(r"\bsheet\b|\bpublished\b", re.I)


def is_published(name: str, run: Run) -> bool:
    """Whether a list is the sheet's own, by its name."""
    return not run.from_ and PUBLISHED_NAME.search(name) is not None


def is_measured(name: str, run: Run) -> bool:
    """Whether a list was read of this set: neither the sheet's own nor taken from a similar chassis."""
    return not run.from_ and PUBLISHED_NAME.search(name) is None


def measured_runs(runs: Mapping[Text, Run]) -> dict[str, Run]:
    """The lists of readings that were read of this set, by their names, in the order in which they are written."""
    return {str(name): run for name, run in runs.items() if is_measured(str(name), run)}
