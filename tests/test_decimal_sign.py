"""The decimal comma, where a site asks for it: on pages, in drawings and in files for spreadsheets."""

from __future__ import annotations

import csv
import io
import re
from html import unescape
from pathlib import Path

import pytest

from benchleaf.build.all_sets import build_archive, build_set
from benchleaf.build.cache import Cache
from benchleaf.drawing.plot import engineering
from benchleaf.pages.set_page import Choices, SetPage
from benchleaf.record.decibels import say_decibels
from benchleaf.record.quantities import read_quantity
from benchleaf.record.units import plain, say, say_column
from benchleaf.report.comma_separated import lines_of, number
from benchleaf.report.typed import as_printed
from benchleaf.words.decimal_sign import decimals_behind
from sites import DEMO

SAID_BY_US = re.compile(r"\d[.,]\d+(?=\u202f(?:[pnµmkM]?[FAVWΩH]|kHz|MHz|dB|%)(?!\w))")
"""A number with its unit behind the blank that no writer types."""


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, SetPage]:
    """One set of the demo both ways, with one cache."""
    cache = Cache(tmp_path_factory.mktemp("cache"), b"k" * 32)
    folder = DEMO / "sets" / "larkfield-minuet-5"
    return {sign: build_set(folder, Choices(decimal_sign=sign), cache) for sign in ("point", "comma")}


def everything(page: SetPage) -> str:
    files = [file.text for file in page.files if file.text and file.path.endswith(".html")]
    return unescape("\n".join([page.html, *(one.html for one in page.workings), *files]))


def test_a_page_says_every_number_with_the_sign_of_the_site(pages: dict[str, SetPage]) -> None:
    for sign, wrong in (("point", ","), ("comma", ".")):
        numbers = SAID_BY_US.findall(re.sub(r"<[^>]+>", "\n", everything(pages[sign])))
        assert len(numbers) > 300
        assert [one for one in numbers if wrong in one] == []


def test_nothing_but_the_sign_differs(pages: dict[str, SetPage]) -> None:
    point, comma = (re.sub(r"<[^>]+>", "", everything(pages[sign])) for sign in ("point", "comma"))
    assert point != comma
    assert re.sub(r"(?<=\d),(?=\d)", ".", comma) == re.sub(r"(?<=\d),(?=\d)", ".", point)


def test_a_file_for_a_spreadsheet_has_semicolons(pages: dict[str, SetPage]) -> None:
    (text,) = (file.text for file in pages["comma"].files if file.path == "parts.csv")
    rows = list(csv.reader(io.StringIO(text or ""), delimiter=";"))
    assert len({len(row) for row in rows}) == 1
    assert len(rows[0]) > 8
    assert any(re.fullmatch(r"-?\d+,\d+", cell) for row in rows for cell in row)


def test_data_for_programs_is_the_same(pages: dict[str, SetPage]) -> None:
    kept = [[file.text for file in page.files if file.path == "record.yml"] for page in pages.values()]
    assert kept[0] == kept[1] != [None]


def test_the_index_follows(pages: dict[str, SetPage], tmp_path: Path) -> None:
    made = {
        sign: build_archive([page], Choices(decimal_sign=sign), Cache(tmp_path, b""), "../")
        for sign, page in pages.items()
    }
    order = {sign: [f.text for f in page.files if f.path.endswith(".csv")] for sign, page in made.items()}
    assert all(";" in (text or "") for text in order["comma"])
    assert all(";" not in (text or "").splitlines()[0] for text in order["point"])


@pytest.mark.parametrize(
    ("said", "written"),
    [
        (lambda: say(0.0224, "A"), "22,4\u202fmA"),
        (lambda: say(1 / 3.5, "n:1"), "1:3,5"),
        (lambda: say_column([0.0224, 0.1], "A")[0], "22,4\u202fmA"),
        (lambda: plain(4.7e-8, "F"), "47 nF"),
        (lambda: plain(0.95, "V"), "0,95 V"),
        (lambda: say_decibels(-0.04, signed=True), "0,0\u202fdB"),
        (lambda: say_decibels(3.5, signed=True), "+3,5\u202fdB"),
        (lambda: engineering(4700, "Ω"), "4,7 kΩ"),
        (lambda: number(1.25), "1,25"),
        (lambda: as_printed("2.6 mV"), "2,6\u202fmV"),
        (lambda: lines_of([["a", "1,5", 'b "c"; d']]), 'a;1,5;"b ""c""; d"\r\n'),
    ],
)
def test_what_is_said_with_a_comma(said, written: str) -> None:  # type: ignore[no-untyped-def]
    with decimals_behind("comma"):
        assert said() == written


@pytest.mark.parametrize(
    ("si", "unit", "kind"), [(0.95, "V", "voltage"), (1.234, "V", "voltage"), (2.2e-9, "F", "capacitance")]
)
def test_what_is_said_with_a_comma_reads_back(si: float, unit: str, kind: str) -> None:
    with decimals_behind("comma"):
        assert read_quantity(plain(si, unit, digits=4), kind).si == pytest.approx(si)
