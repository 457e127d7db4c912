"""What is written of parts and cannot be so: one exact message for each kind of mistake."""

from __future__ import annotations

import pytest

from benchleaf.circuit.place import place
from benchleaf.record import read_record
from benchleaf.record.slips import Slips

HEAD = "maker: A\nmodel: B\n"


def told(text: str) -> list[str]:
    """Every problem; the file’s name is left off."""
    record, unread = read_record((HEAD + text).encode(), "record.yml")
    assert record is not None, [str(p) for p in unread]
    slips = Slips("record.yml")
    place(record, slips)
    return [str(p).removeprefix("record.yml:") for p in slips.problems()]


@pytest.mark.parametrize(
    ("part", "message"),
    [
        (
            "R5: was 0.01 uF 400 V",
            "4:11: parts.R5.was: found “0.01 uF”, a capacitance; expected a resistance, for a name that begins"
            " with R; check the unit, or the part’s name",
        ),
        (
            "C5: now 470 kohm",
            "4:11: parts.C5.now: found “470 kohm”, a resistance; expected a capacitance, for a name that begins"
            " with C; check the unit, or the part’s name",
        ),
        (
            "L1: keep, 100 pF",
            "4:13: parts.L1.was: found “100 pF”, a capacitance; expected an inductance or a winding’s"
            " resistance, for a name that begins with L; check the unit, or the part’s name",
        ),
        (
            "R5: was 10 kohm, measured 13.6 nF",
            "4:29: parts.R5.was.measured: found “13.6 nF”, a capacitance; expected a resistance, as “10 kohm”"
            " is one; check the unit",
        ),
        (
            "X5: was 10 nF, now 47 kohm",
            "4:22: parts.X5.now: found “47 kohm”, a resistance; expected a capacitance, as in “was 10 nF”;"
            " check the unit",
        ),
        (
            "C5: was 10 nF, now 630 V film",
            "4:22: parts.C5.now: found “630 V” without a value; expected the new part’s value, such as “10 nF”",
        ),
        (
            "R5: now 470 kohm 7 %",
            "4:20: parts.R5.now.tolerance: found “7 %”; expected a tolerance that parts are made to (IEC"
            " 60062), such as 1, 2, 5, 10 or 20 %",
        ),
        (
            "C5: was 10 nF, between V3 plate and V4 grid, outside foil V2 plate",
            "4:61: parts.C5.outside foil: found “V2 plate”; expected one of the two ends: “V3 plate” or “V4 grid”",
        ),
        (
            "C5: was 10 uF electrolytic, between B+1 and B-, positive B+2",
            "4:60: parts.C5.positive: found “B+2”; expected one of the two ends: “B+1” or “B-”",
        ),
        (
            "C5: now 47 nF film, positive B+1",
            "4:32: parts.C5.positive: found “B+1” on a film part; expected no polarity: this part has none; for"
            " a wound part write “outside foil”",
        ),
        (
            "C5: now 47 pF mica, positive B+1",
            "4:32: parts.C5.positive: found “B+1” on a mica part; expected no polarity: this part has none",
        ),
        (
            "C5: was 40 uF, now 47 uF and 22 uF",
            "4:22: parts.C5.now: found 2 values; expected 1, as many as there were; name the sections of one"
            " can under “sections”, or give each part a name of its own",
        ),
        (
            "C5: keep, was 10 nF, now 10 nF",
            "4:7: parts.C5.state: found “keep” and a new part; expected a part that is kept or one that is new",
        ),
        (
            "R5: reform, 10 kohm",
            "4:7: parts.R5.state: found “reform” for a resistor; expected it for an electrolytic capacitor only",
        ),
        (
            "C5: now 10 nF, fitted 2026-03-02, checked 2026-03-01",
            "4:3: parts.C5.checked: found “2026-03-01”; expected a day not before “fitted”, 2026-03-02; check"
            " both dates",
        ),
    ],
)
def test_message(part: str, message: str) -> None:
    assert told(f"parts:\n  {part}\n") == [message]


CAN = "parts:\n  C12:\n    sections:\n      a: was 40 uF\n      b: was 20 uF\n    now: {now}\n"


def test_as_many_new_values_as_sections() -> None:
    assert told(CAN.format(now="47 uF")) == [
        "8:10: parts.C12.now: found 1 value; expected 2, one for each section (a, b)"
    ]
    assert told(CAN.format(now="47 uF and 22 uF")) == []


def test_new_part_of_a_section_once_only() -> None:
    text = CAN.format(now="47 uF and 22 uF").replace("a: was 40 uF", "a: was 40 uF, now 47 uF")
    assert told(text) == [
        "8:10: parts.C12.now: found “now” for the whole part and again in section a; expected it in one of the"
        " two places"
    ]


def test_a_section_is_checked_like_a_part() -> None:
    assert told("parts:\n  C12:\n    sections:\n      a: was 40 ohm\n") == [
        "6:14: parts.C12.sections.a.was: found “40 ohm”, a resistance; expected a capacitance, for a name that"
        " begins with C; check the unit, or the part’s name"
    ]


@pytest.mark.parametrize(
    "part",
    [
        "C7: was 10 nF, measured open",
        "C7: was none, now 10 nF",
        "C7: was 10 nF, now none",
        "C7: {was: 10 nF 400 V 470 kohm couplate, now: 10 nF 470 kohm}",
        "L1: keep, 1 kohm, measured 1.04 kohm",
        "L1: was 1 H, measured 40 ohm",
        "VR1: keep, 500 kohm potentiometer",
        "K1: keep, 10 nF",
        "R5: now 470 kohm 5 %, fitted 2026-03-01, checked 2026-03-01",
        "C5: now 10 uF electrolytic, between B+1 and B-, positive b+1",
        "T1: keep",
    ],
)
def test_what_is_in_order_is_not_complained_about(part: str) -> None:
    assert told(f"parts:\n  {part}\n") == []


def test_all_at_once_in_the_order_of_the_file() -> None:
    messages = told("parts:\n  R1: was 10 nF\n  C2: was 1 kohm, now 7 kohm 7 %\n")
    assert [m.split(": ")[0] for m in messages] == [
        "4:11",
        "5:11",
        "5:23",
        "5:30",
    ]
