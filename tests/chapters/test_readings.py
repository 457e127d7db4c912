"""Readings held against a sheet: place, line, verdict, grids."""

from __future__ import annotations

import pytest

import makers
from benchleaf.report.findings import FAULT, NOTE
from benchleaf.words import BRITISH
from voltage_readings import FIVE_TUBES, HEAD, findings_of, readings, row_at, told


def test_a_record_without_readings_has_no_voltages() -> None:
    assert makers.findings("readings", HEAD + FIVE_TUBES) is None


@pytest.mark.regression
def test_the_row_of_the_contract() -> None:
    """45 V at 117 V is 46.15 V at 120 V; 44 V is 4.7 % below that. By hand: 45 x 120 / 117, 44 / 46.1538 - 1."""
    found = findings_of(readings("line: 117 V\nV3: plate 45", "V3: plate 44"))
    row = row_at(found, "V3", "plate")
    assert (row.run, row.expected_volts, row.measured_volts, row.tolerance) == ("as found", 45, 44, 0.2)
    assert row.adjusted_volts == makers.meant(45 * 120 / 117)
    assert row.deviation == pytest.approx(44 / (45 * 120 / 117) - 1, abs=1e-4)
    assert row.verdict == "within"


def test_line_voltage_correction_from_a_110_volt_line_to_a_117_volt_chart() -> None:
    """Readings taken on 110 V for a chart at 117 V: factor 117/110 = 1.0636 on the readings, so 110/117 on the chart.

    From memory, common practice (no published worked example was found).
    """
    found = findings_of(readings("line: 117 V\nV2: plate 100", "line: 110 V\nV2: plate 94.02"))
    row = row_at(found, "V2", "plate")
    assert row.adjusted_volts == makers.meant(100 / 1.0636)
    assert row.deviation == pytest.approx(0, abs=1e-4)


def test_only_what_follows_the_line_is_scaled() -> None:
    """Grids, diodes and regulated rails stay as published (common practice, no source)."""
    sheet = """line: 100 V
    V1: plate 90, screen 80, osc grid -8, grid -1, cathode 1, heater 10 AC
    V3: plate 45, grid -0.7, diode plate 1 -0.6
    V5: plate 100 AC, cathode 100
    B+1: 100
    regulated 108: 108
    AVC: -3"""
    found = findings_of(readings(sheet, "line: 120 V\nV1: plate 90"))
    adjusted = {(r.tube, r.electrode): r.adjusted_volts for r in found.rows}
    scaled = {("V1", "plate"): 108, ("V1", "screen"): 96, ("V1", "cathode"): 1.2, ("V1", "heater"): 12}
    scaled |= {("V3", "plate"): 54, ("V5", "plate"): 120, ("V5", "cathode"): 120, ("B+1", "rail"): 120}
    kept = {("V1", "osc grid"): -8, ("V1", "signal grid"): -1, ("V3", "grid"): -0.7, ("V3", "diode plate 1"): -0.6}
    kept |= {("regulated 108", "rail"): 108, ("AVC", "rail"): -3}
    assert adjusted == {place: pytest.approx(volts) for place, volts in (scaled | kept).items()}


def test_without_a_line_nothing_is_scaled_and_it_is_said() -> None:
    found = findings_of(readings("line: 117 V\nV2: plate 90", "V2: plate 90"), head="power: series string\n")
    assert row_at(found, "V2", "plate").scaled_by is None
    assert row_at(found, "V2", "plate").adjusted_volts == 90
    (scale,) = found.runs[0].line
    assert scale.factor is None
    assert "not known" in scale.missing


def test_the_nominal_line_holds_unless_the_run_says_otherwise() -> None:
    found = findings_of(readings("line: 117 V\nV2: plate 90", "V2: plate 90"))
    assert (found.runs[0].conditions.line_volts, found.runs[0].conditions.line_from) == (120, "the record")
    assert (found.sources[0].conditions.line_volts, found.sources[0].conditions.line_from) == (117, "the list")


def test_a_battery_set_does_not_follow_any_line() -> None:
    found = findings_of(
        "tubes:\n  V1: 1R5\nreadings:\n  sheet:\n    line: 117 V\n    V1: plate 90\n  today:\n    V1: plate 80\n",
        head="line: 120 V 60 Hz\npower: battery\n",
    )
    assert row_at(found, "V1", "plate").adjusted_volts == 90


