"""Components of the line side that the parts list has too: by name, or by the places they lie between."""

from __future__ import annotations

import math

import pytest

import makers
from benchleaf.chapters.line_side.findings import LineSideFindings
from benchleaf.chapters.line_side.side import StateFindings
from benchleaf.circuit.line_side import components, lead_of
from benchleaf.circuit.place import place
from benchleaf.record.slips import Slips

SET = """line: 200 V 50 Hz
power: series string
chassis: through R and C
parts:
  C3:
    between: B- and chassis
    was: 0.05 uF 400 V paper, measured 66 nF, leakage 55 uA at 200 V
    now: 3.3 nF 250 V AC Y1 ceramic 20 %, measured 3.28 nF
    fitted: 2026-03-02
  R10: now 1 meg 5 % 0.5 W 500 V, measured 1.02 meg, was 330 kohm 20 %, measured 410 kohm, between B- and chassis
line side:
  before:
    switch: B- lead
    plug: two-pin, either way
    B- to chassis: {before}
    touchable: chassis
  after:
    switch: hot lead
    plug: two-pin, either way
    B- to chassis: {after}
    touchable: chassis
"""
WRITTEN = SET.format(before="330 kohm, 0.05 uF paper", after="1 meg 0.5 W 500 V, 3.3 nF Y1")
NAMED = SET.format(before="R10, C3", after="R10 and C3")


def sides(text: str) -> tuple[StateFindings, StateFindings]:
    """The line side before and after."""
    found = makers.findings("line_side", makers.bench(text))
    assert isinstance(found, LineSideFindings)
    assert found.before is not None
    assert found.after is not None
    return found.before, found.after


def told(text: str) -> list[str]:
    """What is told of a record."""
    slips = Slips(makers.FILE)
    place(makers.record(text), slips)
    return [str(problem) for problem in slips.problems()]


def worst_amps(side: StateFindings) -> float:
    assert side.worst_normal is not None
    return side.worst_normal.touch_amps_rms or 0.0


@pytest.mark.parametrize("text", [WRITTEN, NAMED], ids=["written out", "named"])
def test_the_capacitor_is_the_one_that_was_measured(text: str) -> None:
    """By hand: 200 V across 66 nF beside 410 kohm and 200 V / 55 uA is the network of before, 3.28 nF that of after."""
    before, after = sides(text)
    assert before.b_minus_network is not None
    assert after.b_minus_network is not None
    assert before.b_minus_network.capacitor_farads == 66e-9
    assert before.b_minus_network.capacitor_amps == pytest.approx(200 * 2 * math.pi * 50 * 66e-9)
    assert before.b_minus_network.resistor_ohms == pytest.approx(1 / (1 / 410e3 + 55e-6 / 200))
    assert after.b_minus_network.capacitor_farads == 3.28e-9
    assert after.b_minus_network.resistor_ohms == pytest.approx(1.02e6)
    assert (after.b_minus_network.class_written, after.b_minus_network.class_enough) == ("Y1", True)
    assert after.b_minus_network.resistor_rated_volts == 500
    assert after.b_minus_network.resistor_rated_watts == 0.5


def test_a_hand_gets_what_the_measured_capacitor_lets_through() -> None:
    """3.2 mA by what the old capacitor is marked, 4.1 mA by what it has: 66 nF and leaky.

    By hand, the body network of IEC 60990 (2 kohm below its corner) in series: V / |Z + 2 kohm|.
    """
    marked = worst_amps(
        sides(
            SET.replace(", measured 66 nF, leakage 55 uA at 200 V", "")
            .replace(", measured 410 kohm", "")
            .format(before="330 kohm, 0.05 uF paper", after="R10")
        )[0]
    )
    measured = worst_amps(sides(WRITTEN)[0])
    for amps, siemens, farads in ((marked, 1 / 330e3, 50e-9), (measured, 1 / 410e3 + 55e-6 / 200, 66e-9)):
        admittance = complex(siemens, 2 * math.pi * 50 * farads)
        assert amps == pytest.approx(200 / abs(1 / admittance + 2000), rel=0.01)
    assert measured == worst_amps(sides(NAMED)[0])
    assert (round(marked * 1e3, 1), round(measured * 1e3, 1)) == (3.2, 4.1)


