"""Rails by what is done to them: a set whose rails have no numbers is worked out as one whose rails do."""

from __future__ import annotations

import pytest

import makers

SET = """line: 230 V 50 Hz
power: transformer
chassis: isolated
tubes:
  V3: EBC81, AF
  V4: EL84, output
  V5: EZ80, rectifier
heaters:
  windings:
    HT: 250-0-250 V, feeds V5, 190 + 195 ohm
parts:
  C1: 47 uF 400 V electrolytic, between {first} and chassis
  C2: 47 uF 400 V electrolytic, between {second} and chassis
  R4: 220k, V3 anode to {second}
  R5: 680k, V4 grid to chassis
  R6: 150 ohm, V4 cathode to chassis
  R7: 1.2k 4 W, {first} to {second}
  T2: output transformer, 340 ohm, V4 anode to {first}
wires:
  - V4 screen, {second}
readings:
  after:
    line: 232 V
    to: chassis
    {first}: 270
    {second}: 233
    V3: anode 91
    V4: anode 257, screen 233, cathode 6.5
    V5: cathode 270, anode 251 AC
"""


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ("reservoir", "smoothed HT"),
        ("raw HT", "smoothed"),
        ("unsmoothed HT", "HT"),
        ("HT", "smoothed HT"),
        ("rectifier output", "filtered B+"),
        ("HT raw", "HT smoothed"),
    ],
)
def test_a_rail_is_known_by_what_is_done_to_it(first: str, second: str) -> None:
    """“V4 is weak” and a smoothing resistor that nothing feeds were told of a set in order, for want of a number."""
    named, numbered = (makers.bench(SET.format(first=a, second=b)) for a, b in ((first, second), ("HT1", "HT2")))
    found, expected = (makers.found("supply", bench) for bench in (named, numbered))
    assert [rail.volts for rail in found.nominal.rails] == [rail.volts for rail in expected.nominal.rails]
    worked = [makers.found("readings", bench).circuit for bench in (named, numbered)]
    assert worked[0].judged == worked[1].judged >= 4
    places = [[(one.at, one.volts, one.judged) for one in of.places] for of in worked]
    assert places[0] == places[1]
    place = named.circuit.places.read(first)
    assert place.name(named.words) == first, "it is said as it was typed"
    assert named.circuit.network.same(place, named.circuit.places.read("V5 cathode"))


def test_where_rails_have_numbers_other_names_are_names() -> None:
    text = SET.format(first="HT1", second="HT2").replace("    V3: anode 91\n", "    reservoir: 270\n    V3: anode 91\n")
    assert makers.circuit(text).places.read("reservoir").kind == ""
