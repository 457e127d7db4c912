"""Which steps of a power-up are of the whole set running by itself, and why the others are none."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING, Literal

from .usual_limits import NEAR_LINE

if TYPE_CHECKING:
    from ..record.model import Record
    from ..record.sections.power_up import PowerUp, PowerUpStep

NotRunning = Literal["", "lamp", "no rectifier", "no tubes"]
"""Why a step is none of the running set: behind a lamp in series, without its rectifier, without its tubes."""

_IN_SERIES = re.compile(
    r"\b(?:lamps?|bulbs?|globes?)\b[^.;]*\bin series\b|\bseries (?:lamp|bulb|globe)|\bdim[- ]bulb"
    r"|\b(?:lamp|bulb|globe) limiter"
    r"|\blimiter (?:lamp|bulb|globe)|\b\d+\s?(?:W|watts?)\s+(?:(?:light|filament|clear|mains|tungsten)\s+)?"
    r"(?:lamps?|bulbs?|globes?)\b(?!\s+(?:as|for|across|on)\b)",
    re.I,
)
"""A lamp of so many watts that a set is powered with stands before it, whether or not that is said."""
_NO_LAMP = re.compile(
    r"\b(?:no|w/o|without(?: the)?)\s+(?:[\w-]+\s+){0,2}?(?:lamp|bulb|globe)s?\b[^,;]*"
    r"|\b(?:lamp|bulb|globe)s? (?:now |was )?(?:out|off|gone|removed|taken out|bridged|bypassed|shorted)\b",
    re.I,
)
_OF_A_LAMP = re.compile(r"\b(?:lamp|bulb|globe)s?\b|\d\s?(?:W|watts?)\b", re.I)
_LIT = re.compile(r"\d{1,3}\s?(?:W|watts?)\b", re.I)
_OVER = re.compile(r"[,;]?\s+then\b", re.I)
_OUT = r"(?:is |are |was |were |all )*(?:out|pulled|removed|not (?:in|fitted)|unplugged|off)\b"
_RECTIFIER = r"rect(?:ifier)?s?\b(?: (?:tube|valve))?"
_NO_RECTIFIER = re.compile(rf"\b{_RECTIFIER} {_OUT}|\b(?:no|without(?: the| its)?) {_RECTIFIER}", re.I)
_NO_TUBES = re.compile(
    rf"\b(?:tubes|valves) {_OUT}|\b(?:no|without(?: the| its| any)?) (?:tubes|valves)\b"
    r"|\b(?:power |mains )?(?:transformer|xfmr) (?:alone|only|by itself)\b|\b(?:bare|unloaded) (?:transformer|xfmr)\b",
    re.I,
)


def before_it(using: str) -> str:
    """What stands before the set at the end of a session's ``with``: what stands before ``then`` is over."""
    return _OVER.split(using)[-1]


def has_lamp_in_series(using: str) -> bool:
    """Whether a lamp stands in series with the set."""
    return _IN_SERIES.search(_NO_LAMP.sub("", before_it(using))) is not None


def before_step(session: PowerUp, step: PowerUpStep | None) -> str:
    """What stands before the set at one step: what the session says, with the step's own lamp in that one's place."""
    using = before_it(str(session.with_ or ""))
    own = str(step.with_ or "") if step else ""
    if not own:
        return using
    without = ", ".join(piece.strip() for piece in re.split("[,;]", using) if not _OF_A_LAMP.search(piece))
    lit = None if _NO_LAMP.search(own) else _LIT.search(own)
    return f"{without}, {lit[0]} lamp in series" if lit else without


def not_running(session: PowerUp, step: PowerUpStep | None, rectifiers: tuple[str, ...] = ()) -> NotRunning:
    """Why a step, or a session as a whole, is not of the running set; empty where nothing says so.

    ``rectifiers`` are the positions whose tube rectifies: ``V10 out`` is without its rectifier.
    """
    using = before_step(session, step)
    said = " ; ".join(map(str, filter(None, (using, step and step.read, step and step.note))))
    named = "|".join(map(re.escape, rectifiers))
    if _NO_TUBES.search(said):
        return "no tubes"
    if _NO_RECTIFIER.search(said) or (
        named and re.search(rf"\b(?:{named}) {_OUT}|\bwithout (?:{named})\b", said, re.I)
    ):
        return "no rectifier"
    return "lamp" if has_lamp_in_series(using) else ""


def near_line(volts: float, nominal_volts: float) -> bool:
    """Whether a line, in volts, is so near to the nominal one that what was read on it is the set's there."""
    return abs(volts / nominal_volts - 1) <= NEAR_LINE


def read_amps(record: Record, rectifiers: tuple[str, ...] = ()) -> Iterator[tuple[float, float, NotRunning]]:
    """Line volts and amperes of every step and soak that has both, the newest first, and why it is not of the running
    set."""
    for session in reversed(record.power_up):
        soak = session.soak
        if soak is not None and (pair := _pair(soak.line, soak.amps)):
            yield (*pair, not_running(session, None, rectifiers))
        for step in reversed(session.steps):
            if pair := _pair(step.line, step.amps):
                yield (*pair, not_running(session, step, rectifiers))


def _pair(line: object, amps: object) -> tuple[float, float] | None:
    volts, current = (getattr(quantity, "si", None) for quantity in (line, amps))
    return (volts, current) if volts and current and volts > 0 and current > 0 else None
