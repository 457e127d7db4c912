"""Causes of an earlier list of readings: told beside the newest, each with no more than it explains by itself."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

import makers
from audio_pair import BELOW_C7, HEAD
from benchleaf.chapters.readings.ranked_causes import CANNOT_TELL, LIKELY
from benchleaf.chapters.readings.runs import told_apart
from benchleaf.chapters.readings.told_causes import causes_of, run_causes
from benchleaf.chapters.readings.tried_runs import TriedRun, tried_run

TIRED = """line: 240 V 50 Hz
power: AC/DC
chassis: line-connected
tubes:
  V1: UCH42, mixer
  V2: UF41, IF
  V3: UBC41, audio
  V4: UL41, output
  V5: UY41, rectifier
parts:
  C5: 47 nF 400 V paper, between V2 screen and B-, leakage 5 meg, now 47 nF 400 V film, 2024-01-28
  C10: 10 nF 400 V paper, between V3 plate and V4 grid, leakage 20 meg, now 10 nF 630 V film, 2024-01-28
  C20: 32 uF 350 V electrolytic, between B+1 and B-, measured 9 uF, now 33 uF 400 V, 2024-01-29
  C21: 32 uF 350 V electrolytic, between B+2 and B-, measured 14 uF, now 33 uF 400 V, 2024-01-29
  R1: keep, 180 ohm, between V1 cathode and B-
  R2: 18 k, between B+2 and V2 screen, measured 23.5 k, now 18 k, 2024-01-29
  R3: keep, 22 k, between B+2 and V1 osc plate
  R4: keep, 330 ohm, between V2 cathode and B-
  R8: keep, 10 meg, between V3 grid and B-
  R9: 220 k, between V3 plate and B+2, measured 268 k, now 220 k, 2024-01-29
  R10: 470 k, between V4 grid and B-, measured 580 k, now 470 k, 2024-01-29
  R11: keep, 270 ohm, between V4 cathode and B-, measured 281 ohm
  R12: 3.3 k, between B+1 and B+2, measured 3.9 k, now 3.3 k, 2024-01-29
  R13: keep, 210 ohm, between V5 plate and mains, measured 214 ohm
  T1: keep, output transformer, between V4 plate and B+1
wires:
  - V1 screen, V2 screen
readings:
  2024-01-27 old parts:
    line: 241 V
    meter: 20 kohm/V, 250 V range
    to: B-
    V5: cathode 196
    B+1: 196
    B+2: 129
    V4: plate 184, screen 129, cathode 8.6, grid 0.4
    V3: plate 52
    V2: plate 128, screen 63, cathode 1.6
    V1: plate 128, screen 63, osc plate 68, cathode 1.1
  2024-01-30 new parts:
    line: 243 V
    meter: 20 kohm/V, 250 V range
    to: B-
    V5: cathode 238
    B+1: 238
    B+2: 168
    V4: plate 225, screen 168, cathode 11.3, grid 0
    V3: plate 76
    V2: plate 167, screen 86, cathode 2.2
    V1: plate 167, screen 86, osc plate 91, cathode 1.5
"""
"""The first list has a worn rectifier and dried-out capacitors; C10 leaks too little to pull down anything."""

B_PLUS = {"B+1", "B+2", "V4 plate", "V4 screen", "V1 plate"}

LEAKY = (
    HEAD
    + "  C7: 10 nF 400 V paper, between V3 plate and V4 grid, leakage 2.5 meg{now}\n"
    + BELOW_C7
    + """readings:
  2026-03-01 as found:
    line: 120 V
    to: B-
    V4: plate {plate}, screen 117, cathode 10.2, grid 4.1
    V3: plate 30
    B+1: 122
    B+2: 117
"""
)
AFTER = """  2026-03-04:
    line: 120 V
    to: B-
    V4: plate 122, screen 128, cathode 8.4{grid}
    V3: plate 30
    B+1: 133
    B+2: 128
