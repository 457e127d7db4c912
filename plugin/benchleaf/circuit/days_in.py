"""On which day a component went in or out, where its own line does not say: by what took its place, by the fault's day.

A part that is new where another was taken out was not in the set before, however its line is worded; and what was taken
out was in it until then, a couplate's inner parts as any other.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from statistics import median_low
from typing import TYPE_CHECKING

from ..record.sections.reading_lists import day_of, is_after_work, is_as_found, is_published
from .elements import ends_of
from .in_place import alike, condition_of, in_place
from .listed import Listed

if TYPE_CHECKING:
    from ..record.model import Record
    from .places import Places

_FITTED = re.compile(
    r"\b(?:replac(?:ed|ing)|renew(?:ed|ing)|fitt(?:ed|ing)|recapped|exchanged|changed|swapped|installed)\b", re.I
)
_DONE = re.compile(r"\b\w+(?:ed|ing)\b|\bfound\b|\bread\b|\bin\b", re.I)
_PART = re.compile(r"\b[A-Z]{1,2}\d", re.I)
_NOT_YET = re.compile(r"\b(?:not|to be|will|must|should|order(?:ed)?|needs?|needed|instead of)\b", re.I)


def with_days(
    parts: Mapping[str, Sequence[Listed]], record: Record, places: Places
) -> Mapping[str, tuple[Listed, ...]]:
    """The components of the parts list with the day each is known to have come or gone by (``known_by``), and those
    that took another's place (``took_place``) marked; with the day by which all that is new was in (``in_by``), and
    that by which half of it was, of what has a day (``half_in_by``)."""
    every = [one for of_part in parts.values() for one in of_part]
    gone = [one for one in every if _is_gone(one)]
    takers = {id(out): taker for taker in every if (out := _place_of(taker, gone, places)) is not None}
    took = {id(taker) for taker in takers.values()}
    told = {**_days_of_the_log(record, tuple(parts)), **_days_of_faults(record, tuple(parts))}

    def day(one: Listed) -> datetime.date | None:
        taker = takers.get(id(one))
        return (taker.fitted or told.get(taker.part) if taker else None) or told.get(one.part)

    in_by = _read_after_work(record)
    fitted = [known for one in every if (known := one.fitted or day(one))]
    half = median_low(fitted) if fitted else None
    return {
        name: tuple(
            replace(one, known_by=day(one), in_by=in_by, half_in_by=half, took_place=id(one) in took) for one in of_part
        )
        for name, of_part in parts.items()
    }


def _read_after_work(record: Record) -> datetime.date | None:
    """The day of the list that was read after the work: by its name, else the newest of several; None where none is."""
    own = [(str(name), run) for name, run in record.readings.items() if not (run.from_ or is_published(str(name), run))]
    days = {name: day for name, run in own if (day := day_of(name, run)) and not is_as_found(name)}
    said = [day for name, day in days.items() if is_after_work(name)]
    return min(said, default=None) or (max(days.values(), default=None) if len(own) > 1 else None)


def _is_gone(one: Listed) -> bool:
    """Whether there was a component and is none now."""
    was, now = one.piece.was, one.piece.now
    return was is not None and condition_of(was) != "none" and now is not None and condition_of(now) == "none"


def _place_of(one: Listed, gone: Sequence[Listed], places: Places) -> Listed | None:
    """Of the components that are gone, the one whose place a new one took: between the same places, of its kind."""
    piece = one.piece
    ends = ends_of(piece, places)
    if ends is None or piece.was is not None or piece.sheet is not None or piece.now is None:
        return None
    new = in_place(one, "after")
    alike_there = (
        out
        for out in gone
        if set(ends_of(out.piece, places) or ()) == set(ends) and in_place(out, "before").kind == new.kind
    )
    return min(alike_there, key=lambda out: not alike(in_place(out, "before"), new), default=None)


def _days_of_faults(record: Record, names: tuple[str, ...]) -> dict[str, datetime.date]:
    """The day of the first fault with a date whose cause or cure names a part."""
    found: dict[str, datetime.date] = {}
    for fault in record.faults:
        if fault.date is not None:
            for name in _named(" ; ".join(str(text) for text in (fault.cause, fault.cure) if text), names):
                found[name] = min(fault.date, found.get(name, fault.date))
    return found


def _days_of_the_log(record: Record, names: tuple[str, ...]) -> dict[str, datetime.date]:
    """The first day on which the log says that a part was replaced: ``parts measured, C1 C2 C22 replaced``."""
    found: dict[str, datetime.date] = {}
    for entry in record.log:
        if entry.date is not None:
            for name in _replaced(str(entry.did or ""), names):
                found[name] = min(entry.date, found.get(name, entry.date))
    return found


def _replaced(did: str, names: tuple[str, ...]) -> Iterator[str]:
    """The parts that a sentence says were replaced: those before the word, or behind it, up to the next thing done."""
    waiting: list[str] = []
    goes_on = False
    for piece in re.split(r"[,;]|\band then\b", did):
        here, verb = list(_named(piece, names)), _FITTED.search(piece)
        if verb is not None and not _NOT_YET.search(piece):
            yield from (*waiting, *here)
            goes_on = not _PART.search(piece[: verb.start()]) and bool(_PART.search(piece[verb.end() :]))
            waiting = []
        elif verb is None and not _DONE.search(piece):
            yield from here if goes_on else ()
            waiting = [] if goes_on else [*waiting, *here]
        else:
            waiting, goes_on = [], False


def _named(text: str, names: tuple[str, ...]) -> Iterator[str]:
    spelt = {name.casefold(): name for name in names}
    yield from (spelt[match[0].casefold()] for match in _any_of(names).finditer(text)) if names else ()


@lru_cache(maxsize=16)
def _any_of(names: tuple[str, ...]) -> re.Pattern[str]:
    longest_first = sorted(names, key=lambda name: (-len(name), name))
    return re.compile(rf"(?<![\w.+-])(?:{'|'.join(map(re.escape, longest_first))})(?![\w+-])", re.I)
