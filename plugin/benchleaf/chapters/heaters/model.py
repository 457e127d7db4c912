"""The heater supply as written: the order of the string, lamp, dropper, windings, and what was measured."""

from ...record.section import Section, form
from ...record.values import (
    Capacitance,
    Current,
    Frequency,
    Name,
    Names,
    Power,
    Resistance,
    Voltage,
    Words,
    choice,
)

DROPPER_KINDS = ("resistor", "resistance cord", "ballast", "capacitor", "diode")


class PilotLamp(Section):
    """``47 across V5 tap``, ``47 in series``, or a lamp with its own figures: ``screw cap, 6.3 V 0.3 A, in series``."""

    FORM = form(
        ["type", "across", "volts", "amps", "note"],
        values={"voltage": "volts", "current": "amps"},
        words={"in series": "place", "in the string": "place"},
        first=("type",),
        remark="note",
    )

    type: Words
    across: Words | None = None
    place: Words | None = None
    volts: Voltage | None = None
    amps: Current | None = None
    note: Words | None = None


class Dropper(Section):
    """``resistor 170 ohm 30 W``, ``resistance cord 170 ohm``, ``capacitor 5 uF 400 V``, ``diode``, ``ballast 49 V``."""

    FORM = form(
        ["kind", "ohms", "watts", "farads", "volts", "measured", "type", "note"],
        values={"resistance": "ohms", "power": "watts", "capacitance": "farads", "voltage": "volts"},
        words=dict.fromkeys(DROPPER_KINDS, "kind"),
        remark="note",
    )

    kind: choice(*DROPPER_KINDS)  # type: ignore[valid-type]
    ohms: Resistance | None = None
    watts: Power | None = None
    farads: Capacitance | None = None
    volts: Voltage | None = None
    measured: Resistance | None = None
    type: Words | None = None
    note: Words | None = None


class Winding(Section):
    """``6.3 V 2.5 A, feeds V1 V2 V3 V4``."""

    FORM = form(
        ["volts", "amps", "feeds", "measured", "note"], values={"voltage": "volts", "current": "amps"}, remark="note"
    )

    volts: Voltage
    amps: Current | None = None
    feeds: Words | None = None
    measured: Voltage | None = None
    note: Words | None = None


class HeaterReadings(Section):
    """Measured heater volts by tube, and the conditions: ``line: 117 V``, ``V5: 32.1 V``."""

    OTHERS = "volts"

    line: Voltage | None = None
    current: Current | None = None
    frequency: Frequency | None = None
    dropper: Voltage | None = None
    volts: dict[Name, Voltage] = {}


class HeaterSupply(Section):
    """Section ``heaters`` of a record."""

    order: Names | None = None
    pilot_lamp: PilotLamp | None = None
    dropper: Dropper | None = None
    windings: dict[Name, Winding] = {}
    measured: HeaterReadings | None = None
    note: Words | None = None
