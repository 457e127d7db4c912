"""Bias that the whole set's current makes, filaments as cathodes, and grids that lost their leak."""

from __future__ import annotations

import pytest

import makers
from benchleaf.chapters.readings.comparison import compared
from benchleaf.chapters.readings.evidence import evidence_of
from benchleaf.chapters.readings.findings import ReadingsFindings
from benchleaf.chapters.readings.runs import told_apart
from benchleaf.chapters.readings.signs import signs
from benchleaf.circuit.supposed_faults.trade_weights import sizes

RETURNED = """line: 115 V 60 Hz
power: transformer
chassis: isolated
tubes:
  V4: 45, output
  V5: 80, rectifier
readings:
  found:
    to: chassis
    V4: plate 249, grid -49.4
    B+: 250
    B-: -100
    bias: -50
parts:
  R10: 250 kohm, between V4 grid and bias
  R11: 1 meg 5 %, between bias and chassis
  R12: 1 meg 5 %, between bias and B-
  L1: field coil 2940 ohm, between B- and chassis
  T2: output transformer 30 ohm, between V4 plate and B+
  C14: 8 uF 450 V electrolytic, between B+ and chassis
wires:
  - V4 filament, chassis
"""
"""The published point of the 45 (250 V, -50 V, 34 mA) as a set: the field coil has 100 V of that current."""
OUTPUT = """line: 117 V 60 Hz
power: series string
tubes:
  V3: 12SQ7
  V4: 50L6GT
  V5: 35Z5GT
readings:
  found:
    meter: 10 meg
    V3: plate {triode}
    V4: plate {plate}, screen {screen}, grid {grid}, cathode {cathode}
    B+1: {first}
    B+2: {screen}
parts:
  R5: 470 kohm, between V3 plate and B+2
  R4: 470 kohm, between V3 grid and B-
  R3: 1 kohm, between V3 cathode and B-
  C6: 0.02 uF paper, between V3 plate and V4 grid
  R6: 470 kohm, between V4 grid and B-
  R7: 150 ohm, between V4 cathode and B-
  C7: 25 uF 25 V electrolytic, between V4 cathode and B-
  R8: 1.2 kohm, between B+1 and B+2
  C8: 40 uF 150 V electrolytic, between B+1 and B-
  T3: output transformer 220 ohm, between V4 plate and B+1
wires:
  - V4 screen, B+2
"""


def found(text: str) -> ReadingsFindings:
    result = makers.found("readings", text)
    assert isinstance(result, ReadingsFindings)
    return result


def test_a_filament_is_the_cathode_of_a_triode_whose_bias_the_field_coil_makes() -> None:
    worked = {one.place: one.volts for one in found(RETURNED).worked_out}
    assert worked["B-"] == pytest.approx(-100, rel=0.03)
    assert worked["bias"] == pytest.approx(-50, rel=0.03)
    assert worked["V4 grid"] == pytest.approx(-50, rel=0.03)
    assert worked["V4 plate"] == pytest.approx(249, rel=0.01)


def test_a_sound_set_with_such_a_bias_has_nothing_accused() -> None:
    (one,) = found(RETURNED).causes
    assert one.ranked[0].subject is None
    assert not one.no_single_fault


def test_what_the_whole_current_makes_is_not_told_where_a_stage_is_left_out() -> None:
    left_out = RETURNED.replace("45, output", "45, output\n  V3: XY99, output, heater 2.5 V 1 A")
    unfed = RETURNED.replace("wires:\n  - V4 filament, chassis\n", "").replace(", grid -49.4", "")
    for text in (left_out.replace("V4: plate", "V3: plate 240\n    V4: plate"), unfed):
        findings = found(text)
        assert {"B-", "bias"}.isdisjoint(one.place for one in findings.worked_out)
        assert all("B-" not in cause.explains for one in findings.causes for cause in one.ranked)


def test_a_filament_of_which_nothing_is_known_is_asked_for() -> None:
    unfed = RETURNED.replace("wires:\n  - V4 filament, chassis\n", "").replace(", grid -49.4", "")
    assert "V4 filament" in makers.page("readings", unfed)


@pytest.mark.parametrize(
    ("read", "fault"),
    [
        ({"triode": 23, "plate": 90, "screen": 96.4, "grid": 0.94, "cathode": 14.3, "first": 110}, ("R6", "open")),
        ({"triode": 24, "plate": 101, "screen": 107, "grid": 6.9, "cathode": 11.4, "first": 117}, ("C6", "leaks")),
    ],
)
def test_a_grid_without_its_leak_is_told_from_one_that_a_leak_holds_up(
    read: dict[str, float], fault: tuple[str, str]
) -> None:
    """Readings of another law and solver. A meter of 10 MΩ is itself the leak of a grid that has none: the grid reads
    about nothing, and the cathode, read without it, high."""
    (one,) = found(OUTPUT.format(**read)).causes
    assert (one.ranked[0].subject, one.ranked[0].fault) == fault


@pytest.mark.parametrize("kind", ["paper", "electrolytic"])
def test_a_cathode_bypass_is_tried_from_less_than_the_smallest_resistor_beside_it(kind: str) -> None:
    """68 Ω at an IF amplifier, 25 kΩ at a bias detector: common practice."""
    leaks = [one.size for one in sizes(kind, "cathode") if one.fault == "leaks"]
    assert min(leaks) <= 68 / 2
    assert max(leaks) >= 25e3 / 3


def test_a_plates_share_of_its_current_lies_between_what_two_readings_may_be_off_by() -> None:
    """By hand: 2 % of each, sqrt(120^2 + 50^2) x 0.02 = 2.60 V and sqrt(120^2 + 45^2) x 0.02 = 2.56 V, on 70 and 75."""
    text = "tubes:\n  V3: 12AV6\nreadings:\n  sheet:\n    V3: plate 45\n    B+1: 120\n  found:\n    V3: plate 50\n"
    bench = makers.bench(text + "    B+1: 120\nparts:\n  R5: 470 kohm, between V3 plate and B+1\n")
    published, (run,) = told_apart(bench)
    (tube, _) = evidence_of(compared(bench.circuit, run, published), bench)
    low, high = signs(tube).current or (None, None)
    assert low == pytest.approx((70 - 2.6) / (75 + 2.563), rel=1e-3)
    assert high == pytest.approx((70 + 2.6) / (75 - 2.563), rel=1e-3)


@pytest.mark.parametrize(
    ("plate", "screen", "whole"),
    [(310, 94, ""), (310, 97, ""), (310, 106, "high"), (190, 100, ""), (190, 97, ""), (190, 88, "low")],
)
def test_a_stage_is_off_as_a_whole_only_where_plate_and_screen_go_the_same_way(
    plate: float, screen: float, whole: str
) -> None:
    """What the supply does reaches both; a plate alone is its own load's matter."""
    text = (
        "tubes:\n  V2: EF89\nreadings:\n  sheet:\n    V2: plate 250, screen 97\n  found:\n    V2: plate {}, screen {}\n"
    )
    bench = makers.bench(text.format(plate, screen))
    published, (run,) = told_apart(bench)
    (tube, *_) = evidence_of(compared(bench.circuit, run, published), bench)
    assert signs(tube).whole == whole
