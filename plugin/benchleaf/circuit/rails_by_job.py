"""The rails of a set from the first filter on, as far as names, filter capacitors and readings tell them apart."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from ..record.place_words import B_PLUS, read_rail
from .named_rails import FIRST_FILTER, SECOND_FILTER, names_of_points
from .places import Place
from .read_volts import direct_readings

if TYPE_CHECKING:
    from ..record.model import Record
    from .places import Places

_RAIL = re.compile(rf"{re.escape(B_PLUS)}\d*")
_ONE, _TWO = f"{B_PLUS}1", f"{B_PLUS}2"
_SAME, _DROPS = 1.02, 1.03
"""Two readings of one point, and two that something lies between (common practice, no source)."""


def rails_by_job(record: Record, places: Places, jobs: Iterable[str]) -> tuple[str, ...]:
    """The names of the rails, the first first; empty where nothing tells of any.

    Beside a first and a second filter a plain B+ is one of the two: the second where the rectifier's cathode was read
    higher, which is the first then, or where the output tube's screen reads the same; else nobody knows, and the one
    there is feeds the plates.
    """
    named = {read_rail(name).key for name in names_of_points(record)} | set(places.rails.values())
    numbered = sorted(key for key in named if _RAIL.fullmatch(key))
    jobs = [*jobs]
    first, second = (any(map(filter_.fullmatch, jobs)) for filter_ in (FIRST_FILTER, SECOND_FILTER))
    if not numbered:
        return (_ONE, *((_TWO,) if second else ())) if first else ()
    if numbered != [B_PLUS] or not (first and second):
        return tuple(numbered)
    at = next(_before_the_filter(record, places), None)
    if at is not None:
        return at, B_PLUS
    return (_ONE, B_PLUS) if any(_at_a_screen(record, places)) else ("", B_PLUS)


def _before_the_filter(record: Record, places: Places) -> Iterator[str]:
    """The rectifier's cathode as a record names it, where a list reads it above B+."""
    for run in record.readings.values():
        volts = dict(direct_readings(run, places))
        rail = next((v for at, v in volts.items() if _is_plain(at)), None)
        cathodes = ((at, v) for at, v in volts.items() if at.tube and at.kind == B_PLUS)
        yield from (at.name() for at, v in cathodes if rail and v > rail * _DROPS)


def _at_a_screen(record: Record, places: Places) -> Iterator[bool]:
    """Whether an output tube's screen reads what B+ does, list by list."""
    for run in record.readings.values():
        volts = dict(direct_readings(run, places))
        rail = next((v for at, v in volts.items() if _is_plain(at)), None)
        screens = [v for at, v in volts.items() if at.tube and at.electrode == "screen" and _swings(at, places)]
        yield from (rail / _SAME <= v <= rail * _SAME for v in screens if rail)


def _is_plain(at: Place) -> bool:
    return not at.tube and at.key == B_PLUS


def _swings(at: Place, places: Places) -> bool:
    return any(plate.swings for plate in places.at_tube(at.tube, "plate"))
