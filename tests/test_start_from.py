"""A record of the same chassis: what is taken over of another set's, what never is, and what hostile files come to."""

from __future__ import annotations

import json
import random
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

import makers
from benchleaf.chapters.examine import as_record_json
from benchleaf.chapters.parts.parts_list import as_csv
from benchleaf.cli import main
from benchleaf.record.mapping import as_mapping
from benchleaf.record.same_chassis.chassis import same_chassis
from benchleaf.record.same_chassis.given import Given
from full_record import WRITTEN
from hostile_text import HOSTILE
from sites import DEMO

SETS = sorted(path.parent for path in DEMO.glob("sets/*/record.yml"))
OF_THE_BENCH = {
    *("was", "now", "measured", "fitted", "checked", "tested", "ordered", "original", "why", "leakage", "ESR", "drain"),
    *("by", "owner", "serial", "year", "came_in", "finished", "summary", "advice", "aerial", "cabinet", "note", "date"),
    *("before", "after", "line_side", "changes", "faults", "power-up", "log", "photos", "results", "changed_tubes"),
}


def _start(given: Path, folder: Path, *options: str) -> tuple[int, str]:
    code = main(["start-from", str(given), str(folder), *options])
    file = folder / "record.yml"
    return code, file.read_text(encoding="utf-8") if file.exists() else ""


def _keys(node: Any) -> Iterator[str]:
    for key, value in node.items() if isinstance(node, dict) else ():
        yield key
        yield from _keys(value)
    for value in node if isinstance(node, list) else ():
        yield from _keys(value)


