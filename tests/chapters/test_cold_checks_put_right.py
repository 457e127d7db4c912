"""A cold check older than the cure: what it found was wrong, and does not remain."""

from __future__ import annotations

import pytest

import makers
from benchleaf.report.verdict import Verdict
from makers import plain

SET = """line: 120 V 60 Hz
power: series string
tubes:
  V4: 50C5, output
  V5: 35W4, rectifier
{tubes}heaters:
  order: V5, V4
  dropper: 250 ohm 10 W
parts:
  C12: 40 uF 150 V electrolytic, between B+1 and B-{new}
  R9: keep, 1 kohm, measured 1.01 kohm, between B+1 and B+2
  R12: keep, 22 kohm 5 %, between B+2 and B-
  R14: 250 ohm heater dropper{dropper}
before power:
  - 2026-02-20, {check}
"""
NEW = ", now 47 uF 200 V, 2026-02-25"


def standouts(check: str, new: str = "", dropper: str = "", tubes: str = "") -> dict[Verdict, str]:
    text = SET.format(check=check, new=new, dropper=dropper, tubes=tubes)
    found = makers.examined(text).findings["power_up"]
    return {one.verdict: plain(one.text) for one in makers.standouts("power_up", text, found)}


def test_a_leak_that_read_low_went_with_the_capacitor() -> None:
    told = standouts("B+1 to B- 8 kohm", NEW)
    assert Verdict.WATCH not in told
    assert told[Verdict.PUT_RIGHT].startswith("Before power, B+1 to B- read 8 kΩ; to be expected: ")
    assert told[Verdict.PUT_RIGHT].endswith(". C12 was exchanged since.")


@pytest.mark.parametrize("new", ["", ", now 47 uF 200 V, 2026-02-18"])
def test_it_remains_where_nothing_on_its_way_was_exchanged_since(new: str) -> None:
    assert "Look again" in standouts("B+1 to B- 8 kohm", new)[Verdict.WATCH]


def test_a_capacitor_beside_it_does_not_make_a_way_read_high() -> None:
    assert Verdict.WATCH in standouts("B+1 to B- 900 kohm", NEW)


def test_an_open_string_went_with_its_dropper_or_a_tube() -> None:
    told = standouts("heater string open", dropper=" open, now 250 ohm 10 W, 2026-02-25")
    assert told[Verdict.PUT_RIGHT].endswith("R14 was exchanged since.")
    changed = "changed tubes:\n  V4: was 50C5, now 50C5, 2026-02-25\n"
    told = standouts("heater string open", tubes=changed)
    assert told[Verdict.PUT_RIGHT].endswith("V4 was exchanged since.")
    assert Verdict.PUT_RIGHT not in standouts("heater string 40 ohm", dropper=", now 250 ohm 10 W, 2026-02-25")


def test_an_open_string_went_with_the_section_of_its_dropper_that_was_bridged() -> None:
    """The dropper under the heaters is no part of the list; a fault that names it says from when it is another."""
    dropper = "150+100 ohm, measured 151, open, now 100 ohm 10 W across the open one"
    fault = "faults:\n  - complaint: dead\n    cause: dropper\n    cure: bridged\n    date: {}\n"
    for day, right in (("2026-02-25", True), ("2026-02-10", False)):
        text = SET.format(check="heater string open", new="", dropper="", tubes="").replace("250 ohm 10 W", dropper)
        text = text.replace(f"  R14: {dropper} heater dropper\n", "").replace("  R14: 250 ohm heater dropper\n", "")
        text += fault.format(day)
        found = makers.examined(text).findings["power_up"]
        told = {one.verdict: plain(one.text) for one in makers.standouts("power_up", text, found)}
        assert (Verdict.PUT_RIGHT in told) is right
        assert (Verdict.WATCH in told) is not right


def test_b_plus_of_a_set_with_several_rails_is_the_first() -> None:
    """“HT+ to chassis” was read at no rail of the list, so that a new reservoir changed nothing."""
    told = standouts("B+ to B- 8 kohm", NEW)
    assert told[Verdict.PUT_RIGHT].endswith("C12 was exchanged since.")


def test_it_stands_in_what_was_wrong_and_not_in_what_remains() -> None:
    faults = "faults:\n  - complaint: hum\n    cause: C12\n    cure: replaced\n"
    for more in ("", faults):
        html = makers.set_page(
            f"state: finished\n{SET.format(check='B+1 to B- 8 kohm', new=NEW, dropper='', tubes='')}{more}"
        ).html
        wrong = html.partition("What was wrong")[2].partition("</ul>")[0]
        assert "B+1 to B- read" in plain(wrong)
        assert "B+1 to B- read" not in plain(html.partition("What remains")[2].partition("</ul>")[0])
        assert "was off" in html


@pytest.mark.parametrize(
    ("read", "told"), [("400 ohm", "its pins are dirty or it is still warm"), ("open", "the heater is open")]
)
def test_a_heater_of_some_ohms_too_many_is_not_called_open(read: str, told: str) -> None:
    """53 ohm of a heater that has 56 ohm hot were told as “the heater is open”."""
    assert told in standouts(f"V4 heater {read}")[Verdict.WATCH]
