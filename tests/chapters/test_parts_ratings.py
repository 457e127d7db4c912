"""Ratings, grades and classes of parts."""

from __future__ import annotations

import math

import pytest

import makers
from benchleaf.chapters.parts.volts_across import rating
from benchleaf.report.findings import DANGER, NOTE
from benchleaf.report.verdict import Verdict
from benchleaf.words import BRITISH
from lists_of_parts import HEAD, TUBES, found, part, said


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
        read = found(f"  {line}\n", head, "readings:\n  no load:\n    line: 120 V\n    V5: plate 300 AC\n")
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

    def test_behind_a_divider_the_cold_peak_is_the_share_that_it_leaves(self) -> None:
        """By hand: 33 of 55 kohm leave 0.60; at 5 % the arms' ratio of 1.5 is 1.66 at most, which leaves 0.624."""
        arm = "  R6: keep, 33 kohm 5 %, between V1 screen and B-\n"
        text = (
            "  C12: keep, 40 uF 200 V, between B+1 and B-\n  R5: keep, 22 kohm 5 %, between B+1 and V1 screen\n"
            "  C6: keep, 0.1 uF 100 V paper, between V1 screen and B-\n"
        )
        divided, whole = (found(text + lower)["C6"] for lower in (arm, ""))
        assert divided.sees_volts == pytest.approx(math.sqrt(2) * 132 * 0.624, rel=2e-3)
        assert whole.sees_volts == pytest.approx(math.sqrt(2) * 132)
        assert "behind a divider of resistors, when it is switched on" in said(found(text + arm))[-1][1]
        open_arm = arm.replace("keep, 33 kohm", "was 33 kohm, measured open, keep")
        assert found(text + open_arm)["C6"].sees_volts == pytest.approx(math.sqrt(2) * 132)

    def test_what_was_read_behind_a_divider_is_the_least_that_it_sees(self) -> None:
        arms = "  R5: keep, 22 kohm, between B+1 and V1 screen\n  R6: keep, 10 kohm, between V1 screen and B-\n"
        text = arms + "  C6: keep, 0.1 uF 200 V paper, between V1 screen and B-\n"
        read = found(text, HEAD, "readings:\n  found:\n    line: 120 V\n    V1: screen 97\n")
        assert read["C6"].sees_volts == pytest.approx(97)


FILTER = "  C12: keep, 40 uF 160 V electrolytic, between B+1 and B-\n"


