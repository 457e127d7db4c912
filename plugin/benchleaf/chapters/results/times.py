"""How many times one value is another, in words."""

from __future__ import annotations

from ...report.amount import Amount, Origin
from ...report.sentence import PhrasePart, Styled
from ...words.decimal_sign import with_decimal_sign


def times(ratio: float) -> PhrasePart:
    """A ratio as a plain number."""
    if ratio < 0.001:
        return Amount(ratio, "1", Origin.COMPUTED, digits=3)
    return Styled((with_decimal_sign(f"{ratio:.3g}" if ratio < 1000 else f"{ratio:.0f}"),), Origin.COMPUTED)
