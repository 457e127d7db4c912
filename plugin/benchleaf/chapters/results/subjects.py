"""What a result is about, from its name and the kinds of its values."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from ...circuit.line_watts import is_line_power
from ...record.quantities import QuantityError, read_any

if TYPE_CHECKING:
    from ...record.quantities import Quantity
    from ...record.sections.results import Result

_BY_NAME = (
    ("hum", re.compile(r"\b(?:hum|noise|brumm?)\b", re.I)),
    ("AVC", re.compile(r"\b(?:AVC|AGC)\b", re.I)),
    ("image", re.compile(r"\bimage\b|\bsecond channel\b", re.I)),
    ("selectivity", re.compile(r"\bselectivity\b|\badjacent\b", re.I)),
    ("sensitivity", re.compile(r"\bsensitivity\b", re.I)),
    ("distortion", re.compile(r"\bdistortion\b|\bTHD\b", re.I)),
    ("response", re.compile(r"\bresponse\b|\bfidelity\b|\btone\b", re.I)),
    ("power", re.compile(r"\bpower\b|\boutput\b|\bwatts?\b", re.I)),
)
LINE_POWER = "line power"
"""Watts that the set takes from the line."""
BETTER = {
    "hum": "lower", "distortion": "lower", "sensitivity": "lower", "image": "higher", "selectivity": "higher",
}  # fmt: skip
"""Which way is better, of a result whose values say it: of hum in decibels below the output nothing is known."""
_VALUE = re.compile(r"(?<![\w.])[.\d][\d.,]*\s?[^\W\d]+(?:/[a-z]+)?|(?<![\w.])[.\d][\d.,]*\s?%")


def subject_of(name: str, result: Result, nameplate_watts: float | None = None) -> str:
    """``hum``, ``AVC``, ``image``, ``selectivity``, ``sensitivity``, ``distortion``, ``response``, ``power`` (at the
    loudspeaker) or ``line power``."""
    if is_line_power(name, result, nameplate_watts):
        return LINE_POWER
    found = next((subject for subject, words in _BY_NAME if words.search(name)), "")
    curves = (*result.curve, *result.curve_before)
    if found in ("power", "") and curves:
        kinds = {(point.at.unit, point.level.unit) for point in curves}
        return "distortion" if kinds == {("W", "1")} else "response" if {at for at, _ in kinds} == {"Hz"} else found
    return found


def better_way(subject: str, unit: str) -> str:
    """``lower`` or ``higher``, whichever is better; empty where nothing says it."""
    if unit == "dB" and subject in ("hum", "sensitivity", "distortion"):
        return ""
    if subject == "sensitivity" and unit not in ("V", "V/m"):
        return ""
    return BETTER.get(subject, "")


def value_in(words: str, kind: str) -> Quantity | None:
    """The first value of one kind in some words: ``1000 kHz`` in ``sensitivity at 1000 kHz``."""
    for match in _VALUE.finditer(words):
        try:
            found = read_any(match[0], (kind,))
        except QuantityError:
            continue
        if found is not None and found.si is not None and found.si > 0:
            return found
    return None
