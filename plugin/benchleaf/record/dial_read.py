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
_NEAR = 1.3
"""Times a step's frequency within which the dial read it. Common practice, no source."""
_AS_IT_IS = frozenset({"reads", "shows", "now"})


def with_dial_read(step: Text) -> Text:
    """A step with what the dial read under ``dial read`` and ``dial now``, in the step's unit where none is said.

    What is far from the step's own frequency or wavelength was said of another place of the dial, and stays.
    """
    own = _STEP_AT.search(step)
    said = _DIAL.search(step, own.end()) if own else None
    if own is None or said is None:
        return step
    unit = said["unit"] or own["unit"]
    same_unit = unit[0].casefold() == own["unit"][0].casefold() and _is_length(unit) == _is_length(own["unit"])
    meant = float((said["of"] or said["for"] or own["number"]).replace(",", "."))
    here = (same_unit and _near(meant, own["number"])) or bool(said["for"] and said["unit"])
    if not here or not all(_near(meant, said[name]) for name in ("one", "now") if said[name]):
        return step
    side = (said["side"] or "").strip().casefold()
    after = side == "after" or (not side and said["how"].casefold() in _AS_IT_IS and not said["now"])
    items = f", dial {'now' if after else 'read'} {said['one']} {unit}"
    items += f", dial now {said['now']} {unit}" if said["now"] else ""
    told = f"{quoted(said[0].strip(' ,'))} read as {quoted(items.strip(' ,'))}"
    return step.taken_as(f"{step[: said.start()]}{items}{step[said.end() :]}", told if side or said["of"] else "")


def _near(meant: float, written: str) -> bool:
    read = float(written.replace(",", "."))
    return read <= _NEAR * meant and meant <= _NEAR * read


def _is_length(unit: str) -> bool:
    return unit.casefold() == "m" or unit.casefold().startswith("met")
