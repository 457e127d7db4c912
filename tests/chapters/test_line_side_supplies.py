"""Direct current, transformers, earth: other supplies than a series string on alternating current."""

from __future__ import annotations

import math

import pytest

import makers
from benchleaf.record.units import say
from benchleaf.report.findings import DANGER, FAULT
from line_sides import at, one_state


def test_direct_current_mains_pass_resistors_only_and_have_their_own_limit() -> None:
    """110 V DC through 1 Mohm and the 2000 ohm of the body; 2 mA: U1 1.0 V DC of IEC 60065."""
    findings = one_state(
        "switch: hot lead\nB- to chassis: 1 meg, 10 nF\ntouchable: chassis, aerial socket through 500 pF",
        line="110 V DC",
        chassis="through R and C",
    )
    assert (findings.limit_kind, findings.limit_amps) == ("dc", 2e-3)
    chassis = at(findings.after, "reversed", "on")
    assert chassis.touch_amps_rms == pytest.approx(110 / 1.002e6)
    assert chassis.touch_amps_peak == chassis.touch_amps_rms
    assert chassis.residual_current_device_5_ma is None
    aerial = at(findings.after, "reversed", "on", part="aerial socket")
    assert (aerial.no_load_volts, aerial.touch_amps_rms) == (None, 0)
    assert findings.after is not None
    assert findings.after.b_minus_network is not None
    assert findings.after.b_minus_network.reactance_ohms is None


def test_isolated_chassis_without_capacitors_floats() -> None:
    findings = one_state("switch: double-pole\ntouchable: chassis", power="transformer", chassis="isolated")
    assert findings.after is not None
    assert findings.after.floats
    for state in findings.after.normal:
        assert (state.no_load_volts, state.touch_amps_rms, state.over_limit) == (None, 0, False)
    assert findings.after.earth == "may be fitted"


def test_two_capacitors_hold_a_transformer_chassis_at_half_the_line() -> None:
    findings = one_state(
        "switch: double-pole\nline to chassis: 10 nF both leads\ntouchable: chassis",
        line="240 V 50 Hz",
        power="transformer",
        chassis="isolated",
    )
    assert at(findings.after, "right", "on").no_load_volts == pytest.approx(120)
    assert at(findings.after, "right", "on").prospective_amps == pytest.approx(240 * 2 * math.pi * 50 * 10e-9)


def test_broken_earth_lead_leaves_the_chassis_to_its_capacitors() -> None:
    written = (
        "plug: three-pin with earth\nswitch: double-pole\nline to chassis: 2.2 nF Y2 both leads\ntouchable: chassis"
    )
    findings = one_state(written, line="240 V 50 Hz", power="transformer", chassis="earthed")
    assert findings.after is not None
    assert findings.after.earth == "fitted"
    assert at(findings.after, "right", "on").touch_amps_rms == 0
    assert at(findings.after, "right", "on", "earth lead broken").no_load_volts == pytest.approx(120)
    chafed = at(findings.after, "right", "on", "hot lead chafed to chassis")
    assert (chafed.short_circuit, chafed.over_limit, chafed.no_load_volts) == (True, None, None)
    assert all(s.severity < DANGER for s in makers.standouts("line_side", "", findings))


def test_earth_on_a_live_chassis_is_computed_as_a_short_circuit_and_is_a_danger() -> None:
    findings = one_state("plug: three-pin with earth\nswitch: hot lead\ntouchable: chassis", chassis="line-connected")
    assert findings.after is not None
    assert findings.after.earth == "fitted, a short circuit"
    reversed_on = at(findings.after, "reversed", "on")
    assert (reversed_on.short_circuit, reversed_on.over_limit) == (True, True)
    assert at(findings.after, "right", "on").short_circuit is False
    first = makers.standouts("line_side", "", findings)[0]
    assert first.severity == DANGER
    assert "shorted" in first.text


def test_earth_behind_a_resistor_and_a_capacitor_is_one_fault_from_a_short_circuit() -> None:
    findings = one_state(
        "plug: three-pin with earth\nswitch: hot lead\nB- to chassis: 1 meg, 3.3 nF Y1\ntouchable: chassis",
        chassis="through R and C",
    )
    assert findings.after is not None
    assert findings.after.earth == "fitted, one fault from a short circuit"
    assert at(findings.after, "reversed", "on").short_circuit is False
    assert at(findings.after, "reversed", "on", "B- to chassis capacitor shorted").short_circuit is True
    assert makers.standouts("line_side", "", findings)[0].severity == DANGER


