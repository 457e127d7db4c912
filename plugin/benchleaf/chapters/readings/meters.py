"""What a meter's own resistance makes of a reading, taken out on both sides where everything it needs is known."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from ...circuit.resistors import Resistor
from ...electrics.dc_stage import BIAS_SHARES, plate_resistance
from ...electrics.loading import in_parallel, true_volts
from .judging import HIGH, LOW, TOLERANCE
from .places import Spot
from .rows import Loading, MeterMayExplain, Row, Source
from .runs import Readings
from .stages import stages

if TYPE_CHECKING:
    from ...circuit.network import Network
    from ...circuit.places import Place

_CATHODE_BIAS_VOLTS = 0.5
_LEAST_OF_RANGE = 0.1
"""A reading below a tenth of the range was hardly taken on that range. Common practice, no source."""


def source_at(
    spot: Spot,
    source: Readings,
    volts_at: Mapping[Place, float],
    parts: Sequence[Resistor],
    network: Network,
) -> Source | str:
    """What stands behind an electrode, from a list's own voltages and the resistor that feeds it; or what is lacking.

    A triode's plate shows its load with the plate resistance beside it, a pentode's the load. A screen is a triode's
    plate for this (its grid steers it alike). Empty text where a meter makes no difference that could be computed.
    """
    if spot.kind not in ("plate", "screen") or spot.current != "DC" or spot.pin:
        return ""
    at = spot.place
    touching = [part for part in parts if at in part.ends]
    stage = next((s for s in stages(source, network) if at in s.plates or at in s.screens), None)
    if len(touching) != 1 or not network.stands_alone(at):
        return ""
    if stage is None or not stage.certain:
        return "the tube type is not known"
    feed, ohms = touching[0], touching[0].nominal_ohms or touching[0].ohms
    if feed.bound and not feed.nominal_ohms:
        return f"the ohms of {feed.part} are not known"
    if spot.kind == "plate" and stage.screens:
        return Source("pentode", feed.part, ohms, ohms, ohms, ohms)
    supply, here, input_ohms = volts_at.get(feed.other(at)), volts_at.get(at), source.conditions.input_ohms
    if supply is None or here is None:
        return f"the volts at {feed.said_at(feed.other(at))} are not in that list"
    amps = (supply - here) / ohms - (here / input_ohms if input_ohms else 0.0)
    cathode = volts_at.get(stage.cathode, 0.0) if stage.cathode else 0.0
    if amps <= 0 or here - cathode <= 0:
        return "that list's own volts leave no current for the tube"
    biased = cathode >= _CATHODE_BIAS_VOLTS
    cathode_ohms = cathode / amps if biased else 0.0
    low, middle, high = (plate_resistance(here - cathode, amps, share, cathode_ohms) for share in BIAS_SHARES[::-1])
    low, high = min(low, high), max(low, high)
    kind = "triode" if spot.kind == "plate" else "screen"
    return Source(
        kind=kind,
        part=feed.part,
        load_ohms=ohms,
        ohms=in_parallel(ohms, middle),
        low_ohms=in_parallel(ohms, low),
        high_ohms=in_parallel(ohms, high),
        tube_ohms=middle,
        supply_volts=supply,
        tube_volts=here - cathode,
        tube_amps=amps,
        cathode_biased=biased,
    )


def loading(behind: Source, volts: float, source: Readings, run: Readings) -> Loading | None:
    """The factor from what one list's meter showed to what another's would; None without both, and their ranges."""
    its, this = source.conditions.input_ohms, run.conditions.input_ohms
    if not its or not this or its == this:
        return None
    if any(not _on_range(volts, readings) for readings in (source, run)):
        return None

    def factor(ohms: float) -> float:
        return (1 + ohms / its) / (1 + ohms / this)

    ends = factor(behind.low_ohms), factor(behind.high_ohms)
    return Loading(behind, its, this, factor(behind.ohms), min(ends), max(ends))


def _on_range(volts: float, readings: Readings) -> bool:
    """Whether a reading may have been taken on the list's range."""
    conditions = readings.conditions
    if conditions.meter_ohms is not None or not conditions.meter_range_volts:
        return True
    return _LEAST_OF_RANGE * conditions.meter_range_volts <= abs(volts) <= conditions.meter_range_volts


def may_explain(row: Row, behind: Source | str, source: Readings, run: Readings) -> Row:
    """A row that is off and of which one meter is known: what that one may make, or what is lacking to know it."""
    its, this = source.conditions.input_ohms, run.conditions.input_ohms
    whose = "expected" if row.verdict == HIGH and its else "measured" if row.verdict == LOW and this else ""
    if not whose or row.loading or row.measured_volts is None or row.adjusted_volts is None or row.as_typed:
        return row
    if isinstance(behind, str):
        lacks = f"what a meter makes of it cannot be computed: {behind}" if behind else ""
        return replace(row, remarks=(*row.remarks, lacks)) if lacks else row
    tolerance = TOLERANCE if row.tolerance is None else row.tolerance
    if whose == "expected" and its and row.adjusted_volts > 0:
        most = true_volts(row.adjusted_volts, behind.high_ohms, its)
        if row.measured_volts <= most * (1 + tolerance):
            return replace(row, meter=MeterMayExplain(whose, its, behind, most))
    if whose == "measured" and this and row.measured_volts > 0:
        most = true_volts(row.measured_volts, behind.high_ohms, this)
        if most >= row.adjusted_volts * (1 - tolerance):
            return replace(row, meter=MeterMayExplain(whose, this, behind, most))
    return row


def uncertainty(volts: float | None, run: Readings) -> float | None:
    """How far a reading may be off by the meter, in volts; None where the meter's error or its range is not known."""
    if volts is None:
        return None
    conditions = run.conditions
    if conditions.meter_error_of_range is not None and not _on_range(volts, run):
        return None
    return conditions.uncertainty(volts)
