"""Line sides made up by chance, held against ngspice and against what must hold of any network."""

from __future__ import annotations

import math
import random
import re
from collections.abc import Iterator
from dataclasses import replace

import pytest

import ngspice
from benchleaf.chapters.line_side.barriers import Barrier, ComputedComponent
from benchleaf.chapters.line_side.single_faults import faults_of
from benchleaf.chapters.line_side.topology import CHASSIS, EARTH, PLUG_WAYS, ReachablePart, Wiring, network
from benchleaf.electrics.nodal_analysis import (
    Capacitor,
    Inductor,
    NetworkElement,
    NetworkError,
    Resistor,
    Solution,
    VoltageSource,
    Wire,
    solve,
)
from benchleaf.electrics.touch import touch_between
from body_network import body_network

TOPOLOGIES = 36
LINES = (
    (110.0, 60.0),
    (117.0, 60.0),
    (127.0, 60.0),
    (220.0, 50.0),
    (230.0, 50.0),
    (240.0, 50.0),
    (110.0, 0.0),
    (220.0, 0.0),
)


def barrier(dice: random.Random, most: int = 2) -> Barrier:
    chains = []
    for _ in range(dice.randint(1, most)):
        chain = []
        for _ in range(dice.choice((1, 1, 2))):
            if dice.random() < 0.6:
                chain.append(ComputedComponent("capacitor", dice.choice((470e-12, 2.2e-9, 10e-9, 50e-9))))
            else:
                chain.append(ComputedComponent("resistor", dice.choice((22.0, 10e3, 330e3, 1e6))))
        chains.append(tuple(chain))
    return tuple(chains)


def wiring_by_chance(dice: random.Random) -> Wiring:
    volts, hertz = LINES[dice.randrange(len(LINES))]
    double_wound = dice.random() < 0.3
    live = not double_wound and dice.random() < 0.25
    return Wiring(
        volts=volts,
        hertz=hertz,
        switch=dice.choice(("hot lead", "B- lead", "double-pole", "none")),
        load_ohms=480.0,
        idle_ohms=480.0 / 7.2,
        b_minus=((ComputedComponent("wire", 0.0),),) if live else () if double_wound else barrier(dice),
        across=((ComputedComponent("capacitor", 47e-9),),) if dice.random() < 0.5 else (),
        hot_to_chassis=barrier(dice, 1) if dice.random() < 0.3 else (),
        return_to_chassis=barrier(dice, 1) if dice.random() < 0.3 else (),
        behind_switch=dice.random() < 0.5,
        double_wound=double_wound,
        earth=barrier(dice, 1) if dice.random() < 0.2 else (),
        return_fuse=dice.random() < 0.4,
        parts=(
            ReachablePart(CHASSIS),
            ReachablePart("aerial socket", barrier(dice, 1)),
            ReachablePart("speaker socket", barrier(dice, 1)),
        ),
    )


def states(number: int) -> Iterator[tuple[float, str, tuple[NetworkElement, ...]]]:
    """Hertz, the node touched, and the network, of every position, fault and part of one made-up wiring."""
    whole = wiring_by_chance(random.Random(f"line side {number}"))
    for fault in faults_of(whole):
        for left in fault.wirings:
            for plug in PLUG_WAYS:
                for switch in left.switch_ways():
                    elements = network(left, plug, switch, fault.broken)
                    for part in left.parts:
                        yield left.hertz, part.node, elements


def for_ngspice(elements: tuple[NetworkElement, ...], mark: str) -> list[str]:
    """The network with its ideal wires drawn together and what does not hang on earth left out."""
    top: dict[str, str] = {}

    def name(node: str) -> str:
        while node in top:
            node = top[node]
        return node

    direct = [e for e in elements if isinstance(e, Wire)]
    for wire in direct:
        a, b = sorted((name(wire.a), name(wire.b)), key=lambda n: n != EARTH)
        if a != b:
            top[b] = a
    rest = [e for e in elements if not isinstance(e, Wire)]
    pairs = [(name(e.plus), name(e.minus)) if isinstance(e, VoltageSource) else (name(e.a), name(e.b)) for e in rest]
    reached = {EARTH}
    while grown := {n for a, b in pairs if (a in reached) != (b in reached) for n in (a, b)} - reached:
        reached |= grown

    def node(written: str) -> str:
        return "0" if written == EARTH else re.sub(r"\W", "_", f"{mark}{written}")

    lines = []
    for number, (element, (a, b)) in enumerate(zip(rest, pairs, strict=True)):
        if a == b or a not in reached:
            continue
        at = f"{mark}{number} {node(a)} {node(b)}"
        match element:
            case VoltageSource(volts=volts):
                lines.append(f"V{at} DC {volts!r} AC {volts!r}")
            case Resistor(ohms=ohms):
                lines.append(f"R{at} {ohms!r}")
            case Capacitor(farads=farads):
                lines.append(f"C{at} {farads!r}")
            case Inductor(henries=henries):
                lines.append(f"L{at} {henries!r}")
    return lines


