"""The body network of IEC 60990, part by part, for ngspice: the package itself has it in closed form."""

from __future__ import annotations

from dataclasses import dataclass

from benchleaf.electrics.nodal_analysis import Capacitor, NetworkElement, Resistor


@dataclass(frozen=True, slots=True)
class BodyNetwork:
    """The parts of the network and the nodes where U1 and U2 are taken, both against earth."""

    elements: tuple[NetworkElement, ...]
    u1: str
    u2: str


def body_network(part: str, earth: str = "earth") -> BodyNetwork:
    """Figure 4 of IEC 60990:1999 (perception or reaction) from ``part`` to ``earth``.

    Values as Annex D of IEC 60065 draws them: 1500 ohm beside 0.22 uF, then 500 ohm, weighted by 10 kohm and 22 nF.
    """
    u1, u2 = f"{part}|U1|{earth}", f"{part}|U2|{earth}"
    elements: tuple[NetworkElement, ...] = (
        Resistor(part, u1, 1500.0),
        Capacitor(part, u1, 0.22e-6),
        Resistor(u1, earth, 500.0),
        Resistor(u1, u2, 10e3),
        Capacitor(u2, earth, 22e-9),
    )
    return BodyNetwork(elements, u1, u2)
