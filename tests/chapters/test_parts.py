"""The parts chapter's findings against the design's worked numbers, published tables and sets checked by hand."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import makers
from benchleaf.chapters.bench import Bench
from benchleaf.chapters.parts.findings import PartFindings, PartsFindings
from benchleaf.chapters.parts.judging import preferred_series
from benchleaf.report.findings import DANGER, FAULT, NOTE, as_json
from benchleaf.words import BRITISH

TUBES = {"V1": "12BE6", "V2": "12BA6", "V3": "12AV6", "V4": "50C5", "V5": "35W4"}
HEAD = """\
maker: Larkfield
model: Minuet 5
line: 120 V 60 Hz
power: series string
chassis: through R and C
tubes:
""" + "".join(f"  {position}: {type}\n" for position, type in TUBES.items())


def found(parts: str, head: str = HEAD, more: str = "") -> PartsFindings:
    return makers.found("parts", makers.bench(f"{head}parts:\n{parts}{more}", tubes=TUBES))


def part(line: str, head: str = HEAD, more: str = "") -> PartFindings:
    """The findings of the first of some parts."""
    return next(iter(found(f"  {line}\n", head, more).values()))


def said(findings: PartsFindings, bench: Bench | None = None) -> list[tuple[int, str]]:
    return [(s.severity, makers.plain(s.text)) for s in makers.standouts("parts", bench or makers.bench(), findings)]


def test_no_parts_no_chapter() -> None:
    assert makers.findings("parts", HEAD) is None


class TestDriftAndTolerance:
    def test_new_and_old_of_the_contract(self) -> None:
        """contract.md of this project prints change 0.0, drift 0.36 and -0.004 for this capacitor."""
        c7 = part("C7: {was: '0.01 uF 400 V paper, measured 13.6 nF', now: '10 nF 630 V film 5 %, measured 9.96 nF'}")
        assert c7.change_of_value == 0.0
        assert c7.was_drift == pytest.approx(0.36)
        assert c7.now_drift == pytest.approx(-0.004)

    def test_verdict_needs_a_written_tolerance(self) -> None:
        """contract.md: null without a tolerance; the page's assumed band is kept apart from it."""
        c7 = part("C7: was 0.01 uF paper, measured 13.6 nF")
        assert c7.was_in_tolerance is None
        assert c7.was_in_assumed is False
        assert as_json(c7)["was_in_tolerance"] is None
        assert "was_in_assumed" not in as_json(c7)

    @pytest.mark.parametrize(
        ("line", "inside"),
        [
            ("R5: was 470 kohm 20 %, measured 612 kohm", False),
            ("R5: was 470 kohm 20 %, measured 564 kohm", True),
            ("R5: was 470 kohm 20 %, measured 565 kohm", False),
            ("R5: was 470 kohm 20 %, measured 376 kohm", True),
            ("R5: was 470 kohm ±10 %, measured 520 kohm", False),
            ("R8: keep, 150 ohm 10 %, measured 156 ohm", True),
            ("R5: was 470 kohm 20 %, measured open", False),
            ("R5: was 470 kohm 20 %, open", False),
            ("R5: was 470 kohm 20 %, measured >10 meg", False),
            ("R5: was 470 kohm 20 %, measured >400 kohm", None),
            ("R5: was 470 kohm 20 %, measured <100 kohm", False),
            ("R5: was 470 kohm 20 %, measured OL", None),
            ("R5: was 470 kohm 20 %", None),
            ("R5: was 470 kohm, measured 612 kohm", None),
        ],
    )
    def test_old_part_against_its_own_tolerance(self, line: str, inside: bool | None) -> None:
        """Arithmetic by hand: ±20 % of 470 kohm is 376 to 564 kohm, ±10 % is 423 to 517 kohm."""
        assert part(line).was_in_tolerance is inside

    def test_a_bound_gives_no_drift(self) -> None:
        assert part("R5: was 470 kohm 20 %, measured >10 meg").was_drift is None

    def test_value_of_the_sheet_stands_in_for_a_part_without_marking(self) -> None:
        r5 = part("R5: {sheet: 470 kohm 10 %, was: measured 517 kohm}")
        assert r5.was_drift == pytest.approx(0.1)
        assert r5.was_in_tolerance is True

    def test_new_part_out_of_its_tolerance_before_fitting(self) -> None:
        findings = found("  R5: now 470 kohm 5 % 0.5 W, measured 520 kohm, was 470 kohm\n")
        assert findings["R5"].now_in_tolerance is False
        assert said(findings) == [
            (FAULT, "R5: the new 470 kΩ measures 520 kΩ, out of its own tolerance."),
        ]

    def test_electrolytics_are_assumed_with_more_room_above(self) -> None:
        """From memory: old electrolytics were made with more rather than less capacitance."""
        assert part("C1: keep, 8 uF electrolytic, measured 11 uF").was_in_assumed is True
        assert part("C1: keep, 8 uF paper, measured 11 uF").was_in_assumed is False

    def test_change_is_against_the_sheet_where_there_is_one(self) -> None:
        c1 = part("C1: {sheet: 0.02 uF, was: 0.01 uF, now: 22 nF}")
        assert c1.change_of_value == pytest.approx(0.1)


