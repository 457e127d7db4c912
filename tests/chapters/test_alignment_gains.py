"""Gain by stage from levels that give the same output, beside the gain that is worked out of the stage."""

from __future__ import annotations

import math

import pytest

import makers
from benchleaf.chapters.alignment.stage_gains import StageGain
from benchleaf.circuit.place import place
from markup import words_of

SET = """tubes:
  V1: 12SQ7
  V2: 50L6
power: series string
line: 120 V 60 Hz
parts:
  R1: 220 k, between V1 plate and B+1
  R2: 470 k, between V2 grid and B-
  C1: 10 nF, between V1 plate and V2 grid
  R3: 10 megohm, between V1 grid and B-
readings:
  after 2026-03-01:
    V1: plate 60
    V2: plate 110, screen 112, cathode 7
    B+1: 112
alignment:
  - date: 2026-03-20
    meter: output
    levels:
"""


def _gains(*lines: str) -> tuple[StageGain, ...]:
    text = SET + "".join(f"      {line}\n" for line in lines)
    gains: tuple[StageGain, ...] = makers.examined(text).findings["alignment"].sessions[0].gains
    return gains


@pytest.mark.parametrize("turned", [False, True], ids=["from the speaker back", "from the aerial on"])
def test_the_gain_of_a_stage_is_what_the_next_needs_through_what_it_needs(turned: bool) -> None:
    """20 log 40 = 32.0 dB (ISO 80000-3)."""
    lines = ["V2 grid: 1.2 V, 400 Hz", "V1 grid: 30 mV, 400 Hz"]
    (gain,) = _gains(*(reversed(lines) if turned else lines))
    assert (gain.at, gain.towards, gain.stage) == ("V1 grid", "V2 grid", "V1")
    assert gain.gain_times == pytest.approx(40)
    assert gain.gain_db == pytest.approx(20 * math.log10(40), abs=0.05)


@pytest.mark.parametrize(("level", "verdict"), [("30 mV", "within"), ("120 mV", "low"), ("6 mV", "high")])
def test_it_stands_beside_what_is_worked_out_of_that_stage(level: str, verdict: str) -> None:
    text = SET + f"      V2 grid: 1.5 V\n      V1 grid: {level}\n"
    examined = makers.examined(text)
    gain = examined.findings["alignment"].sessions[0].gains[0]
    worked_out = examined.findings["readings"].signal[0].gain_times
    assert (gain.worked_out_times, gain.low_times, gain.high_times) == (
        worked_out.value,
        worked_out.low,
        worked_out.high,
    )
    assert gain.verdict == verdict


def test_a_detector_or_a_further_stage_between_two_points_is_not_held_against_one_stage() -> None:
    """At two frequencies something between changes them; from V1 to V2's plate there are two stages."""
    (changed,) = _gains("V2 grid: 1.2 V, 400 Hz", "V1 grid: 30 mV, 455 kHz")
    assert changed.changes_frequency
    assert changed.worked_out_times is None
    (two,) = _gains("V2 plate: 20 V", "V1 grid: 30 mV")
    assert (two.stage, two.verdict) == ("", "")
    (one,) = _gains("V2 plate: 20 V", "V2 grid: 1 V")
    assert (one.stage, one.verdict) == ("V2", "within")


def test_the_page_says_both_and_needs_no_step() -> None:
    text = SET + "      V2 grid: 1.5 V\n      V1 grid: 30 mV\n"
    found = makers.examined(text).findings["alignment"]
    said = makers.plain(words_of(makers.page("alignment", text, found)))
    assert "Levels were read on 2026-03-20." in said
    assert "× 50" in said
    assert "+34.0 dB" in said
    assert "as worked out" in said


def test_a_place_that_is_none_is_asked() -> None:
    said = makers.told(place, makers.record(SET + "      V9 grid: 1.5 V\n"))
    assert any("alignment.levels" in line and "V9" in line for line in said)
