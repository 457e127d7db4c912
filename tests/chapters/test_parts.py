"""Parts against their tolerance, and what their leakage does."""

from __future__ import annotations

import pytest

import makers
from benchleaf.report.findings import FAULT, NOTE, as_json
from lists_of_parts import HEAD, TUBES, found, part, said


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

    @pytest.mark.parametrize(
        ("run", "read"), [("2026-03-01 as found", 0.0), ("2026-03-08 after the work", None), ("sheet", None)]
    )
    def test_a_leak_is_held_against_a_reading_taken_with_it_in(self, run: str, read: float | None) -> None:
        row = found(
            "  C7: {between: V3 plate and V4 grid, was: '0.01 uF, leakage 38 uA at 200 V', now: 10 nF,"
            " fitted: 2026-03-02}\n  R9: keep, 470 kohm, between V4 grid and B-\n",
            more=self.RUN.format(run=run, volts=92) + "    V4: grid 0\n",
        )["C7"]
        assert row.was_on_grid.volts == pytest.approx(7.54, abs=0.01)
        assert row.was_on_grid.read_volts == read

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
