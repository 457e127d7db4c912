"""Heater strings from the record to the findings: published droppers, the string as it runs, ngspice."""

from __future__ import annotations

import json
import math
from dataclasses import fields, is_dataclass
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import makers
import ngspice
from benchleaf.chapters.heaters.findings import HeatersFindings
from benchleaf.chapters.heaters.running import tap_heating_amps
from benchleaf.report.findings import FAULT, NOTE, as_json
from benchleaf.words import BRITISH

AMERICAN_FIVE = {"V1": "12BE6", "V2": "12BA6", "V3": "12AV6", "V4": "50C5", "V5": "35W4"}
EUROPEAN_FIVE = {"V1": "UCH42", "V2": "UF41", "V3": "UBC41", "V4": "UL41", "V5": "UY41"}


def found(text: str) -> HeatersFindings:
    return makers.found("heaters", text)


def series(line: str, tubes: dict[str, str], heaters: str = "") -> str:
    rows = "".join(f"  {place}: {type_}\n" for place, type_ in tubes.items())
    section = "heaters:\n" + makers.rows(heaters) if heaters else ""
    return f"line: {line}\npower: series string\ntubes:\n{rows}{section}"


def said(text: str) -> list[str]:
    return makers.said("heaters", text)


# Sums and droppers as printed


@pytest.mark.handbook
def test_hundred_milliamp_string_on_240_volts() -> None:
    """worked_examples.csv, series heater dropper (vintage-radio.com): 116.6 V, 0.1 A, 240 V; 1234 ohm, 12.34 W."""
    findings = found(series("240 V 50 Hz", EUROPEAN_FIVE, "order: V5, V4, V2, V1, V3"))
    assert findings.arrangement == "series"
    assert findings.rated_sum_volts == 116.6
    assert findings.rated_current_amps == 0.1
    assert findings.left_for_dropper_volts == pytest.approx(123.4)
    assert findings.dropper is not None
    assert findings.dropper.ohms == pytest.approx(1234, rel=1e-9)
    assert findings.dropper.watts == pytest.approx(12.34, rel=1e-9)
    assert findings.dropper.rating_watts >= 2 * 12.34


@pytest.mark.handbook
def test_next_preferred_value_is_in_iec_60063() -> None:
    """IEC 60063, E24: 1.2, 1.3; the next above 1234 ohm is 1.3 kilohm (E12 has 1.2 and 1.5)."""
    findings = found(series("240 V 50 Hz", EUROPEAN_FIVE, "order: V5, V4, V2, V1, V3"))
    assert findings.dropper is not None
    assert findings.dropper.preferred_ohms == 1300
    assert findings.dropper.preferred_series == "E24"


@pytest.mark.handbook
def test_ballast_of_three_six_volt_and_two_twenty_five_volt_tubes() -> None:
    """worked_examples.csv, ballast (6v6.co.uk): 68.9 V on 117 V, 48 V dropped; 160 ohm and 14.4 W at 0.3 A."""
    tubes = {"V1": "6A7", "V2": "78", "V3": "75", "V4": "25L6GT", "V5": "25Z6GT"}
    findings = found(series("117 V 60 Hz", tubes))
    assert findings.rated_sum_volts == pytest.approx(68.9)
    assert findings.left_for_dropper_volts == pytest.approx(48.1, abs=0.05)
    assert findings.dropper is not None
    assert findings.dropper.ohms == pytest.approx(160, rel=0.01)
    assert findings.dropper.watts == pytest.approx(14.4, rel=0.01)


@pytest.mark.handbook
def test_lovells_octal_string_on_120_volts() -> None:
    """worked_examples.csv, series dropper with a 120 V line (Lovell 1989): 107.8 V, 81.3 ohm, 1.83 W."""
    tubes = {"V1": "12SA7", "V2": "12SK7", "V3": "12SQ7", "V4": "35L6GT", "V5": "35Z5GT"}
    findings = found(series("120 V 60 Hz", tubes))
    assert findings.rated_sum_volts == pytest.approx(107.8)
    assert findings.dropper is not None
    assert findings.dropper.ohms == pytest.approx(81.3, abs=0.05)
    assert findings.dropper.watts == pytest.approx(1.83, abs=0.005)
    assert findings.dropper.preferred_ohms == 82
    assert findings.dropper.rating_watts >= 2 * 1.83


