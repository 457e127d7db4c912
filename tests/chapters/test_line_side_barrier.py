"""What stands between the line and a hand, and what was measured there."""

from __future__ import annotations

import math

import pytest

import makers
from benchleaf.chapters.line_side.findings import LineSideFindings
from benchleaf.report.findings import FAULT
from benchleaf.report.verdict import Verdict
from line_sides import FIVE_TUBE, at, body_ohms, found, one_state


def test_reactance_shares_and_largest_capacitor_of_the_new_network() -> None:
    """1/(2 pi 60 Hz 3.3 nF) is 803.8 kohm; 132 V peak is 186.7 V; the largest value meets the limit by definition."""
    findings = found(FIVE_TUBE)
    assert findings.after is not None
    network = findings.after.b_minus_network
    assert network is not None
    assert network.reactance_ohms == pytest.approx(1 / (2 * math.pi * 60 * 3.3e-9))
    assert (network.resistor_amps, network.carries_more) == (pytest.approx(120e-6), "capacitor")
    assert network.capacitor_amps == pytest.approx(120 * 2 * math.pi * 60 * 3.3e-9)
    assert network.barrier_peak_volts == pytest.approx(132 * math.sqrt(2))
    assert network.resistor_rating_enough is True
    assert network.class_enough is True
    body, u2 = body_ohms(60)
    assert network.largest_farads is not None
    barrier = 1 / (1e-6 + 2j * math.pi * 60 * network.largest_farads * 1.2)
    assert abs(132 / (barrier + body)) * u2 / 500 * math.sqrt(2) == pytest.approx(0.7e-3, rel=1e-6)
    (rf,) = network.radio_frequency
    assert rf.ohms == pytest.approx(abs(1 / complex(1e-6, 2 * math.pi * 540e3 * 3.3e-9)))


def test_resistor_that_is_over_the_limit_alone_leaves_no_room_for_a_capacitor() -> None:
    findings = one_state(
        "switch: hot lead\nB- to chassis: 100 kohm, 1 nF Y1\ntouchable: chassis", chassis="through R and C"
    )
    assert findings.after is not None
    network = findings.after.b_minus_network
    assert network is not None
    assert (network.largest_farads, network.resistor_over_limit) == (None, True)
    assert any("alone lets more current through" in c.text for c in findings.checks)


def test_resistor_rated_below_the_peak_of_the_high_line_is_a_fault() -> None:
    """230 V + 10 % is 253 V, 358 V peak; a common half-watt resistor is rated 350 V."""
    findings = one_state(
        "switch: hot lead\nB- to chassis: 1 meg 350 V, 1 nF Y1\ntouchable: chassis",
        line="230 V 50 Hz",
        chassis="through R and C",
    )
    assert any("rated for less than the peak" in c.text and c.severity == FAULT for c in findings.checks)


@pytest.mark.parametrize(
    ("written", "enough"),
    [
        ("3.3 nF Y1", True),
        ("4.7 nF Y2 and 4.7 nF Y2 in series", True),
        ("4.7 nF Y2", False),
        ("4.7 nF Y2 and 4.7 nF Y2", False),
        ("10 nF X2", False),
        ("10 nF 630 V film", None),
    ],
)
def test_class_between_line_and_hand(written: str, enough: bool | None) -> None:
    """Y1 or two Y2 in series: draft amendment 4 to IEC 950, 2.2.8.1, as quoted on the emc-pstc list, message 920.

    One Y2 was told as a fault by “common practice, no source”. What was read second hand is one to watch; that class X
    is not for such a place is the standard's own definition.
    """
    findings = one_state(
        f"switch: hot lead\nB- to chassis: 1 meg, {written}\ntouchable: chassis", chassis="through R and C"
    )
    assert findings.after is not None
    assert findings.after.b_minus_network is not None
    assert findings.after.b_minus_network.class_enough is enough
    told = [c for c in findings.checks if "class" in c.text]
    of_y = Verdict.WATCH if "Y2" in written else Verdict.FAULT
    assert [c.verdict for c in told] == {True: [], False: [of_y], None: [Verdict.NOTE]}[enough]
    assert all("belongs Y1, or two Y2 in series" in c.text and "no source" not in c.text for c in told)


