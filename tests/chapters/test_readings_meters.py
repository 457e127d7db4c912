"""Meter loading on both sides, the point of reference, the meter's own error, and what part tolerances allow."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import makers
from benchleaf.chapters.readings.findings import ReadingsFindings
from benchleaf.chapters.readings.rows import ReadingRow
from benchleaf.electrics.loading import in_parallel, meter_ohms, true_volts
from benchleaf.report.verdict import Verdict
from makers import meant

HEAD = "maker: Larkfield\nmodel: Minuet 5\nline: 220 V\npower: series string\nchassis: line-connected\n"
TUBES = "tubes:\n  V1: UCH42\n  V2: UF41\n  V3: UBC41\n  V4: UL41\n  V5: UY41\n"
WITHOUT_POINT = TUBES.replace("UF41", "UF42").replace("UBC41", "7B4")
"""The pentode and the triode are types that the table has no operation of."""
LOAD = "  R9: 220 kohm, between V3 plate and HT2\n"


def examined(sheet: str, found: str, parts: str = LOAD, head: str = HEAD, tubes: str = TUBES) -> ReadingsFindings:
    return makers.found("readings", record_of(sheet, found, parts, head, tubes))


def record_of(sheet: str, found: str, parts: str, head: str = HEAD, tubes: str = TUBES) -> str:
    def lines(text: str) -> str:
        return "".join(f"    {line.strip()}\n" for line in text.split(";"))

    body = f"{head}{tubes}readings:\n  sheet:\n{lines(sheet)}  as found:\n{lines(found)}"
    return body + (f"parts:\n{parts}" if parts else "")


def row_at(found: ReadingsFindings, tube: str, electrode: str = "plate") -> ReadingRow:
    (row,) = [r for r in found.rows if (r.tube, r.electrode) == (tube, electrode)]
    return row


OLD = "meter: 1 kohm/V on 300 V; line: 220 V; V3: plate 60, cathode 0; HT2: 165"


@pytest.mark.handbook
def test_two_equal_resistors_and_a_meter_like_one_of_them() -> None:
    """10 V on 10 kohm and 10 kohm, a meter of 10 kohm across one: 3.33 V for 5 V (US Army, MM0455, fig. 5-1)."""
    assert true_volts(10 / 3, in_parallel(10e3, 10e3), 10e3) == pytest.approx(5)


@pytest.mark.handbook
def test_a_20_kohm_per_volt_meter_on_250_volts_is_five_megohms() -> None:
    """Sanwa U-50D manual, page on the internal resistance of the tester."""
    assert meter_ohms(20e3, 250) == pytest.approx(5e6)


@pytest.mark.regression
@pytest.mark.parametrize("tubes", [TUBES, WITHOUT_POINT])
def test_the_old_meter_accounts_for_a_high_triode_plate(tubes: str) -> None:
    """By hand: (165 - 60)/220k - 60/300k = 0.277 mA; 60/0.277 mA x 2/3 x 1/2 = 72.1 kohm; beside 220 kohm 54.3 kohm;

    60 x (1 + 54.3/300)/(1 + 54.3/10000) = 70.5 V. With the 50 kohm at 0.8 mA that the table has of a UBC41, 71.2 kohm
    and 70.4 V: the law by itself and the published operation lead to the same verdict.
    """
    row = row_at(examined(OLD, "meter: 10 meg; V3: plate 84, cathode 0; HT2: 165", tubes=tubes), "V3")
    assert row.loading is not None
    source = row.loading.source
    assert (source.kind, source.part) == ("triode", "R9")
    assert source.tube_amps == meant(105 / 220e3 - 60 / 300e3)
    by_law = 60 / source.tube_amps / 3
    published = 50e3 * (0.8e-3 / source.tube_amps) ** (1 / 3)
    own = by_law if tubes == WITHOUT_POINT else published
    assert source.ohms == pytest.approx(in_parallel(220e3, own), rel=2e-3)
    assert row.adjusted_volts == pytest.approx(70.5, abs=0.1)
    assert (row.verdict, row.without_loading) == ("within", "high")
    assert row.agrees_by_meter


def test_the_load_alone_is_not_taken_for_a_triode() -> None:
    """With the whole 220 kohm the sheet's 60 V would be 103 V, and a plate at 115 V would look ordinary."""
    row = row_at(examined(OLD, "meter: 10 meg; V3: plate 115, cathode 0; HT2: 165"), "V3")
    assert row.verdict == "high"
    assert row.loading is not None
    assert row.loading.source.high_ohms < 100e3


