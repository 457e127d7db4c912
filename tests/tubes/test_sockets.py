"""Pin positions of each base, seen from below."""

from __future__ import annotations

import itertools

import pytest

from benchleaf.tubes import PIN_COUNT
from benchleaf.tubes.sockets import socket

NO_POSITIONS = {"side-contact (P5)", "European 7-pin"}
"""Bases whose pins nobody here has seen drawn with their angles: a tube on one has no socket drawing."""


@pytest.mark.parametrize("base", [base for base in PIN_COUNT if base not in NO_POSITIONS])
def test_every_base_has_its_own_table_with_all_its_pins(base: str) -> None:
    found = socket(base)
    assert found is not None
    assert found.source
    assert [p.pin for p in found.pins] == list(range(1, PIN_COUNT[base] + 1))
    places = {(p.degrees if p.radius else None, bool(p.radius)) for p in found.pins}
    assert len(places) == len(found.pins)


@pytest.mark.parametrize(
    ("base", "step"),
    [("octal", 45), ("loctal German key (B8G)", 45), ("miniature 7-pin (B7G)", 45), ("noval (B9A)", 36)],
)
@pytest.mark.handbook
def test_the_angle_between_neighbours_is_the_published_one(base: str, step: float) -> None:
    """KiCad footprint library, Valve.pretty: pads of Octal-K8A, Loctal-B8G, Miniature-B7G, Noval-B9A."""
    found = socket(base)
    assert found is not None
    for one, other in itertools.pairwise(found.pins):
        assert (other.degrees - one.degrees) % 360 == pytest.approx(step)


def test_octal_miniature_and_noval_run_clockwise_from_the_key_or_gap_at_the_bottom() -> None:
    """From below, pin 1 is the first to the left of the key or gap (common practice, no source)."""
    for base in ("octal", "miniature 7-pin (B7G)", "noval (B9A)"):
        found = socket(base)
        assert found is not None
        assert 180 < found.pins[0].degrees < 270
        assert 90 < found.pins[-1].degrees < 180


def test_the_us_four_six_and_seven_pin_bases_have_their_large_pins_on_the_heater() -> None:
    """UX4 1 and 4, UX6 1 and 6, UX7 1 and 7 (from memory)."""
    for base, large in (("UX4", (1, 4)), ("UX6", (1, 6)), ("UX7", (1, 7))):
        found = socket(base)
        assert found is not None
        assert tuple(p.pin for p in found.pins if p.large) == large


@pytest.mark.handbook
def test_the_british_five_pin_base_is_the_four_pin_one_with_a_pin_in_the_middle() -> None:
    """r-type.org, page on base B5."""
    four, five = socket("B4"), socket("B5")
    assert four is not None
    assert five is not None
    assert [(p.pin, p.degrees) for p in five.pins[:4]] == [(p.pin, p.degrees) for p in four.pins]
    assert five.pins[4].radius == 0


@pytest.mark.parametrize("base", ["B12", *sorted(NO_POSITIONS)])
def test_a_base_without_positions_has_no_table(base: str) -> None:
    assert socket(base) is None
