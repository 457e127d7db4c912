"""The grammar of the line form: what an item is, what a word opens, and where each part stands."""

from __future__ import annotations

from typing import Any

import pytest

from benchleaf.record.forms import Form, form
from benchleaf.record.line_form import read_line
from benchleaf.record.line_items import items, listed
from benchleaf.record.sections.parts import Component, Part
from benchleaf.record.text import Entries, Text

PLAIN = form(["low", "note", "time lag"], values={"voltage": "volts", "current": "amps", "date": "date"}, remark="note")


def line(text: str, shape: Form = PLAIN) -> Any:
    table, mistakes = read_line(Text(text, (3, 7)), shape)
    assert mistakes == []
    return table


def mistakes_of(text: str, shape: Form = PLAIN) -> list[tuple[int, str]]:
    """Column from 1 within the line, and what was found."""
    _, mistakes = read_line(Text(text, (1, 1)), shape)
    return [(m.text.place[1], m.found) for m in mistakes]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("a, b", ["a", "b"]),
        ("0,05 uF, b", ["0,05 uF", "b"]),
        ("a,b", ["a,b"]),
        ("a,, b", ["a", "", "b"]),
        ("a, ", ["a", ""]),
        ("", [""]),
        ("a,\tb", ["a", "b"]),
    ],
)
def test_a_comma_and_a_blank_part_items(text: str, expected: list[str]) -> None:
    assert list(items(Text(text))) == expected


def test_items_know_their_places() -> None:
    assert [item.place for item in items(Text("one,  two,three, four", (2, 5)))] == [(2, 5), (2, 11), (2, 22)]


@pytest.mark.parametrize("text", ["V5, V4 and V2", "V5 & V4, V2", "V5, V4, V2,"])
def test_names_in_a_row(text: str) -> None:
    assert listed(Text(text)) == ["V5", "V4", "V2"]


def test_the_unit_says_what_a_value_is() -> None:
    assert line("0.3 A 6.3 V") == line("6.3 V, 0.3 A") == {"volts": "6.3 V", "amps": "0.3 A"}


def test_values_know_their_places() -> None:
    table = line("6.3 V, 0.3 A, low 5 V")
    assert [table[Text(key)].place for key in ("volts", "amps", "low")] == [(3, 7), (3, 14), (3, 25)]


def test_a_decimal_comma_is_part_of_its_value() -> None:
    assert line("6,3 V, 0,3 A") == {"volts": "6,3 V", "amps": "0,3 A"}


def test_a_head_takes_the_rest_of_its_item() -> None:
    assert line("low 5 V and more, 6.3 V") == {"low": "5 V and more", "volts": "6.3 V"}
    assert line("TIME  LAG 3, 6.3 V") == {"time lag": "3", "volts": "6.3 V"}


def test_a_head_alone_stands_for_itself() -> None:
    assert line("time lag, 6.3 V") == {"time lag": "time lag", "volts": "6.3 V"}


def test_a_semicolon_begins_a_remark() -> None:
    assert line("6.3 V; warm, after 3 A; and more") == {"volts": "6.3 V", "note": "warm, after 3 A; and more"}
    assert line("6.3 V;") == {"volts": "6.3 V"}


def test_first_items_are_taken_whatever_they_hold() -> None:
    shape = form(["type", "heater"], values={"voltage": "volts"}, first=("type",), rest="job")
    assert line("80, rectifier, full-wave", shape) == {"type": "80", "job": "rectifier, full-wave"}
    assert line("25 V lamp, x", shape) == {"type": "25 V lamp", "job": "x"}
    assert line("80 5 V", shape) == {"type": "80", "volts": "5 V"}
    assert line("heater 3 V, x", shape) == {"heater": "3 V", "job": "x"}


def test_free_text_is_joined_as_it_was_typed() -> None:
    shape = form(["by"], values={"date": "date"}, rest="did")
    table = line("2026-02-21, cleaned, cold checks, by R. Alder, closed up", shape)
    assert table == {"date": "2026-02-21", "did": "cleaned, cold checks, closed up", "by": "R. Alder"}


def test_a_group_takes_what_it_knows_and_gives_back_the_rest() -> None:
    shape = Part.FORM or Form()
    table = line("was 10 nF paper, measured 13 nF, leakage 3 uA at 200 V, now 10 nF film, between A and B", shape)
    assert table == {
        "was": [
            {"value": "10 nF", "type": "paper", "measured": "13 nF", "leakage": {"current": "3 uA", "at": "200 V"}}
        ],
        "now": [{"value": "10 nF", "type": "film"}],
        "between": "A and B",
    }


def test_a_comma_before_the_word_of_the_outer_line_may_be_left_out() -> None:
    shape = Part.FORM or Form()
    assert line("was 10 nF 400 V between A and B", shape) == line("was 10 nF 400 V, between A and B", shape)
    assert line("was 10 nF leakage 3 uA why hum", shape) == line("was 10 nF, leakage 3 uA, why hum", shape)


def test_what_only_the_implied_group_knows_opens_it() -> None:
    shape = Part.FORM or Form()
    assert line("keep, 150 ohm 10 %, measured 156 ohm", shape) == {
        "state": "keep",
        "was": [{"value": "150 ohm", "tolerance": "10 %", "measured": "156 ohm"}],
    }


def test_another_value_of_a_kind_that_begins_makes_another_entry() -> None:
    shape = Component.FORM or Form()
    assert line("47 uF 200 V and 22 uF 250 V, 1 kohm", shape) == [
        {"value": "47 uF", "volts": "200 V"},
        {"value": "22 uF", "volts": "250 V"},
        {"value": "1 kohm"},
    ]


def test_entries_know_the_line_they_were_read_from() -> None:
    table = line("6.3 V")
    assert isinstance(table, Entries)
    assert table.line == "6.3 V"


@pytest.mark.parametrize(
    ("text", "column"),
    [
        ("6.3 V gribble 0.3 A", 7),
        ("6.3 V, gribble 0.3 A", 8),
        ("6.3 V,0.3 A", 6),
        ("6.3 V ,5 A", 7),
        ("6.3 V, 5", 8),
        ("6.3 V, 3 ohm", 8),
        ("6.3 V 5 V", 7),
        ("6.3 V, , 0.3 A", 8),
        ("6.3 V, low 3 V, low 4 V", 21),
    ],
)
def test_mistakes_stand_where_they_were_made(text: str, column: int) -> None:
    assert [at for at, _ in mistakes_of(text)] == [column]


def test_every_mistake_of_a_line_is_told() -> None:
    assert [at for at, _ in mistakes_of("6.3 V 5 V, time lga, 3 ohm, 7, ")] == [7, 12, 22, 29, 32]


def test_one_mistake_is_told_once() -> None:
    shape = Part.FORM or Form()
    assert len(mistakes_of("now 10 nF, papper, measured 9.9 nF, was 10 nF paper", shape)) == 1
    assert len(mistakes_of("kep, 10 nF, measured 9.9 nF", shape)) == 1


def test_the_nearest_word_is_one_of_the_line_or_of_its_group() -> None:
    def remedy(text: str) -> str:
        (mistake,) = read_line(Text(text), Part.FORM or Form())[1]
        return mistake.remedy if isinstance(mistake.remedy, str) else mistake.remedy.told()

    assert remedy("now 10 nF filmm") == "did you mean “film”?"
    assert remedy("now 10 nF, outsid foil A") == "did you mean “outside foil”?"
    assert remedy("kep, 10 nF") == "did you mean “kept”?"
    assert remedy("10 nF, outside foil A, 5") == "write uF, ohm, mH, V, W or % behind it"
