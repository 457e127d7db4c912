"""Designations as people write them, and the tube they mean."""

from __future__ import annotations

import time
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.tubes import all_types, described, find, nearest
from benchleaf.tubes.lookup import find as find_cached
from benchleaf.tubes.tables import name_rows

WRITTEN = [
    ("50L6", "50L6GT", "version"),
    ("50L6GT", "50L6GT", "type"),
    ("50l6-gt", "50L6GT", "type"),
    (" 50 L6 GT ", "50L6GT", "type"),
    ("6V6", "6V6GT", "version"),
    ("6V6GT/G", "6V6GT", "type"),
    ("6V6GTA", "6V6GT", "version"),
    ("5Y3", "5Y3GT", "version"),
    ("5Y3WGTA", "5Y3GT", "version"),
    ("25L6", "25L6GT", "version"),
    ("25Z6", "25Z6GT", "version"),
    ("12SA7", "12SA7", "type"),
    ("12SA7GT/G", "12SA7GT", "type"),
    ("6A8G", "6A8", "version"),
    ("12AX7A", "12AX7", "version"),
    ("ECC83", "12AX7", "equivalent"),
    ("ecc 83", "12AX7", "equivalent"),
    ("12AX7/ECC83", "12AX7", "type"),
    ("6BQ5", "EL84", "equivalent"),
    ("DK91", "1R5", "equivalent"),
    ("HBC90", "12AT6", "equivalent"),
    ("HL92", "50C5", "equivalent"),
    ("HY90", "35W4", "equivalent"),
    ("GZ34", "5AR4", "equivalent"),
    ("6U5/6G5", "6U5", "type"),
    ("6G5", "6U5", "other printed name"),
    ("80", "80", "type"),
    ("type 80", "80", "type"),
    ("#80", "80", "type"),
    ("UX-280", "80", "earlier name"),
    ("380", "80", "earlier name"),
    ("224-A", "24A", "earlier name"),
    ("UX-201-A", "01A", "other printed name"),
    ("43", "43", "type"),
    ("75", "75", "type"),
    ("35/51", "35", "type"),
    ("117L7/M7GT", "117L7GT", "version"),
]


@pytest.mark.parametrize(("written", "type_", "relation"), WRITTEN)
def test_designation_as_written(written: str, type_: str, relation: str) -> None:
    tube = find(written)
    assert tube is not None
    assert (tube.type, tube.asked_as) == (type_, relation)
    assert tube.asked == written.strip()


@pytest.mark.parametrize(
    ("one", "other"),
    [("6A7", "6A8"), ("6K6", "6K7"), ("6X4", "6X5"), ("25Z5", "25Z6"), ("6BE6", "12BE6"), ("6L6G", "6L6GC")],
)
def test_numbers_that_differ_by_one_figure_stay_apart(one: str, other: str) -> None:
    first, second = find(one), find(other)
    assert first is not None
    assert second is not None
    assert first.type != second.type
    assert first.type.startswith(one)
    assert second.type.startswith(other)


@pytest.mark.parametrize(
    "written", ["", " ", "/", "6A7GT", "80A", "275", "12AX", "E80CC", "12BE", "6", "A" * 10_000, "５０Ｌ６", "\x00"]
)
def test_what_is_no_designation_of_the_table_is_not_bent_to_one(written: str) -> None:
    assert find(written) is None


def test_every_type_and_every_other_name_finds_its_own_row() -> None:
    for type_ in all_types():
        tube = find(type_)
        assert tube is not None
        assert (tube.type, tube.asked_as) == (type_, "type")
    for name, row in name_rows().items():
        tube = find(name)
        assert tube is not None
        assert (tube.type, tube.asked_as) == (row["type"], row["relation"])


def test_equivalents_carry_their_source() -> None:
    tube = find("12AX7")
    assert tube is not None
    assert {other.name for other in tube.equivalents} >= {"ECC83", "7025"}
    assert all(other.source.title for other in tube.equivalents)


