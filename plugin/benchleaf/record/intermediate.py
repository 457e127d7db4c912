"""The intermediate frequencies of a set for AM and FM, which stand in one line."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from .line_items import items
from .text import NOWHERE, Entries, Text

_NAMES = ("if", "intermediate frequency")
_SECOND = "second IF"
_JOINT = re.compile(r"\s+(?:and|&|und|/)\s+", re.I)
_KILOHERTZ, _FM = re.compile(r"(?:1[0-4]\d|2[5-9]\d|4[4-8]\d)(?:[.,]5)?"), re.compile(r"10[.,]7")
"""What sets are made with, as a bare number (common practice, no source)."""
_AM_OR_FM = r"\(?(?:AM|FM|VHF|UKW)\)?"
_BEFORE, _BEHIND = re.compile(rf"{_AM_OR_FM}\b[\s:]*", re.I), re.compile(rf"\s+(?:on\s+|for\s+)?{_AM_OR_FM}\s*$", re.I)


def two_lines(table: Mapping[Any, Any]) -> Mapping[Any, Any]:
    """A record's names and values with ``IF: 455 kHz, FM 10.7 MHz`` as ``IF`` and ``second IF``."""
    name = next((key for key in table if str(key).casefold() in _NAMES), None)
    if name is not None and isinstance(table[name], Text) and (alone := _in_its_unit(table[name])) is not table[name]:
        return _with(table, {name: alone})
    both = _each(table[name]) if name is not None and isinstance(table[name], Text) else []
    if name is None or len(both) != 2:
        return table
    return _with(table, {name: _in_its_unit(both[0]), Text(_SECOND, both[1].place): _in_its_unit(both[1])})


def _with(table: Mapping[Any, Any], entries: Mapping[Text, Text]) -> Entries:
    """A table with other entries."""
    other = Entries(getattr(table, "place", NOWHERE))
    other.update(table)
    other.update(entries)
    other.empty, other.whole = getattr(table, "empty", []), getattr(table, "whole", True)
    return other


def _in_its_unit(one: Text) -> Text:
    """An intermediate frequency without a unit: ``455`` can be nothing but kilohertz, ``10.7`` but megahertz."""
    if _KILOHERTZ.fullmatch(one):
        return one.in_unit("kHz", "read as kilohertz")
    return one.in_unit("MHz", "read as megahertz") if _FM.fullmatch(one) else one


def _each(line: Text) -> list[Text]:
    """The frequencies of a line, each without what it is for."""
    found: list[Text] = []
    for item in items(line):
        start = 0
        for joint in _JOINT.finditer(item):
            found.append(item.cut(start, joint.start()))
            start = joint.end()
        found.append(item.cut(start))
    return [_bare(one) for one in found]


def _bare(one: Text) -> Text:
    behind = _BEHIND.search(one)
    one = one.cut(0, behind.start()) if behind else one
    before = _BEFORE.match(one)
    return one.cut(before.end()) if before else one
