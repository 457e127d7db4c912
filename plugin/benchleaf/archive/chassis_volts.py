"""Voltages of sets on one chassis, place by place: what each read last, and from three sets on what is usual there."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from statistics import median
from typing import TYPE_CHECKING, Any

from ..record.units import say

if TYPE_CHECKING:
    from ..chapters.examine import Examined
    from ..chapters.readings.rows import ReadingRow

LEAST_FOR_USUAL = 3
"""From fewer sets nothing is called usual."""


@dataclass(frozen=True, slots=True)
class ChassisVolts:
    """The newest readings of one set: ``chassis`` names maker and chassis, ``volts`` are direct, by their place.

    ``reference`` is the point they were read to, ``line`` the line in words, empty where it is not known.
    """

    chassis: str
    reference: str
    line: str
    volts: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class PlaceAcross:
    """One place of a chassis in several sets: the volts by the set's number in the order given, and their ends.

    ``middle`` is the median, None for fewer than three.
    """

    chassis: str
    place: str
    volts: Mapping[int, float]
    low: float
    high: float
    middle: float | None

    @property
    def said(self) -> str:
        """The place with its spread and from how many sets it is."""
        spread = f"{say(self.low, 'V')} to {say(self.high, 'V')}" if self.low != self.high else say(self.low, "V")
        usual = "too few to call it usual" if self.middle is None else f"the middle one {say(self.middle, 'V')}"
        return f"{self.chassis}, {self.place}: {spread} in {len(self.volts)} sets, {usual}"


def chassis_volts(examined: Examined) -> ChassisVolts | None:
    """The newest readings of a set whose chassis number is written; None where it is not, or nothing was read."""
    record, readings = examined.record, examined.findings["readings"]
    run = readings.latest if readings else None
    if record.chassis_number is None or run is None:
        return None
    rows = (row for group in run.groups for row in group.rows if _is_plain(row))
    volts = {row.spot.place.name(examined.bench.words): float(row.measured_volts or 0.0) for row in rows}
    line = run.conditions.line_volts
    words = examined.bench.words
    return ChassisVolts(
        f"{record.maker} {record.chassis_number}",
        run.conditions.reference,
        f"{words.line} {say(line, 'V')}" if line is not None else "",
        volts,
    )


def _is_plain(row: ReadingRow) -> bool:
    return row.current == "DC" and not row.pin and row.measured_volts is not None and row.measured_qualifier == "exact"


def across(sets: Sequence[tuple[int, ChassisVolts]]) -> Iterator[PlaceAcross]:
    """Every place that two sets or more of one chassis read to the same point, the places as first read."""
    by_place: dict[tuple[str, str], dict[str, dict[int, float]]] = {}
    for number, one in sets:
        at_chassis = by_place.setdefault((one.chassis.casefold(), one.reference), {})
        for place, volts in one.volts.items():
            at_chassis.setdefault(place, {})[number] = volts
    names = {one.chassis.casefold(): one.chassis for _, one in sets}
    for (chassis, _), places in sorted(by_place.items()):
        for place, read in places.items():
            if len(read) > 1:
                middle = median(read.values()) if len(read) >= LEAST_FOR_USUAL else None
                yield PlaceAcross(names[chassis], place, read, min(read.values()), max(read.values()), middle)


@dataclass(frozen=True, slots=True)
class OfOthers:
    """One place of a set beside others on its chassis: its own volts, and the ends of what ``count`` others read.

    ``middle`` is their median, None for fewer than three.
    """

    place: str
    own: float
    low: float
    high: float
    count: int
    middle: float | None


def beside(own: ChassisVolts, in_order: Mapping[str, Sequence[float]], *, among: bool) -> tuple[OfOthers, ...]:
    """Every place of a set that others on its chassis read to the same point, in the set's own order.

    ``in_order`` has what all of them read at each place, rising; ``among`` says that the set's own volts are among it.
    """
    found = []
    for place, volts in own.volts.items():
        read = list(in_order.get(place, ()))
        if among:
            del read[bisect_left(read, volts)]
        if read:
            middle = median(read) if len(read) >= LEAST_FOR_USUAL else None
            found.append(OfOthers(place, volts, read[0], read[-1], len(read), middle))
    return tuple(found)


def read_alike(one: ChassisVolts) -> tuple[str, str]:
    """What sets have in common that are on one chassis and were read to the same point."""
    return one.chassis.casefold(), one.reference


def as_dict(one: ChassisVolts) -> dict[str, Any]:
    """Plain data, to be kept with a set's card."""
    return {"chassis": one.chassis, "reference": one.reference, "line": one.line, "volts": dict(one.volts)}


def from_dict(data: Mapping[str, Any]) -> ChassisVolts:
    """What ``as_dict`` wrote."""
    return ChassisVolts(**data)
