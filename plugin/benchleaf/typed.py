"""A value as it was typed, beside what it was read as where the two do not look alike."""

from __future__ import annotations

import re
from dataclasses import dataclass

from .record.quantities import Quantity

_EVERYDAY = re.compile(
    r"[<>≤≥~≈]?\s*[+\-−]?\d+(?:\.\d+)?\s*"
    r"(?:[pnuµμm]F|[mnuµμ]?H|[munµμ]?[VA]|k?V|[mkµμu]?W|[kM]?Hz|[kM]?(?:ohm|Ω)|%|h|min|s|°C)(?: (?:AC|DC|RMS|peak))?"
)


@dataclass(frozen=True, slots=True)
class Typed:
    """``text`` as typed; ``si`` in ``unit``, None where no single value was meant.

    ``everyday`` is true where nobody today would read the text otherwise, so that it needs no reading beside it.
    """

    text: str
    si: float | None
    unit: str
    everyday: bool


def typed(quantity: Quantity | None) -> Typed | None:
    """The quantity with its spelling; None for one that was not written."""
    if quantity is None:
        return None
    text = " ".join(quantity.written.split())
    everyday = quantity.si is None or bool(_EVERYDAY.fullmatch(text))
    return Typed(text, quantity.si, quantity.unit, everyday)
