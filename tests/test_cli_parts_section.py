"""`benchleaf parts`: from a parts list in a spreadsheet to the lines of a record."""

from __future__ import annotations

import io
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import makers
from benchleaf.chapters.parts.parts_list import as_csv
from benchleaf.cli.main import main
from benchleaf.cli.parts_section import section
from benchleaf.record.manner import AMERICAN_SITE
from benchleaf.record.mapping import as_mapping
from benchleaf.record.parts_spreadsheet import read_parts_spreadsheet
from benchleaf.words.decimal_sign import decimals_behind
from sites import REPO

TYPED = """\
My Minuet;;;;;;;;;;;
Part;Job;Value (uF);Volts;Kind;Tol;Meas.;From;To;Now;Notes;Fitted
C7;coupling;0,01;400;paper;20;0,0136 uF;V3 plate;V4 grid;"10 nF 630 V film, measured 9,9 nF";"a ""b"": y";2026-03-01
C9;;0,05;400;wax paper;;;;;;;
R6;;470 kohm;;;20;498 kohm;;;;;
"""
SECTION = """\
parts:
  C7:
    job: coupling
    between: V3 plate, V4 grid
    was: 0,01 uF 400 V 20 % paper, measured 0,0136 uF
    now: 10 nF 630 V film, measured 9,9 nF
    fitted: 2026-03-01
    note: "a \\"b\\": y"
  C9:
    was: 0,05 uF 400 V wax paper
  R6:
    was: 470 kohm 20 %, measured 498 kohm
"""


def parts_of(data: bytes, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> tuple[int, str, str]:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(data)))
    code = main(["parts", "-"])
    said = capsys.readouterr()
    return code, said.out, said.err


