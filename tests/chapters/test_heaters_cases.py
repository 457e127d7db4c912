"""The choices, shunts, lamps, failures, second string, taps and battery filaments of a record."""

from __future__ import annotations

import math

import pytest

import makers
from benchleaf.chapters.heaters.findings import HeatersFindings
from benchleaf.record.units import say
from benchleaf.report.findings import FAULT, NOTE
from markup import words_of


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


def test_a_capacitor_is_not_computed_where_the_frequency_is_not_written() -> None:
    """Its reactance is 1/(2 pi f C): without f there is none. What has no frequency in it is computed all the same."""
    told = "line: 120 V\npower: series string\n" + OLD
    kinds = {c.kind: c for c in found(told).choices}
    assert (kinds["capacitor"].not_here, kinds["capacitor"].to_fit_farads) == ("frequency", None)
    assert kinds["resistor"].ohms == pytest.approx(51.1 / 0.3)
    assert "the line frequency is not written" in words_of(makers.page("heaters", told), " ")


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


TAPS = "  mains taps:\n    110 V: 137 ohm\n    120 V: 170 ohm\n    130 V: 204 ohm\n"
"""6v6.co.uk: three 6.3 V and two 25 V tubes of 0.3 A, 68.9 V: (110 - 68.9)/0.3 = 137 ohm, and so on."""


@pytest.mark.handbook
def test_dropper_taps_are_judged_each_at_its_own_voltage() -> None:
    """Each gives the heaters their rating on the voltage it is named by; on 120 V the tap for 110 V runs them high."""
    findings = found(LINE + OLD + "heaters:\n  dropper: resistor 170 ohm 50 W\n" + TAPS)
    taps = findings.mains_taps
    assert [t.name for t in taps if t.nearest] == ["120 V"]
    assert [t.highest_of_rated for t in taps] == pytest.approx([1, 1, 1], abs=0.002)
    assert [t.verdict for t in taps] == ["within"] * 3
    here = [t.here_highest_of_rated or 0 for t in taps]
    assert here[0] > 1.1 > here[1] > here[2]


def test_tap_of_the_wrong_resistance_is_outside_on_its_own_voltage() -> None:
    (tap,) = found(LINE + OLD + "heaters:\n  dropper: resistor 170 ohm\n  mains taps:\n    220 V: 170 ohm\n").mains_taps
    assert tap.verdict == "outside"
    assert (tap.here_highest_of_rated or 0) == pytest.approx(1, abs=0.005)


def test_range_of_a_tap_is_judged_at_both_its_ends() -> None:
    """(205 - 68.9)/0.3 = 453.7 ohm is right in the middle of 180-230 V, and neither end is."""
    text = "heaters:\n  dropper: resistor 453.7 ohm\n  mains taps:\n    180-230 V: 453.7 ohm\n"
    (tap,) = found("line: 200 V 50 Hz\npower: series string\n" + OLD + text).mains_taps
    assert (tap.volts, tap.low_volts, tap.high_volts) == (205, 180, 230)
    assert (tap.lowest_of_rated or 0) < 1 < (tap.highest_of_rated or 0)
    assert tap.nearest


def test_taps_without_a_dropper_are_the_dropper() -> None:
    bench = makers.bench(LINE + OLD + "heaters:\n" + TAPS)
    findings = makers.findings("heaters", bench)
    assert findings.shares[-1] == pytest.approx(1, abs=0.005)
    assert any("the line tap 120 V, nearest to the line, counts as in use" in line for line in findings.assumed)
    assert makers.standouts("heaters", bench) == []
    assert "Taken to be in use: the 120 V tap" in makers.page("heaters", bench)


@pytest.mark.parametrize(("line", "tap"), [(200, "190-260 V"), (212, "205-215 V"), (187, "190-260 V")])
def test_the_tap_made_for_the_line_is_the_one_whose_range_holds_it(line: int, tap: str) -> None:
    """Of those that hold it, and of those as far from holding it, the one with the nearer middle: 210 V, 225 V."""
    taps = "  mains taps:\n    205-215 V: 12 ohm\n    190-260 V: 45 ohm\n"
    heaters = f"heaters:\n  windings:\n    LT: 6.3 V 2 A\n{taps}"
    findings = found(f"line: {line} V 50 Hz\npower: transformer\ntubes:\n  V1: 6A8\n{heaters}")
    assert [t.name for t in findings.mains_taps if t.nearest] == [tap]


@pytest.mark.parametrize(
    ("made_for", "verdict"),
    [("198-242 V", "within"), ("197-243 V", "outside"), ("199-241 V", "within"), ("220 V", "within")],
)
def test_a_setting_for_a_range_is_held_to_ten_per_cent_either_way(made_for: str, verdict: str) -> None:
    """198 and 242 V are 0.9 and 1.1 times 220 V, the middle of all four: the ends of the band belong to it."""
    heaters = f"heaters:\n  windings:\n    LT: 6.3 V 2 A\n  mains taps:\n    {made_for}: 12 ohm\n"
    (tap,) = found(f"line: 220 V 50 Hz\npower: transformer\ntubes:\n  V1: 6A8\n{heaters}").mains_taps
    assert tap.verdict == verdict


@pytest.mark.parametrize(("order", "said"), [("", True), ("  order: V5, V4, V2, V1, V3\n", False)])
def test_an_order_that_is_not_written_is_said_to_be_taken_for_granted(order: str, said: bool) -> None:
    assumed = found(f"{LINE}{NEW}heaters:\n  pilot lamp: 47 across V5 tap\n{order}").assumed
    assert any("order of the string is not written" in line for line in assumed) is said


