"""What the page on the tube table says of the commonest types is what the table says."""

from __future__ import annotations

from collections import Counter

import pytest

from benchleaf.tubes.grade import GRADES
from tools.tube_coverage import ASPECTS, NOTHING, PAGE, common_types, covered, renewed


def test_the_list_has_a_hundred_and_fifty_types_of_the_table_each_once() -> None:
    types = common_types()
    assert len(types) == len(set(types)) == 150
    assert {covered(type_)["heater"].grade for type_ in types} <= set(GRADES)


def test_the_page_says_what_the_table_says() -> None:
    page = PAGE.read_text(encoding="utf-8")
    assert page == renewed(page), "run tests/tools/tube_coverage.py --write"


@pytest.mark.parametrize(
    ("type_", "aspect", "grade", "only_memory"),
    [
        ("12BE6", "ratings", "read", ()),  # General Electric ET-T891A, page 1: all of them
        ("12BA6", "ratings", "from memory", ("screen volts", "screen dissipation")),
        ("12BE6", "point", "read", ()),
        ("EL84", "pins", "read", ()),
        ("6X4", "point", "read", ()),
        ("AZ1", "pins", NOTHING, ()),
        ("UL84", "pins", "cross-checked", ()),
        ("EF9", "heater", "from memory", ("current",)),
        ("EZ81", "heater", "read", ()),
    ],
)
def test_an_aspect_is_as_good_as_its_weakest_value(
    type_: str, aspect: str, grade: str, only_memory: tuple[str, ...]
) -> None:
    assert covered(type_)[aspect].grade == grade
    assert covered(type_)[aspect].only_memory == only_memory


def test_a_diode_has_no_point() -> None:
    assert set(covered("6AL5")) == set(ASPECTS) - {"point"}


@pytest.mark.parametrize(
    ("grades", "least"),
    [
        (("read",), {"heater": 102, "pins": 81, "ratings": 43, "point": 39}),
        (("read", "cross-checked"), {"heater": 124, "pins": 103, "ratings": 64, "point": 125}),
    ],
)
def test_what_was_read_and_cross_checked_does_not_shrink(grades: tuple[str, ...], least: dict[str, int]) -> None:
    """The state of the reading; a change of the table that loses a source would show here (regression)."""
    known = Counter(aspect for type_ in common_types() for aspect, of in covered(type_).items() if of.grade in grades)
    assert {aspect: known[aspect] >= count for aspect, count in least.items()} == dict.fromkeys(ASPECTS, True)
