"""The changes to a line side that are worth trying, each as an alteration of its wiring."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace

from ...electrics.preferred import nearest, next_above
from ...record.units import say
from ...words import Words
from .barriers import WIRED, Barrier, ComputedComponent, components_of, is_wired
from .described import DescribedState
from .fuse_place import goes_either_way
from .topology import CHASSIS, ReachablePart, Wiring
from .wording import part_words

Alter = Callable[[Wiring], Wiring]

_METAL = ("shafts", "knob screws", "grub screws", "metal back", "metal cabinet", "escutcheon", CHASSIS)

COVER = "cover"
"""The place of a change that keeps hands off and leaves the wiring as it is."""

USUAL_OHMS, USUAL_FARADS, AERIAL_FARADS = 1e6, 3.3e-9, 470e-12
"""Common practice, no source: what is put between B- and chassis, and before an aerial socket."""


@dataclass(frozen=True, slots=True)
class OpenChange:
    """A change: what it is, the wiring altered so, and the place it is made in, where there can be one change."""

    what: str
    alter: Alter
    place: str


def open_changes(described: DescribedState, words: Words) -> Iterator[OpenChange]:
    """Every change this wiring leaves open."""
    wiring = described.wiring
    if wiring.return_fuse and not goes_either_way(described):
        yield OpenChange(f"The fuse in the {words.hot} lead alone", lambda w: replace(w, return_fuse=False), "fuse")
    yield from _switching(wiring, words)
    if wiring.double_wound:
        yield from _of_transformer_set(wiring, words)
    else:
        yield from _between(wiring, words)
    yield from _sockets(wiring, words)
    yield from _covered(wiring, words)


def _switching(wiring: Wiring, words: Words) -> Iterator[OpenChange]:
    if wiring.switch in ("hot lead", "B- lead"):
        yield OpenChange("A double-pole switch", lambda w: replace(w, switch="double-pole"), "switch")
    if wiring.switch == "B- lead":
        lead = "return lead" if wiring.double_wound else "B- lead"
        what = f"The switch in the {words.hot} lead in place of the {lead}"
        yield OpenChange(what, lambda w: replace(w, switch="hot lead"), "switch")


def _of_transformer_set(wiring: Wiring, words: Words) -> Iterator[OpenChange]:
    if not wiring.earthed:
        yield OpenChange(
            f"A three-pin plug with {words.earth} wire to the chassis", lambda w: replace(w, earth=WIRED), "earth"
        )
    if wiring.hot_to_chassis or wiring.return_to_chassis:
        yield OpenChange(
            f"The capacitors from {words.line} to chassis taken out",
            lambda w: replace(w, hot_to_chassis=(), return_to_chassis=()),
            "line to chassis",
        )


def _between(wiring: Wiring, words: Words) -> Iterator[OpenChange]:
    """Changes to what joins B- and chassis."""
    barrier = wiring.b_minus
    if is_wired(barrier):
        usual: Barrier = (
            (ComputedComponent("resistor", USUAL_OHMS),),
            (ComputedComponent("capacitor", USUAL_FARADS, of_class="Y1"),),
        )
        yield OpenChange(
            f"The chassis taken off {words.b_minus} and joined to it through 1 MΩ and 3.3 nF Y1",
            lambda w: replace(w, b_minus=usual),
            "B- to chassis",
        )
        return
    resistors = [p for p in components_of(barrier) if p.kind == "resistor"]
    if resistors:
        least = min(resistors, key=lambda p: p.value)
        ohms = USUAL_OHMS if least.value < 0.9 * USUAL_OHMS else next_above(2 * least.value, "E6")
        yield OpenChange(
            f"A resistor of {say(ohms, 'ohm')} from {words.b_minus} to chassis in place of {say(least.value, 'ohm')}",
            lambda w: replace(w, b_minus=_swapped(w.b_minus, least, (ComputedComponent("resistor", ohms),))),
            "resistor",
        )
    capacitors = [p for p in components_of(barrier) if p.kind == "capacitor"]
    if not capacitors:
        return
    largest = max(capacitors, key=lambda p: p.value)
    farads = USUAL_FARADS if largest.value > 1.1 * USUAL_FARADS else nearest(largest.value / 2, "E6")
    fresh = _fresh(largest, farads, alone=(largest,) in barrier)
    yield OpenChange(
        f"A capacitor of {say(farads, 'F')} {fresh.of_class} from {words.b_minus} to chassis in place of "
        f"{say(largest.value, 'F')}",
        lambda w: replace(w, b_minus=_swapped(w.b_minus, largest, (fresh,))),
        "capacitor",
    )
    if not any(len(chain) > 1 and largest in chain for chain in barrier):
        twice = nearest(2 * farads if largest.value > 1.1 * USUAL_FARADS else 2 * largest.value, "E6")
        two = (ComputedComponent("capacitor", twice, of_class="Y2"),) * 2
        yield OpenChange(
            f"Two of {say(twice, 'F')} Y2 in series in place of {say(largest.value, 'F')} from {words.b_minus} to "
            "chassis",
            lambda w: replace(w, b_minus=_swapped(w.b_minus, largest, two)),
            "capacitor",
        )


def _sockets(wiring: Wiring, words: Words) -> Iterator[OpenChange]:
    """A small capacitor before the aerial socket, and two in series before every socket that hangs on one."""
    if wiring.double_wound:
        return
    for part in wiring.parts:
        if part.name.startswith("aerial") and not _only_small_capacitors(part):
            small: Barrier = ((ComputedComponent("capacitor", AERIAL_FARADS, of_class="Y1"),),)
            what = f"A capacitor of 470 pF Y1 before the {part_words(part.name, words)}"
            yield OpenChange(what, _with_parts({part.name: small}), "sockets")
            break
    single = [p for p in wiring.parts if p.listed and _is_one_capacitor(p)]
    if single:
        twins = {
            p.name: ((ComputedComponent("capacitor", nearest(2 * p.barrier[0][0].value, "E6"), of_class="Y2"),) * 2,)
            for p in single
        }
        named = " and ".join(f"the {part_words(p.name, words)}" for p in single)
        what = f"Two capacitors Y2 of about twice the value in series before {named}"
        yield OpenChange(what, _with_parts(twins), "sockets")


def _is_one_capacitor(part: ReachablePart) -> bool:
    return len(part.barrier) == 1 and len(part.barrier[0]) == 1 and part.barrier[0][0].kind == "capacitor"


def _only_small_capacitors(part: ReachablePart) -> bool:
    inside = list(components_of(part.barrier))
    return bool(inside) and all(p.kind == "capacitor" and p.value <= 1.1 * AERIAL_FARADS for p in inside)


def _with_parts(barriers: Mapping[str, Barrier]) -> Alter:
    def alter(wiring: Wiring) -> Wiring:
        return replace(wiring, parts=tuple(replace(p, barrier=barriers.get(p.name, p.barrier)) for p in wiring.parts))

    return alter


def _covered(wiring: Wiring, words: Words) -> Iterator[OpenChange]:
    bare = [p.name for p in wiring.parts if p.listed and p.name in _METAL and not p.barrier]
    if not bare:
        return

    def alter(wiring: Wiring) -> Wiring:
        return replace(wiring, parts=tuple(replace(p, listed=False) if p.name in bare else p for p in wiring.parts))

    named = ", ".join(part_words(name, words) for name in bare)
    yield OpenChange(f"Covered, so that no hand reaches it: {named}", alter, COVER)


def _swapped(barrier: Barrier, old: ComputedComponent, new: tuple[ComputedComponent, ...]) -> Barrier:
    return tuple(
        tuple(component for p in chain for component in (new if p == old else (p,))) if old in chain else chain
        for chain in barrier
    )


def _fresh(old: ComputedComponent, farads: float, *, alone: bool) -> ComputedComponent:
    """A new capacitor in the place of an old one: it does not leak, and alone it has to be class Y1.

    One of two in series keeps its class.
    """
    return ComputedComponent("capacitor", farads, of_class="Y1" if alone else old.of_class or "Y1")