@pytest.mark.parametrize("tubes", [TUBES, WITHOUT_POINT])
def test_a_pentodes_plate_shows_its_load(tubes: str) -> None:
    """Beside it 1.1 megohm x 6 mA / 0.583 mA = 11.3 megohm, where the table has the plate resistance (UF41)."""
    parts = "  R4: 100 kohm, between V2 plate and HT2\n"
    sheet = "meter: 1 kohm/V on 300 V; V2: plate 80, screen 60, cathode 1; HT2: 165"
    row = row_at(examined(sheet, "meter: 10 meg; V2: plate 100, screen 60", parts, tubes=tubes), "V2")
    assert row.loading is not None
    amps = (165 - 80) / 100e3 - 80 / 300e3
    ohms = 100e3 if tubes == WITHOUT_POINT else in_parallel(100e3, 1.1e6 * 6e-3 / amps)
    assert row.loading.source.kind == "pentode"
    assert row.loading.source.ohms == meant(ohms)
    assert row.adjusted_volts == meant(80 * (1 + ohms / 300e3) / (1 + ohms / 10e6))


def test_a_factor_without_a_span_has_none_said() -> None:
    """“1.320 (1.320 to 1.320)” stood beside a pentode's load, of which nothing but the value is taken."""
    parts = "  R4: 100 kohm, between V2 plate and HT2\n"
    sheet = "meter: 1 kohm/V on 300 V; V2: plate 80, screen 60, cathode 1; HT2: 165"
    record = record_of(sheet, "meter: 10 meg; V2: plate 100, screen 60", parts, tubes=WITHOUT_POINT)
    page = makers.page("readings", record)
    assert "= 1.32:" in page
    assert "(1.32" not in page


@pytest.mark.parametrize(
    ("sheet", "found", "parts"),
    [
        (OLD.replace(" on 300 V", ""), "meter: 10 meg; V3: plate 88", LOAD),
        (OLD.replace("meter: 1 kohm/V on 300 V; ", ""), "meter: 10 meg; V3: plate 88", LOAD),
        (OLD, "V3: plate 88", LOAD),
    ],
)
def test_nothing_is_corrected_where_an_input_is_missing(sheet: str, found: str, parts: str) -> None:
    row = row_at(examined(sheet, found, parts), "V3")
    assert row.loading is None
    assert (row.adjusted_volts, row.verdict) == (60, "high")


def test_what_is_missing_is_said() -> None:
    row = row_at(examined(OLD.replace("; HT2: 165", ""), "meter: 10 meg; V3: plate 88"), "V3")
    assert any("B+2 are not in that list" in remark for remark in row.remarks)
    other = row_at(examined(OLD, "V3: plate 84"), "V3")
    assert other.meter is not None
    assert other.meter.whose == "expected"