class TestLeakage:
    RUN = "readings:\n  {run}:\n    V3: plate {volts}\n"

    @pytest.mark.handbook
    def test_thirty_eight_microamps_at_two_hundred_volts(self) -> None:
        """The design's chapter on parts prints 5.26 megohm, and +7.5 V through 470 kohm with 92 V before it."""
        findings = found(
            "  C7: was 0.01 uF 400 V paper, leakage 38 uA at 200 V, between V3 plate and V4 grid\n"
            "  R9: keep, 470 kohm, between V4 grid and B-\n",
            more=self.RUN.format(run="found", volts=92),
        )
        c7 = findings["C7"]
        assert c7.was_leakage_ohms == pytest.approx(5.26e6, rel=1e-3)
        assert c7.was_on_grid is not None
        assert c7.was_on_grid.volts == pytest.approx(7.5, abs=0.05)
        assert (c7.was_on_grid.leak_part, c7.was_on_grid.plate_volts_from) == ("R9", "found")
        assert c7.was_on_grid.shifts_bias is True
        assert said(findings) == [
            (NOTE, "C7 leaks 38 µA at 200 V: about +7.54 V on V4 grid, and it is still fitted."),
        ]

    @pytest.mark.parametrize(("cathode", "word"), [(5.9, "fault"), (7.6, "watch")])
    def test_leak_that_takes_all_of_the_bias_away_is_a_fault(self, cathode: float, word: str) -> None:
        """From half a volt up it shifts the bias by common practice; a fault needs the bias itself, here as read."""
        findings = found(
            "  C7: was 0.01 uF 400 V paper, leakage 38 uA at 200 V, between V3 plate and V4 grid\n"
            "  R9: keep, 470 kohm, between V4 grid and B-\n",
            more=self.RUN.format(run="found", volts=92) + f"    V4: cathode {cathode}\n",
        )
        grid = findings["C7"].was_on_grid
        assert (grid.bias_volts, grid.takes_bias_away) == (cathode, word == "fault")
        assert [s.verdict.word for s in makers.standouts("parts", makers.bench(), findings)] == [word]

    @pytest.mark.parametrize(("type_", "bias"), [("6V6GT", 12.5), ("50C5", None)])
    def test_published_bias_serves_where_the_cathode_was_not_read(self, type_: str, bias: float | None) -> None:
        """That of the 50C5 is from memory in the table, and makes no fault."""
        lines = (
            "  C7: keep, 10 nF, leakage 38 uA at 200 V, between V3 plate and V4 grid\n"
            "  R9: keep, 470 kohm, between V4 grid and B-\n"
        )
        text = f"{HEAD.replace('50C5', type_)}parts:\n{lines}{self.RUN.format(run='found', volts=250)}"
        row = makers.found("parts", makers.bench(text, tubes=TUBES | {"V4": type_}))["C7"]
        assert row.was_on_grid.bias_volts == bias
        assert row.was_on_grid.takes_bias_away is (bias is not None)

    def test_replaced_leaky_capacitor_is_only_worth_knowing(self) -> None:
        findings = found(
            "  C7: {between: V3 plate and V4 grid, was: '0.01 uF, leakage 38 uA at 200 V', now: 10 nF}\n"
            "  R9: keep, 470 kohm, between V4 grid and chassis\n",
            more=self.RUN.format(run="found", volts=92),
        )
        assert said(findings) == [(NOTE, "C7 leaked 38 µA at 200 V, about +7.54 V on V4 grid; replaced.")]

    @pytest.mark.parametrize(
        ("leakage", "leak", "run", "lacks"),
        [
            ("", True, True, ("leakage",)),
            (", leakage 38 uA", True, True, ("leakage volts",)),
            (", leakage 38 uA at 200 V", False, True, ("grid leak",)),
            (", leakage 38 uA at 200 V", True, False, ("plate volts",)),
            ("", False, False, ("leakage", "grid leak", "plate volts")),
        ],
    )
    def test_says_what_it_would_need(self, leakage: str, leak: bool, run: bool, lacks: tuple[str, ...]) -> None:
        c7 = found(
            f"  C7: was 0.01 uF{leakage}, between V4 grid and V3 plate\n"
            + ("  R9: keep, 470 kohm, between V4 grid and B-\n" if leak else ""),
            more=self.RUN.format(run="found", volts=92) if run else "",
        )["C7"]
        assert c7.was_on_grid is not None
        assert c7.was_on_grid.volts is None
        assert c7.was_on_grid.lacks == lacks

    def test_new_part_with_a_bound_puts_at_most_so_much_on_the_grid(self) -> None:
        """By hand: 400 V over 0.1 uA is 4 gigohm; 92 V x 0.47 / 4000.47 is 10.8 mV."""
        c7 = found(
            "  C7: {between: V3 plate and V4 grid, was: 0.01 uF, now: '10 nF, leakage <0.1 uA at 400 V'}\n"
            "  R9: keep, 470 kohm, between V4 grid and B-\n",
            more=self.RUN.format(run="found", volts=92),
        )["C7"]
        assert (c7.now_leakage_ohms, c7.now_leakage_bound) == (pytest.approx(4e9), "at least")
        assert c7.now_on_grid is not None
        assert c7.now_on_grid.volts == pytest.approx(0.0108, rel=1e-2)
        assert c7.now_on_grid.volts_bound == "at most"
        assert c7.now_on_grid.shifts_bias is False

    def test_old_and_new_each_with_the_grid_leak_and_reading_of_their_time(self) -> None:
        c7 = found(
            "  C7: {between: V3 plate and V4 grid, was: '10 nF, leakage 1 uA at 100 V',\n"
            "       now: '10 nF, leakage 1 uA at 100 V'}\n"
            "  R9: {between: V4 grid and B-, was: '470 kohm, measured 1 meg', now: '470 kohm, measured 500 kohm'}\n",
            more="readings:\n"
            + "".join(
                f"  {run}:\n    V3: plate {v}\n" for run, v in (("sheet", 300), ("found", 101), ("finished", 201))
            ),
        )["C7"]
        assert c7.was_on_grid is not None
        assert c7.now_on_grid is not None
        # 100 megohm and 1 megohm across 101 V; 100 megohm and 0.5 megohm across 201 V
        assert c7.was_on_grid.volts == pytest.approx(1.0)
        assert c7.now_on_grid.volts == pytest.approx(1.0)
        assert (c7.was_on_grid.plate_volts_from, c7.now_on_grid.plate_volts_from) == ("found", "finished")

    def test_plate_read_in_pin_order(self) -> None:
        """Pin 7 of the 12AV6 is its plate (tube table of this package)."""
        c7 = found(
            "  C7: was 10 nF, leakage 1 uA at 100 V, between V3 plate and V4 grid\n"
            "  R9: 1 meg, between V4 grid and B-\n",
            more="readings:\n  found:\n    V3: x x x x x x 101\n",
        )["C7"]
        assert c7.was_on_grid is not None
        assert c7.was_on_grid.volts == pytest.approx(1.0)

    def test_screen_is_no_grid_and_a_diode_plate_no_plate(self) -> None:
        assert part("C7: was 10 nF, leakage 1 uA at 100 V, between V3 plate and V4 screen").was_on_grid is None
        assert part("C7: was 10 nF, leakage 1 uA at 100 V, between V3 diode plate 1 and V4 grid").was_on_grid is None


