"""What the tables of a part's line come to: what it measured, what is gone, ends, cans, and what is asked."""

from __future__ import annotations

from typing import Any

import pytest

from benchleaf.record.forms import Form
from benchleaf.record.line_form import read_line
from benchleaf.record.manner import Manner
from benchleaf.record.sections.parts import Part
from benchleaf.record.text import Text


def read(text: str, letters: str) -> tuple[Any, list[tuple[str, str]]]:
    line = Text(text)
    line.manner = Manner(part=letters, tubes={"V4": "V4", "v4": "V4"})
    table, mistakes = read_line(line, Part.FORM or Form())
    return table, [(mistake.text, mistake.expected) for mistake in mistakes]


def was(*values: str, **more: str) -> list[dict[str, str]]:
    return [{"value": value, **more} for value in values]


MEASURED = {"value": "470k", "measured": "612k"}
CAN = {"value": "20 uF", "volts": "150 V"}


@pytest.mark.parametrize(
    ("line", "letters", "table"),
    [
        # Of one part a second value is what it measured: before a verdict, of a part that stays, before the new part.
        ("470k, 612k, ok", "R", {"was": [{**MEASURED, "condition": "ok"}]}),
        ("keep, 470k, 612k", "R", {"state": "keep", "was": [MEASURED]}),
        ("470k, 612k, keep", "R", {"was": [MEASURED], "state": "keep"}),
        ("470k, 612k", "R", {"was": [MEASURED]}),
        ("470k, 612k, now 470k", "R", {"was": [MEASURED], "now": was("470k")}),
        ("612k, now 470k", "R", {"was": was("612k"), "now": was("470k")}),
        ("0.1 uF, 0.13 uF, now 0.1 uF film", "C",
         {"was": was("0.1 uF", measured="0.13 uF"), "now": was("0.1 uF", type="film")}),
        ("400 ohm, 410", "L", {"was": was("400 ohm", measured="410")}),
        # What is gone, and the day it went or the new one came.
        ("400 ohm, left out", "R", {"was": was("400 ohm"), "now": "none"}),
        ("left out, now 400 ohm", "R", {"now": was("400 ohm"), "note": "left out"}),
        ("400 ohm, left out, 2026-03-04", "R", {"was": was("400 ohm"), "fitted": "2026-03-04", "now": "none"}),
        ("400 ohm, now 390 ohm, 2026-03-04", "R",
         {"was": was("400 ohm"), "now": was("390 ohm"), "fitted": "2026-03-04"}),
        ("10 nF, replaced", "C", {"was": was("10 nF"), "now": [{"note": "replaced"}]}),
        # Windings and what they match.
        ("primary 14 ohms, secondary 14.5 ohms", "T",
         {"job": "primary", "was": was("14 ohms"), "note": "secondary 14.5 ohms"}),
        ("HT winding 240 + 255 ohms", "T", {"note": "HT winding 240 + 255 ohms"}),
        ("7000 to 6 ohms", "T", {"job": "7000 to 6 ohms"}),
        # Two places by themselves are the ends; one is what the part does.
        ("V4 grid, V4 plate", "R", {"between": ["V4 grid", "V4 plate"]}),
        ("V4 grid", "R", {"job": "V4 grid"}),
        ("V4 grid to B-", "R", {"between": ["V4 grid", "B-"]}),
        ("V4 cathode bypass", "C", {"job": "V4 cathode bypass", "between": ["V4 cathode", "chassis"]}),
        # A note goes on until the line has a word for it again.
        ("10 nF, note xyz, odd", "C", {"was": was("10 nF"), "note": "xyz, odd"}),
        ("10 nF, note xyz, 400 V", "C", {"was": was("10 nF", volts="400 V"), "note": "xyz"}),
        ("10 nF, note xyz, why hum", "C", {"was": was("10 nF"), "note": "xyz", "why": "hum"}),
        ("10 nF, note xyz, fitted 2026-03-04", "C", {"was": was("10 nF"), "note": "xyz", "fitted": "2026-03-04"}),
        ("10 nF, note xyz, fitted crooked", "C", {"was": was("10 nF"), "note": "xyz, fitted crooked"}),
        ("10 nF, note xyz, original in place", "C", {"was": was("10 nF"), "note": "xyz, original in place"}),
        ("10 nF, note xyz, now 12 nF", "C", {"was": was("10 nF"), "note": "xyz", "now": was("12 nF")}),
        ("10 nF, note xyz, ok", "C", {"was": was("10 nF", condition="ok"), "note": "xyz"}),
        ("10 nF, note xyz, ok so far", "C", {"was": was("10 nF"), "note": "xyz, ok so far"}),
        ("job hum, coupling, coupling", "C", {"job": "hum, coupling, coupling"}),
        # What stands once in the line of a can is so of each of its capacitors.
        ("20-20 uF 150 V, ESR 2 ohm", "C", {"was": [{**CAN, "ESR": "2 ohm"}] * 2}),
        ("electrolytic, 20-20 uF 150 V", "C", {"was": [{**CAN, "type": "electrolytic"}] * 2}),
        ("20-20 uF 150 V, measured 18 and 17", "C", {"was": [{**CAN, "measured": "18"}, {**CAN, "measured": "17"}]}),
        ("20-20 uF 150 V, measured 18 and 17 uF", "C",
         {"was": [{**CAN, "measured": "18 uF"}, {**CAN, "measured": "17 uF"}]}),
    ],
)  # fmt: skip
def test_what_a_line_comes_to(line: str, letters: str, table: dict[str, Any]) -> None:
    assert read(line, letters) == (table, [])


@pytest.mark.parametrize(
    ("line", "letters", "at", "expected"),
    [
        ("470k, 560k", "R", "560k", "“measured 560k”, “now 560k”, or “and” between two parts of one can"),
        ("0.1 uF, 1.3 nF, now 0.1 uF film", "C", "1.3 nF",
         "“measured 1.3 nF”, “now 1.3 nF”, or “and” between two parts of one can"),
        ("10 nF, 400 V, 500 V", "C", "500 V", "one value for “volts”"),
        ("10 nF X2, was 5 nF", "C", "was", "“now” before what is in the set now, “was” before what was"),
        ("was 470k, now 470k, was 500k", "R", "was", "“was” once in a line"),
        ("HT2 to whatever", "R", "whatever", "two places that a part joins"),
        ("V4 grid to B-, V4 plate to B+1", "R", "V4 plate", "two places that a part joins, once in its line"),
        ("20-20 uF 150 V, measured 18 uF", "C", "18 uF",
         "what each of the 2 measured, with “and” or a comma between"),
        ("not ok", "R", "not", "what is so, in words without “not”"),
        (", 10 nF", "C", "", "something between the commas"),
        ("now", "C", "now", "a value behind it"),
    ],
)  # fmt: skip
def test_what_a_line_leaves_open_is_asked(line: str, letters: str, at: str, expected: str) -> None:
    assert read(line, letters)[1] == [(at, expected)]