@pytest.mark.handbook
def test_rimlock_string_that_asks_for_more_than_110_volts() -> None:
    """heater_strings.csv (radios-tsf.com): UCH42 UF41 UBC41 UL41 UY41 make 116.5 V (UF41 printed as 12.5 V)."""
    findings = found(series("110 V", EUROPEAN_FIVE))
    assert findings.rated_sum_volts == pytest.approx(116.5, abs=0.11)
    assert findings.left_for_dropper_volts == pytest.approx(-6.6)
    assert findings.dropper is None


@pytest.mark.handbook
def test_console_string_of_seven_tubes() -> None:
    """heater_strings.csv (manual of a 1960s console, sec. 13.9): 50C5 and six 12.6 V tubes at 0.15 A: 125.6 V."""
    types = ("50C5", "12BA6", "12AV6", "12BA6", "12BE6", "12DT8", "12DT8")
    findings = found(series("117 V 60 Hz", {f"V{k}": t for k, t in enumerate(types, 1)}))
    assert findings.rated_sum_volts == pytest.approx(125.6)
    assert findings.rated_current_amps == 0.15


# The contract's example


def test_contracts_example_hundred_and_fifty_milliamp_string_on_117_volts() -> None:
    """The design's contract: 122.8 V, 0.15 A without the lamp, -5.8 V left, no dropper."""
    heaters = "order: V5, V4, V2, V1, V3\npilot lamp: 47 across V5 tap"
    data = as_json(found(series("117 V 60 Hz", AMERICAN_FIVE, heaters)))
    assert data["arrangement"] == "series"
    assert data["rated_sum_volts"] == 122.8
    assert data["rated_current_amps"] == 0.15
    assert data["left_for_dropper_volts"] == -5.8
    assert data["dropper"] is None
    nominal = next(line for line in data["running"] if line["line_volts"] == 117)
    assert set(nominal["tubes"]) == set(AMERICAN_FIVE)
    assert nominal["tubes"]["V1"]["rated_volts"] == 12.6
    share = nominal["tubes"]["V1"]["volts"] / 12.6
    assert nominal["tubes"]["V1"]["of_rated"] == pytest.approx(share)
    json.dumps(data, allow_nan=False)


def test_lines_listed_are_low_nominal_high_and_measured() -> None:
    """Ten per cent either way where the record gives no limits: common practice, no source."""
    heaters = "order: V5, V4, V2, V1, V3\nmeasured:\n  line: 117 V\n  V5: 32 V"
    lines = found(series("120 V 60 Hz", AMERICAN_FIVE, heaters)).running
    assert [(line.line_volts, line.which) for line in lines] == [
        (pytest.approx(108), "low"),
        (117, "measured"),
        (120, "nominal"),
        (pytest.approx(132), "high"),
    ]
    written = found(series("230 V 50 Hz, low 200 V, high 240 V", EUROPEAN_FIVE))
    assert [line.line_volts for line in written.running] == [200, 230, 240]
    assert not written.line_limits_assumed


def test_line_measured_at_its_nominal_value_is_listed_once() -> None:
    heaters = "order: V5, V4, V2, V1, V3\nmeasured:\n  line: 120 V\n  V5: 34 V"
    lines = found(series("120 V 60 Hz", AMERICAN_FIVE, heaters)).running
    assert [line.which for line in lines] == ["low", "nominal, measured", "high"]


# The string as it runs


def test_plain_string_shares_the_line_by_rated_volts() -> None:
    """One law for all: each heater has its rated volts times line over sum."""
    nominal = found(series("117 V 60 Hz", AMERICAN_FIVE, "order: V5, V4, V2, V1, V3")).nominal
    assert nominal is not None
    for tube, rated in {"V5": 35, "V4": 50, "V2": 12.6}.items():
        assert nominal.tubes[tube].volts == pytest.approx(rated * 117 / 122.8)
    assert nominal.current_amps == pytest.approx(0.15 * (117 / 122.8) ** 0.6)


