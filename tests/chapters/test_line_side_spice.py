"""Every state of three sets against ngspice, and normal states of two of them wired by hand."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace

import pytest

import makers
import ngspice
from benchleaf.chapters.line_side.findings import LineSideFindings, StateFindings
from benchleaf.chapters.line_side.single_faults import faults_of
from benchleaf.chapters.line_side.topology import network
from benchleaf.electrics.nodal_analysis import Capacitor, NetworkElement, Resistor, VoltageSource, Wire
from body_network import body_network

AMERICAN_SET = """
maker: Larkfield
model: Minuet 5
nameplate: 105-125 V, AC/DC, 30 W
line: 120 V 60 Hz
power: series string
chassis: through R and C
line side:
  before:
    plug: two-pin, either way
    switch: B- lead
    B- to chassis: 330 kohm, 0.05 uF paper
    touchable: chassis through the knob screws, aerial socket through 500 pF
  after:
    plug: two-pin polarised
    switch: hot lead
    fuse: 0.5 A slow in hot lead
    B- to chassis: 1 meg 0.5 W 500 V, 3.3 nF Y1
    touchable: chassis, aerial socket through 500 pF Y1
"""

EUROPEAN_SET = """
maker: Waldhorn
model: Kleinsuper 4
nameplate: 230 V, 35 W
line: 230 V 50 Hz
power: series string
chassis: line-connected
line side:
  before:
    plug: two-pin, either way
    switch: double-pole
    fuse: 0.3 A slow in return lead
    across the line: 10 nF
    touchable: chassis, aerial socket through 2 nF, earth socket through 5 nF
  after:
    plug: two-pin, either way
    switch: double-pole
    fuse: 0.315 A slow in hot lead
    across the line: 10 nF X2
    touchable: nothing, aerial socket through 470 pF Y2 and 470 pF Y2 in series, earth socket through 2.2 nF Y1
"""

TRANSFORMER_SET = """
maker: Ashdown
model: Concert 7
nameplate: 200-250 V AC, 70 W
line: 240 V 50 Hz
power: transformer
chassis: isolated
line side:
  before:
    plug: two-pin
    switch: hot lead
    line to chassis: 10 nF paper hot lead, 4.7 nF paper return lead
    touchable: chassis, speaker socket, pick-up socket through 10 nF
  after:
    plug: three-pin with earth
    switch: double-pole
    fuse: 1 A slow in hot lead
    line to chassis: 2.2 nF Y2 hot lead, 2.2 nF Y2 return lead
    touchable: chassis, speaker socket, pick-up socket through 10 nF
"""

SETS = {"American": AMERICAN_SET, "European": EUROPEAN_SET, "transformer": TRANSFORMER_SET}


def findings_of(text: str) -> LineSideFindings:
    return makers.found("line_side", text)


def contracted(elements: Iterable[NetworkElement]) -> tuple[list[NetworkElement], dict[str, str]]:
    """The circuit with its wires drawn together, since ngspice takes no loops of them; and each node's new name."""
    parts = list(elements)
    names: dict[str, str] = {}

    def name(node: str) -> str:
        while names.get(node, node) != node:
            node = names[node]
        return node

    for part in parts:
        if isinstance(part, Wire):
            a, b = sorted((name(part.a), name(part.b)), key=lambda n: n != "earth")
            names[b] = a
    kept: list[NetworkElement] = []
    for part in parts:
        if isinstance(part, VoltageSource):
            kept.append(replace(part, plus=name(part.plus), minus=name(part.minus)))
        elif not isinstance(part, Wire) and name(part.a) != name(part.b):
            kept.append(replace(part, a=name(part.a), b=name(part.b)))
    return kept, {node: name(node) for node in names}


def joined_to_earth(elements: list[NetworkElement]) -> list[NetworkElement]:
    """What hangs on earth somehow: the rest has no voltage in ngspice, which calls it singular."""
    reached, grown = {"earth"}, True
    while grown:
        before = len(reached)
        for part in elements:
            a, b = (part.plus, part.minus) if isinstance(part, VoltageSource) else (part.a, part.b)
            if a in reached or b in reached:
                reached |= {a, b}
        grown = len(reached) > before
    return [p for p in elements if (p.plus if isinstance(p, VoltageSource) else p.a) in reached]


