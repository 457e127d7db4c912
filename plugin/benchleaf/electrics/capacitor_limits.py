"""How much a capacitor may leak and how much series resistance it may have; farads, volts, amperes, ohms."""

from __future__ import annotations

import math
from bisect import bisect_right

__all__ = [
    "ESR_SOURCE",
    "ESR_TIMES_NEW",
    "LEAKAGE_SOURCE",
    "electrolytic_leakage_limit",
    "esr_when_new",
    "insulation_needed",
]

LEAKAGE_SOURCE = "JAN-C-62, as quoted on the amradio and boatanchors lists: I in mA is k·C in µF + 0.3"
_LEAKAGE_FACTORS = ((100.0, 0.01), (250.0, 0.02), (350.0, 0.025), (500.0, 0.04))


def electrolytic_leakage_limit(farads: float, rated_volts: float) -> float | None:
    """Amperes an electrolytic may leak at its rated voltage: I = kC + 0.3 mA, by JAN-C-62.

    ``k`` is 0.01, 0.02, 0.025, 0.04 mA/µF up to 100, 250, 350, 500 V; None above that.
    """
    factor = next((k for most, k in _LEAKAGE_FACTORS if rated_volts <= most), None)
    return None if factor is None or not farads > 0 else (factor * farads * 1e6 + 0.3) * 1e-3


_AT_A_GRID, _ELSEWHERE = 100e6, 10e6


def insulation_needed(*, at_a_grid: bool) -> float:
    """Ohms that a paper, film, mica or ceramic capacitor should have at least: 100 megohm at a grid or on the AVC line,
    10 megohm elsewhere (common practice, no source). A new film capacitor has thousands of times as much."""
    return _AT_A_GRID if at_a_grid else _ELSEWHERE


ESR_SOURCE = "the published table of new electrolytics at circuitsgallery.com (glodark.com prints lower figures)"
ESR_TIMES_NEW = 2.0
"""From twice the table's figure on a capacitor is called tired: the note under the table at glodark.com."""

_VOLTS = (10.0, 16.0, 25.0, 35.0, 63.0, 160.0, 250.0)
_ESR = {
    4.7e-6: (40.0, 35.0, 29.0, 24.0, 19.0, 16.0, 13.0),
    10e-6: (20.0, 16.0, 14.0, 11.0, 9.3, 7.7, 6.3),
    22e-6: (9.0, 7.5, 6.2, 5.1, 4.2, 3.5, 2.9),
    47e-6: (4.2, 3.5, 2.9, 2.4, 2.0, 1.60, 1.40),
    100e-6: (2.0, 1.60, 1.40, 1.10, 0.90, 0.77, 0.63),
    220e-6: (0.90, 0.75, 0.62, 0.51, 0.42, 0.35, 0.29),
}
"""Ohms; 0.90 at 100 µF 63 V is printed as 0.09 there, against both its neighbours."""


def esr_when_new(farads: float, rated_volts: float) -> float | None:
    """Highest ESR in ohm of a new electrolytic at 100 kHz and 20 °C, from a published table; None outside it.

    Between two capacitances it is interpolated on logarithmic scales; the column is that of the highest voltage not
    above the rated one.
    """
    sizes = tuple(_ESR)
    if not sizes[0] * 0.8 <= farads <= sizes[-1] or rated_volts < _VOLTS[0] * 0.6:
        return None
    column = max(bisect_right(_VOLTS, rated_volts) - 1, 0)
    above = min(max(bisect_right(sizes, farads), 1), len(sizes) - 1)
    one, other = sizes[above - 1], sizes[above]
    low, high = _ESR[one][column], _ESR[other][column]
    along = math.log(farads / one) / math.log(other / one)
    return float(low * (high / low) ** along)