def test_rectifier_with_a_lamp_on_its_tap_is_not_far_off() -> None:
    """The lamp takes current past the tap: less than 35 V is as it should be, and the rest of the heater is judged."""
    heaters = "order: V5, V4, V2, V1, V3\npilot lamp: 47 across V5 tap"
    findings = found(series("120 V 60 Hz", AMERICAN_FIVE, heaters))
    nominal = findings.nominal
    assert nominal is not None
    rectifier = nominal.tubes["V5"]
    assert rectifier.volts is not None
    assert 29 < rectifier.volts < 34
    assert findings.judged["V5"].verdict == "within"
    assert rectifier.judged_of_rated == pytest.approx(nominal.tubes["V4"].of_rated)
    assert math.fsum(t.volts or 0 for t in nominal.tubes.values()) == pytest.approx(120)


@pytest.mark.handbook
def test_lamp_on_the_tap_gets_about_two_thirds_of_its_current_or_more() -> None:
    """worked_examples.csv, heater tap current (Wireless World on the 35Z5GT): lamp 110 mA, section 90 mA.

    The note adds 50 mA for the plate. Here the direct current that adds 50 mA of heating at 150 mA is found first.
    """
    low, high = 0.0, 0.06
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if tap_heating_amps(0.15, middle, False) < 0.05 else (low, middle)
    assert 0.02 < low < 0.05
    from benchleaf.chapters.heaters.running import run
    from benchleaf.chapters.heaters.string import string_of

    tubes = {"V1": "12SA7", "V2": "12SK7", "V3": "12SQ7", "V4": "50L6GT", "V5": "35Z5GT"}
    bench = makers.bench(series("120 V 60 Hz", tubes, "pilot lamp: 47 across V5 tap"))
    line = run(string_of(bench), 119.0, "", drain_amps=low)
    assert line.current_amps == pytest.approx(0.15, rel=0.01)
    assert line.lamp_amps == pytest.approx(0.110, rel=0.04)
    assert line.tap_section_amps == pytest.approx(0.090, rel=0.06)


def test_plate_pulses_add_to_the_tap_as_ngspice_has_them() -> None:
    """A sine of 150 mA and crest pulses a quarter of a cycle wide, 60 mA in the mean: RMS of their sum by ngspice."""
    width, mean, hertz = 0.25, 0.06, 50.0
    peak, start = mean / width, (0.25 - width / 2) / hertz
    lines = [
        f"Bs s 0 V=0.15*sqrt(2)*sin(2*3.14159265358979*{hertz}*time)",
        f"Vp p 0 PULSE(0 {peak} {start} 1n 1n {width / hertz} {1 / hertz})",
        "Bt t 0 V=v(s)+v(p)",
        "Rs s 0 1k",
        "Rp p 0 1k",
        "Rt t 0 1k",
    ]
    theirs = ngspice.measured(lines, "10u 0.2 0 10u", {"total": "RMS v(t) FROM=0.1 TO=0.2"})["total"]
    assert 0.15 + tap_heating_amps(0.15, mean, False) == pytest.approx(theirs, rel=2e-3)
    assert tap_heating_amps(0.15, mean, True) == mean


def heater_lines(name: str, a: str, b: str, volts: float, amps: float, exponent: float) -> list[str]:
    """A heater for ngspice: a voltage that follows the power of its own current."""
    law = f"{volts!r}*sgn(i(VS{name}))*pow(abs(i(VS{name}))/{amps!r},{1 / exponent!r})"
    return [f"VS{name} {a} {a}{name} 0", f"B{name} {a}{name} {b} V={law}"]


