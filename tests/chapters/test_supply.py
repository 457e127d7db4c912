"""Rectifier and filter of whole sets, and what is said where the record does not give enough."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import makers
from benchleaf.chapters.supply.findings import SupplyFindings
from benchleaf.chapters.supply.found import WINDING_OHMS
from benchleaf.electrics.rectifier import Filter, FilterTap, Rectifier, Supply
from benchleaf.electrics.steady_state import solve
from benchleaf.report.findings import NOTE, as_json
from makers import meant

SERIES = {"V1": "12BE6", "V2": "12BA6", "V3": "12AV6", "V4": "50C5", "V5": "35W4"}
HEAD = "maker: A\nmodel: B\nline: 120 V 60 Hz\npower: series string\n"
READ = """readings:
  2026-03-04 after:
    line: 118 V
    V4: cathode 5.9
    B+1: 121
    B+2: 92.4
"""
PARTS = """parts:
  C12:
    sections:
      a: was 40 uF 150 V electrolytic, ESR 9 ohm, between B+1 and B-
      b: was 20 uF 150 V electrolytic, ESR 7 ohm, between B+2 and B-
    now: 47 uF 200 V electrolytic and 22 uF 200 V electrolytic
  R8: keep, 150 ohm, measured 156 ohm, between V4 cathode and B-
  R9: now 1 kohm 2 W, measured 1.01 kohm, between B+1 and B+2
  T3: keep, job output transformer, between V4 plate and B+1
"""


def tubes_of(tubes: Mapping[str, str]) -> str:
    return "tubes:\n" + "".join(f"  {p}: {t}\n" for p, t in tubes.items())


def found(text: str, tubes: Mapping[str, str] = SERIES) -> SupplyFindings | None:
    return makers.findings("supply", text + tubes_of(tubes))


def known(text: str, tubes: Mapping[str, str] = SERIES) -> SupplyFindings:
    findings = found(text, tubes)
    assert findings is not None
    return findings


def test_a_five_tube_set_comes_out_as_it_was_read() -> None:
    """Loads from the readings by hand: 28.6 V / 1010 ohm behind, 5.9 V / 156 ohm less the screen before."""
    findings = known(HEAD + READ + PARTS)
    nominal = findings.nominal
    assert nominal is not None
    assert findings.agrees is True
    assert nominal.rails[1].load_amps == meant(28.6 / 1010 * 120 / 118)
    assert 0.85 < nominal.rails[0].load_amps / (5.9 / 156) < 1.0
    assert [w.line_volts for w in findings.working] == [108.0, 120.0, pytest.approx(132.0)]
    volts = [w.rails[0].volts for w in findings.working]
    assert volts == sorted(volts)
    assert findings.before is not None
    assert findings.before.rails[0].ripple_volts > nominal.rails[0].ripple_volts
    assert nominal.thumb_off is not None
    assert 0.1 < nominal.thumb_off < 0.5


def test_silicon_takes_the_heater_volts_away() -> None:
    findings = known(HEAD + READ + PARTS)
    assert findings.silicon is not None
    assert findings.nominal is not None
    assert findings.silicon.rails[0].volts > findings.nominal.rails[0].volts + 10
    assert findings.silicon_missing_heater_volts == 35
    assert findings.silicon_series_ohms is not None
    assert 30 < findings.silicon_series_ohms < 200


def test_a_large_reservoir_is_a_finding() -> None:
    """35W4: 40 µF (from memory). Twice that is told of."""
    findings = known(HEAD + READ + PARTS.replace("47 uF 200 V", "100 uF 200 V"))
    assert findings.reservoir_too_large is True
    assert [s.severity for s in makers.standouts("supply", "", findings)] == [NOTE]
    assert known(HEAD + READ + PARTS).reservoir_too_large is False


@pytest.mark.parametrize(
    ("farads", "over", "word"),
    [
        ("40 uF", 0.0, "this one is not larger"),
        ("47 uF", 0.175, "this one is larger by 18 %, within the 25 % allowed here"),
        ("56 uF", 0.4, "this one is larger by 40 %, more than the 25 % allowed here"),
    ],
)
def test_the_allowance_over_the_largest_reservoir_is_said_with_its_reason(farads: str, over: float, word: str) -> None:
    """47 µF was told as not larger than the 40 µF of a 35W4, by an allowance that stood nowhere."""
    text = HEAD + READ + PARTS.replace("47 uF 200 V", f"{farads} 200 V")
    assert known(text).reservoir_share_over_limit == pytest.approx(over)
    html = page(text).replace("\u202f", " ").replace("\xa0", " ")
    assert word in html
    reason = "10 µF for 8 µF, 22 µF for 20 µF, 47 µF for 40 µF; common practice, no source"
    assert (reason in html) is (over > 0)


def test_line_current_of_a_series_set() -> None:
    text = HEAD.replace("tubes", "") + "heaters:\n  order: V5, V4, V2, V1, V3\n" + READ + PARTS
    line = known(text).line_current
    assert line is not None
    assert max(line.string_amps, line.pulses_amps) < line.together_amps < line.sum_amps


def test_digits_on_the_page_are_those_of_the_findings() -> None:
    """What a page says of a figure is the figure: rounding it again changes nothing."""
    nominal = known(HEAD + READ + PARTS).nominal
    assert nominal is not None
    assert nominal.peak_amps == meant(nominal.peak_amps, 2)
    for rail in nominal.rails:
        assert (rail.volts, rail.ripple_volts) == (meant(rail.volts), meant(rail.ripple_volts, 2))


TRANSFORMER = {"V1": "6K7", "V4": "6Q7", "V5": "6F6", "V6": "5Y3GT"}
REGENT = """maker: A
model: B
line: 120 V 60 Hz
power: transformer
readings:
  2026-09-19 as found:
    line: 120 V
    V6: plate 340 AC
    V5: plate 228, screen 246, cathode 19.8
    B+1: 331
    B+2: 246
