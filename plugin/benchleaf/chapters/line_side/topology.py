"""The wiring between wall plug and touchable parts, and the network it makes in each position of plug and switch.

The wall is an ideal source with one earthed conductor. ``right`` puts the cord's hot lead on the live conductor.
The load matters only where a conductor is open and the chassis is reached through it; then no working current flows,
the rectifier is idle and the heaters are cold.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ...electrics.nodal_analysis import NetworkElement, Resistor, VoltageSource, Wire
from .barriers import Barrier, elements, is_wired

HOT, NEUTRAL, EARTH = "hot", "neutral", "earth"
HOT_LEAD, RETURN_LEAD = "hot lead", "return lead"
IN_SET, B_MINUS, CHASSIS = "line in the set", "B-", "chassis"

PLUG_WAYS = ("right", "reversed")


EARTH_LEAD = "earth lead"
"""The wire from the chassis to the earth of the house, as the place of a current that was read in it."""


@dataclass(frozen=True, slots=True)
class ReachablePart:
    """A part a hand may reach: ``barrier`` lies between it and the chassis, empty for one that is bolted to it.

    ``listed`` is False for a chassis that the record does not name among the touchable parts.
    """

    name: str
    barrier: Barrier = ()
    listed: bool = True

    @property
    def node(self) -> str:
        """The node of the network that a hand on this part touches."""
        return f"part {self.name}" if self.barrier else CHASSIS


@dataclass(frozen=True, slots=True)
class Wiring:
    """One line side with nothing left open.

    ``load_ohms`` is what the set is for the line while it plays, ``idle_ohms`` with cold heaters and no working current
    (None: not known, a wire). ``b_minus`` is what joins B- and chassis. ``hot_to_chassis`` and ``return_to_chassis``
    hang on the leads of the cord, or ``behind_switch`` on the set's side of it. A ``double_wound`` transformer leaves
    the chassis no connection to the line but these. ``earth`` is what joins the chassis to the earth of the house.
    """

    volts: float
    hertz: float
    switch: str
    load_ohms: float | None = None
    idle_ohms: float | None = None
    b_minus: Barrier = ()
    across: Barrier = ()
    hot_to_chassis: Barrier = ()
    return_to_chassis: Barrier = ()
    behind_switch: bool = False
    double_wound: bool = False
    earth: Barrier = ()
    return_fuse: bool = False
    parts: tuple[ReachablePart, ...] = (ReachablePart(CHASSIS),)

    @property
    def live_chassis(self) -> bool:
        """Whether the chassis is one side of the line."""
        return not self.double_wound and is_wired(self.b_minus)

    @property
    def earthed(self) -> bool:
        """Whether an earth wire goes to the chassis, be it through a component."""
        return bool(self.earth)

    def switch_ways(self) -> tuple[str, ...]:
        """The positions of the switch; a set without one is always on."""
        return ("on",) if self.switch == "none" else ("on", "off")


@dataclass(frozen=True, slots=True)
class Broken:
    """What a single fault opens (``neutral``, ``return fuse``) and which nodes it joins."""

    opens: frozenset[str] = frozenset()
    straps: tuple[tuple[str, str], ...] = ()


NOTHING_BROKEN = Broken()


def network(wiring: Wiring, plug: str, switch: str, broken: Broken = NOTHING_BROKEN) -> tuple[NetworkElement, ...]:
    """The network of one state: ``plug`` right or reversed, ``switch`` on or off."""
    return tuple(_elements(wiring, plug, switch, broken))


def _elements(wiring: Wiring, plug: str, switch: str, broken: Broken) -> Iterator[NetworkElement]:
    off = switch == "off"
    hot_closed = not (off and wiring.switch in ("hot lead", "double-pole"))
    return_closed = not (off and wiring.switch in ("B- lead", "double-pole")) and "return fuse" not in broken.opens
    neutral_whole = "neutral" not in broken.opens
    yield VoltageSource(HOT, EARTH, wiring.volts)
    if neutral_whole:
        yield Wire(NEUTRAL, EARTH)
    first, second = (HOT, NEUTRAL) if plug == "right" else (NEUTRAL, HOT)
    yield Wire(HOT_LEAD, first)
    yield Wire(RETURN_LEAD, second)
    if hot_closed:
        yield Wire(IN_SET, HOT_LEAD)
    if return_closed:
        yield Wire(B_MINUS, RETURN_LEAD)
    yield from _load(wiring, running=hot_closed and return_closed and neutral_whole)
    yield from elements(wiring.across, IN_SET, B_MINUS)
    if not wiring.double_wound:
        yield from elements(wiring.b_minus, B_MINUS, CHASSIS)
    sides = (IN_SET, B_MINUS) if wiring.behind_switch else (HOT_LEAD, RETURN_LEAD)
    yield from elements(wiring.hot_to_chassis, sides[0], CHASSIS)
    yield from elements(wiring.return_to_chassis, sides[1], CHASSIS)
    for part in wiring.parts:
        if part.barrier:
            yield from elements(part.barrier, part.node, CHASSIS)
    yield from elements(wiring.earth, CHASSIS, EARTH)
    for a, b in broken.straps:
        yield Wire(a, b)


def _load(wiring: Wiring, running: bool) -> Iterator[NetworkElement]:
    """The set as the line sees it. Across the ideal source itself it changes nothing, and may be left out."""
    ohms = wiring.load_ohms if running else wiring.idle_ohms
    if ohms is not None:
        yield Resistor(IN_SET, B_MINUS, ohms)
    elif not running:
        yield Wire(IN_SET, B_MINUS)