@pytest.mark.parametrize(
    ("sheet", "parts", "high", "why"),
    [
        (OLD, "", 300, "the resistor that feeds it is not in the parts list"),
        (OLD.replace("; HT2: 165", ""), LOAD, 140, "the volts at B+2 are not in that list"),
        (OLD.replace("300 V", "50 V"), LOAD, 340, "a value above the meter's range was read on another range"),
        (OLD.replace("HT2: 165", "HT2: 100"), LOAD, 140, "that list's own volts leave no current for the tube"),
    ],
)
def test_two_meters_that_cannot_be_accounted_for_leave_no_verdict_unless_it_holds_whatever_they_make(
    sheet: str, parts: str, high: float, why: str
) -> None:
    """With 220 kohm behind it at the most, a sheet's 60 V were 60 to 101.8 V: 88 V may be right, 40 V and 140 V not.

    With 1 megohm, 60 to 236 V; with a range of 60 V at the least and 220 kohm, 60 to 274 V.
    """
    for volts, verdict in ((88, "cannot tell"), (40, "low"), (high, "high")):
        row = row_at(examined(sheet, f"meter: 10 meg; V3: plate {volts}", parts), "V3")
        assert (row.verdict, row.deviation, row.loading) == (verdict, None, None)
        assert row.loading_unknown is not None
        assert row.loading_unknown.why == why
        assert any(why in remark for remark in row.remarks)


def test_what_the_meters_may_make_some_of_is_no_fault_by_itself() -> None:
    sheet, found = OLD.replace("; HT2: 165", ""), "meter: 10 meg; V3: plate 140"
    parts = LOAD
    told = makers.standouts("readings", makers.record(record_of(sheet, found, parts)))
    (one,) = [s for s in told if s.text.startswith("V3 ")]
    assert (one.verdict, "plate at 140 V instead of 60 V" in makers.plain(one.text)) == (Verdict.WATCH, True)


def test_a_factor_without_a_band_is_said_once() -> None:
    """No “1.364 (1.364 to 1.364)”."""
    parts = "  R4: 100 kohm, between V2 plate and HT2\n"
    body = f"{HEAD}{TUBES}readings:\n  sheet:\n    meter: 1 kohm/V on 300 V\n    V2: plate 80\n"
    body += f"  as found:\n    meter: 10 meg\n    V2: plate 100\nparts:\n{parts}"
    text = makers.page("readings", body)
    assert "= 1.32: " in text
    assert "1.32 (" not in text


@given(st.floats(30, 160), st.sampled_from(["plate", "screen"]))
@settings(max_examples=30)
def test_a_perfect_meter_on_both_sides_changes_nothing(volts: float, electrode: str) -> None:
    parts = LOAD + "  R3: 22 kohm, between V3 screen and HT2\n" if electrode == "screen" else LOAD
    at = f"V3: plate {volts:.1f}"
    plain = examined("V3: plate 60, cathode 0; HT2: 165", at, LOAD)
    perfect = examined("meter: 1e15 ohm; V3: plate 60, cathode 0; HT2: 165".replace("1e15 ohm", "1000000 megohm"),
                       f"meter: 1000000 megohm; {at}", LOAD)  # fmt: skip
    assert row_at(perfect, "V3").verdict == row_at(plain, "V3").verdict
    assert row_at(perfect, "V3").adjusted_volts == pytest.approx(60)
    assert parts


@given(st.floats(0.2, 3), st.floats(20, 150))
@settings(max_examples=40)
def test_scaling_both_sides_by_one_factor_changes_no_verdict(factor: float, volts: float) -> None:
    """All volts and both ranges times one factor; the floor of small voltages is out of play above 20 V.

    By the law alone: a published operation holds at its own volts, and so does not scale with the set's.
    """

    def text(k: float) -> tuple[str, str]:
        return (
            f"meter: 1 kohm/V on 300 V; V3: plate {60 * k:.6f}, cathode 0; HT2: {165 * k:.6f}".replace(
                "1 kohm/V on 300 V", "300 kohm"
            ),
            f"meter: 10 meg; V3: plate {volts * k:.6f}, cathode 0; HT2: {165 * k:.6f}",
        )

    one, other = (row_at(examined(*text(k), tubes=WITHOUT_POINT), "V3") for k in (1.0, factor))
    assert one.verdict == other.verdict
    assert one.deviation == pytest.approx(other.deviation, rel=0.01, abs=3e-3)


