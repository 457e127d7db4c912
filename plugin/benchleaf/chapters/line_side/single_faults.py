"""The single faults that are computed for a wiring, each with a short name."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from .barriers import is_wired, with_one_capacitor_shorted
from .topology import B_MINUS, CHASSIS, EARTH, HOT_LEAD, IN_SET, NOTHING_BROKEN, RETURN_LEAD, Broken, Wiring

NONE = "none"


@dataclass(frozen=True, slots=True)
class SingleFault:
    """A single fault: the wirings it may leave behind, of which the worst counts, and what it opens and joins."""

    name: str
    wirings: tuple[Wiring, ...]
    broken: Broken = NOTHING_BROKEN


def faults_of(wiring: Wiring) -> tuple[SingleFault, ...]:
    """``none`` and every single fault this wiring can have."""
    return (
        SingleFault(NONE, (wiring,)),
        *_barrier_faults(wiring),
        *_cord_faults(wiring),
        *_part_faults(wiring),
        *_output_transformer_faults(wiring),
        *_earth_faults(wiring),
    )


def _barrier_faults(wiring: Wiring) -> Iterator[SingleFault]:
    if not wiring.double_wound and not is_wired(wiring.b_minus):
        if shorted := with_one_capacitor_shorted(wiring.b_minus):
            yield SingleFault("B- to chassis capacitor shorted", tuple(replace(wiring, b_minus=b) for b in shorted))
        yield SingleFault("B- touching chassis", (wiring,), Broken(straps=((B_MINUS, CHASSIS),)))
    wirings = (
        *(replace(wiring, hot_to_chassis=b) for b in with_one_capacitor_shorted(wiring.hot_to_chassis)),
        *(replace(wiring, return_to_chassis=b) for b in with_one_capacitor_shorted(wiring.return_to_chassis)),
    )
    if wirings:
        yield SingleFault("line to chassis capacitor shorted", wirings)


def _cord_faults(wiring: Wiring) -> Iterator[SingleFault]:
    yield SingleFault("hot lead chafed to chassis", (wiring,), Broken(straps=((HOT_LEAD, CHASSIS),)))
    yield SingleFault("return lead chafed to chassis", (wiring,), Broken(straps=((RETURN_LEAD, CHASSIS),)))
    yield SingleFault("neutral broken", (wiring,), Broken(opens=frozenset({"neutral"})))
    if wiring.return_fuse:
        yield SingleFault("return fuse blown", (wiring,), Broken(opens=frozenset({"return fuse"})))


def _part_faults(wiring: Wiring) -> Iterator[SingleFault]:
    for index, part in enumerate(wiring.parts):
        wirings = tuple(
            replace(
                wiring,
                parts=(*wiring.parts[:index], replace(part, barrier=shorted), *wiring.parts[index + 1 :]),
            )
            for shorted in with_one_capacitor_shorted(part.barrier)
        )
        if wirings:
            yield SingleFault(f"{part.name.removesuffix(' socket')} capacitor shorted", wirings)


def _output_transformer_faults(wiring: Wiring) -> Iterator[SingleFault]:
    """Primary touching secondary: what hangs on the speaker stands at B+.

    For alternating current B+ is B-, through the filter capacitors; on direct current it is the hot side, through the
    rectifier. The direct voltage of B+ behind an alternating line comes on top and is not in the figures.
    """
    if wiring.double_wound:
        return
    straps = tuple(
        (IN_SET if wiring.hertz == 0 else B_MINUS, part.node)
        for part in wiring.parts
        if part.name in ("speaker socket", "earphone socket")
    )
    if straps:
        yield SingleFault("output transformer primary to secondary", (wiring,), Broken(straps=straps))


def _earth_faults(wiring: Wiring) -> Iterator[SingleFault]:
    """An earth that fails, and an earth that comes in through what is plugged into a set without one."""
    if wiring.earthed:
        yield SingleFault("earth lead broken", (replace(wiring, earth=()),))
        return
    if wiring.double_wound:
        return
    for begins, name in (("aerial", "earthed aerial connected"), ("pick-up", "earthed record player connected")):
        for part in wiring.parts:
            if part.name.startswith(begins) and part.barrier:
                yield SingleFault(name, (wiring,), Broken(straps=((part.node, EARTH),)))
                break
    yield SingleFault("earthed instrument on the chassis", (wiring,), Broken(straps=((CHASSIS, EARTH),)))
