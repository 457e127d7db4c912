"""The choices, shunts, lamps, failures, second string, taps and battery filaments of a record."""

from __future__ import annotations

import math

import pytest

import makers
from benchleaf.chapters.heaters.findings import HeatersFindings


def found(text: str) -> HeatersFindings:
    return makers.found("heaters", text)


OLD = "tubes:\n  V1: 6A7\n  V2: 6D6\n  V3: 75\n  V4: 43\n  V5: 25Z5\n"
NEW = "tubes:\n  V1: 12BE6\n  V2: 12BA6\n  V3: 12AV6\n  V4: 50C5\n  V5: 35W4\n"
LINE = "line: 120 V 60 Hz\npower: series string\n"


def test_choices_of_a_resistance_cord_set() -> None:
    """68.9 V at 0.3 A on 120 V: 51.1 V, 170 ohm; a shorted capacitor or diode puts 120/68.9 = 174 % on the heaters."""
    findings = found(LINE + OLD + "heaters:\n  dropper: resistance cord 170 ohm 6 ft\n")
    kinds = {c.kind: c for c in findings.choices}
    assert [c.kind for c in findings.choices if c.fitted] == ["resistance cord"]
    assert kinds["resistance cord"].ohms_per_foot == pytest.approx(170 / 6)
    assert kinds["resistor"].ohms == pytest.approx(51.1 / 0.3)
    assert kinds["capacitor"].failed_highest_of_rated == pytest.approx(120 / 68.9)
    assert kinds["diode"].highest_of_rated == pytest.approx(120 / math.sqrt(2) / 68.9)
    assert kinds["diode and resistor"].ohms == pytest.approx((120 / math.sqrt(2) - 68.9) / 0.3)
    for choice in findings.choices:
        if choice.heat_watts and choice.rating_watts:
            assert choice.rating_watts >= 2 * choice.heat_watts


def test_diode_and_capacitor_are_no_choice_on_direct_current() -> None:
    findings = found("line: 120 V DC\npower: series string\n" + OLD)
    assert {c.kind for c in findings.choices if c.not_here == "DC"} == {"capacitor", "diode"}


def test_lamp_out_puts_the_plate_current_on_the_tap() -> None:
    findings = found(LINE + NEW + "heaters:\n  pilot lamp: 47 across V5 tap\n")
    fitted, early, out = findings.lamp_cases[:3]
    assert (early.lamp_volts or 0) < (fitted.lamp_volts or 0)
    assert out.lamp_volts is None
    assert (out.section_of_rated or 0) > 1.2
    assert {c.lamp for c in findings.lamp_cases[3:]} == {"44", "51"}


def test_shorted_heater_leaves_its_volts_to_the_others() -> None:
    shorted = {s.tube: s for s in found(LINE + NEW).shorted}
    assert shorted["V4"].highest_of_rated == pytest.approx(120 / (122.8 - 50))


def test_mixed_string_names_the_shunt_that_puts_it_right() -> None:
    """A 12.6 V 0.15 A tube among 0.3 A ones: 84 ohm; with it, nothing is mixed and the ratings are met."""
    mixed = OLD.replace("6D6", "12SK7")
    (shunt,) = found(LINE + mixed).wanted_shunts
    assert shunt.over == ("V2",)
    assert shunt.ohms == pytest.approx(84)
    right = "heaters:\n  dropper: resistor 149.3 ohm 50 W\n  shunts:\n    V2: 84 ohm 5 W\n"
    mended = found(LINE + mixed + right)
    assert mended.mixed == ()
    assert mended.nominal is not None
    assert mended.nominal.tubes["V2"].of_rated == pytest.approx(1, rel=1e-3)


def test_second_string_runs_beside_the_first() -> None:
    heaters = "heaters:\n  order: V5, V4\n  second string: V1, V2, V3\n  second dropper: resistor 337 ohm 40 W\n"
    findings = found(LINE + OLD + heaters)
    assert findings.second is not None
    assert findings.nominal is not None
    assert findings.second.rated_sum_volts == pytest.approx(18.9)
    assert set(findings.nominal.tubes) == {"V1", "V2", "V3", "V4", "V5"}
    assert findings.nominal.tubes["V1"].of_rated == pytest.approx(1, rel=1e-3)


