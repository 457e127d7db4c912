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
    that the heater string alone.
    """
    record = bench.record
    for volts, amps, why_not in read_amps(record, tuple(rectifiers_of(bench.circuit))):
        if not why_not and near_line(volts, line.volts):
            return amps, "measured"
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
