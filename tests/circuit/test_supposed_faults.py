"""The single faults that are tried in a set: what each changes, and what a meter takes away or adds."""

from __future__ import annotations

import datetime

import pytest

import makers
from benchleaf.circuit.closed.closed_network import Closed
from benchleaf.circuit.supposed_faults.candidates import supposed_faults
from benchleaf.circuit.supposed_faults.found_bad import LEAK_AT_WORK, as_found, found_bad
from benchleaf.circuit.supposed_faults.freed_rails import FreedNet, freed
from benchleaf.circuit.supposed_faults.supposed_fault import SupposedFault
from benchleaf.circuit.supposed_faults.trade_weights import BAD, NOTHING_WRONG, sizes
from benchleaf.circuit.supposed_faults.tried_set import Tried
from benchleaf.electrics.dc_elements import DcBranch, DcNet, HeldNode, RectifierInNet, TubeInNet
from benchleaf.electrics.dc_network import solve
from benchleaf.electrics.reservoir import Charging
from benchleaf.electrics.tube_law import TubeLaw

SET = """power: transformer
line: 120 V 60 Hz
tubes:
  V3: 12AV6
  V4: 50C5
  V5: 35W4
parts:
  C7: 0.01 uF paper, between V3 plate and V4 grid
  C8: 25 uF 25 V electrolytic, between V4 cathode and B-
  C12: 40 uF 150 V electrolytic, between B+1 and B-
  R5: 470 kohm, between V3 plate and B+1
  R6: 470 kohm, between V4 grid and B-
  R8: 150 ohm, between V4 cathode and B-
  T3: between V4 plate and B+1, job output transformer
"""
POINTS = ("V3 plate", "V4 grid", "V4 cathode", "V4 plate", "B+1")


def tried(text: str = SET, *, line_read: bool = True, day: datetime.date | None = None) -> Tried:
    """A set with its parts as a network of the five points."""
    circuit = makers.circuit(text)
    at = circuit.network.places.read
    nodes = {circuit.network.point(at(name)): n for n, name in enumerate(POINTS, 1)} | {
        circuit.network.point(at("B-")): 0
    }

    def of(name: str, one: str, other: str, ohms: float) -> DcBranch:
        numbers = {name: n for n, name in enumerate(POINTS, 1)} | {"B-": 0}
        return DcBranch(name, (numbers[one], numbers[other]), ohms)

    branches = (
        of("R5", "V3 plate", "B+1", 470e3),
        of("R6", "V4 grid", "B-", 470e3),
        of("R8", "V4 cathode", "B-", 150.0),
        of("T3", "V4 plate", "B+1", 300.0),
        of("C7", "V3 plate", "V4 grid", 1e11),
    )
    tubes = (
        TubeInNet("V3", TubeLaw(False, 1e-4, 100.0), plate=1, cathode=0),
        TubeInNet("V4", TubeLaw(True, 1e-3, 9.0), plate=4, cathode=3, grid=2, screen=5),
    )
    rectifier = RectifierInNet("V5", Charging(1, 165.0, 30.0, perveance=3e-3), node=5)
    net = DcNet(6, branches, tubes, rectifiers=(rectifier,))
    parts = {e.name: e for e in circuit.network.elements}
    closed = Closed(net, nodes, circuit.network.points, parts=parts)
    return Tried(circuit, day, closed, net, line_read)


def of(subject: str, fault: str, text: str = SET) -> list[SupposedFault]:
    return [one for one in supposed_faults(tried(text)) if (one.subject, one.fault) == (subject, fault)]


def weight(subject: str, fault: str, text: str = SET) -> float:
    return sum(one.weight for one in of(subject, fault, text))


def test_first_is_that_nothing_is_wrong() -> None:
    first, *others = supposed_faults(tried())
    assert (first.subject, first.fault, first.weight) == ("", "nothing wrong", NOTHING_WRONG)
    assert first.variant.ohms == ()
    assert all(one.subject for one in others)


