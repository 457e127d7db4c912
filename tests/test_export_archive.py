"""All sets of a folder as lists, lines and a database, for other programs."""

from __future__ import annotations

import csv
import io
import json
import os
import sqlite3
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from benchleaf.archive.whole_archive import TABLES, column_names
from benchleaf.cli.main import main

GOOD = """maker: Larkfield
model: Minuet 5
serial: 40417
owner: a neighbour
member: R. Alder
finished: 2026-03-28
line: 120 V 60 Hz
tubes:
  V4: 50C5 output
  V5: 35W4 rectifier
parts:
  C7: 10 nF 400 V paper, measured 13.6 nF, now 10 nF 630 V film, fitted 2026-03-01, why leaky
  R8: keep, 150 ohm
readings:
  sheet:
    V4: plate 110, cathode 5.6
  2026-03-04:
    V4: plate 99.5, cathode 5.1
faults:
  - complaint: "=hum"
    found: C7
    cause: C7, leaky
"""


@pytest.fixture
def sets(tmp_path: Path) -> Path:
    folder = tmp_path / "sets"
    for name, text in (("a", GOOD), ("north-branch/b", GOOD.replace("Minuet 5", "Minuet 6")), ("c", "maker: [\n")):
        (folder / name).mkdir(parents=True)
        (folder / name / "record.yml").write_text(text, encoding="utf-8")
    return folder


def put(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    """What a command writes; one of the three records cannot be read, which is exit status 1."""
    assert main(["export", *arguments]) == 1
    return capsys.readouterr().out


def rows(text: str, parted_by: str = ",") -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text), delimiter=parted_by))


