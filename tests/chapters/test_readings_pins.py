"""The pins of a place as a page says them."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any, cast

import pytest

from benchleaf.chapters.readings.pins import is_at, pins_of

TUBES = cast(
    Any, {"V1": SimpleNamespace(pins={2: "g3", 5: "g3+k", 7: "a", "cap": "g1"}), "V2": SimpleNamespace(pins={})}
)


def spot(key: str, pin: str = "", tube: str = "V1") -> Any:
    return SimpleNamespace(place=SimpleNamespace(tube=tube), pin=pin, key=key)


@pytest.mark.parametrize(
    ("at", "said"),
    [
        (spot("a"), "pin 7"),
        (spot("g3"), "pins 2, 5"),
        (spot("k+g2"), "pin 5"),
        (spot("g1"), "cap"),
        (spot("g2"), ""),
        (spot("", pin="7"), "pin 7"),
        (spot("", pin="9"), "pin 9"),
        (spot("", pin="?"), ""),
        (spot("a", tube="V2"), ""),
        (spot("a", tube="V9"), ""),
    ],
)
def test_the_pins_of_a_place(at: Any, said: str) -> None:
    assert pins_of(at, TUBES) == said


def test_a_place_is_at_the_pin_that_it_names_or_at_those_of_its_electrode() -> None:
    assert is_at(spot("a", pin="5"), cast(Any, 5), "g3+k")
    assert not is_at(spot("g3", pin="2"), cast(Any, 5), "g3+k")
    assert is_at(spot("k"), cast(Any, 5), "g3+k")
    assert not is_at(spot(""), cast(Any, 5), "g3+k")
