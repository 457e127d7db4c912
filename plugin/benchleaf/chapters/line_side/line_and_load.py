"""The line a set is computed on, and the set as a load between its two conductors."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...circuit.line_watts import nameplate_of
from ...circuit.powered_steps import NotRunning, near_line, read_amps
from ...circuit.rectifier_feed import rectifiers_of
from ...electrics.heaters import COLD_INRUSH_RATIO
from ...record.model import Record

if TYPE_CHECKING:
    from ...circuit.circuit import Circuit
    from ...circuit.mains import Mains
    from ..heaters.findings import HeatersFindings
    from ..heaters.running import RunningLine

WORSE_HERTZ = 60.0
"""A frequency nobody wrote: the worse of 50 and 60 Hz, as more flows through a capacitor."""


@dataclass(frozen=True, slots=True)
class LineSource:
    """The line the set is computed on: volts (RMS, or DC) and hertz, 0 for direct current."""

    volts: float
    hertz: float
    low_volts: float
    high_volts: float


@dataclass(frozen=True, slots=True)
class SetLoad:
    """The set as a load: ohms while it plays and with cold heaters, from ``heaters``, ``nameplate`` or nothing.

    ``heater_ohms`` and ``series_ohms`` are the string's heaters, hot, and its dropper, where both are known;
    ``blocks_direct`` says that its dropper is a capacitor, through which an ohmmeter sees nothing; ``primary_band`` has
    the lowest and the highest ohms of a transformer's primary. ``dropper_farads`` are that capacitor's, with its volts
    RMS at the nominal line, ``bleeder_ohms`` what lies across it.
    """

    ohms: float | None = None
    idle_ohms: float | None = None
    source: str = ""
    heater_ohms: float | None = None
    series_ohms: float = 0.0
    blocks_direct: bool = False
    primary_band: tuple[float, float] | None = None
    dropper_farads: float | None = None
    dropper_volts: float = 0.0
    bleeder_ohms: float | None = None

    @property
    def cold_ohms(self) -> tuple[float, float] | None:
        """Lowest and highest resistance of the string with cold heaters; None where it is not known."""
        if self.heater_ohms is None:
            return None
        low, high = (self.heater_ohms / ratio + self.series_ohms for ratio in reversed(COLD_INRUSH_RATIO))
        return low, high


def line_of(mains: Mains) -> LineSource | None:
    """The nominal line; None where none is written, or the set does not run from it."""
    if mains.volts is None or not mains.from_line:
        return None
    hertz = 0.0 if mains.direct else mains.hertz or WORSE_HERTZ
    return LineSource(mains.volts.nominal, hertz, mains.volts.low, mains.volts.high)


def load_of(record: Record, line: LineSource, heaters: HeatersFindings | None) -> SetLoad:
    """The set as a load: from the running heater string and the watts of the nameplate, whichever is written.

    Idle, the heaters are cold: their resistance is divided by the largest published ratio of hot to cold
    (``electrics.heaters.COLD_INRUSH_RATIO``), and the rectifier, cold too, draws nothing.
    """
    running = _string(line, heaters)
    string = running.line_volts / running.current_amps if running and running.current_amps else None
    watts = nameplate_watts(record)
    whole = line.volts**2 / watts if watts else None
    hot = string or whole
    if hot is None:
        return SetLoad()
    ohms = min(o for o in (string, whole) if o is not None)
    idle = hot / COLD_INRUSH_RATIO[1]
    if running is None or string is None or not running.current_amps:
        return SetLoad(ohms, idle, "nameplate")
    series = (running.dropper_volts or 0.0) / running.current_amps
    dropper = heaters.string.dropper if heaters and heaters.string else None
    return SetLoad(
        ohms=ohms,
        idle_ohms=idle,
        source="heaters",
        heater_ohms=max(string - series, 0.0) or None,
        series_ohms=series,
        blocks_direct=bool(running.capacitor_volts),
        dropper_farads=dropper.farads if dropper else None,
        dropper_volts=(running.capacitor_volts or 0.0) * line.volts / running.line_volts,
    )


def _string(line: LineSource, heaters: HeatersFindings | None) -> RunningLine | None:
    """The running heater string at the written line voltage nearest to the nominal one.

    Filaments of a three-way set hang on the direct voltage behind its rectifier, and are no string on the line.
    """
    if heaters is None or heaters.arrangement != "series" or heaters.feed.kind != "line":
        return None
    runs = [run for run in heaters.running if run.current_amps]
    return min(runs, key=lambda run: abs(run.line_volts - line.volts), default=None)


def nameplate_watts(record: Record) -> float | None:
    """The watts on the nameplate; None where it has none."""
    return nameplate_of(record, "power")


def set_aside(circuit: Circuit, line: LineSource) -> tuple[tuple[float, NotRunning], ...]:
    """Currents that were read near the nominal line and are none of the running set, and why; the newest first."""
    found = read_amps(circuit.record, tuple(rectifiers_of(circuit)))
    return tuple((amps, why) for volts, amps, why in found if why and near_line(volts, line.volts))
