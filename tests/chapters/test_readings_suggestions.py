"""What readings suggest: each rule has one set of readings that must raise it and a near miss that must not.

All patterns are common practice unless the rule names a source; the directions are physics (a plate load that has gone
high makes its plate lower, more current makes a resistor-fed plate lower and its cathode higher).
"""

from __future__ import annotations

import pytest

import makers
from benchleaf.chapters.readings.comparison import compared
from benchleaf.chapters.readings.evidence import Evidence, evidence_of
from benchleaf.chapters.readings.patterns import holds
from benchleaf.chapters.readings.rules import FIRST, RANKS, Rule, rules
from benchleaf.chapters.readings.runs import told_apart
from benchleaf.chapters.readings.suggestions import MOST_CAUSES, Suggestion
from benchleaf.electrics.dc_stage import solve_stage
from faulted_stages import FAULTS, STAGES, faulted

SHEET = """
    line: 120 V
    V1: plate 90, screen 90, osc grid -8, cathode 0
    V2: plate 90, screen 90, cathode 1.2
    V3: plate 45, cathode 1
    V4: plate 110, screen 90, grid 0, cathode 6
    V5: cathode 120, plate 117 AC
    V6: osc plate 95, plate 165, screen 80, osc grid -9
    V7: plate 100, grid -6, cathode 0
    V8: plate 1 300 AC, plate 2 300 AC
    B+2: 90
    regulated 108: 108
"""
COUPLING = "  C7: 0.01 uF paper, between V3 plate and V4 grid\n"
LOAD = "  R5: 470 kohm, between V3 plate and B+2\n"
GOOD_LOAD = "  R5: 470 kohm, measured 480 kohm, between V3 plate and B+2\n"
BIAS = "  R8: 150 ohm, between V4 cathode and B-\n"
GOOD_BIAS = "  R8: 150 ohm, measured 152 ohm, between V4 cathode and B-\n"


def suggested(readings: str, parts: str = "") -> list[Suggestion]:
    lines = "".join(f"    {line}\n" for line in readings.split("; "))
    body = (
        "maker: Larkfield\nmodel: Minuet 5\nline: 120 V\npower: series string\n"
        "tubes:\n  V1: 12BE6\n  V2: 12BA6\n  V3: 12AV6\n  V4: 50C5\n  V5: 35W4\n  V6: UCH42\n  V7: 6J5\n  V8: 5Y3GT\n"
        f"readings:\n  sheet:{SHEET}  as found:\n{lines}"
    ) + (f"parts:\n{parts}" if parts else "")
    record = makers.record(body)
    found = makers.found("readings", record)
    return list(found.suggestions)


HIGH_LOAD = "  R5: 470 kohm, measured 700 kohm, between V3 plate and B+2\n"
OPEN_LOAD = "  R5: 470 kohm, measured open, between V3 plate and B+2\n"
LOW_LOAD = "  R5: 470 kohm, measured 240 kohm, between V3 plate and B+2\n"
HIGH_BIAS = "  R8: 150 ohm, measured 240 ohm, between V4 cathode and B-\n"
LOW_BIAS = "  R8: 150 ohm, measured 90 ohm, between V4 cathode and B-\n"
TIGHT_BYPASS = "  C9: now 25 uF 25 V film, leakage <1 nA at 25 V, between V4 cathode and B-\n"
SCREEN = "  R3: 22 kohm, between V2 screen and B+1\n"
GOOD_SCREEN = "  R3: 22 kohm, measured 22.4 kohm, between V2 screen and B+1\n"
HIGH_SCREEN = "  R3: 22 kohm, measured 39 kohm, between V2 screen and B+1\n"
GOOD_V2_BIAS = "  R6: 68 ohm, measured 69 ohm, between V2 cathode and B-\n"
SCREEN_CAP = "  C5: 0.05 uF paper, between V2 screen and B-\n"
TIGHT_SCREEN_CAP = "  C5: now 47 nF film, leakage <0.1 uA at 400 V, between V2 screen and B-\n"
TIGHT_COUPLING = "  C7: now 10 nF film, leakage <0.1 uA at 400 V, between V3 plate and V4 grid\n"
PLATE_CAP = "  C6: 220 pF mica, between V3 plate and B-\n"
TIGHT_PLATE_CAP = "  C6: 220 pF mica, leakage <0.1 uA at 400 V, between V3 plate and B-\n"
LEAK = "  R10: 470 kohm, measured 900 kohm, between V4 grid and B-\n"
GOOD_LEAK = "  R10: 470 kohm, measured 480 kohm, between V4 grid and B-\n"
WINDING = "  T1: 20 ohm, job first IF transformer, between V2 plate and B+2\n"
FILTER = "  R9: 1 kohm, between B+1 and B+2\n"
GOOD_FILTER = "  R9: 1 kohm, measured 1.02 kohm, between B+1 and B+2\n"
HIGH_FILTER = "  R9: 1 kohm, measured 1.6 kohm, between B+1 and B+2\n"
B = "; V5: cathode 120"
AC = "; V5: cathode 120, plate 117 AC"

