"""An expected value held against a reading, with what the two meters make of both."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...record.figures import to_figures
from .judging import UNDECIDED, WITHIN, Adjusted, Allowed, allowed, deviation, middle, single, verdict
from .meters import loading, scale_uncertainty, uncertainty
from .rows import Loading, LoadingUnknown, SourceResistance, SourceUnknown
from .spots import Spot

if TYPE_CHECKING:
    from ...record.quantities import Quantity
    from .direct_coupling import OwnCathode
    from .runs import Readings

_FAR_DOWN_EXPECTED = "the expected value was read below a tenth of its meter’s range"
_FAR_DOWN_READ = "this was read below a tenth of the meter’s range"


@dataclass(frozen=True, slots=True)
class Meters:
    """What two meters make of one place: their loading or why it is not known, and volts that either is unsure by."""

    loaded: Loading | None = None
    unknown: LoadingUnknown | None = None
    expected_unsure: float | None = None
    read_unsure: float | None = None
    remarks: tuple[str, ...] = ()

    def apply(self, by: Adjusted) -> Adjusted:
        """An adjustment with the loading taken out."""
        if self.loaded is None:
            return by
        one = self.loaded
        return Adjusted(by.factor * one.factor, by.factor * one.low, by.factor * one.high, by.shift)


@dataclass(frozen=True, slots=True)
class Weighed:
    """A reading against an expected value as adjusted: volts expected, the band, the verdict, how far off (a ratio)."""

    volts: float | None
    band: Allowed
    verdict: str
    deviation: float | None


def meters_at(
    spot: Spot,
    expected: Quantity,
    measured: Quantity | None,
    behind: SourceResistance | SourceUnknown | None,
    source: Readings,
    run: Readings,
) -> Meters:
    """What is known of both meters at a place; a pointer's scale counts at plates and screens, which stay on one."""
    centre, read = middle(expected), single(measured)
    unsure = read_uncertainty(spot, read, run)
    if not centre or spot.current != "DC":
        return Meters(read_unsure=unsure)
    found = loading(behind, centre, read, source, run)
    of_scale = scale_uncertainty(centre, source.conditions) if spot.kind in ("plate", "screen") else None
    remarks = [_FAR_DOWN_EXPECTED] if of_scale else []
    if spot.kind in ("plate", "screen") and scale_uncertainty(read, run.conditions):
        remarks.append(_FAR_DOWN_READ)
    known, unknown = (found, None) if isinstance(found, Loading) else (None, found)
    return Meters(known, unknown, of_scale, unsure, tuple(remarks))


def read_uncertainty(spot: Spot, volts: float | None, run: Readings) -> float | None:
    """What a reading may be off by, in volts: the meter's written error, or that of a pointer far down its scale."""
    if spot.current != "DC":
        return None
    written = uncertainty(volts, run)
    if written is not None or spot.kind not in ("plate", "screen"):
        return written
    return scale_uncertainty(volts, run.conditions)


def weighed(
    spot: Spot,
    expected: Quantity,
    measured: Quantity | None,
    by: Adjusted,
    meters: Meters,
    source: Readings,
    range_volts: float | None,
    beside: OwnCathode | None = None,
) -> Weighed:
    """A reading against its expected value. ``by`` is the adjustment without the meters.

    ``beside`` is the cathode of a grid's own section. Where the meters' loading is not known a verdict stands that
    holds at both its ends.
    """
    centre = middle(expected)
    loaded = meters.apply(by)
    exact = None if centre is None else centre * loaded.factor + loaded.shift
    volts, off = exact if exact == centre else to_figures(exact), deviation(single(measured), exact)
    unsure = (meters.read_unsure or 0.0) + (meters.expected_unsure or 0.0) * abs(loaded.factor)
    band = allowed(spot, expected, loaded, source.tolerance)
    if meters.unknown is None:
        told = verdict(spot, expected, band, measured, range_volts, unsure, beside)
        return Weighed(volts, band, told, off)
    bands = [
        allowed(spot, expected, by.times(end), source.tolerance)
        for end in (meters.unknown.least_factor, meters.unknown.most_factor)
    ]
    ends = [verdict(spot, expected, one, measured, range_volts, unsure, beside) for one in bands]
    told = ends[0] if ends[0] == ends[1] else UNDECIDED
    return Weighed(volts, band, told, off if told == WITHIN else None)


def meter_remarks(meters: Meters, told: str) -> tuple[str, ...]:
    """What a row says of its meters: why there is no verdict, or that the one there is holds whatever they make."""
    said = meters.remarks if told == UNDECIDED or meters.loaded or meters.unknown else ()
    if meters.unknown is None:
        return said
    if told == UNDECIDED:
        return (*said, f"no verdict, as what the two meters make of it is not known: {meters.unknown.why}")
    return (*said, f"the same whatever the two meters make of it, which is not known: {meters.unknown.why}")
