"""A lamp in series with the set, as ``with`` of a power-up names it, and what each step is behind it."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

from ...circuit.powered_steps import before_it, has_lamp_in_series
from ...electrics.heaters import HEATER_CURRENT_EXPONENT, HeaterElement, pilot_lamp
from ...electrics.line_current import volts_left
from ...record.figures import to_figures
from .findings import ExpectedLine, LampInSeries, LineCurve

_COUNTS = {"two": 2, "2": 2, "three": 3, "3": 3}
_RATED = re.compile(
    r"(?:\b(?P<count>two|three|[23])\s*(?:[x×]\s*)?)?(?<![\d.])(?P<watts>\d+(?:\.\d+)?)\s*(?:W|watts?)\b"
    r"(?:\s+(?P<volts>\d+(?:\.\d+)?)\s*V\b)?",
    re.I,
)
_SEVERAL = re.compile(
    r"(?<![\d.])\d{2,3}\s?W?\s*(?:[,/&+]|and|or|then|\s)\s*\d{2,3}(?:\s?W?\s*(?:[,/&+]|and|or|then|\s)\s*\d{2,3})*\s?W",
    re.I,
)
"""Lamps of several sizes, ``40 60 100 w``: which of them a step had is for the step to say."""
_WATTS = (5.0, 1000.0)
"""A lamp that somebody puts in series. Common practice, no source."""


def lamp_of(using: str, nominal_volts: float | None) -> LampInSeries | None:
    """The lamp in series; what stands before ``then`` is over. Its watts are None where they are not written.

    A lamp of which no volts are written is one for the set's own line.
    """
    text = before_it(using)
    if not has_lamp_in_series(using) or nominal_volts is None:
        return None
    rated = None if _SEVERAL.search(text) else _RATED.search(text)
    if rated is None or not _WATTS[0] <= float(rated["watts"]) <= _WATTS[1]:
        return LampInSeries(None, nominal_volts, 1, None)
    volts = float(rated["volts"] or nominal_volts)
    count = _COUNTS.get((rated["count"] or "").casefold(), 1)
    lamp = LampInSeries(float(rated["watts"]), volts, count, None)
    return replace(lamp, short_amps=to_figures(_element(lamp).amps_at(nominal_volts), 2)) if volts > 0 else None


def _element(lamp: LampInSeries) -> HeaterElement:
    return pilot_lamp(lamp.volts, lamp.count * (lamp.watts or 0.0) / lamp.volts)


MORE_THAN_IT_PASSES = 1.03
"""Times what a lamp lets through, from which a current cannot have come through it. Common practice, no source."""


def was_out(lamp: LampInSeries, line_volts: float | None, line_amps: float | None) -> float | None:
    """What the lamp lets through where the set is a dead short, if more than that was read; None if it was not."""
    if not lamp.watts or not line_volts or not line_amps or line_volts <= 0:
        return None
    most = _element(lamp).amps_at(line_volts)
    return to_figures(most, 2) if line_amps > most * MORE_THAN_IT_PASSES else None


def behind(lamp: LampInSeries, curve: LineCurve, line_volts: float) -> tuple[ExpectedLine, float] | None:
    """What a step draws through the lamp, and the volts left for the set; None where it cannot be worked out."""
    if not lamp.watts or len(curve.points) < 2 or line_volts <= 0:
        return None
    bulb = _element(lamp)
    lines = [point.line for point in curve.points]
    volts = [line.line_volts for line in lines]
    found = []
    for amps in ([x.low_amps_rms for x in lines], [x.line_amps_rms for x in lines], [x.high_amps_rms for x in lines]):
        draws = _between(volts, amps)
        left = volts_left(bulb, draws, line_volts)
        found.append((draws(left), left))
    (low, _), (likely, left), (high, _) = found
    return ExpectedLine(line_volts, to_figures(likely), to_figures(low, 2), to_figures(high, 2)), to_figures(left, 2)


def _between(volts: list[float], amps: list[float]) -> Callable[[float], float]:
    """Straight lines between the points of a curve; below it as heaters go, above it along its last piece."""

    def at(asked: float) -> float:
        if asked <= volts[0]:
            return float(amps[0] * (max(asked, 0.0) / volts[0]) ** HEATER_CURRENT_EXPONENT)
        pieces = list(pairwise(zip(volts, amps, strict=True)))
        (x, y), (x1, y1) = next((p for p in pieces if asked <= p[1][0]), pieces[-1])
        return y + (y1 - y) * (asked - x) / (x1 - x)

    return at
