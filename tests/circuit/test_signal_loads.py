"""Stages whose resistor at the plate only feeds a coil: no gain is worked out of them, nor of what hangs on it."""

from __future__ import annotations

import re

import pytest

import makers
from benchleaf.chapters.readings.signal_figures import StageSignal

SET = """\
line: 120 V 60 Hz
power: series string
chassis: isolated
IF: 455 kHz
tubes:
  V2: {tube}
  V3: 12SQ7{jobs}
  V4: 50L6GT
  V5: 35Z5GT
parts:
  R1: 220 kohm 10 %, between V3 plate and B+2
  R2: 10 meg, between V3 grid and B-
  R3: 470 kohm, between V4 grid and B-
  R4: 150 ohm 10 %, between V4 cathode and B-
  R5: 1 kohm 10 %, between B+1 and B+2
  R6: 100 ohm 10 %, between V2 cathode and B-
  R7: 10 kohm 10 %, between V2 screen and B+2
  T1: job output transformer 2.5 kohm to 3.2 ohm, 220 ohm, between V4 plate and B+1
  C1: 0.01 uF 400 V paper, between V3 plate and V4 grid
  C2: 40 uF 150 V electrolytic, between B+1 and B-
  C3: 20 uF 150 V electrolytic, between B+2 and B-
{parts}wires:
  - V4 screen, B+2
  - V3 cathode, B-
readings:
  after 2026-03-01:
    V2: plate 90, screen 85, cathode 1
    V3: plate 60
    V4: plate 110, cathode 7
    B+1: 120
    B+2: 100
alignment:
  - date: 2026-03-20
    meter: output
    levels:
      V4 grid: 1.2 V, 400 Hz
      V3 grid: 30 mV, 400 Hz
      V2 plate: 100 mV, 455 kHz
      V2 grid: 1 mV, 455 kHz
"""
DROPPER = "  R8: 2.2 kohm 10 %, between V2 plate and B+2\n"
TRANSFORMER = "  T2: second IF transformer, 12 ohm, between V2 plate and B+2\n"
COUPLED = "  R8: 100 kohm, between V2 plate and B+2\n  C9: 10 nF, between V2 plate and V3 grid\n"
ONWARD = "  R8: 100 kohm, between V2 plate and B+2\n  C9: 10 nF, between V2 plate and V4 grid\n"


def _text(tube: str, parts: str, jobs: str = "") -> str:
    return SET.format(tube=tube, parts=parts, jobs=jobs)


def _signal(text: str, stage: str = "V2") -> StageSignal:
    signal: tuple[StageSignal, ...] = makers.found("readings", text).signal
    return next(one for one in signal if one.stage == stage)


@pytest.mark.parametrize(
    ("tube", "parts", "why"),
    [
        ("12SK7, IF amplifier", DROPPER, "job"),
        ("12SK7, IF amplifier", TRANSFORMER, "job"),
        ("12SK7, RF amplifier", COUPLED, "job"),
        ("6SJ7, limiter", DROPPER, "job"),
        ("6J5, oscillator", DROPPER, "job"),
        ("12SK7", DROPPER, "type"),
        ("12SK7", TRANSFORMER, "coil"),
        ("12SK7", "", "nothing"),
        ("6SJ7", DROPPER + "  C9: 50 nF, between V2 plate and B-\n", "bypass"),
        ("6SJ7", "  R8: 2.2 kohm, between V2 plate and HT X\n  R9: 1 kohm, between HT X and B+2\n"
         "  C9: 4.7 nF, between HT X and B-\n", "bypass"),
        ("6SJ7", DROPPER, ""),
        ("6SJ7", "  R8: 100 kohm, between V2 plate and B+2\n  C9: 10 nF, between V2 plate and B-\n", ""),
        ("6SJ7", COUPLED + "  C10: 220 pF, between V2 plate and B-\n", ""),
        ("12SK7", COUPLED, ""),
        ("6SJ7, detector", "  R8: 100 kohm, between V2 plate and B+2\n  C9: 500 pF, between V2 plate and B-\n", ""),
        ("12SK7, reflex IF and first AF", DROPPER, "job"),
        ("12SK7, reflex IF and first AF", ONWARD, ""),
    ],
)  # fmt: skip
def test_only_a_load_that_is_known_makes_a_gain(tube: str, parts: str, why: str) -> None:
    """4.7 nF is 85 kohm at 400 Hz, 50 nF 8 kohm: nothing beside 2.2 kohm; 10 nF is 40 kohm, a tone cut at 100 kohm."""
    circuit = makers.circuit(_text(tube, parts))
    plate = circuit.places.read("V2 plate")
    assert circuit.load_unknown(plate) == why
    assert (circuit.load(plate) is None) == bool(why)


