"""Nodal analysis: against ngspice, against textbook examples, and against what any passive network must do."""

from __future__ import annotations

import cmath
import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import ngspice
from benchleaf.electrics.nodal_analysis import (
    Capacitor,
    Inductor,
    NetworkElement,
    NetworkError,
    Resistor,
    Solution,
    Thevenin,
    VoltageSource,
    Wire,
    solve,
)
from body_network import body_network

LINE = VoltageSource("hot", "earth", 120)


def _same(ours: complex | None, theirs: complex, scale: float) -> bool:
    assert ours is not None
    return abs(ours - theirs) <= 1e-6 * max(abs(theirs), 1e-3 * scale)


def _random_part(rng: random.Random, a: str, b: str, direct: bool) -> NetworkElement:
    resistor = Resistor(a, b, 10 ** rng.uniform(0, 7))
    if direct:
        return resistor
    return rng.choice([resistor, Capacitor(a, b, 10 ** rng.uniform(-10, -5)), resistor])


def _random_tree(rng: random.Random, names: list[str], direct: bool) -> list[NetworkElement]:
    """A connected group of nodes: each hangs on an earlier one, then some cross links."""
    parts = [_random_part(rng, rng.choice(names[:n]), names[n], direct) for n in range(1, len(names))]
    for _ in range(rng.randint(0, 5)):
        a, b = rng.sample(names, 2)
        parts.append(_random_part(rng, a, b, direct=False))
    return parts


def _random_network(seed: int, direct: bool) -> tuple[list[NetworkElement], list[str], list[str]]:
    """Elements, the nodes that have a path to earth, and the nodes of a part that floats."""
    rng = random.Random(seed)
    joined = ["earth", "hot", *(f"n{i}" for i in range(rng.randint(2, 6)))]
    floating = [f"f{i}" for i in range(rng.randint(2, 4))]
    parts = _random_tree(rng, joined, direct) + _random_tree(rng, floating, direct)
    phase = 0.0 if direct else rng.uniform(-180, 180)
    parts.append(VoltageSource("hot", "earth", rng.choice([110.0, 117.0, 240.0])))
    parts.append(VoltageSource("raised", rng.choice(joined[2:]), cmath.rect(30.0, math.radians(phase))))
    parts.append(_random_part(rng, "raised", rng.choice(joined), direct))
    parts.append(VoltageSource("f source", "f0", 45.0))
    parts.append(_random_part(rng, "f source", floating[-1], direct))
    parts.append(Wire("strap", rng.choice(joined[2:])))
    if not direct:
        parts.extend(body_network(rng.choice(joined[2:]), "earth").elements)
    nodes = {n for e in parts for n in ((e.plus, e.minus) if isinstance(e, VoltageSource) else (e.a, e.b))}
    return parts, sorted(n for n in nodes if n[0] != "f"), sorted(n for n in nodes if n[0] == "f")


@pytest.mark.parametrize("seed", range(48))
def test_random_networks_with_floating_parts_and_body_agree_with_ngspice(seed: int) -> None:
    """ngspice 39; its floating part is tied to earth at one node, which changes no difference inside the part."""
    frequency = (50.0, 60.0)[seed % 2]
    parts, joined, floating = _random_network(seed, direct=False)
    ours = solve(parts, frequency)
    wanted = {n: "v(" + n.replace(" ", "_").replace("|", "_").lower() + ")" for n in joined + floating if n != "earth"}
    theirs = ngspice.alternating([*ngspice.netlist(parts), "Vtie f0 0 DC 0 AC 0"], frequency, list(wanted.values()))
    for node in joined:
        assert node == "earth" or _same(ours.voltage(node), theirs[wanted[node]], 120)
    for node in floating:
        assert ours.voltage(node) is None
        assert _same(ours.between(node, "f0"), theirs[wanted[node]], 45)


@pytest.mark.parametrize("seed", range(24))
def test_random_direct_current_networks_agree_with_ngspice(seed: int) -> None:
    """ngspice 39, operating point; capacitors open."""
    parts, joined, floating = _random_network(1000 + seed, direct=True)
    ours = solve(parts, 0.0)
    wanted = {n: "v(" + n.replace(" ", "_").lower() + ")" for n in joined + floating if n != "earth"}
    lines = [*ngspice.netlist(parts, direct_current=True), "Vtie f0 0 0"]
    theirs = ngspice.direct(lines, list(wanted.values()))
    for node in joined:
        assert node == "earth" or _same(ours.voltage(node), theirs[wanted[node]], 120)
    for node in floating:
        assert ours.voltage(node) is None
        assert _same(ours.between(node, "f0"), theirs[wanted[node]], 45)


