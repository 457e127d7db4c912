"""The line voltages the heaters are computed at, and how they are fed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...record.sections.heaters import HeaterSupply
from .rated import si

if TYPE_CHECKING:
    from ...circuit.circuit import Circuit
    from ...circuit.mains import LineVolts

BATTERY_VOLTS = 24.0
"""Up to here a line is taken to be the heaters' own battery."""


def arrangement_of(circuit: Circuit) -> str:
    """``series``, ``parallel``, ``mixed`` or ``unknown``."""
    heaters, mains = circuit.record.heaters or HeaterSupply(), circuit.mains
    ordered, wound = heaters.order is not None, bool(heaters.windings)
    if wound and ordered:
        return "mixed"
    if wound or mains.double_wound:
        return "parallel"
    if mains.heaters_in_string or ordered or heaters.dropper is not None or heaters.filament_supply is not None:
        return "series"
    return "parallel" if not mains.from_line and supply_volts(circuit) else "unknown"


def supply_volts(circuit: Circuit) -> float | None:
    """Volts of the heaters' own battery: the A battery, or a line low enough to be one."""
    heaters, line = circuit.record.heaters, circuit.mains.volts
    if heaters:
        for name, battery in heaters.batteries.items():
            if str(name).casefold() in ("a", "lt", "filament", "filaments"):
                return si(battery.volts)
    own = line is not None and not circuit.mains.from_line and line.nominal <= BATTERY_VOLTS
    return line.nominal if line and own else None


def line_voltages(line: LineVolts | None, measured: float | None) -> list[tuple[float, str]]:
    """Low, nominal and high line and the measured one, lowest first; a voltage is listed once, with all it is."""
    found = [(line.low, "low"), (line.nominal, "nominal"), (line.high, "high")] if line else []
    if measured is not None:
        found.append((measured, "measured"))
    which: dict[float, list[str]] = {}
    for volts, why in found:
        which.setdefault(round(volts, 9), []).append(why)
    return [(volts, ", ".join(why)) for volts, why in sorted(which.items())]