def test_mains_tap_nearest_to_the_line_is_marked() -> None:
    taps = "  mains taps:\n    110 V: 137 ohm\n    120 V: 170 ohm\n    130 V: 204 ohm\n"
    findings = found(LINE + OLD + "heaters:\n  dropper: resistor 170 ohm 50 W\n" + taps)
    assert [t.name for t in findings.mains_taps if t.nearest] == ["120 V"]
    shares = [t.highest_of_rated or 0 for t in findings.mains_taps]
    assert shares == sorted(shares, reverse=True)
    assert shares[1] == pytest.approx(1, abs=0.005)


def test_diode_in_place_of_the_rectifier_tube() -> None:
    """35W4: 35 V at 0.15 A are 233 ohm and 5.25 W."""
    diode = found(LINE + NEW.replace("  V5: 35W4\n", "") + "heaters:\n  diode in place of: 35W4\n").diode_rectifier
    assert diode is not None
    assert diode.ohms == pytest.approx(233.3, abs=0.1)
    assert diode.watts == pytest.approx(5.25)


def test_barretter_holds_the_string_or_says_that_it_does_not() -> None:
    fitted = OLD + "heaters:\n  dropper: barretter 95-165 V 0.3 A\n"
    held, lost = (found(f"line: {line}\npower: series string\n{fitted}").nominal for line in ("230 V", "120 V"))
    assert held is not None
    assert lost is not None
    assert held.current_amps == 0.3
    assert lost.current_amps is None


def test_transformer_made_for_117_volts_on_125() -> None:
    heaters = "heaters:\n  primary: 117 V\n  windings:\n    LT: 6.3 V 1 A\n"
    nominal = found("line: 125 V\npower: transformer\ntubes:\n  V1: 6A8\n" + heaters).nominal
    assert nominal is not None
    assert nominal.tubes["V1"].of_rated == pytest.approx(125 / 117)


@pytest.mark.handbook
def test_published_portable_with_filaments_in_parallel() -> None:
    """University of Queensland Physics Museum, portable receiver: 1R5, 1T4, 1S5, 3S4 side by side on 1.5 V: 250 mA."""
    tubes = "tubes:\n  V1: 1R5\n  V2: 1T4\n  V3: 1S5\n  V4: 3S4\n"
    batteries = "heaters:\n  batteries:\n    A: 1.5 V 10 Ah\n    B: 90 V, drain 22 mA\n"
    findings = found("power: battery\n" + tubes + batteries)
    assert findings.windings[0].load_amps == pytest.approx(0.25)
    a, b = findings.drains
    assert a.hours == pytest.approx(40)
    assert b.amps == 0.022
    assert b.hours is None


def test_a_lamp_across_the_tap_is_held_to_its_own_volts() -> None:
    """47: 6.3 V (tube table). Across a whole heater the tube's share is told too; across a tap it is not."""
    across_tap = found(LINE + NEW + "heaters:\n  pilot lamp: 47 across V5 tap\n").lamp_cases
    fitted = across_tap[0]
    assert fitted.lamp_volts is not None
    assert fitted.lamp_of_rated == pytest.approx(fitted.lamp_volts / 6.3)
    assert across_tap[2].lamp_of_rated is None
    assert [c.heater_of_rated for c in across_tap] == [None] * 5
    tubes = NEW + "  V6: 6SQ7\n"
    findings = found("line: 230 V\npower: series string\n" + tubes + "heaters:\n  pilot lamp: 47 across V6\n")
    whole = findings.lamp_cases[0]
    assert findings.nominal is not None
    assert whole.heater_of_rated == pytest.approx(findings.nominal.tubes["V6"].of_rated)