@pytest.mark.parametrize("set_", SETS, ids=lambda path: path.name)
def test_what_sets_of_one_chassis_share(set_: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    source = makers.record((set_ / "record.yml").read_bytes())
    (tmp_path / "record.json").write_text(json.dumps({**_PUBLISHED, "record": as_mapping(source)}), encoding="utf-8")
    code, text = _start(tmp_path / "record.json", tmp_path / "sets" / "one")
    assert (code, _start(set_ / "record.yml", tmp_path / "sets" / "two")) == (0, (0, text))
    assert f"# Started from the record of the {source.maker} {source.model}:" in text
    assert str(tmp_path) not in text
    capsys.readouterr()
    assert main(["check", str(tmp_path / "sets")]) == 0
    assert capsys.readouterr() == ("", "")
    taken, whole = as_mapping(makers.record(text)), as_mapping(source)
    assert OF_THE_BENCH & set(_keys(taken)) == set()
    same = ("maker", "model", "line", "power", "chassis", "bands", "gang", "IF_hertz", "chassis_number", "tubes")
    assert {key: taken.get(key) for key in same} == {key: whole.get(key) for key in same}
    assert taken.get("readings") == ({"sheet": whole["readings"]["sheet"]} if "sheet" in whole["readings"] else None)
    for winding in whole["heaters"].get("windings", {}).values():
        if winding.get("feeds") in whole["parts"]:
            del winding["feeds"]  # a dry rectifier is a part, of which the new record does not know what it is yet
    for winding in (one for of in (taken, whole) for one in of["heaters"].get("windings", {}).values()):
        winding["feeds"] = winding.get("feeds", "").replace(",", "")  # “all” is its tubes, with commas or without
    for key, value in whole["heaters"].items():
        assert key in ("measured", "mains_selector") or _without_the_bench(taken["heaters"][key]) == _without_the_bench(
            value
        )
    assert set(taken["parts"]) == set(whole["parts"])
    for name, part in whole["parts"].items():
        assert taken["parts"][name].get("between") == part.get("between")
        assert taken["parts"][name].get("job") == part.get("job")
        meant = (part.get("sheet") or part.get("was") or [{}])[0]
        sheet = taken["parts"][name].get("sheet", [{}])[0]
        for key in ("value_farads", "value_ohms", "volts", "tolerance", "type"):
            assert sheet.get(key) == meant.get(key)


_PUBLISHED = {"format": "benchleaf-record", "version": 1}


def _without_the_bench(node: Any) -> Any:
    """A piece of a mapping without what was read or noted of the one set."""
    if not isinstance(node, dict):
        return node
    kept = {k: v for k, v in node.items() if not re.match("measured|drain|emission|note", k)}
    return {key: _without_the_bench(value) for key, value in kept.items()}


MORE = """
IF: 468 kHz, 10.7 MHz
readings:
  published voltages:
    line: 117 V
    meter: 1 kohm/V on 300 V, 3 % of range
    V4: 5.9 0 x x 0 92.6 113
    V1: pin 5 plate 90, screen 85
    resistance:
      V4: plate 350, grid 470k
wires:
  - B+2, V1 screen
heaters:
  order: V1 beside V2, V4
  mains taps:
    110 V: 135 ohm
  ntc: cold 5500 ohm, hot 40 ohm
speaker: 3.2 ohm, ratio 45:1
"""


def test_what_a_whole_record_has_is_read_again() -> None:
    source = makers.record(WRITTEN + MORE)
    taken = makers.record(same_chassis(Given.of(as_mapping(source))))
    for key in ("readings", "wires", "speaker", "tubes"):
        without_notes = _without_the_bench(as_mapping(source)[key])
        without_notes = (
            {k: _without_the_bench(v) for k, v in without_notes.items()} if key == "tubes" else without_notes
        )
        assert as_mapping(taken)[key] == without_notes
    assert taken.second_if is not None
    assert taken.heaters is not None
    assert as_mapping(taken)["heaters"]["order"] == ["V1 beside V2", "V4"]
    assert [step.adjust for one in taken.alignment for step in one.steps] == [
        "T1 for maximum",
        "oscillator trimmer",
        "oscillator coil",
        "trimmer",
        "loop",
    ]


def test_a_tube_that_was_put_in_place_of_another_is_not_taken() -> None:
    record = makers.record("tubes:\n  V5: 35Z5GT, rectifier\nchanged tubes:\n  V5: was 35W4, now 35Z5GT\n")
    assert "V5: 35W4, rectifier" in same_chassis(Given.of(as_mapping(record)))


def test_names_given_count_and_nothing_is_written_over(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, text = _start(SETS[0] / "record.yml", tmp_path / "new", "--model", "B: C", "--maker", "A")
    assert (code, makers.record(text).model) == (0, "B: C")
    assert _start(SETS[1] / "record.yml", tmp_path / "new") == (2, text)
    assert _start(tmp_path / "none.yml", tmp_path / "other") == (2, "")
    assert _start(SETS[0] / "record.yml", tmp_path / "other", "--everything") == (2, "")
    assert "there is a record already" in capsys.readouterr().err


def test_a_published_parts_list(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    one = makers.examined("parts:\n  C1: was 50 nF 400 V paper, measured 70 nF, now 47 nF film\n")
    (tmp_path / "parts.csv").write_text(as_csv(one.record, one.findings["parts"]), encoding="utf-8", newline="")
    code, text = _start(tmp_path / "parts.csv", tmp_path / "regent-six")
    record = makers.record(text)
    assert (code, record.maker, record.model) == (0, "Unknown maker", "Regent six")
    assert str(record.parts["C1"].sheet[0].value.written) == "50 nF"  # type: ignore[index, union-attr]
    (tmp_path / "bad.csv").write_text("a,b\n")
    assert _start(tmp_path / "bad.csv", tmp_path / "other") == (1, "")
    assert not (tmp_path / "other").exists()
    assert "no column" in capsys.readouterr().err


def test_what_could_not_be_read_is_told_and_the_rest_taken(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "record.yml").write_text("maker: A\nmodel: B\nowner: Q. Secretly\nyeer: 1949\nIF: 455 kHz\n")
    code, text = _start(tmp_path / "record.yml", tmp_path / "new")
    said = capsys.readouterr().err
    assert (code, "IF: 455 kHz" in text) == (1, True)
    assert "record.yml:4:1" in said
    assert "Secretly" not in said + text


@pytest.mark.parametrize(
    "data",
    [b"", b"{", b"[1]", b"{}", b'{"format": "benchleaf-record", "version": 2}', b"[" * 90_000, b"\xff\xfe", b"\0"],
)
def test_what_is_no_record_is_told(data: bytes, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "record.json").write_bytes(data)
    assert _start(tmp_path / "record.json", tmp_path / "new") == (1, "")
    assert capsys.readouterr().err.startswith(f"{tmp_path / 'record.json'}:1:1: record.json: found ")
    assert not (tmp_path / "new").exists()


@pytest.mark.parametrize("seed", range(12))
def test_a_hostile_record_is_taken_as_text_or_not_at_all(seed: int, tmp_path: Path) -> None:
    chance = random.Random(seed)
    record = as_mapping(makers.record((SETS[seed % len(SETS)] / "record.yml").read_bytes()))
    odd = [None, True, -1e308, 10**400, [], {}, [[]], {"": {"": "x"}}, HOSTILE, "a: b\n- c # d\u2028\x00", "x" * 5000]

    def changed(node: Any) -> Any:
        if chance.random() < 0.08:
            return chance.choice(odd)
        if isinstance(node, dict):
            return {(HOSTILE if chance.random() < 0.03 else k): changed(v) for k, v in node.items()}
        return [changed(v) for v in node] if isinstance(node, list) else node

    (tmp_path / "record.json").write_text(json.dumps({**_PUBLISHED, "record": changed(record)}), encoding="utf-8")
    code, text = _start(tmp_path / "record.json", tmp_path / "new")
    assert code in (0, 1)
    assert all(line.isprintable() for line in text.split("\n"))
    assert not re.search(r"^ *(was|now|fitted|measured|by):", text, re.M)


def test_the_published_file_is_the_one_that_is_read() -> None:
    assert as_record_json(makers.examined())["version"] == _PUBLISHED["version"]
    assert as_record_json(makers.examined())["format"] == _PUBLISHED["format"]