RAISED = {
    "leaky coupling capacitor": ("V4: grid 2; V3: plate 40", COUPLING),
    "gas or grid emission": ("V4: grid 2; V3: plate 40", COUPLING),
    "grid current or a leak": ("V4: grid 2", ""),
    "grid leak high": ("V4: grid 2", LEAK),
    "bias missing": ("V7: grid -0.4, cathode 0, plate 60" + B, ""),
    "too much bias": ("V7: grid -11, cathode 0, plate 140" + B, ""),
    "grid not read": ("V3: plate 20, cathode 2" + B, LOAD),
    "stage has no feed": ("V2: plate 0, screen 0, cathode 0.1" + B, ""),
    "open output transformer": ("V4: plate 0, screen 100, grid 0" + B, ""),
    "plate load measured open": ("V3: plate 0, cathode 0" + B, OPEN_LOAD),
    "open plate load": ("V3: plate 0, cathode 0" + B, LOAD),
    "shorted plate capacitor": ("V3: plate 0, cathode 0" + B, GOOD_LOAD + PLATE_CAP),
    "open transformer winding": ("V2: plate 0, screen 90" + B, WINDING),
    "plate load measured high": ("V3: plate 30, cathode 0.8" + B, HIGH_LOAD),
    "plate load high": ("V3: plate 20, cathode 0.6" + B, LOAD),
    "coupling capacitor draws on the plate": ("V3: plate 25, cathode 0.7; V4: grid 3" + B, COUPLING + GOOD_LOAD),
    "leaky plate capacitor": ("V3: plate 25, cathode 0.7" + B, GOOD_LOAD + PLATE_CAP),
    "supply low": ("V2: plate 60, screen 60, cathode 0.8", ""),
    "supply high": ("V2: plate 120, screen 122, cathode 1.6", ""),
    "shorted cathode bypass": ("V3: plate 20, cathode 0" + B, LOAD),
    "does not conduct": ("V3: plate 115, cathode 0" + B, LOAD),
    "cathode resistor measured low": ("V4: plate 108, screen 90, grid 0, cathode 4.4" + B, LOW_BIAS),
    "leaky cathode bypass": ("V3: plate 30, cathode 0.2" + B, GOOD_LOAD),
    "cathode resistor low": ("V4: plate 106, screen 89, grid 0, cathode 4" + B, TIGHT_BYPASS),
    "weak tube": ("V3: plate 70, cathode 0.5" + B, LOAD),
    "weak without cathode bias": ("V7: plate 125, cathode 0, grid -6; V5: cathode 120; B+1: 140", ""),
    "triode without current": ("V7: plate 139, cathode 0, grid -6; B+1: 140", ""),
    "cathode resistor open": ("V4: plate 118, grid 0, cathode 30" + B, BIAS),
    "cathode resistor measured high": ("V4: plate 112, grid 0, cathode 8" + B, HIGH_BIAS),
    "cathode resistor high": ("V4: plate 112, grid 0, cathode 9" + B, BIAS),
    "cathode lifted off its ground": ("V1: cathode 0.6, plate 92" + B, ""),
    "plate load measured low": ("V3: plate 65, cathode 1.3" + B, LOW_LOAD),
    "plate load low": ("V3: plate 65, cathode 1.4" + B, LOAD),
    "shorted screen capacitor": ("V2: plate 92, screen 0" + B, SCREEN + SCREEN_CAP),
    "screen resistor open": ("V2: plate 92, screen 0" + B, ""),
    "screen resistor measured high": ("V2: plate 92, screen 60, cathode 0.8" + B, HIGH_SCREEN),
    "screen resistor high": ("V2: plate 92, screen 60, cathode 0.8" + B, SCREEN),
    "leaky screen capacitor": ("V2: plate 92, screen 50, cathode 0.7" + B, GOOD_SCREEN + SCREEN_CAP),
    "screen resistor low": ("V2: plate 90, screen 112, cathode 1.6" + B, SCREEN + GOOD_V2_BIAS),
    "less AC at the rectifier": ("V5: cathode 80, plate 78 AC", ""),
    "no B+": ("V5: cathode 2, plate 117 AC", ""),
    "half of the winding": ("V8: plate 1 300 AC, plate 2 0 AC", ""),
    "set draws too much": ("V5: cathode 85, plate 117 AC; V4: grid 4, cathode 7.5, plate 80", ""),
    "weak supply": ("V5: cathode 80, plate 117 AC", ""),
    "weak supply at a known line": ("line: 121 V; V5: cathode 80, plate 117 AC", ""),
    "light load": ("V5: cathode 150, plate 117 AC; V4: cathode 2, plate 140, grid 0, screen 112", ""),
    "ripple": ("B+1: 118; B+1 ripple: 14 AC", ""),
    "rail without voltage": ("B+2: 0" + B, FILTER),
    "filter resistor measured high": ("B+1: 120; B+2: 66" + AC, HIGH_FILTER),
    "rail pulled down by a tube": ("B+2: 66; V4: grid 4, cathode 8" + AC, FILTER),
    "rail pulled down": ("B+1: 120; B+2: 66" + AC, GOOD_FILTER),
    "filter resistor high": ("B+1: 120; B+2: 66" + AC, FILTER),
    "rail low, B+ not known": ("B+2: 66", FILTER),
    "rail not loaded": ("B+2: 112; V2: cathode 0.5, plate 90" + B, ""),
    "regulator out": ("regulated 108: 140", ""),
    "regulator starved": ("regulated 108: 80", ""),
    "AVC line positive": ("AVC: 1.5", ""),
    "oscillator stopped": ("V1: osc grid -0.2", ""),
    "oscillator weak": ("V1: osc grid -2.5, screen 88" + B, ""),
    "oscillator without supply": ("V6: osc plate 0, plate 170, osc grid 0" + B, ""),
}
NEAR_MISSES = {
    "leaky coupling capacitor": ("V4: grid 2; V3: plate 1", COUPLING),
    "gas or grid emission": ("V4: grid 0; V3: plate 40", COUPLING),
    "grid current or a leak": ("V4: grid 2", COUPLING),
    "grid leak high": ("V4: grid 2", GOOD_LEAK),
    "bias missing": ("V7: grid -5, cathode 0, plate 60" + B, ""),
    "too much bias": ("V7: grid -11, cathode 0, plate 60" + B, ""),
    "grid not read": ("V3: plate 60, cathode 2" + B, LOAD),
    "stage has no feed": ("V2: plate 0, screen 90, cathode 0.1" + B, ""),
    "open output transformer": ("V4: plate 60, screen 100" + B, ""),
    "plate load measured open": ("V3: plate 0, cathode 0" + B, GOOD_LOAD),
    "open plate load": ("V3: plate 0, cathode 0" + B, GOOD_LOAD),
    "shorted plate capacitor": ("V3: plate 0, cathode 0" + B, GOOD_LOAD + TIGHT_PLATE_CAP),
    "open transformer winding": ("V2: plate 0, screen 90" + B, "  R2: 10 kohm, between V2 plate and B+2\n"),
    "plate load measured high": ("V3: plate 30, cathode 1.4" + B, HIGH_LOAD),
    "plate load high": ("V3: plate 20, cathode 0.6" + B, GOOD_LOAD),
    "coupling capacitor draws on the plate": ("V3: plate 25, cathode 0.7; V4: grid 0" + B, COUPLING + GOOD_LOAD),
    "leaky plate capacitor": ("V3: plate 25, cathode 1.6" + B, GOOD_LOAD + PLATE_CAP),
    "supply low": ("V2: plate 60, screen 60, cathode 0.8; V3: plate 45", ""),
    "supply high": ("V2: plate 120, screen 122, cathode 1.6; V3: plate 45", ""),
    "shorted cathode bypass": ("V3: plate 115, cathode 0" + B, LOAD),
    "does not conduct": ("V3: plate 20, cathode 0" + B, LOAD),
    "cathode resistor measured low": ("V4: plate 108, screen 90, grid 0, cathode 4.4" + B, GOOD_BIAS),
    "leaky cathode bypass": ("V3: plate 30, cathode 0.7" + B, GOOD_LOAD),
    "cathode resistor low": ("V4: plate 106, screen 89, grid 0, cathode 4" + B, TIGHT_BYPASS + GOOD_BIAS),
    "weak tube": ("V3: plate 30, cathode 0.5" + B, LOAD),
    "weak without cathode bias": ("V7: plate 125, cathode 0.9; V5: cathode 120; B+1: 140", ""),
    "triode without current": ("V7: plate 110, cathode 0; B+1: 140", ""),
    "cathode resistor open": ("V4: plate 118, grid 0, cathode 9" + B, BIAS),
    "cathode resistor measured high": ("V4: plate 112, grid 0, cathode 6" + B, HIGH_BIAS),
    "cathode resistor high": ("V4: plate 112, grid 0, cathode 9" + B, GOOD_BIAS),
    "cathode lifted off its ground": ("V1: cathode 0, plate 92" + B, ""),
    "plate load measured low": ("V3: plate 65, cathode 0.3" + B, LOW_LOAD),
    "plate load low": ("V3: plate 65, cathode 0.3" + B, LOAD),
    "shorted screen capacitor": ("V2: plate 92, screen 0" + B, SCREEN + TIGHT_SCREEN_CAP),
    "screen resistor open": ("V2: plate 92, screen 0" + B, GOOD_SCREEN),
    "screen resistor measured high": ("V2: plate 92, screen 60, cathode 1.7" + B, HIGH_SCREEN),
    "screen resistor high": ("V2: plate 92, screen 60, cathode 0.8" + B, GOOD_SCREEN),
    "leaky screen capacitor": ("V2: plate 92, screen 50, cathode 0.7" + B, GOOD_SCREEN + TIGHT_SCREEN_CAP),
    "screen resistor low": ("V2: plate 90, screen 112, cathode 1.6" + B, GOOD_SCREEN + GOOD_V2_BIAS),
    "less AC at the rectifier": ("V5: cathode 80, plate 117 AC", ""),
    "no B+": ("V5: cathode 2, plate 0 AC", ""),
    "half of the winding": ("V8: plate 1 150 AC, plate 2 150 AC", ""),
    "set draws too much": ("V5: cathode 85, plate 117 AC; V4: grid 0, cathode 4.2, plate 80", ""),
    "weak supply": ("V5: cathode 80, plate 78 AC", ""),
    "weak supply at a known line": ("V5: cathode 80, plate 117 AC", ""),
    "light load": ("V5: cathode 150, plate 117 AC; V4: grid 4, cathode 7.5, plate 140", ""),
    "ripple": ("B+1: 118; B+1 ripple: 3 AC", ""),
    "rail without voltage": ("B+2: 66" + B, FILTER),
    "filter resistor measured high": ("B+1: 120; B+2: 88" + AC, HIGH_FILTER),
    "rail pulled down by a tube": ("B+2: 66; V4: grid 0, cathode 6" + AC, FILTER),
    "rail pulled down": ("B+1: 120; B+2: 66" + AC, HIGH_FILTER),
    "filter resistor high": ("B+1: 120; B+2: 66" + AC, GOOD_FILTER),
    "rail low, B+ not known": ("B+2: 66" + B, FILTER),
    "rail not loaded": ("B+2: 112; V2: cathode 1.2, plate 90" + B, ""),
    "regulator out": ("regulated 108: 110", ""),
    "regulator starved": ("regulated 108: 106", ""),
    "AVC line positive": ("AVC: -1.5", ""),
    "oscillator stopped": ("V1: osc grid -6", ""),
    "oscillator weak": ("V1: osc grid -2.5, screen 0" + B, ""),
    "oscillator without supply": ("V6: osc plate 60, plate 170, osc grid 0" + B, ""),
}


