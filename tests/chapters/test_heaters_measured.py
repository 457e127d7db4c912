"""Measured heater volts beside the computed string: what adds up, what is off, and what it points to."""

from __future__ import annotations

import re

import pytest

import makers
from benchleaf.chapters.heaters.measured import MeasuredHeaters

EUROPEAN = "V1: UCH42\nV2: UF41\nV3: UBC41\nV4: UL41\nV5: UY41"
AMERICAN = "V1: 12BE6\nV2: 12BA6\nV3: 12AV6\nV4: 50C5\nV5: 35W4"


def read(tubes: str, heaters: str, line: str = "230 V 50 Hz") -> tuple[MeasuredHeaters, list[str]]:
    text = f"line: {line}\npower: series string\ntubes:\n{makers.rows(tubes)}heaters:\n{makers.rows(heaters)}"
    bench = makers.bench(text)
    findings = makers.found("heaters", bench)
    assert findings.measured is not None
    return findings.measured, makers.said("heaters", bench, findings)


def readings(**volts: str) -> str:
    return "measured:\n" + "\n".join(f"  {name}: {value}" for name, value in volts.items())


GOOD = {"V5": "30.5 V", "V4": "44.3 V", "V2": "12.4 V", "V1": "13.8 V", "V3": "13.8 V"}
DROPPER = "dropper: resistor 1150 ohm 30 W\n"


def test_readings_of_the_designs_record_agree_with_the_lamp_in() -> None:
    """The design's record: 35W4 with a 47 across its tap, 32.1 V measured on 117 V; all within 3 % of computed."""
    heaters = "order: V5, V4, V2, V1, V3\npilot lamp: 47 across V5 tap\n" + readings(
        line="117 V", V5="32.1 V", V4="48.2 V", V2="12.2 V", V1="12.2 V", V3="12.1 V"
    )
    measured, texts = read(AMERICAN, heaters, "120 V 60 Hz")
    assert measured.sum_volts == pytest.approx(116.8)
    assert measured.adds_up
    assert measured.off_line == pytest.approx(116.8 / 117 - 1)
    assert [tube.verdict for tube in measured.tubes] == ["as computed"] * 5
    assert all(tube.off_computed is not None and abs(tube.off_computed) < 0.03 for tube in measured.tubes)
    assert texts == []


def test_measured_string_with_its_dropper_adds_up_to_the_line() -> None:
    measured, texts = read(EUROPEAN, DROPPER + readings(line="230 V", dropper="114.6 V", **GOOD))
    assert measured.adds_to_volts == pytest.approx(30.5 + 44.3 + 12.4 + 13.8 + 13.8 + 114.6)
    assert measured.adds_up
    assert not measured.dropper_computed
    assert texts == []


def test_dropper_that_was_not_measured_is_stood_in_for_by_its_computed_drop() -> None:
    measured, _ = read(EUROPEAN, DROPPER + readings(line="230 V", **GOOD))
    assert measured.dropper_computed
    assert measured.adds_up


def test_volts_that_do_not_add_up_are_the_finding() -> None:
    """Three per cent of 230 V is 6.9 V; here 19 V are missing."""
    measured, texts = read(EUROPEAN, DROPPER + readings(line="230 V", dropper="96 V", **GOOD))
    assert measured.adds_up is False
    assert measured.off_line_volts == pytest.approx(-19.2)
    assert texts[0].startswith("The measured heater volts come to 19.2 V less than the 230 V line")
    assert measured.sum_suggestion is not None
    assert "switch" in measured.sum_suggestion.cause


@pytest.mark.parametrize(
    ("dropper", "adds_up"), [("108.4 V", True), ("108.2 V", False), ("122.0 V", True), ("122.3 V", False)]
)
def test_three_per_cent_of_the_line_is_the_limit(dropper: str, adds_up: bool) -> None:
    """114.8 V of heaters: 223.1 V to 236.9 V is 230 V within 3 %."""
    measured, _ = read(EUROPEAN, DROPPER + readings(line="230 V", dropper=dropper, **GOOD))
    assert measured.adds_up is adds_up


def test_readings_betray_a_dropper_nobody_wrote_down() -> None:
    """115 V missing at 0.1 A: 1.15 kilohm."""
    measured, texts = read(EUROPEAN, readings(line="230 V", **GOOD))
    assert measured.adds_up is False
    assert measured.unwritten_dropper_ohms == pytest.approx(1152, rel=0.001)
    assert any("1.2 kΩ in series would take them" in text for text in texts)


def test_tube_far_off_its_share_is_named_with_cause_and_next_measurement() -> None:
    volts = GOOD | {"V3": "10.9 V", "V5": "31.4 V"}
    measured, texts = read(EUROPEAN, DROPPER + readings(line="230 V", dropper="117 V", **volts))
    verdicts = {tube.tube: tube.verdict for tube in measured.tubes}
    assert verdicts["V3"] == "far off"
    assert verdicts["V4"] == "as computed"
    suggestion = next(t.suggestion for t in measured.tubes if t.tube == "V3")
    assert suggestion is not None
    assert "higher heater current" in suggestion.cause
    assert "cold heater resistance" in suggestion.next
    assert suggestion.source == "common practice, no source"
    assert any(text.startswith("V3 measured 10.9 V at the heater, computed 13.9 V") for text in texts)


