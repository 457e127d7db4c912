"""Which numbers behind a capacitor's value are its working volts, which words are a value, and which are none."""

from __future__ import annotations

import pytest

from benchleaf.record.line_values import Meaning, kind_of_part, value_at, words_of
from benchleaf.record.manner import Manner
from benchleaf.record.text import Text
from lines_shown import value

RATED = (100, 150, 160, 200, 250, 300, 350, 400, 450, 500, 600, 630, 1000, 1250, 1600, 2000)
"""Working volts of paper and film capacitors (common practice, no source)."""
LOW_RATED = (10, 12, 15, 16, 25, 35, 40, 50, 63)
"""Those of electrolytic capacitors beside them (common practice, no source)."""
VOLTS, VALUE = "voltage in V", "capacitance"


@pytest.mark.parametrize(("before", "rated"), [(".05", RATED), ("22 mfd", (*RATED, *LOW_RATED))])
def test_numbers_behind_a_value_are_volts_where_capacitors_are_rated_for_them(
    before: str, rated: tuple[int, ...]
) -> None:
    numbers = {volts + step for volts in rated for step in (-1, 0, 1)}
    kinds = {number: value("C", f"{before} {number}").rpartition(", ")[2] for number in numbers}
    assert kinds == {number: f"1 {VOLTS if number in rated else VALUE}" for number in numbers}


@pytest.mark.parametrize(
    ("line", "volts"),
    [
        ("16 uF 100/160", True),
        ("100/160 V 16 uF", True),
        ("8 uF 110/176 V", True),
        ("8 uF 110/177 V", False),
        ("8 uF 110/110 V", False),
        ("110/176 V", False),
    ],
)
def test_two_numbers_of_which_the_second_is_a_little_more_are_working_and_surge_volts(line: str, volts: bool) -> None:
    """At most 1.6 times as many, as a capacitor for 25 V stands 40 V (common practice, no source)."""
    found = value("C", line)
    assert (VOLTS in found) is volts


def test_a_value_is_looked_for_among_the_kinds_that_are_asked_for() -> None:
    item = Text("photo one.jpg C12 1948-03-04 5 m")
    words = words_of(item, strokes=True)

    def found(index: int, *kinds: str) -> Meaning | None:
        return value_at(item, words, index, dict.fromkeys(kinds, "key"))

    assert found(0, "picture", "resistance") == Meaning("picture", "key", 2)
    assert found(0, "part", "date", "resistance") is None
    assert found(2, "part") == Meaning("part", "key", 1)
    assert found(2, "date", "resistance") is None
    assert found(3, "date") == Meaning("date", "key", 1)
    assert found(3, "part", "resistance") is None
    assert found(4, "length") == Meaning("length", "key", 2)
    assert found(4) is None


def test_what_a_type_of_tube_and_a_code_of_a_value_have_alike_is_the_tube_where_the_set_has_it() -> None:
    item = Text("1R5")
    for tubes, expected in (({"1r5": "V1"}, None), ({}, Meaning("resistance", "value", 1))):
        item.manner = Manner(part="R", tubes=tubes)
        assert value_at(item, words_of(item, strokes=True), 0, {"resistance": "value"}) == expected


@pytest.mark.parametrize(
    ("letters", "kind"),
    [("C", "capacitance"), ("VC", "capacitance"), ("TC", "capacitance"), ("R", "resistance"), ("VR", "resistance"),
     ("RV", "resistance"), ("P", "resistance"), ("L", ""), ("T", ""), ("", "")],
)  # fmt: skip
def test_the_letters_of_a_part_say_what_its_value_is(letters: str, kind: str) -> None:
    assert kind_of_part(letters) == kind