class TestRatings:
    @pytest.mark.parametrize(
        ("volts", "enough"), [("150 V", False), ("186 V", False), ("187 V", True), ("200 V", True), ("150 V AC", None)]
    )
    def test_filter_part_against_the_peak_at_high_line(self, volts: str, enough: bool | None) -> None:
        """The design prints 187 V peak on 132 V, the high line of 120 V."""
        c12 = part(f"C12: keep, 40 uF {volts} electrolytic, between B+1 and B-")
        assert c12.sees_volts == pytest.approx(187, abs=0.5)
        assert c12.rating_enough is enough

    def test_high_line_of_the_record_comes_first(self) -> None:
        head = HEAD.replace("120 V 60 Hz", "120 V 60 Hz, high 125 V")
        c12 = part("C12: keep, 40 uF 150 V, between B+2 and B-", head)
        assert c12.sees_volts == pytest.approx(math.sqrt(2) * 125)

    def test_direct_current_line_has_no_peak_above_itself(self) -> None:
        head = HEAD.replace("120 V 60 Hz", "110 V DC")
        assert part("C12: keep, 40 uF 150 V, between B+2 and B-", head).sees_volts == pytest.approx(121)

    def test_transformer_set_needs_the_rectifiers_reading(self) -> None:
        head = HEAD.replace("series string", "transformer").replace("chassis: through R and C\n", "")
        line = "C12: keep, 8 uF 450 V, between B+1 and chassis"
        without = found(f"  {line}\n", head)
        assert without["C12"].sees_volts is None
        assert without.supply.lacks == "rectifier AC"
        read = found(f"  {line}\n", head, "readings:\n  found:\n    line: 120 V\n    V5: plate 300 AC\n")
        assert read["C12"].sees_volts == pytest.approx(math.sqrt(2) * 330)
        assert read["C12"].rating_enough is False

    @pytest.mark.parametrize("missing", ["line: 120 V 60 Hz\n", "power: series string\n"])
    def test_nothing_is_guessed_without_line_or_supply(self, missing: str) -> None:
        c12 = part("C12: keep, 40 uF 150 V, between B+1 and B-", HEAD.replace(missing, ""))
        assert (c12.sees_volts, c12.rating_enough) == (None, None)

    def test_coupling_capacitor_sees_all_of_it_while_the_tube_is_cold(self) -> None:
        assert part("C7: now 10 nF 100 V film, between V3 plate and V4 grid").rating_enough is False

    def test_plate_of_an_output_tube_swings_above_the_supply(self) -> None:
        c8 = part("C8: now 22 nF 630 V film, between V4 plate and B-")
        assert (c8.sees_bound, c8.rating_enough) == ("at least", None)
        assert part("C8: now 22 nF 100 V film, between V4 plate and B-").rating_enough is False

    def test_cathode_bypass_is_not_judged_by_the_supply(self) -> None:
        assert part("C8: keep, 20 uF 25 V electrolytic, between V4 cathode and B-").sees_volts is None

    def test_under_rated_part_stands_out_in_the_sites_own_words(self) -> None:
        findings = found("  C12: keep, 40 uF 150 V electrolytic, between B+1 and B-\n")
        when = "when it is switched on again with the rectifier still hot, or where that warms before the output"
        assert said(findings) == [
            (
                NOTE,
                f"C12 is rated 150 V and can see 187 V {when} tube, and the line is high; no surge rating is written.",
            )
        ]
        assert f"{when} valve, and the mains is high" in said(findings, makers.bench(words=BRITISH))[0][1]


