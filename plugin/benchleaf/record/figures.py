"""Numbers with as many figures as are meant: rounded where they are computed, so that every page says the same."""

from __future__ import annotations

import dataclasses
import math
from decimal import ROUND_HALF_UP, Context, Decimal
from typing import TYPE_CHECKING, TypeVar, overload

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

    Found = TypeVar("Found", bound=DataclassInstance)


@overload
def to_figures(value: float, digits: int = ...) -> float: ...
@overload
def to_figures(value: float | None, digits: int = ...) -> float | None: ...
def to_figures(value: float | None, digits: int = 3) -> float | None:
    """A value with so many significant figures, half rounded away from zero as a page says it.

    None, zero and what is no finite number stay as they are.

    >>> to_figures(0.0378205), to_figures(1.365, 2)
    (0.0378, 1.4)
    """
    if not value or not math.isfinite(value):
        return value
    return float(Context(prec=digits, rounding=ROUND_HALF_UP).plus(Decimal(f"{value:.15g}")))


def in_figures(found: Found, *fields: str, digits: int = 3) -> Found:
    """A finding with the numbers of some fields rounded."""
    return dataclasses.replace(found, **{name: to_figures(getattr(found, name), digits) for name in fields})
