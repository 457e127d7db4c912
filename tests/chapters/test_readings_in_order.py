"""No part is suspected in a list whose every reading lies within what the set's own circuit makes."""

from __future__ import annotations

from dataclasses import replace

import pytest

import makers
from benchleaf.chapters.readings.runs import Conditions
from benchleaf.chapters.readings.worked_out import LEAST_HELD, FromTheCircuit, WorkedOut
from benchleaf.circuit.places import Place

SET = """line: 120 V 60 Hz
power: series string
tubes:
  V3: 12AV6
  V4: 50C5
  V5: 35W4
parts:
  C7: keep, 10 nF 400 V paper, between V3 plate and V4 grid
  R5: keep, 470 k, between V3 plate and B+2
  R6: keep, 470 k, between V4 grid and B-
  R8: keep, 150 ohm, between V4 cathode and B-
  R9: keep, 1 k, between B+1 and B+2
  T3: keep, output transformer 200 ohm, between V4 plate and B+1
wires:
  - V5 cathode, B+1
  - V4 screen, B+2
readings:
  2026-03-04:
    line: 120 V
    to: B-
    V4: plate {plate}, screen 128, cathode 8.4, grid 0
    V3: plate {v3}
    B+1: 133
    B+2: 128
"""


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
