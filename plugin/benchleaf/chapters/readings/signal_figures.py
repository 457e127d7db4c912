"""What each stage does to a small signal, worked out at the same working point as the set's voltages."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...circuit.closed.closed_network import Closed, ClosedStage
from ...circuit.closed.closing import MEASURED_SPREAD
from ...circuit.elements import CAPACITOR, RESISTOR, WINDING, Element
from ...circuit.in_place import InPlace, When, in_place
from ...circuit.network import there_at
from ...circuit.places import Place
from ...electrics.colours import UNMARKED_TOLERANCE
from ...record.figures import to_figures
from ...report.amount import figures_within

if TYPE_CHECKING:
    from ...circuit.network import Network
    from ...circuit.signal_loads import LoadUnknown
    from ...circuit.stages import Stage
    from ...electrics.dc_network import DcSolution
    from ...electrics.working_slopes import WorkingSlopes
    from ..bench import Bench

DEVIATIONS = 2.0
"""Half a range in standard deviations. On printed values of amplifiers it held 89 in 100."""


@dataclass(frozen=True, slots=True)
class Ranged:
    """A figure in SI with the ends it may lie between."""

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class CouplingCorner:
    """Where a coupling capacitor takes 3 dB: ``hertz`` with ``source_ohms`` before it and ``load_ohms`` behind it."""

    part: str
    farads: float
    source_ohms: float
    load_ohms: float
    hertz: Ranged


@dataclass(frozen=True, slots=True)
class StageSignal:
    """One stage: how many times it amplifies into ``load_ohms``, and what it shows at grid and plate.

    ``gain_times`` is None where the load for signals is not known; ``load_unknown`` says why, as
    ``circuit.signal_loads`` names it. ``load_how`` is ``resistors``, ``reflected`` or ``published``; ``bypassed`` says
    that no cathode resistor takes part, which is so too of a pair in push-pull (``pushes_with`` the other tube).
    ``tube_ohms`` is the tube's own plate resistance, None of a pentode for which
    none is published.
    """

    stage: str
    type: str
    slope_siemens: Ranged
    plate_watts: Ranged
    gain_times: Ranged | None = None
    load_ohms: float | None = None
    load_how: str = ""
    load_unknown: LoadUnknown = ""
    bypassed: bool = True
    tube_ohms: float | None = None
    input_ohms: float | None = None
    output_ohms: Ranged | None = None
    couplings: tuple[CouplingCorner, ...] = ()
    pushes_with: str = ""


def signal_figures(closed: Closed, solved: DcSolution, bench: Bench, when: When) -> Iterator[StageSignal]:
    """Every stage whose volts are worked out, in the record's order; converters are not, as their grids swing."""
    from ...electrics.working_slopes import working_slopes

    if closed.net is None:
        return
    found = working_slopes(closed.net, solved)
    for one in closed.stages:
        places = (one.stage.plates[0], *((one.stage.cathode,) if one.stage.cathode else ()))
        known = all(closed.points.get(at, at) not in closed.unknown for at in places)
        if (
            known
            and not one.converter
            and not _biased_by_a_guess(one, closed, bench)
            and found[one.name][0].plate_amps > 0
        ):
            yield _figures(one, found[one.name], bench, when)


def _biased_by_a_guess(one: ClosedStage, closed: Closed, bench: Bench) -> bool:
    """Whether nothing is known of a stage's bias: neither grid nor cathode has a part or a reading.

    A resistor before its plate still keeps it within bounds; without one it might draw anything.
    """
    network = bench.circuit.network
    taken = {(way.how, way.place) for way in closed.taken}
    grid = next((at for at in one.stage.grids if ("grid leak", at) in taken), None)
    if grid is None or one.stage.cathode is None or ("at the bottom", one.stage.cathode) not in taken:
        return False
    ends = {network.point(grid), network.point(one.stage.cathode)}
    read = any(ends & volts.keys() for volts in bench.circuit.direct_volts.values())
    return not read and not any(feed.kind == RESISTOR for feed in network.feeds(one.stage.plates[0]))


def _figures(one: ClosedStage, at: Sequence[WorkingSlopes], bench: Bench, when: When) -> StageSignal:
    from ...electrics.working_slopes import amplification, plate_output_ohms

    network, plate = bench.circuit.network, one.stage.plates[0]
    other = _other_of_pair(one, bench)
    cathode_ohms = 0.0 if other else _unbypassed(one, bench, when)
    load, how = _load(one, bench, when)
    pentode = bool(one.stage.screens)
    alone = pentode and not one.point.rp_ohms
    unknown = bench.circuit.load_unknown(plate)
    feed = None if unknown else _ohms(there_at([e for e in network.feeds(plate) if e.kind == RESISTOR], when)[:1], when)
    output = _ranged(at, lambda s: plate_output_ohms(s, feed, cathode_ohms)) if feed else None
    grid = next((g for g in one.stage.grids if g.electrode == "grid"), None)
    couplings = tuple(_corners(plate, output, bench, when)) if output else ()
    return StageSignal(
        one.name,
        bench.tubes[one.stage.tube].type,
        _ranged(at, lambda s: s.slope),
        _ranged(at, lambda s: s.plate_volts * s.plate_amps),
        _ranged(at, lambda s: amplification(s, load, cathode_ohms)) if load else None,
        to_figures(load),
        how,
        unknown,
        cathode_ohms == 0,
        None if alone or not at[0].plate_siemens else to_figures(1 / at[0].plate_siemens),
        to_figures(_ohms(network.leaks(grid), when)) if grid else None,
        output,
        couplings,
        other,
    )


