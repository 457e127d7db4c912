"""The line a set is computed on, and the set as a load between its two conductors."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...electrics.heaters import COLD_INRUSH_RATIO
from ...record.model import Record
from ...record.quantities import QuantityError, read_any

if TYPE_CHECKING:
    from ..heaters.findings import HeatersFindings

NOT_FROM_THE_LINE = ("battery", "vibrator")
"""Kinds of power supply that have no line side."""


@dataclass(frozen=True, slots=True)
class Line:
    """The line the set is computed on: volts (RMS, or DC) and hertz, 0 for direct current."""

    volts: float
    hertz: float
    low_volts: float
    high_volts: float


@dataclass(frozen=True, slots=True)
class Load:
    """The set as a load: ohms while it plays and with cold heaters, from ``heaters``, ``nameplate`` or nothing."""

    ohms: float | None = None
    idle_ohms: float | None = None
    source: str = ""


def line_of(record: Record) -> Line | None:
    """The nominal line; None where none is written, or the set does not run from it.

    A frequency nobody wrote is 60 Hz, the worse of 50 and 60. Low and high line, where not written, are 10 % off
    (common practice).
    """
    line = record.line
    if line is None or record.power in NOT_FROM_THE_LINE or not line.volts.si or line.volts.si < 0:
        return None
    volts = line.volts.si
    hertz = line.frequency.si if line.frequency and line.frequency.si else 60.0
    if line.volts.mark == "dc" or (line.current or "").upper() == "DC":
        hertz = 0.0
    low = line.low.si if line.low and line.low.si else 0.9 * volts
    high = line.high.si if line.high and line.high.si else 1.1 * volts
    return Line(volts, hertz, min(low, volts), max(high, volts))


def load_of(record: Record, line: Line, heaters: HeatersFindings | None) -> Load:
    """The set as a load: from the running heater string and the watts of the nameplate, whichever is written.

    Idle, the heaters are cold: their resistance is divided by the largest published ratio of hot to cold
    (``electrics.heaters.COLD_INRUSH_RATIO``), and the rectifier, cold too, draws nothing.
    """
    string = _string_ohms(line, heaters)
    watts = _nameplate_watts(record)
    whole = line.volts**2 / watts if watts else None
    hot = string or whole
    if hot is None:
        return Load()
    ohms = min(o for o in (string, whole) if o is not None)
    return Load(ohms, hot / COLD_INRUSH_RATIO[1], "heaters" if string else "nameplate")


def _string_ohms(line: Line, heaters: HeatersFindings | None) -> float | None:
    if heaters is None or heaters.arrangement != "series":
        return None
    runs = [run for run in heaters.running if run.current_amps]
    if not runs:
        return None
    nearest = min(runs, key=lambda run: abs(run.line_volts - line.volts))
    return nearest.line_volts / nearest.current_amps if nearest.current_amps else None


def _nameplate_watts(record: Record) -> float | None:
    for item in re.split(r"[,;]\s+", str(record.nameplate or "")):
        try:
            found = read_any(item, ("power",))
        except QuantityError:
            continue
        if found is not None and found.si and found.si > 0:
            return found.si
    return None
