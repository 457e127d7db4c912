"""What readings suggest: each rule has one set of readings that must raise it and a near miss that must not.

All patterns are common practice unless the rule names a source; the directions are physics (a plate load that has gone
high makes its plate lower, more current makes a resistor-fed plate lower and its cathode higher).
"""

from __future__ import annotations

import pytest

from benchleaf.bench import Bench
from benchleaf.chapters.readings.findings import examine
from benchleaf.chapters.readings.suggestions import MOST_PER_TUBE, RULES, Suggestion
from benchleaf.record import read_record
from benchleaf.tubes import find

SHEET = """
    line: 120 V
    V1: plate 90, screen 90, osc grid -8, cathode 0
    V2: plate 90, screen 90, cathode 1.2
    V3: plate 45, cathode 1
    V4: plate 110, screen 90, grid 0, cathode 6
    V5: cathode 120, plate 117 AC
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
        "tubes:\n  V1: 12BE6\n  V2: 12BA6\n  V3: 12AV6\n  V4: 50C5\n  V5: 35W4\n"
        f"readings:\n  sheet:{SHEET}  as found:\n{lines}"
    ) + (f"parts:\n{parts}" if parts else "")
    record, problems = read_record(body.encode(), "record.yml")
    assert record is not None, [str(p) for p in problems]
    tubes = {str(p): tube for p, t in record.tubes.items() if (tube := find(str(t.type)))}
    found = examine(record, Bench(tubes=tubes))
    assert found is not None
    return list(found.suggestions)


RAISED = {
    "leaky coupling capacitor": ("V4: grid 2; V3: plate 40", COUPLING),
    "gas or grid emission": ("V4: grid 2", ""),
    "open output transformer": ("V4: plate 0, screen 100, grid 0; V5: cathode 120", ""),
    "open plate load": ("V3: plate 0, cathode 0; V5: cathode 120", LOAD),
    "open transformer winding": ("V2: plate 0, screen 90; V5: cathode 120", ""),
    "screen has no supply": ("V2: plate 92, screen 0; V5: cathode 120", ""),
    "screen supply is weak": ("V2: plate 92, screen 50; V5: cathode 120", ""),
    "too much current": ("V3: plate 20, cathode 2; V5: cathode 120", LOAD),
    "cathode resistor high": ("V4: plate 112, grid 0, cathode 9; V5: cathode 120", BIAS),
    "does not conduct": ("V3: plate 115, cathode 0; V5: cathode 120", LOAD),
    "shorted cathode bypass": ("V3: plate 20, cathode 0; V5: cathode 120", LOAD),
    "plate load high": ("V3: plate 20, cathode 0.6; V5: cathode 120", LOAD),
    "weak supply": ("V5: cathode 80, plate 117 AC", ""),
    "oscillator stopped": ("V1: osc grid -0.2", ""),
}
NEAR_MISSES = {
    "leaky coupling capacitor": ("V4: grid 2; V3: plate 1", COUPLING),
    "gas or grid emission": ("V4: grid 0", ""),
    "open output transformer": ("V4: plate 0, screen 100", ""),
    "open plate load": ("V3: plate 0, cathode 1; V5: cathode 120", LOAD),
    "open transformer winding": ("V2: plate 0, screen 90", ""),
    "screen has no supply": ("V2: plate 0, screen 0; V5: cathode 120", ""),
    "screen supply is weak": ("V2: plate 50, screen 50; V5: cathode 120", ""),
    "too much current": ("V3: plate 60, cathode 2; V5: cathode 120", LOAD),
    "cathode resistor high": ("V4: plate 112, grid 0, cathode 9; V5: cathode 120", GOOD_BIAS),
    "does not conduct": ("V3: plate 20, cathode 0; V5: cathode 120", LOAD),
    "shorted cathode bypass": ("V3: plate 115, cathode 0; V5: cathode 120", LOAD),
    "plate load high": ("V3: plate 20, cathode 0.6; V5: cathode 120", GOOD_LOAD),
    "weak supply": ("V5: cathode 80, plate 78 AC", ""),
    "oscillator stopped": ("V1: osc grid -6", ""),
}


def test_every_rule_has_its_cases() -> None:
    assert set(RAISED) == set(NEAR_MISSES) == {rule.name for rule in RULES}


@pytest.mark.parametrize("rule", RAISED)
def test_the_pattern_raises_the_rule(rule: str) -> None:
    assert rule in [s.rule for s in suggested(*RAISED[rule])]


@pytest.mark.parametrize("rule", NEAR_MISSES)
def test_the_near_miss_does_not(rule: str) -> None:
    assert rule not in [s.rule for s in suggested(*NEAR_MISSES[rule])]


def test_readings_in_order_suggest_nothing() -> None:
    fine = "V1: plate 92, screen 91, osc grid -7.5, cathode 0; V2: plate 92, screen 91, cathode 1.2"
    fine += "; V3: plate 44, cathode 1; V4: plate 111, screen 91, grid 0, cathode 6.1; V5: cathode 121, plate 118 AC"
    assert suggested(fine, COUPLING + LOAD + BIAS) == []


def test_everything_in_proportion_to_a_low_b_plus_blames_the_supply_only() -> None:
    low = "V1: plate 60, screen 60, cathode 0; V2: plate 60, screen 60, cathode 0.8; V3: plate 30, cathode 0.7"
    low += "; V4: plate 73, screen 60, grid 0, cathode 4; V5: cathode 80, plate 117 AC"
    assert [(s.tube, s.rule) for s in suggested(low, LOAD + BIAS)] == [("V5", "weak supply")]


def test_a_meter_of_20_kohm_per_volt_on_10_volts_says_nothing_of_the_oscillator() -> None:
    """200 kohm across an oscillator's grid leak stops many of them (common practice, no source)."""
    assert suggested("meter: 20 kohm/V on 10 V; V1: osc grid -0.2") == []


def test_each_suggestion_has_a_next_measurement_and_a_source_and_a_tube_has_three_at_most() -> None:
    for readings, parts in RAISED.values():
        found = suggested(readings, parts)
        assert all(s.next and s.source for s in found)
        assert all(sum(s.tube == tube for s in found) <= MOST_PER_TUBE for tube in {s.tube for s in found})