def test_whole_string_low_blames_line_or_dropper_and_no_single_tube() -> None:
    low = {name: f"{float(volts.split()[0]) * 0.88:.2f} V" for name, volts in GOOD.items()}
    measured, _ = read(EUROPEAN, DROPPER + readings(line="230 V", dropper="128 V", **low))
    assert {tube.verdict for tube in measured.tubes} == {"as computed"}
    assert measured.of_computed == pytest.approx(0.88, abs=0.01)
    assert measured.whole_string is not None
    assert "dropper" in measured.whole_string.next


@pytest.mark.handbook
def test_open_heater_has_the_whole_line_across_it() -> None:
    """failure_modes.csv, no tube lights in a series string: the full line stands across the break (Lovell 1989)."""
    heaters = readings(line="117 V", V5="0 V", V4="116 V", V2="0 V", V1="0 V", V3="0 V")
    measured, texts = read(AMERICAN, heaters, "117 V")
    verdicts = {tube.tube: tube.verdict for tube in measured.tubes}
    assert verdicts == {"V5": "dark", "V4": "open", "V2": "dark", "V1": "dark", "V3": "dark"}
    opened = next(t.suggestion for t in measured.tubes if t.tube == "V4")
    assert opened is not None
    assert "Lovell" in opened.source
    assert any(text.startswith("V4 measured 116 V") and "open" in text for text in texts)
    assert measured.adds_up is None


def test_shorted_heater_is_dark_and_the_others_run_bright() -> None:
    """failure_modes.csv, one heater very bright: a shorted heater is dark and the others run bright."""
    heaters = readings(line="117 V", V5="37.9 V", V4="54 V", V2="0 V", V1="12.6 V", V3="12.5 V")
    measured, texts = read(AMERICAN, heaters, "117 V")
    assert {t.tube: t.verdict for t in measured.tubes}["V2"] == "dark"
    assert measured.whole_string is not None
    assert "shorted" in measured.whole_string.cause
    assert any(text.startswith("V2 measured 0") for text in texts)


def test_rectifier_too_high_with_a_lamp_on_its_tap_points_to_the_lamp() -> None:
    """Nuts and Volts on the 35W4: with the lamp out the tap section carries the plate's current alone."""
    heaters = "pilot lamp: 47 across V5 tap\n" + readings(
        line="120 V", V5="43 V", V4="45.7 V", V2="11.5 V", V1="11.5 V", V3="11.5 V"
    )
    measured, _ = read(AMERICAN, heaters, "120 V 60 Hz")
    rectifier = next(t for t in measured.tubes if t.tube == "V5")
    assert rectifier.verdict == "far off"
    assert rectifier.suggestion is not None
    assert "pilot lamp is out" in rectifier.suggestion.cause


def test_series_capacitor_adds_at_a_right_angle() -> None:
    """hypot(114.8, 199) = 229.7."""
    heaters = "dropper: capacitor 1.6 uF 400 V\n" + readings(line="230 V", dropper="199 V", **GOOD)
    measured, _ = read(EUROPEAN, heaters)
    assert measured.adds_to_volts == pytest.approx(229.74, abs=0.01)
    assert measured.adds_up


def test_behind_a_diode_nothing_is_added_up() -> None:
    measured, _ = read(EUROPEAN, "dropper: diode\n" + readings(line="230 V", **GOOD))
    assert measured.adds_up is None


def test_readings_with_gaps_are_not_added_up() -> None:
    measured, _ = read(EUROPEAN, DROPPER + readings(line="230 V", V5="30.5 V", V4="44.3 V"))
    assert measured.adds_up is None
    assert measured.not_measured == ("V1", "V2", "V3")


def test_line_that_was_not_written_with_the_readings_is_assumed_nominal() -> None:
    measured, _ = read(EUROPEAN, DROPPER + readings(V5="30.5 V"))
    assert measured.line_volts == 230
    assert measured.line_assumed


def test_measured_current_beside_the_computed_one() -> None:
    measured, texts = read(EUROPEAN, DROPPER + readings(line="230 V", current="0.125 A", **GOOD))
    assert measured.off_current == pytest.approx(0.26, abs=0.01)
    assert any(text.startswith("The string was measured at 125 mA") for text in texts)


def test_reading_of_nothing_in_the_set_is_named() -> None:
    measured, _ = read(EUROPEAN, DROPPER + readings(line="230 V", V9="6 V", **GOOD))
    assert measured.other_names == ("V9",)