def test_a_plate_that_stands_on_a_rail_does_not_work_into_what_feeds_the_rail() -> None:
    circuit = makers.circuit(_text("6J5", "").replace("wires:\n", "wires:\n  - V2 plate, B+2\n"))
    plate = circuit.places.read("V2 plate")
    assert circuit.network.feeds(plate)
    assert (circuit.load(plate), circuit.load_unknown(plate)) == (None, "nothing")


def test_what_hangs_on_an_unknown_load_is_not_worked_out_either() -> None:
    unknown, known = _signal(_text("12SK7, RF amplifier", COUPLED)), _signal(_text("12SK7", COUPLED))
    assert (unknown.gain_times, unknown.load_ohms, unknown.output_ohms) == (None, None, None)
    assert (unknown.load_how, unknown.load_unknown, unknown.couplings) == ("", "job", ())
    assert known.load_unknown == ""
    assert None not in (known.gain_times, known.load_ohms, known.output_ohms)
    assert len(known.couplings) == 1


def test_the_stages_for_sound_beside_it_keep_their_gains() -> None:
    text = _text("12SK7, IF amplifier", DROPPER)
    signal: dict[str, StageSignal] = {one.stage: one for one in makers.found("readings", text).signal}
    driver, output = signal["V3"], signal["V4"]
    assert (driver.load_how, driver.load_unknown) == ("resistors", "")
    assert (output.load_how, output.load_unknown) == ("reflected", "")
    assert driver.gain_times is not None
    assert output.gain_times is not None


def test_a_bulb_with_an_if_and_a_sound_section_is_told_apart() -> None:
    """ECF80: the pentode has an IF transformer behind its resistor, the triode its resistor and the next grid."""
    both = "  R8: 1 kohm, between V2 plate and B+2\n  R9: 100 kohm, between V2 triode plate and B+2\n"
    circuit = makers.circuit(_text("ECF80, IF amplifier, first audio", both))
    assert circuit.load_unknown(circuit.places.read("V2 pentode plate")) == "job"
    assert circuit.load(circuit.places.read("V2 triode plate")) is not None
    mixing = makers.circuit(_text("ECF80, mixer and oscillator", both))
    assert mixing.load(mixing.places.read("V2 triode plate")) is None


def test_no_user_of_the_figures_says_a_gain_of_it() -> None:
    """The table of gains, the way of the signal and the page of the voltages, with and without the transformer."""
    for parts in (DROPPER, TRANSFORMER):
        text = _text("12SK7, IF amplifier", parts, ", detector and first audio")
        examined = makers.examined(text)
        gain = examined.findings["alignment"].sessions[0].gains[0]
        assert (gain.at, gain.stage, gain.gain_times) == ("V2 grid", "V2", pytest.approx(100))
        assert (gain.worked_out_times, gain.verdict) == (None, "")
        path = {s.stage: s.gain_times for one in examined.findings["how_it_works"].stages() for s in one.worked_out}
        assert path["V2"] is None
        assert path["V3"] is not None
        page = makers.plain(makers.page("readings", text, examined.findings["readings"]))
        assert "V2: no gain, as the load for signals is not known." in page
        assert not re.search(r"V2: gain =", page)