def test_what_was_taken_from_the_parts_list_is_said() -> None:
    before, after = sides(WRITTEN)
    assert before.described.from_list == (
        "R10 from B- to chassis: 410\N{NARROW NO-BREAK SPACE}kΩ measured; written here as 330 kΩ.",
        "C3 from B- to chassis: 66\N{NARROW NO-BREAK SPACE}nF measured, leakage 55 µA at 200 V; "
        "written here as 0.05 µF.",
    )
    assert sides(NAMED)[1].described.from_list[0] == "R10 from B- to chassis: 1.02\N{NARROW NO-BREAK SPACE}MΩ measured."
    assert len(after.described.from_list) == 2
    page = makers.page("line_side", makers.bench(NAMED))
    assert "Taken from the parts list" in page
    assert "C3 from B- to chassis: 66\N{NARROW NO-BREAK SPACE}nF measured" in page


def test_the_steps_name_what_comes_out_and_what_goes_in() -> None:
    found = makers.findings("line_side", makers.bench(NAMED))
    said = [step.text for step in found.steps]
    assert "Take out from B- to chassis: R10 330 kΩ, beside it C3 0.05 µF paper." in said
    assert "Fit from B- to chassis: R10 1 meg, beside it C3 3.3 nF ceramic Y1." in said


def test_a_part_that_stays_is_neither_taken_out_nor_fitted() -> None:
    kept = NAMED.replace("  R10: now 1 meg 5 % 0.5 W 500 V, measured 1.02 meg, was", "  R10: keep,")
    said = [step.text for step in makers.findings("line_side", makers.bench(kept)).steps]
    assert not any("R10" in text for text in said)
    assert any("C3" in text for text in said)


@pytest.mark.parametrize(
    ("found", "amps"),
    [
        ("measured open", 0.0),
        ("measured > 20 meg", 200 / 20e6),
        ("open", 0.0),
        ("measured OL", math.inf),
        ("measured short", math.inf),
    ],
)
def test_a_meter_that_gave_no_number(found: str, amps: float) -> None:
    """Open: nothing; a bound: its end that lets more through; no end or a short: a wire, the worse case."""
    text = SET.format(before="R10", after="R10").replace("measured 410 kohm", found)
    before, _ = sides(text)
    wired = before.described.wiring.live_chassis
    assert wired == math.isinf(amps)
    if not wired and amps:
        assert before.b_minus_network is not None
        assert before.b_minus_network.resistor_amps == pytest.approx(amps)
    if not amps:
        assert before.b_minus_network is None


def test_a_socket_a_lead_and_an_earth_wire_may_name_their_parts() -> None:
    text = SET.format(before="R10", after="R10").replace(
        "    touchable: chassis\n",
        "    touchable: chassis, aerial socket through C1\n    line to chassis: C2\n    earth lead: through C1\n",
    )
    text = text.replace(
        "parts:\n",
        "parts:\n  C1: keep, 500 pF, measured 540 pF\n  C2: keep, 10 nF, measured 12 nF, between hot and chassis\n",
    )
    before, _ = sides(text)
    wiring = before.described.wiring
    assert {p.name: [c[0].value for c in p.barrier] for p in wiring.parts if p.barrier} == {"aerial socket": [540e-12]}
    assert [chain[0].value for chain in wiring.hot_to_chassis] == [12e-9]
    assert wiring.return_to_chassis == ()
    assert [chain[0].value for chain in wiring.earth] == [540e-12]
    assert not any("Which lead" in line for line in before.described.assumed)


@pytest.mark.parametrize(
    ("between", "place", "lead"),
    [
        ("common and earth", "B- to chassis", ""),
        ("HT− and gnd", "B- to chassis", ""),
        ("live side and ground", "line to chassis", "hot lead"),
        ("mains and chassis", "line to chassis", ""),
        ("cold lead and chassis", "line to chassis", "return lead"),
        ("hot and return", "across the line", "hot lead"),
        ("line and common", "across the line", ""),
        ("antenna terminal and chassis", "aerial socket", ""),
        ("V1 grid and chassis", "", ""),
        ("x and chassis", "B- to chassis", ""),
        ("hot and x", "across the line", "hot lead"),
        ("x and y", "", ""),
    ],
)
def test_a_place_of_the_line_side_is_read_like_every_other(between: str, place: str, lead: str) -> None:
    made = makers.circuit(f"power: series string\nparts:\n  C1: keep, 10 nF, between {between}\nwires:\n  - x, B-\n")
    listed = made.named["c1"]
    assert listed.piece.ends is not None
    places = [where for where, there in made.on_line_side.items() if listed in there]
    assert (places, lead_of(listed, made)) == ([place] if place else [], lead)