@pytest.mark.parametrize("line", [105, 117, 129])
def test_dropper_and_series_lamp_agree_with_ngspice(line: int) -> None:
    """Three 6.3 V and two 25 V tubes at 0.3 A, a lamp of 6.3 V 0.3 A in the string, a dropper measured at 141 ohm."""
    tubes = {"V1": "6A7", "V2": "78", "V3": "75", "V4": "25L6GT", "V5": "25Z6GT"}
    heaters = (
        "order: dropper, V5, V4, lamp, V2, V1, V3\n"
        "dropper: resistor 150 ohm 30 W, measured 141 ohm\n"
        "pilot lamp: screw cap, 6.3 V 0.3 A, in series"
    )
    findings = found(series(f"{line} V 60 Hz", tubes, heaters))
    assert findings.string is not None
    assert findings.string.chain == ("dropper", "V5", "V4", "lamp", "V2", "V1", "V3")
    lines = [f"Vline n0 0 {line}", "Rd n0 n1 141"]
    pieces = [("V5", 25.0), ("V4", 25.0), ("L", 6.3), ("V2", 6.3), ("V1", 6.3), ("V3", 6.3)]
    for k, (name, volts) in enumerate(pieces, 1):
        end = "0" if k == len(pieces) else f"n{k + 1}"
        lines += heater_lines(name, f"n{k}", end, volts, 0.3, 0.55 if name == "L" else 0.6)
    theirs = ngspice.direct(lines, [f"v(n{k})" for k in range(7)])
    nodes = [*(theirs[f"v(n{k})"] for k in range(7)), 0.0]
    nominal = findings.nominal
    assert nominal is not None
    assert nominal.dropper_volts == pytest.approx(nodes[0] - nodes[1], rel=1e-6)
    for k, (name, _) in enumerate(pieces, 1):
        ours = nominal.lamp_volts if name == "L" else nominal.tubes[name].volts
        assert ours == pytest.approx(nodes[k] - nodes[k + 1], rel=1e-6)


@pytest.mark.handbook
def test_published_dropper_makes_the_string_run_at_its_rating() -> None:
    """vintage-radio.com's 1234 ohm: every heater at its rated volts, 12.34 W in the dropper."""
    heaters = "order: V5, V4, V2, V1, V3\ndropper: resistor 1234 ohm 30 W"
    nominal = found(series("240 V 50 Hz", EUROPEAN_FIVE, heaters)).nominal
    assert nominal is not None
    assert [t.of_rated for t in nominal.tubes.values()] == pytest.approx([1] * 5, rel=1e-9)
    assert nominal.dropper_watts == pytest.approx(12.34, rel=1e-9)


def test_dropper_string_swings_more_than_its_line() -> None:
    """The design: 10 % of line is about 13 % at the heaters of a string with a large dropper."""
    heaters = "order: V5, V4, V2, V1, V3\ndropper: resistor 1134 ohm 30 W"
    findings = found(series("230 V 50 Hz", EUROPEAN_FIVE, heaters))
    high = next(line for line in findings.running if line.which == "high")
    share = high.tubes["V4"].of_rated
    assert share is not None
    assert 1.12 < share < 1.14
    assert {j.verdict for j in findings.judged.values()} == {"within"}


def test_tube_of_another_current_is_computed_as_it_is_and_named() -> None:
    """A 12SA7's place taken by a 6SA7 (0.3 A): it takes little, the others take more."""
    tubes = {"V1": "6SA7", "V2": "12SK7", "V3": "12SQ7", "V4": "50L6GT", "V5": "35Z5GT"}
    findings = found(series("120 V 60 Hz", tubes))
    assert findings.mixed == ("V1",)
    assert findings.rated_current_amps == 0.15
    nominal = findings.nominal
    assert nominal is not None
    assert nominal.tubes["V1"].of_rated == pytest.approx((nominal.current_amps / 0.3) ** (1 / 0.6))  # type: ignore[operator]
    assert findings.judged["V1"].verdict == "low"
    assert any("V1 (6SA7) is rated for 300 mA in a string of 150 mA" in text for text in said(series("120 V", tubes)))


def test_twin_triode_in_a_300_milliamp_string_has_its_halves_side_by_side() -> None:
    """12AX7: 12.6 V 0.15 A in series, 6.3 V 0.3 A side by side (tube table)."""
    tubes = {"V1": "6SK7", "V2": "6SQ7", "V3": "12AX7", "V4": "25L6GT", "V5": "25Z6GT"}
    findings = found(series("117 V", tubes))
    assert findings.rated_sum_volts == pytest.approx(3 * 6.3 + 50)
    assert findings.mixed == ()
    assert any("V3" in line and "side by side" in line for line in findings.assumed)


