"""The steps of an alignment that stand in one line: ``455 kc, IF slugs, 1600 osc trimmer`` are two."""

from __future__ import annotations

import re
from typing import Any

from ..line_items import items
from ..problems import quoted
from ..text import Listing, Text

_UNIT = r"(?:kc|kc/s|khz|mc|mc/s|mhz|m|hz)(?![\w/])"
_TUNED = re.compile(rf"(?:[^\W\d_]{{1,6}}\s)?(?:at\s)?[.\d][\d.,]*\s?{_UNIT}", re.I)
_BARE = re.compile(
    r"(?P<kilohertz>[5-9]\d\d|1[0-7]\d\d)(?=\s+(?:osc\w*|ant\w*|aerial|trimmers?|padder|padding|rf|hf|cores?|slugs?)\b)",
    re.I,
)
"""A frequency of the medium wave without its unit, before what was set at it."""
_READS = re.compile(r"(?P<comma>^|,\s+)(?=(?:[^\W\d]+\s)?\d[\d.,]*\s?\w{0,4}\s+reads\s+\d)", re.I)
_KILOHERTZ = re.compile(r"\d\s?(?:kc|khz)", re.I)
_IF = re.compile(
    r"(?P<word>MF|IF|ZF|[IM]\.\s?F\.)\s+(?P<bare>(?:1[0-4]\d|2[5-9]\d|4[4-8]\d)(?:[.,]5)?|10[.,]7)(?=\s*(?:,|;|\Z))",
    re.I,
)


def each_step(line: Text) -> Text | Listing:
    """Each step of a line by itself, where several of its items begin with a frequency; else the line."""
    in_kilohertz = _KILOHERTZ.search(line) is not None
    steps: list[Text] = []
    begun = 0
    for item in items(line):
        bare = _BARE.match(item) if in_kilohertz and begun else None
        begins = bare is not None or _TUNED.match(item) is not None
        if bare:
            told = f"{quoted(bare[0])} read as kilohertz"
            item = item.taken_as(f"{bare[0]} kHz{item[bare.end() :]}", told)
        if begins or not steps:
            steps.append(item)
            begun += begins
        else:
            steps[-1] = steps[-1].and_then(item)
    if begun < 2 or len(steps) != begun:
        return line
    listed = Listing(line.place)
    listed += steps
    return listed


_SIDE = re.compile(
    r"\b(?P<side>before|after)\s+(?P<number>\d*[.,]?\d+)(?:\s?(?P<unit>[mµu]?[VAW]|volts?))?(?=\s*(?:[,;]|\Z|(?:before|after)\b))",
    re.I,
)
AS_THE_OTHERS = ", as in the other steps"
_MOST_APART = 30.0
"""Times that what an output meter shows differs from step to step; the next unit is a thousand times off."""


def in_unit_of_others(steps: Any) -> Any:
    """The steps of one alignment in which a number without a unit has that of the others, read on one meter.

    All that have one have the same, and the number is of their size.
    """
    lines = [step for step in steps if isinstance(step, Text)] if isinstance(steps, Listing) else []
    said = [found for line in lines for found in _SIDE.finditer(line)]
    units = {found["unit"] for found in said if found["unit"]}
    sizes = [_size(found["number"]) for found in said if found["unit"]]
    if len(units) != 1 or all(found["unit"] for found in said):
        return steps
    unit = units.pop()

    def takes(found: re.Match[str]) -> bool:
        size = _size(found["number"])
        return not found["unit"] and min(sizes) / _MOST_APART <= size <= max(sizes) * _MOST_APART

    listed = Listing(steps.place)
    for step in steps:
        bare = [found["number"] for found in _SIDE.finditer(step) if takes(found)] if isinstance(step, Text) else []
        told = f"{quoted(bare[0])} read as {bare[0]} {unit}{AS_THE_OTHERS}" if bare else ""
        whole = _SIDE.sub(lambda found: f"{found[0]} {unit}" if takes(found) else found[0], step) if bare else step
        listed.append(step.taken_as(whole, told) if bare else step)
    return listed


def _size(number: str) -> float:
    return float(number.replace(",", "."))


def with_unit_of_if(line: Text) -> Text:
    """``MF 455`` at the head of a step, with the unit that it can alone have."""
    found = _IF.match(line)
    if found is None:
        return line
    unit = "MHz" if found["bare"].startswith("10") else "kHz"
    told = f"{quoted(found['bare'])} read as {unit}"
    return line.taken_as(f"{line[: found.end()]} {unit}{line[found.end() :]}", told)


def with_dial_as_note(line: Text) -> Text:
    """A step whose items say what the dial reads at several places, which are its note: ``dial, 200 m reads 201``."""
    if len(_READS.findall(line)) < 2:
        return line
    return line.taken_as(_READS.sub(r"\g<comma>note ", line))
