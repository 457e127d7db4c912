"""Places: every way they are written is one answer, and the same record in other words has the same findings."""

from __future__ import annotations

import json
import re
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import makers
from benchleaf.chapters.examine import as_record_json
from benchleaf.circuit.place import place
from benchleaf.record.slips import Slips

SET = """\
line: 120 V 60 Hz
power: series string
chassis: through R and C
tubes:
  V1: 12BE6
  V2: 12BA6
  V3: 12AV6
  V4: 50C5
  V5: 35W4
"""

SPELLINGS = {
    "<g4>": (
        "V4 grid",
        "V4 g1",
        "g1 V4",
        "V4 pin 2",
        "V4 2",
        "grid V4",
        "v4  Grid",
        "pin 2 V4",
        "50C5 grid",
        "2 V4",
        "50C5GT grid",
        "V4-2",
        "V4-grid",
        "V4/g1",
    ),
    "<a3>": (
        "V3 plate",
        "V3 anode",
        "anode V3",
        "V3 a",
        "V3 pin 7",
        "V3 7",
        "V3-7",
        "V3/7",
        "plate of V3",
        "12AV6 plate",
    ),
    "<k4>": ("V4 cathode", "V4 k", "V4 pin 1", "cathode V4", "V4 1"),
    "<b>": ("B-", "common", "HT-", "HT−", "b -", "B minus", "ht minus", "h.t.-"),
    "<c>": ("chassis", "ground", "earth", "gnd", "Chassis"),
}
"""Pins of the 50C5 and the 12AV6 as in the tube table (pins.csv, each with its source)."""

RECORD = f"""{SET}readings:
  sheet:
    to: <b>
    V4: plate 110, cathode 5.6, grid 0
    V3: plate 45
    B+2: 90
    B+1: 118
  2026-02-21 as found:
    to: <b>
    meter: 10 meg
    V4: plate 104, cathode 7.9, grid 5.2
    V3: plate 43.9
    B+2: 88
    B+1: 112
    <c>: 3.2
parts:
  C7:
    between: <a3>, <g4>
    was: 0.01 uF 400 V paper, leakage 38 uA at 200 V
    now: 10 nF 630 V film 5 %, leakage <0.1 uA at 400 V
    outside foil: <a3>
    fitted: 2026-03-01
  C12: keep, 40 uF 150 V electrolytic, between B+1 and <b>, positive B+1
  C13: now 22 uF 50 V electrolytic, was 10 uF 25 V electrolytic, between <k4> and <b>, positive <k4>
  C20: keep, 50 nF 400 V paper, between <b> and <c>
  R5: keep, 470 kohm, measured 480 kohm, between <a3> and B+2
  R6: keep, 470 kohm, measured 498 kohm, between <g4> and <b>
  R8: keep, 150 ohm, measured 156 ohm, between <k4> and <b>
  R9: keep, 1 kohm, between B+1 and B+2
  R10: keep, 330 kohm, between <b> and <c>
"""


def spelt(chosen: dict[str, str]) -> str:
    return re.sub(r"<\w+>", lambda match: chosen[match[0]], RECORD)


def findings_json(text: str) -> str:
    return json.dumps(as_record_json(makers.examined(text))["findings"], sort_keys=True)


FIRST = {mark: words[0] for mark, words in SPELLINGS.items()}


@cache
def expected() -> str:
    """What every spelling must come to."""
    return findings_json(spelt(FIRST))


def test_the_record_of_the_property_has_the_findings_that_places_decide() -> None:
    """38 uA at 200 V is 5.263 Mohm; 43.9 V over it and 498 kohm leave 3.795 V on the grid (Ohm's law, by hand)."""
    parts = makers.findings("parts", makers.bench(spelt(FIRST)))
    assert parts["C7"].was_on_grid.volts == pytest.approx(43.9 * 498e3 / (498e3 + 200 / 38e-6), rel=1e-6)
    readings = makers.findings("readings", makers.bench(spelt(FIRST)))
    assert next((s.tube, s.part) for s in readings.suggestions if s.tube == "V4") == ("V4", "C7")


@settings(max_examples=25)
@given(st.fixed_dictionaries({mark: st.sampled_from(words) for mark, words in SPELLINGS.items()}))
def test_the_same_record_in_other_words_has_the_same_findings(chosen: dict[str, str]) -> None:
    assert findings_json(spelt(chosen)) == expected()


@pytest.mark.parametrize(("mark", "word"), [(mark, word) for mark, words in SPELLINGS.items() for word in words])
def test_each_spelling_is_one_place_and_nothing_is_asked(mark: str, word: str) -> None:
    places = makers.circuit(SET).places
    assert places.read(word) == places.read(SPELLINGS[mark][0])
    assert places.read(word).name() == SPELLINGS[mark][0]
    slips = Slips(makers.FILE)
    place(makers.record(spelt({**FIRST, mark: word})), slips)
    assert slips.problems() == ()


@pytest.mark.parametrize("written", ["V4 grid: 5.2", "g1 V4: 5.2", "V4 pin 2: 5.2", "V4: grid 5.2", "50C5: g1 5.2"])
def test_a_reading_may_stand_under_its_place_or_under_its_tube(written: str) -> None:
    found = makers.findings("readings", makers.bench(f"{SET}readings:\n  as found:\n    {written}\n"))
    (row,) = found.rows
    assert (row.tube, row.electrode, row.measured_volts, row.verdict) == ("V4", "grid", 5.2, "positive grid")


