"""Readings from a spreadsheet saved as CSV: columns in any order, decimal comma, and a Problem for each bad line."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchleaf.record.saved_table import MOST_CELLS, SpreadsheetCell, cells_of
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


ROWS = "tube;electrode;volts\nV4;plate;113,5\nV3;grid;5 µV\n"
IN_VOLTS = {"V4": {"plate": 113.5}, "V3": {"grid": 5e-6}}


@pytest.mark.parametrize(
    ("text", "encoding"),
    [
        (ROWS, "utf-8-sig"),
        (ROWS.replace(";", "\t"), "utf-16"),
        (ROWS, "cp1252"),
        (f"sep=;\n{ROWS}", "utf-8"),
        (f"Voltages after recapping;;\n;;\n{ROWS}", "utf-8"),
        (ROWS.replace("\n", ";;;\r\n;;;\r\n"), "utf-8"),
        (ROWS.replace("electrode", '"electrode\nor pin"'), "utf-8"),
        (ROWS.replace("volts", "volts (mV)").replace("113,5", "113500").replace("5 µV", "0,005"), "utf-8"),
    ],
    ids=["BOM", "Unicode text", "Windows", "sep", "title", "empty columns", "line break", "unit in the heading"],
)
def test_a_file_is_read_as_programs_save_it(text: str, encoding: str) -> None:
    assert read(text.encode(encoding)) == (IN_VOLTS, [])


def test_what_no_program_saves_is_told() -> None:
    assert read(b"V4,plate,5\n\x81\n")[1][0].startswith("readings.csv:2:1: found the byte 0x81")
    assert read(b"\xff\xfeV\0x")[1] == [
        "readings.csv:1:1: found text in UTF-16 that breaks off; expected a whole file; save it again"
    ]
    unclosed = read('V4,plate,5\nV3,"plate,6\nV2,plate,7\n')
    assert unclosed[0]["V2"] == {"plate": 7}
    assert unclosed[1][0].startswith("readings.csv:2:4: found a quotation mark that is not closed")
    assert "more than 300 cells in a row" in " ".join(read("V4,plate" + ",1" * 400)[1])
    assert "a cell of 20,001 characters" in read(f"V4,plate,5\nV3,{'x' * 20_001},5\n")[1][0]


@pytest.mark.parametrize(
    ("text", "asked"),
    [
        ("V4;plate;1.234\nV3;plate;44,2\n", "10: found “1.234”; expected {}; write “1234” or “1,234”"),
        ("V4;plate;1'234\n", "10: found “1'234”; expected {}; write “1234”"),
    ],
)
def test_a_sign_that_may_part_thousands_is_asked(text: str, asked: str) -> None:
    expected = "a number without a sign between the thousands"
    assert read(text)[1] == [f"readings.csv:1:{asked.format(expected)}"]
    (told,) = read('V4,plate,"1,234"\n')[1]
    assert told.endswith("its comma may part thousands or decimals: write 1234 V or 1.234 V")
    assert read("V4;plate;1.234\n") == ({"V4": {"plate": 1.234}}, [])


def test_a_merged_cell_and_a_second_column_are_told() -> None:
    values, problems = read("tube,electrode,volts,volts\nV4,plate,113,5\n,grid,0,1\n")
    assert values == {"V4": {"plate": 113}}
    assert problems == [
        "readings.csv:1:22: found the heading “volts” for a second column; expected tube or rail, electrode or pin, "
        "volts; the column is left out",
        "readings.csv:3:1: found a reading without its tube; expected its name in each row; "
        "merged cells are saved once: write the tube in each row",
    ]


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


@pytest.mark.parametrize("rest", [",", "\n", ",1", '"a,', ",\n"])
def test_cells_and_lines_without_end_are_not_all_made(rest: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """A million commas took four seconds in each of a club's lists."""
    count = []
    made = SpreadsheetCell.of
    monkeypatch.setattr(SpreadsheetCell, "of", lambda *given: count.append(1) or made(*given))
    rows = list(cells_of("V4,plate,90\n" + rest * 90_000 + "\nV5,plate,80\n", ",", "a.csv"))
    assert len(count) < (200_000 if rest == ",\n" else 400)
    assert [[str(cell) for cell in row] for row in (rows[0], rows[-1])] == [
        ["V4", "plate", "90"],
        ["V5", "plate", "80"],
    ]
    assert len(rows) == (3 if rest in (",1", '"a,') else 2)
    assert all(len(row) <= MOST_CELLS + 1 for row in rows)


@settings(max_examples=150)
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
