"""The kinds of quantity. Another row in ``ROWS`` is another kind; whatever reads or says values goes by the rows.

The units' factors are what the grammar multiplies by; pint is the authority, and a test holds every one equal to it.
"""

from __future__ import annotations

from collections.abc import Mapping

from .electrical import CHARGE, CURRENT, POWER, TRANSCONDUCTANCE, VOLTAGE
from .general import DURATION, FIELD_STRENGTH, FREQUENCY, LENGTH, LEVEL, RATIO, TEMPERATURE, TURNS_RATIO
from .kind import Kind, Sense, Unit
from .of_parts import CAPACITANCE, INDUCTANCE, RESISTANCE

__all__ = ["BY_NAME", "BY_UNIT", "ROWS", "UNITS", "Kind", "Sense", "Unit"]

ROWS = (
    CAPACITANCE,
    INDUCTANCE,
    RESISTANCE,
    VOLTAGE,
    CURRENT,
    POWER,
    FREQUENCY,
    RATIO,
    TRANSCONDUCTANCE,
    TEMPERATURE,
    DURATION,
    LENGTH,
    CHARGE,
    TURNS_RATIO,
    LEVEL,
    FIELD_STRENGTH,
)
"""Every kind of quantity, in the order in which they are tried."""

BY_NAME: Mapping[str, Kind] = {row.name: row for row in ROWS}
"""Each kind by its name, as ``read_quantity`` takes it."""

BY_UNIT: Mapping[str, Kind] = {row.unit: row for row in ROWS}
"""Each kind by the SI unit that its values are kept in."""

UNITS: Mapping[str, Unit] = {unit.name: unit for row in ROWS for unit in row.units}
"""Every unit of every kind, by the name pint knows it by."""