parts:
  C12: now 16 uF 450 V electrolytic, between B+1 and chassis
  C13: keep, 16 uF 450 V electrolytic, between B+2 and chassis
  L1: keep, job speaker field as choke, 1 kohm, between B+1 and B+2
  R7: keep, 400 ohm, measured 431 ohm, between V5 cathode and chassis
"""


def test_a_transformer_set_is_full_wave() -> None:
    """Ripple is at twice the line: by the rule of thumb 82 mA·1.0/(120 Hz·16 µF) = 44 V before the solved 30 or so."""
    findings = known(REGENT, TRANSFORMER)
    assert findings.lacks == ()
    assert (findings.kind, findings.rectifier) == ("full-wave", "V6")
    nominal = findings.nominal
    assert nominal is not None
    assert nominal.thumb_ripple_volts == meant(85 / 1000 / (120 * 16e-6), 2)
    assert nominal.rails[0].ripple_volts < nominal.thumb_ripple_volts
    assert findings.line_current is None


def test_a_reading_that_cannot_be_is_said_and_no_limit_is_judged_by_it() -> None:
    findings = known(REGENT.replace("B+1: 331", "B+1: 200").replace("B+2: 246", "B+2: 150"), TRANSFORMER)
    assert findings.agrees is False
    assert all("peaks of" not in s.text for s in makers.standouts("supply", "", findings))


@pytest.mark.parametrize(
    ("change", "lacks"),
    [
        ((REGENT, "    V6: plate 340 AC\n", ""), "an AC reading at the plate of V6"),
        ((REGENT, "line: 120 V 60 Hz\n", ""), "a line voltage"),
        ((REGENT, "    B+2: 246\n", ""), "readings at B+1 and B+2, on both sides of L1"),
    ],
)
def test_what_would_be_needed(change: tuple[str, str, str], lacks: str) -> None:
    text, gone, instead = change
    findings = known(text.replace(gone, instead, 1), TRANSFORMER)
    assert findings.lacks == (lacks,)
    assert findings.working == ()


def test_a_vibrator_set_has_a_square_wave() -> None:
    findings = known(REGENT.replace("power: transformer", "power: vibrator"), TRANSFORMER)
    assert findings.hertz == 115.0
    assert any("vibrator" in a for a in findings.assumed)
    sine = known(REGENT, TRANSFORMER)
    assert findings.nominal is not None
    assert sine.nominal is not None
    assert findings.nominal.rails[0].ripple_volts < sine.nominal.rails[0].ripple_volts


def test_a_mercury_vapour_rectifier_drops_the_same_at_every_current() -> None:
    """83: 15 V, nearly constant (General Electric ET-T464, Feb 1947); Child's law through the same point is another."""
    from benchleaf.electrics.rectifier import Filter, FilterTap, Rectifier, Supply
    from benchleaf.electrics.steady_state import solve
    from benchleaf.electrics.winding_drop import winding_drop_volts

    nominal = known(REGENT, TRANSFORMER | {"V6": "83"}).nominal
    assert nominal is not None
    loads = [rail.load_amps for rail in nominal.rails]
    taps = (FilterTap(16e-6, load_amps=loads[0]), FilterTap(16e-6, load_amps=loads[1], series_ohms=1000.0))
    bare = 340 + winding_drop_volts(sum(loads), WINDING_OHMS / 2, WINDING_OHMS / 2, halves=True)
    peak = bare * math.sqrt(2)
    by_hand = solve(Supply("full-wave", peak, 60.0, WINDING_OHMS, Rectifier(None, 15.0)), Filter(taps))
    assert (nominal.rails[0].volts, nominal.peak_amps) == (meant(by_hand.mean_volts[0]), meant(by_hand.peak_amps, 2))
    vacuum = solve(Supply("full-wave", peak, 60.0, WINDING_OHMS, Rectifier.tube(15.0, 0.225)), Filter(taps))
    assert (meant(vacuum.mean_volts[0]), meant(vacuum.peak_amps, 2)) != (nominal.rails[0].volts, nominal.peak_amps)


