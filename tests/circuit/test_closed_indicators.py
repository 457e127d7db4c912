"""A tuning indicator in the closed network: its target hangs on a rail, and what its plate takes is not followed."""

from __future__ import annotations

import pytest

import makers
from benchleaf.circuit.closed.closing import close

SET = """line: 120 V 60 Hz
power: transformer
tubes:
  V1: 6SK7
  V8: 6U5
  V9: 5Y3G
parts:
  R1: keep, 68 k, between V1 screen and B+2
  R8: keep, 1 meg, between V8 plate and V8 target
  R9: keep, 1 k, between B+1 and B+2
wires:
  - V9 filament, B+1
readings:
  as found:
    line: 120 V
    to: chassis
    B+1: 350
    B+2: 251
    V8: target {target}, plate 46
"""


@pytest.mark.parametrize(("target", "fed"), [("250", "B+2"), ("340", "B+1"), ("90", None)])
def test_a_target_that_nothing_feeds_is_on_the_rail_above_it(target: str, fed: str | None) -> None:
    """It hung on nothing but its plate's resistor, at 0 V: no fault explained the 250 V that were read there."""
    closed = close(makers.bench(SET.format(target=target)).circuit, "as found")
    told = {one.place.name(): one.to.name() for one in closed.taken if one.how == "fed from" and one.place and one.to}
    assert told.get("V8 target") == fed
    at = next(place for place in closed.nodes if place.name() == "V8 target")
    assert closed.is_given(at) is (fed is not None)
    assert not closed.is_given(next(place for place in closed.nodes if place.name() == "V8 plate"))
