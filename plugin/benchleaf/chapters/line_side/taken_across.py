"""What stood between a part and earth while it was measured: a network, a load of one's own, a meter."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from math import pi

from ...circuit.usual_limits import METER_OHMS
from ...electrics.nodal_analysis import NetworkElement
from ...electrics.touch import BODY_OHMS, SERVICE_FARADS, SERVICE_OHMS, loaded_volts, service_check_volts, touch_current
from ...record.quantities import QuantityError, read_quantity

_ALIKE = 0.02
_BODY_NETWORK = re.compile(r"60990|body|\bU2\b", re.I)
_SERVICE_NETWORK = re.compile(r"service", re.I)
_METER = re.compile(r"\b(?:milliam|am|micro)?meter\b|\b(?:dmm|multimeter)\b", re.I)
_JOINTS = re.compile(r"\s+(?:and|with|beside|parallel(?: to)?|in parallel with)\s+|\s*(?:\|\||∥|//|[+&,;])\s*", re.I)
_FILLING = re.compile(r"\b(?:a|an|the|of|resistor|capacitor|meter|dmm|multimeter)\b", re.I)

MeterReads = Callable[[tuple[NetworkElement, ...], str, float], float]


@dataclass(frozen=True, slots=True)
class TakenAcross:
    """``kind`` is ``service network``, ``body network`` (IEC 60990), ``load``, ``meter``, ``ammeter`` or ``unknown``.

    ``ohms`` and ``farads`` are what stood there, side by side; None where the kind says it, or for none.
    """

    kind: str
    ohms: float | None = None
    farads: float | None = None

    @property
    def reads(self) -> MeterReads | None:
        """What it shows between a point of a network and earth at a frequency; None where it is not known."""
        if self.kind == "load":
            ohms, farads = self.ohms, self.farads
            return lambda elements, node, hertz: loaded_volts(elements, node, hertz, ohms, farads)
        return _READS.get(self.kind)

    @property
    def reads_amps(self) -> MeterReads | None:
        """The current that is said of it: what it shows over its own impedance; as ``reads`` where that is one."""
        if self.kind in ("ammeter", "meter"):
            return _amps
        volts, farads = self.reads, self._farads_beside
        siemens = 1 / self.own_ohms if self.own_ohms else 0.0
        if volts is None or not (siemens or farads):
            return None
        return lambda elements, node, hertz: volts(elements, node, hertz) * abs(siemens + 2j * pi * hertz * farads)

    @property
    def own_ohms(self) -> float | None:
        """The resistance that a current is reckoned by (IEC 60990: U2 over 500 ohm); None for a meter."""
        return {"service network": SERVICE_OHMS, "body network": BODY_OHMS}.get(self.kind, self.ohms)

    @property
    def _farads_beside(self) -> float:
        return SERVICE_FARADS if self.kind == "service network" else self.farads or 0.0


def taken_across(words: str, meter: str = "meter") -> TakenAcross:
    """What a reading was taken across, from the words behind “across”; ``meter`` where there are none."""
    if not words.strip():
        return TakenAcross(meter)
    if _BODY_NETWORK.search(words):
        return TakenAcross("body network")
    ohms, farads, left = _values(words)
    if ohms is None and farads is None:
        kind = "service network" if _SERVICE_NETWORK.search(words) else "meter" if _METER.search(words) else "unknown"
        return TakenAcross(kind)
    if left:
        return TakenAcross("unknown")
    if ohms and farads and abs(ohms / SERVICE_OHMS - 1) < _ALIKE and abs(farads / SERVICE_FARADS - 1) < _ALIKE:
        return TakenAcross("service network")
    return TakenAcross("load", ohms, farads)


def _values(words: str) -> tuple[float | None, float | None, bool]:
    """The resistance and the capacitance in the words, and whether something in them is neither, or a second one."""
    found: dict[str, float] = {}
    left = False
    for piece in _JOINTS.split(_FILLING.sub(" ", words)):
        if not piece.strip():
            continue
        kind, value = next(((k, v) for k in ("resistance", "capacitance") if (v := _value(piece, k))), ("", None))
        if value is None or kind in found:
            left = True
        else:
            found[kind] = value
    return found.get("resistance"), found.get("capacitance"), left


def _value(piece: str, kind: str) -> float | None:
    try:
        return read_quantity(piece.strip(), kind).si
    except QuantityError:
        return None


def _u2_volts(elements: tuple[NetworkElement, ...], node: str, hertz: float) -> float:
    return touch_current(elements, node, hertz).u2_volts


def _amps(elements: tuple[NetworkElement, ...], node: str, hertz: float) -> float:
    return touch_current(elements, node, hertz).amps_rms


def _meter(elements: tuple[NetworkElement, ...], node: str, hertz: float) -> float:
    return loaded_volts(elements, node, hertz, METER_OHMS)


_READS: dict[str, MeterReads] = {
    "body network": _u2_volts,
    "service network": service_check_volts,
    "meter": _meter,
    "ammeter": _amps,
}
