"""What a word of a part's line means: which reading of it goes before which, and what its letters make of it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest

from benchleaf.record.forms import Form, form
from benchleaf.record.kind_of_part import read_type
from benchleaf.record.line_meaning import leaks_through, meaning_at, phrase_at, rating_in_amperes
from benchleaf.record.line_values import Meaning, words_of
from benchleaf.record.manner import Manner
from benchleaf.record.sections.parts import COMPONENT_FORM, Part
from benchleaf.record.spoken import Spoken
from benchleaf.record.text import Text

PART = Part.FORM or Form()


def of_part(text: str, letters: str = "C") -> Text:
    made = Text(text)
    made.manner = Manner(part=letters, tubes={"V4": "V4", "80": "V5"})
    return made


def meaning(text: str, letters: str = "C", at: int = 0, shape: Form = PART, **filled: object) -> tuple[Any, ...] | None:
    item = of_part(text, letters)
    table: Mapping[str, object] = filled
    found = meaning_at(shape, item, words_of(item, strokes=shape.strokes), at, table)
    if isinstance(found, Spoken):
        return "spoken", found.words, *map(str, found.places), *([str(found.job)] if found.job else [])
    return None if found is None else (found.kind, found.key, found.words)


@pytest.mark.parametrize(
    ("text", "letters", "expected"),
    [
        ("keep", "R", ("word", "state", 1)),
        ("to be ordered", "R", ("word", "state", 3)),
        ("To  Do", "R", ("word", "state", 2)),
        ("keep:", "R", ("word", "state", 1)),
        ("now 10 uF", "C", ("group", "now", 1)),
        ("between A and B", "C", ("head", "between", 1)),
        ("why: hum", "C", ("head", "why", 1)),
        ("10 nF", "C", ("implied", "was", 1)),
        ("3 uA", "C", ("implied", "was", 1)),
        ("paper", "C", ("implied", "was", 1)),
        ("ok", "C", ("implied", "was", 1)),
        ("measured 3 nF", "C", ("implied", "was", 1)),
        ("40-40 mfd", "C", ("implied", "was", 1)),
        ("and", "C", ("implied", "was", 1)),
        ("choke", "L", ("implied", "was", 1)),
        ("coupling", "C", ("spoken", 1, "coupling")),
        ("output transformer", "T", ("spoken", 2, "output transformer")),
        ("V4 grid", "R", ("spoken", 2, "V4 grid", "V4 grid")),
        ("V4 grid to B-", "R", ("spoken", 4, "V4 grid", "B-")),
        ("80 plate", "R", ("spoken", 2, "80 plate", "80 plate")),
        ("xyzzy", "C", None),
    ],
)
def test_a_words_first_meaning_in_a_parts_line(text: str, letters: str, expected: tuple[Any, ...] | None) -> None:
    assert meaning(text, letters) == expected


@pytest.mark.parametrize(
    ("text", "letters", "expected"),
    [
        ("10 nF", "C", ("capacitance", "value", 2)),
        ("350 V", "C", ("voltage", "volts", 2)),
        ("40-40 mfd", "C", ("several", "value", 2)),
        ("paper", "C", ("word", "type", 1)),
        ("ok", "C", ("word", "condition", 1)),
        ("and", "C", ("skip", "", 1)),
        ("can,", "C", ("ignored", "", 1)),
        ("condenser", "C", ("ignored", "", 1)),
        ("measured 3 nF", "C", ("head", "measured", 1)),
        ("leakage 3 uA", "C", ("group", "leakage", 1)),
        ("3 uA", "C", ("implied", "leakage", 1)),
        ("V4 grid to B-", "R", None),
        ("keep", "R", None),
    ],
)
def test_a_words_meaning_in_a_components_line(text: str, letters: str, expected: tuple[Any, ...] | None) -> None:
    assert meaning(text, letters, shape=COMPONENT_FORM) == expected


def test_a_group_is_implied_once() -> None:
    assert meaning("10 nF") == ("implied", "was", 1)
    assert meaning("10 nF", was=[]) is None
    assert meaning("3 uA", shape=COMPONENT_FORM, leakage={}) is None


def test_what_needs_a_value_is_implied_by_no_word() -> None:
    """``reformed at 350 V``: “at” may stand behind other things than a leakage."""
    assert meaning("at 350 V", shape=COMPONENT_FORM) is None
    free = form(["leakage"], groups={"leakage": form(["at"], values={"current": "current"})}, implied="leakage")
    assert meaning("at", shape=free) == ("implied", "leakage", 1)


@pytest.mark.parametrize(("text", "at", "expected"), [("2nd if can", 2, None), ("can 40 uF", 0, "implied"),
                                                      ("if can 40 uF", 1, "implied")])  # fmt: skip
def test_a_word_that_ends_what_is_said_belongs_to_the_note_of_it(text: str, at: int, expected: str | None) -> None:
    found = meaning(text, at=at)
    assert (found and found[0]) == expected


def test_what_is_said_ends_before_a_word_that_the_line_has_another_use_for() -> None:
    assert meaning("coupling now 10 nF") == ("spoken", 1, "coupling")
    assert meaning("coupling ok") == ("spoken", 1, "coupling")
    assert meaning("V4 grid to B- why hum", "R") == ("spoken", 4, "V4 grid", "B-")


@pytest.mark.parametrize(
    ("text", "at", "expected"),
    [
        ("to be ordered", 0, ("state", 3)),
        ("today", 0, None),
        ("now: 3", 0, ("now", 1)),
        ("keep!", 0, ("state", 1)),
        ("was keep", 1, ("state", 1)),
        ("to be", 0, None),
    ],
)
def test_the_longest_phrase_of_a_form(text: str, at: int, expected: tuple[str, int] | None) -> None:
    item = of_part(text)
    found = phrase_at(PART, item, words_of(item, strokes=False), at)
    assert (found and (found.key, found.words)) == expected


@pytest.mark.parametrize(
    ("letters", "line", "amperes"),
    [
        ("F", "2 A", True),
        ("GR", "100 mA", True),
        ("LA", "0.15 A", True),
        ("T", "output transformer, 60 mA", True),
        ("R", "fusible resistor, 1 A", False),
        ("X", "fuse, 2 A", True),
        ("X", "selenium, 100 mA", True),
        ("X", "choke, 60 mA", True),
        ("X", "lamp, leaks 3 mA", False),
        ("X", "60 mA", False),
        ("C", "across the choke, 60 mA", False),
        ("C", "fuse, 1 A", True),
    ],
)
def test_amperes_are_a_rating_of_what_is_made_for_a_current(letters: str, line: str, amperes: bool) -> None:
    """Else a current is what a part leaks."""
    item = of_part(line.rpartition(", ")[2], letters)
    found = rating_in_amperes(COMPONENT_FORM, item, words_of(item, strokes=True), 0, of_part(line, letters))
    assert found == (Meaning("current", "amps", 2) if amperes else None)


def test_a_form_without_amperes_has_no_rating_in_them() -> None:
    item = of_part("2 A", "F")
    assert rating_in_amperes(PART, item, words_of(item, strokes=True), 0, item) is None


@pytest.mark.parametrize(
    ("kind", "letters", "text", "said", "leaks"),
    [
        ("resistance", "C", "4 megohm", "leaky", True),
        ("resistance", "C", "4 megohm", "LEAKS", True),
        ("voltage", "C", "4 M", "leaky", True),
        ("voltage", "C", "4 V", "leaky", False),
        ("resistance", "C", "4 megohm", "ok", False),
        ("resistance", "C", "4 megohm", "", False),
        ("resistance", "R", "4 megohm", "leaky", False),
    ],
)
def test_ohms_behind_a_leaky_capacitor_are_what_it_leaks_through(
    kind: str, letters: str, text: str, said: str, leaks: bool
) -> None:
    assert leaks_through(Meaning(kind, "value", 1), of_part(text, letters), said) is leaks
    assert not leaks_through(None, of_part(text, letters), said)
    assert not leaks_through(Spoken(1, [], None, joined=False), of_part(text, letters), said)


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("carbon, carbon film", "carbon film"),
        ("carbon composition, carbon", "carbon composition"),
        ("carbon, fusible", "fusible"),
        ("metal oxide, flameproof", "flameproof"),
        ("film, polyester", "polyester"),
        ("wax paper, paper", "wax paper"),
        ("mica, silver mica", "silver mica"),
        ("paper", "paper"),
        ("odd, paper", "odd, paper"),
    ],
)
def test_of_two_words_for_a_kind_of_part_the_more_particular_counts(said: str, meant: str) -> None:
    assert str(read_type(Text(said))) == meant
