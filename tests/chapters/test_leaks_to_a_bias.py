"""A grid leak that returns to a bias tap or to B-: the leak's table, the load before it, the day it holds for."""

from __future__ import annotations

import re
from math import pi

import pytest

import makers
from benchleaf.circuit.places import rail

BACK_BIASED = """line: 240 V 50 Hz
power: transformer
chassis: earthed
tubes:
  V3: 6B7
  V4: 42
  V5: 80
heaters:
  windings:
    HT: 350-0-350 V, feeds V5
parts:
  C14: .02 uF, coupling, V3 plate to V4 grid, leaks 10 Mohm, now .022 uF 630 V, fitted 2026-04-15
  C15: 10 uF 500 V electrolytic, between HT1 and HT centre tap
  R7: 270 kohm, HT1 to V3 plate
  R9: 3 kohm, V3 cathode to chassis
  R10: .5 Mohm, V4 grid to bias tap, measured .68 Mohm
  R11: 500 kohm, HT centre tap to bias tap
  R12: 100 kohm, bias tap to chassis
  R13: 500 kohm, V3 grid to chassis
  L1: field coil, measured 1480 ohm, HT centre tap to chassis
  T1: output transformer, 300 ohm, V4 plate to HT1
wires:
  - V4 cathode, chassis
  - HT1, V4 screen
readings:
  2026-04-14 found:
    line: 240 V
    to: chassis
    V5: cathode 232
    HT centre tap: -115
    bias tap: -19.2
    V4: plate 222, grid -13.1
    V3: plate 104, cathode 1.9
"""


def _leaking(text: str, part: str = "C14") -> tuple[object, object]:
    row = next(row for row in makers.found("parts", text).rows() if row.name == part)
    return row.was_on_grid, row.now_on_grid


def test_a_leak_to_a_bias_tap_is_the_grids_leak() -> None:
    """The tap lies 19.2 V below the chassis: (104 + 19.2) V x 0.68 / 10.68 = 7.84 V above it, 6.1 V were read."""
    was, _ = _leaking(BACK_BIASED)
    assert was.leak_part == "R10"
    assert was.volts == pytest.approx((104 + 19.2) * 0.68 / 10.68, rel=1e-3)
    assert was.read_volts == pytest.approx(-13.1 + 19.2)
    assert was.bias_volts == pytest.approx(19.2)
    page = re.sub("<[^>]*>", "", makers.plain(makers.page("parts", BACK_BIASED)))
    assert "from where its leak returns, at −19.2 V" in page


@pytest.mark.parametrize("grid", ["grid -13.1", "grid -11.4", ""])
def test_what_it_counts_from_is_said_whether_it_was_read_so_or_not(grid: str) -> None:
    """“About +7.84 V on V4 grid” stood there of a grid at -11.4 V to chassis."""
    text = BACK_BIASED.replace(", grid -13.1", f", {grid}" if grid else "")
    (told,) = [s.text for s in makers.standouts("parts", text) if s.text.startswith("C14")]
    assert "on V4 grid" in told
    assert "from where its leak returns, at −19.2 V" in told.replace("\u202f", " ")


def test_the_stage_before_it_works_into_it_too() -> None:
    """270 kohm beside 0.68 Mohm; 270 kohm alone made 125 times of 88."""
    circuit = makers.circuit(BACK_BIASED)
    load = circuit.load(circuit.places.read("V3 plate"))
    assert [one.name for one in load.parts] == ["R7", "R10"]
    row = next(row for row in makers.found("parts", BACK_BIASED).rows() if row.name == "C14")
    assert row.effect.after.corner_hertz == pytest.approx(1 / (2 * pi * 22e-9 * 0.68e6), rel=0.01)


def test_a_screen_or_an_electrode_is_no_bias_tap() -> None:
    circuit = makers.circuit(BACK_BIASED.replace("V4 grid to bias tap", "V4 grid to V4 screen"))
    assert circuit.network.leaks(circuit.places.read("V4 grid")) == ()


BATTERY = """line: 1.5 V
power: battery
tubes:
  V3: 1S5
  V4: 3S4
parts:
  C3: .005 uF, coupling, V3 plate to V4 grid, leaks 20 Mohm, now 4.7 nF 630 V, fitted {fitted}
  R6: 2.2 Mohm, V4 grid to B-, measured 2.6 Mohm, now 2.2 Mohm, fitted 2026-11-16
  R8: 495 ohm, B- to chassis
readings:
  2026-11-10 found:
    to: chassis
    B-: -5.6
    V3: plate 31
  2026-11-12 then:
    to: chassis
    B-: -5.6
    V3: plate 33
"""


def test_the_leak_returns_to_b_minus_below_the_chassis() -> None:
    """(31 + 5.6) V x 2.6 / 22.6 = 4.2 V: 3.57 V by the volts to the chassis."""
    was, _ = _leaking(BATTERY.format(fitted="2026-11-11"), "C3")
    assert was.volts == pytest.approx((31 + 5.6) * 2.6 / 22.6, rel=1e-3)
    assert was.plate_volts_from == "2026-11-10 found"


def test_a_grid_read_with_the_new_capacitor_in_tells_nothing_of_the_old_one() -> None:
    """The plate of a later day still tells about what the leak made; the first list that it was in goes first."""
    text = BATTERY.replace("V3: plate 3", "V4: grid -5.3\n    V3: plate 3")
    was, now = _leaking(text.format(fitted="2026-11-09"), "C3")
    assert (was.plate_volts, was.read_volts) == (31, None)
    assert (now.plate_volts, now.read_volts) == (33, pytest.approx(0.3))
    was, _ = _leaking(text.format(fitted="2026-11-11"), "C3")
    assert was.read_volts == pytest.approx(0.3)


@pytest.mark.parametrize(
    ("did", "known"),
    [
        ("parts measured, C3 and C9 replaced", True),
        ("C1, C3 replaced", True),
        ("replaced C1, C3", True),
        ("C3 measured, C1 replaced", False),
        ("C3 to be replaced", False),
        ("C1 replaced, C3 tested", False),
    ],
)
def test_the_log_tells_the_day_a_part_went_in(did: str, known: bool) -> None:
    text = BATTERY.replace("V3: plate 3", "V4: grid -5.3\n    V3: plate 3").replace(", fitted {fitted}", "")
    was, _ = _leaking(text + f"log:\n  - 2026-11-09, 2 h, {did}\n", "C3")
    day = next(one.known_by for one in makers.circuit(text + f"log:\n  - 2026-11-09, {did}\n").parts["C3"])
    assert (day is not None) is known
    assert (was.read_volts is None) is known


def test_a_leak_names_where_it_goes() -> None:
    circuit = makers.circuit(BACK_BIASED)
    (leak,) = circuit.network.leaks(circuit.places.read("V4 grid"))
    assert not circuit.network.same(circuit.network.other_end(leak, circuit.places.read("V4 grid")), rail("chassis"))