FILTER = "  C12: keep, 40 uF 160 V electrolytic, between B+1 and B-\n"
COLD_CASES = {
    "series string": ("", HEAD, ""),
    "three-way": ("", HEAD.replace("series string", "three-way"), ""),
    "dry rectifier": ("  D1: now silicon, job rectifier, between line and B+1\n", HEAD, ""),
    "doubler": ("  C11: keep, 40 uF 160 V electrolytic, job doubler\n", HEAD, ""),
    "transformer": (
        "",
        HEAD.replace("series string", "transformer").replace("chassis: through R and C\n", ""),
        "readings:\n  found:\n    line: 120 V\n    V5: plate 120 AC\n",
    ),
    "dead output stage": ("  R8: keep, 150 ohm, measured open, between V4 cathode and B-\n", HEAD, ""),
}


class TestGrading:
    """160 V filters were a fault in a series string, where a tube that is out darkens all: 186.7 V at 132 V."""

    @pytest.mark.parametrize(
        ("case", "word"),
        [
            ("series string", "watch"),
            ("three-way", "watch"),
            ("dry rectifier", "fault"),
            ("doubler", "fault"),
            ("transformer", "fault"),
            ("dead output stage", "fault"),
        ],
    )
    @pytest.mark.parametrize("surge", ["", ", surge rating 185 V", ", surge rating 400 V"])
    def test_what_a_filter_can_see_is_graded_by_the_case(self, case: str, word: str, surge: str) -> None:
        more, head, readings = COLD_CASES[case]
        lines = FILTER.replace(" electrolytic", f" electrolytic{surge}") + more
        c12 = found(lines, head, readings)["C12"]
        assert c12.sees_volts == pytest.approx(math.sqrt(2) * 132 * (2 if case == "doubler" else 1))
        assert (c12.seen_when, c12.rating_enough) == (case, False)
        covered = surge.endswith("400 V")
        expected = "watch" if covered and case != "dead output stage" else word
        told = [s for s in makers.standouts("parts", "", found(lines, head, readings)) if s.text.startswith("C12 is")]
        assert [s.verdict.word for s in told] == [expected]
        surge_said = (
            f"{'within' if covered else 'over'} its surge rating of {surge.split()[-2:][0]}" if surge else "no surge"
        )
        assert surge_said in told[0].text.replace("\u202f", " ")

    @pytest.mark.parametrize(
        ("rated", "readings", "least"),
        [
            ("100 V", "readings:\n  found:\n    B+1: 112\n", 112.0),
            ("40 V", "", math.sqrt(2) * 108 / math.pi),
        ],
    )
    def test_rating_below_what_it_has_while_the_set_plays_is_a_fault(
        self, rated: str, readings: str, least: float
    ) -> None:
        """Unread, the mean of the rectified half-wave at low line: peak/π."""
        findings = found(FILTER.replace("160 V", rated), HEAD, readings)
        assert findings["C12"].least_volts == pytest.approx(least)
        (told,) = makers.standouts("parts", "", findings)
        assert (told.verdict.word, "across it while the set plays" in told.text) == ("fault", True)

    def test_output_stage_with_one_tube_alive_is_not_dead(self) -> None:
        tubes = {"V3": "50L6", **{p: t for p, t in TUBES.items() if p != "V3"}}
        lines = COLD_CASES["dead output stage"][0] + "  R9: keep, 150 ohm, between V3 cathode and B-\n"

        def case(of: str) -> str | None:
            head = HEAD.replace(f"  V3: {TUBES['V3']}\n", "  V3: 50L6\n")
            return makers.found("parts", makers.bench(f"{head}parts:\n{FILTER}{of}", tubes=tubes))["C12"].seen_when

        assert case(lines) == "series string"
        assert case(lines.replace("R9: keep, 150 ohm", "R9: keep, 150 ohm, measured open")) == "dead output stage"

    def test_open_feed_of_the_plate_makes_the_output_stage_dead(self) -> None:
        lines = FILTER + "  T3: keep, 200 ohm, measured open, job output transformer, between V4 plate and B+1\n"
        assert found(lines, HEAD)["C12"].seen_when == "dead output stage"


