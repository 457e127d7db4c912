"""A part's line in whole sentences: ``was replaced on March 4, 2024 with a new one of 0.022 microfarads``."""

from __future__ import annotations

import re

_MONTH = r"(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*\.?"
_DAY = (
    rf"(?:{_MONTH}\s+\d{{1,2}}(?:st|nd|rd|th)?,?\s+\d{{4}}|\d{{1,2}}(?:st|nd|rd|th)?\s+{_MONTH},?\s+\d{{4}}"
    r"|\d{4}[-/.]\d{1,2}[-/.]\d{1,2}|\d{1,2}[-/.]\d{1,2}[-/.]\d{2,4})"
)
_REPLACED = r"(?:replaced|changed|renewed|exchanged|swapped)"
_NEW = re.compile(
    rf"(?:\s*[,.;])?\s+(?:and\s+)?(?:(?:was|were|has been|have been)\s+)?{_REPLACED}(?:\s+(?:on\s+)?(?P<day>{_DAY}))?"
    r"\s+(?:with|by|for|to)\s+(?:(?:an?|the|one)\s+)?(?:(?:new|modern|fresh)\s+)*"
    r"(?:(?P<kind>(?:metal |carbon )?film|ceramic|electrolytic|mica|polyester|polypropylene|wirewound)\s+)?"
    r"(?:(?:capacitor|condenser|resistor|one)\s+)?(?:of\s+)?(?=[\d.]*\d)(?!\d[nN]\d)",
    re.I,
)
"""The day of an exchange and what came in, up to its value."""
_NEW_ON_A_DAY = re.compile(
    rf"(?:\s*[,.;])?\s+(?:and\s+)?(?:(?:was|were|has been|have been)\s+)?{_REPLACED}\s+(?:on\s+)?(?P<day>{_DAY})"
    r"\s*,?\s+(?:with|by|for)\s+(?:an?\s+)?(?:new\s+)?(?=silicon\b|(?:\d\s?x\s?)?1N\d)",
    re.I,
)
"""The same of a diode, which has no value."""
_FROM_TO = re.compile(
    rf"(?:\s*[,.;])?\s+(?:and\s+)?(?:(?:was|were)\s+)?{_REPLACED}\s+on\s+(?P<day>{_DAY})(?=\s*(?:[.;,]|\Z))", re.I
)
_OPENING = re.compile(
    r"\A(?:the\s+)?(?:(?:old|original)\s+)?(?:capacitor|condenser|resistor|choke|coil|control)(?:\s+[A-Z]{1,3}\d{1,3})?\s+"
    r"(?=was\b)",
    re.I,
)
_FRACTIONS = {"one-half": "0.5", "one half": "0.5", "half a": "0.5", "one-quarter": "0.25", "one quarter": "0.25"}
_FRACTION = re.compile(rf"\b(?P<said>{'|'.join(_FRACTIONS)})(?=\s+watts?\b)", re.I)
_BEFORE_AFTER = re.compile(
    r",\s+(?:before|found)[\s:]+(?P<old>[.\d](?:[^,;]|,\d)*)(?P<between>,[^;]*?)?,\s+after[\s:]+(?=[.\d])", re.I
)
"""A value before the work, and behind it the one after: of a part that has its nominal value before both."""
_SAFETY_CLASS = re.compile(r"\b(?P<class>[XY][1-4])\s+(?:safety\s+)?(?:type|class|rated)\b", re.I)
_OF_THE_TUBE = re.compile(
    r"\b(?P<job>(?:cathode|screen)\s+(?:bypass|resistor|capacitor)|grid\s+(?:leak|resistor|stopper)|(?:plate|anode)\s+"
    r"(?:load|resistor))\s+of\s+the\s+(?P<tube>V\d{1,2}[ab]?|\d{1,2}[A-Z]{1,2}\d{1,2}[A-Z]{0,3}|[A-Z]{2,5}\d{1,3})\b",
    re.I,
)
_SERIES = re.compile(r"\b(?:equivalent )?series resistance(?=\s+(?:of\s+)?[\d.])", re.I)


def in_its_clauses(said: str) -> str:
    """The line in the words of its grammar where it is written as sentences; any other as it is."""
    said = _OPENING.sub("", said)
    said = _NEW.sub(lambda new: f"{_fitted(new['day'])}, now {new['kind'] + ' ' if new['kind'] else ''}", said)
    said = _NEW_ON_A_DAY.sub(lambda new: f", fitted {new['day']}, now ", said)
    said = _SAFETY_CLASS.sub(r"\g<class>", said)
    said = _OF_THE_TUBE.sub(r"\g<job> of \g<tube>", said)
    said = _FROM_TO.sub(lambda one: _fitted(one["day"]), said)
    said = _BEFORE_AFTER.sub(lambda one: f", measured {one['old']}{one['between'] or ''}, now ", said)
    said = _FRACTION.sub(lambda one: _FRACTIONS[one["said"].casefold()], said)
    return _SERIES.sub("ESR", said)


def _fitted(day: str | None) -> str:
    return f", fitted {day}" if day else ""
