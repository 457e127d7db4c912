"""What lies between two places of the line side: components in parallel, some of them in series with each other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from ...circuit.in_place import InPlace
from ...circuit.line_side import SideComponent
from ...circuit.pieces import Tolerance
from ...electrics.colours import UNMARKED_TOLERANCE
from ...electrics.nodal_analysis import Capacitor, Inductor, NetworkElement, Resistor, Wire
from ...record.part_types import PAPER_TYPES
from ...record.sections.line_side import WIRE_WORDS
from ...report.amount import METER_TOLERANCE

MOST_COMPONENTS = 12
"""Components of one barrier that are computed; what is written beyond is said to be left out."""

PAPER_BAND = Tolerance(-0.2, 0.5)
"""Common practice, no source: how far an old paper capacitor that nobody measured may be off its marking. It was made
to ±20 %, and damp takes it up."""

MEASURED_BAND = Tolerance(-METER_TOLERANCE, METER_TOLERANCE)


@dataclass(frozen=True, slots=True)
class ComputedComponent:
    """One component as it is computed: ohm, farad or henry; a wire has the value 0.

    ``leak_ohms`` is the leakage of a capacitor as a resistance beside it. ``said`` is its name in the parts list, if it
    has one there, and what was typed; ``rated_volts`` (RMS if ``rated_is_rms``) and ``rated_watts`` are what it may
    carry, ``of_class`` its class of IEC 60384-14, each where written.
    """

    kind: Literal["resistor", "capacitor", "inductor", "wire"]
    value: float
    leak_ohms: float | None = None
    tolerance: Tolerance | None = None
    said: str = ""
    of_class: str | None = None
    rated_volts: float | None = None
    rated_watts: float | None = None
    rated_is_rms: bool = False
    lead: str | None = None
    unknown: bool = False


_KINDS: dict[str, Literal["resistor", "capacitor", "inductor"]] = {
    "resistor": "resistor",
    "capacitor": "capacitor",
    "inductor": "inductor",
}

Chain = tuple[ComputedComponent, ...]
"""Components in series."""

Barrier = tuple[Chain, ...]
"""Chains in parallel; empty where nothing joins the two places."""

WIRED: Barrier = ((ComputedComponent("wire", 0.0),),)


def read_barrier(components: Sequence[SideComponent]) -> Barrier:
    """The barrier that components make. A value that is not known counts as a wire, the worse case."""
    chains: list[Chain] = []
    for given in components[:MOST_COMPONENTS]:
        component = _component(given)
        if component is None:
            continue
        if given.in_series and chains:
            chains[-1] = (*chains[-1], component)
        else:
            chains.append((component,))
    return tuple(chains)


def _component(given: SideComponent) -> ComputedComponent | None:
    """One component; None where it is none at all (``none``, ``open``)."""
    inside, lead = given.inside, _lead(given.lead)
    if inside.condition in ("none", "open"):
        return None
    written = inside.seen
    shown = written.value_typed or written.measured_typed
    said = " ".join(text for text in (given.name, shown, written.type, written.safety_class) if text)
    if inside.condition == "shorted" or written.condition in WIRE_WORDS:
        return ComputedComponent("wire", 0.0, said=said, lead=lead)
    kind = _KINDS.get(inside.kind)
    value = inside.high if kind == "capacitor" else inside.low
    if value is None or kind is None or value < 0:
        return ComputedComponent("wire", 0.0, said=said, lead=lead, unknown=True)
    if value == 0:
        return None if kind == "capacitor" else ComputedComponent("wire", 0.0, said=said, lead=lead)
    return ComputedComponent(
        kind=kind,
        value=value,
        leak_ohms=_leak(inside),
        tolerance=_band(inside),
        said=said,
        of_class=written.safety_class.rpartition("/")[2] or None,
        rated_volts=written.volts,
        rated_watts=written.watts,
        rated_is_rms=written.volts_mark in ("ac", "rms"),
        lead=lead,
    )


def _band(inside: InPlace) -> Tolerance | None:
    """How far the value may be off: by the meter where it was measured, of old paper by its usual drift."""
    if inside.how == "measured":
        return MEASURED_BAND
    written = inside.seen
    if written.type.casefold() not in PAPER_TYPES or written.safety_class or written.condition.casefold() == "new":
        return inside.tolerance
    marked = inside.tolerance or PAPER_BAND
    return Tolerance(min(marked.low, PAPER_BAND.low), max(marked.high, PAPER_BAND.high))


def _lead(lead: str) -> str | None:
    return {"B- lead": "return lead", "each lead": "both leads"}.get(lead, lead) or None


def _leak(inside: InPlace) -> float | None:
    """Ohm of a written leakage, None where nothing was written or nothing leaks."""
    ohms = inside.leakage_ohms if inside.kind == "capacitor" else None
    return ohms if ohms is not None and ohms > 0 else None


def elements(barrier: Barrier, a: str, b: str) -> Iterator[NetworkElement]:
    """The network of a barrier between nodes ``a`` and ``b``."""
    for number, chain in enumerate(barrier):
        nodes = [a, *(f"{a}|{b}|{number}.{step}" for step in range(1, len(chain))), b]
        for component, left, right in zip(chain, nodes, nodes[1:], strict=False):
            yield _element(component, left, right)
            if component.leak_ohms is not None and component.kind == "capacitor":
                yield Resistor(left, right, component.leak_ohms)


def _element(component: ComputedComponent, a: str, b: str) -> NetworkElement:
    if component.kind == "resistor":
        return Resistor(a, b, component.value)
    if component.kind == "capacitor":
        return Capacitor(a, b, component.value)
    if component.kind == "inductor":
        return Inductor(a, b, component.value)
    return Wire(a, b)


def components_of(barrier: Barrier) -> Iterator[ComputedComponent]:
    """Every component of a barrier."""
    for chain in barrier:
        yield from chain


def is_wired(barrier: Barrier) -> bool:
    """Whether a barrier is no barrier at all."""
    return any(all(component.kind == "wire" for component in chain) for chain in barrier)


def with_one_capacitor_shorted(barrier: Barrier) -> tuple[Barrier, ...]:
    """The barrier with each of its capacitors shorted in turn; of two in series the other stays."""
    shorted = []
    for i, chain in enumerate(barrier):
        for j, component in enumerate(chain):
            if component.kind == "capacitor":
                other = (*chain[:j], ComputedComponent("wire", 0.0, said=component.said), *chain[j + 1 :])
                shorted.append((*barrier[:i], other, *barrier[i + 1 :]))
    return tuple(shorted)


def spread(barrier: Barrier, more: bool) -> Barrier:
    """The barrier at the end of its tolerances that lets more current through, or less; unwritten ones are assumed."""
    return tuple(tuple(_spread(component, more) for component in chain) for chain in barrier)


def _spread(component: ComputedComponent, more: bool) -> ComputedComponent:
    band = component.tolerance or Tolerance(-UNMARKED_TOLERANCE, UNMARKED_TOLERANCE)
    up = more == (component.kind == "capacitor")
    return replace(component, value=component.value * (1 + band.high if up else 1 + max(band.low, -0.9)))
