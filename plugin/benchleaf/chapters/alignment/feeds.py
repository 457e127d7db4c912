"""What stood in the generator's lead at each step, beside what usually stands for an aerial there."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...electrics import dummy_aerial
from ...record.quantities import QuantityError, read_any

if TYPE_CHECKING:
    from ...record.model import Record

_PART = re.compile(r"[.\d][\d.,]*\s?(?:[pnuµμm]?F|mm?fd?|ohms?|Ω|k(?:ohms?)?)\b", re.I)
_STANDARD = re.compile(r"\b(?:standard|IRE|RMA|IEC|all[ -]wave)\b|\bdummy (?:aerial|antenna)\b(?!.*\d)", re.I)
_LOOP = re.compile(r"\b(?:loop|frame|ferrite|rod)\b", re.I)
_WIRE = re.compile(r"\b(?:wire|socket|terminal|external|outside)\b", re.I)
_FACTOR = 2.5
"""A capacitor within this many times of 200 pF, or a resistor of 400 ohm, stands for an aerial (common practice, no
source)."""


@dataclass(frozen=True, slots=True)
class AerialFeed:
    """What an aerial circuit was set through. ``kind`` is ``standard``, ``capacitor``, ``resistor`` or empty.

    ``usual`` is what stands for an aerial there, by the same words; ``fits`` is None where nothing is known of it.
    """

    kind: str
    farads: float | None
    ohms: float | None
    usual: str
    fits: bool | None


def aerial_feed(through: str, hertz: float | None) -> AerialFeed | None:
    """The dummy aerial of a step; None where no frequency is known."""
    if hertz is None:
        return None
    usual = dummy_aerial.usual(hertz)
    farads, ohms = _value(through, "F"), _value(through, "ohm")
    if _STANDARD.search(through) and farads is None and ohms is None:
        return AerialFeed("standard", None, None, usual, fits=True)
    if farads:
        fits = usual == "capacitor" and _is_near(farads, dummy_aerial.USUAL_FARADS)
        return AerialFeed("capacitor", farads, None, usual, fits)
    if ohms:
        fits = usual == "resistor" and _is_near(ohms, dummy_aerial.USUAL_OHMS)
        return AerialFeed("resistor", None, ohms, usual, fits)
    return AerialFeed("", None, None, usual, None)


def _is_near(value: float, usual: float) -> bool:
    return 1 / _FACTOR <= value / usual <= _FACTOR


def has_loop_only(record: Record) -> bool:
    """Whether the set's own loop or rod is all the aerial that its record knows of."""
    said = str(record.aerial or "")
    return bool(_LOOP.search(said)) and not _WIRE.search(said)


def has_loop(record: Record) -> bool:
    """Whether the set has a loop or rod of its own, which no dummy aerial stands for."""
    return bool(_LOOP.search(str(record.aerial or "")))


def _value(words: str, unit: str) -> float | None:
    for match in _PART.finditer(words):
        try:
            found = read_any(match[0], ("capacitance", "resistance"))
        except QuantityError:
            continue
        if found is not None and found.unit == unit and found.si and found.si > 0:
            return found.si
    return None
