"""What a network is made of: resistors, capacitors, inductors, ideal wires and ideal voltage sources."""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass

__all__ = [
    "Capacitor",
    "Inductor",
    "NetworkElement",
    "NetworkError",
    "Resistor",
    "VoltageSource",
    "Wire",
    "admittance_of",
    "ends",
]


class NetworkError(ValueError):
    """A network that contradicts itself.

    ``kind`` is one of ``shorted source`` (a voltage source bridged by ideal wires: a dead short, for the caller a
    finding), ``loop of sources``, ``resonance`` (no loss anywhere: the voltage would be infinite), ``value`` (a
    negative or undefined value) and ``current`` (the current asked for is not determined). ``nodes`` names the
    nodes concerned.
    """

    def __init__(self, kind: str, message: str, nodes: tuple[str, ...] = ()) -> None:
        super().__init__(message)
        self.kind = kind
        self.nodes = nodes


@dataclass(frozen=True, slots=True)
class Resistor:
    """A resistance in ohm between nodes ``a`` and ``b``; 0 is a wire, infinity is open."""

    a: str
    b: str
    ohms: float


@dataclass(frozen=True, slots=True)
class Capacitor:
    """A capacitance in farad between nodes ``a`` and ``b``; open at zero frequency."""

    a: str
    b: str
    farads: float


@dataclass(frozen=True, slots=True)
class Inductor:
    """An inductance in henry between nodes ``a`` and ``b``; an ideal wire at zero frequency."""

    a: str
    b: str
    henries: float


@dataclass(frozen=True, slots=True)
class Wire:
    """An ideal connection of ``a`` and ``b``. Where its current is wanted, use a source of 0 V instead."""

    a: str
    b: str


@dataclass(frozen=True, slots=True)
class VoltageSource:
    """An ideal source: ``plus`` stands ``volts`` (RMS phasor, or DC volts) above ``minus``."""

    plus: str
    minus: str
    volts: complex


NetworkElement = Resistor | Capacitor | Inductor | Wire | VoltageSource


def ends(element: NetworkElement) -> tuple[str, str]:
    return (element.plus, element.minus) if isinstance(element, VoltageSource) else (element.a, element.b)


def admittance_of(element: NetworkElement, frequency_hz: float) -> complex | None:
    """Siemens of a passive element; ``None`` if it is an ideal wire at this frequency. Raises on a bad value."""
    omega = 2 * math.pi * frequency_hz
    match element:
        case Resistor(ohms=value):
            admittance = complex(1 / value) if value > 0 else None
        case Capacitor(farads=value):
            admittance = complex(0.0, omega * value)
        case Inductor(henries=value):
            admittance = complex(0.0, -1 / (omega * value)) if omega * value > 0 else None
        case _:
            return None
    if not value >= 0 or (admittance is not None and not cmath.isfinite(admittance)):
        raise NetworkError("value", f"{element!r} has a value that cannot be computed.", ends(element))
    return admittance