class TestLowerRatings:
    def test_lower_ratings_than_before(self) -> None:
        findings = found(
            "  R9: was 1 kohm 2 W, now 1 kohm 1 W\n"
            "  C2: was 50 nF 400 V, now 47 nF 250 V film\n"
            "  C3: was 50 nF 250 V, now 47 nF 400 V film\n"
            "  C4: was 50 nF 400 V, now 47 nF 250 V AC X2\n"
        )
        assert findings["R9"].watts_rating_lower is True
        assert [findings[c].volts_rating_lower for c in ("C2", "C3", "C4")] == [True, False, None]
        assert said(findings) == [
            (NOTE, "R9: the new part is rated 1 W, less than before."),
            (NOTE, "C2: the new part is rated 250 V, less than before."),
        ]


class TestClasses:
    """IEC 60384-14 (safety.csv): X across the line, Y from the line to what can be touched."""

    @pytest.mark.handbook
    @pytest.mark.parametrize(
        ("between", "written", "needed", "enough"),
        [
            ("hot and neutral", "X2", "X", True),
            ("hot and B-", "", "X", False),
            ("V5 plate and B-", "Y2", "X", True),
            ("B- and chassis", "Y1", "Y1", True),
            ("B- and chassis", "Y2", "Y1", False),
            ("B- and chassis", "X2", "Y1", False),
            ("line and chassis", "", "Y1", False),
            ("B+1 and B-", "", None, None),
        ],
    )
    def test_class_by_place(self, between: str, written: str, needed: str | None, enough: bool | None) -> None:
        c = part(f"C1: now 10 nF {written} film, between {between}")
        assert (c.class_needed, c.class_enough) == (needed, enough)

    def test_fitted_without_class_is_a_danger(self) -> None:
        findings = found("  C3: was 50 nF paper, now 47 nF 630 V film, between B- and chassis\n")
        assert said(findings)[0] == (
            DANGER,
            "C3 between B- and chassis has no class written; this place needs class Y1, or two Y2 in series.",
        )

    def test_one_capacitor_of_class_y2_is_to_be_watched_and_never_good(self) -> None:
        findings = found("  C3: was 50 nF paper, now 4.7 nF Y2, between B- and chassis\n")
        (sentence,) = [s for s in makers.standouts("parts", "", findings) if s.text.startswith("C3")]
        assert sentence.verdict.word == "watch"
        assert sentence.text == "C3 between B- and chassis is class Y2; this place needs class Y1, or two Y2 in series."

    def test_behind_a_transformer_and_an_earth_wire_class_y_is_enough(self) -> None:
        """Y2 is accepted across basic insulation: CENELEC's decision on EN 60950, 1.5.1, on the emc-pstc list."""
        head = HEAD.replace("series string", "transformer").replace("through R and C", "earthed")
        c = part("C1: now 2.2 nF Y2, between line and chassis", head)
        assert (c.class_needed, c.class_enough) == ("Y", True)

    def test_b_minus_of_a_transformer_set_is_not_the_line(self) -> None:
        head = HEAD.replace("series string", "transformer").replace("chassis: through R and C\n", "")
        assert part("C1: now 10 uF 50 V electrolytic, between B- and chassis", head).class_needed is None

    def test_a_resistor_has_no_class(self) -> None:
        r10 = part("R10: now 1 meg, between B- and chassis")
        assert (r10.class_needed, r10.group) == (None, "line side")


