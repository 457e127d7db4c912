"""From the written line side to wirings that can be computed; what was not written counts as the worse case."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import product
from typing import TYPE_CHECKING

from ...record.sections.line_side import LineSideState, TouchablePart
from ...record.sections.line_side_words import ON_A_CONTROL
from ...words import Words
from .barriers import MOST_COMPONENTS, WIRED, Barrier, Chain, components_of, is_wired
from .line_and_load import WORSE_HERTZ, LineSource, SetLoad
from .read_side import ReadSide, read_side
from .topology import CHASSIS, ReachablePart, Wiring

if TYPE_CHECKING:
    from ...circuit.circuit import Circuit
    from ...circuit.line_side import Time
    from ..bench import Bench

NO_SWITCH = "none"
MOST_PARTS = 12
"""Touchable parts that are computed; what is written beyond is said to be left out."""

_NOTHING = ("none", "nothing", "no metal")


@dataclass(frozen=True, slots=True)
class DescribedFuse:
    """What is written of a fuse. ``place`` is ``""`` where it was not written."""

    said: str
    place: str


@dataclass(frozen=True, slots=True)
class DescribedState:
    """One state of the line side, before or after.

    ``wirings`` are the wirings that fit what was written, of which the worst counts in each position; ``wiring`` is the
    first of them. ``assumed`` says what was not written and how it was taken, ``from_list`` what the parts list gave;
    ``supply`` is the kind of power supply, ``control`` what the switch sits on (``volume control``), empty for none.
    """

    wirings: tuple[Wiring, ...]
    assumed: tuple[str, ...]
    plug: str | None
    switch: str | None
    fuse: DescribedFuse | None
    remarks: tuple[str, ...]
    supply: str
    control: str = ""
    from_list: tuple[str, ...] = ()

    @property
    def wiring(self) -> Wiring:
        return self.wirings[0]


def describe(bench: Bench, state: LineSideState, time: Time, line: LineSource, load: SetLoad) -> DescribedState:
    """The wirings that fit one written state with the parts that are in at a time, and what had to be assumed."""
    circuit, words, is_after = bench.circuit, bench.words, time == "after"
    side = read_side(circuit, state, time, words)
    assumed = list(side.assumed)
    b_minus, double_wound = _chassis(circuit, state, side, is_after, words, assumed)
    wiring = Wiring(
        volts=line.volts,
        hertz=line.hertz,
        switch=switch_lead(state) or "hot lead",
        load_ohms=load.ohms,
        idle_ohms=None if circuit.mains.wound else load.idle_ohms,
        b_minus=b_minus,
        across=tuple(chain for chain in side.across if not any(p.unknown for p in chain)),
        double_wound=double_wound,
        earth=_earth(circuit, state, side, is_after, assumed, words),
        return_fuse=_return_fuse(state, assumed),
        parts=_parts(state, side, words, assumed),
    )
    if not load.source and not double_wound:
        assumed.append("Neither heaters nor watts are known: what lies between the two leads counts as a wire.")
    if state.plug is None:
        assumed.append("The plug is not stated: both ways round are taken as usual.")
    if circuit.mains.hertz is None and line.hertz:
        taken = f"{WORSE_HERTZ:g} Hz is taken, the worse of 50 and 60 Hz"
        assumed.append(f"The {words.line} frequency is not stated: {taken}.")
    wirings = [
        _with_line_to_chassis(replace(wiring, switch=switch), lead, behind, side.line_to_chassis)
        for switch, lead, behind in product(*_open_questions(state, side, double_wound, assumed, words))
    ]
    return DescribedState(
        wirings=tuple(dict.fromkeys(wirings)),
        assumed=tuple(assumed + _unknown_values(wirings)),
        plug=str(state.plug) if state.plug else None,
        switch=switch_lead(state),
        control=_control_of(state),
        fuse=_fuse(state),
        remarks=tuple(str(t) for t in state.touchable if not isinstance(t, TouchablePart)),
        supply=circuit.mains.power,
        from_list=side.from_list,
    )


def _chassis(
    circuit: Circuit, state: LineSideState, side: ReadSide, is_after: bool, words: Words, assumed: list[str]
) -> tuple[Barrier, bool]:
    """What joins B- and chassis, and whether a double-wound transformer stands between chassis and line."""
    written, grounding = side.b_minus, circuit.grounding
    if circuit.mains.double_wound and not grounding.chassis_on_line:
        if not grounding.stated:
            assumed.append(
                "How the chassis stands is not stated; a double-wound transformer is taken to part it from the "
                f"{words.line}. Its insulation is not proved by anything written here."
            )
        return (), True
    if grounding.chassis == "on the line" and is_after:
        if written and not is_wired(written):
            assumed.append(
                f"The record calls the chassis line-connected and names parts between {words.b_minus} and chassis: "
                "it counts as "
                "connected, the worse case."
            )
        return WIRED, False
    if state.b_minus_to_chassis or written:
        return written, False
    if not grounding.chassis_on_line:
        return (), False
    if grounding.chassis != "on the line":
        assumed.append(
            f"What lies between {words.b_minus} and chassis is not stated: the chassis counts as one side of the "
            f"{words.line}."
        )
    return WIRED, False


def _earth(
    circuit: Circuit, state: LineSideState, side: ReadSide, is_after: bool, assumed: list[str], words: Words
) -> Barrier:
    """What joins the chassis to earth: a wire, or the components an earth lead goes ``through``."""
    if state.earthed is not None:
        return (side.earth or WIRED) if state.earthed else ()
    if state.plug == "three-pin with earth":
        assumed.append(f"The third pin is taken to go to the chassis as its {words.earth} wire.")
        return WIRED
    return WIRED if is_after and circuit.grounding.earthed else ()


def switch_lead(state: LineSideState) -> str | None:
    """What the switch breaks; None where that was not written, be it said where the switch sits."""
    return ON_A_CONTROL.sub("", state.switch or "") or None


def is_one_switch(one: DescribedState, other: DescribedState) -> bool:
    """Whether two states have the same switch: what both say of its lead and of its control is the same.

    Where neither its lead nor its control is written in one of them, nothing says that it is.
    """
    if not all(state.switch or state.control for state in (one, other)):
        return False
    if NO_SWITCH in (one.switch, other.switch):
        return one.switch == other.switch
    leads, controls = {one.switch, other.switch} - {None}, {one.control, other.control} - {""}
    return len(leads) < 2 and len(controls) < 2


def _control_of(state: LineSideState) -> str:
    """The control that the switch sits on, as a page names it; empty where it sits on none."""
    found = ON_A_CONTROL.search(state.switch or "")
    return found[0].strip().removeprefix("on the ") if found else ""


def _fuse(state: LineSideState) -> DescribedFuse | None:
    fuse = state.fuse
    if fuse is None or fuse.none:
        return None
    values = (fuse.amps, fuse.ohms, fuse.watts)
    said = " ".join([*(v.written for v in values if v), *([str(fuse.speed)] if fuse.speed else [])])
    said += f", {fuse.plug_fuse.written} in the plug" if fuse.plug_fuse else ""
    place = {"B- lead": "return lead"}.get(str(fuse.in_), str(fuse.in_)) if fuse.in_ else ""
    return DescribedFuse(said or "fuse", place)


def _return_fuse(state: LineSideState, assumed: list[str]) -> bool:
    fuse = _fuse(state)
    if fuse is not None and not fuse.place:
        assumed.append("Where the fuse sits is not stated: drawn at the plug, it is not computed as blown.")
    return fuse is not None and fuse.place not in ("", "hot lead")


def _parts(state: LineSideState, side: ReadSide, words: Words, assumed: list[str]) -> tuple[ReachablePart, ...]:
    """The touchable parts; the chassis is always among them, ``listed`` or not."""
    written = [t for t in state.touchable if isinstance(t, TouchablePart)]
    remarks = [t for t in state.touchable if not isinstance(t, TouchablePart)]
    parts: dict[str, ReachablePart] = {}
    for part in written[:MOST_PARTS]:
        barrier = side.before_parts.get(str(part.name), ()) if part.name != CHASSIS else ()
        parts.setdefault(str(part.name), ReachablePart(str(part.name), barrier))
        if part.route and part.name != CHASSIS:
            name = str(part.name).replace("aerial", words.aerial)
            assumed.append(f"What parts the {name} from the chassis has no value ({part.route}): it counts as a wire.")
    if len(written) > MOST_PARTS:
        assumed.append(f"Only the first {MOST_PARTS} touchable parts are computed.")
    if CHASSIS in parts:
        return tuple(parts.values())
    nothing = any(str(r).casefold() in _NOTHING for r in remarks)
    if not parts and not nothing:
        assumed.append("The record names no part that can be touched: the chassis counts as one.")
        return (ReachablePart(CHASSIS),)
    assumed.append("The chassis is not among the touchable parts written down; its figures are given all the same.")
    return (ReachablePart(CHASSIS, listed=False), *parts.values())


def _open_questions(
    state: LineSideState, side: ReadSide, double_wound: bool, assumed: list[str], words: Words
) -> tuple[tuple[str, ...], tuple[str, ...], tuple[bool, ...]]:
    """What may be so or so: the switch, the lead of a single line-to-chassis capacitor, and its side of the switch."""
    switches = (lead,) if (lead := switch_lead(state)) else ("hot lead", "B- lead")
    if switch_lead(state) is None:
        lead = "return lead" if double_wound else "B- lead"
        assumed.append(
            f"The switch is not stated: {words.hot} lead and {lead} are both computed, and the worse counts."
        )
    leads: tuple[str, ...] = ("both leads",)
    sides: tuple[bool, ...] = (False,)
    written = side.line_to_chassis
    unplaced = [component for component in components_of(written) if component.lead is None]
    if written:
        if len(written) == 1 and unplaced:
            leads = ("hot lead", "return lead")
            assumed.append("Which lead the capacitor to the chassis hangs on is not stated: the worse counts.")
        elif unplaced:
            assumed.append(
                f"Capacitors from {words.line} to chassis without a lead are taken in turn from the two leads."
            )
        sides = (False, True)
        assumed.append(
            f"On which side of the switch the capacitors from {words.line} to chassis sit is not stated: the worse "
            "counts."
        )
    return switches, leads, sides


def _with_line_to_chassis(wiring: Wiring, lead: str, behind: bool, written: Barrier) -> Wiring:
    """The wiring with its line-to-chassis capacitors: where written, else all on ``lead``, else in turn on the two."""
    hot: list[Chain] = []
    back: list[Chain] = []
    for number, chain in enumerate(written):
        place = next((component.lead for component in chain if component.lead), None)
        if place is None:
            place = lead if lead != "both leads" else ("hot lead", "return lead")[number % 2]
        if place in ("hot lead", "both leads"):
            hot.append(chain)
        if place in ("return lead", "both leads"):
            back.append(chain)
    return replace(
        wiring,
        hot_to_chassis=tuple(hot),
        return_to_chassis=tuple(back),
        behind_switch=behind,
    )


def _unknown_values(wirings: Iterable[Wiring]) -> list[str]:
    """A sentence for each place where a component has no value that can be computed."""
    first = next(iter(wirings))
    places = {
        "from B- to chassis": first.b_minus,
        "from line to chassis": (*first.hot_to_chassis, *first.return_to_chassis),
        **{f"at the {part.name}": part.barrier for part in first.parts},
    }
    said = [
        f"A part {place} has no value that can be computed: it counts as a wire."
        for place, barrier in places.items()
        if any(component.unknown for component in components_of(barrier))
    ]
    if any(sum(1 for _ in components_of(barrier)) >= MOST_COMPONENTS for barrier in places.values()):
        said.append(f"Only the first {MOST_COMPONENTS} components of each place are computed.")
    return said
