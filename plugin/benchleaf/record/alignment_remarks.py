"""What the writer of an alignment is told although it is in order: a frequency of no band, a step unread, a day."""

from __future__ import annotations

import dataclasses
import datetime
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from .problems import one_of, quoted
from .sections.alignment import Alignment, AlignmentStep
from .text import Text
from .values import Day
from .wavelengths import hertz_of

_BEYOND = 1.1
"""Times a band's end that a step may lie beyond it: dials reach further (common practice, no source)."""
_NEAR = 1.1
"""Times an intermediate frequency, or as many times below, that its steps lie (common practice, no source)."""
_COIL = re.compile(r"(?<![\w.+-])[CLT]\d{1,3}(?![\w.]*\w)")


@dataclass(frozen=True)
class OfTheSet:
    """What alignments are held against: each band's ends in hertz and its words, the IFs, its parts, its days."""

    bands: Mapping[str, tuple[float, float, str]]
    intermediates: tuple[float, ...]
    parts: frozenset[str]
    came_in: datetime.date | None
    finished: datetime.date | None


def near_one(hertz: float | None, intermediates: Iterable[float]) -> float | None:
    """The first of some intermediate frequencies that ``hertz`` is near, all in hertz."""
    return next((one for one in intermediates if hertz and one / _NEAR <= hertz <= one * _NEAR), None)


def look_over_alignments(alignments: Iterable[Alignment], of_set: OfTheSet) -> None:
    """Put the remarks on the values that they are about; nothing is refused and nothing changed."""
    before: datetime.date | None = None
    for alignment in alignments:
        for step in alignment.steps:
            told = [*_beyond_bands(step, of_set), *_unread(step, alignment)]
            if step.adjust and (unlisted := _unlisted(step.adjust, of_set)):
                object.__setattr__(step, "adjust", step.adjust.taken_as(str(step.adjust), unlisted))
            at = step.frequency or step.wavelength
            if told and at is not None:
                name = "frequency" if step.frequency else "wavelength"
                object.__setattr__(step, name, dataclasses.replace(at, remark="; ".join(told)))
        if alignment.date is not None:
            _look_over_day(alignment.date, before, of_set)
            before = max(alignment.date, before) if before else alignment.date


def _beyond_bands(step: AlignmentStep, of_set: OfTheSet) -> Iterator[str]:
    """That a step lies in no band, nor near an intermediate frequency, of a record that has both."""
    hertz = hertz_of(step.frequency, step.wavelength)
    if hertz is None or not of_set.bands or not of_set.intermediates:
        return
    near_if = near_one(hertz, of_set.intermediates) is not None
    in_band = any(low / _BEYOND <= hertz <= high * _BEYOND for low, high, _ in of_set.bands.values())
    if not (near_if or in_band):
        written = ", ".join(f"{name} {words}" for name, (_, _, words) in of_set.bands.items())
        yield f"lies in no band of this set ({written}), nor near its IF: is it right?"


def _unlisted(adjusted: Text, of_set: OfTheSet) -> str:
    """The coils and trimmers of a step that the parts list has not: nobody lists them all."""
    named = dict.fromkeys(found[0] for found in _COIL.finditer(adjusted))
    left = [quoted(name) for name in named if name.casefold() not in of_set.parts]
    return f"{one_of(left, 'and')} not under parts: kept as named" if left and of_set.parts else ""


def _unread(step: AlignmentStep, alignment: Alignment) -> Iterator[str]:
    """That nothing says by what a step was set."""
    if not (step.before or step.after or step.meter or alignment.meter or step.note):
        yield "has no indication: say what was watched, such as “meter AVC”, or read before and after"


def _look_over_day(day: datetime.date, before: datetime.date | None, of_set: OfTheSet) -> None:
    """A day that is before the one above it, or before the set came in or after it was finished."""
    told = ""
    if before and day < before:
        told = f"is before {before.isoformat()}, the day of the alignment above it"
    elif of_set.came_in and day < of_set.came_in:
        told = f"is before {of_set.came_in.isoformat()}, the day the set came in"
    elif of_set.finished and day > of_set.finished:
        told = f"is after {of_set.finished.isoformat()}, the day the set was finished"
    if told and isinstance(day, Day) and not day.remark:
        day.remark = f"{quoted(day.isoformat())} {told}"
