"""The nominal line written with fewer units than it has: ``117``, ``117/60``, ``230V/50Hz``."""

from __future__ import annotations

import re

from .text import Entries, Text

_LINE = re.compile(
    r"(?P<volts>\d{1,3}(?:\.\d+)?)\s*(?P<V>V|volts?)?"
    r"(?:(?P<joint>\s*/\s*|,?\s+)(?P<hertz>\d{2})\s*(?P<Hz>Hz|cycles?|c/s|cps|~)?)?",
    re.I,
)
_EITHER = re.compile(r"\s*,?\s*(?P<said>\b(?:ac\s?[/-]\s?dc|dc\s?[/-]\s?ac|ac or dc|dc or ac|universal)\b)", re.I)
_NO_FREQUENCY = (90.0, 260.0)
"""Volts of a mains; no mains has had so many hertz but for a few at 100 and 133 (common practice, no source)."""
_FREQUENCIES = frozenset({"25", "40", "42", "50", "60"})
"""Frequencies in hertz that a second number on the line can be (common practice, no source)."""
_OWN_BATTERY = ("battery", "batteries", "vibrator")


def without_either_current(text: Text) -> tuple[Text, str]:
    """A line without ``AC/DC``, as its nominal line has no one current, and what is told of it."""
    found = _EITHER.search(text)
    if found is None:
        return text, ""
    told = "taken as either current; how the set is powered stands under “power”"
    return text.taken_as(f"{text[: found.start()]}{text[found.end() :]}".strip(" ,")), told


def line_without_units(text: Text) -> Entries | None:
    """The volts and the frequency of a line of bare numbers, or with a stroke between; None for any other.

    A number alone is volts where it cannot be a frequency: from 90 to 260, and in a set that has its own battery.
    """
    found = _LINE.fullmatch(text)
    if not found or (found["V"] and (not found["hertz"] or (found["Hz"] and "/" not in found["joint"]))):
        return None
    low, high = _NO_FREQUENCY
    own_battery = text.manner.power.casefold().startswith(_OWN_BATTERY) and not found["hertz"]
    if not (found["V"] or own_battery or low <= float(found["volts"]) <= high):
        return None
    if found["hertz"] and not found["Hz"] and found["hertz"] not in _FREQUENCIES:
        return None
    table = Entries(text.place, text)
    for key, number, unit in (("volts", "volts", "V"), ("frequency", "hertz", "Hz")):
        if found[number]:
            value = text.cut(found.start(number), found.end(unit) if found[unit] else found.end(number))
            table[Text(key, value.place)] = value if found[unit] else value.in_unit(unit)
    return table


def said_of_units(written: str, unit: str) -> str:
    """How a value without a unit was taken; empty for one that has its unit."""
    return "" if re.search(r"[A-Za-z~]", written) else f"read as {unit}"