@pytest.mark.parametrize("seed", range(12))
def test_source_currents_agree_with_ngspice(seed: int) -> None:
    """The sign is SPICE's: a source that delivers has a negative current."""
    parts, _, _ = _random_network(2000 + seed, direct=False)
    ours = solve(parts, 60.0)
    sources = {f"v{i}": e for i, e in enumerate(parts) if isinstance(e, VoltageSource)}
    lines = [*ngspice.netlist(parts), "Vtie f0 0 DC 0 AC 0"]
    theirs = ngspice.alternating(lines, 60.0, [f"i({name})" for name in sources])
    for name, source in sources.items():
        assert ours.current_through(source) == pytest.approx(theirs[f"i({name})"], rel=1e-6, abs=1e-12)


def test_ngspice_itself_is_caught_when_a_network_is_singular() -> None:
    """The oracle's trap: a singular network must not pass as zeros."""
    with pytest.raises(ngspice.NgspiceError):
        ngspice.alternating(["V1 a 0 DC 0 AC 1", "V2 a 0 DC 0 AC 1"], 60.0, ["v(a)"])


@pytest.mark.handbook
def test_series_resistor_inductor_capacitor_on_120_volts() -> None:
    """T. Kuphaldt, Lessons in Electric Circuits, AC ch. 5: 250 ohm, 0.65 H, 1.5 uF: 77.73 mA at 80.68 degrees."""
    resistor, inductor = Resistor("hot", "a", 250), Inductor("a", "b", 0.65)
    capacitor = Capacitor("b", "earth", 1.5e-6)
    solution = solve([LINE, resistor, inductor, capacitor], 60)
    current = solution.current_through(resistor)
    assert abs(current) == pytest.approx(77.73e-3, rel=1e-3)
    assert math.degrees(cmath.phase(current)) == pytest.approx(80.68, abs=0.01)
    for pair, volts in (("hot", "a"), 19.43), (("a", "b"), 19.05), (("b", "earth"), 137.46):
        assert abs(solution.between(*pair) or 0) == pytest.approx(volts, rel=1e-3)


@pytest.mark.handbook
def test_voltmeter_on_a_divider_of_250_megohms() -> None:
    """T. Kuphaldt, Lessons in Electric Circuits, DC ch. 8: 24 V, 250 and 250 megohm, 10 megohm meter: 0.8889 V."""
    parts = [VoltageSource("p", "earth", 24), Resistor("p", "m", 250e6), Resistor("m", "earth", 250e6)]
    assert solve([*parts, Resistor("m", "earth", 10e6)], 0).voltage("m") == pytest.approx(0.8889, abs=5e-5)
    assert solve([*parts, Resistor("m", "earth", 10e6)], 0).between("p", "m") == pytest.approx(23.1111, abs=5e-5)


def test_floating_chassis_has_no_defined_voltage() -> None:
    solution = solve([LINE, Resistor("hot", "earth", 800), Capacitor("chassis", "aerial", 1e-9)], 60)
    assert solution.voltage("chassis") is None
    assert solution.voltage("never mentioned") is None
    assert solution.voltage("earth") == 0
    assert solution.thevenin("chassis", "earth") == Thevenin(None, None)
    assert solution.thevenin("chassis", "earth").short_amps() == 0


def test_isolating_transformer_secondary_has_a_difference_but_no_voltage_to_earth() -> None:
    solution = solve([LINE, VoltageSource("s1", "s2", 120), Resistor("s1", "chassis", 1e6)], 60)
    assert solution.voltage("s1") is None
    assert solution.between("s1", "s2") == 120
    assert solution.between("chassis", "s2") == 120
    assert solution.between("s1", "hot") is None


def test_two_nodes_of_a_floating_part_without_a_source_stand_at_the_same_voltage() -> None:
    """No current can flow, so the difference is 0 and defined; without any path it is not."""
    solution = solve([LINE, Resistor("a", "b", 1e3), Resistor("c", "d", 1e3)], 60)
    assert solution.between("a", "b") == 0
    assert solution.between("a", "c") is None


def test_capacitor_is_a_path_for_alternating_but_not_for_direct_current() -> None:
    parts = [LINE, Capacitor("hot", "chassis", 1e-9)]
    assert solve(parts, 60).voltage("chassis") == 120
    assert solve(parts, 0).voltage("chassis") is None


