"""Days outside of the work, out of order, an hour twice: said and kept; what runs backwards by the clock is asked."""

from __future__ import annotations

import pytest

import makers
from benchleaf.record.day_remarks import day_remarks

SET = "maker: A\nmodel: B\ncame in: 2026-02-21\nfinished: 2026-03-28\n"


def said(more: str) -> list[str]:
    return [f"{one.line - 4} {one.field}: {one.said}" for one in day_remarks(makers.record(SET + more), makers.FILE)]


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ("log:\n  - 2026-04-02, 1 h, readings\n", "2 log: 2026-04-02 is after “finished”"),
        ("log:\n  - 2025-03-02, 1 h, readings\n", "2 log: 2025-03-02 is before “came in”"),
        ("parts:\n  C1: now 10 nF, fitted 2026-04-02\n", "2 parts: 2026-04-02 is after “finished”"),
        ("parts:\n  C1: now 10 nF, ordered 2026-01-02\n", ""),
        ("power-up:\n  - date: 2025-03-04\n", "2 power-up: 2025-03-04 is before “came in”"),
        ("readings:\n  2026-04-02 again:\n    B+1: 90\n", "2 readings: 2026-04-02 is after “finished”"),
        ("readings:\n  sheet:\n    date: 1949-04-02\n    B+1: 90\n", ""),
        ("faults:\n  - complaint: hum\n    cure: new C1\n    date: 2026-04-02\n", "4 faults: 2026-04-02 is after"),
        ("log:\n  - 2026-03-01, 26 h, all of it\n", "2 log: “26 h” on one day, 2026-03-01: a day has 24 h"),
        ("log:\n  - 2026-03-01, 1 h, a\n  - 2026-03-01, 1 h, a\n", "3 log: the same as line 6: both are kept"),
        ("log:\n  - 2026-03-01, 9:00-11:00, a\n  - 2026-03-01, 10:30-12:00, b\n", "3 log: 10:30-12:00 overlaps"),
        ("log:\n  - 2026-03-01, 9:00-11:00, a\n  - 2026-03-01, 11:00-12:00, b\n", ""),
        ("log:\n  - 2026-03-01, 9:00-11:00, by A, a\n  - 2026-03-01, 10:00-12:00, by B, b\n", ""),
        ("log:\n  - 2026-03-01, a\n  - 2026-03-08, b\n  - 2026-03-02, c\n  - 2026-03-09, d\n",
         "4 log: 2026-03-02 stands behind"),
        ("log:\n  - 2026-03-09, a\n  - 2026-03-08, b\n  - 2026-03-02, c\n", ""),
        ("parts:\n  C1: reform, 10 uF\nreforming:\n  C1:\n    log:\n      - 90 min, 1 mA\n      - 30 min, 2 mA\n",
         "7 reforming.C1: “30 min” stands behind “90 min”"),
    ],
)  # fmt: skip
def test_a_day_that_cannot_be_all_right_is_said_and_kept(more: str, told: str) -> None:
    found = said(more)
    assert (found[0] if found else "").startswith(told)
    assert bool(found) == bool(told)


@pytest.mark.parametrize(
    ("line", "found"),
    [
        ("2026-03-01, 12:30-10:00, soldered", "“12:30-10:00”, which ends before it begins"),
        ("2026-03-01, -2 h, soldered", "“-2 h”"),
        ("{date: 2026-03-01, clock: noon}", "“noon”"),
        ("{date: 2026-03-01, time: -2 h}", "“-2 h”"),
    ],
)
def test_time_that_runs_backwards_is_asked(line: str, found: str) -> None:
    (problem,) = makers.refused(f"log:\n  - {line}\n")
    assert problem.found == found