def causes(readings: str, parts: str = "") -> list[str]:
    """The rules that are told, also those that fit as well as another."""
    return [name for s in suggested(readings, parts) for name in (s.rule, *(a.rule for a in s.alike))]


def test_every_rule_has_its_cases() -> None:
    assert set(RAISED) == set(NEAR_MISSES) == {rule.name for rule in rules()}


@pytest.mark.parametrize("rule", RAISED)
def test_the_pattern_raises_the_rule(rule: str) -> None:
    assert rule in causes(*RAISED[rule])


@pytest.mark.parametrize("rule", NEAR_MISSES)
def test_the_near_miss_does_not(rule: str) -> None:
    assert rule not in causes(*NEAR_MISSES[rule])


@pytest.mark.parametrize(("grid", "pulls"), [(1.2, False), (3.0, False), (25.0, True)])
def test_a_leak_pulls_a_plate_down_by_no_more_than_its_current_makes(grid: float, pulls: bool) -> None:
    """1.2 V over 480 kohm are 2.5 uA: through 240 kohm they take 0.6 V of the 19 V that the plate lacks."""
    readings, parts = f"V3: plate 25, cathode 0.7; V4: grid {grid}{B}", COUPLING + GOOD_LOAD + GOOD_LEAK
    assert ("coupling capacitor draws on the plate" in causes(readings, parts)) is pulls
    assert any("C7" in s.cause for s in suggested(readings, parts) if s.tube == "V3") is pulls