@pytest.mark.handbook
def test_pins_and_words_meet_by_the_tube_table() -> None:
    """12BE6: pin 1 grid 1, 2 cathode, 5 plate, 6 screen, 7 signal grid (General Electric ET-T891A, Nov 1956)."""
    found = findings_of(readings("V1: plate 90, g2 80, osc grid -8, grid -1, k 0", "V1: -7 0 x x 91 81 -1"))
    measured = {r.electrode: (r.expected_volts, r.measured_volts) for r in found.rows}
    assert measured == {
        "plate": (90, 91),
        "screen": (80, 81),
        "osc grid": (-8, -7),
        "signal grid": (-1, -1),
        "cathode": (0, 0),
    }


def test_british_words_are_the_same_electrodes_and_the_page_says_anode() -> None:
    body = readings("V2: anode 90", "V2: plate 92")
    found = findings_of(body, words=BRITISH)
    row = row_at(found, "V2", "plate")
    assert (row.expected_volts, row.measured_volts, row.spot.said) == (90, 92, "anode")


def test_an_electrode_on_two_pins_is_one_row() -> None:
    """The 50C5 has its grid on pins 2 and 5; the larger reading counts and the difference is said."""
    found = findings_of(readings("V4: grid 0", "V4: x 0 x x 1.8"))
    row = row_at(found, "V4", "grid")
    assert row.measured_volts == 1.8
    assert row.verdict == "positive grid"
    assert "written twice" in row.remarks[0]


def test_both_plates_of_a_full_wave_rectifier_take_the_value_of_plates() -> None:
    tubes = "\ntubes:\n  V1: 80\n"
    found = findings_of(readings("V1: plates 350 AC, filament 300", "V1: plate 1 340 AC, plate 2 120 AC", tubes))
    assert row_at(found, "V1", "plate 1").verdict == "within"
    assert row_at(found, "V1", "plate 2").verdict == "low"


def test_a_tube_that_is_not_in_the_table_is_matched_by_its_words() -> None:
    tubes = "\ntubes:\n  V1: ZZ99\n"
    found = findings_of(readings("V1: anode 90, pin 9 3, nonsense 4", "V1: plate 91, pin 9 3.1, nonsense 4", tubes))
    assert [(r.electrode, r.verdict) for r in found.rows] == [
        ("plate", "within"),
        ("pin 9", "within"),
        ("nonsense", "within"),
    ]


def test_first_cathode_then_grids_then_plate_then_diodes_and_heaters() -> None:
    found = findings_of(
        readings("V3: heater 12 AC, diode plate 1 -0.5, plate 45, grid -0.7, cathode 0", "V3: plate 44")
    )
    assert [r.electrode for r in found.rows] == ["cathode", "grid", "plate", "diode plate 1", "heater"]


@pytest.mark.parametrize(
    ("sheet", "measured", "verdict"),
    [
        ("plate 90", "plate 73", "within"),
        ("plate 90", "plate 71", "low"),
        ("plate 90", "plate 109", "high"),
        ("plate 100", "plate 80", "within"),
        ("plate 100", "plate 120", "within"),
        ("cathode 0", "cathode 0.02", "within"),
        ("cathode 0", "cathode 0.1", "high"),
        ("cathode 0", "cathode -0.1", "low"),
        ("cathode 0.9", "cathode 0.75", "within"),
        ("cathode 0.9", "cathode 0.6", "low"),
        ("osc grid -10", "osc grid -7", "low"),
        ("osc grid -10", "osc grid -13", "high"),
        ("grid 0", "grid 0.1", "positive grid"),
        ("grid -1", "grid -0.8", "within"),
        ("plate 85-95", "plate 84", "low"),
        ("plate 85-95", "plate 94", "within"),
        ("plate 90 ± 5 %", "plate 84", "low"),
    ],
)
def test_verdicts(sheet: str, measured: str, verdict: str) -> None:
    """± 20 %, floors for small voltages; both common practice, no source. Ranges and tolerances hold as written."""
    found = findings_of(readings(f"line: 120 V\nV1: {sheet}", f"V1: {measured}"))
    assert [row.verdict for row in found.rows] == [verdict]