class TestPolarity:
    @pytest.mark.parametrize(
        ("line", "polarity"),
        [
            ("now 47 uF electrolytic, between B+1 and B-, positive B+1", "written"),
            ("now 47 uF electrolytic, between B+1 and B-", "implied"),
            ("now 20 uF electrolytic, between V4 cathode and B-", "implied"),
            ("now 47 uF electrolytic, between B- and chassis", "missing"),
            ("now 47 uF electrolytic", "missing"),
            ("now 47 uF electrolytic, between B+1 and B-, positive b-", "reversed"),
            ("now 47 nF film, between B+1 and B-, positive B+1", "misplaced"),
            ("now 47 nF film, between B+1 and B-", None),
            ("now 47 uF, between B+1 and B-", None),
        ],
    )
    def test_polarity(self, line: str, polarity: str | None) -> None:
        assert part(f"C1: {line}").polarity == polarity

    def test_wrong_way_round_and_missing_stand_out(self) -> None:
        findings = found(
            "  C1: now 47 uF 200 V electrolytic, between B+1 and B-, positive B-\n  C2: now 10 uF 200 V electrolytic\n"
        )
        assert said(findings) == [
            (FAULT, "C1 is written with its positive end at B-: the wrong way round."),
            (NOTE, "C2 is an electrolytic with no polarity written."),
        ]

    def test_outside_foil_of_new_wound_capacitors(self) -> None:
        assert part("C7: now 10 nF film, outside foil V3 plate, between V3 plate and V4 grid").outside_foil == "written"
        assert part("C7: now 10 nF film").outside_foil == "missing"
        assert part("C7: now 10 nF mica").outside_foil is None
        assert part("C7: keep, 10 nF paper").outside_foil is None


