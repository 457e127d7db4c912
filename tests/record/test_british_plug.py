"""A 13 A plug is earthed or not by what the earth lead or the cord of its line side says."""

from __future__ import annotations

import pytest

import makers

EARTHED, NOT_EARTHED = "three-pin with earth", "two-pin polarised"


@pytest.mark.parametrize(
    ("said", "plug"),
    [
        ("earth lead: none", NOT_EARTHED),
        ("earth lead: not connected", NOT_EARTHED),
        ("earth lead: green, to the chassis", EARTHED),
        ("cord: two-core", NOT_EARTHED),
        ("cord: three-core", EARTHED),
        ("cord: two-core\n    earth lead: to the chassis", EARTHED),
        ("cord: three-core\n    earth lead: cut off", NOT_EARTHED),
    ],
)
def test_its_earth_is_what_the_lead_says_and_else_the_cord(said: str, plug: str) -> None:
    """A cord with three wires earths nothing where the third is cut."""
    record = makers.record(f"line side:\n  before:\n    plug: 13 A\n    {said}\n")
    assert record.line_side is not None
    assert record.line_side.before is not None
    assert str(record.line_side.before.plug) == plug
