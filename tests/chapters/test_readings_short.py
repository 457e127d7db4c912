"""The voltages in short: one row a tube, what is expected below each reading, and what was found earlier."""

from __future__ import annotations

import re

import pytest

import makers
from benchleaf.chapters.readings.digest import digest
from benchleaf.pages.rendering import setting
from benchleaf.report.digest import Digest, words_in
from benchleaf.report.html import table_html
from benchleaf.report.sentence import text_of
from benchleaf.words import AMERICAN, BRITISH, Words
from markup import parsed, words_of
from sites import REPO

HEAD = """line: 117 V 60 Hz
power: series string
tubes:
  V3: 12AV6, first audio
  V4: 50C5
  V5: 35W4
"""
SHEET = """  sheet:
    line: 117 V
    to: B-
    V3: plate 45
    V4: plate 110, screen 90, grid 0, cathode 5.6
    V5: cathode 118
    B+1: 118
"""
FOUND = """  2026-02-22 as found:
    line: 117 V
    to: B-
    V3: plate 44, grid -0.4
    V4: plate 96, screen 88, grid 2.4, cathode 8.4
    V5: cathode 109
    B+1: 109
"""
NOW = FOUND.replace("02-22 as found", "03-04 after").replace("grid 2.4, cathode 8.4", "grid 0, cathode 5.9")
DEMO = sorted(path.parent.name for path in (REPO / "site_src/sets").glob("*/record.yml"))


def short(readings: str, head: str = HEAD, words: Words = AMERICAN) -> Digest:
    bench = makers.bench(f"{head}readings:\n{readings}", words=words)
    return digest(makers.found("readings", bench), bench)


def cells(made: Digest) -> dict[str, list[str]]:
    """The rows of the table as plain text, by their headings."""
    assert made.table is not None
    return {
        makers.plain(row.head.text).partition(";")[0]: [makers.plain(cell.text) for cell in row.cells]
        for row in made.table.rows()
    }


def test_tubes_go_down_and_electrodes_across_with_the_rails_last() -> None:
    made = short(SHEET + NOW)
    assert made.table is not None
    assert [column.heading for column in made.table.columns] == ["Tube", "Cathode", "Grid", "Screen", "Plate"]
    assert list(cells(made)) == ["V3 12AV6", "V4 50C5", "V5 35W4", "Rails"]
    assert cells(made)["V4 50C5"] == ["5.9 ; 5.6 +5 %", "0; 0", "88 ; 90 −2 %", "96 ; 110 −13 %"]
    assert cells(made)["V3 12AV6"][1] == "−0.4; none published"
    assert cells(made)["Rails"] == ["B+1 109 ; 118 −8 %"]


def test_two_plates_of_a_tube_are_told_apart() -> None:
    made = short("  now: {V1: {plate 1: 184, plate 2: 166}}\n", "tubes: {V1: ECC85}\n")
    assert cells(made)["V1 ECC85"] == ["plate 1 184; plate 2 166"]


def test_what_an_earlier_list_found_off_stands_hollow_in_the_cell() -> None:
    made = short(SHEET + FOUND + NOW)
    cathode, grid, *_ = cells(made)["V4 50C5"]
    assert cathode == "5.9 ; 5.6 +5 %; found 8.4, high"
    assert grid == "0; 0; found +2.4, positive"
    assert made.table is not None
    html = table_html(made.table, setting({}))
    assert html.count('<span class="bl-verdict bl-right">found') == 2
    said = text_of(made.conclusion)
    assert said.startswith("All 7 readings that have a published value are within ±20\u202f% of it.")
    assert said.endswith("As found, one was not: V4 cathode; V4 grid was positive.")


def test_what_is_off_now_has_its_word_where_the_line_would_be() -> None:
    made = short(SHEET + FOUND)
    assert made.table is not None
    html = table_html(made.table, setting({}))
    assert '8.4</span> <span class="bl-verdict bl-watch">high</span>' in html
    assert '+2.4</span> <span class="bl-verdict bl-bad">positive</span>' in html
    assert html.count('class="bl-mark"') == 5
    assert "; found" not in "".join(cells(made)["V4 50C5"])
    assert text_of(made.conclusion).startswith("V4 grid is positive")