WOUND = HEAD.replace("series string", "transformer").replace("chassis: through R and C\n", "")
COLD_CASES = {
    "series string": ("", HEAD, ""),
    "three-way": ("", HEAD.replace("series string", "three-way"), ""),
    "three-way with a dry rectifier": (
        "  D1: now silicon, job rectifier, between line and B+1\n",
        HEAD.replace("series string", "three-way"),
        "",
    ),
    "dry rectifier": ("  D1: now silicon, job rectifier, between line and B+1\n", HEAD, ""),
    "doubler": ("  C11: keep, 40 uF 160 V electrolytic, job doubler\n", HEAD, ""),
    "transformer": (
        "",
        WOUND.replace("35W4", "5Y3GT"),
        "readings:\n  no load:\n    line: 120 V\n    V5: plate 120 AC\n",
    ),
    "slow transformer": (
        "",
        WOUND,
        "readings:\n  no load:\n    line: 120 V\n    V5: plate 120 AC\n",
    ),
    "bled transformer": (
        "  R20: keep, 15 k, between B+1 and chassis\n",
        WOUND,
        "readings:\n  no load:\n    line: 120 V\n    V5: plate 120 AC\n",
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
            ("three-way with a dry rectifier", "watch"),
            ("dry rectifier", "fault"),
            ("doubler", "fault"),
            ("transformer", "fault"),
            ("slow transformer", "watch"),
            ("bled transformer", "watch"),
            ("dead output stage", "fault"),
        ],
    )
    @pytest.mark.parametrize("surge", ["", ", surge rating 185 V", ", surge rating 400 V"])
    def test_what_a_filter_can_see_is_graded_by_the_case(self, case: str, word: str, surge: str) -> None:
        more, head, readings = COLD_CASES[case]
        lines = FILTER.replace(" electrolytic", f" electrolytic{surge}") + more
        c12 = found(lines, head, readings)["C12"]
        assert c12.sees_volts == pytest.approx(math.sqrt(2) * 132 * (2 if case == "doubler" else 1))
        assert (c12.seen_when, c12.rating_enough) == (case.removesuffix(" with a dry rectifier"), False)
        covered = surge.endswith("400 V")
        quiet = covered and case != "dead output stage"
        told = [s for s in makers.standouts("parts", "", found(lines, head, readings)) if s.text.startswith("C12 is")]
        assert [s.verdict.word for s in told] == ([] if quiet else [word])
        if quiet:
            judged = rating(c12, BRITISH)
            assert judged is not None
            assert (judged.verdict, judged.beside[-2]) == (Verdict.NOTE, "; within its surge rating of ")
            return
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

    def test_the_earth_wire_of_the_line_side_counts_as_one_on_the_parts_page(self) -> None:
        """It was asked for Y1 there, while the line side asked for it without a ground wire only: one home."""
        head = HEAD.replace("series string", "transformer").replace("through R and C", "isolated")
        lead = "line side:\n  after:\n    plug: three-pin with earth\n    earth lead: third pin to chassis\n"
        c = part("C1: now 2.2 nF Y2, between line and chassis", head + lead)
        assert (c.class_needed, c.class_enough) == ("Y", True)
        without = part(
            "C1: now 2.2 nF Y2, between line and chassis", head + lead.replace("third pin to chassis", "none")
        )
        assert (without.class_needed, without.class_enough) == ("Y1", False)

    def test_b_minus_of_a_transformer_set_is_not_the_line(self) -> None:
        head = HEAD.replace("series string", "transformer").replace("chassis: through R and C\n", "")
        assert part("C1: now 10 uF 50 V electrolytic, between B- and chassis", head).class_needed is None

    def test_a_resistor_has_no_class(self) -> None:
        r10 = part("R10: now 1 meg, between B- and chassis")
        assert (r10.class_needed, r10.group) == (None, "line side")


def test_the_reservoir_to_the_centre_tap_is_judged_as_the_smoothing_capacitor_to_the_chassis_is() -> None:
    """342 V each side with the line 10 % over nominal: √2 x 342 V x 1.1 = 532 V at either; at work 246 + 93 = 339 V.

    They were read with the set at work: by 64 mA through 1460 ohm, 75 ohm of each half and as much of the primary 9.6 V
    (0.95 √2 I (R/2 + R)) lie within, so that 352 V without load make 547 V.
    """
    found = makers.found(
        "parts",
        "line: 243 V 50 Hz\npower: transformer\nchassis: earthed\ntubes:\n  V5: 5Y3GT, rectifier\nreadings:\n  after:\n"
        "    line: 243 V\n    to: chassis\n    V5: cathode 246, plates 342/342 AC\n    CT: -93\nparts:\n"
        "  C24: 10 uF 500 V, keep, between V5 cathode and CT\n  C25: 10 uF 500 V, keep, V5 cathode to chassis\n"
        "  L10: field 1500 ohms, measured 1460 ohm, keep, between chassis and CT\n",
    )
    rows = {row.name: row for row in found.rows()}
    assert rows["C24"].sees_volts == pytest.approx(547, abs=0.5)
    assert rows["C24"].sees_volts == rows["C25"].sees_volts
    assert rows["C24"].rating_enough is rows["C25"].rating_enough is False
    assert (rows["C24"].least_volts, rows["C25"].least_volts) == (339, 246)


@pytest.mark.parametrize(
    ("ohms", "case"), [("30 k", "bled transformer"), ("47 k", "transformer"), ("1 meg", "transformer")]
)
def test_a_bleeder_draws_five_milliamperes(ohms: str, case: str) -> None:
    """187 V across 30 kilohm is 6.2 mA, across 47 kilohm 4 mA."""
    _, head, readings = COLD_CASES["transformer"]
    assert found(f"{FILTER}  R20: keep, {ohms}, between B+1 and chassis\n", head, readings).supply.case == case


def test_what_no_supply_reaches_sees_no_divided_volts() -> None:
    rows = {row.name: row for row in found("  R1: keep, 150 ohm, between V3 cathode and B-\n").rows()}
    assert (rows["R1"].sees_volts, rows["R1"].seen_divided) == (None, False)
