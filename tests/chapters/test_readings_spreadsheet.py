"""Readings from a spreadsheet saved as CSV: columns in any order, decimal comma, and a Problem for each bad line."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchleaf.record.spreadsheet import MOST_BYTES, MOST_ROWS, read_spreadsheet, read_table, unfit_name


def read(text: str | bytes) -> tuple[dict[str, dict[str, float | None]], list[str]]:
    data = text if isinstance(text, bytes) else text.encode()
    points, problems = read_spreadsheet(data, "readings.csv")
    values = {str(n): {str(p.at): p.value.si if p.value else None for p in of} for n, of in points.items()}
    return values, [str(problem) for problem in problems]


EXPECTED = {"V4": {"plate": 113, "5": 0}, "B+1": {"": 121.5}}


@pytest.mark.parametrize(
    "text",
    [
        "tube,electrode,volts\nV4,plate,113\nV4,5,0\nB+1,,121.5\n",
        "V4,plate,113\nV4,5,0\nB+1,121.5\n",
        "Volts (V);Pin or electrode;VALVE\n113;plate;V4\n0;5;V4\n121,5;;B+1\n",
        "reading\tposition\tpin\n113 V\tV4\tplate\n0\tV4\t5\n121.5\tB+1\t\n",
        "\ufeffTube,Electrode,Value\r\nV4,plate,113\r\n\r\nV4,5,0\r\nB+1,,121.5\r\n",
        'tube,electrode,volts\n"V4","plate","113"\nV4 , 5 , 0\nB+1,,121.5',
    ],
    ids=["headings", "none", "any order, decimal comma", "tabs", "BOM and CRLF", "quoted"],
)
def test_a_table_of_readings(text: str) -> None:
    values, problems = read(text)
    assert problems == []
    assert values == EXPECTED


def test_an_electrode_and_a_pin_column_may_stand_side_by_side() -> None:
    values, problems = read("tube,electrode,pin,volts\nV4,plate,,113\nV4,,5,0\nB+1,,,121.5\n")
    assert (values, problems) == (EXPECTED, [])


def test_what_was_not_read_and_ac_stay_what_they_are() -> None:
    points, problems = read_spreadsheet(b"V5,plate,117 AC\nV5,cathode,x\nV4,grid,<0.1\n", "readings.csv")
    assert problems == []
    plate, cathode = points["V5"]  # type: ignore[index]
    assert plate.value is not None
    assert (plate.value.mark, cathode.value) == ("ac", None)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (
            "tube,electrode,volts\nV4,plate,loud\nV4,grid,0\n",
            "readings.csv:2:10: V4: found “loud”; expected a voltage such as 117 V, 250 V AC or 38 mV",
        ),
        (
            "V4,plate,92,4\nV4,grid,0\n",
            "readings.csv:1:1: found 4 cells in the row; expected two or three: tube or rail, electrode or pin, volts; "
            "with a decimal comma, part the cells by semicolons",
        ),
        (
            "V4,plate,90\nV4,Plate,91\n",
            "readings.csv:2:1: V4: found “V4 Plate” a second time; expected each once; delete one of the rows",
        ),
        (
            "tube,electrode,volts,weather\nV4,plate,90,fine\n",
            "readings.csv:1:22: found the heading “weather”; expected tube or rail, electrode or pin, volts; "
            "the column is left out",
        ),
        (
            "tube,electrode,volts\nV4,plate\n",
            "readings.csv:2:1: found 2 cells in the row; expected two or three: tube or rail, electrode or pin, volts; "
            "leave other columns out",
        ),
        (
            "tube,electrode\nV4,plate\n",
            "readings.csv:1:1: found no column of volts; expected tube or rail, electrode or pin, volts; "
            "name the columns in the first row",
        ),
    ],
    ids=["no voltage", "decimal comma", "twice", "strange heading", "no volts", "no column"],
)
def test_each_bad_line_is_named_and_the_others_are_read(text: str, message: str) -> None:
    _, problems = read(text)
    assert problems[0].startswith(message)


def test_only_utf_8_is_read() -> None:
    """A file saved as Windows-1252 has 0xb5 for the micro sign."""
    values, problems = read("V4,grid,5 µV\n".encode("cp1252"))
    assert values == {}
    assert problems[0].startswith("readings.csv:1:11: found the byte 0xb5")
    assert "UTF-8" in problems[0]
    assert read("V4,grid,5\n".encode("utf-16"))[0] == {}


def test_a_formula_is_text_that_is_no_voltage() -> None:
    values, problems = read('V4,plate,"=HYPERLINK(""http://127.0.0.1"")"\n=1+1,plate,5\n')
    assert values == {"=1+1": {"plate": 5}}
    assert len(problems) == 1


def test_limits_on_length() -> None:
    rows = "".join(f"V{n},plate,5\n" for n in range(MOST_ROWS + 5))
    values, problems = read(rows)
    assert len(values) == MOST_ROWS
    assert problems[0].startswith(f"readings.csv:{MOST_ROWS + 1}:1: found more than 5,000 rows")
    assert "at most 1,000,000" in read(b"x" * (MOST_BYTES + 1))[1][0]
    assert "at most 60 letters" in read(f"{'V' * 61},plate,5\n")[1][0]


@settings(max_examples=150, deadline=None)
@given(data=st.one_of(st.binary(max_size=300), st.text(max_size=300).map(str.encode)))
def test_no_bytes_give_a_traceback(data: bytes) -> None:
    rows, problems = read_table(data, "readings.csv")
    assert all(row.name and row.volts for row in rows)
    assert all(str(problem) for problem in problems)
    read_spreadsheet(data, "readings.csv")


def test_a_name_may_have_two_hundred_characters() -> None:
    assert unfit_name("a" * 196 + ".csv") is None
    longer = unfit_name("a" * 197 + ".csv")
    assert longer is not None
    assert longer.found.startswith("a path that leads out")