class TestLife:
    @pytest.mark.parametrize(
        ("line", "state"),
        [
            ("keep, 1 nF", "kept"),
            ("kept, 1 nF", "kept"),
            ("to do, 1 nF", "to do"),
            ("reform, 8 uF", "reform"),
            ("reform, 8 uF, checked 2026-03-01", "reformed"),
            ("was 1 nF", "looked at"),
            ("was 1 nF, now 1 nF", "replaced"),
            ("was 1 nF, now 1 nF, ordered 2026-03-01", "on order"),
            ("was 1 nF, now 1 nF, ordered 2026-03-01, tested 2026-03-02", "tested"),
            ("was 1 nF, now 1 nF, ordered 2026-03-01, fitted 2026-03-02", "replaced"),
            ("was 40 uF, now 47 uF, restuffed", "restuffed"),
            ("was 1 nF, now none", "removed"),
            ("was none, now 1 nF", "added"),
        ],
    )
    def test_state_follows_from_what_is_written(self, line: str, state: str) -> None:
        assert part(f"C1: {line}").state == state

    def test_progress(self) -> None:
        findings = found(
            "  C1: keep, 1 nF\n  C2: was 1 nF, now 1 nF, fitted 2026-03-01\n"
            "  C3: was 2 nF, now 2 nF, checked 2026-03-02\n"
            "  C4: to do, 1 nF\n  C5: reform, 8 uF\n  R6: was 1 kohm\n"
        )
        progress = findings.progress
        assert (progress.total, progress.done, progress.open, progress.looked_at) == (6, 3, 2, 1)
        assert progress.by_state == (("to do", 1), ("reform", 1), ("looked at", 1), ("kept", 1), ("replaced", 2))
        assert progress.unchecked == ("C2",)
        assert said(findings) == [(NOTE, "2 parts are still to do: C4, C5.")]

    def test_order_of_work(self) -> None:
        findings = found(
            "  R1: keep, 1 kohm\n"
            "  C9: keep, 100 pF mica\n"
            "  C8: to do, 50 nF, between V2 screen and B-\n"
            "  C7: to do, 10 nF, between V3 plate and V4 grid\n"
            "  C2: to do, 50 nF, job AVC filter\n"
            "  C12: to do, 40 uF, between B+1 and B-\n"
            "  C3: to do, 50 nF, between B- and chassis\n"
            "  L1: keep, 1 kohm, job speaker field\n"
        )
        assert [(group, [row.name for row in rows]) for group, rows in findings.groups()] == [
            ("line side", ["C3"]),
            ("filter", ["C12"]),
            ("coupling", ["C7"]),
            ("bypass", ["C8", "C2"]),
            ("tuned", ["C9"]),
            ("resistors", ["R1"]),
            ("others", ["L1"]),
        ]
        assert [row.name for row in findings.to_do()] == ["C3", "C12", "C7", "C8", "C2"]

    def test_kept_out_of_tolerance_stands_out_before_what_is_to_do(self) -> None:
        findings = found(
            "  C4: to do, 1 nF\n  R9: keep, 250 kohm 20 %, measured 318 kohm\n"
            "  R8: keep, 1 kohm 10 %, measured 0.5 kohm\n"
        )
        assert said(findings) == [
            (FAULT, "R8 is 50 % below its value, more than its tolerance, and is kept."),
            (FAULT, "R9 is 27 % above its value, more than its tolerance, and is kept."),
            (NOTE, "1 part is still to do: C4."),
        ]

    def test_nothing_stands_out_of_a_finished_set(self) -> None:
        assert said(found("  R8: keep, 150 ohm 10 %, measured 156 ohm\n")) == []


class TestCans:
    CAN = """\
  C12:
    job: filter
    sections:
      a: was 40 uF 150 V electrolytic, ESR 9 ohm, between B+1 and B-
      b: was 20 uF 150 V electrolytic, ESR 7 ohm, between B+2 and B-
    now: 47 uF 200 V and 22 uF 200 V, restuffed in the original can
"""

    def test_sections_take_the_new_values_in_their_order(self) -> None:
        can = found(self.CAN)["C12"]
        assert can.state == "restuffed"
        assert can.change_of_value is None
        assert [s.change_of_value for s in can.sections.values()] == [pytest.approx(0.175), pytest.approx(0.1)]
        assert [s.name for s in can.sections.values()] == ["C12 a", "C12 b"]
        assert list(as_json(can)["sections"]) == ["a", "b"]

    def test_another_number_of_new_values_is_not_paired(self) -> None:
        can = found(self.CAN.replace("47 uF 200 V and 22 uF 200 V", "47 uF 200 V"))["C12"]
        assert [s.change_of_value for s in can.sections.values()] == [None, None, None]
        assert [s.piece.paired for s in can.sections.values()] == [True, True, False]

    def test_a_section_may_bring_its_own_new_part(self) -> None:
        can = found("  C12:\n    sections:\n      a: was 40 uF, now 47 uF\n      b: was 20 uF, to do\n")["C12"]
        assert [s.state for s in can.sections.values()] == ["replaced", "to do"]
        assert can.state == "to do"

    def test_couplate_old_beside_new(self) -> None:
        couplate = found("  K1: {was: 10 nF 400 V 470 kohm couplate, now: 10 nF 630 V 470 kohm}\n")["K1"]
        assert [s.kind for s in couplate.sections.values()] == ["capacitor", "resistor"]
        assert [s.change_of_value for s in couplate.sections.values()] == [0.0, 0.0]


