"""Readings held against a similar chassis and against each other, and what must hold of any."""

from __future__ import annotations

import json
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import makers
from benchleaf.chapters.readings.findings import ReadingsFindings
from benchleaf.report.findings import as_json
from voltage_readings import FIVE_TUBES, findings_of, indented, lines, readings, row_at, told, volts

NEIGHBOUR = """maker: Larkfield
model: Minuet 4
line: 117 V
power: series string
tubes:
  V1: 12SA7
  V2: 12SK7
  V4: 50L6GT
readings:
  as found:
    V2: plate 60
  2025-01-02 finished:
    line: 115 V
    V1: x x 88
    V2: plate 91, screen 91
    V4: plate 111
"""


def similar(line: str, measured: str = "V1: plate 85\nV2: plate 90\nV4: plate 111") -> ReadingsFindings:
    neighbour = makers.record(NEIGHBOUR)
    body = f"{FIVE_TUBES}readings:\n  similar:\n    from: {line}\n  as found:\n{indented(measured)}\n"
    return findings_of(body, neighbours={"larkfield-minuet-4": makers.circuit(neighbour)})


def test_a_similar_chassis_stands_in_for_a_missing_sheet_and_each_line_says_so() -> None:
    """Its last measured list, by electrode through its own tubes (12SA7: plate on pin 3) and its own line of 115 V."""
    found = similar("larkfield-minuet-4")
    row = row_at(found, "V1", "plate")
    assert (row.expected_volts, row.source_kind) == (88, "similar")
    assert row.source_of == "larkfield-minuet-4, 2025-01-02 finished"
    assert row.adjusted_volts == makers.meant(88 * 120 / 115)
    assert "12SA7" in row.remarks[0]


def test_the_lines_that_were_scaled_from_are_told_by_whose_list_they_are_of() -> None:
    neighbour = {"larkfield-minuet-4": makers.circuit(makers.record(NEIGHBOUR))}
    body = f"{FIVE_TUBES}readings:\n  similar:\n    from: larkfield-minuet-4\n  sheet:\n    V2: plate 70\n"
    found = findings_of(f"{body}  as found:\n    V2: plate 70\n", neighbours=neighbour)
    assert [(one.source, one.source_volts) for one in found.runs[0].line] == [
        ("sheet", 120.0),
        ("larkfield-minuet-4, 2025-01-02 finished", 115.0),
    ]


def test_a_list_of_the_similar_chassis_may_be_named() -> None:
    assert row_at(similar("larkfield-minuet-4, as found"), "V2", "plate").expected_volts == 60


def test_the_published_list_goes_before_a_similar_chassis() -> None:
    neighbour = makers.record(NEIGHBOUR)
    body = (
        f"{FIVE_TUBES}readings:\n  similar:\n    from: other\n  sheet:\n    V2: plate 70\n"
        "  as found:\n    V2: plate 70, screen 80\n"
    )
    found = findings_of(body, neighbours={"other": makers.circuit(neighbour)})
    assert row_at(found, "V2", "plate").source_kind == "published"
    assert row_at(found, "V2", "screen").source_kind == "similar"


def test_a_similar_chassis_that_is_nowhere_gives_no_expected_values() -> None:
    found = findings_of(FIVE_TUBES + "readings:\n  similar:\n    from: nowhere\n  today:\n    V1: plate 90\n")
    assert (found.sources, found.rows[0].verdict) == ((), "no expected value")


def test_the_reference_point_is_b_minus_in_a_string_and_the_chassis_otherwise() -> None:
    body = readings("V1: plate 90", "V1: plate 90")
    assert findings_of(body).runs[0].conditions.reference == "B-"
    assert findings_of(body, head="power: transformer\n").runs[0].conditions.reference == "chassis"
    assert findings_of(body).runs[0].conditions.reference_from == "assumed"


def test_two_reference_points_that_are_not_one_are_told() -> None:
    body = readings("to: B-\nV1: plate 90", "to: chassis\nV1: plate 90")
    assert findings_of(body).runs[0].other_reference == ("sheet",)
    assert findings_of(body, head="power: transformer\n").runs[0].other_reference == ()


def test_runs_side_by_side_tell_what_changed_and_what_recovered() -> None:
    body = readings("V3: plate 45, cathode 0", "V3: plate 20, cathode 0") + "  finished:\n    V3: plate 44, cathode 0\n"
    (tube,) = findings_of(body).together
    cathode, plate = tube.places
    assert (cathode.change_volts, cathode.recovered) == (0, False)
    assert (plate.change_volts, plate.recovered) == (24, True)
    assert (cathode.was_off, plate.was_off) == (None, plate.cells[0])


def test_json_has_the_contracts_keys_first_and_no_infinities() -> None:
    found = findings_of(readings("line: 117 V\nV3: plate 45, cathode 0", "V3: plate > 44, cathode OL"))
    data = json.loads(json.dumps(as_json(found), allow_nan=False))
    keys = "run tube electrode expected_volts adjusted_volts measured_volts deviation tolerance verdict"
    assert list(data["rows"][0])[:9] == keys.split()
    assert list(data)[:3] == ["rows", "operating", "suggestions"]


