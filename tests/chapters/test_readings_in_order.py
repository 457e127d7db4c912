"""No part is suspected in a list whose every reading lies within what the set's own circuit makes."""

from __future__ import annotations

from dataclasses import replace

import pytest

import makers
from audio_pair import BELOW_C7, HEAD
from benchleaf.chapters.readings.runs import Conditions
from benchleaf.chapters.readings.tried_runs import of_unknown_bias
from benchleaf.chapters.readings.worked_out import LEAST_HELD, FromTheCircuit, WorkedOut
from benchleaf.circuit.closed.closed_network import TakenAs
from benchleaf.circuit.closed.closing import close
from benchleaf.circuit.places import Place

SET = (
    HEAD
    + "  C7: keep, 10 nF 400 V paper, between V3 plate and V4 grid\n"
    + BELOW_C7
    + """readings:
  2026-03-04:
    line: 120 V
    to: B-
    V4: plate {plate}, screen 128, cathode 8.4, grid 0
    V3: plate {v3}
    B+1: 133
    B+2: 128
"""
)


def _place(volts: float, read: float, *, judged: bool = True, electrode: str = "plate") -> WorkedOut:
    at = Place("V1", "a", electrode=electrode)
    return WorkedOut("V1 plate", volts, volts - 10, volts + 10, judged, at, read_volts=read)


@pytest.mark.parametrize(
    ("more", "held"),
    [
        ([], True),
        ([_place(80, 89, judged=False)], True),
        ([_place(80, 91, judged=False)], False),
        ([_place(80, 69)], False),
        ([_place(0, -8, electrode="osc grid")], True),
    ],
)
def test_every_reading_counts_be_its_range_too_wide_or_not_but_for_what_oscillates(
    more: list[WorkedOut], held: bool
) -> None:
    within = [_place(100 + n, 101 + n) for n in range(LEAST_HELD)]
    circuit = FromTheCircuit(Conditions(120.0, "the list"), (*within, *more), (), (), (), ())
    assert circuit.holds_all is held
    assert not replace(circuit, places=(*within[1:], *more)).holds_all


def test_a_list_that_the_circuit_holds_is_in_order() -> None:
    """V3's plate within a range that is too wide to judge by led to “V3 is weak” beside “all lie as they should”."""
    findings = makers.found("readings", SET.format(plate=122, v3=30))
    assert findings.circuit.holds_all
    assert findings.causes[-1].in_order
    assert findings.causes[-1].suspect is None
    off = makers.found("readings", SET.format(plate=60, v3=30))
    assert not off.circuit.holds_all
    assert not off.causes[-1].in_order


OCTODE = """line: 240 V 50 Hz
power: transformer
chassis: isolated
tubes:
  V1: EK2
  V2: EF9
  V3: EBL1
  V4: AZ1
parts:
  R1: keep, 470 ohm, between V1 cathode and chassis
  R2: keep, 53 k, between V1 osc grid and chassis
  R7: keep, 330 ohm, between V2 cathode and chassis
  R8: keep, 91 k, between V2 screen and HT2
  R12: keep, 150 ohm, between V3 cathode and chassis
  R13: keep, 500 k, between V3 grid and chassis
  R15: keep, 1500 ohm, between HT1 and HT2
wires:
  - V2 plate, V3 screen, HT2
  - V1 plate, HT2
  - V4 filament, HT1
readings:
  after:
    line: 239 V
    meter: 10 meg
    to: chassis
    V3: plate 249, screen 261, cathode 6.3, grid 0
    V2: plate 260, screen 106, cathode 2.3
    V1: plate 260, cathode 2.0, osc grid -8
    HT1: 345
    HT2: 261
"""


def test_the_grid_of_an_oscillator_whose_type_has_no_point_is_no_evidence() -> None:
    """-8 V on 53 kohm is an octode that oscillates; “two faults, a misread place” was told of a set in order."""
    (after,) = makers.found("readings", OCTODE).causes
    assert not after.no_single_fault
    assert after.first.subject is None
    assert not any("V1 osc grid" in cause.leaves for cause in after.ranked)


@pytest.mark.parametrize(
    ("cathode", "leak", "unknown"), [("V3", "V3", {"V3"}), ("V3", "V2", set()), ("V3", "", set()), ("", "V3", set())]
)
def test_a_tube_of_which_nothing_says_its_bias_is_not_told_to_be_weak(
    cathode: str, leak: str, unknown: set[str]
) -> None:
    """Cathode taken at chassis and grid through 470 kohm, both for want of a part: “V3 is weak” of a set in order."""
    taken = [TakenAs("at the bottom", Place(cathode, "k", electrode="cathode"))] if cathode else []
    taken += [TakenAs("grid leak", Place(leak, "g1", electrode="grid"))] if leak else []
    closed = replace(close(makers.circuit(OCTODE), "after"), taken=tuple(taken))
    assert of_unknown_bias(closed) == unknown