def test_readings_in_order_suggest_nothing() -> None:
    fine = "V1: plate 92, screen 91, osc grid -7.5, cathode 0; V2: plate 92, screen 91, cathode 1.2"
    fine += "; V3: plate 44, cathode 1; V4: plate 111, screen 91, grid 0, cathode 6.1; V5: cathode 121, plate 118 AC"
    assert suggested(fine, COUPLING + LOAD + BIAS) == []


@pytest.mark.parametrize("rail", ["B-: -6.4", "bias: -14", "C-: -3", "AVC: -0.4", "the grids' line: -0.7"])
def test_a_rail_that_its_circuit_makes_negative_is_no_supply_rail(rail: str) -> None:
    """A back bias read as written, and an AVC line without a station: each was called a rail that nothing reaches."""
    back_bias = "  R7: 150 ohm, between B- and chassis\n"
    assert suggested(rail + B, FILTER + back_bias) == []


def test_a_point_of_the_writers_own_name_is_a_supply_rail_where_a_supply_rail_leads_to_it() -> None:
    choke = "  R20: 400 ohm, between B+2 and after the choke\n"
    assert "rail without voltage" in causes("after the choke: 0" + B, choke)
    assert "rail without voltage" not in causes("after the choke: 0" + B, "")


def test_everything_in_proportion_to_a_low_b_plus_blames_the_supply_only() -> None:
    low = "V1: plate 60, screen 60, cathode 0; V2: plate 60, screen 60, cathode 0.8; V3: plate 30, cathode 0.7"
    low += "; V4: plate 73, screen 60, grid 0, cathode 4; V5: cathode 80, plate 117 AC"
    assert [(s.tube, s.rule) for s in suggested(low, LOAD + BIAS)] == [("V5", "weak supply")]


