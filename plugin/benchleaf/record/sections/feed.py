"""How a signal is fed in and watched, as written in passing: ``into V1 grid through 0.1 uF``, ``read at the AVC``."""

from __future__ import annotations

import re
from collections.abc import Iterator

from ..text import Text

_GENERATOR = re.compile(r"(?:(?:signal )?generator|sig\.? ?gen\.?)(?:\s*[:=])?(?:\s+|$)", re.I)
_FED = re.compile(r"(?:(?:signal|fed|injected)\s+(?:in\s+)?)?(?:(?:in)?to|at)\s+", re.I)
_SOCKET = re.compile(r"(?:aerial|antenna|ant\.?)(?:\s+(?:terminal|socket|lead|post|input))?", re.I)
"""The aerial's socket by itself, with the dummy aerial behind it: ``aerial through 200 pF``."""
_INTO = re.compile(r"(?:(?:signal\s+|fed\s+(?:in\s+)?)?into|(?:signal|fed|injected)\s+(?:in\s+)?(?:to|at))\s+", re.I)
_THROUGH = re.compile(r"(?:^|,?\s+)(?:through|thru|thro|via|by way of)\s+", re.I)
_ON_TO = re.compile(r"\s+(?:(?:in)?to|on\s+to|onto)\s+", re.I)
"""Between what the lead holds and where it goes: ``through 0.1 uF to V1 g1``."""
_METER = re.compile(
    r"(?:(?:output |tuning )?meter|indicator|read(?:ing)? (?:at|on|by)|watch(?:ing|ed)?)(?:\s*:)?\s+", re.I
)


def fed(item: Text) -> Iterator[tuple[str, Text]]:
    """The keys ``into``, ``through``, ``generator`` and ``meter`` that an item of a step has, each with its words."""
    generator = _GENERATOR.match(item)
    rest = item.cut(generator.end()) if generator else item
    meter = None if generator else _METER.match(item)
    if meter and meter.end() < len(item):
        yield "meter", item.cut(meter.end())
        return
    into = (_FED if generator else _INTO).match(rest)
    through = _THROUGH.search(rest, into.end() if into else 0)
    at_socket = through and not (generator or into) and _SOCKET.fullmatch(rest, 0, through.start())
    if at_socket:
        yield "into", rest.cut(0, at_socket.end())
    if not (into or at_socket) and not (through and through.start() == 0):
        if generator and rest:
            yield "generator", rest
        return
    if into:
        yield "into", rest.cut(into.end(), through.start() if through else None)
    lead = rest.cut(through.end()) if through else None
    onward = _ON_TO.search(lead) if lead and not (into or at_socket) else None
    if lead and onward:
        yield "into", lead.cut(onward.end())
    if lead:
        yield "through", lead.cut(0, onward.start()) if onward else lead