def test_the_figure_at_the_top_is_found_and_now() -> None:
    (figure,) = short(SHEET + FOUND + NOW).brief.compared
    assert figure.label == "Voltages within ±20\u202f% of the sheet"
    assert (text_of(figure.before), text_of(figure.after), figure.how) == ("5 of 7", "7 of 7", ())
    (alone,) = short(SHEET + FOUND).brief.compared
    assert (alone.before, text_of(alone.after)) == ((), "5 of 7")
    assert text_of(alone.how) == "off: V4 cathode and V4 grid"
    (stated,) = short(SHEET.replace("    to: B-\n", "    to: B-\n    tolerance: 10 %\n") + NOW).brief.compared
    assert stated.label == "Voltages within ±10\u202f% of the sheet"
    assert short(NOW).brief.compared == ()


def test_only_what_still_holds_remains() -> None:
    assert any("V4" in sentence.text for sentence in short(SHEET + FOUND).brief.remains)
    assert short(SHEET + FOUND + NOW).brief.remains == ()


def test_without_a_sheet_the_readings_stand_alone_and_it_says_so() -> None:
    made = short(NOW)
    read = [cell.partition(";")[0] for cell in cells(made)["V4 50C5"]]
    assert read == ["5.9", "0", "88", "96"]
    assert " to " in cells(made)["V4 50C5"][3]
    assert "(" not in cells(made)["V4 50C5"][1]
    assert re.search(r"Grids apart, (?:all|of the) \d+ that the set’s own circuit can judge", text_of(made.conclusion))
    alone = short("  as found:\n    V5: cathode 109\n", "line: 117 V 60 Hz\ntubes:\n  V5: 35W4\n")
    assert "no expected values" in text_of(alone.conclusion)


def test_on_the_bench_pins_stand_beside_the_readings_and_what_is_not_read_below() -> None:
    made = short(SHEET + NOW, HEAD + "state: on the bench\n")
    assert cells(made)["V4 50C5"][3].startswith("pin 7 96")
    assert "Not read yet: V3 cathode." in text_of(made.small)
    assert "Not read yet" not in text_of(short(SHEET + NOW).small)


def test_a_reading_of_an_older_list_says_which() -> None:
    made = short(SHEET + FOUND + NOW.replace("    V3: plate 44, grid -0.4\n", ""))
    assert cells(made)["V3 12AV6"][-1] == "44 ; 45 −2 %; 2026-02-22 as found"


def test_a_set_that_was_not_read_shows_what_is_expected() -> None:
    made = short(SHEET)
    assert cells(made)["V4 50C5"][3] == "not read; 110"
    assert "nothing was measured yet" in text_of(made.conclusion)


def test_of_many_tubes_those_with_something_off_are_shown() -> None:
    head = "tubes:\n" + "".join(f"  V{n}: 6SK7\n" for n in range(1, 16))
    of_each = "".join(f"    V{n}: plate 100\n" for n in range(1, 16))
    made = short(f"  sheet:\n{of_each}  now:\n{of_each.replace('V15: plate 100', 'V15: plate 40')}", head)
    assert made.table is not None
    assert len(list(made.table.rows())) == 12
    assert "V15 6SK7" in cells(made)
    assert "3 more tubes, all in order" in text_of(made.small)


def test_of_a_battery_set_the_battery_is_told_and_no_line() -> None:
    made = short("  now: {line: 7.3 V, V1: plate 65}\n", "power: battery\ntubes: {V1: 1T4}\n")
    assert made.table is not None
    assert ", battery 7.3 V." in made.table.caption


def test_a_british_page_says_anode_and_valve() -> None:
    made = short(SHEET + NOW, words=BRITISH)
    assert made.table is not None
    assert [column.heading for column in made.table.columns] == ["Valve", "Cathode", "Grid", "Screen", "Anode"]


@pytest.mark.parametrize("name", DEMO)
def test_every_set_of_the_demo_keeps_to_its_lengths(name: str) -> None:
    bench = makers.bench((REPO / "site_src/sets" / name / "record.yml").read_text(encoding="utf-8"))
    made = digest(makers.found("readings", bench), bench)
    assert words_in(made.conclusion) <= 45
    assert made.table is not None
    assert len(made.table.columns) <= 6
    assert len(list(made.table.rows())) <= len(bench.record.tubes) + 1
    html = table_html(made.table, setting({}))
    parsed(html)
    assert "style=" not in html
    assert max(map(len, re.findall(r"<td[^>]*>(.*?)</td>", html, re.S))) < 900


def test_text_of_the_record_is_escaped() -> None:
    bad = "<script>alert(1)</script>"
    made = short(f"  '{bad}':\n    V4: plate 9, {bad} 5\n    '{bad} rail': 7\n", f"tubes:\n  V4: '{bad}'\n")
    assert made.table is not None
    html = table_html(made.table, setting({}))
    assert "<script" not in html
    assert bad in words_of(html, " ")
