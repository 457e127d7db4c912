"""Runs of words of the trade in a part's line: where they end, their places, and what else is asked of them.

``lines_read.txt`` has what they say.
"""

from __future__ import annotations

import pytest

from benchleaf.record.line_values import words_of
from benchleaf.record.manner import Manner
from benchleaf.record.spoken import begins_at_tube, bypassed, only_joints, place_at, spoken_at
from benchleaf.record.text import Text

TUBES = {"v4": "V4", "80": "V5", "6v6": "V6", "rectifier": "V7"}


def of_part(text: str, letters: str = "C", power: str = "", points: frozenset[str] = frozenset()) -> Text:
    made = Text(text)
    made.manner = Manner(part=letters, tubes=TUBES, power=power, points=points)
    return made


def read(text: str, at: int = 0, stop: int | None = None, points: frozenset[str] = frozenset()) -> str:
    item = of_part(text, points=points)
    found = spoken_at(item, words_of(item, strokes=False), at, lambda index: index == stop)
    if found is None:
        return "-"
    ends = (" + " if found.joined else ", ").join(map(str, found.places))
    return f"{found.words} | {ends} | {found.job or ''}".rstrip()


def place(text: str, letters: str = "C", at: int = 0, points: frozenset[str] = frozenset()) -> tuple[int, bool] | None:
    item = of_part(text, letters, points=points)
    return place_at(item, words_of(item, strokes=False), at)


def test_no_run_is_longer_than_twelve_words() -> None:
    """Nobody says a part's job in more."""
    assert read(" ".join(["coupling"] * 12)) == f"12 |  | {' '.join(['coupling'] * 12)}"
    assert read(" ".join(["coupling"] * 13)) == read(" ".join(["coupling"] * 12))


def test_a_run_begins_at_its_word_and_ends_before_what_the_line_has_another_use_for() -> None:
    assert read("paper V4 grid to B-", at=1) == "4 | V4 grid + B- |"
    assert read("V4 grid to B- coupling", stop=4) == "4 | V4 grid + B- |"
    assert read("V4 grid to B- coupling", stop=3) == "2 | V4 grid | V4 grid"
    assert read("V4 to chassis coupling", stop=2) == "1 |  | V4"
    assert read("coupling", stop=0) == "-"


def test_a_run_with_three_points_says_how_two_are_written() -> None:
    item = of_part("V4 plate to V6 grid to chassis")
    found = spoken_at(item, words_of(item, strokes=False), 0, lambda _: False)
    assert found is not None
    assert found.job is not None
    assert [said for _, said in found.job.remarks] == [
        "“V4 plate to V6 grid to chassis” read as what the part does: for its two ends write “between … and …”"
    ]


def test_a_place_at_a_tube_alone_says_no_job() -> None:
    for text, alone in (("V4 grid", True), ("V4 grid leak", False), ("V4 grid to B-", False), ("coupling", False)):
        item = of_part(text)
        found = spoken_at(item, words_of(item, strokes=False), 0, lambda _: False)
        assert found is not None
        assert found.alone is alone


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("V4 grid", (2, False)),
        ("grid of V4", (3, False)),
        ("grid in V4", None),
        ("V4-6", (1, False)),
        ("V4/k to B-", (1, False)),
        ("V4-foo", None),
        ("X4-6", None),
        ("80 filament", (2, False)),
        ("81 filament", None),
        ("node T", (2, True)),
        ("node to", None),
        ("node", None),
        ("node 12", (2, True)),
        ("node 123", None),
        ("bias 1", (2, True)),
        ("bias 1 to B-", (2, True)),
        ("bias 1 bypass", None),
        ("bias", None),
        ("B+", (1, True)),
        ("B+ rail", (2, True)),
        ("B+ bypass", (1, True)),
        ("HT FM", (2, True)),
        ("HT CT", (2, True)),
        ("HT centre tap", (3, True)),
        ("HT centre tap of the winding", (3, True)),
        ("chassis", (1, True)),
        ("ground lug", (1, True)),
        ("line", (1, True)),
        ("line cord", (1, True)),
        ("neutral lead", (2, True)),
        ("aerial socket", None),
        ("+1", None),
        ("coupling", None),
    ],
)
def test_how_many_words_a_place_has_and_whether_it_is_a_rail(text: str, expected: tuple[int, bool] | None) -> None:
    assert place(text) == expected


def test_a_transformers_own_tap_is_no_other_point() -> None:
    assert place("centre tap", "C") == (2, True)
    assert place("centre tap", "T") is None


def test_points_of_the_records_own_are_places() -> None:
    """A wire's end of one word by its name; of several words those whose first is a rail."""
    own = frozenset({"busbar", "b+ after choke", "odd point"})
    assert place("busbar", points=own) == (1, True)
    assert place("busbar") is None
    assert place("B+ after choke", points=own) == (3, True)
    assert place("B+ after choke") == (1, True)
    assert place("odd point", points=own) is None
    assert read("V4 grid to busbar", points=own) == "4 | V4 grid + busbar |"


@pytest.mark.parametrize(
    ("text", "begins"), [("80 filament", True), ("grid V4", True), ("80 uF", False), ("B+", False), ("V4-6", True)]
)
def test_a_tube_with_its_electrode_is_no_value(text: str, begins: bool) -> None:
    assert begins_at_tube(of_part(text), words_of(text, strokes=False), 0) is begins


@pytest.mark.parametrize(
    ("job", "letters", "power", "ends"),
    [
        ("V4 cathode bypass", "C", "transformer", ["V4 cathode", "chassis"]),
        ("V4 screen decoupling cap", "C", "", ["V4 screen", "chassis"]),
        ("V4 g2 decoupler", "C", "AC/DC", ["V4 g2", "B-"]),
        ("V4 k bypass condenser", "C", "series string", ["V4 k", "B-"]),
        ("V4 cath bypass", "C", "transformerless", ["V4 cath", "B-"]),
        ("V4 grid bypass", "C", "", []),
        ("V4 cathode bypass", "R", "", []),
        ("V9 cathode bypass", "C", "", []),
        ("V4 cathode resistor", "C", "", []),
    ],
)
def test_a_bypass_lies_from_its_electrode_to_the_bottom_of_the_supply(
    job: str, letters: str, power: str, ends: list[str]
) -> None:
    """Of a set without a transformer that is B-, which need not be the chassis."""
    assert list(map(str, bypassed(of_part(job, letters, power)))) == ends


@pytest.mark.parametrize(
    ("text", "only"), [("in the", True), ("in", True), ("", True), ("in B-", False), ("to the V4", False)]
)
def test_joints_say_nothing_by_themselves(text: str, only: bool) -> None:
    assert only_joints(of_part(text)) is only
