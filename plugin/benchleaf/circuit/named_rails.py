"""Rails that go by what is done to them and not by a number: ``reservoir`` is before the smoothing, ``smoothed HT``
behind it, and ``C20`` where the reservoir capacitor of this name stands."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from ..record.place_words import B_PLUS, folded, read_rail

if TYPE_CHECKING:
    from ..record.model import Record

_RAIL = r"(?:h\.?\s?t\.?|b\s?\+|b plus|supply|rail|line|d\.?c\.?)"
_FIRST = re.compile(
    rf"(?:reservoir|raw|un(?:smoothed|filtered)|rectified)(?: {_RAIL})*"
    rf"|{_RAIL} (?:raw|reservoir|un(?:smoothed|filtered))"
    r"|(?:rectifier|rect\.?) (?:output|out)|first filter(?: cap(?:acitor)?)?"
)
_SECOND = re.compile(rf"(?:smoothed|filtered|clean)(?: {_RAIL})*|{_RAIL} (?:smoothed|filtered|clean)|smoothing")
_CAPACITOR = r"(?:\s+(?:capacitor|cap|condenser|electrolytic|section))?"
_OF_FILTER = r"(?:filter|filt|smoothing|electrolytic|b\s?\+|h\.?t\.?)"
FIRST_FILTER = re.compile(
    rf"(?:h\.?t\.?\s+)?(?:reservoir|charging|lade){_CAPACITOR}|ladekondensator|(?:first|1st|input|rectifier)\s+{_OF_FILTER}{_CAPACITOR}",
    re.I,
)
SECOND_FILTER = re.compile(
    rf"(?:h\.?t\.?\s+)?(?:smoothing|sieb){_CAPACITOR}|siebung|siebkondensator|(?:second|2nd|output)\s+{_OF_FILTER}{_CAPACITOR}",
    re.I,
)
"""The jobs of the capacitors at the first and at the second rail."""
ANY_FILTER = re.compile(rf"(?:{_OF_FILTER}{_CAPACITOR}|electrolytic)?", re.I)
_POSITIVE_END = re.compile(r"\s?(?:\+|plus|positive|pos\.?)(?:\s+(?:end|side|pole|terminal))?\Z")
_NUMBERED = re.compile(r"B\+\d+")
_ONE, _TWO = f"{B_PLUS}1", f"{B_PLUS}2"


def named_rails(record: Record) -> Mapping[str, str]:
    """The numbered rail that each name of such a kind means, by the name folded; none where rails are numbered anyway.

    A plain B+ beside one of the two is the other.
    """
    names = {folded(name): read_rail(name).key for name in names_of_points(record)}
    if any(_NUMBERED.fullmatch(key) for key in names.values()):
        return {}
    if B_PLUS not in names.values() and (by_parts := _by_parts(record, names)):
        return by_parts
    first = [name for name in names if _FIRST.fullmatch(name)]
    second = [name for name in names if _SECOND.fullmatch(name)]
    plain = [name for name, key in names.items() if key == B_PLUS and name not in (*first, *second)]
    if not (first or second):
        return {}
    other = (_TWO if first else _ONE) if not (first and second) else ""
    return dict.fromkeys(first, _ONE) | dict.fromkeys(second, _TWO) | (dict.fromkeys(plain, other) if other else {})


def _by_parts(record: Record, names: Iterable[str]) -> dict[str, str]:
    """The rails that are called by the filter capacitors that stand there, ``C20`` or ``C20+``: by jobs, else by volts.

    Of capacitors without a job, those of two rails that were read together: the higher is the first.
    """
    jobs = {folded(part): str(of.job or "") for part, of in record.parts.items() if re.match(r"C\s?\d", part, re.I)}
    called = {name: part for name in names if (part := _POSITIVE_END.sub("", name)) in jobs}
    parts = [*dict.fromkeys(called.values())]
    told = {part: _ONE for part in parts if FIRST_FILTER.fullmatch(jobs[part])}
    told |= {part: _TWO for part in parts if SECOND_FILTER.fullmatch(jobs[part])}
    left = [part for part in parts if part not in told and ANY_FILTER.fullmatch(jobs[part])]
    if len(told) == len(left) == 1:
        told |= dict.fromkeys(left, _TWO if _ONE in told.values() else _ONE)
    if len(set(told.values())) == len(told) and told:
        return {name: told[part] for name, part in called.items() if part in told} | told
    plain = [name for name, part in called.items() if part in left]
    volts = _read_together(record, plain) if len(plain) == 2 and not told else {}
    higher = sorted(volts, key=lambda name: -volts[name])
    if len(higher) < 2 or len(set(volts.values())) < 2:
        return {}
    rails = dict(zip(higher, (_ONE, _TWO), strict=True))
    return rails | {called[name]: rail for name, rail in rails.items()}


def _read_together(record: Record, names: Sequence[str]) -> dict[str, float]:
    """The volts of points in the first list that has all of them; none where no list has."""
    for run in record.readings.values():
        read = {folded(name): of_one[0].value for name, of_one in run.points.items() if len(of_one) == 1}
        volts = {name: value.si for name in names if (value := read.get(name)) and value.si is not None}
        if len(volts) == len(names):
            return volts
    return {}


def names_of_points(record: Record) -> Iterator[str]:
    """What a record calls points: over readings, as ends of parts and in wires."""
    for run in record.readings.values():
        yield from map(str, run.points)
    for part in record.parts.values():
        yield from map(str, part.between or ())
    for wire in record.wires:
        yield from map(str, wire)
