"""A part's line in whole sentences: ``was replaced on March 4, 2024 with a new one of 0.022 microfarads``."""

from __future__ import annotations

import re

from .written_days import looks_like_a_date

_DAY = r"\S+(?:\s+\S+){0,3}?"
"""Words that may be a day; whether they are one, ``looks_like_a_date`` tells."""
_REPLACED = r"(?:replaced|changed|renewed|exchanged|swapped)"
_PARTED = r"(?:\s*[,.;]|\s+[-–—](?=\s))?\s+(?:and\s+)?"
"""What may part the exchange from what stands before it."""
_NEW = re.compile(
    rf"{_PARTED}(?:(?:was|were|has been|have been)\s+)?{_REPLACED}(?:\s+(?:on\s+)?(?P<day>{_DAY}))?"
    r"\s+(?:with|w/|by|for|to)\s+(?:(?:an?|the|one)\s+)?(?:(?:new|modern|fresh)\s+)*"
    r"(?:(?P<kind>(?:metal |carbon )?film|ceramic|electrolytic|mica|polyester|polypropylene|wirewound)\s+)?"
    r"(?:(?:capacitor|condenser|resistor|one)\s+)?(?:of\s+)?(?=[\d.]*\d)(?!\d[nN]\d)",
    re.I,
)
"""The day of an exchange and what came in, up to its value."""
_NEW_ON_A_DAY = re.compile(
    rf"{_PARTED}(?:(?:was|were|has been|have been)\s+)?{_REPLACED}\s+(?:on\s+)?(?P<day>{_DAY})"
    r"\s*,?\s+(?:with|w/|by|for)\s+(?:an?\s+)?(?:new\s+)?(?=silicon\b|(?:\d\s?x\s?)?1N\d)",
    re.I,
)
"""The same of a diode, which has no value."""
_ON_A_DAY = re.compile(
    rf"{_PARTED}(?:(?:was|were)\s+)?{_REPLACED}\s+on\s+(?P<day>{_DAY})(?=\s*(?:[.;,]|\Z))",
    re.I,
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
    r"(?:load|resistor))\s+of\s+the\s+(?P<tube>V\d{1,2}[ab]?|\d{1,2}[A-Z]{1,2}\d{1,2}[A-Z]{0,3}|[A-Z]{2,5}\d{1,3})\b"
    r"(?P<joint>\s+and\s+)?(?:the\s+(?=[A-Z\d]))?",
    re.I,
)
_SHEET = re.compile(
    r"\b(?:the\s+)?(?:diagram|schematic|service sheet|sheet|circuit|manual|parts list)\s+"
    r"(?:has|had|says|said|shows|gives|calls for|wants)\s+(?=[.\d])",
    re.I,
)
"""Before the value that is published."""
_IN_SERIES = re.compile(
    r"(?:\A|[,;]?\s+)(?P<said>in series with\s+(?:(?:the|an?)\s+)?[^\W\d][^,;]*)(?=\s*(?:,|;|\Z))", re.I
)
"""What another part lies in series with, which says nothing of the sort of this one."""
_SERIES = re.compile(r"\b(?:equivalent )?series resistance(?=\s+(?:of\s+)?[\d.])", re.I)


def in_its_clauses(said: str) -> str:
    """The line in the words of its grammar where it is written as sentences; any other as it is."""
    said = _OPENING.sub("", said)
    said = _NEW.sub(_now, said)
    said = _NEW_ON_A_DAY.sub(_now, said)
    said = _SHEET.sub("sheet ", said)
    said = _IN_SERIES.sub(lambda one: f"{', ' if one.start() else ''}job {one['said']}", said)
    said = _SAFETY_CLASS.sub(r"\g<class>", said)
    said = _OF_THE_TUBE.sub(r"\g<job> of \g<tube>\g<joint>", said)
    said = _ON_A_DAY.sub(lambda one: f", fitted {one['day']}" if looks_like_a_date(one["day"]) else one[0], said)
    said = _BEFORE_AFTER.sub(lambda one: f", measured {one['old']}{one['between'] or ''}, now ", said)
    said = _FRACTION.sub(lambda one: _FRACTIONS[one["said"].casefold()], said)
    return _SERIES.sub("ESR", said)


def _now(new: re.Match[str]) -> str:
    """The day and the new part as clauses; the words as they stand where no day is between."""
    said = new.groupdict()
    day, kind = said["day"], said.get("kind")
    if day and not looks_like_a_date(day):
        return new[0]
    return f"{f', fitted {day}' if day else ''}, now {f'{kind} ' if kind else ''}"
