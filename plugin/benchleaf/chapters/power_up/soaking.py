"""The soak test: how long the set ran, what it drew at the end, and how warm its parts were."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...circuit.said_temperatures import ROOM, temperatures_in
from ...record.figures import to_figures
from ...report.typed import typed
from .findings import ExpectedLine, SoakTest, Warmth

if TYPE_CHECKING:
    from ...record.sections.power_up import Soak

_DIGITS = 4


def soak_test(soak: Soak | None, expected: ExpectedLine | None, verdict: str) -> SoakTest | None:
    """What was written of it, with the temperatures among what was read."""
    if soak is None:
        return None
    read, note = str(soak.read or ""), str(soak.note or "")
    line, amps = (quantity.si if quantity else None for quantity in (soak.line, soak.amps))
    return SoakTest(
        seconds=soak.time.si if soak.time else None,
        line_volts=line,
        line_amps=amps,
        verdict=verdict,
        warmth=tuple(_with_rise(list(temperatures_in(f"{read}; {note}")))),
        read=read,
        note=note,
        expected=expected,
        time=typed(soak.time),
        line=typed(soak.line),
        amps=typed(soak.amps),
    )


def _with_rise(read: list[tuple[str, float]]) -> Iterator[Warmth]:
    room = next((kelvins for of, kelvins in read if ROOM.search(of)), None)
    for of, kelvins in read:
        above = None if room is None or ROOM.search(of) else to_figures(kelvins - room, 2)
        yield Warmth(of, to_figures(kelvins, _DIGITS), above)