def renamed(elements: Iterable[NetworkElement], mark: str) -> list[NetworkElement]:
    """The circuit with a mark before each node but earth, so that many circuits fit in one run."""

    def name(node: str) -> str:
        return node if node == "earth" else f"{mark} {node}"

    return [
        replace(p, plus=name(p.plus), minus=name(p.minus))
        if isinstance(p, VoltageSource)
        else replace(p, a=name(p.a), b=name(p.b))
        for p in elements
    ]


def spoken(node: str, mark: str) -> str:
    letters = "".join(c if c.isalnum() or c == "_" else "_" for c in f"{mark} {node}")
    return "0" if node == "earth" else f"v({letters.lower()})"


class Circuits:
    """Circuits collected for one run of ngspice."""

    def __init__(self) -> None:
        self.elements: list[NetworkElement] = []
        self.wanted: list[str] = []

    def add(self, elements: Iterable[NetworkElement], node: str) -> str | None:
        """Put a circuit in; the name of its node's voltage, None for a short circuit, "" where nothing reaches it."""
        parts, names = contracted(elements)
        if any(isinstance(p, VoltageSource) and p.plus == p.minus for p in parts):
            return None
        parts = joined_to_earth(parts)
        node = names.get(node, node)
        held = {n for p in parts for n in ((p.plus, p.minus) if isinstance(p, VoltageSource) else (p.a, p.b))}
        if node == "earth":
            return "0"
        if node not in held:
            return ""
        mark = f"c{len(self.wanted)}"
        self.elements += renamed(parts, mark)
        self.wanted.append(spoken(node, mark))
        return self.wanted[-1]


def every_state(side: StateFindings, hertz: float) -> int:
    """Hold all states of one side against ngspice; how many there were."""
    circuits = Circuits()
    asked: dict[tuple[str, str, str, str], list[tuple[str | None, str | None]]] = {}
    for wiring in side.described.wirings:
        for fault in faults_of(wiring):
            for left in fault.wirings:
                for plug in ("right", "reversed"):
                    for switch in left.switch_ways():
                        elements = network(left, plug, switch, fault.broken)
                        for part in left.parts:
                            body = body_network(part.node)
                            alone = circuits.add(elements, part.node)
                            touched = circuits.add((*elements, *body.elements), body.u2)
                            key = (plug, switch, fault.name, part.name)
                            asked.setdefault(key, []).append((alone, touched))
    volts = ngspice.alternating(ngspice.netlist(circuits.elements), hertz, circuits.wanted)
    volts |= {"0": 0j, "": 0j}
    for state in side.states:
        runs = asked.pop((state.plug, state.switch, state.fault, state.part))
        if any(touched is None for _, touched in runs):
            assert state.short_circuit
            continue
        assert not state.short_circuit
        u2 = max(abs(volts[touched or ""]) for _, touched in runs)
        assert state.u2_volts == pytest.approx(u2, rel=1e-3, abs=1e-9)
        assert state.touch_amps_rms == pytest.approx(u2 / 500, rel=1e-3, abs=2e-12)
        worst = max(runs, key=lambda run: abs(volts[run[1] or ""]))
        if len(runs) == 1:
            assert (state.no_load_volts is None) == (worst[0] == "")
        if state.no_load_volts is not None and u2 > 1e-9:
            assert state.no_load_volts == pytest.approx(abs(volts[worst[0] or ""]), rel=1e-3, abs=1e-6)
    assert not asked
    return len(side.states)


@pytest.mark.parametrize("name", SETS)
def test_every_state_of_a_set_agrees_with_ngspice(name: str) -> None:
    """ngspice 39 or later, one run for each side; its exit code is checked by the runner."""
    found = findings_of(SETS[name])
    assert found.line_hertz is not None
    for side in (found.before, found.after):
        assert side is not None
        assert every_state(side, found.line_hertz) >= 48