@pytest.mark.handbook
def test_series_capacitor_of_four_microfarads_at_50_hertz() -> None:
    """worked_examples.csv, capacitive reactance (radiotrician.org): 4 uF at 50 Hz is about 800 ohm; vector sum."""
    tubes = {"V1": "PABC80", "V2": "PCL82", "V3": "PL84"}
    findings = found(series("240 V 50 Hz", tubes, "dropper: capacitor 4 uF 400 V"))
    nominal = findings.nominal
    assert nominal is not None
    assert nominal.capacitor_volts is not None
    assert nominal.current_amps is not None
    assert nominal.capacitor_volts / nominal.current_amps == pytest.approx(800, rel=0.01)
    total = math.fsum(t.volts or 0 for t in nominal.tubes.values())
    assert math.hypot(total, nominal.capacitor_volts) == pytest.approx(240)


def test_half_wave_diode_leaves_the_heat_of_0_707_of_the_line() -> None:
    findings = found(series("230 V 50 Hz", EUROPEAN_FIVE, "dropper: diode"))
    nominal = findings.nominal
    assert nominal is not None
    assert math.fsum(t.volts or 0 for t in nominal.tubes.values()) == pytest.approx(230 / math.sqrt(2))
    on_dc = found(series("230 V DC", EUROPEAN_FIVE, "dropper: diode")).nominal
    assert on_dc is not None
    assert math.fsum(t.volts or 0 for t in on_dc.tubes.values()) == pytest.approx(230)
    page = makers.page("heaters", series("230 V 50 Hz", EUROPEAN_FIVE, "dropper: diode"))
    assert "0.707 of the line as heat" not in page
    assert "0.707 of the line’s volts RMS, which in a fixed resistance is half of the power" in page


def test_ballast_given_by_its_drop_is_that_resistance() -> None:
    tubes = {"V1": "6A7", "V2": "78", "V3": "75", "V4": "25L6GT", "V5": "25Z6GT"}
    findings = found(series("117 V", tubes, "dropper: ballast 48.1 V"))
    assert findings.string is not None
    assert findings.string.dropper is not None
    assert findings.string.dropper.ohms == pytest.approx(48.1 / 0.3)
    assert findings.nominal is not None
    assert findings.nominal.tubes["V1"].of_rated == pytest.approx(1, rel=1e-6)
    assert findings.asbestos


# What stands out


def test_string_without_a_dropper_it_needs() -> None:
    texts = said(series("230 V 50 Hz", EUROPEAN_FIVE, "order: V5, V4, V2, V1, V3"))
    assert "5 tubes (V5, V4, V2, V1, V3)" in texts[0]
    assert "197 %" in texts[0]
    assert "113 V are left over and no dropper is written" in texts[0]


def test_string_that_asks_for_more_than_the_line() -> None:
    text = series("117 V 60 Hz", AMERICAN_FIVE, "order: V5, V4, V2, V1, V3")
    assert said(text) == [], "no dropper is wanted: nothing to do"
    text = series("105 V 60 Hz", AMERICAN_FIVE, "order: V5, V4, V2, V1, V3")
    first = makers.standouts("heaters", makers.bench(text, words=BRITISH))[0]
    assert first.severity == FAULT
    assert "5 valves" in first.text
    assert "mains" in first.text


def test_string_as_it_should_be_stays_quiet() -> None:
    heaters = "order: V5, V4, V2, V1, V3\ndropper: resistor 1150 ohm 30 W"
    assert said(series("230 V 50 Hz", EUROPEAN_FIVE, heaters)) == []


def test_dropper_rated_below_its_heat_and_below_twice_of_it() -> None:
    heaters = "order: V5, V4, V2, V1, V3\ndropper: resistor 1150 ohm {} W"
    over = said(series("230 V 50 Hz", EUROPEAN_FIVE, heaters.format(10)))
    near = said(series("230 V 50 Hz", EUROPEAN_FIVE, heaters.format(15)))
    assert over == ["The dropper makes 11.4 W of heat and is rated for 10 W."]
    assert near == ["The dropper makes 11.4 W of heat and is rated for 15 W: less than twice the heat."]