def test_choke_is_a_wire_for_direct_current() -> None:
    parts = [LINE, Inductor("hot", "rail", 10.0), Resistor("rail", "earth", 2000)]
    assert solve(parts, 0).voltage("rail") == 120
    assert solve(parts, 60).voltage("rail") == pytest.approx(120 * 2000 / (2000 + 2j * math.pi * 60 * 10))


def test_zero_ohms_is_a_wire_and_infinite_ohms_is_open() -> None:
    solution = solve([LINE, Resistor("hot", "a", 0), Resistor("a", "b", math.inf)], 60)
    assert solution.voltage("a") == 120
    assert solution.voltage("b") is None
    assert solution.current_through(Resistor("a", "b", math.inf)) == 0


def test_source_in_a_loop_of_wires_is_a_dead_short() -> None:
    with pytest.raises(NetworkError) as caught:
        solve([LINE, Wire("hot", "chassis"), Wire("chassis", "earth")], 60)
    assert caught.value.kind == "shorted source"
    assert caught.value.nodes == ("hot", "earth")


def test_dead_short_through_a_choke_at_zero_frequency() -> None:
    parts = [LINE, Inductor("hot", "earth", 1.0)]
    with pytest.raises(NetworkError, match="shorted"):
        solve(parts, 0)
    assert solve(parts, 60).voltage("hot") == 120


def test_two_sources_across_each_other_contradict() -> None:
    with pytest.raises(NetworkError) as caught:
        solve([LINE, VoltageSource("hot", "b", 50), VoltageSource("b", "earth", 60)], 60)
    assert caught.value.kind == "loop of sources"


@pytest.mark.parametrize(
    "bad",
    [
        Resistor("hot", "earth", -1),
        Resistor("a", "b", math.nan),
        Capacitor("hot", "earth", math.nan),
        Capacitor("hot", "earth", math.inf),
        Inductor("a", "b", -0.1),
        VoltageSource("a", "b", math.inf),
    ],
)
def test_value_that_no_part_has_is_refused(bad: NetworkElement) -> None:
    with pytest.raises(NetworkError) as caught:
        solve([LINE, bad], 60)
    assert caught.value.kind == "value"


@pytest.mark.parametrize("frequency", [-1.0, math.nan, math.inf])
def test_frequency_that_does_not_exist_is_refused(frequency: float) -> None:
    with pytest.raises(NetworkError, match="frequency"):
        solve([LINE], frequency)


def test_lossless_resonance_is_named() -> None:
    """Two arms that cancel exactly at the node between them: omega 1/s, 1 H and 1 F."""
    frequency = 1 / (2 * math.pi)
    parts = [VoltageSource("hot", "earth", 1), Inductor("hot", "a", 1.0), Capacitor("a", "earth", 1.0)]
    with pytest.raises(NetworkError) as caught:
        solve(parts, frequency)
    assert caught.value.kind == "resonance"


def test_series_trap_at_resonance_is_a_short_for_its_neighbours() -> None:
    frequency = 1 / (2 * math.pi)
    parts = [VoltageSource("hot", "earth", 1), Resistor("hot", "a", 50.0), Resistor("a", "b", 1e-6)]
    parts += [Inductor("b", "c", 1.0), Capacitor("c", "earth", 1.0)]
    assert solve(parts, frequency).voltage("a") == pytest.approx(1e-6 / 50, rel=1e-6)


def test_milliohm_beside_ten_gigohms_costs_no_figures() -> None:
    """The leak carries exactly the share of the ideal circuit: 120 V through 1 milliohm and 10 gigohm."""
    leak = Resistor("far", "earth", 10e9)
    parts = [LINE, Resistor("hot", "near", 1e-3), Resistor("near", "far", 1e-3), leak]
    assert solve(parts, 0).current_through(leak) == pytest.approx(120 / (10e9 + 2e-3), rel=1e-15)


def test_current_in_an_ideal_wire_is_not_guessed() -> None:
    wire = Wire("hot", "a")
    solution = solve([LINE, wire, Resistor("a", "earth", 100)], 60)
    with pytest.raises(NetworkError) as caught:
        solution.current_through(wire)
    assert caught.value.kind == "current"
    with pytest.raises(KeyError):
        solution.current_through(Resistor("a", "earth", 101))