def test_a_meter_of_20_kohm_per_volt_on_10_volts_says_nothing_of_the_oscillator() -> None:
    """200 kohm across an oscillator's grid leak stops many of them (common practice, no source)."""
    assert suggested("meter: 20 kohm/V on 10 V; V1: osc grid -0.2") == []
    assert suggested("meter: 10 meg; V1: osc grid -0.2 (20 kohm/V on 10 V)") == []
    assert suggested("meter: 20 kohm/V on 10 V; V1: osc grid -0.2 (11 meg input VTVM)") != []


def test_each_suggestion_has_a_next_measurement_and_a_source_and_a_run_has_three_at_most() -> None:
    for readings, parts in RAISED.values():
        found = suggested(readings, parts)
        assert 0 < len(found) <= MOST_CAUSES == 3
        assert all(s.next and s.source and len(s.alike) < MOST_CAUSES for s in found)
        assert all("{" not in s.cause + s.next and not s.cause.startswith(" ") for s in found)


def test_a_wreck_still_has_three_causes_at_most() -> None:
    wreck = "V1: osc grid 0, plate 0, screen 0; V2: plate 0, screen 0; V3: plate 0, cathode 0; V4: grid 4, plate 60"
    assert len(suggested(wreck + ", cathode 12; V5: cathode 80, plate 117 AC; B+2: 40", COUPLING + LOAD)) == MOST_CAUSES


