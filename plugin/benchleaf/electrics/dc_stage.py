"""The direct voltages of one amplifying stage, solved with its tube: what a changed part does to them.

The tube follows the three-halves power law (Child 1911, Langmuir 1913 for the exponent; van der Bijl for the
equivalent diode): cathode current = perveance x (V/mu + Vg - Vk)^1.5, V being the plate's voltage for a triode and the
screen's for a pentode, each above the cathode.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import product

__all__ = [
    "BIAS_SHARES",
    "DcStage",
    "StageVolts",
    "calibrated",
    "extremes",
    "plate_resistance",
    "resistance_at",
    "solve_stage",
]

BIAS_SHARES = (0.25, 0.5, 0.75)
"""Least, middle and greatest share of its cut-off bias that an amplifying tube is run at. With the three-halves law it
puts the plate resistance of 6J5, 6SN7GT, 6SL7GT, 6SQ7, 6Q7 and 12AX7 in their published operation within the band."""

_KNEE_VOLTS = 15.0
_STEPS = 200
_LEAST_DRIVE, _MOST_DRIVE = 1e-6, 1e5


@dataclass(frozen=True, slots=True)
class DcStage:
    """Supply in volts, resistances in ohms (0 is a wire or winding). No screen supply is a triode.

    The grid is at the bottom of the supply; ``offset_volts`` is taken from the drive: bias that no resistor makes
    (contact potential, AVC).
    """

    supply_volts: float
    load_ohms: float
    cathode_ohms: float = 0.0
    screen_supply_volts: float | None = None
    screen_ohms: float = 0.0
    mu: float = 20.0
    perveance: float = 1e-4
    screen_share: float = 0.0
    offset_volts: float = 0.0


@dataclass(frozen=True, slots=True)
class StageVolts:
    """A solved stage: volts above the bottom of the supply, and amperes. ``screen`` is None for a triode."""

    plate: float
    screen: float | None
    cathode: float
    plate_amps: float
    screen_amps: float

    @property
    def cathode_amps(self) -> float:
        return self.plate_amps + self.screen_amps


def plate_resistance(plate_volts: float, plate_amps: float, bias_share: float, cathode_ohms: float = 0.0) -> float:
    """Resistance in ohm that a plate shows to direct current, from its volts above the cathode and its amperes.

    The slope of the three-halves law: (2/3)(1 - share) V/I, ``bias_share`` being grid bias over cut-off bias. A cathode
    resistor, which is not bypassed for direct current, adds (mu + 1) Rk, where mu Rk is share x V/I when all bias comes
    from it. Raises ValueError unless volts and amperes are above zero.
    """
    if not (plate_volts > 0 and plate_amps > 0):
        raise ValueError("Plate volts and current must be above zero.")
    ohms = plate_volts / plate_amps
    added = bias_share * ohms + cathode_ohms if cathode_ohms else 0.0
    return 2 / 3 * (1 - bias_share) * ohms + added


def resistance_at(ohms: float, its_amps: float, amps: float, mu: float = 0.0, cathode_ohms: float = 0.0) -> float:
    """Resistance in ohm that an electrode shows at ``amps``, from the ``ohms`` published for it at ``its_amps``.

    Under the three-halves law the slope resistance goes with the cube root of one over the current, whatever the
    bias: (2/3) mu P^(-2/3) I^(-1/3). A cathode resistor, which is not bypassed for direct current, adds (mu + 1) Rk.
    Raises ValueError unless resistance and currents are above zero.
    """
    if not (ohms > 0 and its_amps > 0 and amps > 0):
        raise ValueError("A resistance and its current, and the current asked about, must be above zero.")
    return ohms * math.pow(its_amps / amps, 1 / 3) + (mu + 1) * cathode_ohms


def solve_stage(stage: DcStage) -> StageVolts:
    """The voltages of a stage, by bisection on its cathode current."""
    low, high = 0.0, stage.perveance * max(0.0, _drive(stage, 0.0)) ** 1.5
    for _ in range(_STEPS):
        middle = (low + high) / 2
        if middle in (low, high):  # the two are neighbours: to go on would change nothing
            break
        if stage.perveance * max(0.0, _drive(stage, middle)) ** 1.5 > middle:
            low = middle
        else:
            high = middle
    return _at(stage, (low + high) / 2)


def _drive(stage: DcStage, cathode_amps: float) -> float:
    at = _at(stage, cathode_amps)
    puller = at.plate if at.screen is None else at.screen
    return (puller - at.cathode) / stage.mu - at.cathode - stage.offset_volts


def _at(stage: DcStage, amps: float) -> StageVolts:
    """All voltages for a given cathode current."""
    cathode = amps * stage.cathode_ohms
    if stage.screen_supply_volts is None:
        return StageVolts(stage.supply_volts - amps * stage.load_ohms, None, cathode, amps, 0.0)
    wanted = amps * (1 - stage.screen_share)
    across = wanted * stage.load_ohms
    plate = stage.supply_volts - across
    if plate - cathode < _KNEE_VOLTS:
        # Below its knee a pentode's plate takes what is left to it, in proportion to its voltage; the screen the rest.
        plate = max((stage.supply_volts + across * cathode / _KNEE_VOLTS) / (1 + across / _KNEE_VOLTS), 0.0)
        wanted = wanted * max(0.0, min(1.0, (plate - cathode) / _KNEE_VOLTS))
    taken = amps - wanted
    return StageVolts(plate, stage.screen_supply_volts - taken * stage.screen_ohms, cathode, wanted, taken)


def calibrated(stage: DcStage, plate: float, screen: float | None, cathode: float, bias_share: float) -> DcStage | None:
    """The stage with a tube that gives these volts with these parts; None where they cannot be (no current flows).

    The current is that of the cathode resistor; a triode's, that of its load where it has one. ``bias_share``
    is bias over cut-off bias: a bias that the cathode resistor makes sets mu, any other stays fixed as an offset.
    """
    to_screen = 0.0
    if screen is not None and stage.screen_supply_volts is not None and stage.screen_ohms:
        to_screen = (stage.screen_supply_volts - screen) / stage.screen_ohms
    by_cathode = cathode / stage.cathode_ohms if stage.cathode_ohms else None
    to_plate = (stage.supply_volts - plate) / stage.load_ohms if stage.load_ohms else None
    by_load = None if to_plate is None else to_plate + to_screen
    total = by_load if by_cathode is None or (screen is None and by_load is not None) else by_cathode
    if total is None or total <= 0:
        return None
    share = to_screen / total if screen is not None else 0.0
    puller = (plate if screen is None else screen) - cathode
    if puller <= 0 or not 0 <= share < 1:
        return None
    bias = cathode if stage.cathode_ohms and cathode > 0 else puller * bias_share / stage.mu
    mu = puller * bias_share / bias
    drive = puller / mu - bias
    offset = 0.0 if stage.cathode_ohms and cathode > 0 else bias
    if drive <= _LEAST_DRIVE or drive > _MOST_DRIVE:
        return None
    return replace(stage, mu=mu, perveance=total / drive**1.5, screen_share=share, offset_volts=offset)


def extremes(stages: Iterable[DcStage], tolerances: dict[str, float]) -> dict[str, tuple[float, float]]:
    """Least and greatest volts of plate, screen and cathode with each resistance at either end of its tolerance.

    ``tolerances`` are ratios by the field's name. The voltages rise or fall with each resistance all the way, so that
    the corners are the extremes (interval arithmetic at its vertices).
    """
    return dict(_extremes(tuple(stages), tuple(tolerances.items())))


@lru_cache(maxsize=256)
def _extremes(
    stages: tuple[DcStage, ...], tolerances: tuple[tuple[str, float], ...]
) -> tuple[tuple[str, tuple[float, float]], ...]:
    """Kept, as every list of readings asks the same of a stage whose parts have not changed."""
    found: dict[str, list[float]] = {}
    for stage in stages:
        for corner in _corners(stage, dict(tolerances)):
            volts = solve_stage(corner)
            for name in ("plate", "screen", "cathode"):
                value = getattr(volts, name)
                if value is not None:
                    found.setdefault(name, []).append(value)
    return tuple((name, (min(values), max(values))) for name, values in found.items())


def _corners(stage: DcStage, tolerances: dict[str, float]) -> Iterator[DcStage]:
    for signs in product((-1, 1), repeat=len(tolerances)):
        changed = {
            name: getattr(stage, name) * (1 + sign * tolerance)
            for sign, (name, tolerance) in zip(signs, tolerances.items(), strict=True)
        }
        yield replace(stage, **changed)
