"""Numbers without a unit in an alignment, where the record's bands and its meter tell what they are: ``bc 1500``."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from .aligned_words import in_its_words
from .problems import quoted
from .text import Entries, Listing, Text
from .thousands import last_in_thousands

HERTZ = r"kc/s|kcs?|khz|kilocycles?|kilohertz|mc/s|mcs?|mhz|megacycles?|megahertz"
"""The units of a frequency, as they are typed in an alignment."""
_RANGE = re.compile(
    r"(?<![\d.,])(?P<low>\d+(?:[.,]\d+)?)\s*(?:k|m)?(?:c|hz)?\s*(?:-|–|to)\s*(?P<high>\d+(?:[.,]\d+)?)\s?"
    rf"(?P<unit>{HERTZ}|m)(?![\w/])",
    re.I,
)
_ONE = re.compile(rf"(?<![\d.,])(?P<low>\d+(?:[.,]\d+)?)(?![.,]\d)\s?(?P<unit>{HERTZ})?(?![\w/])", re.I)
_HEAD = re.compile(r"(?P<band>(?:[^\W\d]\w{0,8}\s+)?)(?P<number>\d{1,5}(?:[.,]\d{1,2})?)(?=\s*(?:,(?!\d)|\Z))")
"""What a step begins with: a number, perhaps its band before it, and a comma."""
_BEYOND, _NEAR_IF = 1.1, 1.03
"""Times a band's end that a dial reaches further, and how near to the intermediate frequency it is aligned (common
practice, no source)."""
_IN_VOLTS = re.compile(r"\bvolts?\b|\bV(?:AC|DC)?\b|\bvtvm\b")
_BARE = re.compile(
    r"\b(?P<side>before|after)\s+(?P<number>[-+−–]?(?:\d+(?:[.,]\d+)?|[.]\d+))(?=\s*(?:,(?!\d)|;|\Z))", re.I
)
"""What was read before or after, with no unit; a comma before a digit is a decimal one."""

_STEP_AT = re.compile(rf"(?<![\w.,])(?P<number>\d+(?:[.,]\d+)?|[.]\d+)\s?(?P<unit>{HERTZ})(?![\w/])", re.I)
_FOUND_AT = re.compile(
    rf"(?<!dial )(?<!pointer )(?<!scale )\b(?:was|were|found)\s+(?:(?:peak(?:ing|ed)?|tuned)\s+)?(?:(?:at|on|to)\s+)?"
    rf"(?P<number>\d+(?:[.,]\d+)?)\s?(?P<unit>{HERTZ})?(?=\s*(?:,(?!\d)|;|\Z))",
    re.I,
)
_NOW_AT = re.compile(
    rf"\s*,\s*now\s+(?:at\s+)?(?P<number>\d+(?:[.,]\d+)?)\s?(?P<unit>{HERTZ})?(?=\s*(?:,(?!\d)|;|\Z))", re.I
)
"""Where the circuit is tuned to after the work, right behind where it was found: ``found 462, now 470``."""
_BEFORE_TOO = re.compile(
    r"\bbefore\s*:?\s+[-+−–]?\.?\d|\d\S*(?:\s\S+)?\s+before\b|\bfrom\s+[-+−–]?\.?\d[^,;]*\sto\s+[-+−–]?\.?\d", re.I
)
"""What was read before, beside where the circuit was found."""
FOUND_AT = "found at"
_NEAR_STEP = 1.15
"""Times a step's frequency within which its circuit was found. Common practice, no source."""


def with_found_at(step: Text) -> tuple[Text, str]:
    """A step in which the frequency that its circuit was found at, ``was peaking at 171 kc``, is what was read before.

    Without a unit it has that of the step. What is far from the step's own frequency was something else. Behind it what
    the writer is told of it, empty where the step stays as it is.
    """
    own, found = _STEP_AT.search(step), _FOUND_AT.search(step)
    if own is None or found is None or found.start() < own.end():
        return step, ""
    noting = step.rfind("note ", 0, found.start())
    if noting >= 0 and "," not in step[noting : found.start()]:
        return step, ""
    unit = found["unit"] or own["unit"]
    ratio = _hertz(found["number"], unit) / (_hertz(own["number"], own["unit"]) or 1.0)
    if not 1 / _NEAR_STEP <= ratio <= _NEAR_STEP:
        return step, ""
    if _BEFORE_TOO.search(step[: found.start()] + step[found.end() :]):
        lead = step[: found.start()].rstrip(" ,")
        told = f"{quoted(found[0])} read as “found at {found['number']} {unit}”"
        return step.taken_as(f"{lead}, {FOUND_AT} {found['number']} {unit}{step[found.end() :]}"), told
    before = f"before {found['number']} {unit}"
    behind, told = step[found.end() :], f"{quoted(found[0])} read as {quoted(before)}"
    if (now := _NOW_AT.match(behind)) and "after" not in behind.casefold():
        after = f"after {now['number']} {now['unit'] or unit}"
        behind = f", {after}{behind[now.end() :]}"
        told = f"{told}, {quoted(now[0].strip(' ,'))} as {quoted(after)}"
    return step.taken_as(f"{step[: found.start()]}{before}{behind}"), told