def test_two_in_series_are_two_parts_and_not_the_one_between_their_ends() -> None:
    made = makers.circuit(SET.format(before="R10", after="3.3 nF Y2 and 3.3 nF Y2 in series"))
    side = made.record.line_side
    assert side is not None
    assert side.after is not None
    found = components(made, side.after.b_minus_to_chassis, "B- to chassis", "after")
    assert [(one.name, one.in_series, one.inside.value) for one in found] == [
        ("", False, 3.3e-9),
        ("", True, 3.3e-9),
    ]


def test_a_leakage_that_the_list_alone_has_counts_beside_the_value_that_is_written_here() -> None:
    """200 V / 55 uA of leakage beside 410 kohm, and 50 nF as both have it marked. By hand."""
    network = sides(WRITTEN.replace(", measured 66 nF", ""))[0].b_minus_network
    assert network is not None
    assert network.capacitor_farads == 50e-9
    assert network.resistor_ohms == pytest.approx(1 / (1 / 410e3 + 55e-6 / 200))


def test_a_name_that_is_nowhere_counts_by_the_value_beside_it_or_as_a_wire() -> None:
    beside, bare = (sides(SET.format(before=b, after="R10"))[0] for b in ("R33 220 kohm", "R33"))
    assert beside.b_minus_network is not None
    assert beside.b_minus_network.resistor_ohms == 220e3
    assert bare.described.wiring.live_chassis
    assert "What R33 from B- to chassis is cannot be known: it counts as a wire." in bare.assumed


def test_a_name_that_is_not_in_the_list_is_told_with_those_that_are() -> None:
    (only,) = told(SET.format(before="R10, C33", after="R10, C3"))
    assert only == (
        "record.yml:17:25: line side.before.B- to chassis: found “C33”; expected a part listed under parts, or a "
        "component with its value; known here: C3 and R10"
    )
    assert told(WRITTEN) == told(NAMED) == []


def test_a_can_is_named_by_its_section() -> None:
    can = "  C12:\n    sections:\n      a: was 10 nF\n      b: was 20 nF\n"
    (only,) = told(SET.format(before="C12", after="C12 b").replace("parts:\n", f"parts:\n{can}"))
    assert only == (
        "record.yml:21:20: line side.before.B- to chassis: found “C12”, a part of several sections; expected one of "
        "them: “C12 a” or “C12 b”"
    )


def test_a_value_that_the_parts_list_has_otherwise_is_told_at_its_word() -> None:
    (only,) = told(SET.format(before="R10, 0.02 uF paper", after="R10 1 meg, C3"))
    assert only == (
        "record.yml:17:25: line side.before.B- to chassis: found “0.02 uF”, where the parts list has “0.05 uF, "
        "measured 66 nF” for C3; expected one value for one part; "
        "write “C3” here, and its value in the parts list alone"
    )
    (beside,) = told(SET.format(before="R10 470 kohm, C3", after="R10, C3"))
    assert "found “470 kohm”, where the parts list has “330 kohm, measured 410 kohm” for R10" in beside
    assert told(SET.format(before="R10, 68 nF", after="R10, C3")) == []


def test_the_card_says_what_is_behind_a_name() -> None:
    from benchleaf.pages.sheets import cabinet_card

    card = cabinet_card(makers.examined(NAMED))
    assert "R10 1 meg 500 V 5 % 0.5 W and C3 3.3 nF 250 V AC 20 % ceramic Y1" in card


def test_one_written_on_each_lead_is_both_that_the_parts_list_has() -> None:
    """“10 nF each lead” with two of them listed is the two, each as it was measured; with one it is that one alone."""
    head = "line: 118 V 60 Hz\npower: transformer\nchassis: isolated\nparts:\n"
    one = "  C18: 10 nF, measured 14 nF, line to chassis\n"
    other = "  C19: 10 nF, measured 16 nF, line to chassis\n"
    side = "line side:\n  before:\n    line to chassis: 10 nF from each side\n"
    found = []
    for rows in (f"{one}{other}", one):
        record = makers.record(f"{head}{rows}{side}")
        assert record.line_side is not None
        assert record.line_side.before is not None
        written = record.line_side.before.line_to_chassis
        circuit = place(record, Slips(makers.FILE))
        found.append([(c.name, c.lead) for c in components(circuit, written, "line to chassis", "before")])
    assert found == [[("C18", "hot lead"), ("C19", "return lead")], [("C18", "each lead")]]