@pytest.mark.handbook
def test_preferred_values_of_iec_60063() -> None:
    """standards.csv, IEC 60063: 47 in E6, 27 in E12, 51 in E24, 105 in E48, 58 not in E24."""
    assert preferred_series(47e-9) == "E6"
    assert preferred_series(27e3) == "E12"
    assert preferred_series(51e3) == "E24"
    assert preferred_series(105e3) == "E48"
    assert preferred_series(5800.0) not in ("E6", "E12", "E24")
    assert preferred_series(50e-9) is None
    assert preferred_series(None) is None
    assert preferred_series(0.0) is None


def test_nearest_value_made_today_for_what_is_to_be_ordered() -> None:
    """E6 of IEC 60063 (standards.csv): 47 is the member nearest to 50."""
    made = part("C14: to do, 0.05 uF paper").substitute
    assert made is not None
    assert made.total == pytest.approx(47e-9)


def test_json_is_the_mapping_by_name_and_nothing_else() -> None:
    findings = found("  C7: was 10 nF, now 10 nF\n  R1: keep, 1 kohm\n")
    assert list(as_json(findings)) == ["C7", "R1"]
    json.dumps(as_json(findings), allow_nan=False)


def test_findings_are_deterministic_and_show_themselves_the_same() -> None:
    text = "  C7: was 10 nF paper, measured 12 nF, leakage 1 uA at 100 V\n"
    assert found(text) == found(text)
    assert repr(found(text)) == repr(found(text))
    assert " at 0x" not in repr(found(text))


def test_rows_have_ids_of_their_own() -> None:
    findings = found("  C7: keep, 1 nF\n  c-7: keep, 1 nF\n  '-R1': keep, 1 ohm\n  '!': keep, 1 ohm\n")
    assert [row.anchor for row in findings.rows()] == ["part-c7", "part-c-7", "part-r1", "part"]
    assert len({row.anchor for row in found("  C.7: keep, 1 nF\n  C-7: keep, 1 nF\n").rows()}) == 2


PIECES = st.sampled_from(
    ["keep", "to do", "reform", "10 nF", "0 ohm", "470 kohm 20 %", "was 10 nF", "now 22 nF 0 V", "now none",
     "measured open", "measured OL", "measured >1 meg", "measured 0 pF", "leakage 0 A at 100 V", "leakage 3 uA at 0 V",
     "leakage >5 meg", "between B+1 and B-", "between V3 plate and V4 grid", "between V9 plate and V8 grid",
     "positive B-", "electrolytic", "film", "Y1", "open", "shorted", "restuffed", "paper", "outside foil x"]
)  # fmt: skip


@settings(max_examples=150, deadline=None)
@given(st.lists(st.tuples(st.sampled_from(["C1", "R1", "L1", "K1"]), st.lists(PIECES, max_size=6)), max_size=4))
def test_no_readable_record_makes_it_fail(parts: list[tuple[str, list[str]]]) -> None:
    lines = {name: ", ".join(items) for name, items in parts}
    text = "".join(f"  {name}: {line}\n" for name, line in lines.items() if line)
    for head in (HEAD, "maker: A\nmodel: B\n", HEAD.replace("120 V", "0 V")):
        record = makers.readable(f"{head}parts:\n{text}")
        if record is None:
            continue
        findings = makers.findings("parts", record)
        if findings is not None:
            assert list(json.loads(json.dumps(as_json(findings), allow_nan=False))) == list(record.parts)
            assert all(standout.text for standout in makers.standouts("parts", record, findings))


def test_every_demo_set_can_be_examined() -> None:
    sets = sorted((Path(__file__).parents[2] / "site_src" / "sets").glob("*/record.yml"))
    assert len(sets) >= 3
    for path in sets:
        record = makers.record(path.read_text(encoding="utf-8"))
        findings = makers.findings("parts", record)
        assert findings is not None
        assert list(findings) == list(record.parts)
