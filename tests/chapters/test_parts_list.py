"""The parts list as CSV: RFC 4180, numbers that stay numbers, nothing that a spreadsheet runs."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import makers
from benchleaf.chapters.parts.parts_list import HEADINGS, as_csv
from benchleaf.record.model import Record
from benchleaf.report.comma_separated import harmless, number

HEAD = "maker: A\nmodel: B\nparts:\n"


def listed(parts: str) -> str:
    return list_of(makers.record(HEAD + parts))


def list_of(record: Record) -> str:
    return as_csv(record, makers.findings("parts", record))


def rows(parts: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(listed(parts), newline="")))


def test_one_line_a_part_with_numbers_and_units_apart() -> None:
    (row,) = rows(
        "  C7: {was: '.01 mfd 400 V paper, measured 13.6 nF, leakage 38 uA at 200 V',"
        " now: '10 nF 630 V film 5 %, measured 9.96 nF', between: V3 plate and V4 grid, fitted: 2026-03-01}\n"
    )
    told = {heading: value for heading, value in row.items() if value}
    assert told == {
        "part": "C7",
        "end 1": "V3 plate",
        "end 2": "V4 grid",
        "state": "replaced",
        "found value": "10",
        "found unit": "nF",
        "found rating (V)": "400",
        "found type": "paper",
        "found measured": "13.6",
        "found measured unit": "nF",
        "found drift (%)": "36",
        "found leakage (uA)": "38",
        "found leakage at (V)": "200",
        "now value": "10",
        "now unit": "nF",
        "now rating (V)": "630",
        "now tolerance low (%)": "-5",
        "now tolerance high (%)": "5",
        "now type": "film",
        "now measured": "9.96",
        "now measured unit": "nF",
        "now drift (%)": "-0.4",
        "change of value (%)": "0",
        "fitted": "2026-03-01",
        "found as written": ".01 mfd 400 V paper, measured 13.6 nF, leakage 38 uA at 200 V",
        "now as written": "10 nF 630 V 5 % film, measured 9.96 nF",
        "found against tolerance": "out of assumed ±20 %",
        "now against tolerance": "within ±5 %",
        "ratings and marks": "leaks too much as found; outside foil not written",
        "verdict": "put right",
    }


def test_sections_of_a_can_are_lines_of_their_own() -> None:
    can = rows("  C12:\n    sections:\n      a: was 40 uF\n      b: was 20 uF\n    now: 47 uF and 22 uF\n")
    assert [(r["part"], r["section"], r["found value"], r["now value"], r["now unit"]) for r in can] == [
        ("C12", "a", "40", "47", "uF"),
        ("C12", "b", "20", "22", "uF"),
    ]


def test_lines_end_as_rfc_4180_says_and_every_line_has_every_cell() -> None:
    """RFC 4180, section 2: lines end with CRLF, every line has the same number of fields, quotes are doubled."""
    text = listed('  C1: {was: 10 nF, why: "a \\"leaky\\" one, and warm"}\n  R2: keep, 1 kohm\n')
    assert text.endswith("\r\n")
    assert text.replace("\r\n", "").isprintable()
    assert '"a ""leaky"" one, and warm"' in text
    assert {len(line) for line in csv.reader(io.StringIO(text, newline=""), strict=True)} == {len(HEADINGS)}


def test_headings_are_ascii_without_byte_order_mark_and_each_once() -> None:
    text = listed("  C1: keep, 1 nF\n")
    assert text.startswith("part,section,")
    assert "".join(HEADINGS).isascii()
    assert len(set(HEADINGS)) == len(HEADINGS)


def test_without_parts_there_are_the_headings_alone() -> None:
    assert list_of(makers.record()) == ",".join(HEADINGS) + "\r\n"


@pytest.mark.parametrize(
    ("text", "cell"),
    [
        ("=1+1", "'=1+1"),
        ("+B", "'+B"),
        ("-R1", "'-R1"),
        ("@SUM(A1)", "'@SUM(A1)"),
        ("  =1+1", "'=1+1"),
        ("\t=1+1", "'=1+1"),
        ("\r=1+1", "'=1+1"),
        ("＝1+1", "'＝1+1"),
        ("'quoted", "''quoted"),
        ("x;=1+1", "x,=1+1"),
        ("x; @y", "x, @y"),
        ("B+1", "B+1"),
        ("B-", "B-"),
        ("hum; warm", "hum; warm"),
        ("two\nlines", "two lines"),
        ("", ""),
    ],
)
def test_text_that_begins_like_a_formula_is_defused(text: str, cell: str) -> None:
    """The signs are those the OWASP page on CSV injection lists; the semicolon parts cells in many countries."""
    assert harmless(text) == cell


def test_a_parts_own_name_is_text_and_its_drift_a_number() -> None:
    (row,) = rows("  '-R1': keep, 100 ohm 10 %, measured 95 ohm\n")
    assert row["part"] == "'-R1"
    assert row["found drift (%)"] == "-5"


def test_hostile_text_in_every_field_of_a_part() -> None:
    evil = "=HYPERLINK(1)"
    text = listed(
        f'  "{evil}":\n    job: "{evil}"\n    between: "{evil}, +x"\n    was: {{value: 1 nF, type: "{evil}"}}\n'
        f'    now: {{value: 1 nF, type: "@x", restuffed: "{evil}"}}\n    positive: "-1"\n    outside foil: "{evil}"\n'
        f'    why: "{evil}"\n    original: "{evil}"\n    note: "{evil};{evil}"\n'
    )
    for cell in (c for line in csv.reader(io.StringIO(text, newline="")) for c in line):
        assert cell[:1] not in ("=", "+", "-", "@")
        assert ";=" not in cell


@given(st.text())
def test_no_text_becomes_a_formula_and_the_apostrophe_comes_off_again(text: str) -> None:
    cell = harmless(text)
    assert not cell.lstrip().startswith(("=", "+", "-", "@", "\t", "\r"))
    assert "\n" not in cell
    if cell.startswith("'"):
        assert harmless(cell[1:]) == cell


@given(st.floats(allow_nan=True, allow_infinity=True, width=32))
def test_numbers_are_plain_digits(value: float) -> None:
    written = number(value)
    assert "e" not in written.lower()
    if written:
        assert float(written) == pytest.approx(value, rel=1e-11)


@pytest.mark.parametrize(
    ("value", "written"), [(9.96, "9.96"), (-0.4, "-0.4"), (0.0, "0"), (-0.0, "0"), (1000.0, "1000"), (2.2, "2.2")]
)
def test_numbers_as_written(value: float, written: str) -> None:
    assert number(value) == written


def test_as_written_reads_the_same_again() -> None:
    """What stands in “as written” is a line of a record: out and in again it gives the same list."""
    text = "  C7: {was: '0.01 uF 400 V paper, measured 13.6 nF, leakage 38 uA at 200 V', now: '10 nF 630 V 5 % film'}\n"
    (row,) = rows(text)
    again = f"  C7: {{was: '{row['found as written']}', now: '{row['now as written']}'}}\n"
    assert rows(again) == [row]


def test_the_demo_sets_lists_read_as_csv() -> None:
    sets = sorted((Path(__file__).parents[2] / "site_src" / "sets").glob("*/record.yml"))
    assert len(sets) >= 3
    for path in sets:
        record = makers.record(path.read_bytes())
        text = list_of(record)
        assert text == list_of(record)
        named = {line["part"] for line in csv.DictReader(io.StringIO(text, newline=""), strict=True)}
        assert named == set(map(str, record.parts))