def test_the_figures_of_the_rectifier_are_said_with_their_sources() -> None:
    said = known(REGENT, TRANSFORMER).limit_source.replace("\u202f", " ")
    assert "drop 60 V at 125 mA for each plate (A receiving-tube manual of 1959" in said
    assert "another drop 50 V at 125 mA for each plate" in said
    assert "peak for each plate 400 mA (from memory)" in said


def test_nothing_without_filter_or_on_batteries() -> None:
    assert found(HEAD + "parts:\n  C1: keep, 10 nF paper, between V3 plate and V4 grid\n") is None
    assert found(HEAD.replace("series string", "battery") + PARTS) is None


@settings(max_examples=15)
@given(
    st.sampled_from(["0 uF", "1 pF", "47 uF", "10000 uF"]),
    st.sampled_from(["0 ohm", "0.1 ohm", "1 kohm", "10 meg"]),
    st.sampled_from(["0", "-5", "121", "9999"]),
)
def test_odd_records_never_raise(farads: str, ohms: str, volts: str) -> None:
    text = HEAD + READ.replace("B+1: 121", f"B+1: {volts}") + PARTS.replace("47 uF", farads).replace("1.01 kohm", ohms)
    findings = found(text)
    told = as_json(findings)
    assert json.loads(json.dumps(told, allow_nan=False)) == told


def test_page_says_it_and_escapes() -> None:
    html = page((HEAD + READ + PARTS).replace("B+1", "B+1<script>"))
    assert "<script>" not in html
    assert "bl-conclusion" in html


def page(text: str, tubes: Mapping[str, str] = SERIES) -> str:
    return makers.page("supply", text + tubes_of(tubes))


@pytest.mark.parametrize("kind", ["silicon", "selenium"])
def test_a_dry_rectifier_that_is_fitted_takes_the_tubes_place(kind: str) -> None:
    """What the tube would have made with silicon in its place is what is computed once silicon is fitted."""
    text = HEAD + READ + PARTS + f"  D1: job rectifier, now {kind}\n"
    findings, tube = known(text), known(HEAD + READ + PARTS)
    assert (findings.rectifier, findings.rectifier_type, findings.instead_of) == ("D1", kind, "V5")
    assert findings.peak_limit_amps is None
    assert (findings.silicon is None) == (kind == "silicon"), "silicon in place of selenium is still to come"
    assert findings.silicon_missing_heater_volts is None
    assert findings.nominal is not None
    assert tube.nominal is not None
    assert tube.silicon is not None
    assert findings.nominal.rails[0].volts > tube.nominal.rails[0].volts + 5
    if kind == "silicon":
        assert findings.nominal.rails[0].volts == pytest.approx(tube.silicon.rails[0].volts, rel=1e-3)
    html = page(text, SERIES)
    assert f"D1 is a {kind} rectifier that the record has as fitted" in html
    assert "instead of V5" in html


