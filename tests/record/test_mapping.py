"""A record written out: for other programs in SI, for the next restorer as its own lines."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
import yaml

import makers
from benchleaf.record.kinds import ROWS
from benchleaf.record.mapping import as_mapping, as_yaml
from benchleaf.record.model import Record
from benchleaf.record.reader import decode, read_tree

DEMO = sorted((Path(__file__).parents[2] / "site_src" / "sets").glob("*/record.yml"))
HEAD = "maker: Larkfield\nmodel: Minuet 5\n"


def mapping(text: str) -> dict[str, Any]:
    written = as_mapping(makers.record(HEAD + text))
    for key in ("format", "maker", "model"):
        del written[key]
    return written


def public_yaml(data: bytes) -> str:
    tree, _ = read_tree(decode(data, "")[0], "")
    assert tree is not None
    return as_yaml(tree, Record.PRIVATE)


def test_no_two_units_end_a_key_alike() -> None:
    assert len({row.in_key for row in ROWS}) == len(ROWS)


def test_quantities_are_in_si_with_the_unit_in_the_key() -> None:
    assert mapping("IF: 455 kc\nline: 120 V 60 Hz") == {
        "IF_hertz": 455_000.0,
        "IF_written": "455 kc",
        "line": {"volts": 120.0, "volts_written": "120 V", "frequency_hertz": 60.0, "frequency_written": "60 Hz"},
    }


def test_a_key_that_says_its_unit_is_not_made_to_say_it_twice() -> None:
    written = mapping("heaters:\n  dropper: resistor 170 ohm 30 W")["heaters"]["dropper"]
    assert written == {
        "kind": "resistor",
        "ohms": 170.0,
        "ohms_written": "170 ohm",
        "watts": 30.0,
        "watts_written": "30 W",
    }


def test_bounds_ranges_and_marks_are_kept() -> None:
    assert mapping("heaters:\n  measured:\n    V1: <0.1 V\n    V2: 6-7 V\n    V3: 12 V AC")["heaters"]["measured"] == {
        "V1_volts": 0.1,
        "V1_written": "<0.1 V",
        "V1_qualifier": "lt",
        "V2_volts": None,
        "V2_written": "6-7 V",
        "V2_qualifier": "range",
        "V2_low_volts": 6.0,
        "V2_high_volts": 7.0,
        "V3_volts": 12.0,
        "V3_written": "12 V AC",
        "V3_mark": "ac",
    }


def test_a_ratio_has_no_unit() -> None:
    written = mapping("changed tubes:\n  V4: was 50C5 at 61 % emission")["changed_tubes"]["V4"]["was"]
    assert written == {"type": "50C5", "emission": 0.61, "emission_written": "61 %"}


def test_a_reading_that_was_not_taken_has_no_value() -> None:
    assert mapping("readings:\n  a:\n    V1: 5.9 x")["readings"]["a"]["V1"] == [
        {"at": "1", "value_volts": 5.9, "value_written": "5.9"},
        {"at": "2"},
    ]


def test_keys_of_the_writer_stay_as_written() -> None:
    assert list(mapping("results:\n  hum at the speaker: before 38 mV")["results"]) == ["hum at the speaker"]


def test_private_fields_are_left_out() -> None:
    assert mapping("serial: 40417\nowner: a neighbour\nyear: 1949") == {"year": "1949"}


def test_dates_are_iso_dates() -> None:
    assert mapping("came in: 2026-2-1") == {"came_in": "2026-02-01"}


@pytest.mark.parametrize("path", DEMO, ids=[p.parent.name for p in DEMO])
def test_demo_records_are_plain_json(path: Path) -> None:
    text = json.dumps(as_mapping(makers.record(path.read_bytes())), allow_nan=False)
    assert "serial" not in json.loads(text)


@pytest.mark.parametrize("path", DEMO, ids=[p.parent.name for p in DEMO])
def test_public_yaml_is_the_same_record_without_private_fields(path: Path) -> None:
    text = public_yaml(path.read_bytes())
    assert as_mapping(makers.record(text)) == as_mapping(makers.record(path.read_bytes()))
    for key in Record.PRIVATE:
        assert f"\n{key}:" not in text
    assert "#" not in text


def test_private_fields_are_left_out_in_any_capitals() -> None:
    text = public_yaml((HEAD + "Serial: 1\nOWNER: me\nyear: 1949\n").encode())
    assert yaml.safe_load(text) == {"maker": "Larkfield", "model": "Minuet 5", "year": "1949"}


def test_public_yaml_keeps_text_that_other_readers_would_take_for_something_else() -> None:
    text = (
        HEAD + "note: 'no'\nyear: 1949\ncabinet: '#47: \"x\"'\nadvice: 12:30\nnameplate: 2026-01-01\nby: |\n  a\n  b\n"
    )
    other_reader = yaml.safe_load(public_yaml(text.encode()))
    assert other_reader["note"] == "no"
    assert other_reader["year"] == "1949"
    assert other_reader["cabinet"] == '#47: "x"'
    assert other_reader["by"] == "a\nb\n"
    assert as_mapping(makers.record(public_yaml(text.encode()))) == as_mapping(makers.record(text))


def test_a_turns_ratio_is_a_result_with_to_one_in_its_key() -> None:
    assert mapping("results:\n  output transformer: before 39:1, sheet 45 to 1")["results"] == {
        "output transformer": {
            "before_to_one": 39.0,
            "before_written": "39:1",
            "sheet_to_one": 45.0,
            "sheet_written": "45 to 1",
        }
    }