@pytest.mark.parametrize("line", ["120 V 60 Hz", "230 V 50 Hz"])
@pytest.mark.parametrize(("plug", "told"), [("two-pin, either way", True), ("three-pin with earth", False)])
def test_one_y2_from_line_to_a_chassis_that_can_be_touched(line: str, plug: str, told: bool) -> None:
    """With an earth wire it bridges basic insulation, for which Y2 is accepted."""
    after = f"plug: {plug}\nswitch: double-pole\nline to chassis: 2.2 nF Y2 both leads\ntouchable: chassis"
    checks = [c for c in one_state(after, line, "transformer", "isolated").checks if "Y2 alone" in c.text]
    assert [c.verdict for c in checks] == [Verdict.WATCH] * told


def test_of_two_capacitors_in_series_one_may_short() -> None:
    """The point of two Y2: with one of them gone the other still stands."""
    findings = one_state(
        "switch: hot lead\nB- to chassis: 4.7 nF Y2 and 4.7 nF Y2 in series\ntouchable: chassis",
        chassis="through R and C",
    )
    normal = at(findings.after, "reversed", "on").prospective_amps
    shorted = at(findings.after, "reversed", "on", "B- to chassis capacitor shorted").prospective_amps
    assert normal == pytest.approx(120 * 2 * math.pi * 60 * 2.35e-9)
    assert shorted == pytest.approx(120 * 2 * math.pi * 60 * 4.7e-9)


def test_leakage_of_an_old_capacitor_stands_beside_it() -> None:
    """38 uA at 200 V is 5.26 megohm (Ohm's law)."""
    findings = one_state(
        "switch: hot lead\nB- to chassis: 10 nF paper, leakage 38 uA at 200 V\ntouchable: chassis",
        chassis="through R and C",
    )
    assert findings.after is not None
    assert findings.after.b_minus_network is not None
    assert findings.after.b_minus_network.resistor_ohms == pytest.approx(200 / 38e-6)


def test_three_pin_plug_on_a_two_core_cord_contradict() -> None:
    findings = one_state("plug: three-pin with earth\ncord: two-core rubber\nswitch: double-pole", power="transformer")
    assert any("two-core" in c.text for c in findings.checks)


def measured(*lines: str) -> LineSideFindings:
    return found(measured_text(*lines))


def measured_text(*lines: str) -> str:
    head = "maker: A\nmodel: B\nline: 120 V 60 Hz\npower: series string\nchassis: through R and C\nnameplate: 30 W\n"
    after = "    switch: hot lead\n    B- to chassis: 1 meg, 3.3 nF Y1\n    touchable: chassis\n"
    listed = "".join(f"    - {line}\n" for line in lines)
    return f"{head}line side:\n  after:\n{after}  measured:\n{listed}"


def test_volts_across_the_service_network_beside_the_computed_ones() -> None:
    """Closed form: 120 V through 1 Mohm beside 3.3 nF into 1500 ohm beside 0.15 uF."""
    (m,) = measured("2026-03-20, chassis, plug reversed, switch on, 0.31 V across 1500 ohm and 0.15 uF").measured
    network = 1 / (1 / 1500 + 2j * math.pi * 60 * 0.15e-6)
    barrier = 1 / (1e-6 + 2j * math.pi * 60 * 3.3e-9)
    assert m.across == "service network"
    assert m.volts is not None
    assert m.volts.computed == pytest.approx(abs(120 * network / (network + barrier)), rel=1e-9)
    assert m.agrees is True