"""


FITTED = ", now 10 nF 630 V film, 2026-03-03"


def leaky(now: str = "", plate: int = 108) -> str:
    return LEAKY.format(now=now, plate=plate)


def causes(text: str) -> tuple[Any, ...]:
    found: tuple[Any, ...] = makers.found("readings", text).causes
    return found


def test_a_leak_too_small_for_it_does_not_explain_a_low_b_plus() -> None:
    """0.4 V on a grid takes half a volt of B+, not forty; the cathode that it lifts was read lower."""
    before, _ = causes(TIRED)
    by_subject = {cause.subject: cause for cause in before.ranked}
    assert before.ranked[0].subject == "V5"
    assert set(before.ranked[0].explains) >= B_PLUS
    assert before.ranked[0].by_others == (("C10", ("V4 grid",)),)
    leak = by_subject["C10"]
    assert leak.explains == ("V4 grid",)
    assert set(leak.leaves) >= B_PLUS
    assert leak.against == ("V4 cathode",)
    assert leak.said == CANNOT_TELL
    assert "C20" in {*by_subject, *before.ranked[0].alike}


def test_what_a_meter_found_bad_and_makes_a_part_of_it_is_told() -> None:
    before, after = causes(TIRED)
    ((said, places),) = before.makes_part
    assert said == "C20, the first filter capacitor, has lost its capacitance"
    assert set(places) >= B_PLUS - {"V4 grid"}
    assert after.makes_part == ()
    html = makers.page("readings", TIRED)
    told = html[html.index("voltages-causes") : html.index("How the causes were found")]
    assert "V5 was weak (possible then)" in told
    assert said in told


def test_a_suspect_of_an_earlier_list_is_told_beside_the_newest() -> None:
    """The newest is in order and so accuses nobody: the one cause of the record that was found was not on its page."""
    text = leaky(FITTED) + AFTER.format(grid=", grid 0")
    before, after = causes(text)
    assert (before.suspect.subject, before.settled, before.past) == ("C7", after.run, True)
    html = makers.page("readings", text)
    assert "2026-03-01 as found: C7 leaked" in html
    assert html.index(after.lead) < html.index("C7 leaked") < html.index("How the causes were found")


def test_a_part_that_was_replaced_is_told_in_the_past_though_nothing_was_read_since() -> None:
    (one,) = causes(leaky(FITTED))
    assert (one.settled, one.replaced, one.past) == ("", True, True)
    assert one.lead.startswith("2026-03-01 as found: C7 leaked (")
    assert one.brief.startswith("C7 leaked (")
    assert "What to measure next" not in makers.page("readings", leaky(FITTED))


def test_a_suspect_that_is_still_in_is_told_in_the_present() -> None:
    (one,) = causes(leaky())
    assert not one.past
    assert one.lead.startswith("2026-03-01 as found: likely, as the readings stand: C7 leaks")


def test_what_an_earlier_list_found_stands_in_brief_where_no_fault_is_written() -> None:
    text = leaky(FITTED) + AFTER.format(grid="")
    before, _ = causes(text)
    assert before.suspect.said == LIKELY
    (said,) = (one for one in makers.standouts("readings", text) if "C7 leaked" in one.text)
    assert said.text == "C7 leaked (likely then, by the readings of 2026-03-01 as found)."
    assert "C7 leaked (likely then" in makers.plain(makers.set_page(text).html)


@pytest.mark.parametrize(("plate", "riddle"), [(108, False), (60, True)])
def test_a_cause_that_explains_all_and_leaves_nothing_is_no_riddle(plate: int, riddle: bool) -> None:
    """“No single fault explains these readings” stood beside a leak that explained nine of nine."""
    bench = makers.bench(leaky(plate=plate))
    expected, (run,) = told_apart(bench)
    one = tried_run(run, expected, bench)
    assert isinstance(one, TriedRun)
    told = causes_of(replace(one, ranking=replace(one.ranking, flagged=True)), bench)
    assert told.ranked[0].subject == "C7"
    assert bool(told.ranked[0].leaves) is riddle
    assert told.no_single_fault is riddle


def test_a_list_in_order_is_no_riddle_either() -> None:
    """“No part is suspected” and “no single fault explains these readings” of one list contradict each other."""
    bench = makers.bench(leaky())
    expected, measured = told_apart(bench)
    (plain,) = run_causes(measured, expected, bench)
    (one,) = run_causes(measured, expected, bench, [plain.run])
    assert one.in_order
    assert not one.no_single_fault
    assert one.lead.endswith("no part is suspected.")


@pytest.mark.parametrize(("emission", "measured"), [("66 %", True), ("90 %", None), ("", False)])
def test_a_rectifier_that_a_tester_found_weak_is_likelier_and_one_that_it_found_good_is_not_tried(
    emission: str, measured: bool | None
) -> None:
    was = f"UY41 at {emission} emission" if emission else "UY41"
    text = TIRED.replace("parts:\n", f"changed tubes:\n  V5: was {was}, now UY41, 2024-01-29\nparts:\n", 1)
    before, _ = causes(text)
    said = {cause.subject: cause.said for cause in before.ranked}
    bench = makers.bench(text)
    expected, (run, _) = told_apart(bench)
    one = tried_run(run, expected, bench)
    assert isinstance(one, TriedRun)
    tested = [fault.measured for fault in one.trial.faults if fault.subject == "V5"]
    assert bool(tested) is (measured is not None)
    assert set(tested) == ({measured} if tested else set())
    if measured:
        assert before.ranked[0].subject == "V5"
        assert said["V5"] in (LIKELY, "fits best")