@pytest.mark.parametrize(
    ("written", "kind"),
    [
        ("V3 plate", "plate"), ("V4 grid", "grid"), ("V2 screen", "screen"), ("V4 cathode", "cathode"),
        ("V1 osc grid", "grid"), ("V3 diode plate 1", "diode"), ("V5 cathode", "B+"), ("V5 plate", "AC"),
        ("B+1", "B+"), ("HT+", "B+"), ("B-", "B-"), ("B −", "B-"), ("chassis", "chassis"), ("ground", "chassis"),
        ("aerial socket", "socket"), ("AVC", "AVC"), ("hot", "line"), ("mains", "line"), ("neutral", "neutral"),
        ("return", "neutral"), ("volume", ""), ("loop", ""), ("HT winding", ""), ("B+ after the choke", "B+"),
    ],
)  # fmt: skip
def test_what_a_place_is(written: str, kind: str) -> None:
    assert makers.circuit(SET).places.read(written).kind == kind


@pytest.mark.parametrize(("one", "other"), [("B+1", "HT1"), ("B+1", "HT+1"), ("B+", "HT"), ("B plus 2", "B+2")])
def test_american_and_british_rails_are_one(one: str, other: str) -> None:
    places = makers.circuit(SET).places
    assert places.read(one) == places.read(other)
    assert places.read(one) != places.read("B+3")


def test_a_tube_that_is_not_in_the_table_is_read_by_its_words() -> None:
    places = makers.bench("tubes:\n  V1: XY99\n").circuit.places
    plate = places.read("V1 Anode")
    assert (plate.kind, plate.tube, plate.swings) == ("plate", "V1", True)
    assert plate == places.read("v1  plate")
    assert places.read("V1 pin 3").name() == "V1 pin 3"


def test_two_pins_of_a_heater_are_two_places() -> None:
    places = makers.circuit(SET).places
    assert places.read("V4 pin 3") != places.read("V4 pin 4")
    assert {places.read(f"V4 pin {pin}").electrode for pin in (3, 4)} == {"heater"}


@pytest.mark.parametrize(
    "parts",
    [
        "  R1: keep, 1 kohm, between aerial coil and node x\n  R2: keep, 1 kohm, between node x and B+1\n",
        "  C1: keep, 1 nF, between loop and aerial socket\n",
        "  T2: keep, between V1 plate and B+1\n  C1: keep, 1 nF, between T2 secondary and B-\n",
    ],
)
def test_names_of_the_writers_own(parts: str) -> None:
    slips = Slips(makers.FILE)
    place(makers.record(f"{SET}parts:\n{parts}"), slips)
    assert slips.problems() == ()


def test_a_reading_makes_a_name_a_place() -> None:
    parts = "parts:\n  R1: keep, 1 kohm, between node x and B+1\n"
    for readings, told in (("", 1), ("readings:\n  as found:\n    node x: 88\n", 0)):
        slips = Slips(makers.FILE)
        place(makers.record(f"{SET}{readings}{parts}"), slips)
        assert len(slips.problems()) == told


HALVES = "tubes:\n  V1: 12AX7\n  V6: EM34\n  V7: EBC41\n"


@pytest.mark.parametrize(
    ("written", "same"),
    [
        ("V1a anode", "V1 plate 1"),
        ("V1b anode", "V1 plate 2"),
        ("a2 V1", "V1 plate 2"),
        ("V1 anode I", "V1 plate 1"),
        ("V6 anode II", "V6 plate 2"),
        ("V6 Leuchtschirm", "V6 target"),
        ("Gitter V7", "V7 grid"),
        ("V7 Kathode", "V7 cathode"),
    ],
)
def test_halves_roman_numbers_and_german_electrodes(written: str, same: str) -> None:
    places = makers.bench(HALVES).circuit.places
    assert places.read(written) == places.read(same)
    assert places.read(written).known


@pytest.mark.parametrize(
    ("written", "tube", "key"),
    [
        ("75 plate", "V3", "a"),
        ("plate of 43", "V4", "a"),
        ("g2 43", "V4", "g2"),
        ("80 filament", "V5", "f"),
        ("75 1", "", "75 1"),
        ("43", "", "43"),
        ("43 volts", "", "43 volts"),
    ],
)
def test_a_type_that_is_a_number_names_a_tube_beside_an_electrode_only(written: str, tube: str, key: str) -> None:
    """“75 plate” was asked with itself as what may be meant, and twice in a record a point of that name."""
    place = makers.circuit("tubes:\n  V3: 75, det\n  V4: 43, output\n  V5: 80\n").places.read(written)
    assert (place.tube, place.key) == (tube, key)


@pytest.mark.parametrize(("one", "other"), [("V4 grid", "V4 g"), ("V4 pin 5", "V4 5"), ("B-", "common")])
@pytest.mark.parametrize("tubes", ["", "tubes:\n  V4: 50C5\n", "tubes:\n  V4: QX77\n"])
def test_one_place_in_two_spellings_is_asked_whatever_is_known_of_its_tube(tubes: str, one: str, other: str) -> None:
    slips = Slips(makers.FILE)
    place(makers.record(f"{tubes}wires:\n  - {one}, {other}\n"), slips)
    (told,) = (str(slip) for slip in slips.problems() if "again" in str(slip))
    assert f"“{other}”, which is “{one}” again" in told
