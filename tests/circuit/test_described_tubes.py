"""Tubes that only the record describes: what their job and their winding make of them."""

from __future__ import annotations

import pytest

import makers
from benchleaf.circuit.place import place
from benchleaf.record.slips import Slips

SET = """\
line: 230 V 50 Hz
power: transformer
tubes:
  V1: EL41, output
  V2: {tube}
heaters:
  windings:
    LT: 6.3 V, feeds all
    HT: {winding}
"""
OWN = "XZ40, {job}heater 6.3 V 0.6 A, pins {pins}"
TWO_PLATES, ONE_PLATE = "h a1 nc nc nc a2 k h", "h nc nc nc a nc k h"


def tube(job: str = "rectifier, ", pins: str = TWO_PLATES, winding: str = "2x265 V, feeds V2") -> str:
    """A set whose rectifier no table has."""
    return SET.format(tube=OWN.format(job=job, pins=pins), winding=winding)


def slips(text: str) -> list[str]:
    """What is told of the circuit of a record."""
    told = Slips(makers.FILE)
    place(makers.record(text), told)
    return [str(problem) for problem in told.problems()]


@pytest.mark.parametrize(
    ("text", "role"),
    [
        (tube(), "full-wave rectifier"),
        (tube(pins=ONE_PLATE), "half-wave rectifier"),
        (tube(pins="h a1 k1 nc nc a2 k2 h"), "twin rectifier"),
        (tube(job=""), "full-wave rectifier"),
        (tube(job="", winding="265 V, feeds V2", pins=ONE_PLATE), "half-wave rectifier"),
        (tube(job="output, "), None),
        (tube(job="", winding="6.3 V, feeds V2"), None),
        (tube(job="", winding="265 V, feeds V1 V2"), None),
    ],
)
def test_a_tube_that_no_table_has_is_a_rectifier_by_its_job_or_the_winding_that_feeds_it_alone(
    text: str, role: str | None
) -> None:
    assert makers.circuit(text).tubes["V2"].role == role


def test_the_plates_of_such_a_rectifier_are_no_heater() -> None:
    """Said once to run at 4031 % of its volts."""
    heaters = makers.found("heaters", tube())
    assert heaters.windings[1].plates == ("V2",)
    assert [one.tube for one in heaters.windings[0].tubes] == ["V1", "V2"]
    assert not [said for said in makers.said("heaters", tube()) if "V2" in said]
    assert slips(tube()) == []


def test_a_heater_on_hundreds_of_volts_is_asked_and_never_a_finding() -> None:
    """Where the writer's job says otherwise."""
    text = tube(job="output, ", winding="265 V, feeds V2")
    (told,) = slips(text)
    assert "heaters.windings.HT.feeds: found “V2” on 265 V, more than 3 times what the heater takes (V2, 6.3 V)" in told
    assert not [said for said in makers.said("heaters", text) if "%" in said or "hangs on" in said]


def test_a_heater_at_twice_its_volts_is_a_finding() -> None:
    text = tube(job="output, ", winding="12.6 V, feeds V2").replace("feeds all", "feeds V1")
    assert slips(text) == []
    assert any("V2" in said and "hangs on 12.6 V" in said for said in makers.said("heaters", text))
