"""A number as a page says it: value, unit, spelling, bound, origin, source, and no more figures than it can bear."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING

from ..electrics.colours import UNMARKED_TOLERANCE
from ..record.units import NOTHING, say, say_column
from .source import weakest

if TYPE_CHECKING:
    from .source import Source


class Origin(Enum):
    """How a number came about; ``css`` is how it is set, empty where it is set like the text around it."""

    MEASURED = "measured"
    PUBLISHED = "published"
    COMPUTED = "computed"
    ASSUMED = "assumed"
    STATED = ""
    """Marked on the part, or said in the record without a reading."""

    @property
    def css(self) -> str:
        return f"bl-{self.value}" if self.value else ""


_BOUNDS = {
    "lt": "at most", "le": "at most", "gt": "at least", "ge": "at least", "approx": "about",
    "exact": "", "tolerance": "", "at most": "at most", "at least": "at least", "about": "about", "": "",
}  # fmt: skip
"""What a quantity's qualifier, or a finding's word for a bound, is said as before the number."""

DEFAULT_FIGURES = 3
METER_TOLERANCE = 0.01
"""Of a value measured at the bench with a hand-held meter (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Amount:
    """One number: ``si`` in the SI unit ``unit`` as a Quantity has it (``F``, ``ohm``, ``1`` for a ratio).

    ``written`` is its spelling as typed. ``bound`` is ``at least``, ``at most``, ``about`` or empty. ``digits`` is how
    many figures it is shown with at most, None for what its unit is commonly shown with. ``signed`` puts a plus before
    what is above zero. ``source`` is the rule, limit or table it leans on. ``anchor`` is the id of its working.
    ``like`` is a value whose prefix smaller ones are said with too, as limits of touch current have milliampere.
    """

    si: float | None
    unit: str
    origin: Origin = Origin.STATED
    written: str = ""
    bound: str = ""
    digits: int | None = None
    signed: bool = False
    source: Source | None = None
    anchor: str = ""
    like: float | None = None

    @property
    def text(self) -> str:
        """The number as the trade prints it, with its bound; ``–`` where there is none."""
        number = self._number()
        if number == NOTHING:
            return number
        plus = "+" if self.signed and self.si is not None and self.si > 0 else ""
        return f"{self.bound} {plus}{number}".lstrip()

    def _number(self) -> str:
        if self.like is None or self.si is None or abs(self.si) >= self.like:
            return say(self.si, self.unit, digits=self.digits)
        return say_column((self.si, self.like), self.unit)[0]

    @property
    def typed(self) -> str:
        """As the writer has it; as the trade prints it where it was not written."""
        return self.written or self.text


def unitless(si: float | None, unit: str) -> str:
    """A number as it stands in a table whose caption names the unit: only another size of it (mV, kV) is said."""
    number = say(si, unit)
    return number.removesuffix(f"\u202f{unit}")


def signed_percent(ratio: float | None) -> str:
    """A deviation in per cent with its sign: 0.264 is ``+26 %``; ``–`` for None."""
    if ratio is None:
        return NOTHING
    rounded = round(ratio * 100)
    sign = "+" if rounded > 0 else "−" if rounded < 0 else "±"
    return f"{sign}{abs(rounded)}\u202f%"


def bound_words(qualifier: str) -> str:
    """``at least``, ``at most``, ``about`` or nothing for a quantity's qualifier or a finding's word for a bound."""
    return _BOUNDS.get(qualifier, "")


def computed(
    si: float | None,
    unit: str,
    *,
    tolerances: Iterable[float | None] = (),
    most: int = DEFAULT_FIGURES,
    sources: Iterable[Source | None] = (),
    anchor: str = "",
) -> Amount:
    """A number worked out from others, with the figures that their tolerances (ratios) leave it, ``most`` at most.

    It names the weakest of the ``sources`` it rests on. An input whose tolerance is None counts as ±20 %.
    """
    digits = min(most, figures_within(*tolerances))
    return Amount(si, unit, Origin.COMPUTED, digits=digits, source=weakest(sources), anchor=anchor)


def figures_within(*tolerances: float | None) -> int:
    """How many figures a product or quotient of inputs with these tolerances (ratios, either way) can bear.

    The tolerances are added in quadrature (JCGM 100:2008, 5.1.6). The last figure shown is of the order of the first
    figure of the uncertainty that results, never finer than a tenth of it: from ±20 % parts two figures, from ±1 %
    three (after JCGM 100:2008, 7.2.6, which rounds a result to its uncertainty; the exact rule is common practice, no
    source). Without an input, or where all are exact, a double's 15 figures.
    """
    together = math.hypot(*(abs(UNMARKED_TOLERANCE if t is None else t) for t in tolerances))
    if together == 0.0:
        return 15
    return min(15, max(1, 1 - math.floor(math.log10(together) + 1e-12)))