def test_every_set_has_its_row_the_unreadable_too(sets: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = rows(put(capsys, str(sets), "--to", "csv"))
    assert [row["set"] for row in found] == ["a", "c", "north-branch/b"]
    good, bad, _ = found
    assert (good["member"], good["called"]) == ("R. Alder", "")
    assert (good["maker"], good["line (V)"], good["tubes"], good["finished"]) == (
        "Larkfield",
        "120",
        "50C5 35W4",
        "2026-03-28",
    )
    assert (good["complaint"], good["cause"]) == ("'=hum", "C7, leaky"), (
        "what a spreadsheet takes for a formula is none"
    )
    assert set(bad.values()) <= {"c", "", "0"}


def test_parts_and_readings_name_their_set(sets: Path, capsys: pytest.CaptureFixture[str]) -> None:
    parts = rows(put(capsys, str(sets), "--to", "csv", "--list", "parts"))
    assert [(row["set"], row["part"], row["found measured"]) for row in parts[:2]] == [
        ("a", "C7", "13.6"),
        ("a", "R8", ""),
    ]
    comma = put(capsys, str(sets), "--to", "csv", "--list", "readings", "--decimals", "comma")
    readings = rows(comma, ";")
    assert {row["set"] for row in readings} == {"a", "north-branch/b"}
    assert ("V4", "plate", "99,5", "110") in {
        (row["tube"], row["electrode"], row["measured (V)"], row["expected (V)"]) for row in readings
    }


def test_a_line_of_json_is_a_set(sets: Path, capsys: pytest.CaptureFixture[str]) -> None:
    told = [json.loads(line) for line in put(capsys, str(sets), "--to", "jsonl").splitlines()]
    assert [one["set"] for one in told] == ["a", "c", "north-branch/b"]
    assert told[0]["record"]["model"] == "Minuet 5"
    assert told[0]["findings"]["parts"]["C7"]["was_drift"] == pytest.approx(0.36)


def test_a_database_holds_the_same_three_lists(sets: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "archive.sqlite"
    for _ in range(2):  # the second takes the first one's place
        assert put(capsys, str(sets), "--to", "sqlite", "--out", str(file)) == ""
    with sqlite3.connect(file) as database:
        database.execute("PRAGMA foreign_keys = ON")
        assert database.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert database.execute("PRAGMA foreign_key_check").fetchall() == []
        assert {name for (name,) in database.execute("SELECT name FROM sqlite_master WHERE type = 'table'")} == {
            *TABLES
        }
        asked = "SELECT measured_v, expected_v, typeof(measured_v) FROM readings WHERE electrode = 'plate' LIMIT 1"
        assert database.execute(asked).fetchall() == [(99.5, 110.0, "real")]
        assert database.execute("SELECT count(*) FROM parts WHERE why = 'leaky'").fetchone() == (2,)
        assert database.execute("SELECT complaint FROM sets WHERE \"set\" = 'a'").fetchone() == ("=hum",)


def test_datasette_opens_the_database_as_it_is(sets: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "archive.sqlite"
    put(capsys, str(sets), "--to", "sqlite", "--out", str(file))

    def asked(address: str) -> Any:
        """What its server answers, without a server."""
        call = [sys.executable, "-W", "ignore", "-m", "datasette", str(file), "--get", address]
        return json.loads(subprocess.run(call, capture_output=True, text=True, check=True, timeout=120).stdout)

    (database,) = [one for one in asked("/.json").values() if one["name"] == "archive"]
    assert database["tables_count"] == len(TABLES)
    leaky = asked("/archive/parts.json?_shape=array&why=leaky&_labels=on")
    assert [(one["set"]["value"], one["part"], one["found_measured"]) for one in leaky] == [
        ("a", "C7", 13.6),
        ("north-branch/b", "C7", 13.6),
    ]


@pytest.mark.parametrize("to", [["csv"], ["csv", "--list", "parts"], ["jsonl"], ["sqlite"]], ids=str)
def test_nothing_private_goes_out(
    to: list[str], sets: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "archive.sqlite"
    said = put(capsys, str(sets), "--to", *to, *(["--out", str(file)] if to == ["sqlite"] else []))
    whole = said.encode() + (file.read_bytes() if file.exists() else b"")
    assert b"40417" not in whole
    assert b"a neighbour" not in whole


@pytest.mark.parametrize("there", ["text", "link", "pipe", "folder"])
def test_what_is_no_database_is_left_alone(
    there: str, sets: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file, other = tmp_path / "archive.sqlite", tmp_path / "mine.txt"
    other.write_text("mine")
    if there == "text":
        file.write_text("mine")
    elif there == "link":
        file.symlink_to(other)
    elif there == "pipe":
        os.mkfifo(file)
    else:
        file.mkdir()
    assert main(["export", str(sets), "--to", "sqlite", "--out", str(file)]) == 2
    assert "something else is there already" in capsys.readouterr().err
    assert other.read_text() == "mine"
    assert not list(tmp_path.glob("*.part"))


@pytest.mark.parametrize(
    "arguments",
    [["--to", "sqlite"], ["--out", "x"], ["--list", "parts"], ["--to", "sqlite", "--out", "no-such-folder/x.sqlite"]],
    ids=" ".join,
)
def test_a_call_that_is_off_is_told(arguments: list[str], sets: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["export", str(sets), *arguments]) == 2
    assert capsys.readouterr().out == ""


def test_a_column_has_its_unit_in_its_name() -> None:
    assert column_names(["found rating (V)", "now drift (%)", "set"]) == ["found_rating_v", "now_drift_percent", "set"]


def test_a_draft_stays_one_in_every_list(sets: Path, capsys: pytest.CaptureFixture[str]) -> None:
    config = "draft_docs: sets/a/\nexclude_docs: sets/north-branch/\nplugins: [{benchleaf: {sets: ../sets}}]\n"
    (sets.parent / "mkdocs.yml").write_text(config, encoding="utf-8")
    drafts = {row["set"]: row["draft"] for row in rows(put(capsys, str(sets), "--to", "csv"))}
    assert drafts == {"a": "yes", "north-branch/b": "yes", "c": ""}
    for more in (["--to", "csv", "--list", "parts"], ["--to", "jsonl"]):
        assert main(["export", str(sets), *more]) == 1
        said = capsys.readouterr()
        assert "drafts, which the site does not publish: a, north-branch/b\n" in said.err
    assert [json.loads(line).get("draft") for line in said.out.splitlines()] == [True, None, True]
    file = sets.parent / "x.sqlite"
    put(capsys, str(sets), "--to", "sqlite", "--out", str(file))
    with sqlite3.connect(file) as database:
        assert dict(database.execute('SELECT "set", draft FROM sets')) == {
            "a": "yes",
            "north-branch/b": "yes",
            "c": None,
        }
    database.close()
