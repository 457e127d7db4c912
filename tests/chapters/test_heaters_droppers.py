"""Droppers, capacitors, diodes and ballasts in a heater string, and what is said of it."""

from __future__ import annotations

import math

import pytest

import makers
from benchleaf.report.findings import FAULT, NOTE
from benchleaf.words import BRITISH
from heater_strings import AMERICAN_FIVE, EUROPEAN_FIVE, found, series


def said(text: str) -> list[str]:
    return makers.said("heaters", text)


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
    assert "0.707 of the volts RMS of the line, which in a fixed resistance is half of the power" in page


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


OPEN = """line: 117 V
power: series string
tubes:
  V1: 12BE6
  V2: 35W4
heaters:
  order: V2 V1
  dropper: 150+200+420 ohm, DROPPER
"""


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ("middle section open", "The dropper’s middle section was measured open"),
        ("section 2 measured open", "The dropper’s section 2 was measured open"),
        ("200 ohm section is O/C", "The dropper’s 200 ohm section was measured open"),
        ("measured open", "The dropper was measured open"),
    ],
)
def test_an_open_dropper_is_what_keeps_a_string_dark(written: str, told: str) -> None:
    assert any(
        text.startswith(f"{told}: nothing flows in the string") for text in said(OPEN.replace("DROPPER", written))
    )
    replaced = OPEN.replace("DROPPER", f"{written}, now 300 ohm 30 W")
    assert not any("measured open" in text for text in said(replaced))


def test_an_open_section_of_a_part_that_drops_the_line_is_told_with_its_name() -> None:
    part = "parts:\n  R50: 150+200+420 ohm, measured 152, open, 421, job dropper\n"
    text = OPEN.replace("  dropper: 150+200+420 ohm, DROPPER\n", part)
    assert any(one.startswith("R50 b was measured open") for one in said(text))
    assert not any("measured open" in one for one in said(text.replace("job dropper", "job bleeder")))


def test_a_section_that_the_parts_list_has_new_is_open_no_more() -> None:
    """What was found stands among what was found; what remains is what the set is now."""
    part = "parts:\n  R21: was 200 ohm wirewound, open, job dropper, {now}\n"
    text = OPEN.replace("DROPPER", "section 2 measured open")
    whole = text + part.format(now="now 200 ohm 10 W")
    assert not any("measured open" in one for one in said(whole))
    assert "resistor open" not in makers.plain(makers.page("heaters", whole))
    assert any("measured open" in one for one in said(text + part.format(now="to do")))
    assert any(
        "measured open" in one for one in said(text + part.replace("dropper", "bleeder").format(now="now 200 ohm"))
    )


@pytest.mark.parametrize(
    ("state", "run", "dark"),
    [("finished", "after", False), ("finished", "as found", True), ("in work", "after", True)],
)
def test_a_finished_set_that_was_read_lit_has_no_open_dropper(state: str, run: str, dark: bool) -> None:
    read = f"state: {state}\nreadings:\n  {run}:\n    V1: cathode 1.2\n"
    told = said(OPEN.replace("DROPPER", "section 2 measured open") + read)
    assert any("measured open" in one for one in told) is dark
