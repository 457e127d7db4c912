"""What can be bought or made up for a value that is no longer made: one preferred part, or two."""

from __future__ import annotations

from functools import cache

from ...electrics.pairs import Made, decades, nearest_made

_CLOSE = {"capacitor": 0.1, "resistor": 0.05}
"""One part within this is as good as two (old parts were made to ±20 %: common practice, no source)."""
_SERIES = {"capacitor": "E6", "resistor": "E24"}
_RANGE = {"capacitor": (10e-12, 220e-6), "resistor": (1.0, 22e6)}


def substitute(value: float | None, kind: str) -> Made | None:
    """The nearest value commonly made, E6 for capacitors and E24 for resistors, or the best pair of such."""
    if kind not in _SERIES or not value or value < 0:
        return None
    stock = [s for s in _stock(kind) if value / 100 <= s <= value * 100]
    return nearest_made(value, stock, capacitors=kind == "capacitor", close=_CLOSE[kind])


@cache
def _stock(kind: str) -> tuple[float, ...]:
    return decades(_SERIES[kind], *_RANGE[kind])