@given(st.floats(1e3, 1e6), st.floats(1e4, 1e7), st.floats(1, 400))
def test_loading_taken_out_is_loading_put_in(source: float, meter: float, volts: float) -> None:
    assert true_volts(volts / (1 + source / meter), source, meter) == pytest.approx(volts)
    assert true_volts(volts, source, math.inf) == volts


PARTED = HEAD.replace("line-connected", "through R and C")


def test_readings_to_the_chassis_are_moved_to_b_minus_where_b_minus_was_read() -> None:
    sheet = "to: chassis; V4: plate 140, grid -12, cathode 0; B-: -20"
    row = row_at(examined(sheet, "to: B-; V4: plate 160", "", PARTED), "V4")
    assert (row.shifted_by, row.adjusted_volts, row.verdict) == (20, 160, "within")
    unknown = row_at(examined(sheet.replace("; B-: -20", ""), "to: B-; V4: plate 160", "", PARTED), "V4")
    assert (unknown.shifted_by, unknown.adjusted_volts) == (None, 140)


def test_a_meters_error_makes_the_edge_of_the_band_undecided() -> None:
    sheet = "V2: plate 100"
    assert row_at(examined(sheet, "meter: 10 meg, 3 %; V2: plate 78.5"), "V2").verdict == "cannot tell"
    assert row_at(examined(sheet, "meter: 10 meg, 0.5 %; V2: plate 78.5"), "V2").verdict == "low"
    row = row_at(examined(sheet, "meter: 20 kohm/V on 250 V, 3 % of range; V2: plate 90"), "V2")
    assert row.uncertainty_volts == pytest.approx(7.5)


def test_a_positive_grid_is_not_hidden_by_the_meters_error() -> None:
    row = row_at(examined("V4: grid 0", "meter: 20 kohm/V on 2.5 V, 3 % of range; V4: grid 0.3"), "V4", "grid")
    assert row.verdict == "positive grid"


@pytest.mark.regression
def test_part_tolerances_alone_make_the_ordinary_range() -> None:
    """220 kohm at + 20 % lowers the plate, at - 20 % raises it: solved with the three-halves law at 0.25 to 0.75."""
    sheet = "V3: plate 60, cathode 0; HT2: 165"
    row = row_at(examined(sheet, "V3: plate 45; HT2: 165"), "V3")
    assert row.ordinary_volts is not None
    low, high = row.ordinary_volts
    assert (low, high) == (56, 65)
    assert row.ordinary is False
    tight = row_at(examined(sheet, "V3: plate 45; HT2: 165", LOAD.replace("kohm", "kohm 5 %")), "V3")
    assert tight.ordinary_volts is not None
    assert tight.ordinary_volts[0] > low


def test_an_odd_sign_is_a_question_and_no_problem() -> None:
    row = row_at(examined("V3: cathode 0", "V2: plate -90"), "V2")
    assert any(remark.endswith("?") for remark in row.remarks)


@pytest.mark.parametrize(
    ("sheet", "found", "at", "asked"),
    [
        ("V2: plate 90", "V2: plate -90", ("V2", "plate"), True),
        ("V2: plate 90", "V2: plate 90", ("V2", "plate"), False),
        ("V2: plate 90", "V2: plate 0", ("V2", "plate"), False),
        ("V4: grid -6", "V4: grid 6", ("V4", "grid"), False),
        ("AVC: -3", "AVC: 3", ("AVC", "rail"), True),
    ],
)
def test_only_a_grid_may_be_of_the_other_sign_without_a_question(
    sheet: str, found: str, at: tuple[str, str], asked: bool
) -> None:
    """A leak makes a grid positive; nothing makes a plate negative but leads the wrong way round."""
    row = row_at(examined(sheet, found), *at)
    assert any("other sign" in remark for remark in row.remarks) is asked