@pytest.mark.parametrize(
    ("dropper", "fitted"),
    [
        ("", []),
        ("diode", ["diode"]),
        ("diode 55 ohm", ["diode and resistor"]),
        ("resistor 170 ohm 30 W", ["resistor"]),
    ],
)
def test_the_choice_that_is_fitted_is_marked(dropper: str, fitted: list[str]) -> None:
    findings = found(LINE + OLD + (f"heaters:\n  dropper: {dropper}\n" if dropper else ""))
    assert [c.kind for c in findings.choices if c.fitted] == fitted


def test_the_sweep_goes_a_fifth_either_way_in_twentieths() -> None:
    """The nominal line is among its points, and there its shares are those of the nominal line."""
    findings = found(LINE + NEW)
    assert [p.line_volts for p in findings.sweep] == pytest.approx([96, 102, 108, 114, 120, 126, 132, 138, 144])
    assert (findings.sweep[4].lowest, findings.sweep[4].highest) == pytest.approx(
        (findings.shares[0], findings.shares[-1])
    )


@pytest.mark.parametrize(("frequency", "measured_higher"), [("", False), ("    frequency: 60 Hz\n", True)])
def test_a_measured_frequency_is_of_the_measured_line_alone(frequency: str, measured_higher: bool) -> None:
    """A capacitor passes more at 60 Hz than at the 50 Hz of the nominal line."""
    head = "line: 240 V 50 Hz\npower: series string\ntubes:\n  V1: PABC80\n  V2: PCL82\n  V3: PL84\n"
    fitted = "heaters:\n  dropper: capacitor 4 uF 400 V\n"
    findings = found(f"{head}{fitted}  measured:\n    line: 239 V\n{frequency}")
    amps = {word: run.current_amps for run in findings.running for word in run.which.split(" and ")}
    assert amps["nominal"] == pytest.approx({r.which: r.current_amps for r in found(head + fitted).running}["nominal"])
    assert (amps["measured"] > amps["nominal"] * 1.05) is measured_higher


@pytest.mark.parametrize(("line", "rating"), [("120 V", 400), ("230 V", 800)])
def test_a_diode_blocks_twice_the_peak_of_the_high_line(line: str, rating: float) -> None:
    """By hand: 2 x 1.414 x 132 V = 373 V, 2 x 1.414 x 253 V = 716 V; the next rating sold."""
    tubes = OLD if line == "120 V" else "tubes:\n  V1: UCH42\n  V2: UF41\n  V3: UBC41\n"
    kinds = {c.kind: c for c in found(f"line: {line} 50 Hz\npower: series string\n{tubes}").choices}
    assert kinds["diode"].rating_volts == rating


def test_an_ntc_resistor_softens_the_start_and_keeps_a_few_volts() -> None:
    """Ohm's law on its hot resistance; cold, its 5.5 kohm alone hold the first current below 132 V / 5.5 kohm."""
    rows = LINE + NEW + "heaters:\n  order: V5, V4, V2, V1, V3\n"
    bare, slowed = found(rows), found(rows + "  ntc: cold 5500 ohm, hot 40 ohm\n")
    assert bare.nominal is not None
    assert slowed.nominal is not None
    assert bare.nominal.thermistor_volts is None
    amps = slowed.nominal.current_amps
    assert amps is not None
    assert slowed.nominal.thermistor_volts == pytest.approx(40 * amps)
    heaters = sum(tube.volts or 0 for tube in slowed.nominal.tubes.values())
    assert slowed.nominal.thermistor_volts + heaters == pytest.approx(120, rel=1e-3)
    on = slowed.switch_on
    assert on is not None
    assert on.with_thermistor_peak_amps is not None
    assert on.with_thermistor_peak_amps < 0.5 * on.peak_amps
    assert on.with_thermistor_warm_seconds is not None
    assert on.warm_seconds is not None
    assert on.with_thermistor_warm_seconds > on.warm_seconds
    assert len(on.amps_with_thermistor) == len(on.amps) == len(on.seconds)
    assert on.amps_with_thermistor[-1] == pytest.approx(on.running_amps, rel=0.1)
