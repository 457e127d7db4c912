"""What of a power-up does not go with the rest of the record, at its bounds: clocks, days, steps that tell nothing."""

from __future__ import annotations

import pytest

import makers
from benchleaf.chapters.power_up.doubts import doubts_of, of_reforming

HEAD = "line: 117 V 60 Hz\npower: transformer\ntubes:\n  V1: 6V6\n"
DAY = "2026-03-04"


def doubts(steps: str, date: str = DAY, more: str = "", head: str = HEAD) -> tuple[str, ...]:
    listed = "".join(f"      - {step}\n" for step in steps.split(" // "))
    bench = makers.bench(f"{head}{more}power-up:\n  - date: {date}\n    steps:\n{listed}")
    return doubts_of(bench.record.power_up[0], bench)


@pytest.mark.parametrize(
    ("steps", "number"),
    [
        ("10:40 line 40 V, 0.09 A // 10:41 line 60 V, 0.1 A", None),
        ("10:40 line 40 V, 0.09 A // 10:40 line 60 V, 0.1 A", None),
        ("10:40 line 40 V, 0.09 A // 10:39 line 60 V, 0.1 A", 2),
        ("9:59 line 40 V, 0.09 A // 10:00 line 60 V, 0.1 A", None),
        ("10:40 line 40 V, 0.09 A // line 50 V, 0.1 A // 10:20 line 60 V, 0.1 A", 3),
        ("12:10 pm line 40 V, 0.09 A // 1:10 pm line 60 V, 0.1 A", None),
        ("11:50 am line 40 V, 0.09 A // 12:10 pm line 60 V, 0.1 A", None),
        ("12:50 am line 40 V, 0.09 A // 1:10 am line 60 V, 0.1 A", None),
        ("1:10 pm line 40 V, 0.09 A // 12:10 pm line 60 V, 0.1 A", 2),
        ("1:10 pm line 40 V, 0.09 A // 1:10 am line 60 V, 0.1 A", 2),
    ],
)
def test_a_clock_that_runs_backwards(steps: str, number: int | None) -> None:
    """Within one day; after twelve at noon comes one in the afternoon."""
    told = [said for said in doubts(steps) if "is clocked" in said]
    assert [said.split()[1] for said in told] == ([str(number)] if number else [])


@pytest.mark.parametrize(
    ("step", "told"),
    [
        ("line 40 V", "neither a current nor what else was read"),
        ("line 40 V, 0.09 A", ""),
        ("line 40 V; nothing warm", ""),
        ("line 40 V, B+1 30 V", ""),
        ("0.09 A", "a current and no volts"),
    ],
)
def test_a_step_that_tells_too_little(step: str, told: str) -> None:
    found = doubts(step)
    assert len(found) == bool(told)
    assert told in "".join(found)


def test_of_a_set_that_no_line_feeds_the_volts_may_be_among_what_was_read() -> None:
    head = "power: battery\nline: 90 V\ntubes:\n  V1: 1T4\n"
    assert doubts("0.01 A, B+1 88 V", head=head) == ()
    assert len(doubts("0.01 A; quiet", head=head)) == 1


@pytest.mark.parametrize(("came_in", "told"), [("2026-03-03", False), ("2026-03-04", False), ("2026-03-05", True)])
def test_a_session_before_the_set_came_in(came_in: str, told: bool) -> None:
    found = doubts("line 40 V, 0.09 A", more=f"came in: {came_in}\n")
    assert found == ((f"It is dated before the set came in ({came_in}).",) if told else ())


@pytest.mark.parametrize(
    ("count", "said"),
    [
        (1, "The old C1 was still in: what is new was fitted later."),
        (2, "The old C1 and C2 were still in: what is new was fitted later."),
        (6, "The old C1, C2, C3, C4, C5 and C6 were still in: what is new was fitted later."),
        (8, "The old C1, C2, C3, C4, C5 and C6 and 2 more were still in: what is new was fitted later."),
    ],
)
def test_old_parts_that_were_still_in(count: int, said: str) -> None:
    parts = "".join(f"  C{n}: was 10 nF 400 V, now 10 nF 630 V, 2026-03-05\n" for n in range(1, count + 1))
    assert doubts("line 40 V, 0.09 A", more=f"parts:\n{parts}") == (said,)
    assert doubts("line 40 V, 0.09 A", date="2026-03-05", more=f"parts:\n{parts}") == ()
    assert doubts("line 40 V, 0.09 A", more="parts:\n  C1: now 10 nF 630 V, 2026-03-05\n") == ()


@pytest.mark.parametrize(("day", "told"), [("2026-03-04", False), ("2026-03-05", True)])
def test_cold_checks_and_reforming_come_before_power(day: str, told: bool) -> None:
    cold = f"before power:\n  - {day}, B+ to chassis 120 kohm\n"
    assert doubts("line 40 V, 0.09 A", more=cold) == (
        (f"The first cold check is dated after it ({day}).",) if told else ()
    )
    parts = "parts:\n  C1: 8 uF 450 V electrolytic\n  C2: 8 uF 450 V electrolytic\n"
    reformed = "".join(
        f"  {name}:\n    to: 150 V through 22 kohm\n    date: {day}\n    log:\n      - 0 min, 6 mA, at 40 V\n"
        for name in ("C1", "C2")
    )
    found = doubts("line 40 V, 0.09 A", more=f"{parts}reforming:\n{reformed}")
    assert found == (("C1 and C2 were reformed after it, by the dates.",) if told else ())


@pytest.mark.parametrize(
    ("times", "told"),
    [
        (("0 min", "10 min", "90 min"), ()),
        (("10 min", "10 min"), ()),
        (("0 min", "20 min", "10 min"), ("10 min stands behind 20 min: one of the two times is wrong.",)),
        (("1 h", "70 min"), ()),
        (("1 h", "50 min"), ("50 min stands behind 1 h: one of the two times is wrong.",)),
    ],
)
def test_times_of_a_reforming_that_run_backwards(times: tuple[str, ...], told: tuple[str, ...]) -> None:
    log = "".join(f"      - {time}, 6 mA, at 40 V\n" for time in times)
    head = f"{HEAD}parts:\n  C1: 8 uF 450 V electrolytic\nreforming:\n"
    text = f"{head}  C1:\n    to: 150 V through 22 kohm\n    log:\n{log}"
    (part,) = makers.record(text).reforming.values()
    assert of_reforming(part) == told