@pytest.mark.parametrize(
    ("subject", "faults", "where"),
    [
        ("C7", {"leaks", "shorted"}, "coupling"),
        ("C8", {"leaks", "shorted"}, "cathode"),
        ("C12", {"leaks", "shorted", "dried out"}, "reservoir"),
        ("R5", {"high", "open", "low"}, "plate"),
        ("R6", {"high", "open", "low"}, "grid"),
        ("R8", {"high", "open", "low"}, "cathode"),
        ("T3", {"open"}, "output"),
        ("V4", {"weak", "dead", "gas", "heater leak"}, "tube"),
        ("V3", {"weak", "dead"}, "tube"),
        ("V5", {"weak", "dead"}, "rectifier"),
    ],
)
def test_faults_of_each_part_and_where_it_stands(subject: str, faults: set[str], where: str) -> None:
    found = [one for one in supposed_faults(tried()) if one.subject == subject]
    assert {one.fault for one in found} == faults
    assert {one.site.where for one in found} == {where}


def test_a_fault_changes_what_it_says() -> None:
    assert [one.variant.ohms for one in of("R5", "high")] == [
        (("R5", pytest.approx(470e3 * times)),) for times in (1.35, 1.7, 2.5, 5)
    ]
    (leak,) = next(one for one in of("C7", "leaks") if one.size == 5e6).variant.added
    assert (set(leak.ends), leak.ohms) == ({1, 2}, 5e6)
    assert [one.variant.emission for one in of("V4", "weak")] == [(("V4", 0.65),), (("V4", 0.4),)]
    assert of("V4", "gas")[0].variant.grid_amps == (("V4", 1.5e-6),)
    weak = of("V5", "weak")[0].variant.charging[0][1].perveance
    assert weak == pytest.approx(3e-3 * 0.35)
    dry = of("C12", "dried out")
    assert all(one.variant.charging[0][1].table for one in dry)


def test_a_rows_weight_is_shared_by_its_sizes() -> None:
    assert weight("C7", "leaks") == pytest.approx(12), "a paper capacitor to a grid; common practice, no source"
    assert weight("R5", "high") == pytest.approx(5)
    assert sum(one.weight for one in sizes("electrolytic") if one.fault == "leaks") == pytest.approx(2)


def test_what_was_measured_sound_has_no_faults() -> None:
    tight = SET.replace("0.01 uF paper", "0.01 uF paper, leakage <0.1 uA at 400 V")
    assert not of("C7", "leaks", tight)
    assert not of("C7", "shorted", tight)
    assert not of("R5", "high", SET.replace("R5: 470 kohm", "R5: 470 kohm, measured 480 kohm"))


def test_a_measured_capacitance_takes_the_short_away_and_leaves_the_leak() -> None:
    measured = SET.replace("0.01 uF paper", "0.01 uF paper, measured 13 nF")
    assert not of("C7", "shorted", measured)
    assert of("C7", "leaks", measured)


def test_what_was_measured_bad_is_heavier_and_tried_as_measured() -> None:
    leaky = SET.replace("0.01 uF paper", "0.01 uF paper, leakage 27 uA at 200 V")
    found = of("C7", "leaks", leaky)
    assert [one.size for one in found] == [pytest.approx(share * 200 / 27e-6) for share in LEAK_AT_WORK]
    assert all(one.measured for one in found)
    assert sum(one.weight for one in found) == pytest.approx(BAD * 12)


def test_a_resistor_measured_high_is_tried_as_measured_against_all_as_marked() -> None:
    high = SET.replace("R5: 470 kohm", "R5: 470 kohm, measured 800 kohm")
    nothing, *_ = supposed_faults(tried(high))
    assert nothing.variant.ohms == (("R5", 470e3),), "nothing wrong is as the maker meant it"
    (found,) = of("R5", "high", high)
    assert found.with_others == ()
    assert found.weight == pytest.approx(BAD * 5)
    assert not of("R5", "low", high)


TWO_BAD = SET.replace("R6: 470 kohm", "R6: 470 kohm, open").replace("uF paper", "uF paper, leakage 27 uA at 200 V")


def test_parts_found_bad_are_in_the_set_while_others_are_tried() -> None:
    """An open resistor had its marked ohms there, and a leak that was measured none."""
    of_set = tried(TWO_BAD)
    net = as_found(of_set, found_bad(of_set))
    ohms = {branch.name: branch.ohms for branch in net.branches}
    assert (ohms["R6"], ohms["C7"]) == (pytest.approx(470e8), pytest.approx(200 / 27e-6))
    nothing, *_ = supposed_faults(of_set)
    assert dict(nothing.variant.ohms) == {"R6": 470e3, "C7": 1e11}, "nothing wrong is as the maker meant it"