@pytest.mark.parametrize(
    ("measured", "verdict"),
    [
        ("plate > 80", "cannot tell"),
        ("plate > 150", "high"),
        ("plate < 5", "low"),
        ("plate OL", "cannot tell"),
        ("plate x", "not read"),
        ("plate 92 AC", "no expected value"),
    ],
)
def test_bounds_are_never_within(measured: str, verdict: str) -> None:
    found = findings_of(readings("line: 120 V\nV1: plate 90", f"V1: {measured}"))
    assert found.rows[0].verdict == verdict if len(found.rows) == 1 else verdict in [r.verdict for r in found.rows]
    assert all(row.deviation is None for row in found.rows)


def test_an_overrange_is_beyond_the_meters_range() -> None:
    found = findings_of(readings("line: 120 V\nV1: plate 90", "meter: 20 kohm/V on 250 V\nV1: plate OL"))
    assert found.rows[0].verdict == "high"


def test_ac_is_compared_with_ac_only_and_it_is_said() -> None:
    found = findings_of(readings("line: 120 V\nV5: plate 117 AC", "V5: plate 60"))
    assert {(r.current, r.verdict) for r in found.rows} == {("AC", "not read"), ("DC", "no expected value")}
    assert all("AC" in row.remarks[0] for row in found.rows)


def test_a_tolerance_of_the_sheet_holds() -> None:
    found = findings_of(readings("line: 120 V\ntolerance: 10 %\nV1: plate 90", "V1: plate 78"))
    assert (found.rows[0].tolerance, found.rows[0].verdict) == (0.1, "low")


def test_a_positive_control_grid_is_a_fault_and_names_the_coupling_capacitor() -> None:
    body = readings("V4: grid 0, cathode 5.6", "V4: grid +2.4, cathode 7.1")
    parts = "parts:\n  C7: 0.01 uF 400 V paper, between V3 plate and V4 grid\n"
    (first, *_) = told(body + parts)
    assert first.severity == FAULT
    assert "V4" in first.text
    assert "+2.4" in first.text
    assert "C7" in first.text
    (suggestion,) = findings_of(body + parts).suggestions
    assert (suggestion.tube, suggestion.part, suggestion.settled) == ("V4", "C7", False)
    assert "lift the grid end of C7" in suggestion.next


def test_a_positive_grid_counts_without_any_expected_value() -> None:
    found = findings_of(FIVE_TUBES + "readings:\n  as found:\n    V4: grid 0.3\n")
    assert found.rows[0].verdict == "positive grid"


def test_a_grid_published_positive_is_held_to_its_value() -> None:
    """A direct-coupled stage (cathode follower, split load) has its grid at the plate before it, by design."""
    tubes = "\ntubes:\n  V1: 12AX7\n"
    sheet = "line: 120 V\nV1: grid 2 60, cathode 2 62"
    assert row_at(findings_of(readings(sheet, "V1: grid 2 63", tubes)), "V1", "grid 2").verdict == "within"
    assert row_at(findings_of(readings(sheet, "V1: grid 2 95", tubes)), "V1", "grid 2").verdict == "positive grid"


DIRECT = "  V2: 6J5\n  V3: 6V6GT\n"


