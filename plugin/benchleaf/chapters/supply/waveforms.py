"""The supply as the record describes it, run through one period at a line voltage."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ...electrics.rectifier import Filter, FilterTap, Rectifier, SteadyState, Supply
from .found import VIBRATOR_DUTY, DescribedSupply

if TYPE_CHECKING:
    from ...circuit.in_place import InPlace

FilterValues = Sequence[tuple[float | None, float]]
"""Farad and ESR in ohm of each capacitor of the filter, the reservoir first."""

_ASSUMED_DROP_VOLTS, _ASSUMED_AMPS = 20.0, 0.1


def rectifier_of(found: DescribedSupply) -> Rectifier:
    """One path of the rectifier: of a tube from its published drop, or the one that is assumed; plates that lie side by
    side are one path."""
    if found.dry is not None:
        return Rectifier(None, found.dry.drop_volts)
    if found.limits is None or not found.limits.drops:
        return Rectifier.tube(_ASSUMED_DROP_VOLTS, _ASSUMED_AMPS * found.beside)
    drop = found.limits.drops[0]
    return Rectifier(None, drop.volts) if found.limits.arc else Rectifier.tube(drop.volts, drop.amps * found.beside)


def values_of(there: InPlace) -> tuple[float | None, float]:
    """Farad and ESR in ohm; an ESR that nobody wrote counts as none."""
    return there.value if there.unit == "F" else None, there.esr_ohms or 0.0


def run_supply(
    found: DescribedSupply,
    line_volts: float,
    rectifier: Rectifier,
    values: FilterValues,
    more_ohms: float = 0.0,
    near: SteadyState | None = None,
) -> SteadyState:
    """The steady state at ``line_volts``, ``more_ohms`` in series. Raises ValueError where it cannot be followed."""
    from ...electrics.steady_state import solve

    supply = supply_of(found, line_volts, rectifier, more_ohms)
    return solve(supply, _circuit(found, line_volts, values), near.start if near else None)


def supply_of(found: DescribedSupply, line_volts: float, rectifier: Rectifier, more_ohms: float = 0.0) -> Supply:
    """What charges the first capacitor at ``line_volts``, ``more_ohms`` in series: through the negative return, if it
    ends at the chassis."""
    peak = found.volts_per_line_volt * line_volts
    duty = VIBRATOR_DUTY if found.square else None
    back = None if found.on_b_minus else found.back
    behind = (back.ohms, back.farads) if back else (0.0, 0.0)
    return Supply(found.kind, peak, found.hertz, found.ohms + more_ohms, rectifier, duty, *behind)


def volts_to_chassis(found: DescribedSupply, line_volts: float, state: SteadyState) -> tuple[float, ...]:
    """The mean volts of each capacitor's rail to the chassis: less than across it where it ends at B-, below that."""
    below = b_minus_volts(found, line_volts) if found.on_b_minus else 0.0
    return tuple(volts - below for volts in state.mean_volts)


def b_minus_volts(found: DescribedSupply, line_volts: float) -> float:
    """How far B- lies below the chassis, by all that is drawn through what lies between the two."""
    scale = line_volts / found.load_line_volts
    return found.back.ohms * scale * sum(stage.load_amps for stage in found.stages) if found.back else 0.0


def _circuit(found: DescribedSupply, line_volts: float, values: FilterValues) -> Filter:
    """Loads follow the line, as those of resistors and of self-biased tubes about do."""
    scale = line_volts / found.load_line_volts
    taps = tuple(
        FilterTap(farads or 0.0, esr, stage.load_amps * scale, stage.series_ohms, stage.series_henries)
        for stage, (farads, esr) in zip(found.stages, values, strict=True)
    )
    return Filter(taps, taps[0].farads if found.kind == "cascade doubler" else None)
