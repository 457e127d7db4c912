"""A dial cord drawn as it lies: straight pieces touch their wheels, and what it carries hangs on it (geometry)."""

from __future__ import annotations

import math
import re
from itertools import pairwise

import pytest

import makers
from benchleaf.chapters.mechanics.cord_path import Node, cord_path, laid_out, place_said, taut

LOOP = (
    "spring, drum 100 mm upper left, pulley lower left, shaft 6 mm 2 turns bottom, pulley lower right,"
    " pulley upper right, pointer, drum upper left, anchor"
)


def drawn(route: str) -> str:
    return makers.figures("mechanics", f"mechanics:\n  dial cord: {route}\n")["dial-cord"].svg


@pytest.mark.parametrize(
    ("said", "place"),
    [
        ("pulley upper left", (0.0, 0.0)),
        ("shaft 6 mm bottom right", (1.0, 1.0)),
        ("drum left", (0.0, 0.5)),
        ("pulley at the top", (0.5, 0.0)),
        ("drum 80 mm 1.5 turns", None),
        ("topmost pulley", None),
    ],
)
def test_where_a_stop_lies_is_read_of_its_words(said: str, place: tuple[float, float] | None) -> None:
    assert place_said(said) == place


def test_a_single_place_makes_no_plan() -> None:
    assert laid_out([("drum", "drum left"), ("pulley", "pulley"), ("spring", "spring")]) == []


def test_what_is_fastened_in_a_drum_lies_in_its_middle_and_a_drum_passed_twice_is_one() -> None:
    stops = [(item.split()[0], item) for item in LOOP.split(", ")]
    places = laid_out(stops)
    assert {places[number] for number in (0, 1, 7, 8)} == {(0.0, 0.0)}
    assert len(set(places)) == 6


@pytest.mark.parametrize("sides", [(False, False), (True, True), (False, True), (True, False)])
def test_a_straight_piece_touches_both_wheels(sides: tuple[bool, bool]) -> None:
    """A tangent is square to the radius at the point where it touches (Euclid III 18)."""
    wheels = [Node(0.0, 0.0, 26.0, left=sides[0]), Node(140.0, -35.0, 12.0, left=sides[1])]
    x1, y1, x2, y2 = map(float, re.findall(r"-?[\d.]+", cord_path(wheels)))
    for wheel, (x, y) in zip(wheels, ((x1, y1), (x2, y2)), strict=True):
        assert math.hypot(x - wheel.x, y - wheel.y) == pytest.approx(wheel.radius, abs=0.1)
        along = (x - wheel.x) * (x2 - x1) + (y - wheel.y) * (y2 - y1)
        assert abs(along) < 0.01 * wheel.radius * math.hypot(x2 - x1, y2 - y1)


def test_a_taut_cord_goes_round_the_outside_of_its_loop_without_crossing_itself() -> None:
    corners = [Node(0, 0, 26), Node(0, 150, 12), Node(300, 150, 12), Node(300, 0, 12), Node(0, 0, 26)]
    assert len({node.left for node in taut(corners)}) == 1
    outward = [Node(0, 0, 10), Node(100, 0, 10), Node(200, 80, 10)]
    assert [node.left for node in taut(outward)] == [False] * 3
    assert [node.left for node in taut([Node(n.x, -n.y, n.radius) for n in outward])] == [True] * 3


def test_the_pointer_hangs_on_the_straight_piece() -> None:
    before, pointer, behind = taut([Node(0, 0, 12), Node(150, 40, 0), Node(300, 0, 12)])
    assert before.radius == behind.radius
    assert (pointer.x, pointer.y) == pytest.approx((150.0, pointer.y))
    assert abs(pointer.y) == pytest.approx(12.0)


def test_the_figure_holds_every_stop_within_its_frame() -> None:
    svg = drawn(LOOP)
    wide, high = map(float, re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', svg).groups())  # type: ignore[union-attr]
    for x, y, r in (map(float, found) for found in re.findall(r'cx="([\d.]+)" cy="([\d.]+)" r="([\d.]+)"', svg)):
        assert r < x < wide - r
        assert r < y < high - r
    assert "2×" in svg
    assert all(f"{number} {word}" in svg for number, word in enumerate(["spring", "drum", "pulley", "shaft"], 1))


def test_without_places_the_stops_stand_in_a_row() -> None:
    svg = drawn("anchor, shaft 6 mm 3 turns, pulley, drum 80 mm, spring")
    across = [float(x) for x in re.findall(r'cx="([\d.]+)"', svg)]
    assert across == sorted(across)
    assert all(second - first == 62.0 for first, second in pairwise(across))
