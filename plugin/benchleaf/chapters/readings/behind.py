"""What resistance stands behind an electrode: its load, and beside that the tube's own."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from ...circuit.resistors import ResistorInPlace
from ...electrics.dc_stage import BIAS_SHARES, plate_resistance, resistance_at
from ...electrics.loading import in_parallel
from ...record.figures import in_figures
from ...words import Words
from .read_stages import stages
from .rows import SourceResistance, SourceUnknown
from .runs import Readings
from .spots import Spot

if TYPE_CHECKING:
    from ...circuit.network import Network
    from ...circuit.places import Place
    from ...circuit.stages import Stage
    from ...tubes import Tube, Typical

MOST_OHMS = 1e6
"""The largest load of a plate or screen that is met with. Common practice, no source."""

PUBLISHED_BAND = (0.75, 1.5)
"""What a resistance published at another current may be off by: second points of six triodes' sheets lie within 16 %
of the cube root of the current; a tube that is nearly cut off lies farther up."""

PENTODE_BAND = 0.5
"""Least share of a pentode's published plate resistance, taken with one over the current. EL84, EF89 and EBF89 keep
more of theirs from point to point of their sheets (Philips), down to 170 V at the plate."""

ABOVE_RANGE = "a value above the meter's range was read on another range"

_CATHODE_BIAS_VOLTS = 0.5


def source_at(
    spot: Spot,
    source: Readings,
    volts_at: Mapping[Place, float],
    parts: Sequence[ResistorInPlace],
    network: Network,
    words: Words,
) -> SourceResistance | SourceUnknown | None:
    """What stands behind an electrode, from a list's own voltages and the resistor that feeds it; or what is lacking.

    A triode's plate shows its load with the plate resistance beside it, a pentode's the load with its own, where that
    was published. A screen is a triode's plate for this (its grid steers it alike). None where a meter makes no
    difference that could be computed.
    """
    if spot.kind not in ("plate", "screen") or spot.current != "DC" or spot.pin:
        return None
    at = spot.place
    touching = [part for part in parts if at in part.ends]
    stage = next((s for s in stages(source, network) if at in s.plates or at in s.screens), None)
    if not network.stands_alone(at) or len(touching) > 1:
        return None
    if not touching:
        return _unfed(at, stage, network)
    feed = touching[0]
    ohms = feed.nominal_ohms or feed.ohms
    if feed.bound and not feed.nominal_ohms:
        return SourceUnknown(f"the ohms of {feed.part} are not known", MOST_OHMS)
    if stage is None or not stage.certain:
        return SourceUnknown(f"the {words.tube} type is not known", ohms)
    if _is_above_range(volts_at.get(at), source):
        return SourceUnknown(ABOVE_RANGE, ohms)
    far, supply = feed.said_at(feed.other(at)), volts_at.get(feed.other(at))
    tube = network.places.tubes.get(stage.tube)
    if spot.kind == "plate" and stage.screens:
        return _in_figures(_pentode(at, stage, tube, feed.part, ohms, supply, volts_at, source))
    if supply is None or at not in volts_at:
        return SourceUnknown(f"the volts at {far} are not in that list", ohms)
    return _in_figures(_triode(spot, stage, tube, feed.part, ohms, supply, volts_at, source, words))


def _in_figures(found: SourceResistance | SourceUnknown) -> SourceResistance | SourceUnknown:
    if isinstance(found, SourceUnknown):
        return found
    return in_figures(found, "ohms", "low_ohms", "high_ohms", "tube_ohms", "tube_volts", "tube_amps")


def _unfed(at: Place, stage: Stage | None, network: Network) -> SourceUnknown | None:
    """An audio triode's plate has a load that a meter does not leave alone; any other may hang on a coil or winding."""
    if stage is None or not stage.certain or stage.screens or at.swings or network.feeds(at):
        return None
    if stage.oscillates:
        return None
    return SourceUnknown("the resistor that feeds it is not in the parts list", MOST_OHMS)


def _is_above_range(here: float | None, source: Readings) -> bool:
    """Whether a list's own reading shows that its pointer stood on a higher range than is written."""
    written = source.conditions
    by_range = written.meter_range_volts if written.meter_ohms is None and written.meter_ohms_per_volt else None
    return bool(by_range and here and abs(here) > by_range)


def _amps(here: float, supply: float, ohms: float, source: Readings) -> float:
    """What the tube took while the list's own meter hung there."""
    input_ohms = source.conditions.input_ohms
    return (supply - here) / ohms - (here / input_ohms if input_ohms else 0.0)


