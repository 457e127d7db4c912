"""Results: what each is about, which way is better, curves, and what is worked out of the set beside them."""

from __future__ import annotations

import math

import pytest

import makers
from benchleaf.chapters.results.findings import ResultsFindings
from benchleaf.drawing import Figure
from benchleaf.drawing.plot import LinePlot, to_figure
from benchleaf.report.sentence import text_of
from markup import words_of

STAGE = """tubes:
  V4: 50C5, output
readings:
  2026-03-04 after:
    to: B-
    V4: plate 115.6, grid 0, cathode 5.6
parts:
  R5: 150 ohm, between V4 cathode and B-
IF: 455 kHz
"""


def found(lines: str, around: str = "") -> ResultsFindings:
    made: ResultsFindings = makers.findings("results", makers.record(around + "results:\n" + makers.rows(lines)))
    return made


def shown(lines: str, around: str = "") -> str:
    return makers.plain(words_of(makers.page("results", makers.record(around + "results:\n" + makers.rows(lines)))))


@pytest.mark.parametrize(
    ("line", "subject", "better"),
    [
        ("hum at the speaker: before 38 mV, after 3.1 mV", "hum", True),
        ("hum: before -40 dB, after -57 dB", "hum", None),
        ("sensitivity on 300 m: before 400 uV, after 75 uV", "sensitivity", True),
        ("sensitivity: before 40 mW, after 75 mW", "sensitivity", None),
        ("selectivity at 10 kHz off: before 18 dB, after 15 dB", "selectivity", False),
        ("image ratio: before 20 dB, after 31 dB", "image", True),
        ("distortion at 0.5 W: before 12 %, after 4 %", "distortion", True),
        ("output power: before 0.4 W, after 1.6 W", "power", None),
        ("bandwidth: before 6 kHz, after 8 kHz", "", None),
    ],
)
def test_what_a_result_is_about_and_which_way_is_better(line: str, subject: str, better: bool | None) -> None:
    result = found(line).results[0]
    assert (result.subject, result.better) == (subject, better)


def test_levels_differ_by_decibels_and_have_no_ratio() -> None:
    result = found("selectivity: before 18 dB, after 31 dB").results[0]
    assert (result.change_db, result.ratio, result.direction) == (13.0, None, "higher")


def test_an_output_power_stands_beside_what_its_stage_can_give() -> None:
    """34.5 mA (5.6 V over 150 ohm without the screen's) in 2500 ohm: half of I squared R, 1.49 W of a sine.

    V squared over R says the power of a voltage. The load is the published one of the type.
    """
    made = found("output power: 1.2 W into 3.2 ohm, at 10 %", STAGE)
    assert [(one.what, one.measured, one.unit) for one in made.beside] == [("limit", 1.2, "W")]
    assert made.beside[0].worked_out == pytest.approx(0.0345**2 * 2500 / 2, rel=0.02)
    assert made.output_stage is not None
    assert (made.output_stage.tube, made.output_stage.load_how) == ("V4", "published")
    volts = found("output power: 2 V into 3.2 ohm", STAGE)
    assert volts.beside[0].measured == pytest.approx(1.25)
    told = makers.standouts("results", makers.record(STAGE + "results:\n  output power: 4 W into 3.2 ohm\n"))
    assert [s.text for s in told if "more than the" in s.text]
    assert found("output power: 1.2 W", "tubes:\n  V4: 50C5, output\n").beside == ()


@pytest.mark.parametrize(
    ("watts", "told"),
    [
        # What the screen leaves of 37.3 mA, 34.5 mA, into 2.5 kohm: 0.0345² × 2500 ÷ 2; told from 1.25 times on.
        ("1.8", []),
        ("1.96", ["Output power: 2 W, more than the 1.5 W that V4 can give as a sine. "
                  "A reading, the load or the waveform is another."]),
        ("12.34", ["Output power: 12 W, more than the 1.5 W that V4 can give as a sine. "
                   "A reading, the load or the waveform is another."]),
    ],
)  # fmt: skip
def test_an_output_power_well_beyond_its_stage_is_told_in_two_figures(watts: str, told: list[str]) -> None:
    assert makers.said("results", f"{STAGE}results:\n  output power: {watts} W into 3.2 ohm\n") == told