def test_taps_of_a_transformer_are_shown() -> None:
    """On its own voltage a tap gives the winding's 6.3 V; the one for 220 V gives 230/220 of it on 230 V."""
    heaters = "heaters:\n  windings:\n    LT: 6.3 V 2 A\n  mains taps:\n    110 V: 12 ohm\n    220 V: 45 ohm\n"
    bench = makers.bench("line: 230 V 50 Hz\npower: transformer\ntubes:\n  V1: 6A8\n  V2: 6F6\n" + heaters)
    low, high = makers.findings("heaters", bench).mains_taps
    assert (low.highest_of_rated, high.highest_of_rated, high.verdict) == (pytest.approx(1), pytest.approx(1), "within")
    assert (low.nearest, high.nearest) == (False, True)
    assert high.here_highest_of_rated == pytest.approx(230 / 220)
    assert low.here_highest_of_rated == pytest.approx(230 / 110)
    page = makers.page("heaters", bench)
    assert "Taps of the transformer, each judged on the voltage it is made for" in page
    assert "45 Ω" in page.replace("\u202f", " ").replace("&nbsp;", " ")


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


@pytest.mark.parametrize(
    ("written", "missing"),
    [
        ("0.3 A", "The barretter’s range of volts is not written"),
        ("130 V 0.3 A", "The barretter’s range of volts is not written"),
        ("95-165 V", "The barretter’s current is not written"),
        ("", "The barretter’s range of volts and its current are not written"),
    ],
)
def test_barretter_without_a_range_is_a_gap_and_no_fault(written: str, missing: str) -> None:
    bench = makers.bench(f"line: 230 V\npower: series string\n{OLD}heaters:\n  dropper: barretter {written}\n")
    assert [s.text for s in makers.standouts("heaters", bench) if s.severity >= FAULT] == []
    (gap,) = [m for m in makers.findings("heaters", bench).missing if "barretter" in m]
    assert gap.startswith(missing)


def test_a_barretter_among_the_tubes_is_told_with_its_line() -> None:
    """It stands in a socket as they do, and is no heater: it was called a type that the table lacks."""
    tubes = "tubes:\n  V1: CF3\n  V2: CL4\n  V3: CY2\n  V4: C1, barretter\n"
    text = f"line: 220 V 50 Hz\npower: series string\n{tubes}heaters:\n  order: {{at}}, V3, V2, V1\n"
    (gap,) = makers.findings("heaters", makers.bench(text.format(at="V4"))).missing
    assert "“dropper: barretter 80-200 V 0.2 A, type C1” (from memory), and “dropper” for V4" in gap
    line = "  dropper: barretter 80-200 V 0.2 A, type C1\n"
    as_told = makers.bench(text.format(at="dropper") + line)
    assert makers.findings("heaters", as_told).nominal.current_amps == 0.2


DROPPERLESS = "power: series string\ntubes:\n  V1: 12SA7\n  V2: 12SK7\n  V3: 12SQ7\n  V4: 35L6GT\n  V5: 35Z5GT\n"
"""L. Lovell, Antique Radio Repair (1989): 107.8 V at 0.15 A."""


@pytest.mark.handbook
@pytest.mark.parametrize(("line", "graded"), [(117.0, "good"), (121.0, "watch"), (124.0, "watch"), (140.0, "bad")])
def test_string_without_a_dropper_on_a_line_that_has_risen(line: float, graded: str) -> None:
    """The working band of 1927 was 117.5 ± 7.5 V (AIEE Transactions 1927): 107.8 V on 124 V is 115 %, and was 102 % on
    110 V; 140 V is no line that has risen. The remedy is Lovell's (U - sum)/I."""
    bench = makers.bench(f"line: {line:g} V 60 Hz\n{DROPPERLESS}")
    findings = makers.findings("heaters", bench)
    assert {j.graded for j in findings.judged.values()} == {graded}
    assert findings.shares[-1] == pytest.approx(line / 107.8)
    top = [s for s in makers.standouts("heaters", bench) if "heater volts" in s.text]
    assert [s.severity for s in top] == {"good": [], "watch": [NOTE], "bad": [FAULT]}[graded]
    if graded == "watch":
        ohms = (line - 107.8) / 0.15
        assert findings.dropper.ohms == pytest.approx(ohms)
        assert ohms <= findings.dropper.preferred_ohms < 1.1 * ohms
        assert say(findings.dropper.preferred_ohms, "ohm") in top[0].text
        assert "as in a set built for a lower line" in makers.page("heaters", bench)


@pytest.mark.parametrize(
    "heaters", ["dropper: resistor 5 ohm 5 W", "diode in place of: 35W4", "mains taps:\n    110 V: 20 ohm"]
)
def test_string_that_has_or_wants_a_dropper_is_not_excused(heaters: str) -> None:
    bench = makers.bench(f"line: 124 V 60 Hz\n{DROPPERLESS}heaters:\n  {heaters}\n")
    assert {j.graded for j in makers.findings("heaters", bench).judged.values()} == {"bad"}


def test_cord_and_ballast_are_advice_for_sets_that_have_them_only() -> None:
    fitted = {
        "": {"resistor", "capacitor", "diode", "diode and resistor"},
        "dropper: resistance cord 170 ohm": {"resistor", "resistance cord", "capacitor", "diode", "diode and resistor"},
        "dropper: ballast 51 V": {"resistor", "ballast", "capacitor", "diode", "diode and resistor"},
    }
    for written, kinds in fitted.items():
        findings = found(LINE + OLD + (f"heaters:\n  {written}\n" if written else ""))
        assert {c.kind for c in findings.choices} == kinds


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
