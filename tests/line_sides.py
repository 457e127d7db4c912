"""Line sides that more than one test file examines, and their states."""

from __future__ import annotations

import math
from typing import Any

import makers
from benchleaf.chapters.line_side.findings import LineSideFindings, StateFindings
from benchleaf.chapters.line_side.states import TouchState

FIVE_TUBE = """
maker: Larkfield
model: Minuet 5
nameplate: 105-125 V, AC/DC, 30 W
line: 120 V 60 Hz
power: series string
chassis: through R and C
bands:
  MW: 540-1620 kHz
line side:
  before:
    plug: two-pin, either way
    switch: B- lead
    fuse: none
    B- to chassis: 330 kohm, 0.05 uF paper
    touchable: chassis through the knob screws, aerial socket through 500 pF
  after:
    plug: two-pin polarised
    cord: two-core, anchored
    switch: hot lead
    fuse: 0.5 A slow in hot lead
    B- to chassis: 1 meg 0.5 W 500 V, 3.3 nF Y1
    touchable: chassis, nylon knob screws fitted, aerial socket through 500 pF Y1
"""
EUROPEAN_SET = """line: 220 V 50 Hz
nameplate: 220 V, 35 W
power: series string
chassis: line-connected
line side:
  before:
    plug: two-pin, either way
    switch: double-pole
    fuse: 0.3 A slow in return lead
    across the line: 10 nF
    touchable: chassis through the grub screws, aerial socket through 2 nF, earth socket through 5 nF, pick-up socket
  after:
    plug: two-pin, either way
    switch: double-pole
    fuse: 0.315 A slow in both leads
    across the line: 10 nF X2
    touchable: nothing, aerial socket through 470 pF Y2 and 470 pF Y2 in series, earth socket through 2.2 nF Y1
"""
TRANSFORMER_SET = """line: 240 V 50 Hz
nameplate: 200-250 V AC, 70 W
power: transformer
chassis: earthed
line side:
  before:
    plug: two-pin
    switch: hot lead
    line to chassis: 10 nF paper hot lead, 10 nF paper return lead
    touchable: chassis, pick-up socket, speaker socket
  after:
    plug: three-pin with earth
    cord: three-core
    switch: double-pole
    fuse: 1 A slow in hot lead
    line to chassis: 2.2 nF Y2 hot lead, 2.2 nF Y2 return lead
    touchable: chassis, speaker socket
"""


def found(text: str, **more: Any) -> LineSideFindings:
    return makers.found("line_side", makers.bench(text, **more))


def one_state(
    after: str, line: str = "120 V 60 Hz", power: str = "series string", chassis: str = "", watts: str = "30 W"
) -> LineSideFindings:
    """Findings of a set with one written state, its lines given without indentation."""
    written = "".join(f"    {row.strip()}\n" for row in after.strip().splitlines())
    stated = f"chassis: {chassis}\n" if chassis else ""
    plate = f"nameplate: {watts}\n" if watts else ""
    head = f"maker: A\nmodel: B\nline: {line}\npower: {power}\n{stated}{plate}"
    return found(f"{head}line side:\n  after:\n{written}")


def at(side: StateFindings | None, plug: str, switch: str, fault: str = "none", part: str = "chassis") -> TouchState:
    assert side is not None
    (state,) = [s for s in side.states if (s.plug, s.switch, s.fault, s.part) == (plug, switch, fault, part)]
    return state


def body_ohms(hertz: float) -> tuple[complex, float]:
    """Impedance of the IEC 60990 Figure 4 network and U2 for each ampere through it, in closed form."""
    omega = 2 * math.pi * hertz
    skin = 1 / (1 / 1500 + 1j * omega * 0.22e-6)
    weighting = 10e3 + 1 / (1j * omega * 22e-9)
    inner = 1 / (1 / 500 + 1 / weighting)
    u2 = inner * (1 / (1j * omega * 22e-9)) / weighting
    return skin + inner, abs(u2)
