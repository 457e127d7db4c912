"""What the dial read at a step of an alignment, each reading as an item of its own: ``dial read 1460, now 1500``."""

from __future__ import annotations

import re

from .problems import quoted
from .step_frequencies import HERTZ
from .text import Text

_UNIT = rf"{HERTZ}|met(?:re|er)s?|m"
_NUMBER = r"\d+(?:[.,]\d+)?"
_STEP_AT = re.compile(rf"\b(?P<number>{_NUMBER})\s?(?P<unit>{_UNIT})(?![\w/])", re.I)
_DIAL = re.compile(
    rf"(?:,\s*|\s+)(?:(?:and\s+)?the\s+)?(?:dial|scale|pointer)\s*:?\s+(?:(?P<of>{_NUMBER})\s?(?:{_UNIT})?\s+)?"
    r"(?P<how>was|were|read|reads|reading|showed|said|shows|stood|now)\s+(?:at\s+|on\s+)?"
    rf"(?P<one>{_NUMBER})\s?(?P<unit>{_UNIT})?"
    rf"(?:\s+(?:for|instead of)\s+(?P<for>{_NUMBER})\s?(?:{_UNIT})?)?(?P<side>\s+(?:before|after))?"
    rf"(?:,?\s*(?:and\s+)?now\s+(?:reads\s+)?(?P<now>{_NUMBER})\s?(?:{_UNIT})?)?(?=\s*(?:,(?!\d)|;|\Z))",
    re.I,
)
_VALUE = rf"(?P<value>{_NUMBER}\s?(?:{_UNIT})?)"
_SIDE_BEHIND = re.compile(
    rf"(?P<dial>\b(?:dial|scale|pointer))\s+(?:at\s+|on\s+)?{_VALUE}\s+(?P<side>before|now|after)(?=\s*(?:,|;|\Z))",
    re.I,
)
_NOW_ON_IT = re.compile(
    rf"(?P<gap>,\s*|\s+)now\s+(?:at\s+|on\s+)?{_VALUE}\s+(?:on|by|of) the (?:dial|scale)(?=\s*(?:,|;|\Z))", re.I
)
_NOW_READS = re.compile(r"\b(?:dial|scale|pointer) now (?:reads|shows|is at|is|at|on)\s+", re.I)
_NEAR = 1.3
"""Times a step's frequency within which the dial read it. Common practice, no source."""
_AS_IT_IS = frozenset({"reads", "shows", "now"})


def with_dial_read(step: Text) -> Text:
    """A step with what the dial read under ``dial read`` and ``dial now``, in the step's unit where none is said.

    What is far from the step's own frequency or wavelength was said of another place of the dial, and stays.
    """
    own = _STEP_AT.search(step)
    plain = step.taken_as(_in_order(step, own.end())) if own else step
    said = list(_DIAL.finditer(plain, own.end())) if own else []
    whole, told = str(plain), ""
    for one in reversed(said):
        items = _items(one, own) if own else ""
        if items:
            told = (
                f"{quoted(one[0].strip(' ,'))} read as {quoted(items.strip(' ,'))}"
                if one["side"] or one["of"]
                else told
            )
            whole = f"{whole[: one.start()]}{items}{whole[one.end() :]}"
    return step.taken_as(whole, told) if whole != step else step


def _in_order(step: str, start: int) -> str:
    """What the dial says with its word before the number: ``dial 620 before``, ``now at 604 on the dial``."""
    lead, rest = step[:start], step[start:]
    rest = _NOW_ON_IT.sub(r"\g<gap>dial now \g<value>", rest)
    rest = _SIDE_BEHIND.sub(
        lambda one: f"{one['dial']} {'read' if one['side'] == 'before' else 'now'} {one['value']}", rest
    )
    return f"{lead}{_NOW_READS.sub('dial now ', rest)}"


def _items(said: re.Match[str], own: re.Match[str]) -> str:
    """What one reading of the dial says, as items of the step; nothing where it is of another place of the dial."""
    unit = said["unit"] or own["unit"]
    meant = float((said["of"] or said["for"] or own["number"]).replace(",", "."))
    written = own["number"]
    if not said["unit"] and unit[0].casefold() == "m" and not _is_length(unit) and _near(1000 * meant, said["one"]):
        unit, meant, written = "kHz", 1000 * meant, f"{1000 * float(written.replace(',', '.')):g}"
    thousand = unit[0].casefold() == "k" and own["unit"][0].casefold() == "m" and not _is_length(own["unit"])
    if thousand and said["unit"]:
        meant, written = 1000 * meant, f"{1000 * float(written.replace(',', '.')):g}"
    same_unit = thousand or (
        unit[0].casefold() == own["unit"][0].casefold() and _is_length(unit) == _is_length(own["unit"])
    )
    here = (same_unit and _near(meant, written)) or bool(said["for"] and said["unit"])
    if not here or not all(_near(meant, said[name]) for name in ("one", "now") if said[name]):
        return ""
    side = (said["side"] or "").strip().casefold()
    after = side == "after" or (not side and said["how"].casefold() in _AS_IT_IS and not said["now"])
    items = f", dial {'now' if after else 'read'} {said['one']} {unit}"
    return items + (f", dial now {said['now']} {unit}" if said["now"] else "")


def _near(meant: float, written: str) -> bool:
    read = float(written.replace(",", "."))
    return read <= _NEAR * meant and meant <= _NEAR * read


def _is_length(unit: str) -> bool:
    return unit.casefold() == "m" or unit.casefold().startswith("met")
