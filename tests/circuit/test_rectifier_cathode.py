"""A rectifier's cathode is one point with its heater where the type ties them, and with the ends of its filament."""

from __future__ import annotations

import pytest

import makers
from benchleaf.chapters.supply.findings import SupplyFindings

SET = """line: 117 V 60 Hz
power: transformer
tubes:
  V7: 6F6
  V10: 5Z4
heaters:
  windings:
    HT: 350-0-350 V, feeds V10, measured 352-0-351
parts:
  C1: 16 uF 450 V electrolytic, between {first} and chassis
  C2: 16 uF 450 V electrolytic, between {last} and chassis
  L1: job field coil, 850 ohm, between {first} and {last}
readings:
  2026-03-04 after:
    line: 117 V
    V7: plate 264, screen 272
    {first}: 364
    {last}: 272
"""


@pytest.mark.parametrize("type_", ["5Z4", "5V4G", "5AR4", "83V", "5U4G", "80"])
@pytest.mark.parametrize("word", ["heater", "filament", "fil", "k"])
def test_every_word_for_it_is_one_point(type_: str, word: str) -> None:
    """Pins as the tube handbooks have them: of 5Z4, 5V4G and 5AR4 pin 8 is heater and cathode (RCA RC-14, RC-30)."""
    places = makers.circuit(f"tubes:\n  V10: {type_}\n").places
    assert places.read(f"V10 {word}") == places.read("V10 cathode")
    assert places.read(f"V10 {word}").kind == "B+"


@pytest.mark.parametrize("type_", ["5Z4", "5V4G", "5AR4", "5U4G", "5Y3GT"])
def test_both_pins_of_heater_or_filament_are_that_point(type_: str) -> None:
    places = makers.circuit(f"tubes:\n  V10: {type_}\n").places
    assert places.read("V10 pin 2") == places.read("V10 pin 8") == places.read("V10 cathode")


@pytest.mark.parametrize("type_", ["6X5GT", "35Z5GT"])
def test_a_cathode_of_its_own_is_parted_from_the_heater(type_: str) -> None:
    places = makers.circuit(f"tubes:\n  V10: {type_}\n").places
    assert places.read("V10 heater") != places.read("V10 cathode")


def _supply(first: str, last: str) -> SupplyFindings:
    found = makers.findings("supply", SET.format(first=first, last=last))
    assert isinstance(found, SupplyFindings)
    return found


def test_the_filter_is_the_same_however_its_first_point_is_named() -> None:
    """Capacitor and field coil written at the cathode dropped out of the filter, and 472 V stood where 388 V belong."""
    named, at_cathode = _supply("B+1", "B+2"), _supply("V10 cathode", "B+")
    assert named.nominal
    assert at_cathode.nominal
    assert [one.volts for one in at_cathode.nominal.rails] == [one.volts for one in named.nominal.rails]
    assert [(one.rail, one.part) for one in at_cathode.nominal.rails] == [("V10 cathode", "C1"), ("B+", "C2")]
    assert at_cathode.agrees is True


LINE_SET = """line: 220 V 50 Hz
power: AC/DC
tubes:
  V4: UL41, output
  V5: UY41, rectifier
parts:
  C1: 47 uF 450 V electrolytic, between V5 cathode and chassis
  C2: 47 uF 450 V electrolytic, between B+2 and chassis
  R1: 171 ohm, surge, between V5 anode and mains
  R2: 1240 ohm, between B+1 and B+2
  R14: 174 ohm, between V4 cathode and chassis
  T1: output transformer 3k to 5 ohm, 280 ohm, between V4 anode and B+1
readings:
  2026-03-04 after:
    line: 220 V
    to: chassis
    B+1: 205
    B+2: 174
    V4: plate 191, screen 174, cathode 10.1
"""


def test_what_hangs_on_the_first_rail_loads_the_reservoir_that_is_written_at_the_cathode() -> None:
    """Only the output tube's 53.7 mA were counted, and 209 V computed. 10.1 V across 174 ohm less the screen's share go
    through T1, and (205 - 174) V / 1240 ohm = 25 mA through R2; a sum in steps of 2 us by another hand has 186 V and
    peaks of 406 mA at 75 mA."""
    found = makers.findings("supply", LINE_SET)
    assert found.nominal
    assert [one.part for one in found.nominal.rails] == ["C1", "C2"]
    assert sum(one.load_amps for one in found.nominal.rails) == pytest.approx(0.075, rel=0.02)
    assert found.nominal.rails[0].volts == pytest.approx(186, rel=0.01)
    assert found.nominal.peak_amps == pytest.approx(0.406, rel=0.02)
    assert "B+1 is V5 cathode: the first filter capacitor stands there, and nothing is written between the two" in [
        said.replace("reservoir capacitor", "first filter capacitor") for said in found.assumed
    ]
    written = makers.findings("supply", f"{LINE_SET}wires:\n  - V5 cathode, B+1\n")
    assert written.nominal.rails[0].volts == found.nominal.rails[0].volts
    assert not [said for said in written.assumed if "V5 cathode" in said]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("C2: 47 uF", "C3: 22 uF 450 V electrolytic, between B+1 and chassis\n  C2: 47 uF"),
        ("B+1: 205", "V5: cathode 214\n    B+1: 205"),
        ("R2: 1240 ohm, between B+1 and B+2", "R2: 1240 ohm"),
    ],
    ids=["a capacitor of its own", "read apart", "nothing behind it"],
)
def test_where_the_rail_may_be_another_point_it_is_asked_and_nothing_is_left_out_in_silence(old: str, new: str) -> None:
    found = makers.findings("supply", LINE_SET.replace(old, new))
    assert found.nominal is None
    (lack,) = found.lacks
    assert lack.startswith("whether B+1 is V5 cathode, or what leads from one to the other")
    assert "“wires: V5 cathode, B+1”" in lack


def test_a_rail_that_was_only_read_is_the_cathode_where_a_choke_leads_from_that_to_a_later_one() -> None:
    """281 V at B+1 and 253 V behind 488 ohm are 57.4 mA; the page asked for a reading at the cathode."""
    text = SET.format(first="V10 cathode", last="B+2").replace("V10 cathode: 364", "B+1: 364")
    found = makers.findings("supply", text)
    assert found.nominal
    assert (found.read_volts, [one.part for one in found.nominal.rails]) == ((364.0, 272.0), ["C1", "C2"])
    last = makers.circuit(text.replace("B+1: 364", "B+3: 264"))
    assert not last.network.same(last.places.read("B+3"), last.places.read("V10 cathode"))
    unnumbered = makers.circuit(text.replace("B+1: 364", "B+: 264"))
    assert not unnumbered.network.same(unnumbered.places.read("B+"), unnumbered.places.read("V10 cathode"))