def test_columns_named_in_words_become_a_section(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert parts_of(TYPED.encode("cp1252"), capsys, monkeypatch) == (0, SECTION, "")
    record = makers.record(SECTION)
    assert [str(name) for name in record.parts] == ["C7", "C9", "R6"]
    c7 = record.parts["C7"]  # type: ignore[index]
    assert (c7.was[0].value.si, c7.was[0].measured.si, c7.now[0].measured.si) == (1e-8, 1.36e-8, 9.9e-9)
    assert c7.was[0].tolerance.si == 0.2


@pytest.mark.parametrize("command", ["readings", "parts"])
def test_the_examples_of_the_documentation_do_what_they_say(
    command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    page = (REPO / "site_src" / "writing" / "commands.md").read_text(encoding="utf-8")
    until = r"((?:(?!```).)*)```"
    typed = rf"```csv\n{until}\n\n```console\n\$ benchleaf ({command} (\S+)[^\n]*)\n{until}"
    example = re.search(typed, page, re.S)
    assert example is not None
    monkeypatch.chdir(tmp_path)
    Path(example[3]).write_text(example[1], encoding="utf-8")
    assert main(shlex.split(example[2])) == 0
    assert capsys.readouterr() == (example[4], "")


def test_what_cannot_be_read_is_told_at_its_cell_and_the_others_stay(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    rows = "part,value,was,measured,weather,from,reference\nC7,,10 nF,,wet,\nR1,,4.7 florin,,,\nC7,,,,,\n"
    rows += ",,1 kohm,,,\nR2,,1 kohm,,,B+1\n"
    code, out, err = parts_of(rows.encode(), capsys, monkeypatch)
    left = '  R1:\n    note: "not read: was “4.7 florin”"\n  R2:\n    was: 1 kohm\n    note: "not read: from “B+1”"\n'
    assert (code, out) == (1, f"parts:\n  C7:\n    was: 10 nF\n{left}")
    assert [line.partition("; expected")[0] for line in err.splitlines()] == [
        "<stdin>:1:25: found the heading “weather”",
        "<stdin>:1:38: found the heading “reference” for a second column",
        "<stdin>:3:5: R1.was.value: found “4.7”",
        "<stdin>:4:1: C7: found “C7” a second time (first on line 2)",
        "<stdin>:5:1: found a row without a part's name",
        "<stdin>:6:14: R2.between: found a list",
    ]
    assert parts_of(b"C7,10 nF\n", capsys, monkeypatch)[2].startswith("<stdin>:1:1: found no row of headings; expected")
    assert main(["parts", "nowhere.csv"]) == 2


@pytest.mark.parametrize("sign", ["point", "comma"])
def test_a_published_list_gives_the_same_parts(
    sign: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    demo = REPO / "site_src" / "sets" / "larkfield-minuet-5" / "record.yml"
    record = makers.record(demo.read_bytes())
    with decimals_behind(sign):
        published = as_csv(record, makers.findings("parts", record))
        code, out, err = parts_of(published.encode(), capsys, monkeypatch)
        assert (code, err) == (0, "")
        kept = demo.read_text(encoding="utf-8").partition("\nparts:\n")
        again = makers.record(f"{kept[0]}\n{out}\n{kept[2].partition(chr(10) * 2)[2]}")
        assert list(again.parts) == list(record.parts)
        assert as_csv(again, makers.findings("parts", again)) == published


def test_real_files_of_a_spreadsheet_program(tmp_path: Path) -> None:
    """Gnumeric saves one table as UTF-8 with commas, as Windows-1252 with semicolons, and as Unicode text with tabs."""
    table = 'part,value,volts,measured,note\nC7,0.01 µF,400,0.0136 µF,"leaky,\nwet"\nR6,470 kohm,,498.5 kohm,\n'
    (tmp_path / "in.csv").write_text(table, encoding="utf-8")
    stf = ("-T", "Gnumeric_stf:stf_assistant", "-O")
    for command in (
        ("in.csv", "table.xlsx"),
        ("table.xlsx", "commas.csv"),
        (*stf, "separator=';' charset=CP1252 eol=windows", "table.xlsx", "windows.csv"),
        (*stf, "separator='\t' charset=UTF-16 eol=windows", "table.xlsx", "unicode.txt"),
    ):
        subprocess.run(["ssconvert", *command], cwd=tmp_path, check=True, capture_output=True)
    for name in ("commas.csv", "windows.csv", "unicode.txt"):
        parts, problems = read_parts_spreadsheet((tmp_path / name).read_bytes(), name, AMERICAN_SITE)
        assert problems == []
        assert [(p.name, p.written) for p in parts] == [
            ("C7", {"was": "0.01 µF 400 V, measured 0.0136 µF", "note": "leaky, wet"}),
            ("R6", {"was": "470 kohm, measured 498.5 kohm"}),
        ]


CELL = st.sampled_from(
    ["", "10 nF", ".05", "400", "now 1 kohm, was 2", "leaky; x: y #1", "V3 plate", '"q"', "'a", "-", "x\ny"]
)


@settings(max_examples=20)
@given(rows=st.lists(st.lists(CELL, min_size=7, max_size=7), max_size=4), sign=st.sampled_from(",;\t"))
def test_what_is_printed_reads_as_the_cells_did(rows: list[list[str]], sign: str) -> None:
    """Whatever stands in a cell, it becomes no name, no second part and no comment."""
    table = [
        ["part", "job", "value", "volts", "now", "why", "note"],
        *([f"C{n}", *row[1:]] for n, row in enumerate(rows)),
    ]
    quoted = "\n".join(sign.join('"' + cell.replace('"', '""') + '"' for cell in row) for row in table)
    parts, _ = read_parts_spreadsheet(quoted.encode(), "p.csv", AMERICAN_SITE)
    again = makers.record(section(parts)) if parts else None
    assert {p.name: as_mapping(p.part) for p in parts} == {
        str(name): as_mapping(part) for name, part in (again.parts.items() if again else ())
    }


def test_farads_below_volts_are_asked() -> None:
    """“400” and “10 nF” in one row were two values of one part, 400 microfarads the first."""
    table = "part,value,volts,watts\nC3,400,10 nF,\nR4,470,,2 V\n"
    parts, problems = read_parts_spreadsheet(table.encode(), "p.csv", AMERICAN_SITE)
    told = [str(problem) for problem in problems]
    assert any("found “10 nF”, a capacitance; expected a voltage below that heading" in one for one in told)
    assert any("found “2 V”, a voltage; expected a power below that heading" in one for one in told)
    assert all("value_farads" not in str(as_mapping(one.part)) for one in parts)


FROM_A_BENCH = """\
Part,Description,Old value,WVDC,Type,Measured,Leakage,New value,Notes
C1,line bypass,.05 mfd,400,wax paper,.071,,.047 X2,
C2,coupling,.002 mfd,350/385,paper,leaky 3 megohm,40 ua @ 90v,.0022 630v film,bad one
C7,filter,50-30 mfd,150,lytic,,,47/500 and 33/500,dripped
R5,plate load,470K,,carbon,640K,,470K 1/2W,
"""
FROM_A_BENCH_SECTION = """\
parts:
  C1:
    job: line bypass
    was: .05 mfd 400 V wax paper, measured .071
    now: .047 X2
  C2:
    job: coupling
    was: .002 mfd 350/385 V paper, leaky 3 megohm, leakage 40 ua @ 90v
    now: .0022 630v film
    note: bad one
  C7:
    job: filter
    was: 50-30 mfd 150 V lytic
    note: "dripped; not read: new value “47/500 and 33/500”"
  R5:
    job: plate load
    was: 470K carbon, measured 640K
    now: 470K 1/2W
"""


def test_cells_are_read_as_a_record_reads_its_lines(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A cell that holds more than its heading says is read with its row's others as one line."""
    code, out, err = parts_of(FROM_A_BENCH.encode(), capsys, monkeypatch)
    assert (code, out, len(err.splitlines())) == (1, FROM_A_BENCH_SECTION, 1)
    assert err.endswith("; the cell is kept in the note of C7\n")
    code, out, err = parts_of(b"part,description\nC1,.05 mfd 400v\nT1,1st IF\n", capsys, monkeypatch)
    left = '    note: "not read: description “.05 mfd 400v”"'
    assert (code, out) == (1, f"parts:\n  C1:\n{left}\n  T1:\n    job: 1st IF\n")
    assert err.startswith("<stdin>:2:4: C1.job: found “.05 mfd 400v”; expected what the part does")


def test_what_was_measured_belongs_to_what_was_found(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    rows = "part,value,was,measured,now\nC7,10 nF,10 nF paper,13.6 nF,10 nF film\n"
    expected = "parts:\n  C7:\n    sheet: 10 nF\n    was: 10 nF paper, measured 13.6 nF\n    now: 10 nF film\n"
    assert parts_of(rows.encode(), capsys, monkeypatch) == (0, expected, "")