def test_watts_of_the_line_are_no_output_and_hum_is_not_held_to_them() -> None:
    """4 mV below 0.9 W across 3.2 ohm: 20 log (0.004 / 1.697) is -52.6 dB; against 31 W it was told as -68 dB."""
    lines = "line power: 31 W at 117 V, plug in wattmeter\noutput power: .9 W into 3.2 ohm, at clipping\nhum: 4 mV\n"
    made = found(lines, STAGE + "nameplate: 117 V 60 Hz, 35 W\n")
    beside = {(one.name, one.what): one for one in made.beside}
    assert set(beside) == {("output power", "limit"), ("hum", "hum"), ("line power", "nameplate")}
    assert beside["hum", "hum"].worked_out == pytest.approx(-52.6, abs=0.1)
    assert (beside["line power", "nameplate"].measured, beside["line power", "nameplate"].worked_out) == (31.0, 35.0)
    assert [result.subject for result in made.results] == ["line power", "power", "hum"]


def test_hum_is_so_far_below_the_output() -> None:
    """3.1 mV below 1.2 W across 3.2 ohm, 1.96 V: 20 log."""
    made = found("hum: 3.1 mV\noutput power: 1.2 W into 3.2 ohm")
    assert made.beside[0].worked_out == pytest.approx(20 * math.log10(3.1e-3 / math.sqrt(1.2 * 3.2)), abs=0.05)
    assert found("hum: 3.1 mV\noutput power: 1.2 W").beside == ()
    assert found("hum: 3.1 mV\noutput power: 1.2 W", "speaker: 3.2 ohm\n").beside != ()


@pytest.mark.handbook
def test_an_image_ratio_stands_beside_that_of_one_circuit() -> None:
    """1000 kHz, IF 455 kHz, Q 80: 40.9 dB (Scilab Textbook Companion 1409, example 8.3); Q 100 is 1.94 dB more."""
    made = found("image ratio at 1000 kHz: 31 dB", "IF: 455 kHz\n")
    assert made.beside[0].worked_out == pytest.approx(40.9 + 20 * math.log10(100 / 80), abs=0.1)
    assert made.beside[0].at_hertz == 1e6
    assert found("image ratio: 31 dB, at 1 MHz", "IF: 455 kHz\n").beside[0].at_hertz == 1e6
    assert found("image ratio: 31 dB", "IF: 455 kHz\n").beside == ()


@pytest.mark.handbook
def test_a_frequency_response_of_two_corners_has_them_back() -> None:
    """One resistor and capacitor at either end, corners at 100 Hz and 4 kHz (first-order responses, any textbook)."""

    def level(hertz: float) -> float:
        return -10 * math.log10((1 + (100 / hertz) ** 2) * (1 + (hertz / 4000) ** 2))

    points = ", ".join(f"{10 ** (n / 10):.4g} Hz {level(10 ** (n / 10)):.4f} dB" for n in range(15, 43))
    curve = found(f"response: {points}").curves[0]
    assert (curve.subject, curve.reference_hertz) == ("response", 400.0)
    assert curve.low_hertz == pytest.approx(94, rel=0.03)
    assert curve.high_hertz == pytest.approx(4260, rel=0.03)


def test_the_two_corners_alone_are_corners() -> None:
    """So is a response mostly written: there is no middle to count from, and both points are 3 dB down."""
    curve = found("response: 70 Hz -3 dB, 11 kHz -3 dB").curves[0]
    assert (curve.low_hertz, curve.high_hertz) == (70.0, 11e3)
    assert found("response: 70 Hz -1 dB, 11 kHz -1 dB").curves[0].low_hertz is None


def test_a_response_in_volts_is_one_in_decibels() -> None:
    curve = found("tone: 100 Hz 0.707 V, 400 Hz 1 V, 4 kHz 0.5 V").curves[0]
    assert curve.low_hertz == pytest.approx(100, rel=0.02)


def test_avc_and_distortion_are_worked_out() -> None:
    made = found("AVC: 50 uV 0.1 V, 500 uV 0.5 V, 5 mV 0.9 V, 50 mV 1 V\ndistortion: 2 % at 50 mW, 12 % at 1.2 W")
    avc, distortion = made.curves
    assert avc.hold_db == pytest.approx(
        40 + 20 * math.log10(10 ** ((10 - 20 * math.log10(2)) / (20 * math.log10(5)))), abs=0.5
    )
    assert avc.output_change_db == pytest.approx(20.0)
    assert distortion.ten_percent_watts == pytest.approx(0.05 * (1.2 / 0.05) ** 0.8, rel=0.01)
    said = shown("AVC: 50 mV 0.9 V, 500 mV 1 V")
    assert "may fall by at least 20 dB" in said


@pytest.mark.parametrize(("line", "levels"), [("distortion: 2 % at 50 mW, 12 % at 1.2 W", [(10, 10, "10 %")]),
                                              ("AVC: 50 uV 0.1 V, 5 mV 0.9 V", [])])  # fmt: skip
