"""Do the readings agree? Kirchhoff's current law at each stage, against what readings and parts may be off by."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import TYPE_CHECKING

from ...circuit.resistors import ResistorInPlace, Through, into
from ...circuit.usual_limits import READING_LIMIT
from ...record.figures import to_figures
from .judging import single
from .meters import taken_amps, uncertainty
from .read_stages import stages
from .runs import Readings
from .spots import RAIL
from .volts import voltages

if TYPE_CHECKING:
    from uncertainties import UFloat

    from ...circuit.network import Network
    from ...circuit.places import Place
    from ..bench import Bench

MEASURED_LIMIT, PART_LIMIT = 0.01, 0.2
"""What a measured resistor and one of unknown tolerance may be off by. Common practice, no source."""

COVERAGE = 2.0
_RECTANGULAR = math.sqrt(3)
_LEAST_AMPS = 1e-15
_MOST_NAMED = 3
_FARTHEST = 20.0
"""A value that would have to be twenty times another is no slip that would be believed."""

Values = Mapping[str, float]
_Sized = tuple[float, "WouldAgree"]


@dataclass(frozen=True, slots=True)
class WouldAgree:
    """One value that, were it the only wrong one, would make the rest agree, with what it would have to be."""

    what: str
    unit: str
    now: float
    needed: float


@dataclass(frozen=True, slots=True)
class Contradiction:
    """Two currents that should be one and are not. Amperes; ``uncertainty_amps`` is the expanded one (k = 2)."""

    run: str
    place: str
    cathode_amps: float
    others_amps: float
    off_amps: float
    uncertainty_amps: float
    alone: tuple[WouldAgree, ...]

    @property
    def times(self) -> float:
        """The difference in units of its uncertainty."""
        return self.off_amps / self.uncertainty_amps


@dataclass(frozen=True, slots=True)
class _Step:
    """A current from node ``start`` to ``end`` through a part, counted with ``sign``. Names are those of the values."""

    start: str
    end: str
    part: str
    sign: int


@dataclass(frozen=True, slots=True)
class _Sum:
    """Currents that add up to nothing at a stage: into plate and screen, out of the cathode.

    ``meter_amps`` is what the meter took at each electrode while it was read, on the way to no tube.
    """

    place: str
    steps: tuple[_Step, ...]
    meter_amps: float = 0.0
    meter_limit_amps: float = 0.0

    def holds(self, name: str) -> bool:
        """Whether a value of this name is in it."""
        return any(name in (step.start, step.end, step.part) for step in self.steps)


def contradictions(run: Readings, bench: Bench) -> tuple[Contradiction, ...]:
    """The stages of a run whose currents do not add up, with the single values that would set them right."""
    network = bench.circuit.network
    parts = bench.circuit.resistors(run.when, bench.words)
    volts = voltages(run, network)
    sums = list(_sums(run, network, parts, volts))
    if not sums:
        return ()
    values, limits = _values(run, network, parts, volts)
    said = _said(run, network)
    found = []
    residuals = [_residual(one, values, limits) for one in sums]
    agree = [abs(off) <= unsure for off, unsure in residuals]
    by_itself = cache(lambda name: _by_itself(name, sums, agree, values, limits))
    for one, (off, unsure) in zip(sums, residuals, strict=True):
        if abs(off) > unsure > 0:
            out = sum(_amps(step, values) for step in one.steps if step.sign < 0)
            fed = sum(_amps(step, values) for step in one.steps if step.sign > 0) - one.meter_amps
            alone = tuple(
                replace(would, what=said.get(would.what, would.what)) for would in _alone(one, by_itself, limits)
            )
            amps = to_figures(out), to_figures(fed), to_figures(abs(off), 2), to_figures(unsure, 2)
            found.append(Contradiction(run.name, one.place, *amps, alone))
    return tuple(found)


def _said(run: Readings, network: Network) -> dict[str, str]:
    """The names of the values as the page says them; a point goes by the rail or electrode that was read there."""
    said: dict[str, str] = {}
    for value in sorted(run.values, key=lambda value: value.spot.kind != RAIL):
        spot = value.spot
        name = spot.tube if spot.kind == RAIL else f"{spot.tube} {spot.said}"
        said[_key(spot.place)] = name
        for at in network.joined_to(spot.place):
            said.setdefault(_key(at), name)
    return said


def _sums(
    run: Readings, network: Network, parts: Sequence[ResistorInPlace], volts: Mapping[Place, float]
) -> Iterator[_Sum]:
    """A sum for each stage of which cathode, plate and (where there is one) screen current are all known."""
    for stage in stages(run, network):
        screens = stage.screens if stage.certain or stage.screens else ()
        nodes = [stage.cathode, *stage.plates, *screens, *stage.beside]
        if not stage.certain or stage.cathode is None or not stage.plates:
            continue
        known = [into(node, parts, volts, network) if node and network.stands_alone(node) else None for node in nodes]
        if any(steps is None for steps in known):
            continue
        steps = [_step(step, -1) for step in known[0] or ()]
        steps += [_step(step, 1) for found in known[1:] for step in found or ()]
        # From the cathode outwards the current flows down, to the others it flows in.
        steps = [replace(s, start=s.end, end=s.start) if s.sign < 0 else s for s in steps]
        taken = [
            taken_amps(volts[at], run.conditions_at(at, network))
            for node in nodes
            if node and (at := network.point(node)) in volts
        ]
        yield _Sum(stage.name, tuple(steps), math.fsum(a for a, _ in taken), math.fsum(b for _, b in taken))


def _step(step: Through, sign: int) -> _Step:
    return _Step(_key(step.from_node), _key(step.to_node), step.part, sign)


def _key(place: Place) -> str:
    return f"{place.tube} {place.key}".strip()


def _amps(step: _Step, values: Values) -> float:
    return (values[step.start] - values[step.end]) / values[step.part]


def _values(
    run: Readings, network: Network, parts: Sequence[ResistorInPlace], volts: Mapping[Place, float]
) -> tuple[dict[str, float], dict[str, float]]:
    """Every volt and ohm by name, and what each may be off by."""
    values = {_key(node): volt for node, volt in volts.items()}
    limits = {_key(node): 0.0 for node in volts}
    for value in run.values:
        volt = single(value.quantity)
        for at in network.joined_to(value.spot.place):
            if volt is not None and volts.get(at) == volt:
                by_meter = uncertainty(volt, run)
                limits[_key(at)] = READING_LIMIT * abs(volt) if by_meter is None else by_meter
    for part in parts:
        share = MEASURED_LIMIT if part.how == "measured" else part.tolerance or PART_LIMIT
        values[part.part], limits[part.part] = part.ohms, share * part.ohms
    return values, limits


def _residual(one: _Sum, values: Values, limits: Values, without: str = "") -> tuple[float, float]:
    """What a sum lacks to nothing, in amperes, and its expanded uncertainty (GUM: rectangular limits, k = 2)."""
    from uncertainties import ufloat

    names = {name for step in one.steps for name in (step.start, step.end, step.part)}
    unsure: dict[str, UFloat | float] = {
        name: ufloat(values[name], limits[name] / _RECTANGULAR) if limits[name] and name != without else values[name]
        for name in sorted(names)
    }
    limit = one.meter_limit_amps / _RECTANGULAR
    total: UFloat | float = -(ufloat(one.meter_amps, limit) if limit else one.meter_amps)
    for step in one.steps:
        total = total + step.sign * (unsure[step.start] - unsure[step.end]) / unsure[step.part]
    if isinstance(total, float):
        return total, 0.0
    return float(total.nominal_value), COVERAGE * float(total.std_dev)


def _alone(one: _Sum, by_itself: Callable[[str], _Sized | None], limits: Values) -> list[WouldAgree]:
    """Each value of a sum that would set all sums right by itself, the smallest change first."""
    names = sorted({n for step in one.steps for n in (step.start, step.end, step.part)})
    found = [would for name in names if limits[name] and (would := by_itself(name))]
    return [would for _, would in sorted(found, key=lambda pair: pair[0])[:_MOST_NAMED]]


def _by_itself(name: str, sums: Sequence[_Sum], agree: Sequence[bool], values: Values, limits: Values) -> _Sized | None:
    """The value that would set all sums right were it another, with the size of the change; None where none does.

    Every sum is linear in a voltage and in a conductance: least squares over the sums that hold the value. ``agree``
    says of each sum whether it is right as read; one that does not hold the value stays as it is.
    """
    held = [s for s in sums if s.holds(name)]
    if not all(right for s, right in zip(sums, agree, strict=True) if s not in held):
        return None
    needed = _needed(name, held, values, limits)
    if needed is None or not _believable(name, needed, values):
        return None
    changed = {**values, name: needed}
    if not all(abs(off) <= unsure for off, unsure in (_residual(s, changed, limits, name) for s in held)):
        return None
    unit = "ohm" if any(step.part == name for s in held for step in s.steps) else "V"
    size = abs(math.log(needed / values[name])) if values[name] > 0 and needed > 0 else math.inf
    return size, WouldAgree(name, unit, values[name], to_figures(needed))


def _needed(name: str, sums: Sequence[_Sum], values: Values, limits: Values) -> float | None:
    """What a value would have to be for the ``sums``, each of which holds it; None where nothing tells."""
    is_part = any(step.part == name for one in sums for step in one.steps)
    here = 1 / values[name] if is_part else values[name]
    weighted = square = 0.0
    for one in sums:
        off, unsure = _residual(one, values, limits, name)
        moved = here * 2 if is_part else here + 1.0
        there = {**values, name: 1 / moved if is_part else moved}
        slope = (sum(s.sign * _amps(s, there) for s in one.steps) - one.meter_amps - off) / (moved - here)
        weight = 1 / max(unsure, _LEAST_AMPS) ** 2
        weighted += weight * slope * off
        square += weight * slope**2
    if not square:
        return None
    needed = here - weighted / square
    if is_part:
        return 1 / needed if needed > 0 else None
    return needed


def _believable(name: str, needed: float, values: Values) -> bool:
    highest = max(value for key, value in values.items() if " " in key or value < 2000)
    if values[name] > 0 and needed <= 0:
        return False
    if values[name] and not 1 / _FARTHEST <= abs(needed / values[name]) <= _FARTHEST:
        return False
    return name not in values or needed <= max(highest, values[name] * _FARTHEST)