def test_a_dry_rectifier_where_the_line_up_has_no_rectifier() -> None:
    without = {position: tube for position, tube in SERIES.items() if position != "V5"}
    assert known(HEAD + READ + PARTS, without).lacks == ("a rectifier among the tubes",)
    findings = known(HEAD + READ + PARTS + "  D1: job rectifier, now silicon\n", without)
    assert (findings.lacks, findings.rectifier, findings.instead_of) == ((), "D1", "")


@pytest.mark.parametrize(
    "line",
    [
        "  D1: job rectifier, was selenium, now none",
        "  D1: job rectifier, now silicon, ordered 2026-03-01",
        "  D1: job detector, now silicon",
    ],
)
def test_a_dry_rectifier_that_is_not_fitted_or_no_rectifier_is_left_out(line: str) -> None:
    assert known(f"{HEAD}{READ}{PARTS}{line}\n").rectifier == "V5"


def test_the_square_wave_is_said_to_be_without_the_buffer() -> None:
    text = REGENT.replace("power: transformer", "power: vibrator")
    assert "computed without the buffer capacitor:" in page(text, TRANSFORMER)
    assert "computed without the buffer capacitor (C20):" in page(
        text + "  C20: job buffer, now 6.8 nF 1600 V polypropylene\n", TRANSFORMER
    )
    assert "buffer" not in page(REGENT, TRANSFORMER)


@pytest.mark.parametrize("type", ["silicon", "silicon diode", "Selenium"])
def test_a_tube_position_changed_to_a_dry_rectifier(type: str) -> None:
    text = f"{HEAD}changed tubes:\n  V5: was 35W4, now {type}\n{READ}{PARTS}"
    findings = known(text)
    assert (findings.rectifier, findings.dry, findings.instead_of) == ("V5", type.split()[0].casefold(), "")
    assert "V5 is a " in page(text, SERIES)


DRIED = PARTS.replace("was 40 uF 150 V electrolytic, ESR 9 ohm", "was 16 uF 150 V electrolytic{}, ESR 41 ohm").replace(
    "was 20 uF 150 V electrolytic, ESR 7 ohm", "was 8 uF 150 V electrolytic{}, ESR 60 ohm"
)


def before_of(parts: str) -> tuple[float, ...]:
    """Ripple at each capacitor with the old ones."""
    findings = known(HEAD + READ + parts)
    assert findings.before is not None
    return tuple(rail.ripple_volts for rail in findings.before.rails)


def test_the_old_capacitors_ripple_with_what_was_measured_of_them() -> None:
    """Dried to 6 and 4 uF they ripple as capacitors marked so do, whatever they are marked themselves."""
    measured = before_of(DRIED.format(", measured 6 uF", ", measured 4 uF"))
    assert measured == pytest.approx(
        before_of(DRIED.replace(" 8 uF", " 4 uF").replace(" 16 uF", " 6 uF").format("", ""))
    )
    marked = before_of(DRIED.format("", ""))
    assert (marked[0], measured[0]) == (53, 110)


def test_old_capacitors_that_have_no_value_are_named() -> None:
    findings = known(HEAD + READ + DRIED.format(", measured open", ", measured 2.2 uF"))
    assert (findings.before, findings.lacks_before) == (None, ("C12 a",))
    assert findings.nominal is not None


def test_a_load_is_computed_with_the_resistor_that_was_in_when_it_was_read() -> None:
    """28.6 V across R9: through 1.19 kohm before the new resistor came, through 1.01 kohm after."""
    old = "  R9: was 1 kohm, measured 1.19 kohm, now 1 kohm 2 W, measured 1.01 kohm, between B+1 and B+2, fitted {}\n"
    for fitted, ohms in (("2026-03-03", 1010), ("2026-03-05", 1190)):
        lines = [old.format(fitted) if line.startswith("  R9") else line for line in PARTS.splitlines(keepends=True)]
        nominal = known(HEAD + READ + "".join(lines)).nominal
        assert nominal is not None
        assert nominal.rails[1].load_amps == meant(28.6 / ohms * 120 / 118)