def test_only_distortion_has_the_level_of_ten_per_cent_drawn(
    line: str, levels: list[tuple[float, float, str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    """In per cent, as its axis is."""
    drawn: list[LinePlot] = []

    def keep(plot: LinePlot, *, name: str, title: str, description: str) -> Figure:
        drawn.append(plot)
        return to_figure(plot, name=name, title=title, description=description)

    monkeypatch.setattr("benchleaf.drawing.plot.to_figure", keep)
    makers.figures("results", "results:\n" + makers.rows(line))
    (plot,) = drawn
    assert [(one.low, one.high, one.label) for one in plot.limits] == levels
    assert max(max(series.y) for series in plot.series) == pytest.approx(12 if levels else 0.9)


def test_before_and_after_stand_in_one_table_where_they_were_read_at_the_same_points() -> None:
    same = shown("response:\n  before: 100 Hz -9 dB, 400 Hz 0 dB\n  after: 100 Hz -3 dB, 400 Hz 0 dB")
    assert "Before −9 dB 0 dB After −3 dB 0 dB" in same
    other = shown("response:\n  before: 90 Hz -9 dB, 400 Hz 0 dB\n  after: 100 Hz -3 dB, 400 Hz 0 dB")
    assert "Before −9 dB 0 dB" in other
    assert "as it was read, after" in other
    assert "Before −9 dB" in shown("response:\n  before: 90 Hz -9 dB, 400 Hz 0 dB")


def test_a_listening_note_stays_as_words() -> None:
    made = found("listening: quiet between stations, a slight whistle at 910")
    assert made.results[0].is_words
    said = shown("listening: quiet between stations, a slight whistle at 910")
    assert "quiet between stations, a slight whistle at 910" in said
    assert "not compared" not in said


def test_points_of_several_kinds_are_shown_and_said_to_be() -> None:
    said = shown("response: 100 Hz -3 dB, 400 Hz 1 V")
    assert "not all of one kind" in said
    assert "−3 dB 1 V" in said


def test_results_with_curves_have_a_page_and_leave_the_record_as_it_was() -> None:
    text = "results:\n  hum: before 38 mV, after 3 mV\n  AVC: 50 uV 0.1 V, 5 mV 0.9 V\n  output: after 2 W\n"
    made = makers.digest("results", text)
    assert (made.table, made.told_above, bool(made.working)) == (None, True, True)
    assert len(made.brief.compared) == 2
    assert makers.plain(text_of(made.brief.compared[0].how)) == "lower by 22.1 dB"
    assert "3 results" in text_of(made.conclusion)


def test_all_that_was_read_before_and_after_is_counted_and_what_is_better_is_called_so() -> None:
    """“3 of them measured before and after” stood over a table of four, and “sensitivity lower” reads as worse."""
    levels = "  selectivity: before 17 dB, after 23 dB\n  response: 100 Hz -3 dB, 1 kHz 0 dB\n"
    text = f"results:\n  hum: before 38 mV, after 3.1 mV\n  distortion: before 4 %, after 5 %\n{levels}"
    said = makers.plain(text_of(makers.digest("results", text).conclusion))
    assert said == (
        "4 results, 3 of them read before and after the work. Better than before: hum by 21.8 dB and selectivity by "
        "6.0 dB. Worse than before: distortion."
    )


def test_results_of_one_time_stand_in_the_table_beside_a_page_of_their_own() -> None:
    """The top had better to show, and the chapter said “6 results.” and none of them."""
    text = f"{STAGE}results:\n  output power: 3.2 W into 2.5 ohm\n  sensitivity MW: 22 uV for 50 mW\n"
    made = makers.digest("results", text)
    assert made.working
    assert made.table is not None
    assert [makers.plain(row.head.text) for row in made.table.groups[0].rows] == [
        "Output power",
        "Sensitivity MW, for 50 mW",
    ]


def test_a_field_strength_compares_as_volts_do() -> None:
    """20 log (140 ÷ 900) = −16.16 dB (ISO 80000-3: a field quantity); a set that needs less of it is the better one."""
    (found,) = makers.found("results", "results:\n  sensitivity at 1000 kHz: before 900 uV/m, after 140 uV/m\n").results
    assert (found.unit, found.better) == ("V/m", True)
    assert found.change_db == pytest.approx(-16.16, abs=0.01)


def test_that_nothing_was_measured_twice_is_not_counted() -> None:
    (said,) = makers.digest("results", "results:\n  hum: 60 mV before\n").conclusion
    assert said.startswith("1 result")
    assert "before and after" not in said


@pytest.mark.parametrize(
    ("after", "direction"),
    [("99.1 mV", "unchanged"), ("98.9 mV", "lower"), ("100.9 mV", "unchanged"), ("101.02 mV", "higher")],
)
def test_results_within_a_hundredth_are_unchanged(after: str, direction: str) -> None:
    assert found(f"hum: before 100 mV, after {after}").results[0].direction == direction
