"""The work from before to after as a list of steps, in working order: what comes out, what goes in, what is checked."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ...electrics.insulation import EARTH_OHMS, INSULATION_OHMS, TEST_VOLTS
from ...electrics.nodal_analysis import NetworkElement, NetworkError
from ...electrics.touch import service_check_volts
from ...record.figures import to_figures
from ...record.kind_of_part import UNIT_BY_KIND
from ...record.sections.line_side import LineSideState
from ...record.units import say
from ...report.typed import in_trade_units
from ...words import Words
from .barriers import Barrier, Chain, ComputedComponent, is_wired
from .described import NO_SWITCH, DescribedState, is_one_switch
from .fuse_place import fitted_into, is_misplaced
from .line_and_load import SetLoad
from .measured import ohms_from_both_leads
from .ohmmeter import OhmmeterReading, resistances
from .pulled_plug import PulledPlug, say_pulled
from .states import Solved
from .topology import PLUG_WAYS, network
from .wording import part_words, plug_words

UNPLUG, DISCHARGE, NOTE_DOWN, REMOVE, ADD, CHECK, OHMS, EARTH_WIRE, INSULATION, POWER, TOUCH, PULLED = (
    "unplug", "discharge", "note down", "remove", "add", "check", "ohmmeter", "earth wire", "insulation",
    "first power", "touch current", "plug pulled",
)  # fmt: skip

MOST_TOUCHES = 4


@dataclass(frozen=True, slots=True)
class TouchCheck:
    """Volts RMS (or DC) that 1500 ohm and 0.15 uF from a part to earth should show with the plug and switch so."""

    part: str
    plug: str
    switch: str
    volts: float | None


@dataclass(frozen=True, slots=True)
class WorkStep:
    """One step. ``kind`` is one word of the working order; a check carries what it should show."""

    kind: str
    text: str
    resistances: tuple[OhmmeterReading, ...] = ()
    touches: tuple[TouchCheck, ...] = ()


@dataclass(frozen=True, slots=True)
class _Side:
    """A state as written and as described."""

    state: LineSideState
    described: DescribedState


def steps_of(
    before: tuple[LineSideState, DescribedState] | None,
    after: tuple[LineSideState, DescribedState] | None,
    load: SetLoad,
    words: Words,
    solved: Solved,
    pulled: PulledPlug | None = None,
) -> tuple[WorkStep, ...]:
    """Every step. With one state alone nothing is removed or added: it is traced and measured."""
    old, new = (None if side is None else _Side(*side) for side in (before, after))
    now = new or old
    if now is None:
        return ()
    return (
        WorkStep(UNPLUG, f"Pull the {words.wall_plug} out and keep it in sight."),
        WorkStep(
            DISCHARGE,
            f"Discharge every {words.filter_capacitor} through a resistor, and measure that none holds a charge.",
        ),
        WorkStep(
            NOTE_DOWN,
            f"Photograph and write down every lead that will be moved, with its {words.colour} and where it ends.",
        ),
        *(_difference(old, new, words) if old and new else ()),
        *_looked_at(now, old if new else None, words),
        WorkStep(
            OHMS,
            "Ohmmeter, unplugged and cold, all volts gone: read each pair with the switch on and off.",
            resistances=resistances(now.described, load),
        ),
        *_earth_wire(now.described, words),
        WorkStep(
            INSULATION,
            f"Insulation from both pins joined to the chassis at {say(TEST_VOLTS, 'V')}, switch on, parts rated for "
            f"less lifted first{_path(now.described)}.",
        ),
        WorkStep(
            POWER,
            "First power on an isolating transformer with a current limit, this set alone on it; then off, unplugged "
            "and discharged.",
        ),
        WorkStep(
            TOUCH,
            f"Touch current direct from the {words.line}, for behind an isolating transformer nothing would show: "
            f"volts from each part to {words.earth} across 1500 Ω and 0.15 µF in parallel, both ways of the plug, "
            "switch on and off, a second person in the room.",
            touches=_touches(now.described, solved),
        ),
        *((WorkStep(PULLED, say_pulled(pulled, words)),) if pulled else ()),
    )


def _earth_wire(described: DescribedState, words: Words) -> Iterator[WorkStep]:
    """Only where an earth wire goes to the chassis by itself: through a component there is no such test."""
    wiring = described.wiring
    if described.plug == "three-pin with earth" and is_wired(wiring.earth):
        yield WorkStep(
            EARTH_WIRE,
            f"From the {words.earth} pin of the plug to bare metal, moving the {words.cord}: at most "
            f"{say(EARTH_OHMS, 'ohm')} (AS/NZS 3760, read second hand).",
        )


_SMALLEST_WATTS = 0.3
"""What any resistor of the line side bears: a half-watt type at a little over half (common practice, no source)."""


def _path(described: DescribedState) -> str:
    wiring = described.wiring
    if wiring.live_chassis:
        return "; this chassis is one side of it, so measure from the pins to what a hand can reach instead"
    ohms = ohms_from_both_leads(wiring)
    if ohms is not None:
        watts = TEST_VOLTS**2 / ohms if ohms > 0 else 0.0
        heat = f", {say(to_figures(watts, 2), 'W')} meanwhile in what joins them" if watts > _SMALLEST_WATTS else ""
        return f": {say(to_figures(ohms), 'ohm')}{heat}"
    return f": past {say(INSULATION_OHMS, 'ohm')} (DIN VDE 0701-0702, read second hand)"


def _difference(old: _Side, new: _Side, words: Words) -> Iterator[WorkStep]:
    """What comes out, then what goes in, place by place."""
    removed: list[WorkStep] = []
    added: list[WorkStep] = []
    for place, was, now in _places(old.described, new.described, words):
        if out := [c for c in was if c not in now]:
            link = is_wired(tuple(out))
            text = f"Cut the link {place}." if link else f"Take out {place}: {_chains(out)}."
            removed.append(WorkStep(REMOVE, text))
        if into := [c for c in now if c not in was]:
            added.append(WorkStep(ADD, f"Fit {place}: {_chains(into)}."))
    yield from removed
    yield from _cord(old.state, new.state, words)
    yield from _switch_and_fuse(old, new, words)
    yield from added
    if old.described.wiring.earthed and not new.described.wiring.earthed:
        yield WorkStep(REMOVE, f"Take the {words.earth} wire off the chassis.")
    if new.described.wiring.earthed and not old.described.wiring.earthed:
        yield WorkStep(
            ADD,
            f"Bolt the {words.earth} wire of the {words.cord} to the chassis on bare metal, longer than the others.",
        )
    for remark in new.described.remarks:
        if remark not in old.described.remarks:
            yield WorkStep(ADD, f"Within reach: {remark}.")
    gone = {p.name for p in old.described.wiring.parts if p.listed} - {
        p.name for p in new.described.wiring.parts if p.listed
    }
    if gone:
        named = ", ".join(part_words(name, words) for name in sorted(gone))
        yield WorkStep(CHECK, f"No longer within reach of a hand or a screwdriver: {named}.")


def _places(old: DescribedState, new: DescribedState, words: Words) -> Iterator[tuple[str, Barrier, Barrier]]:
    one, other = old.wiring, new.wiring
    yield f"from {words.b_minus} to chassis", one.b_minus, other.b_minus
    yield f"across the {words.line}", one.across, other.across
    yield f"from the {words.hot} lead to chassis", one.hot_to_chassis, other.hot_to_chassis
    yield "from the return lead to chassis", one.return_to_chassis, other.return_to_chassis
    parts = {p.name: p.barrier for p in one.parts}
    for part in other.parts:
        yield f"before the {part_words(part.name, words)}", parts.get(part.name, ()), part.barrier


def _chains(chains: list[Chain]) -> str:
    return ", beside it ".join(" in series with ".join(_component(p) for p in chain) for chain in chains)


def _component(component: ComputedComponent) -> str:
    if component.kind == "wire" and not component.said:
        return "a wire"
    of_class = f" {component.of_class}" if component.of_class else ""
    return in_trade_units(component.said) or f"{say(component.value, UNIT_BY_KIND[component.kind])}{of_class}"


def _cord(old: LineSideState, new: LineSideState, words: Words) -> Iterator[WorkStep]:
    if new.plug != old.plug or new.cord != old.cord:
        said = ", ".join(t for t in (words.of_key(new.plug or ""), str(new.cord or "")) if t)
        yield WorkStep(ADD, f"New {words.cord} and plug: {said}.")
    if new.plug and "polarised" in new.plug:
        yield WorkStep(
            CHECK,
            f"The plug’s {words.hot} contact goes to the {words.hot} lead (of two flat blades the narrow one), the "
            "other to the return lead.",
        )


def _switch_and_fuse(old: _Side, new: _Side, words: Words) -> Iterator[WorkStep]:
    if new.state.switch and not is_one_switch(old.described, new.described):
        yield WorkStep(ADD, _switch(old.described, new.described, words))
    if new.described.fuse and new.described.fuse != old.described.fuse:
        yield WorkStep(
            ADD,
            f"Fuse {new.described.fuse.said} {fitted_into(new.described, words)}, in a holder that covers its metal.",
        )


def _switch(old: DescribedState, new: DescribedState, words: Words) -> str:
    """Where the switch goes, as far as that is written: into a lead, and on to a control."""
    if new.switch == NO_SWITCH:
        return "No switch."
    was = f" (it was in the {words.of_key(old.switch)})" if old.switch and old.switch.endswith("lead") else ""
    into = "both leads, double-pole" if new.switch == "double-pole" else f"the {words.of_key(new.switch or '')}"
    on = f" on the {new.control}" if new.control else ""
    return f"Switch into {into}{on}{was}." if new.switch else f"Switch{on}: which lead it breaks is not written{was}."


def _looked_at(now: _Side, old: _Side | None, words: Words) -> Iterator[WorkStep]:
    """Cord, anchorage, holder: common practice, no source. A fuse that is fitted anew has its place told there."""
    yield WorkStep(
        CHECK,
        f"{words.cord.capitalize()}: at least 0.75 mm² or AWG 18 in each conductor, insulation sound along its "
        "whole length.",
    )
    yield WorkStep(
        CHECK,
        f"{words.cord.capitalize()} anchored so that a pull or a push does not reach the joints, and bushed "
        "where it enters.",
    )
    if "resistance" in (now.state.cord or ""):
        yield WorkStep(
            CHECK,
            f"{words.resistance_cord.capitalize()}: never shortened, coiled or covered; it is "
            "part of the heater supply.",
        )
    if control := now.described.control:
        yield WorkStep(CHECK, f"Switch on the {control}: its leads kept clear of the shaft and its tags covered.")
    fuse = now.described.fuse
    if fuse is not None and is_misplaced(now.described) and (old is None or old.described.fuse == fuse):
        here = (
            f"it is in {'' if fuse.place == 'both leads' else 'the '}{words.of_key(fuse.place)}"
            if fuse.place
            else "not stated"
        )
        yield WorkStep(CHECK, f"Fuse: it belongs in the {words.hot} lead alone, before the switch; here {here}.")


def _touches(described: DescribedState, solved: Solved) -> tuple[TouchCheck, ...]:
    """The worst reading of the listed parts in each position of plug and switch."""
    parts = [p for p in described.wiring.parts if p.listed]
    found = []
    for plug in PLUG_WAYS:
        for switch in described.wiring.switch_ways():
            read = [
                (volts, part.name)
                for part in parts
                for w in described.wirings
                if (volts := _service_volts(solved, network(w, plug, switch), part.node)) is not None
            ]
            if read:
                volts, name = max(read, key=lambda r: r[0])
                found.append(TouchCheck(name, plug, switch, volts))
    return tuple(found[:MOST_TOUCHES])


def _service_volts(solved: Solved, elements: tuple[NetworkElement, ...], node: str) -> float | None:
    network_solved = solved.network(elements)
    if network_solved is None:
        return None
    try:
        return service_check_volts(network_solved, node, solved.hertz)
    except NetworkError:
        return None


def for_the_bench(steps: tuple[WorkStep, ...], words: Words, *, either_way: bool) -> list[str]:
    """The steps as lines for the printed sheet, each with what it should show; ``either_way`` as the plug goes."""
    lines = []
    for step in steps:
        lines.append(step.text)
        lines += [
            f"{words.of_key(r.between)} to {words.of_key(r.other)}, switch {r.switch}: {say_resistance(r)}"
            for r in step.resistances
        ]
        lines += [
            f"plug {plug_words(t.plug, either_way=either_way)}, switch {t.switch}: "
            f"{say(t.volts, 'V')} at the {part_words(t.part, words)}"
            for t in step.touches
        ]
    return lines


def say_resistance(reading: OhmmeterReading) -> str:
    """What the ohmmeter should show, in words."""
    if not reading.known:
        return "hangs on heaters or windings that are not written"
    if reading.low_ohms is None or reading.high_ohms is None:
        return "no path"
    if reading.high_ohms < 1:
        return "a direct joint, under 1 Ω"
    if reading.high_ohms <= reading.low_ohms * 1.02:
        return say(reading.low_ohms, "ohm")
    return f"{say(reading.low_ohms, 'ohm')} to {say(reading.high_ohms, 'ohm')}"
