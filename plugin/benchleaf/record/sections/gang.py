"""The tuning gang as written."""

import re
from collections.abc import Mapping
from typing import Any, Self

from pydantic import model_validator
from pydantic_core import InitErrorDetails

from ..problems import quoted
from ..section import Section, form, refused
from ..text import Text
from ..values import Capacitance, Wording, choice

_CUT_WORDS = (
    "oscillator section cut", "cut oscillator section", "oscillator cut", "oscillator plates cut",
    "cut oscillator plates", "cut oscillator", "cut plates", "cut-plate oscillator", "cut plate oscillator",
    "osc section cut", "cut plate osc section", "cut osc section", "cut plate osc", "cut plate",
)  # fmt: skip
_SLUG_WORDS = ("slug tuned", "slug-tuned", "slugs", "permeability tuned", "permeability")
_BOTH_ENDS = re.compile(
    r"(?<![\w.,])(?P<low>\d[\d.,]*)\s*(?P<own>[A-Za-zµμ]*)\s*(?:-|–|…|\.\.\.|\bto\b|\bbis\b|\btot\b|\ba\b)\s*"
    r"(?P<high>\d[\d.,]*)\s*(?P<unit>[A-Za-zµμ]+)?"
)
_SECTIONS = re.compile(r"^\s*[2-5]\s*(?:[x×]|-?gang|sections?)\s*(?=\d)", re.I)
"""How many sections it has, which are alike: ``2 x 12-365 pF``."""
_EXAMPLE = "both ends of its capacitance and a unit, such as “12-365 pF”"


class Gang(Section):
    """``12-365 pF``, one section with its plates out and in; ``12-365 pF, oscillator section cut``; ``slug tuned``."""

    FORM = form(
        ["low", "high", "oscillator section", "tuning", "note"],
        values={"capacitance": "high"},
        remark="note",
        words={**dict.fromkeys(_CUT_WORDS, "oscillator section"), **dict.fromkeys(_SLUG_WORDS, "tuning")},
    )

    low: Capacitance | None = None
    high: Capacitance | None = None
    oscillator_section: choice("cut", synonyms=dict.fromkeys(_CUT_WORDS, "cut")) | None = None  # type: ignore[valid-type]
    tuning: choice("slug", synonyms=dict.fromkeys(_SLUG_WORDS, "slug")) | None = None  # type: ignore[valid-type]
    note: Wording | None = None

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """``12-365 pF`` is ``low 12 pF, high 365 pF``."""
        if isinstance(data, Text):
            data = data.taken_as(_BOTH_ENDS.sub(_as_low_and_high, _SECTIONS.sub("", data), count=1))
        return super()._table(data, errors)

    @model_validator(mode="after")
    def _has_two_ends(self) -> Self:
        """A gang of capacitors has two ends, the lower one first; a slug tuned set has none."""
        low, high = self.low, self.high
        if self.tuning is not None:
            if low is not None or high is not None or self.oscillator_section is not None:
                found = f"{quoted(self.tuning)} beside a gang of capacitors"
                raise refused(found, "one of them", "delete the other", at=self.tuning)
            return self
        if low is None and high is None and (self.oscillator_section is not None or self.note is not None):
            return self
        if low is None or high is None:
            one = low or high
            found = quoted(one.written) if one else "no capacitance"
            raise refused(found, _EXAMPLE, at=one)
        for end in (low, high):
            if not end.si or end.si < 0 or end.qualifier not in ("exact", "approx"):
                raise refused(quoted(end.written), "a capacitance above zero", at=end)
        if (low.si or 0) >= (high.si or 0):
            found = f"{quoted(low.written)} as the lower end of {quoted(high.written)}"
            raise refused(found, "the plates out first, then in, such as “12-365 pF”", at=low)
        return self


def _as_low_and_high(ends: re.Match[str]) -> str:
    unit = ends["unit"] or ""
    return f"low {ends['low']} {ends['own'] or unit}, high {ends['high']} {unit}".rstrip()
