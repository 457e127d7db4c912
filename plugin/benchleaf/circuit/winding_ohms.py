"""The resistance of a transformer as its rectifier sees it, from what an ohmmeter showed before power."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from .cold_subjects import PART, PLUG, PRIMARY, SECONDARY, ColdSubject, line_transformer, subject_of
from .in_place import in_place
from .rail_ohms import MARKED_OFF, MEASURED_OFF
from .rectifier_feed import high_voltage_windings

if TYPE_CHECKING:
    from .circuit import Circuit


@dataclass(frozen=True, slots=True)
class TransformerOhms:
    """Ohms in series with one path of the rectifier.

    ``winding`` is measured: the whole of it at a bridge, half of it at two plates. ``primary`` is the primary's own,
    None where it is not known, and ``stepped`` the same as it stands before the rectifier, times the square of the
    ratio of turns (textbook: an impedance through an ideal transformer).
    """

    winding: float
    primary: float | None
    stepped: float

    @property
    def ohms(self) -> float:
        """Winding and primary together."""
        return self.winding + self.stepped


def transformer_ohms(circuit: Circuit, ratio: float, *, half: bool) -> TransformerOhms | None:
    """What the transformer has by the ohmmeter; None where its winding for B+ was not measured.

    ``ratio`` is RMS volts at one path of the rectifier over the line's. ``half`` says that each path has half of the
    winding.
    """
    name = line_transformer(circuit)
    winding = _read(circuit, ColdSubject(PART, part=name, which=SECONDARY)) or _of_high_voltage(circuit)
    if winding is None:
        return None
    primary = primary_ohms(circuit)
    return TransformerOhms(winding / 2 if half else winding, primary, (primary or 0.0) * ratio**2)


def primary_ohms(circuit: Circuit) -> float | None:
    """What an ohmmeter showed of a transformer's primary, or the parts list has of it; None where neither is there."""
    known = _primary(circuit, by_the_plug=True)
    return known[0] if known else None


def primary_band(circuit: Circuit, *, by_the_plug: bool = True) -> tuple[float, float] | None:
    """Lowest and highest ohms of a mains transformer's primary: as close as it was measured, or as the list has it.

    A reading at the plug counts where nothing else is known, unless that is what is asked about.
    """
    known = _primary(circuit, by_the_plug=by_the_plug)
    return (known[0] * (1 - known[1]), known[0] * (1 + known[1])) if known else None


def _primary(circuit: Circuit, *, by_the_plug: bool) -> tuple[float, float] | None:
    """The ohms of a primary, and the share that they may be off."""
    if not circuit.mains.wound:
        return None
    name = line_transformer(circuit)
    if read := _read(circuit, ColdSubject(PART, part=name, which=PRIMARY)):
        return read, MEASURED_OFF
    listed = circuit.component(name) if name else None
    there = in_place(listed, "now") if listed else None
    if there and there.unit == "ohm" and there.value:
        return there.value, MEASURED_OFF if there.how == "measured" else MARKED_OFF
    plug = _read(circuit, ColdSubject(PLUG)) if by_the_plug else None
    return (plug, MEASURED_OFF) if plug else None


def _read(circuit: Circuit, subject: ColdSubject) -> float | None:
    """The last reading of a subject that is a plain number of ohms."""
    found = (
        reading.ohms.si
        for reading in reversed(circuit.record.before_power)
        if reading.ohms.qualifier in ("exact", "approx") and subject_of(circuit, str(reading.of)) == subject
    )
    return next((ohms for ohms in found if ohms), None)


def _of_high_voltage(circuit: Circuit) -> float | None:
    """The ohms that the heaters' windings have of the one that feeds the rectifier; None where there is not one."""
    found = [winding for winding in high_voltage_windings(circuit) if winding.ohms]
    return found[0].ohms.si if len(found) == 1 and found[0].ohms else None