def test_parts_found_bad_are_tried_by_themselves_and_all_together() -> None:
    (alone,) = (one for one in of("R6", "open", TWO_BAD) if not one.with_others)
    assert dict(alone.variant.ohms) == {"R6": pytest.approx(470e8), "C7": 1e11}
    for subject, fault, other in (("R6", "open", "C7"), ("C7", "leaks", "R6")):
        together = [one for one in of(subject, fault, TWO_BAD) if one.with_others]
        assert {one.with_others for one in together} == {(other,)}
        tried_as = [dict(one.variant.ohms) for one in together]
        assert [one["C7"] for one in tried_as] == [pytest.approx(share * 200 / 27e-6) for share in LEAK_AT_WORK]
        assert all(one["R6"] == pytest.approx(470e8) for one in tried_as)
    assert not [one for one in of("R6", "open", SET.replace("R6: 470 kohm", "R6: 470 kohm, open")) if one.with_others]


def test_line_is_tried_only_where_it_was_not_read() -> None:
    assert not [one for one in supposed_faults(tried(line_read=True)) if one.subject == "line"]
    found = [one for one in supposed_faults(tried(line_read=False)) if one.subject == "line"]
    assert {one.fault for one in found} == {"low", "high"}


@pytest.mark.parametrize(("day", "known"), [("2026-03-01", "weak"), ("2026-03-05", ""), (None, "not tested")])
def test_a_tube_by_its_tested_emission(day: str | None, known: str) -> None:
    changed = SET + "changed tubes:\n  V4: was 50C5 at 61 % emission, now 50C5 at 102 % emission, 2026-03-03\n"
    on = datetime.date.fromisoformat(day) if day else None
    weak = [one for one in supposed_faults(tried(changed, day=on)) if (one.subject, one.fault) == ("V4", "weak")]
    assert sum(one.weight for one in weak) == pytest.approx({"weak": BAD * 4, "": 0, "not tested": 4}[known])
    assert any(one.fault == "gas" for one in supposed_faults(tried(changed, day=on)) if one.subject == "V4")


def test_film_seldom_leaks() -> None:
    """Common practice, no source."""
    assert weight("C7", "leaks", SET.replace("0.01 uF paper", "0.01 uF film")) == pytest.approx(1.2)


def held_rails(sheet: dict[int, float]) -> FreedNet | None:
    """Two rails held at 100 V and 80 V, 1 kohm between them and 8 kohm from the second to the bottom."""
    circuit = makers.circuit(SET)
    at = circuit.network.places.read
    nodes = {at("B-"): 0, at("B+1"): 1, at("B+2"): 2}
    branches = (DcBranch("R9", (1, 2), 1e3), DcBranch("load", (2, 0), 8e3))
    held = (HeldNode("B+1 held", 1, 100.0), HeldNode("B+2 held", 2, 80.0))
    return freed(Closed(DcNet(3, branches, held=held), nodes), sheet, {})


def test_held_rails_are_freed_to_stand_where_the_sheet_has_them() -> None:
    """By hand: 120 V and 96 V leave 24 mA in the kilohm, of which 8 kohm take 12 mA; the other 12 mA are a load."""
    free = held_rails({1: 120.0, 2: 96.0})
    assert free is not None
    assert (free.nodes, free.first, free.net.held) == (frozenset({1, 2}), 1, ())
    volts = solve(free.net).volts[0]
    assert volts[1:] == pytest.approx([120.0, 96.0], rel=1e-3)
    (more,) = (branch for branch in free.net.branches if branch.name == "B+2 held load")
    assert more.ohms == pytest.approx(96 / 12e-3, rel=1e-3)


def test_a_rail_that_the_sheet_lacks_is_off_as_the_others_are() -> None:
    free = held_rails({1: 120.0})
    assert free is not None
    assert solve(free.net).volts[0][1:] == pytest.approx([120.0, 96.0], rel=1e-3)
    assert held_rails({}) is None
