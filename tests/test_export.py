"""One record for other programs: with its findings, or its parts list."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import Any

import pytest

import bad_records
from benchleaf.cli.main import main

DEMO = Path(__file__).parents[1] / "site_src" / "sets" / "larkfield-minuet-5"


def exported(capsys: pytest.CaptureFixture[str], *arguments: str) -> Any:
    assert main(["export", *arguments]) == 0
    said = capsys.readouterr()
    assert said.err == ""
    return said.out


def test_export_writes_record_and_findings_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    data = json.loads(exported(capsys, str(DEMO)))
    assert (data["format"], data["version"]) == ("benchleaf-record", 1)
    assert data["record"]["maker"] == "Larkfield"
    assert "serial" not in data["record"]
    assert "owner" not in data["record"]
    assert data["findings"]["heaters"]["arrangement"] == "series"
    # 12BE6, 12BA6, 12AV6 at 12.6 V, 50C5 at 50 V, 35W4 at 35 V: the sum the contract prints.
    assert data["findings"]["heaters"]["rated_sum_volts"] == pytest.approx(122.8)


def test_export_writes_the_parts_list_as_csv(capsys: pytest.CaptureFixture[str]) -> None:
    rows = list(csv.DictReader(io.StringIO(exported(capsys, str(DEMO), "--to", "csv"))))
    assert "C7" in {row["part"] for row in rows}


def test_export_of_a_record_alone_or_of_its_folder_is_the_same(capsys: pytest.CaptureFixture[str]) -> None:
    assert exported(capsys, str(DEMO)) == exported(capsys, str(DEMO / "record.yml"))


def test_export_of_many_records_is_exit_2(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    bad_records.make_sets(tmp_path)
    assert main(["export", str(tmp_path)]) == 2
    assert capsys.readouterr() == (
        "",
        f"{tmp_path}: 3 records in this folder; name one of them, or write “--to jsonl”\n",
    )


def test_a_record_that_is_held_back_is_said_to_be(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    record = tmp_path / "record.yml"
    record.write_text("maker: A\nmodel: B\nowner: Jan: x\n", encoding="utf-8")
    assert main(["export", str(record)]) == 1
    told = capsys.readouterr()
    assert told.out == ""
    assert "nothing is written out before this is mended" in told.err
    assert "Jan" not in told.err