@pytest.mark.parametrize(
    ("power", "chassis", "offered"),
    [
        ("transformer", "isolated", True),
        ("transformer", "", True),
        ("transformer", "line-connected", False),
        ("autotransformer", "isolated", False),
        ("autotransformer", "", False),
        ("series string", "isolated", False),
        ("series string", "through R and C", False),
        ("three-way", "", False),
    ],
)
def test_earth_is_offered_only_behind_a_double_wound_transformer(power: str, chassis: str, offered: bool) -> None:
    after = one_state("switch: hot lead\ntouchable: chassis", power=power, chassis=chassis).after
    assert after is not None
    assert after.earth == ("may be fitted" if offered else "must not be fitted")


def test_instrument_clipped_to_a_live_chassis_is_a_short_circuit_one_way_round() -> None:
    after = one_state("switch: hot lead\ntouchable: chassis", chassis="line-connected").after
    assert at(after, "reversed", "on", "earthed instrument on the chassis").short_circuit is True
    assert at(after, "right", "on", "earthed instrument on the chassis").short_circuit is False


def test_blown_fuse_in_the_return_lead_leaves_the_chassis_at_the_line() -> None:
    written = "switch: double-pole\nfuse: 0.3 A slow in return lead\ntouchable: chassis"
    findings = one_state(written, line="230 V 50 Hz", chassis="line-connected")
    assert at(findings.after, "right", "on").touch_amps_rms == 0
    assert at(findings.after, "right", "on", "return fuse blown").no_load_volts == pytest.approx(230)
    assert any("fuse sits in the return lead" in c.text and c.severity == FAULT for c in findings.checks)


FLOATS = """line: 232 V 50 Hz
power: transformer
chassis: isolated
line side:
  after:
    plug: two-pin, either way
    switch: double-pole
    touchable: chassis
  measured:
    - 2023-09-30, chassis, {measured}
"""


@pytest.mark.parametrize(
    ("measured", "agrees"),
    [
        ("50 uA", True),
        ("0.05 mA across 2 kohm", True),
        ("115 V", True),
        ("0.4 mA", False),
        ("0 uA", True),
    ],
)
def test_stray_capacitance_of_a_transformer_is_in_the_band_of_what_was_measured(measured: str, agrees: bool) -> None:
    """700 pF from primary to core pass 232 V x 2 pi x 50 Hz x 700 pF = 51 uA; the page told that a sound set was not
    wired as written."""
    text = FLOATS.format(measured=measured)
    found = makers.findings("line_side", text)
    (touch,) = found.measured
    assert touch.agrees is agrees
    beside = touch.amps or touch.volts
    assert beside.computed == 0
    if touch.amps:
        assert beside.strays == pytest.approx(beside.high)
        assert beside.strays == pytest.approx(2 * math.pi * 50 * 2e-9 * 255, rel=0.02)
    told = [s.text for s in makers.standouts("line_side", text) if "not wired as written" in s.text]
    assert bool(told) is not agrees
    assert all("with its transformer’s stray capacitance" in one for one in told)
    shown = makers.plain(makers.page("line_side", text))
    assert "stray capacitance of the transformer’s primary to its core, at most 2 nF" in shown


def test_a_line_connected_set_has_no_such_band() -> None:
    text = FLOATS.format(measured="50 uA").replace("transformer", "series string")
    (touch,) = makers.findings("line_side", text).measured
    assert touch.amps.strays is None


ON_THE_NEUTRAL = """line: 240 V 50 Hz
power: series string
chassis: {chassis}
line side:
  after:
    plug: two-pin, either way
    switch: double-pole
    touchable: chassis
{between}  measured:
    - chassis, {measured}
"""
R_AND_C = "    B- to chassis: 47 nF 250 V, 220 kohm\n"


