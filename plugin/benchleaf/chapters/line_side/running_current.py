"""What the running set draws from the line, from the best that the record has of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...circuit.line_watts import line_watts, nameplate_of
from ...circuit.powered_steps import near_line, read_amps
from ...circuit.rectifier_feed import rectifiers_of
from ..power_up.expected import amps_expected
from .line_and_load import nameplate_watts

if TYPE_CHECKING:
    from ..bench import Bench
    from ..heaters.findings import HeatersFindings
    from ..parts.findings import PartsFindings
    from .line_and_load import LineSource, SetLoad


def running_amps(
    bench: Bench,
    line: LineSource,
    load: SetLoad,
    heaters: HeatersFindings | None,
    parts: PartsFindings | None,
) -> tuple[float, str] | None:
    """The current in A that the running set draws, with where it is from; None where nothing says it.

    Measured at power-up (the last step within 15 % of the nominal line, with nothing before the set and all of it in)
    outranks the watts that were read of the line, those the plate, that what is computed of heaters and rectifier, and
    that the heater string alone. Watts over volts are the least that a current can be: one that was read behind a lamp,
    without which it is more, stands for them where it is larger.
    """
    read = [
        (amps, why_not)
        for volts, amps, why_not in read_amps(bench.record, tuple(rectifiers_of(bench.circuit)))
        if near_line(volts, line.volts)
    ]
    if running := next((amps for amps, why_not in read if not why_not), None):
        return running, "measured"
    found = _by_watts(bench, line, load, heaters, parts)
    behind = next((amps for amps, why_not in read if why_not == "lamp"), 0.0)
    return (behind, "lamp") if found and behind > found[0] else found


def _by_watts(
    bench: Bench,
    line: LineSource,
    load: SetLoad,
    heaters: HeatersFindings | None,
    parts: PartsFindings | None,
) -> tuple[float, str] | None:
    record = bench.record
    if watts := line_watts(record, nameplate_watts(record)):
        return watts / line.volts, "line watts"
    if on_plate := nameplate_of(record, "current"):
        return on_plate, "nameplate"
    if watts := nameplate_watts(record):
        return watts / line.volts, "nameplate"
    if computed := amps_expected(bench, parts, heaters, line.volts):
        return computed, "computed"
    if load.source == "heaters" and load.ohms:
        return line.volts / load.ohms, "heaters"
    return None