@pytest.mark.parametrize(
    ("more", "sheet", "measured", "verdict"),
    [
        ("", "", "V2: grid 153, cathode 154", "no expected value"),
        ("", "", "V2: grid 153, cathode 140", "positive grid"),
        ("", "", "V2: grid 153", "cannot tell"),
        ("", "", "V2: grid 4.7, cathode 9", "positive grid"),
        ("", "V2: grid 0, cathode 20", "V2: grid 45, cathode 60", "positive grid"),
        ("", "V2: grid 90, cathode 95", "V2: grid 153, cathode 154", "high"),
        ("", "V2: grid 90, cathode 95", "V2: grid 95, cathode 80", "positive grid"),
        ("parts:\n  R1: 470 kohm, between V2 grid and B-\n", "", "V2: grid 60, cathode 62", "positive grid"),
        ("parts:\n  C1: 10 nF, between V3 plate and V2 grid\n", "", "V2: grid 60, cathode 62", "positive grid"),
        ("parts:\n  R1: 1 meg, between V2 grid and B+1\n", "", "V2: grid 20, cathode 22", "no expected value"),
        ("parts:\n  R1: 1 meg, between V2 grid and V2 cathode\n", "", "V2: grid 20, cathode 22", "no expected value"),
        ("wires:\n  - V3 plate, V2 grid\n", "", "V2: grid 20, cathode 22", "no expected value"),
        ("wires:\n  - V3 plate, V2 grid\n", "", "V2: grid 20, cathode 18", "positive grid"),
    ],
)
def test_a_grid_is_compared_with_its_own_cathode_before_it_is_called_positive(
    more: str, sheet: str, measured: str, verdict: str
) -> None:
    """153 V on the grid of a directly coupled stage and 154 V on its cathode is 1 V of bias, and no gas."""
    lists = (f"  sheet:\n    {sheet}\n" if sheet else "") + f"  as found:\n    {measured}\n"
    found = findings_of(f"tubes:\n{DIRECT}readings:\n{lists}{more}")
    row = row_at(found, "V2", "grid")
    assert row.verdict == verdict
    faults = {cause.fault for s in found.suggestions for cause in (s, *s.alike)}
    assert ("gas" in faults) == (verdict == "positive grid")
    assert any("beside its own cathode" in r for r in row.remarks) == ("cathode" in measured and "4.7" not in measured)


def test_a_grid_that_a_later_run_finds_right_is_told_as_past() -> None:
    body = readings("V4: grid 0", "V4: grid +2.4") + "  after recapping:\n    V4: grid 0\n"
    parts = "parts:\n  C7: 0.01 uF 400 V paper, between V3 plate and V4 grid\n"
    (only,) = told(body + parts)
    assert only.severity == NOTE
    assert "was at +2.4" in only.text
    assert findings_of(body + parts).suggestions[0].settled


def test_a_capacitor_measured_without_leakage_is_not_blamed() -> None:
    body = readings("V4: grid 0", "V4: grid +2.4")
    parts = "parts:\n  C7: now 10 nF 630 V film, leakage <0.1 uA at 400 V, between V3 plate and V4 grid\n"
    (suggestion,) = findings_of(body + parts).suggestions
    assert suggestion.rule == "grid current or a leak"


def test_a_plate_below_the_grid_cannot_have_lifted_it() -> None:
    body = readings("V4: grid 0", "V4: grid +2.4\nV3: plate 1")
    parts = "parts:\n  C7: 0.01 uF 400 V paper, between V3 plate and V4 grid\n"
    assert all(s.rule != "leaky coupling capacitor" for s in findings_of(body + parts).suggestions)


def test_everything_low_with_b_plus_is_told_from_one_bad_stage() -> None:
    sheet = "line: 120 V\nV1: plate 90\nV2: plate 90, screen 90\nV3: plate 45\nV5: cathode 120"
    found = findings_of(readings(sheet, "V1: plate 63\nV2: plate 64, screen 62\nV3: plate 12\nV5: cathode 84"))
    run = found.runs[0]
    assert run.b_plus is not None
    assert run.b_plus.ratio == pytest.approx(0.7)
    assert (run.outside, run.outside_at_its_b_plus) == (5, 2)
    assert row_at(found, "V1", "plate").normalised_deviation == pytest.approx(0)
    assert row_at(found, "V1", "plate").normalised_verdict == "within"
    assert row_at(found, "V3", "plate").normalised_verdict == "low"


@pytest.mark.parametrize(("read", "ratio"), [("50", 0.2), ("48", None), ("0", None)])
def test_below_a_fifth_of_what_is_expected_there_is_no_b_plus_to_speak_of(read: str, ratio: float | None) -> None:
    sheet = "  sheet:\n    B+1: 250\n    V3: plate 100\n"
    text = f"line: 120 V\ntubes:\n  V3: 12AV6\nreadings:\n{sheet}  found:\n    B+1: {read}\n    V3: plate 20\n"
    run = makers.found("readings", text).latest
    assert (run.b_plus.ratio if run.b_plus else None) == ratio


def test_b_plus_may_be_a_rail() -> None:
    found = findings_of(readings("line: 120 V\nB+1: 100\nV1: plate 90", "b+1: 50\nV1: plate 45"))
    assert found.runs[0].b_plus is not None
    assert row_at(found, "V1", "plate").normalised_deviation == pytest.approx(0)