@settings(max_examples=60)
@given(expected=volts, measured=volts, factor=st.floats(1, 3))
def test_scaling_both_sides_by_one_factor_changes_no_verdict(expected: float, measured: float, factor: float) -> None:
    def verdict(scale: float) -> str:
        sheet, run = f"line: 120 V\nV1: plate {expected * scale:.9f}", f"V1: plate {measured * scale:.9f}"
        return findings_of(readings(sheet, run)).rows[0].verdict

    if math.isclose(abs(measured / expected - 1), 0.2, rel_tol=1e-6):
        return
    assert verdict(factor) == verdict(1)


@settings(max_examples=60)
@given(expected=volts, measured=volts, line=st.floats(60, 260))
def test_a_reading_that_follows_the_line_keeps_its_verdict_on_another_line(
    expected: float, measured: float, line: float
) -> None:
    def verdict(at: float) -> str:
        run = f"line: {at:.9f} V\nV1: plate {measured * at / 120:.9f}"
        return findings_of(readings(f"line: 120 V\nV1: plate {expected}", run)).rows[0].verdict

    if math.isclose(abs(measured / expected - 1), 0.2, rel_tol=1e-5) or min(expected, line * expected / 120) < 5:
        return
    assert verdict(line) == verdict(120)


@settings(max_examples=80)
@given(
    sheet=lines,
    measured=lines,
    type_=st.sampled_from(["12BE6", "50C5", "80", "12AX7", "UCH81", "ZZ99", "117N7GT", "3S4", "6E5"]),
    head=st.sampled_from(["", "line: 120 V\n", "power: transformer\n", "power: battery\nline: 0 V\n"]),
)
def test_nothing_a_person_can_type_gives_a_traceback(
    sheet: list[tuple[str, str]], measured: list[tuple[str, str]], type_: str, head: str
) -> None:
    def line(pairs: list[tuple[str, str]]) -> str:
        return "V1: " + ", ".join(f"{word} {value}" for word, value in pairs)

    parts = "parts:\n  R1: 150 ohm, between V1 cathode and B-\n  R2: 0 ohm, between V1 plate and B+1\n"
    bench = makers.bench(
        head + readings(line(sheet), line(measured) + "\nB+1: 100", f"\ntubes:\n  V1: {type_}\n") + parts
    )
    found = makers.findings("readings", bench)
    assert found is not None
    assert repr(found) == repr(makers.findings("readings", bench))
    json.dumps(as_json(found), allow_nan=False)
    assert all(standout.text for standout in makers.standouts("readings", bench, found))


@pytest.mark.handbook
def test_a_low_resistance_meter_may_account_for_a_difference() -> None:
    """30 V through 400 kohm and 400 kohm, 20 kohm/V on its 20 V range: reads 10 V where 15 V are (source 200 kohm).

    Published worked example (edudirectory, electronics tutorial on voltmeters).
    """
    parts = "parts:\n  R4: 200 kohm, between V2 plate and B+2\n"
    sheet = "line: 120 V\nmeter: 20 kohm/V on 20 V\nV2: plate 10, screen 30"
    row = row_at(findings_of(readings(sheet, "V2: plate 15") + parts), "V2", "plate")
    assert row.verdict == "high"
    assert row.meter is not None
    assert row.meter.up_to_volts == pytest.approx(15)
    assert "meter may account" in told(readings(sheet, "V2: plate 15") + parts)[0].text
    perfect = sheet.replace("20 kohm/V on 20 V", "10 gigohm")
    assert row_at(findings_of(readings(perfect, "V2: plate 15") + parts), "V2", "plate").meter is None
    both = row_at(findings_of(readings(sheet, "meter: 10 gigohm\nV2: plate 15") + parts), "V2", "plate")
    assert both.adjusted_volts == pytest.approx(15, rel=1e-4)
    assert both.deviation == pytest.approx(0, abs=1e-3)


def test_a_digit_before_the_value_numbers_the_electrode() -> None:
    found = findings_of(readings("V3: diode plate 1 -0.6, diode plate 2 0.4", "V3: cathode 0"))
    assert {row.electrode: row.expected_volts for row in found.rows if row.expected_volts is not None} == {
        "diode plate 1": -0.6,
        "diode plate 2": 0.4,
    }


@pytest.mark.parametrize(("second", "told"), [("104", False), ("105", False), ("106", True)])
def test_two_pins_of_one_electrode_may_differ_by_a_twentieth(second: str, told: bool) -> None:
    """5 % of 100 V, common practice, no source."""
    found = findings_of(f"tubes:\n  V4: 50C5\nreadings:\n  found:\n    V4: plate 100, pin 7 plate {second}\n")
    row = row_at(found, "V4", "plate")
    assert row.measured_volts == float(second)
    assert any("not alike" in str(remark) for remark in (row, *found.runs)) is told