def test_a_bleeder_makes_no_rail() -> None:
    """A rail has a filter capacitor; a resistor to B- alone does not make one."""
    bled = known(HEAD + READ + PARTS + "  R20: keep, 100 kohm, between B+3 and B-\n")
    plain = known(HEAD + READ + PARTS)
    assert bled.nominal is not None
    assert plain.nominal is not None
    assert [rail.rail for rail in bled.nominal.rails] == [rail.rail for rail in plain.nominal.rails] == ["B+1", "B+2"]


def test_the_transformers_ohms_are_those_that_were_measured_before_power() -> None:
    """By hand: half of 400 ohm, and 9 ohm of the primary through 340/120 squared, make 272 ohm for each half."""
    measured = REGENT + "  T1: power transformer\nbefore power:\n  - HT winding 400 ohms\n  - T1 primary 9 ohms\n"
    by_rule, read = known(REGENT, TRANSFORMER), known(measured, TRANSFORMER)
    assert any(f"{WINDING_OHMS:g} Ω" in said for said in by_rule.assumed)
    assert not any("winding" in said for said in read.assumed)
    assert [said.split(" of ")[0].replace("\u202f", " ") for said in read.before_it] == [
        "200 Ω",
        "72 Ω for its primary",
    ]
    assert by_rule.nominal
    assert read.nominal
    assert read.nominal.rails[0].volts < by_rule.nominal.rails[0].volts


def test_no_surge_resistor_is_asked_for_where_one_is_written() -> None:
    low = REGENT.replace("B+1: 331", "B+1: 250").replace("B+2: 246", "B+2: 165")
    assert "give it the job" in page(low, TRANSFORMER)
    written = makers.plain(page(low + "  R23: 56 ohm, surge, V6 cathode to B+1\n", TRANSFORMER))
    assert "give it the job" not in written
    assert "more resistance before the rectifier than R23 56 Ω" in written.replace("\u202f", " ")


def test_behind_a_coil_of_which_only_the_ohms_are_written_the_ripple_is_at_most_so_much() -> None:
    """With the 10 H of a usual choke (common practice, no source) the solver leaves less than a third of it."""
    resistor = REGENT.replace("L1: keep, job speaker field as choke, 1 kohm", "R9: keep, 1 kohm")
    by_ohms, coil = known(resistor, TRANSFORMER).nominal, known(REGENT, TRANSFORMER).nominal
    assert by_ohms is not None
    assert coil is not None
    assert [rail.ripple_at_most for rail in by_ohms.rails] == [False, False]
    assert [rail.ripple_at_most for rail in coil.rails] == [False, True]
    assert coil.rails[1].ripple_volts == by_ohms.rails[1].ripple_volts
    one = Supply("full-wave", 480.0, 60.0, 150.0, Rectifier.tube(50.0, 0.125))
    first, second = FilterTap(16e-6, load_amps=0.05), FilterTap(16e-6, load_amps=0.03, series_ohms=1000.0)
    by = [solve(one, Filter((first, tap))).ripple_volts[1] for tap in (second, replace(second, series_henries=10.0))]
    assert by[1] < by[0] / 3
    page = makers.plain(makers.page("supply", REGENT + tubes_of(TRANSFORMER)))
    assert "with at most" in page
    assert "L1 is a coil whose inductance is not written" in page
    assert "at most" not in makers.plain(makers.page("supply", resistor + tubes_of(TRANSFORMER)))


def test_what_is_read_as_it_is_computed_is_not_said_to_differ_by_nothing() -> None:
    """“Differs by ±0 %” stood in the demo."""
    one = found(HEAD + PARTS)
    assert one is not None
    assert replace(one, computed_against_read=-0.004).beside_read == "is the same within half a per cent"
    assert replace(one, computed_against_read=-0.06).beside_read == "differs by −6\u202f%"