@pytest.mark.parametrize(
    ("across", "siemens", "said"),
    [
        ("2 kohm", 1 / 2000, "across 2\u202fkΩ"),
        ("1k5", 1 / 1500, "across 1.5\u202fkΩ"),
        ("2k || 0.22 uF", 1 / 2000 + 2j * math.pi * 60 * 0.22e-6, "across 2\u202fkΩ and 0.22\u202fµF"),
        ("0.15 uF", 2j * math.pi * 60 * 0.15e-6, "across 0.15\u202fµF"),
    ],
)
def test_volts_across_any_load_are_held_against_that_load(across: str, siemens: complex, said: str) -> None:
    """Closed form, as above. A resistor of the writer's own was taken for a meter of 10 megohm."""
    (m,) = measured(f"2026-03-20, chassis, plug reversed, switch on, 0.31 V across {across}").measured
    barrier = 1 / (1e-6 + 2j * math.pi * 60 * 3.3e-9)
    assert m.volts is not None
    assert m.volts.computed == pytest.approx(abs(120 / siemens / (1 / siemens + barrier)), rel=1e-9)
    assert (m.across, m.across_words) == ("load", said)


@pytest.mark.parametrize(
    ("line", "agrees"),
    [
        ("chassis, plug reversed, switch on, 1.2 V across 1500 ohm and 0.15 uF", False),
        ("chassis, plug right, switch on, 0.31 V across 1500 ohm and 0.15 uF", False),
        ("chassis, plug right, switch on, 0 V across 1500 ohm and 0.15 uF", True),
        ("chassis, 0.31 V across 1500 ohm and 0.15 uF", True),
        ("chassis, 0.1 V across 1500 ohm and 0.15 uF", False),  # between what any position makes: none of them
        ("chassis, plug reversed, switch on, 0.1 V across the IEC 60990 network", True),
        ("chassis, plug reversed, switch on, 115 V", True),
        ("chassis, plug reversed, switch on, 20 V", False),
        ("chassis, plug reversed, switch on, 0.2 mA", True),
        ("chassis, plug reversed, switch on, 2 mA", False),
        ("chassis, plug reversed, switch on, below 2 mA", True),
        ("chassis, plug reversed, switch on, below 0.01 mA", False),
        ("chassis, plug reversed, switch on, over 0.01 mA", True),
        ("chassis, plug reversed, switch on, over 2 mA", False),
        ("chassis, plug reversed, switch on, 0.2 mA across 1500 ohm", True),
        ("chassis, plug reversed, switch on, 0.2 mA across the old bulb", None),
        ("metal back, plug reversed, switch on, 2 mA", None),
        ("chassis, plug reversed, switch on, 0.38 V across 2 kohm", True),
        ("chassis, plug reversed, switch on, 6.8 V across 2k", False),
        ("chassis, plug reversed, switch on, 0.38 V across a 2 kohm resistor", True),
        ("chassis, plug reversed, switch on, 109 V across 10 meg", True),
        ("chassis, plug reversed, switch on, 6.8 V across the old bulb", None),
        ("chassis, plug reversed, switch on, 6.8 V across 2k and 3k", None),
    ],
)
def test_measured_touch_current_agrees_with_the_computed_or_is_a_finding(line: str, agrees: bool | None) -> None:
    findings = measured(line)
    assert [m.agrees for m in findings.measured] == [agrees]
    told = [s.verdict for s in makers.standouts("line_side", "", findings) if "Measured" in s.text]
    assert told == [Verdict.WATCH] * (agrees is False)


def test_a_reading_of_an_unwritten_position_says_with_which_one_it_agrees() -> None:
    """0.31 V is that of the reversed plug; with the plug right the chassis shows nothing."""
    (touch,) = measured("chassis, 0.31 V across 1500 ohm and 0.15 uF").measured
    assert (touch.agrees, touch.as_plug, touch.as_switch) == (True, "reversed", "")
    (touch,) = measured("chassis, plug reversed, switch on, 0.31 V across 1500 ohm and 0.15 uF").measured
    assert touch.as_plug == ""


def test_a_current_across_a_resistor_is_reckoned_by_that_resistor() -> None:
    """11.6 mA across 1500 ohm were compared with what an ammeter reads, and shown as read on one."""
    (amps,) = measured("chassis, plug reversed, switch on, 0.2 mA across 1500 ohm").measured
    (volts,) = measured("chassis, plug reversed, switch on, 0.3 V across 1500 ohm").measured
    assert amps.amps
    assert volts.volts
    assert amps.across_words == "across 1.5\u202fkΩ"
    assert amps.amps.computed == pytest.approx((volts.volts.computed or 0) / 1500)
    assert amps.reckoned_amps == pytest.approx(volts.reckoned_amps)