@pytest.mark.parametrize(
    ("written", "meant"),
    [("12BE5", "12BE6"), ("50C6", "50C5"), ("35W5", "35W4"), ("EFC81", "ECH81"), ("UCH43", "UCH42")],
)
def test_nearest_names_for_the_message(written: str, meant: str) -> None:
    offered = nearest(written)
    assert 1 <= len(offered) <= 3
    assert meant in nearest(written, n=8)


def test_nearest_of_nothing_like_a_tube_is_empty() -> None:
    assert nearest("@@@@") == []


@pytest.mark.parametrize(
    ("written", "type_"),
    [("39/44", "39"), ("80/5Z3", "80"), ("IW4/350", "IW4/350"), ("IW9/350", None), ("XX1/80", None)],
)
def test_a_number_behind_a_slash_is_a_type_beside_a_number_alone(written: str, type_: str | None) -> None:
    """An IW4/350 was read as the 350, an earlier name of the 50: an output triode for a rectifier."""
    found = find(written)
    assert (found and found.type) == type_


@given(st.text(max_size=60))
def test_hostile_text_never_raises(written: str) -> None:
    tube = find(written)
    assert tube is None or tube.type in all_types()
    assert len(nearest(written)) <= 3


def test_the_required_common_types_are_there_with_heater_base_role() -> None:
    with_pins = (
        "12BE6 12BA6 12AV6 50C5 35W4 12AT6 50B5 35B5 12SA7 12SK7 12SQ7 50L6GT 35L6GT 35Z5GT 25L6 25Z6 6A7 6D6 75 43 "
        "25Z5 6BE6 6BA6 6AV6 6AQ5 6X4 5Y3GT 6V6GT 6SA7 6SK7 6SQ7 80 2A3 6F6 6K7 6A8 6Q7 6X5GT 1R5 1T4 1S5 3S4 3V4 "
        "1U4 1U5 UCH42 UF41 UBC41 UL41 UY41 UCH81 UF89 UABC80 UBF89 UL84 UY85 UCL82 UY82 ECH42 EF41 EBC41 EL41 "
        "EZ40 ECH81 EF89 EBF89 EABC80 EL84 EZ80 EZ81 ECC83 ECC82 ECC81 ECC85 PCL82 6E5 6U5"
    )
    for name in with_pins.split():
        tube = find(name)
        assert tube is not None, name
        assert tube.pin_rows, name
    without_pins = "117Z3 EM80 EM84 UCH21 UBL21 UY1N CBL1 CY2 CF3 CK1 AL4 AZ1 EBL21 ECH21"
    for name in without_pins.split():
        assert find(name) is not None, name


def test_the_record_may_describe_a_tube_of_its_own() -> None:
    tube = described(
        "XX1", 7.2, 0.2, base="B7", role="output pentode", pins={4: "h", 5: "h", 2: "g1", 7: "a", 3: "g2", 6: "k"}
    )
    assert (tube.type, tube.asked_as, tube.base) == ("XX1", "described", "B7")
    assert tube.heater.source == "the record itself"
    assert tube.heater.watts == pytest.approx(1.44)
    assert [section.electrodes for section in tube.sections] == [("a", "g1", "g2", "k")]
    assert described("XX2", 2, 0.1).pins == {}


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ({"heater_volts": 0, "heater_amps": 0.1}, "above zero"),
        ({"heater_volts": float("nan"), "heater_amps": 0.1}, "above zero"),
        ({"heater_volts": 6.3, "heater_amps": 0.1, "base": "octopus"}, "octal"),
        ({"heater_volts": 6.3, "heater_amps": 0.1, "role": "loudspeaker"}, "output pentode"),
        ({"heater_volts": 6.3, "heater_amps": 0.1, "base": "octal", "pins": {9: "a"}}, "1 to 8"),
    ],
)
def test_a_described_tube_that_cannot_be_says_what_was_expected(arguments: dict[str, Any], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        described("XX1", **arguments)


def test_looking_up_a_whole_set_is_quick() -> None:
    find_cached.cache_clear()
    began = time.process_time()
    for name in ("12BE6", "12BA6", "12AV6", "50C5", "35W4") * 20:
        find(name)
    assert time.process_time() - began < 0.2