@pytest.mark.parametrize(
    ("between", "measured", "agrees"),
    [
        ("", "0.3 V, plug right, switch on", True),
        ("", "2.4 V, plug right, switch on", True),
        ("", "9 V, plug right, switch on", False),
        ("", "0.3 V, plug reversed, switch on", False),
        ("", "240 V, plug reversed, switch on", True),
        (R_AND_C, "40 uA across 2 kohm, plug right, switch on", True),
        (R_AND_C, "0.4 mA across 2 kohm, plug right, switch on", False),
    ],
)
def test_a_neutral_is_some_volts_above_earth(between: str, measured: str, agrees: bool) -> None:
    """At 2 % of 264 V a chassis on the neutral has 5.3 V, and 47 nF beside 220 kohm (65 kohm at 50 Hz) pass 81 uA."""
    chassis = "through R and C" if between else "line-connected"
    text = ON_THE_NEUTRAL.format(chassis=chassis, between=between, measured=measured)
    found = makers.findings("line_side", text)
    (touch,) = found.measured
    assert touch.agrees is agrees
    told = [s.text for s in makers.standouts("line_side", text) if "not wired as written" in s.text]
    assert bool(told) is not agrees
    beside = touch.amps or touch.volts
    if "right" in measured:
        assert beside.low == 0
        assert beside.high == pytest.approx(81e-6 if between else 5.28, rel=0.03)
    shown = makers.plain(makers.page("line_side", text))
    assert "and of a neutral that is 2 % of the line above or below ground" in shown.replace("\u00a0", " ")


@pytest.mark.parametrize(
    ("position", "agrees"),
    [("", None), (", plug right", True), (", plug reversed, switch on", False), (", plug right, switch on", True)],
)
def test_a_reading_that_fits_some_of_positions_far_apart_tells_nothing(position: str, agrees: bool | None) -> None:
    """“Band 0 to 104 mA: agrees” stood beside 30 uA of a set that was not wired as written: any reading agreed."""
    measured = f"15 uA across 2 kohm{position}"
    text = ON_THE_NEUTRAL.format(chassis="through R and C", between=R_AND_C, measured=measured)
    (touch,) = makers.findings("line_side", text).measured
    assert touch.agrees is agrees
    page = makers.plain(makers.page("line_side", text))
    assert ("cannot be compared" in page) is (agrees is None)


def test_a_reading_between_two_positions_is_not_in_the_band_that_is_printed() -> None:
    """“Band 0 A to 6 mA: disagrees” stood beside 1 mA: nothing is read between the plug right and reversed."""
    text = ON_THE_NEUTRAL.format(chassis="through R and C", between=R_AND_C, measured="1 mA across 2 kohm")
    (touch,) = makers.findings("line_side", text).measured
    assert touch.agrees is False
    (low, high), *_, (least, most) = touch.amps.bands
    assert low == 0
    assert high < 1e-3 < least < most
    assert (touch.amps.low, touch.amps.high) == (low, most)
    page = makers.plain(makers.page("line_side", text))
    assert makers.plain(" or ".join(f"{say(a, 'A')} to {say(b, 'A')}" for a, b in touch.amps.bands)) in page
    (told,) = [s.text for s in makers.standouts("line_side", text) if "not wired as written" in s.text]
    assert f"{say(least, 'A')} to {say(most, 'A')}, as plug and switch are" in told


def test_a_capacitor_taken_out_adds_no_fault_and_a_short_circuit_is_no_current_through_a_hand() -> None:
    """“0.292 mA → short circuit, then over the limit” advised to leave a capacitor from line to chassis in."""
    findings = one_state(
        "plug: three-pin with earth\nswitch: hot lead\nearth lead: third pin to chassis\n"
        "line to chassis: 4.7 nF Y2\ntouchable: chassis",
        chassis="earthed",
        power="transformer",
    )
    (out,) = [one for one in findings.one_change if "taken out" in one.what]
    assert "then over the limit" not in out.gain
    assert "no longer over the limit" not in out.gain
    assert "nothing through a hand, at most a short circuit" in out.gain


def test_what_floats_before_the_work_is_not_known_and_no_naught_under_the_limit() -> None:
    """A two-pin set that nothing joins to the line stood as “0 mA” before, though windings leak what nobody wrote."""
    text = (
        "maker: A\nmodel: B\nline: 230 V 50 Hz\npower: transformer\nnameplate: 50 W\nline side:\n"
        "  before:\n    plug: two-pin, either way\n    switch: hot lead\n    touchable: chassis\n"
        "  after:\n    plug: three-pin with earth\n    switch: hot lead\n    earth lead: third pin to chassis\n"
        "    touchable: chassis\n"
    )
    short = makers.digest("line_side", text)
    (through,) = [one for one in short.brief.compared if one.label.startswith("Through a hand")]
    assert through.before == ()
    row = next(row for row in short.table.rows() if "Nothing wrong" in str(row.head))
    assert "not known: it floats" in str(row.cells[0])
