"""The way of the current through a person in the worst state, from the live conductor to the part that is touched."""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ...electrics.network_elements import admittance_of, ends
from ...electrics.nodal_analysis import NetworkElement, VoltageSource
from ...words import Words
from .barriers import Barrier, ComputedComponent
from .single_faults import faults_of
from .states import Solved, TouchState
from .topology import B_MINUS, CHASSIS, EARTH, HOT, HOT_LEAD, IN_SET, NEUTRAL, RETURN_LEAD, Broken, Wiring, network
from .wording import fault_words, part_words

_WIRE_OHMS = 1e-6


@dataclass(frozen=True, slots=True)
class Stretch:
    """One stretch of the way. ``chain`` numbers the chain of a barrier it goes through, ``strap`` marks the fault."""

    start: str
    end: str
    chain: int | None = None
    strap: bool = False


@dataclass(frozen=True, slots=True)
class CurrentPath:
    """The worst state with the stretches from the live conductor to the part; ``wiring`` is the one it was found in."""

    state: TouchState
    stretches: tuple[Stretch, ...]
    wiring: Wiring


def path_of(state: TouchState, wirings: Sequence[Wiring], solved: Solved) -> CurrentPath | None:
    """The way of least impedance that the current takes; None where none flows."""
    tried = list(_candidates(state, wirings, solved))
    if not state.touch_amps_rms or not tried:
        return None
    _, elements, wiring, broken = max(tried, key=lambda t: t[0])
    node = next(p.node for p in wiring.parts if p.name == state.part)
    nodes = _least_impedance(elements, node, wiring.hertz)
    return CurrentPath(state, tuple(_stretches(nodes, broken)), wiring) if nodes else None


def _candidates(
    state: TouchState, wirings: Sequence[Wiring], solved: Solved
) -> Iterator[tuple[float, tuple[NetworkElement, ...], Wiring, Broken]]:
    for whole in wirings:
        if state.switch not in whole.switch_ways():
            continue
        for fault in faults_of(whole):
            if fault.name != state.fault:
                continue
            for left in fault.wirings:
                elements = network(left, state.plug, state.switch, fault.broken)
                node = next(p.node for p in left.parts if p.name == state.part)
                touch = solved.touch(solved.network(elements), node)
                if touch is not None:
                    yield touch.amps_rms, elements, left, fault.broken


def _least_impedance(elements: tuple[NetworkElement, ...], goal: str, hertz: float) -> list[str]:
    """The nodes from the live conductor to ``goal`` with the least sum of ohms, never through the earth."""
    near: dict[str, list[tuple[str, float]]] = {}
    for element in elements:
        a, b = ends(element)
        if isinstance(element, VoltageSource) or EARTH in (a, b) or NEUTRAL in (a, b):
            continue
        admittance = admittance_of(element, hertz)
        if admittance == 0:
            continue
        ohms = _WIRE_OHMS if admittance is None else abs(1 / admittance)
        near.setdefault(a, []).append((b, ohms))
        near.setdefault(b, []).append((a, ohms))
    waiting: list[tuple[float, str, tuple[str, ...]]] = [(0.0, HOT, (HOT,))]
    seen: set[str] = set()
    while waiting:
        ohms, here, way = heapq.heappop(waiting)
        if here == goal:
            return list(way)
        if here in seen:
            continue
        seen.add(here)
        for there, more in near.get(here, ()):
            if there not in seen:
                heapq.heappush(waiting, (ohms + more, there, (*way, there)))
    return []


def _stretches(nodes: list[str], broken: Broken) -> Iterator[Stretch]:
    """The nodes joined into stretches between places of the drawing; what lies inside a chain is left out."""
    straps = {frozenset(pair) for pair in broken.straps}
    start, chain = nodes[0], None
    for node in nodes[1:]:
        if "|" in node:
            chain = int(node.rsplit("|", 1)[1].split(".")[0])
            continue
        yield Stretch(start, node, chain, frozenset((start, node)) in straps)
        start, chain = node, None


def chain_of(stretch: Stretch, barrier: Barrier, hertz: float) -> int | None:
    """The chain a stretch goes through: the one named, or of those with one component that of least impedance."""
    if stretch.chain is not None:
        return stretch.chain
    single = [(_ohms(chain[0], hertz), n) for n, chain in enumerate(barrier) if len(chain) == 1]
    return min(single)[1] if single else None


def _ohms(component: ComputedComponent, hertz: float) -> float:
    omega = 6.283185307179586 * hertz
    if component.kind == "wire":
        return 0.0
    if component.kind == "resistor":
        return component.value
    if component.kind == "capacitor":
        return 1 / (omega * component.value) if omega else float("inf")
    return omega * component.value


def path_words(path: CurrentPath, words: Words) -> str:
    """The way in one sentence: ``live side of the line → hot lead → … → hand → body → earth → line again``."""
    places = [f"{words.hot} side of the {words.line}"]
    for stretch in path.stretches:
        if stretch.strap:
            places.append(f"{fault_words(path.state.fault, words)} (the fault)")
        if IN_SET in (stretch.start, stretch.end) and B_MINUS in (stretch.start, stretch.end):
            places.append("through the set itself")
        places.append(_place(stretch.end, words))
    return " → ".join(
        dict.fromkeys([*places, "hand", "body", words.earth, f"{words.earthed} side of the {words.line}"])
    )


def _place(node: str, words: Words) -> str:
    if node == IN_SET:
        return "switch and set"
    if node in (HOT_LEAD, RETURN_LEAD, B_MINUS, CHASSIS):
        return words.of_key(node)
    return part_words(node.removeprefix("part "), words)
