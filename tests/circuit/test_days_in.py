"""Parts on the day: what took another's place was not there before, and what was taken out was, inner parts too."""

from __future__ import annotations

import datetime

import pytest

import makers
from benchleaf.circuit.in_place import MOST_LATER, UNTOLD, in_place
from benchleaf.circuit.supposed_faults.seen_by_meters import old_was_off

SET = """maker: Larkfield
model: Minuet 5
line: 117 V 60 Hz
power: series string
tubes:
  V3: 12AV6
  V4: 50C5
  V5: 35W4
parts:
  C1: 47 uF 160 V electrolytic, between B+1 and B-
  C8: new .01 uF 630 V film, coupling, between V3 plate and V4 grid{fitted}
  PC1:
    job: couplate
    pins: 1 V3 plate, 2 B+2, 3 V4 grid, 4 B-
    inside:
      plate load: 470 kohm, 1 to 2, measured 492 kohm
      grid leak: 470 kohm, 3 to 4, measured 455 kohm, now none
      coupling: .005 uF, 1 to 3, leakage 3 Mohm, now none
  R5: 150 ohm, between V4 cathode and B-, measured 171 ohm
  R6: 1200 ohm, between B+1 and B+2, measured 1330 ohm
  R9: new 470 kohm 1/2 W, between V4 grid and B-{fitted}
  R10: 220 kohm, between V3 plate and chassis
  T3: job output transformer, between V4 plate and B+1
readings:
  run 1 2024-10-26:
    line: 117 V
    to: B-
    V4: plate 99, screen 80, cathode 8.1, grid +5.1
    V3: plate 38
    B+1: 108
    B+2: 80
  run 2 2024-11-02:
    line: 117 V
    to: B-
    V4: plate 112, screen 90, cathode 5.9, grid 0
    V3: plate 46
    B+1: 119
    B+2: 90
{faults}"""
FAULT = """faults:
  - complaint: distorted
    cause: coupling capacitor inside PC1
    cure: grid lead of PC1 cut, C8 and R9 added
    date: 2024-11-02
"""
BEFORE, ON = datetime.date(2024, 10, 26), datetime.date(2024, 11, 2)


@pytest.mark.parametrize(
    ("fitted", "faults"), [(", fitted 2024-11-02", ""), ("", FAULT), (", fitted 2024-11-02", FAULT)]
)
def test_a_couplates_inner_parts_are_in_until_others_take_their_place(fitted: str, faults: str) -> None:
    named = makers.circuit(SET.format(fitted=fitted, faults=faults)).named
    for old, new in (("pc1 coupling", "c8"), ("pc1 grid leak", "r9")):
        assert in_place(named[old], BEFORE).is_there
        assert not in_place(named[new], BEFORE).is_there
        assert not in_place(named[old], ON).is_there
        assert in_place(named[new], ON).is_there
    assert in_place(named["pc1 plate load"], BEFORE).value == in_place(named["pc1 plate load"], ON).value == 492e3


def test_the_part_that_was_in_is_the_cause() -> None:
    """3 Mohm from 38 V and 455 kohm to B- make 5.0 V by the divider; nothing of gas, and nothing of C8 or R9."""
    found = makers.findings("readings", SET.format(fitted=", fitted 2024-11-02", faults=FAULT))
    (first,) = (one for one in found.causes if one.run.startswith("run 1"))
    assert (first.ranked[0].subject, first.ranked[0].fault) == ("PC1 coupling", "leaks")
    assert {"C8", "R9"}.isdisjoint(one.subject for one in first.ranked)


def test_a_fault_dates_the_parts_that_it_names_and_no_others() -> None:
    text = SET.format(fitted="", faults=FAULT).replace("R5: 150 ohm,", "R5: was 150 ohm, now 160 ohm,")
    named = makers.circuit(text).named
    assert named["c8"].known_by == ON
    assert named["r5"].known_by is None
    assert named["r10"].took_place is False


def test_a_new_part_with_no_other_gone_stands_for_one_like_it() -> None:
    text = SET.format(fitted=", fitted 2024-11-02", faults="").replace(", now none", "")
    assert in_place(makers.circuit(text).named["r9"], BEFORE).value == 470e3


OFF = """line: 230 V 50 Hz
power: transformer
parts:
  R12: was 220k, measured 310k, now 220k, between V3 anode and B+2
readings:
  {first}:
    V3: anode 60
  {last}:
    V3: anode 72
"""


@pytest.mark.parametrize(
    ("first", "last"),
    [
        ("2026-01-16 as found", "2026-01-18 after work"),
        ("2026-01-16 as found", "2026-01-18"),
        ("2026-01-16", "2026-01-18 with the new parts"),
        ("as found", "after everything"),
        ("before", "final readings"),
    ],
)
def test_in_the_list_after_the_work_the_new_parts_are_in_with_or_without_a_day(first: str, last: str) -> None:
    """The drift of a resistor that was taken out was told as a cause in a list in which all lay as it should."""
    circuit = makers.circuit(OFF.format(first=first, last=last))
    (r12,) = circuit.parts["R12"]
    there = in_place(r12, circuit.day_of(last))
    assert (there.value, there.remark) == (220e3, "")
    assert old_was_off(r12, circuit.day_of(last)) == ("", None)
    if "found" in first:
        assert in_place(r12, circuit.day_of(first)).value == 310e3


@pytest.mark.parametrize("lists", ["2026-01-16:\n    V3: anode 60\n", "after ten minutes:\n    V3: anode 60\n"])
def test_a_list_that_may_be_of_either_leaves_the_doubt(lists: str) -> None:
    circuit = makers.circuit(OFF.partition("  {first}")[0] + f"  {lists}")
    (name,) = circuit.record.readings
    assert in_place(circuit.parts["R12"][0], circuit.day_of(str(name))).remark == UNTOLD


@pytest.mark.parametrize(
    ("days", "ohms", "remark"),
    [
        (["2026-01-17"], 310e3, MOST_LATER),
        (["2026-01-16", "2026-01-17", "2026-01-18"], 310e3, MOST_LATER),
        (["2026-01-16", "2026-01-17"], 220e3, UNTOLD),
        (["2026-01-16"], 220e3, UNTOLD),
        ([], 220e3, UNTOLD),
    ],
)
def test_without_a_day_the_old_part_is_in_before_most_others_were_fitted(
    days: list[str], ohms: float, remark: str
) -> None:
    """540 k were in the set, and its current was told by the 470 k that came with all other parts a day later."""
    others = "".join(f"  C{n}: 50 nF 400 V paper, now 47 nF 630 V film, {day}\n" for n, day in enumerate(days, 1))
    lists = "  2026-01-16:\n    V3: anode 60\n"
    circuit = makers.circuit(OFF.partition("  {first}")[0].replace("readings:", f"{others}readings:") + lists)
    (name,) = circuit.record.readings
    there = in_place(circuit.parts["R12"][0], circuit.day_of(str(name)))
    assert (there.value, there.remark) == (ohms, remark)
