"""The line voltages the heaters are computed at, and how they are fed."""

from __future__ import annotations

from ...record.model import Line, Record
from ...record.sections.heaters import HeaterSupply
from .rated import si

LINE_BAND = 0.10
"""Low and high line where the record does not give them. Common practice, no source."""

BATTERY_VOLTS = 24.0
"""Up to here a line is taken to be the heaters' own battery."""


def arrangement_of(record: Record) -> str:
    """``series``, ``parallel``, ``mixed`` or ``unknown``."""
    heaters = record.heaters or HeaterSupply()
    power = record.power or ""
    ordered, wound = heaters.order is not None, bool(heaters.windings)
    if wound and ordered:
        return "mixed"
    if wound or power == "transformer":
        return "parallel"
    if power == "series string" or ordered or heaters.dropper is not None:
        return "series"
    return "parallel" if power in ("battery", "vibrator") and supply_volts(record) else "unknown"


def supply_volts(record: Record) -> float | None:
    """Volts of the heaters' own battery: the A battery, or a line low enough to be one."""
    if record.heaters:
        for name, battery in record.heaters.batteries.items():
            if str(name).casefold() in ("a", "lt", "filament", "filaments"):
                return si(battery.volts)
    volts = si(record.line.volts) if record.line else None
    return volts if volts is not None and volts <= BATTERY_VOLTS else None


def listed(line: Line | None, measured: float | None) -> list[tuple[float, str]]:
    """Low, nominal and high line and the measured one, lowest first; a voltage is listed once, with all it is."""
    nominal = si(line.volts) if line else None
    found: list[tuple[float, str]] = []
    if nominal is not None and line is not None:
        low, high = si(line.low) or nominal * (1 - LINE_BAND), si(line.high) or nominal * (1 + LINE_BAND)
        found = [(low, "low"), (nominal, "nominal"), (high, "high")]
    if measured is not None:
        found.append((measured, "measured"))
    which: dict[float, list[str]] = {}
    for volts, why in found:
        which.setdefault(round(volts, 9), []).append(why)
    return [(volts, ", ".join(why)) for volts, why in sorted(which.items())]


def limits_assumed(line: Line | None) -> bool:
    """Whether low or high line is not written."""
    return line is not None and (si(line.low) is None or si(line.high) is None)
