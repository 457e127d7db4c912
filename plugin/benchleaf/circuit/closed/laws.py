"""The law of each stage's tube, by the published point nearest to what it works at."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from ...electrics.dc_elements import Deviations
from ...electrics.tube_law import TubeLaw, converter, oscillator_triode, through_point
from ...tubes import Tube, Typical, find
from ...tubes.second_points import as_published
from ...tubes.sisters import relatives
from ..stages import Stage, changes_frequencies, operations

_NOT_MIXING = "IF amplifier"
_OF_ANOTHER_SLOPE = 0.3
"""How much nearer (a natural logarithm of volts) a point without slope or mu must be than one that has either."""

SPREAD = Deviations(0.15, 0.06, 0.18, 0.30, 0.2)
"""One standard deviation of a tube from the law through its type's published point. Perveance and mu cover what the
published second points of sheets show and what tubes of one type differ by."""

CONVERTER_SPREAD = Deviations(0.15, 0.0, 0.0, 0.40, 0.0)


@dataclass(frozen=True, slots=True)
class StageLaw:
    """A law, the published point it goes through, and how far the tube may be from it."""

    law: TubeLaw
    point: Typical
    deviations: Deviations
    converter: bool = False


def law_of(stage: Stage, tube: Tube, pull_volts: float, *, mixes: bool = True) -> StageLaw | None:
    """The law of a stage whose screen (a triode's plate) is at about ``pull_volts``; None without a usable point.

    ``mixes`` is false of a mixer whose oscillator has no supply: on FM it amplifies.
    """
    if pull_volts <= 0:
        return None
    for points in (operations(stage, tube), _of_the_same_system(stage, tube)):
        found = sorted(_laws(stage, points, mixes=mixes), key=lambda one: _distance(one, pull_volts))
        if found:
            return found[0]
    return None


def _of_the_same_system(stage: Stage, tube: Tube) -> tuple[Typical, ...]:
    """The operations of types that differ in heater or base alone, or share the triode that is asked about."""
    shared = "triode" if stage.section.startswith("triode") else "system"
    kin = [find(other.type) for other in relatives(tube.type) if shared in other.shares]
    return tuple(point for other in kin if other is not None for point in operations(stage, other))


def _distance(one: StageLaw, pull_volts: float) -> float:
    at = one.point.screen_volts or one.point.plate_volts or 1.0
    unsure = 0.0 if one.converter or one.point.gm_siemens or one.point.mu else _OF_ANOTHER_SLOPE
    return abs(math.log(at / pull_volts)) + unsure


def _laws(stage: Stage, points: Iterable[Typical], *, mixes: bool) -> Iterator[StageLaw]:
    oscillates = stage.mixes and mixes
    for point in points:
        if changes_frequencies(stage) and oscillates == point.use.startswith(_NOT_MIXING):
            continue
        if not (point.plate_volts and point.plate_amps) or bool(stage.screens) != bool(point.screen_volts):
            continue
        try:
            if oscillates and stage.screens:
                screen, amps = point.screen_volts or 0.0, point.screen_amps or 0.0
                law = converter(point.plate_amps, amps, screen, point.plate_volts)
                yield StageLaw(law, point, CONVERTER_SPREAD, converter=True)
            elif stage.oscillates:
                law = oscillator_triode(point.plate_amps, point.plate_volts)
                yield StageLaw(law, point, CONVERTER_SPREAD, converter=True)
            else:
                yield StageLaw(through_point(as_published(point)), point, SPREAD)
        except ValueError:
            continue
