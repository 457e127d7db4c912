"""The line current to expect at a line voltage: heaters and the rectifier's pulses, with the band it may lie in."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from ...circuit.closed.closing import close
from ...electrics.line_current import EMISSION_RESERVE, carried, line_amps, line_watts, reflected
from ...electrics.rectifier import NoSteadyStateError
from ...record.figures import to_figures
from .b_plus_feed import BPlusFeed, b_plus_feed
from .findings import ExpectedLine, LineCurve, LinePoint, in_per_cent
from .heater_draw import HeaterDraw, HeaterDrawAt, heater_draw

if TYPE_CHECKING:
    from ..bench import Bench
    from ..heaters.findings import HeatersFindings
    from ..parts.findings import PartsFindings

HEATERS_OFF, PULSES_OFF = 0.05, 0.20
"""How far heaters of one type, and the rectifier's current, may be off what is computed. Common practice, no source."""
LOSSES = (0.05, 0.12, 0.25)
"""Lowest, likely and highest losses of a mains transformer over the watts it passes on. Common practice, no source."""
MAGNETISING = (0.05, 0.20, 0.40)
"""Its magnetising current at the nominal line over its load current. Common practice, no source."""
_MOST_LINES = 3
_CURVE_FROM, _CURVE_STEPS = 0.3, 5
"""The curve begins at this share of the nominal line, where cathodes are cold."""


@dataclass(frozen=True)
class LineDraw:
    """All that a set draws from its line."""

    heaters: HeaterDrawAt
    feed: BPlusFeed
    nominal_volts: float
    wound: bool

    def at(self, line_volts: float) -> LinePoint | None:
        """What is to be expected at a line voltage; None where the heaters cannot be known there.

        Raises ValueError for a filter that cannot be followed, NoSteadyStateError where it has no figures.
        """
        warm = self.heaters(line_volts)
        if warm is None:
            return None
        low, likely, high = self.feed.shares(line_volts)
        state = self.feed.run(line_volts, likely)
        pulses = reflected(state.amps, self.feed.ratio) if self.wound else state.amps
        worn, new = EMISSION_RESERVE
        factors = (
            (1 - PULSES_OFF) * low / likely * carried(warm.of_rated, worn),
            carried(warm.of_rated, math.sqrt(worn * new)),
            (1 + PULSES_OFF) * high / likely * carried(warm.of_rated, new),
        )
        heaters = (1 - HEATERS_OFF, 1.0, 1 + HEATERS_OFF)
        amps = [self._amps(pulses, warm, *by, line_volts) for by in zip(factors, heaters, range(3), strict=True)]
        loss = 1 + LOSSES[1] if self.wound else 1.0
        taken = [factors[1] * one for one in pulses]
        return LinePoint(
            ExpectedLine(line_volts, to_figures(amps[1]), to_figures(amps[0], 2), to_figures(amps[2], 2)),
            warm.in_phase_amps,
            line_watts(taken, warm.in_phase_amps, line_volts) * loss,
            state.mean_volts[0] - self.feed.below(likely) if carried(warm.of_rated, worn) >= 1 else None,
            in_per_cent(warm.of_rated),
        )

    def _amps(
        self,
        pulses: Sequence[float],
        warm: HeaterDraw,
        of_pulses: float,
        of_heaters: float,
        which: int,
        line_volts: float,
    ) -> float:
        taken = [of_pulses * one for one in pulses]
        in_phase, lagging = of_heaters * warm.in_phase_amps, of_heaters * warm.lagging_amps
        if self.wound:
            load = line_watts(taken, in_phase, line_volts) / line_volts
            in_phase += LOSSES[which] * load
            lagging += MAGNETISING[which] * self._full_load * line_volts / self.nominal_volts
        return line_amps(taken, in_phase, lagging)

    @cached_property
    def _full_load(self) -> float:
        """Amperes of the load at the nominal line, all in phase."""
        warm = self.heaters(self.nominal_volts)
        state = self.feed.run(self.nominal_volts, self.feed.shares(self.nominal_volts)[1])
        pulses = reflected(state.amps, self.feed.ratio)
        return line_watts(pulses, warm.in_phase_amps if warm else 0.0, self.nominal_volts) / self.nominal_volts


def line_curve(
    bench: Bench, parts: PartsFindings | None, heaters: HeatersFindings | None, steps: Iterable[float]
) -> LineCurve | None:
    """What is to be expected at each line voltage of ``steps``, and between them; None where the set has no line."""
    mains = bench.circuit.mains
    if not mains.from_line or mains.volts is None:
        return None
    nominal, high = mains.volts.nominal, mains.volts.high
    lowest = _CURVE_FROM * nominal
    spread = [lowest + (high - lowest) * k / _CURVE_STEPS for k in range(_CURVE_STEPS + 1)]
    asked = sorted({round(volts, 9) for volts in (*steps, *spread, nominal) if 0 < volts <= high * 1.15})
    feed, warm = b_plus_feed(bench, parts, asked), heater_draw(bench, heaters)
    lacks = (*((warm,) if isinstance(warm, str) else ()), *(feed if isinstance(feed, tuple) else ()))
    if isinstance(feed, tuple) or isinstance(warm, str):
        return LineCurve(
            nominal_volts=nominal, lacks=lacks, closing=_closing(bench, nominal) if isinstance(feed, tuple) else ()
        )
    draw = LineDraw(warm, feed, nominal, mains.wound)
    points, refused = [], ""
    try:
        for volts in asked:
            try:
                point = draw.at(volts)
            except NoSteadyStateError as none:
                point, refused = None, str(none)
            points += [point] if point else []
    except (ValueError, OverflowError):
        return LineCurve(
            nominal_volts=nominal, lacks=(f"{bench.words.filter_capacitors} and resistors of a believable size",)
        )
    return LineCurve(tuple(points), nominal, feed.rests_on, feed.assumed, wound=mains.wound, refused=refused)


def amps_expected(
    bench: Bench, parts: PartsFindings | None, heaters: HeatersFindings | None, line_volts: float
) -> float | None:
    """Amperes RMS that a set takes at a line voltage, heaters and rectifier; None where the record lacks too much."""
    mains, warm = bench.circuit.mains, heater_draw(bench, heaters)
    if not mains.from_line or mains.volts is None or isinstance(warm, str):
        return None
    feed = b_plus_feed(bench, parts, [line_volts])
    if isinstance(feed, tuple):
        return None
    try:
        point = LineDraw(warm, feed, mains.volts.nominal, mains.wound).at(line_volts)
    except (NoSteadyStateError, ValueError, OverflowError):
        return None
    return point.line.line_amps_rms if point else None


def _closing(bench: Bench, line_volts: float) -> tuple[str, ...]:
    """The lines of a record by which the set's own circuit would say what it draws."""
    lacks = close(bench.circuit, "", line_volts=line_volts).lacks
    return tuple(dict.fromkeys(line for one in lacks if (line := one.line(bench.words))))[:_MOST_LINES]
