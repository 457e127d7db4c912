"""`benchleaf readings`: from a spreadsheet to the lines of a record."""

from __future__ import annotations

import argparse
from pathlib import Path

import pytest

import makers
from benchleaf.cli.main import main
from benchleaf.cli.readings import add_to, section
from benchleaf.cli.status import CLEAN, PROBLEMS, USAGE
from benchleaf.record.spreadsheet import read_spreadsheet


def call(*arguments: str) -> int:
    parser = argparse.ArgumentParser()
    add_to(parser.add_subparsers(dest="command"))
    given = parser.parse_args(["readings", *arguments])
    result: int = given.run(given)
    return result


def test_a_european_spreadsheet_becomes_a_section(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Semicolons, decimal comma, byte-order mark, headings in words, pin and electrode."""
    file = tmp_path / "after.csv"
    file.write_bytes("\ufeffValve;Pin;Electrode;Volts\r\nV3;7;plate;44,2\r\nV4;6;;92,4\r\nB+1;;;121\r\n".encode())
    assert call(str(file), "--name", "2026-03-28 finished") == CLEAN
    out = capsys.readouterr()
    assert out.out == (
        "readings:\n  2026-03-28 finished:\n    V3: pin 7 plate 44,2\n    V4: pin 6 92,4\n    B+1: 121\n"
    )
    assert out.err == ""


def test_what_comes_out_is_read_as_it_went_in() -> None:
    data = b'tube,electrode,volts\nV3,plate,44.2\nV4,screen,"<1"\nV4,heater,50 AC\nV4,plate,x\nB+1,,121\n'
    points, problems = read_spreadsheet(data, "r.csv")
    assert problems == []
    text = "maker: L\nmodel: M\n" + section(points, "as found")
    record = makers.record(text)
    run = record.readings["as found"]
    again = {(str(p), str(r.at), r.value and r.value.si) for p, rows in run.points.items() for r in rows}
    assert again == {(str(p), str(r.at), r.value and r.value.si) for p, rows in points.items() for r in rows}


def test_a_refused_row_is_named_by_its_line_and_the_others_stay(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "r.csv"
    file.write_text("tube,electrode,volts\nV3,plate,44\nV3,grid,nine\n")
    assert call(str(file)) == PROBLEMS
    out = capsys.readouterr()
    assert "r.csv:3:" in out.err
    assert "nine" in out.err
    assert "V3: plate 44" in out.out


def test_unicode_text_is_read_and_a_missing_file_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "r.txt"
    file.write_bytes("valve\tV\nHT+\t121,5\n".encode("utf-16"))
    assert call(str(file)) == CLEAN
    assert capsys.readouterr().out == "readings:\n  r:\n    HT+: 121,5\n"
    assert call(str(tmp_path / "none.csv")) == USAGE


def test_a_name_that_yaml_would_read_otherwise_is_quoted() -> None:
    points, _ = read_spreadsheet(b"tube,electrode,volts\nno: #1,plate,44\n", "r.csv")
    text = section(points, "yes: &x")
    assert '"yes: &x":' in text
    assert '"no: #1":' in text


def test_remarks_become_the_note_of_the_list(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "r.csv").write_text("Tube,Pin,Element,Volts,Remarks\nV3,6,plate,48,jumpy\nB+,,,118,at filter can\n")
    assert main(["readings", str(tmp_path / "r.csv")]) == 0
    said = capsys.readouterr()
    expected = (
        'readings:\n  r:\n    note: "V3 pin 6 plate: jumpy; B+: at filter can"\n    V3: pin 6 plate 48\n    B+: 118\n'
    )
    assert (said.out, said.err) == (expected, "")
