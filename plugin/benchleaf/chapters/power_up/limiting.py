"""What stands between line and set at a power-up, as ``with`` names it: what each does, and what it does not."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ..bench import Bench

_ISOLATING = re.compile(r"\bisolat\w*", re.I)
_VARIABLE = re.compile(r"\bvari(?:able|ac)\b|\bauto-?transformer\b", re.I)
_LAMP = re.compile(r"\b(?:lamp|bulb)s?\b", re.I)
_FUSE = re.compile(r"\bfuse\b|\bbreaker\b", re.I)
_OWN_LIMIT = re.compile(r"\b(?:current[- ])?limit(?:s|ed|ing|er)?\b", re.I)
_LIMITED = re.compile(
    r"\blimit(?:ed|er|ing)?\b(?:\s+(?:set|of|to|at|the|current))*\s+(?P<most>\d+(?:[.,]\d+)?\s?m?A)(?![\w/])"
    r"|(?P<other>\d+(?:[.,]\d+)?\s?m?A)\s+limit\b",
    re.I,
)
"""A supply that is set to give no more than so many amperes: ``limited to 300 mA``, ``15 mA limit``."""
_METER = re.compile(r"\b(?:watt|am|power|energy)[- ]?meter\b", re.I)


def limits_of(using: str, bench: Bench, day: datetime.date | None, *, in_string: bool, lamp: bool) -> tuple[str, ...]:
    """A sentence for each thing that is named; where nothing limits the current, that. Common practice, no source."""
    return tuple(_limits(using, bench, day, in_string=in_string, lamp=lamp))


def _limits(using: str, bench: Bench, day: datetime.date | None, *, in_string: bool, lamp: bool) -> Iterator[str]:
    words = bench.words
    isolates, varies = bool(_ISOLATING.search(using)), bool(_VARIABLE.search(using))
    if isolates:
        yield (
            f"The isolating transformer parts the set from {words.earth}: one hand on it then closes no circuit there. "
            f"It limits no current, and between two points of the set the shock is what it was."
        )
    if varies:
        heaters = (
            "the whole string is starved with it, and heaters warm up late"
            if in_string
            else f"heaters and {words.b_plus} come down with it"
        )
        yield (
            f"The variable transformer lowers the volts: {heaters}. At the volts it is set to it limits no current"
            + ("." if isolates else ", and it does not isolate.")
        )
        dry = bench.circuit.dry_rectifier_on(day or "now")
        if dry is not None:
            yield (
                f"{dry.part}, {dry.type}, needs no heater: {words.b_plus} stands at the crest of each step before any "
                f"{words.tube} draws current."
            )
    if _FUSE.search(using):
        yield "A fuse or breaker opens at a short; below its rating it limits nothing, and it saves nobody a shock."
    limits = [" ".join((found["most"] or found["other"]).split()) for found in _LIMITED.finditer(using)]
    of_its_own = _OWN_LIMIT.search(using)
    if limits:
        yield (
            f"The supply limits the current to {' and '.join(limits)}, as written: a short in the set is held to that. "
            "It protects nobody from a shock."
        )
    elif of_its_own:
        yield "A supply with a limit of its own limits the current of what it feeds, and of nothing else."
    if not (lamp or limits or of_its_own or _FUSE.search(using)):
        meter = " The meter only tells." if _METER.search(using) else ""
        if _LAMP.search(using):
            yield (
                "The lamp is taken as out again for these steps, as they are written: while it is in, it limits the "
                f"current, and nothing else that is named does; a fuse ends a short.{meter}"
            )
            return
        yield f"Nothing that is named limits the current: a lamp in series would, and a fuse ends a short.{meter}"