def test_the_report_shows_the_largest_current_of_the_day() -> None:
    small, large = "chassis, plug right, switch on, 0 mA", "chassis, plug reversed, switch on, 0.21 mA"
    for lines in ((small, large), (large, small)):
        table = makers.digest("line_side", measured_text(*lines)).table
        assert table is not None
        (shown,) = [str(row.head) for row in table.rows() if "Measured" in str(row.head)]
        assert "plug reversed" in shown


@pytest.mark.parametrize(
    ("line", "computed", "agrees"),
    [
        ("insulation line to chassis, 1.02 meg at 500 V", 1e6, True),
        ("insulation line to chassis, 120 meg at 500 V", 1e6, False),
        ("insulation primary to secondary, 200 meg at 500 V", None, None),
    ],
)
def test_insulation_reading_beside_the_resistor_in_its_path(
    line: str, computed: float | None, agrees: bool | None
) -> None:
    (reading,) = measured(line).insulation
    assert reading.computed_ohms == (None if computed is None else pytest.approx(computed))
    assert reading.agrees is agrees


@pytest.mark.parametrize(
    ("capacitor", "line", "told"),
    [
        ("4.7 nF 250 V AC Y2", "230 V 50 Hz", False),
        ("4.7 nF 250 V AC Y2", "260 V 50 Hz", True),
        ("4.7 nF 150 V AC Y2", "230 V 50 Hz", True),
        ("4.7 nF 250 V AC", "230 V 50 Hz", True),
    ],
)
def test_a_class_is_rated_for_the_nominal_line(capacitor: str, line: str, told: bool) -> None:
    """Every Y2 of 250 V is sold for 230 V; that the line may reach 253 V stood first and red under what remains.

    IEC 60384-14 tests class Y at 1.7 times the rating (makers' data sheets, from memory).
    """
    after = f"plug: three-pin with earth\nswitch: hot lead\nline to chassis: {capacitor}\nearth lead: to chassis"
    checks = [c for c in one_state(after, line, "transformer", "isolated").checks if "puts up to" in c.text]
    assert bool(checks) == told


def test_what_was_measured_before_the_new_part_went_in_is_held_against_the_old_wiring() -> None:
    """2 mA at 120 V is 47 nF at 60 Hz (I = V 2 pi f C): the old capacitor's; the new 3.3 nF passes 0.15 mA."""
    text = (
        "maker: A\nmodel: B\nline: 120 V 60 Hz\npower: series string\nchassis: through R and C\n"
        "parts:\n  C3: was 47 nF paper, now 3.3 nF Y1, between B- and chassis, fitted {}\n"
        "line side:\n  before:\n    switch: hot lead\n    B- to chassis: 47 nF paper\n    touchable: chassis\n"
        "  after:\n    switch: hot lead\n    B- to chassis: 3.3 nF Y1\n    touchable: chassis\n"
        "  measured:\n    - 2026-01-10, chassis, plug reversed, switch on, 2 mA\n"
        "    - 2026-01-20, chassis, plug reversed, switch on, 0.15 mA\n"
    )
    assert [touch.agrees for touch in found(text.format("2026-01-15")).measured] == [True, True]
    assert [touch.agrees for touch in found(text.format("2026-01-05")).measured] == [False, True]


def test_a_bound_that_a_meter_showed_is_said_with_its_value() -> None:
    findings = measured("chassis, plug reversed, switch on, below 0.01 mA")
    (touch,) = findings.measured
    assert touch.amps is not None
    assert (touch.amps.measured, touch.amps.bound) == (1e-5, "at most")
    (said,) = (s.text for s in makers.standouts("line_side", "", findings) if "Measured" in s.text)
    assert said.startswith("Measured at most 10\u202fµA at the chassis")
