"""Watts and amperes that were read of the line, told apart from those of the loudspeaker by what their line says."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from ..record.line_items import items
from ..record.line_values import value_at, words_of
from ..record.quantities import QuantityError, read_any
from ..record.text import Text

if TYPE_CHECKING:
    from ..record.model import Record
    from ..record.sections.results import Result

_OF_THE_LINE = re.compile(
    r"\b(?:line|mains|wall|plug|socket|consumption|consumed|consumes|draws?|drawn|input power|power input|wattmeter"
    r"|watt[- ]?meter|power meter|kill[- ]?a[- ]?watt|nameplate)\b",
    re.I,
)
_OF_THE_SPEAKER = re.compile(
    r"\b(?:output|audio|speaker|loudspeaker|v\.?c\.?|voice coil|clip\w*|distortion|THD|into|sine|load)\b|\d\s?%",
    re.I,
)
_VALUE = re.compile(r"(?<![\w.])(?P<number>[.\d][\d.,]*)\s?(?P<unit>m?A|amps?|V|volts?)\b", re.I)
_LEAST_LINE_VOLTS = 90.0
_NEAR_THE_PLATE = (0.5, 1.5)
"""A power of no further word is the line's where it is so near to the nameplate's. Common practice, no source."""


def is_line_power(name: str, result: Result, nameplate_watts: float | None = None) -> bool:
    """Whether a result in watts is what the set takes from the line.

    Its own words decide: line, wattmeter, consumption, a current, volts of a line; a load, clipping or distortion are
    the loudspeaker's. Where neither is written it is the line's if it is about what the nameplate has.
    """
    value = result.after or result.before
    if value is None or value.unit != "W":
        return False
    said = " ; ".join(str(text) for text in (name, result.for_, result.at, result.standard, result.note) if text)
    if result.into is not None or _OF_THE_SPEAKER.search(said):
        return bool(_OF_THE_LINE.search(name)) and result.into is None
    if _OF_THE_LINE.search(said) or any(_is_of_the_line(match) for match in _VALUE.finditer(said)):
        return True
    low, high = _NEAR_THE_PLATE
    return bool(nameplate_watts and value.si and low <= value.si / nameplate_watts <= high)


def line_watts(record: Record, nameplate_watts: float | None = None) -> float | None:
    """The watts that were read of the line after the work; None where none were."""
    for name, result in record.results.items():
        watts = result.after.si if result.after else None
        if watts and is_line_power(str(name), result, nameplate_watts):
            return float(watts)
    return None


def nameplate_of(record: Record, kind: str) -> float | None:
    """The first quantity of a kind on the nameplate, above zero, with commas between or none: ``115 v 60 cy 75 w``."""
    for item in items(record.nameplate or Text("")):
        words = words_of(item, strokes=False)
        for index in range(len(words)):
            value = value_at(item, words, index, {kind: kind})
            if value is not None and (
                found := _read(item.cut(words[index][0], words[index + value.words - 1][1]), kind)
            ):
                return found
    return None


def _read(written: str, kind: str) -> float | None:
    try:
        found = read_any(written, (kind,))
    except QuantityError:
        return None
    return found.si if found is not None and found.si and found.si > 0 else None


def _is_of_the_line(match: re.Match[str]) -> bool:
    if match["unit"].casefold().startswith("v"):
        return float(match["number"].rstrip(".,").replace(",", ".")) >= _LEAST_LINE_VOLTS
    return True