def _pentode(
    at: Place,
    stage: Stage,
    tube: Tube | None,
    part: str,
    ohms: float,
    supply: float | None,
    volts_at: Mapping[Place, float],
    source: Readings,
) -> SourceResistance:
    """The load, beside it the published plate resistance, which goes with one over the current."""
    alone = SourceResistance("pentode", part, ohms, ohms, ohms, ohms)
    here = volts_at.get(at)
    points = [p for p in _points(stage, tube) if p.rp_ohms and p.plate_amps]
    if supply is None or here is None or not points:
        return alone
    amps = _amps(here, supply, ohms, source)
    cathode = volts_at.get(stage.cathode, 0.0) if stage.cathode else 0.0
    if amps <= 0 or here <= cathode:
        return alone
    point = min(points, key=lambda p: abs(math.log((p.plate_amps or amps) / amps)))
    published, its_amps = point.rp_ohms or 0.0, point.plate_amps or amps
    own = published * its_amps / amps
    return SourceResistance(
        kind="pentode",
        part=part,
        load_ohms=ohms,
        ohms=in_parallel(ohms, own),
        low_ohms=in_parallel(ohms, PENTODE_BAND * min(own, published)),
        high_ohms=ohms,
        tube_ohms=own,
        supply_volts=supply,
        tube_volts=here - cathode,
        tube_amps=amps,
        tube_from=point.source,
    )


def _triode(
    spot: Spot,
    stage: Stage,
    tube: Tube | None,
    part: str,
    ohms: float,
    supply: float,
    volts_at: Mapping[Place, float],
    source: Readings,
    words: Words,
) -> SourceResistance | SourceUnknown:
    here = volts_at[spot.place]
    amps = _amps(here, supply, ohms, source)
    cathode = volts_at.get(stage.cathode, 0.0) if stage.cathode else 0.0
    if amps <= 0 or here - cathode <= 0:
        return SourceUnknown(f"that list's own volts leave no current for the {words.tube}", ohms)
    biased = cathode >= _CATHODE_BIAS_VOLTS
    cathode_ohms = cathode / amps if biased else 0.0
    low, middle, high, tube_from = _own_ohms(spot, stage, tube, here - cathode, amps, cathode_ohms)
    return SourceResistance(
        kind="triode" if spot.kind == "plate" else "screen",
        part=part,
        load_ohms=ohms,
        ohms=in_parallel(ohms, middle),
        low_ohms=in_parallel(ohms, low),
        high_ohms=in_parallel(ohms, high),
        tube_ohms=middle,
        supply_volts=supply,
        tube_volts=here - cathode,
        tube_amps=amps,
        cathode_biased=biased,
        tube_from=tube_from,
    )


def _own_ohms(
    spot: Spot, stage: Stage, tube: Tube | None, volts: float, amps: float, cathode_ohms: float
) -> tuple[float, float, float, str]:
    """The tube's own resistance, least, middle and greatest: as published at another current, else by its law alone."""
    found = [(*own, p) for p in _points(stage, tube) if (own := _published(spot, p))]
    if found:
        ohms, its_amps, mu, point = min(found, key=lambda one: abs(math.log(one[1] / amps)))
        ends = (resistance_at(ohms * share, its_amps, amps, mu, cathode_ohms) for share in (1.0, *PUBLISHED_BAND))
        middle, low, high = ends
        return low, middle, high, point.source
    shares = (plate_resistance(volts, amps, share, cathode_ohms) for share in BIAS_SHARES[::-1])
    low, middle, high = shares
    return min(low, high), middle, max(low, high), ""


def _published(spot: Spot, point: Typical) -> tuple[float, float, float] | None:
    """Ohms, the amperes they hold at, and mu, of a plate or a screen at a published point."""
    mu, slope, plate, screen = point.mu, point.gm_siemens, point.plate_amps, point.screen_amps
    if not mu or not plate:
        return None
    if spot.kind == "plate":
        ohms = point.rp_ohms or (mu / slope if slope else None)
        return (ohms, plate, mu) if ohms else None
    return (mu * plate / (slope * screen), screen, mu) if slope and screen else None


def _points(stage: Stage, tube: Tube | None) -> list[Typical]:
    """The published operations of a stage's section."""
    return [p for p in (tube.typical if tube else ()) if not p.section or stage.section.endswith(p.section)]
