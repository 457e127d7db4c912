"""What is asked of several lines alike is asked once, with the line of each; and a date tells how others are meant."""

from __future__ import annotations

from pathlib import Path

import pytest

import makers
from benchleaf.build.follow import look_over
from benchleaf.record.remarks import remarks_of

TYPED = """\
owner: Ida Sandow
came in: 3/4/26
tubes:
  V1: QQ9
  V2: QQ9
parts:
  R1: 22k, 23k
  R2: 47k, V1 plate to B+, 51k
  C1: 40, filter
  C2: 20, filter
photos:
  front: front.jpg
  back: photos/back.jpg
  hers: sandow.jpg
reforming:
  C7: 2/3/26, 5 min 9 mA
"""


def told(text: str) -> list[str]:
    looked = look_over(f"{makers.SET}{text}".encode(), Path("a-set"), makers.FILE)
    return [f"{p.line - makers.SET.count(chr(10))}: {p.found}; {p.remedy}" for p in looked.problems]


def test_each_habit_is_asked_once_with_the_lines_of_all() -> None:
    dates, types, second, unit, *photos = told(TYPED)
    assert dates.startswith("2: “3/4/26”; write 2026-03-04 or 2026-04-03; “dates: month first” or ")
    assert dates.endswith("settles them all; the same is asked of “2/3/26” on line 18")
    assert types.startswith("4: “QQ9”")
    assert types.endswith("; it stands on line 7 too")
    assert second == "7: “23k”, a second value; write which it is; the same is asked of “51k” on line 10"
    assert unit == "9: “40”; it has no unit: write 40 uF or 40 pF; the same is asked of “20” on line 12"
    assert photos[0] == (
        "12: no file “front.jpg”; look at the spelling; the same is asked of “photos/back.jpg” on line 15"
    )


def test_what_may_be_private_is_asked_on_its_own_line_alone() -> None:
    assert [said for said in told(TYPED) if "sandow" in said] == ["14: no file “sandow.jpg”; look at the spelling"]


def test_every_line_is_kept_apart_for_what_counts_lines() -> None:
    looked = look_over(f"{makers.SET}{TYPED}".encode(), Path("a-set"), makers.FILE)
    assert {p.line for p in looked.unread} == {4, 9, 10, 11, 12, 18}
    assert {p.line for p in looked.each} == {4, 6, 7, 9, 10, 11, 12, 14, 15, 16, 18}


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("came in: 2/7/26\nfinished: 3/14/26\n", "2026-02-07"),
        ("came in: 2/7/26\nfinished: 14/3/26\n", "2026-07-02"),
        ("came in: 2/7/26\nparts:\n  C1: 10 nF, now 10 nF, fitted 3/14/26\n", "2026-02-07"),
        ("came in: 2/7/26\nparts:\n  C1:\n    was: 10 nF\n    fitted: 14/3/26\n", "2026-07-02"),
    ],
)
def test_a_day_above_12_tells_the_order_of_all(text: str, day: str) -> None:
    record = makers.record(text)
    assert str(record.came_in) == day
    assert "first, as in “" in remarks_of(record, makers.FILE)[0].said


@pytest.mark.parametrize(
    "text",
    [
        "came in: 2/7/26\nlog:\n  - 14/3/26, heard\n  - 3/14/26, mended\n",
        "came in: 2/7/26\nparts:\n  C1: 20/10/10 uF 450 V\n",
        "came in: 2/7/26\nnote: 3/14/26\n",
    ],
)
def test_an_order_that_is_not_told_is_asked(text: str) -> None:
    assert any("“2/7/26”" in said for said in told(text))