def _ranged(at: Sequence[WorkingSlopes], figure: Callable[[WorkingSlopes], float]) -> Ranged:
    """A figure at the working point, and two deviations to either side: as a ratio, so that none is below zero."""
    here = figure(at[0])
    spread = math.sqrt(sum(math.log(figure(one) / here) ** 2 for one in at[1:])) if here > 0 else 0.0
    factor = math.exp(DEVIATIONS * spread)
    return Ranged(to_figures(here), to_figures(here / factor), to_figures(here * factor))


def _ohms(elements: Sequence[Element], when: When) -> float | None:
    """The resistors in parallel, as they were; None where there is none, or one that is there is not known."""
    values = [in_place(element.listed, when) for element in there_at(elements, when)]
    if not values or any(not one.value or one.condition for one in values):
        return None
    return 1 / sum(1 / (one.value or 1.0) for one in values)


def _other_of_pair(one: ClosedStage, bench: Bench) -> str:
    """The tube of the same type that draws as much less as this one draws more; empty where there is none.

    Its plate is on a winding of its own, its grid driven by itself, both cathodes one point: what they share then
    carries no signal.
    """
    network, tubes, stage = bench.circuit.network, bench.tubes, one.stage
    if stage.cathode is None or network.is_common(stage.cathode) or not _on_a_winding(stage, network):
        return ""
    for other in network.stages:
        alike = other.tube != stage.tube and tubes.get(other.tube) == tubes.get(stage.tube)
        if not alike or other.cathode is None or not network.same(other.cathode, stage.cathode):
            continue
        apart = [
            not any(network.same(a, b) for a in ours for b in theirs)
            for ours, theirs in ((stage.plates, other.plates), (stage.grids, other.grids))
        ]
        if all(apart) and _on_a_winding(other, network):
            return other.tube
    return ""


def _on_a_winding(stage: Stage, network: Network) -> bool:
    return any(plate.swings and one.kind == WINDING for plate in stage.plates for one in network.feeds(plate))


def _unbypassed(one: ClosedStage, bench: Bench, when: When) -> float:
    """The cathode's resistor where no capacitor lies beside it, in ohms; 0 where signals find none."""
    network, cathode = bench.circuit.network, one.stage.cathode
    if cathode is None or network.is_common(cathode):
        return 0.0
    if any(in_place(one.listed, when).is_there for one in network.to_common(cathode, CAPACITOR)):
        return 0.0
    return _ohms(network.to_common(cathode, RESISTOR), when) or 0.0


def _load(one: ClosedStage, bench: Bench, when: When) -> tuple[float | None, str]:
    """What the plate works into for signals, in ohms, and how that is known."""
    load = bench.circuit.load(one.stage.plates[0], when)
    if load is None:
        return None, ""
    if load.how == "resistors":
        return _ohms(load.parts, when), load.how
    return load.ohms, load.how


def _corners(plate: Place, output: Ranged, bench: Bench, when: When) -> Iterator[CouplingCorner]:
    """The corner of each capacitor from a plate to a grid, with the tube and the leak that it really lies between."""
    network = bench.circuit.network
    for coupling in network.couplings:
        leaks, capacitor = there_at(network.leaks(coupling.grid), when), in_place(coupling.element.listed, when)
        behind, farads = _ohms(leaks, when), capacitor.value
        if coupling.plate != plate or behind is None or not farads:
            continue
        hertz = [1 / (2 * math.pi * farads * (ohms + behind)) for ohms in (output.value, output.high, output.low)]
        apart = [_tolerance(one) for one in (capacitor, *(in_place(leak.listed, when) for leak in leaks))]
        digits = min(3, figures_within(*apart, math.log(hertz[2] / hertz[1]) / 2))
        # All parts' tolerances as rectangular distributions beside the tube's spread (JCGM 100:2008, 4.3.7).
        of_parts = [DEVIATIONS * off / math.sqrt(3) for off in apart]
        below, above = (math.exp(math.hypot(math.log(end / hertz[0]), *of_parts)) for end in hertz[1:])
        ends = (to_figures(one, digits) for one in (hertz[0], hertz[0] / below, hertz[0] * above))
        yield CouplingCorner(coupling.element.name, farads, output.value, to_figures(behind), Ranged(*ends))


def _tolerance(one: InPlace) -> float:
    """How far a part may be off what it counts with: little where it was measured, ±20 % where nothing is written."""
    if one.how == "measured":
        return MEASURED_SPREAD
    return max(-one.tolerance.low, one.tolerance.high) if one.tolerance else UNMARKED_TOLERANCE
