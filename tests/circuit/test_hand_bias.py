"""A volume control in a cathode's way: its whole value made a sound 24A leak from heater to cathode."""

from __future__ import annotations

import pytest

import makers
from benchleaf.chapters.readings.runs import told_apart
from benchleaf.chapters.readings.told_causes import run_causes
from benchleaf.circuit.hand_bias import biases_by_hand

SET = """line: 115 V 60 Hz
power: transformer
chassis: isolated
tubes:
  V1: 24A, RF
  V2: 24A, RF
  V5: 45, output
  V7: 80, rectifier
parts:
  R1: 330 ohm, V1 cathode to vol
  VR1: 10k{job}, vol to chassis
  R4: 1500 ohm, V5 cathode to chassis
  R5: 700 ohm, HT1 to HT2
  R6: 60k, V1 screen to HT2
  T1: output transformer, 300 ohm, V5 plate to HT1
wires:
  - V1 plate, HT2
  - V2 plate, HT2
  - V1 screen, V2 screen
readings:
  run:
    line: 115
    to: chassis
    controls: vol full
    HT1: 300
    HT2: 180
    V1: plate 180, screen 90, cathode 3
    V5: plate 290, cathode 50
"""


@pytest.mark.parametrize(
    ("name", "said", "control"),
    [
        ("VR1", "10k, vol to chassis", True),
        ("R9", "10k, volume control, vol to chassis", True),
        ("R9", "10k potentiometer, vol to chassis", True),
        ("R9", "10k, bias, vol to chassis", False),
        ("R9", "10k, volume control, HT2 to chassis", False),
        ("R9", "500k, volume control, V1 grid to chassis", False),
    ],
)
def test_a_control_in_a_cathodes_way_may_stand_anywhere(name: str, said: str, control: bool) -> None:
    text = SET.replace("VR1: 10k{job}, vol to chassis", f"{name}: {said}")
    circuit = makers.circuit(text)
    element = next(one for one in circuit.network.elements if one.name == name)
    assert biases_by_hand(circuit.network, element) is control


def test_nothing_is_judged_by_where_nobody_knows_a_control_stands() -> None:
    bench = makers.bench(SET.format(job=", volume control"))
    circuit = makers.found("readings", bench).circuit
    at = {one.place: one for one in circuit.places}
    assert not at["V1 cathode"].judged
    assert any("nobody knows where a control" in one.said() for one in circuit.taken)
    expected, measured = told_apart(bench)
    told = [cause.cause for one in run_causes(measured, expected, bench) for cause in one.ranked if cause.suspect]
    assert not any("heater to cathode" in cause for cause in told), told