@pytest.mark.parametrize("number", range(TOPOLOGIES))
def test_made_up_line_side_agrees_with_ngspice_in_every_state(number: int) -> None:
    """ngspice 39 or later, its exit code checked by the runner: 0.1 % in U2, and nothing where nothing can flow."""
    lines: list[str] = []
    asked: list[tuple[str, float]] = []
    hertz = 0.0
    for count, (hertz, node, elements) in enumerate(states(number)):
        solved = solved_or_shorted(elements, hertz)
        if solved is None:
            continue
        touch = touch_between(solved, node, EARTH, hertz)
        if not touch.no_load_volts:
            assert touch.amps_rms == 0
            continue
        body = body_network(node)
        mark = f"n{count}_"
        whole = (*elements, *body.elements)
        lines += for_ngspice(tuple(e for e in whole if hertz or not isinstance(e, Capacitor)), mark)
        asked.append((f"v({re.sub(r'[^A-Za-z0-9_]', '_', mark + body.u1).lower()})", touch.u1_volts))
        asked.append((f"v({re.sub(r'[^A-Za-z0-9_]', '_', mark + body.u2).lower()})", touch.u2_volts))
    assert asked
    names = [name for name, _ in asked]
    theirs = ngspice.alternating(lines, hertz, names) if hertz else ngspice.direct(lines, names)
    for name, ours in asked:
        assert ours == pytest.approx(abs(theirs[name]), rel=1e-3, abs=1e-9)


def solved_or_shorted(elements: tuple[NetworkElement, ...], hertz: float) -> Solution | None:
    """The network solved, None where it shorts the line."""
    try:
        return solve(elements, hertz, EARTH)
    except NetworkError as error:
        if error.kind == "shorted source":
            return None
        raise


def test_at_least_thirty_topologies_and_thousands_of_states_are_held_against_ngspice() -> None:
    assert len({wiring_by_chance(random.Random(f"line side {n}")) for n in range(TOPOLOGIES)}) >= 30
    assert sum(1 for n in range(TOPOLOGIES) for _ in states(n)) > 2000


@pytest.mark.parametrize("number", range(TOPOLOGIES))
def test_no_network_drives_more_through_a_hand_than_the_line_itself(number: int) -> None:
    """Passivity: resistors and capacitors only."""
    for hertz, node, elements in states(number):
        try:
            touch = touch_between(elements, node, EARTH, hertz)
        except NetworkError:
            continue
        source = next(e for e in elements if isinstance(e, VoltageSource))
        most = touch_between((VoltageSource("hot", EARTH, source.volts),), "hot", EARTH, hertz)
        assert touch.amps_rms <= most.amps_rms * (1 + 1e-9)
        assert touch.u1_volts <= most.u1_volts * (1 + 1e-9)


@pytest.mark.parametrize("number", range(TOPOLOGIES))
def test_turning_the_plug_is_exchanging_what_hangs_on_the_leads(number: int) -> None:
    whole = replace(wiring_by_chance(random.Random(f"line side {number}")), b_minus=(), across=(), switch="none")
    turned = replace(whole, hot_to_chassis=whole.return_to_chassis, return_to_chassis=whole.hot_to_chassis)
    one = touch_between(network(whole, "right", "on"), CHASSIS, EARTH, whole.hertz)
    other = touch_between(network(turned, "reversed", "on"), CHASSIS, EARTH, whole.hertz)
    assert one.amps_rms == pytest.approx(other.amps_rms, rel=1e-9, abs=1e-15)


@pytest.mark.parametrize("number", range(TOPOLOGIES))
def test_hand_to_hand_is_the_same_either_way_and_nothing_on_one_part(number: int) -> None:
    whole = wiring_by_chance(random.Random(f"line side {number}"))
    for fault in faults_of(whole):
        for left in fault.wirings:
            try:
                solved = solve(network(left, "reversed", "on", fault.broken), left.hertz, EARTH)
            except NetworkError:
                continue
            a, b = left.parts[1].node, left.parts[2].node
            there, back = (touch_between(solved, *pair, left.hertz) for pair in ((a, b), (b, a)))
            assert math.isclose(there.amps_rms, back.amps_rms, rel_tol=1e-9, abs_tol=1e-15)
            assert touch_between(solved, a, a, left.hertz).amps_rms == 0