def test_worst_stands_first_and_every_anchor_is_in_the_chapter() -> None:
    tubes = AMERICAN_FIVE | {"V1": "6BE6"}
    heaters = "order: V5, V4, V2, V1, V3\nmeasured:\n  line: 120 V\n  V5: 20 V"
    out = makers.standouts("heaters", series("120 V", tubes, heaters))
    assert [s.severity for s in out] == sorted((s.severity for s in out), reverse=True)
    assert {s.severity for s in out} <= {FAULT, NOTE}
    assert all(s.anchor.startswith("heaters") for s in out)


# Judged


@pytest.mark.handbook
@pytest.mark.parametrize(("line", "verdict"), [(104, "low"), (105, "within"), (128, "within"), (129, "high")])
def test_band_is_ten_per_cent_of_rated_volts(line: int, verdict: str) -> None:
    """M. J. Darby, Valve Heater Voltages, The Radio Constructor, April 1962: 10 %; of 116.6 V 104.94 and 128.26 V."""
    findings = found(series(f"{line} V", EUROPEAN_FIVE))
    assert {j.verdict for j in findings.judged.values()} == {verdict}


def test_band_in_volts_is_six_per_cent_in_current() -> None:
    """The law of the heater, exponent 0.6: 1.1 ** 0.6 = 1.059, 0.9 ** 0.6 = 0.939."""
    findings = found(series("128.26 V", EUROPEAN_FIVE))
    assert findings.nominal is not None
    assert findings.nominal.tubes["V1"].of_rated == pytest.approx(1.1)
    assert findings.nominal.tubes["V1"].current_of_rated == pytest.approx(1.059, abs=0.001)


# What is missing


def test_unknown_type_leaves_the_string_unknown_and_says_what_to_write() -> None:
    findings = found(series("120 V", AMERICAN_FIVE | {"V1": "12ZZ6"}))
    assert findings.rated_sum_volts is None
    assert findings.left_for_dropper_volts is None
    assert findings.dropper is None
    assert all(line.current_amps is None for line in findings.running)
    assert all(t.volts is None for line in findings.running for t in line.tubes.values())
    assert findings.running[0].tubes["V4"].rated_volts == 50
    assert any("V1, 12ZZ6" in line and "heater 12.6 V 0.15 A" in line for line in findings.missing)


def test_records_own_heater_stands_before_the_table() -> None:
    findings = found(series("120 V", AMERICAN_FIVE | {"V1": "12ZZ6, heater 12.6 V 0.15 A"}))
    assert findings.rated_sum_volts == 122.8
    assert findings.missing == ()


def test_string_without_a_line_has_a_sum_and_nothing_more() -> None:
    text = series("120 V", AMERICAN_FIVE).replace("line: 120 V\n", "")
    findings = found(text)
    assert findings.rated_sum_volts == 122.8
    assert findings.running == ()
    assert findings.left_for_dropper_volts is None
    assert any("line voltage is not written" in line for line in findings.missing)


def test_dropper_without_a_value_is_asked_for() -> None:
    findings = found(series("230 V", EUROPEAN_FIVE, "dropper: resistor 30 W"))
    assert findings.dropper is not None
    assert findings.nominal is not None
    assert findings.nominal.current_amps is None
    assert any("Write its ohms" in line for line in findings.missing)


def test_order_that_names_what_is_not_there() -> None:
    findings = found(series("120 V", AMERICAN_FIVE, "order: V5, V4, V2, V7, V3, V3"))
    assert findings.rated_sum_volts is None
    assert any("V7" in line for line in findings.missing)
    assert any("V1 is not in the order" in line for line in findings.missing)
    assert any("V3 stands twice" in line for line in findings.missing)


@pytest.mark.parametrize(
    ("heaters", "expected"),
    [
        ("pilot lamp: 9999 across V5 tap", "not in the lamp table"),
        ("pilot lamp: 47 across V4 tap", "no tap for V4"),
        ("pilot lamp: 47", "Where the pilot lamp sits"),
        ("pilot lamp: 9999 in series", "Write its volts and amperes"),
        ("dropper: capacitor 400 V", "capacitor’s value is not written"),
        ("dropper: capacitor 4 uF", "frequency is not written"),
    ],
)
def test_lamp_or_capacitor_that_cannot_be_computed_is_named(heaters: str, expected: str) -> None:
    assert any(expected in line for line in found(series("120 V", AMERICAN_FIVE, heaters)).missing)