@pytest.mark.parametrize(
    ("lamp", "line", "adds_up"),
    [("  lamp: 6 V\n", "120 V", True), ("  lamp: 6 V\n", "140 V", False), ("", "120 V", True)],
)
def test_a_lamp_in_series_counts_among_the_volts(lamp: str, line: str, adds_up: bool) -> None:
    """114 V of heaters and 6 V of lamp; where the lamp was not read, what it is computed to take stands in."""
    tubes = "V1: 12BE6\nV2: 12BA6\nV3: 12AV6\nV4: 50C5\nV5: 35W4"
    heaters = (
        "order: V5, V4, V2, lamp, V1, V3\npilot lamp:\n  type: dial lamp\n  place: in series\n  volts: 6.3 V\n"
        f"  amps: 150 mA\nmeasured:\n  line: {line}\n  V5: 33 V\n  V4: 46 V\n  V2: 11.6 V\n  V1: 11.7 V\n  V3: 11.7 V\n"
    )
    measured, _ = read(tubes, heaters + lamp, line="120 V 60 Hz")
    assert measured.sum_volts == pytest.approx(114)
    assert measured.adds_to_volts == pytest.approx(120 if lamp else 119.9, abs=0.5)
    assert measured.adds_up is adds_up


def test_heaters_computed_out_of_their_band_are_said_beside_what_was_measured_of_them() -> None:
    """By hand: 30.5 V of 31 V is 98 %, 44.3 V of 45 V too; 13.8 V of 14 V is 99 %."""
    _, texts = read(EUROPEAN, "dropper: resistor 1700 ohm 30 W\n" + readings(line="224 V", **GOOD))
    said = next(text for text in texts if "under the band" in text)
    assert "under the band as computed; they were measured at 98" in said.replace("\u202f", " ")
    assert "with 224" in said
    head = f"line: 230 V 50 Hz\npower: series string\ntubes:\n{makers.rows(EUROPEAN)}"
    heaters = makers.rows("dropper: resistor 1700 ohm 30 W\n" + readings(line="224 V", **GOOD))
    conclusion = makers.digest("heaters", f"{head}heaters:\n{heaters}").conclusion
    assert "; they were measured at 98" in "".join(map(str, conclusion))


def test_a_lamp_without_a_name_is_said_once() -> None:
    text = (
        f"line: 230 V 50 Hz\npower: series string\ntubes:\n{makers.rows(EUROPEAN)}heaters:\n"
        "  dropper: resistor 1000 ohm 30 W\n  pilot lamp: 18 V 0.1 A in series\n"
    )
    page = makers.plain(makers.page("heaters", text, drawn=True))
    assert "The lamp in the string has" in page
    assert "lamp lamp" not in page


def test_a_lamp_that_was_measured_stands_beside_what_is_computed_for_it() -> None:
    """5.2 V across the tap's lamp was read into the record and stood nowhere."""
    text = (
        "power: series string\nline: 120 V 60 Hz\n"
        "tubes:\n  V1: 12SA7\n  V2: 12SK7\n  V3: 12SQ7\n  V4: 50L6GT\n  V5: 35Z5GT\n"
        'heaters:\n  order: [V5, V4, V2, V1, V3]\n  pilot lamp: "47, across V5 tap"\n'
        "  measured:\n    line: 117 V\n    V1: 12.1 V\n    lamp: 5.2 V\n"
    )
    measured = makers.found("heaters", text).measured
    assert measured.lamp_volts == 5.2
    assert 4 < measured.lamp_computed_volts < 7
    page = makers.plain(makers.page("heaters", text))
    assert re.search(r"Pilot lamp: <span[^>]*>5.2 V</span> measured, <span[^>]*>[\d.]+ V</span> computed", page)


def test_an_ntc_takes_its_part_of_the_line_and_of_what_a_dropper_is_wanted_for() -> None:
    """Kirchhoff: 115.5 V of heaters at 0.1 A and 80 Ω hot leave 106.5 V, 1065 Ω, where 1145 Ω forgot the NTC."""
    heaters = "order: V5, V4, V2, V1, V3\ndropper: resistor 1065 ohm 30 W\nntc: cold 1 kohm, hot 80 ohm\n"
    hot = {"V5": "31 V", "V4": "45 V", "V2": "12.6 V", "V1": "14 V", "V3": "14 V"}
    bench = makers.bench(
        f"line: 230 V 50 Hz\npower: series string\ntubes:\n{makers.rows(EUROPEAN)}heaters:\n{makers.rows(heaters)}"
    )
    found = makers.found("heaters", bench)
    assert found.dropper is not None
    assert found.dropper.ohms == pytest.approx((230 - 116.6 - 8) / 0.1, rel=1e-3)
    measured, _ = read(EUROPEAN, heaters + readings(line="230 V", dropper="106.5 V", **hot))
    assert measured.adds_to_volts == pytest.approx(116.6 + 106.5 + 8, rel=0.005)
    assert measured.adds_up
    with_its_own, _ = read(EUROPEAN, heaters + readings(line="230 V", dropper="106.5 V", ntc="6 V", **hot))
    assert with_its_own.adds_to_volts == pytest.approx(116.6 + 106.5 + 6)
