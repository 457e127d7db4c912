"""The amplifying sections of a set's tubes, each with the nodes its currents flow through."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from ...tubes import Maxima, Tube
from .places import Spot, spots
from .resistors import Node
from .runs import Readings

_NOT_AMPLIFYING = ("diode", "rectifier", "indicator")


@dataclass(frozen=True, slots=True)
class Stage:
    """One section. ``name`` is ``V4``, or ``V4 triode`` where the bulb holds another one that comes first.

    ``beside`` are the nodes that take current from the same cathode in other sections. ``certain`` says that the tube
    is known, so that a section without a screen has none.
    """

    name: str
    tube: str
    section: str
    cathode: Node | None
    plates: tuple[Node, ...]
    screens: tuple[Node, ...]
    beside: tuple[Node, ...] = ()
    certain: bool = True


def stages(run: Readings, tubes: Mapping[str, Tube], positions: tuple[str, ...]) -> Iterator[Stage]:
    """The amplifying sections of every tube that a run has readings of."""
    read: dict[str, list[Spot]] = {}
    for value in run.values:
        if value.spot.tube in positions:
            read.setdefault(value.spot.tube, []).append(value.spot)
    for position in positions:
        if position not in read:
            continue
        tube = tubes.get(position)
        if tube is None:
            yield _of_unknown(position, read[position])
        elif "rectifier" not in (tube.role or "") or "output" in (tube.role or ""):
            yield from _of_known(position, tube)


def _of_unknown(position: str, read: list[Spot]) -> Stage:
    plates, screens, cathodes = (_nodes(read, kind) for kind in ("plate", "screen", "cathode"))
    return Stage(position, position, "", cathodes[0] if cathodes else None, plates, screens, certain=False)


def _nodes(found: list[Spot], kind: str) -> tuple[Node, ...]:
    return tuple(dict.fromkeys(Node(s.tube, s.key) for s in found if s.kind == kind and s.current == "DC"))


def _of_known(position: str, tube: Tube) -> Iterator[Stage]:
    amplifying = [s for s in tube.sections if not s.name.startswith(_NOT_AMPLIFYING)]
    found = {}
    for section in amplifying:
        places = [
            spot
            for key in section.electrodes
            for spot in spots(position, key, None, tube, is_tube=True, dialect="us")
            if spot.known
        ]
        found[section.name] = {kind: _nodes(places, kind) for kind in ("cathode", "plate", "screen")}
    twins = len({name.split()[0] for name in found}) < len(found)
    for n, (name, nodes) in enumerate(found.items()):
        cathode = nodes["cathode"][0] if nodes["cathode"] else None
        beside = tuple(
            node
            for other, theirs in found.items()
            if other != name and cathode in theirs["cathode"]
            for node in (*theirs["plate"], *theirs["screen"])
        )
        label = position if n == 0 and not twins else f"{position} {name}"
        yield Stage(label, position, name, cathode, nodes["plate"], nodes["screen"], beside)


def maxima_of(stage: Stage, tube: Tube) -> Maxima | None:
    """The highest permitted values of one section, or None where the table has none for it."""
    for maxima in tube.other_maxima:
        if maxima.section and stage.section.endswith(maxima.section):
            return maxima
    first = tube.sections[0].name if tube.sections else ""
    twin = stage.section.split()[:1] == first.split()[:1]
    return tube.maxima if twin else None