def test_capacitor_on_direct_current_passes_nothing() -> None:
    findings = found(series("220 V DC", EUROPEAN_FIVE, "dropper: capacitor 2 uF"))
    assert any("passes no direct current" in line for line in findings.missing)
    assert findings.dropper is not None
    assert findings.dropper.capacitor_farads is None


def test_record_that_says_nothing_of_heaters_has_no_chapter() -> None:
    assert makers.findings("heaters", "year: 1949\n") is None


def test_findings_have_a_stable_text_without_addresses() -> None:
    """The figure cache is keyed by it."""
    text = series("120 V 60 Hz", AMERICAN_FIVE, "order: V5, V4, V2, V1, V3\npilot lamp: 47 across V5 tap")
    assert repr(found(text)) == repr(found(text))
    assert " object at 0x" not in repr(found(text))


def test_every_value_in_json_has_its_unit_in_its_name() -> None:
    data = as_json(found(series("120 V 60 Hz", AMERICAN_FIVE, "pilot lamp: 47 across V5 tap\ndropper: diode")))
    endings = (
        "_volts",
        "_amps",
        "_watts",
        "_ohms",
        "_farads",
        "_hertz",
        "_seconds",
        "_hours",
        "hours",
        "_coulombs",
        "_per_foot",
        "of_rated",
        "_of_rating",
        "volts",
        "ohms",
        "watts",
    )

    def walk(value: Any, key: str) -> None:
        if isinstance(value, dict):
            for name, entry in value.items():
                walk(entry, name)
        elif isinstance(value, list):
            for entry in value:
                walk(entry, key)
        elif isinstance(value, float):
            seen.append(key)

    seen: list[str] = []
    walk(data, "")
    assert len(seen) > 50
    assert [key for key in seen if not key.endswith(endings) and key not in ("low", "high")] == []
    assert is_dataclass(HeatersFindings)
    assert {f.name for f in fields(HeatersFindings)} >= {"arrangement", "running"}


TYPES = st.sampled_from(["12BE6", "50C5", "35W4", "UL41", "6A8", "12AX7", "1R5", "XX99", "5Y3GT", "80"])
LINES = st.sampled_from(["120 V 60 Hz", "230 V", "110 V DC", "0 V", "1 V 60 Hz", "6 V DC", ""])
ROWS = st.sampled_from(
    [
        "order: V1, V2, V3",
        "order: lamp, V2, dropper, V1",
        "pilot lamp: 47 across V1 tap",
        "pilot lamp: 2 x 47 across V2 tap",
        "pilot lamp: 9999 in series",
        "pilot lamp: 0 V 0 A, in series",
        "dropper: resistor 170 ohm 30 W",
        "dropper: resistor 0 ohm",
        "dropper: resistance cord",
        "dropper: capacitor 5 uF 400 V",
        "dropper: diode 100 ohm",
        "dropper: ballast 49 V",
        "windings:\n  LT: 6.3 V 2 A, feeds V1 V2\n  HT: 5 V",
        "windings:\n  LT: 0 V 0 A",
        "measured:\n  line: 117 V\n  V1: 12 V\n  V2: 0 V\n  V9: 3 V",
        "measured:\n  V1: 120 V\n  V2: 0 V\n  V3: 0 V\n  current: 0.15 A\n  dropper: 3 V",
    ]
)
POWERS = st.sampled_from(["series string", "transformer", "autotransformer", "battery", "vibrator", "three-way", ""])


@settings(max_examples=150, deadline=None)
@given(st.lists(TYPES, max_size=4), LINES, st.lists(ROWS, max_size=4, unique_by=lambda r: r.split(":")[0]), POWERS)
def test_no_record_makes_the_chapter_fail(types: list[str], line: str, rows: list[str], power: str) -> None:
    text = f"line: {line}\n" if line else ""
    text += f"power: {power}\n" if power else ""
    text += "tubes:\n" + "".join(f"  V{k}: {t}\n" for k, t in enumerate(types, 1)) if types else ""
    if rows:
        text += "heaters:\n" + "".join(f"  {part}\n" for row in rows for part in row.splitlines())
    bench = makers.bench(text)
    findings = makers.findings("heaters", bench)
    if findings is None:
        return
    json.dumps(as_json(findings), allow_nan=False)
    for line_ in findings.running:
        total = math.fsum(t.volts for t in line_.tubes.values() if t.volts is not None)
        assert total <= line_.line_volts * (1 + 1e-6) or findings.arrangement == "parallel"
    assert all("nan" not in s.text and "None" not in s.text for s in makers.standouts("heaters", bench, findings))