def test_american_set_after_the_work_wired_by_hand() -> None:
    """The four normal positions, drawn here anew from the words of the record, not from the chapter's own circuit."""
    after = findings_of(AMERICAN_SET).after
    assert after is not None
    body = ["Rs {0} {1} 1500", "Cs {0} {1} 0.22u", "Rb {1} 0 500", "Rw {1} {2} 10k", "Cw {2} 0 22n"]
    for plug, pins in (("right", ("hot", "0")), ("reversed", ("0", "hot"))):
        for switch in ("on", "off"):
            first, second = pins
            lines = ["Vline hot 0 DC 0 AC 120", f"Rb_minus {second} chassis 1meg", f"Cb_minus {second} chassis 3.3n"]
            lines += [f"Rset {first} {second} 480"] if switch == "on" else [f"Rcold {second} inside {480 / 7.2!r}"]
            lines += ["Caerial chassis aerial 500p", "Rnone hot 0 1g"]
            lines += [row.format("chassis", "u1", "u2") for row in body]
            theirs = ngspice.alternating(lines, 60.0, ["v(u2)", "v(u1)"])
            (ours,) = [s for s in after.normal if (s.plug, s.switch, s.part) == (plug, switch, "chassis")]
            assert ours.u2_volts == pytest.approx(abs(theirs["v(u2)"]), rel=1e-6, abs=1e-12)
            assert ours.u1_volts == pytest.approx(abs(theirs["v(u1)"]), rel=1e-6, abs=1e-12)


def test_transformer_set_before_the_work_wired_by_hand() -> None:
    """Two unlike capacitors, switch in the hot lead: the worse of capacitors before and behind the switch."""
    before = findings_of(TRANSFORMER_SET).before
    assert before is not None
    (ours,) = [s for s in before.normal if (s.plug, s.switch, s.part) == ("reversed", "off", "chassis")]
    body = ["Rs chassis u1 1500", "Cs chassis u1 0.22u", "Rb u1 0 500", "Rw u1 u2 10k", "Cw u2 0 22n"]
    behind = ["Vline hot 0 DC 0 AC 240", "Cboth hot chassis 14.7n", *body]
    theirs = ngspice.alternating(behind, 50.0, ["v(u2)"])
    assert ours.touch_amps_rms == pytest.approx(abs(theirs["v(u2)"]) / 500, rel=1e-6)
    assert ours.no_load_volts == pytest.approx(240)


def test_direct_current_set_agrees_with_ngspice() -> None:
    """110 V DC: capacitors open; U1 and U2 from the operating point."""
    text = AMERICAN_SET.replace("line: 120 V 60 Hz", "line: 110 V DC")
    after = findings_of(text).after
    assert after is not None
    lines = ["Vline plus 0 110", "Rb_minus plus chassis 1meg", "Rs chassis u1 1500", "Rb u1 0 500"]
    theirs = ngspice.direct(lines, ["v(u1)"])
    (ours,) = [s for s in after.normal if (s.plug, s.switch, s.part) == ("reversed", "on", "chassis")]
    assert ours.u1_volts == pytest.approx(theirs["v(u1)"], rel=1e-9)
    assert ours.touch_amps_rms == pytest.approx(110 / 1.002e6, rel=1e-9)
    assert math.isclose(ours.touch_amps_peak or 0, ours.touch_amps_rms or 1)


def test_circuits_of_this_test_are_contracted_rightly() -> None:
    parts: list[NetworkElement] = [
        VoltageSource("hot", "earth", 120),
        Wire("hot", "a"),
        Wire("b", "a"),
        Wire("hot", "b"),
        Resistor("b", "c", 10.0),
        Capacitor("x", "y", 1e-9),
    ]
    kept, names = contracted(parts)
    assert len({names["a"], names["b"], names.get("hot", "hot")}) == 1
    assert len(joined_to_earth(kept)) == 2
