"""What stands in for an aerial at a step: the usual value, how far from it still counts, and loops."""

from __future__ import annotations

import pytest

import makers
from benchleaf.chapters.alignment.feeds import AerialFeed, aerial_feed, has_loop, has_loop_only

MEDIUM, SHORT = 1e6, 12e6


@pytest.mark.parametrize(
    ("through", "hertz", "kind", "fits"),
    [
        # Within two and a half times of 200 pF on medium waves, of 400 ohm on short ones (common practice, no source).
        ("79 pF", MEDIUM, "capacitor", False),
        ("81 pF", MEDIUM, "capacitor", True),
        ("200 pF", MEDIUM, "capacitor", True),
        ("500 pF", MEDIUM, "capacitor", True),
        ("501 pF", MEDIUM, "capacitor", False),
        ("159 ohm", SHORT, "resistor", False),
        ("160 ohm", SHORT, "resistor", True),
        ("400 ohm", SHORT, "resistor", True),
        ("1000 ohm", SHORT, "resistor", True),
        ("1010 ohm", SHORT, "resistor", False),
        ("200 pF", SHORT, "capacitor", False),
        ("400 ohm", MEDIUM, "resistor", False),
        ("standard dummy aerial", MEDIUM, "standard", True),
        ("IRE dummy", SHORT, "standard", True),
        ("standard, 200 pF", MEDIUM, "capacitor", True),
        ("standard, 400 ohm", MEDIUM, "resistor", False),
        ("dummy aerial 50 pF", MEDIUM, "capacitor", False),
        ("a piece of wire", MEDIUM, "", None),
        ("0 pF", MEDIUM, "", None),
    ],
)
def test_what_stands_for_an_aerial(through: str, hertz: float, kind: str, fits: bool | None) -> None:
    found = aerial_feed(through, hertz)
    assert found is not None
    assert (found.kind, found.fits, found.usual) == (kind, fits, "capacitor" if hertz == MEDIUM else "resistor")


def test_a_part_of_the_feed_has_its_value_and_nothing_else_has_one() -> None:
    assert aerial_feed(".0002 mfd", MEDIUM) == AerialFeed("capacitor", pytest.approx(200e-12), None, "capacitor", True)
    assert aerial_feed("400 ohm", SHORT) == AerialFeed("resistor", None, 400.0, "resistor", True)
    assert aerial_feed("400 ohm", None) is None


@pytest.mark.parametrize(
    ("said", "loop", "only"),
    [
        ("loop", True, True),
        ("ferrite rod", True, True),
        ("loop, socket for an outside wire", True, False),
        ("wire", False, False),
        ("", False, False),
    ],
)
def test_a_loop_is_all_the_aerial_where_no_wire_is_told(said: str, loop: bool, only: bool) -> None:
    record = makers.record(f"aerial: {said}\n" if said else "")
    assert (has_loop(record), has_loop_only(record)) == (loop, only)