def test_there_are_at_least_forty_rules_each_with_a_source() -> None:
    assert len(rules()) >= 40
    assert len({rule.name for rule in rules()}) == len(rules())
    assert all(rule.cause and rule.next and rule.source for rule in rules())


def test_a_resistor_that_was_measured_is_not_asked_to_be_measured() -> None:
    """R5 measured high is named as such; R5 measured sound is not named; only an unmeasured R5 is to be read."""
    said = suggested("V3: plate 30, cathode 0.8" + B, HIGH_LOAD)
    assert [s.part for s in said] == ["R5"]
    assert "read R5" not in said[0].next
    assert "measures high" in said[0].cause
    assert all(s.part != "R5" for s in suggested("V3: plate 30, cathode 0.8" + B, GOOD_LOAD))
    assert any("read R5" in s.next for s in suggested("V3: plate 30, cathode 0.8" + B, LOAD))


def _kind(rule: Rule) -> str:
    if "contact-biased" in rule.must or rule.name in ("bias missing", "too much bias", "cathode lifted off its ground"):
        return "contact"
    if "is output" in rule.must or "grid" in rule.at or "cathode resistor" in rule.name:
        return "output"
    of_screen = "screen" in rule.at or rule.name == "open transformer winding"
    return "pentode" if of_screen else "triode"


UP, DOWN = {"high", "far high", "lifted"}, {"low", "dead", "zero"}
STAGE_RULES = [rule for rule in rules() if rule.fault]


@pytest.mark.parametrize("rule", STAGE_RULES, ids=lambda rule: rule.name)
def test_the_solved_stage_moves_as_the_rule_says_and_no_other_way(rule: Rule) -> None:
    """The fault put into a solved stage moves every voltage by a fifth and more only where and as the rule has it."""
    stage = STAGES[_kind(rule)]
    sound = stage.calibrated()
    before, after = solve_stage(sound), solve_stage(faulted(sound, stage.grid_ohms, rule.fault))
    moved = 0
    for electrode in ("plate", "screen", "cathode"):
        was, now = getattr(before, electrode), getattr(after, electrode)
        if not was:
            continue
        words = rule.at.get(electrode, rule.moves.get(electrode, frozenset()))
        if abs(now / was - 1) > 0.2 and not rule.whatever:
            moved += 1
            assert words & (UP if now > was else DOWN), (electrode, was, now)
        if words <= DOWN and words and electrode in rule.at:
            assert now < was, (electrode, was, now)
        if words <= UP and words and electrode in rule.at:
            assert now > was, (electrode, was, now)
    assert moved or rule.whatever or rule.name == "cathode lifted off its ground"


def _two_cases() -> list[Evidence]:
    bench = makers.bench("tubes:\n  V3: 12AV6\nreadings:\n  found:\n    V3: plate 45\n    B+1: 120\n")
    (run,) = told_apart(bench)[1]
    return list(evidence_of(compared(bench.circuit, run, ()), bench))


def test_every_word_of_every_rule_is_understood() -> None:
    held = _two_cases()
    assert [evidence.tube for evidence in held] == ["V3", "B+1"]
    for rule in rules():
        assert all(holds(word, evidence) in (True, False, None) for word in rule.must for evidence in held)
        assert set(rule.at) | set(rule.moves) <= {"grid", "cathode", "screen", "plate"}
        assert rule.drive in ("", "less", "as", "more")
        assert rule.current in ("", "up", "down", "none")
        assert rule.rank in (FIRST, *RANKS)
    with pytest.raises(KeyError):
        holds("no word of ours", held[0])


def test_every_fault_of_the_rules_is_one_that_is_solved() -> None:
    assert {rule.fault for rule in rules()} - {""} == set(FAULTS)


def test_a_plate_load_gone_high_makes_its_plate_lower() -> None:
    sound = STAGES["triode"].calibrated()
    assert solve_stage(faulted(sound, STAGES["triode"].grid_ohms, "load high")).plate < solve_stage(sound).plate