def _hertz(number: str, unit: str) -> float:
    return _number(number) * (1e6 if unit[0].casefold() == "m" else 1e3)


_OWN_FIRST = re.compile(
    rf"(?P<own>(?:[^\W\d]\w{{0,8}}\s+)?\d+(?:[.,]\d+)?\s?(?:{HERTZ})|(?:[^\W\d]\w{{0,8}}\s+)?[.]\d+\s?(?:{HERTZ}))\s?[:;/–-](?=\s)",
    re.I,
)
"""A step's frequency and a sign that parts it from the rest: ``455 kc: cores``, ``1500 kHz - trimmer``."""
_IN = r"(?:(?:[mµu]?V|dB|[mµu]?A|mW|W)(?:AC|DC)?|(?:milli|micro)?volts?)"
_ONE_READ = r"[-+−–]?(?:\d+(?:[.,]\d+)?|[.]\d+)"
_FROM_ONE_TO_ANOTHER = re.compile(
    rf"(?P<before>(?<![\w.,]){_ONE_READ}(?P<unit>\s?{_IN})?)\s*(?:->|=>|→)\s*(?=[-+−–]?\.?\d[\d.,]*\s?(?P<last>{_IN})\b)"
)
"""What was read before and after with an arrow between: ``0.31 V -> 0.78 V``."""
_BOTH = re.compile(rf"(?<=, )(?={_ONE_READ}\s?{_IN} to {_ONE_READ}\s?{_IN}\s*(?:[,;]|\Z))")
"""Before what was read first and last, with no word before it: ``T2, 0.42 V to 1.10 V``."""
_VALUE_BEHIND = re.compile(r";(?=\s+(?:.*,\s+)?(?:before|after|was|were|found|from)\s+[^,;]*\d)", re.I)


def step_parted(step: Text) -> Text:
    """A step with a comma behind its frequency and before what was read, whatever sign stands there."""
    step = in_its_words(step)
    said = _OWN_FIRST.sub(lambda own: f"{own['own']},", step, count=1) if _OWN_FIRST.match(step) else str(step)
    said = _VALUE_BEHIND.sub(",", said)
    said = _FROM_ONE_TO_ANOTHER.sub(
        lambda both: f"before {both['before']}{'' if both['unit'] else ' ' + both['last']}, after ", said
    )
    said = _BOTH.sub("from ", said)
    return step.taken_as(said) if said != step else step


def units_of_steps(tree: Entries) -> None:
    """Give the numbers that steps begin with their unit, and those before and after that of the meter, in place."""
    sections = {name.casefold(): value for name, value in tree.items()}
    bands = list(_bands(sections))
    for rows, meter in _steps(sections.get("alignment")):
        volts = meter is not None and _IN_VOLTS.search(meter) is not None
        for index, step in enumerate(rows):
            if isinstance(step, Text):
                step = _with_unit(step, bands)
                rows[index] = _in_volts(step) if volts else step


def _bands(sections: Mapping[str, Any]) -> Iterator[tuple[float, float, str]]:
    """The ends of each band and of what the IF may be, in its own unit."""
    bands = sections.get("bands")
    for line in bands.values() if isinstance(bands, Entries) else ():
        if isinstance(line, Text) and (found := _RANGE.search(line)):
            low, high = sorted(map(_number, (found["low"], last_in_thousands(found["low"], found["high"]))))
            yield low / _BEYOND, high * _BEYOND, found["unit"]
    between = sections.get("if")
    for one in _ONE.finditer(between) if isinstance(between, Text) else ():
        middle = _number(one["low"])
        yield middle / _NEAR_IF, middle * _NEAR_IF, one["unit"] or ("kHz" if middle > 100 else "MHz")


def _number(written: str) -> float:
    return float(written.replace(",", ".").rstrip("."))


def _steps(alignment: Any) -> Iterator[tuple[Listing, Text | None]]:
    sessions = alignment if isinstance(alignment, Listing) else [alignment]
    for session in sessions:
        if isinstance(session, Entries):
            steps = next((value for key, value in session.items() if key.casefold() == "steps"), None)
            meter = next((value for key, value in session.items() if key.casefold() == "meter"), None)
            if isinstance(steps, Listing):
                yield steps, meter if isinstance(meter, Text) else None


def _with_unit(step: Text, bands: list[tuple[float, float, str]]) -> Text:
    """A step with the unit of the band that its number lies in; where it lies in two of different units, as it is."""
    head = _HEAD.match(step)
    number = _number(head["number"]) if head else 0.0
    units = {unit.casefold() for low, high, unit in bands if low <= number <= high}
    if head is None or len(units) != 1:
        return step
    unit = next(unit for low, high, unit in bands if low <= number <= high)
    told = f"{quoted(head['number'])} read as {head['number']} {unit}, by the bands and the IF of this record"
    return step.taken_as(f"{step[: head.end()]} {unit}{step[head.end() :]}", told)


def _in_volts(step: Text) -> Text:
    said = _BARE.sub(r"\g<side> \g<number> V", step)
    return step.taken_as(said, "what was read taken as volts, as the meter says") if said != step else step