def test_source_of_zero_volts_measures_current() -> None:
    ammeter = VoltageSource("hot", "a", 0)
    solution = solve([LINE, ammeter, Resistor("a", "earth", 100)], 60)
    assert solution.current_through(ammeter) == pytest.approx(1.2)
    assert solution.current_through(LINE) == pytest.approx(-1.2)


def test_prospective_current_is_limited_by_what_lies_before_the_part() -> None:
    parts = [LINE, Resistor("hot", "chassis", 600), Resistor("chassis", "earth", 600)]
    thevenin = solve(parts, 60).thevenin("chassis", "earth")
    assert thevenin.open_volts == pytest.approx(60)
    assert thevenin.ohms == pytest.approx(300)
    assert thevenin.short_amps() == pytest.approx(0.2)


def test_prospective_current_of_the_line_itself_has_no_limit() -> None:
    with pytest.raises(NetworkError) as caught:
        solve([LINE], 60).thevenin("hot", "earth").short_amps()
    assert caught.value.kind == "shorted source"


def test_wheel_of_many_nodes_is_solved_in_any_order_of_parts() -> None:
    parts = _random_network(7, direct=False)[0]
    first, second = solve(parts, 50), solve(list(reversed(parts)), 50)
    for node in ("n0", "n1", "raised", "strap"):
        assert second.voltage(node) == pytest.approx(first.voltage(node), rel=1e-12)


seeds = st.integers(0, 10**6)
properties = settings(max_examples=60, derandomize=True)


def _passive_network(seed: int) -> list[NetworkElement]:
    return [e for e in _random_network(seed, direct=False)[0] if not isinstance(e, VoltageSource)]


def _power(solution: Solution, element: NetworkElement) -> complex:
    """Complex power that an element takes; its size is the scale against which rounding counts."""
    ends = (element.plus, element.minus) if isinstance(element, VoltageSource) else (element.a, element.b)
    return (solution.between(*ends) or 0) * solution.current_through(element).conjugate()


@properties
@given(seeds)
def test_no_part_delivers_power_and_sources_deliver_what_parts_take(seed: int) -> None:
    """Passivity and Tellegen's theorem."""
    parts = [e for e in _random_network(seed, direct=False)[0] if not isinstance(e, Wire)]
    solution = solve(parts, 60)
    taken = [_power(solution, e) for e in parts if not isinstance(e, VoltageSource)]
    scale = sum(abs(power) for power in taken)
    assert min(power.real for power in taken) >= -1e-12 * scale
    delivered = -sum(_power(solution, e) for e in parts if isinstance(e, VoltageSource))
    assert delivered == pytest.approx(sum(taken), rel=1e-9, abs=1e-12 * scale)


@properties
@given(seeds)
def test_source_and_ammeter_can_change_places(seed: int) -> None:
    """Reciprocity of a network of passive parts."""
    passive = _passive_network(seed)
    here, there = (VoltageSource("hot", "earth", 0), VoltageSource("n0", "n1", 0))
    loud_here, loud_there = (VoltageSource("hot", "earth", 100), VoltageSource("n0", "n1", 100))
    one = solve([*passive, loud_here, there], 60).current_through(there)
    other = solve([*passive, here, loud_there], 60).current_through(here)
    assert one == pytest.approx(other, rel=1e-8, abs=1e-12)


@properties
@given(seeds, st.floats(0.1, 10))
def test_effects_of_two_sources_add_up_and_scale(seed: int, factor: float) -> None:
    """Superposition and scaling."""
    passive = _passive_network(seed)

    def volts(line: float, other: float) -> complex:
        sources = [VoltageSource("hot", "earth", line), VoltageSource("raised", "n0", other)]
        return solve([*passive, *sources], 60).voltage("n1") or 0j

    both = volts(120, 30)
    assert both == pytest.approx(volts(120, 0) + volts(0, 30), rel=1e-9, abs=1e-9)
    assert volts(120 * factor, 30 * factor) == pytest.approx(both * factor, rel=1e-9, abs=1e-9)


@properties
@given(seeds, st.floats(1, 1e6))
def test_load_draws_what_thevenin_says(seed: int, ohms: float) -> None:
    parts, _, _ = _random_network(seed, direct=False)
    source = solve(parts, 60).thevenin("n0", "n1")
    load = Resistor("n0", "n1", ohms)
    assert source.open_volts is not None
    assert source.ohms is not None
    expected = source.open_volts / (source.ohms + ohms)
    assert solve([*parts, load], 60).current_through(load) == pytest.approx(expected, rel=1e-7, abs=1e-13)