IN_ORDER = "V5, V4, V2, V1, V3"


@pytest.mark.parametrize(
    ("named", "piece", "what"),
    [
        ("dropper", "dropper", "a dropper"),
        ("line cord", "dropper", "a dropper"),
        ("lamp", "lamp", "a pilot lamp"),
    ],
)
def test_a_piece_in_the_order_that_is_not_described_is_named_and_left_out(named: str, piece: str, what: str) -> None:
    text = series("120 V", AMERICAN_FIVE, f"order: {named}, {IN_ORDER}")
    string = found(text).string
    assert string is not None
    assert string.unknown_names == (piece,)
    assert string.chain == ("V5", "V4", "V2", "V1", "V3")
    told = f"The order of the string names {what}, which is not written elsewhere in the record."
    assert told in makers.page("heaters", text)


@pytest.mark.parametrize(
    ("order", "chain"),
    [("V5, dropper, V4, V2, V1, V3", "V5 dropper V4 V2 V1 V3"), (IN_ORDER, "dropper V5 V4 V2 V1 V3")],
)
def test_a_dropper_that_is_described_is_where_the_order_has_it_or_at_the_line_end(order: str, chain: str) -> None:
    string = found(series("120 V", AMERICAN_FIVE, f"order: {order}\ndropper: resistor 47 ohm")).string
    assert string is not None
    assert (string.unknown_names, " ".join(string.chain)) == ((), chain)


def test_a_lamp_across_a_tap_is_no_place_of_the_string() -> None:
    """It is described, so that nothing is missing, and it is no link of the chain."""
    string = found(series("120 V", AMERICAN_FIVE, f"order: lamp, {IN_ORDER}\npilot lamp: 47 across V5 tap")).string
    assert string is not None
    assert (string.unknown_names, string.chain) == ((), ("V5", "V4", "V2", "V1", "V3"))


def test_only_a_heater_in_two_halves_that_the_string_asks_for_is_joined_otherwise() -> None:
    """12AX7 in a string of 0.15 A stays as it is: its two halves in series are 12.6 V at 0.15 A (tube table)."""
    tubes = {"V1": "12BE6", "V2": "12BA6", "V3": "12AX7", "V4": "50C5", "V5": "35W4"}
    findings = found(series("120 V", tubes))
    assert findings.rated_sum_volts == pytest.approx(3 * 12.6 + 85)
    assert not any("side by side" in line for line in findings.assumed)


@pytest.mark.parametrize(("winding", "volts"), [("6.3 V 3 A", 6.3), ("12.6 V 3 A", 12.6)])
def test_a_heater_in_two_halves_is_joined_for_the_volts_of_its_winding(winding: str, volts: float) -> None:
    head = "line: 117 V 60 Hz\npower: transformer\ntubes:\n  V1: 12AX7\n  V2: 6ZZ9\n"
    findings = found(f"{head}heaters:\n  windings:\n    LT: {winding}, feeds V1 V2\n")
    (on,) = [t for w in findings.windings for t in w.tubes if t.tube == "V1"]
    assert on.rated_volts == pytest.approx(volts)


def test_a_shunt_across_a_tap_lights_no_lamp() -> None:
    """Ohm's law on the shunt alone; where no lamp is written, none has volts."""
    findings = found(series("120 V", AMERICAN_FIVE, f"order: {IN_ORDER}\nshunts:\n  V5 tap: 68 ohm"))
    nominal = findings.nominal
    assert nominal is not None
    assert (nominal.lamp_volts, nominal.lamp_amps) == (None, None)
    amps, watts = nominal.shunt_amps["V5 tap"], nominal.shunt_watts["V5 tap"]
    assert watts == pytest.approx(amps**2 * 68)
    assert amps > 0.05
