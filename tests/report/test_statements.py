"""Verdicts, sentences, tables and sources: text, HTML and CSV of the same data."""

from __future__ import annotations

import csv
import io

import pytest

from benchleaf.pages.rendering import note
from benchleaf.report.amount import Amount, Origin
from benchleaf.report.comma_separated import table_csv
from benchleaf.report.html import Setting, phrase_html, table_html
from benchleaf.report.sentence import (
    Bare,
    Cited,
    Deviation,
    Drawing,
    Formula,
    Judged,
    Link,
    Note,
    PhrasePart,
    Sentence,
    Styled,
    aside,
    listed,
    sources_in,
    text_of,
)
from benchleaf.report.source import COMMON_PRACTICE, FROM_MEMORY, Source, Standing, numbered, weakest
from benchleaf.report.table import DECIMAL, Cell, Column, Row, RowGroup, Table, cell
from benchleaf.report.verdict import Verdict

SETTING = Setting(note)
EVIL = '<script>alert("1")</script>'


def test_ranks_are_distinct_and_run_from_danger_to_in_order() -> None:
    by_rank = sorted(Verdict, key=lambda v: -v.rank)
    assert len({v.rank for v in Verdict}) == len(Verdict)
    assert (by_rank[0], by_rank[1], by_rank[-1]) == (Verdict.DANGER, Verdict.FAULT, Verdict.GOOD)
    severities = [v.severity for v in by_rank]
    assert severities == sorted(severities, reverse=True)


def test_every_verdict_but_the_plain_one_has_a_word_and_a_sign() -> None:
    assert {v for v in Verdict if not (v.word and v.sign)} == {Verdict.PLAIN}
    signs = [v.sign for v in Verdict if v not in (Verdict.PLAIN, Verdict.DANGER)]
    assert len(set(signs)) == len(signs)


def test_severities_and_their_headings() -> None:
    told = {v: (v.severity, v.heading) for v in (Verdict.DANGER, Verdict.FAULT, Verdict.PUT_RIGHT, Verdict.GOOD)}
    assert list(told.values()) == [(3, "Danger"), (2, "Fault"), (1, "Note"), (0, "")]


EVERY: dict[str, tuple[PhrasePart, str, str]] = {
    "text": (EVIL, EVIL, "&lt;script&gt;alert(&#34;1&#34;)&lt;/script&gt;"),
    "amount": (Amount(1e-8, "F", Origin.COMPUTED), "10\u202fnF", '<span class="bl-computed">10\u202fnF</span>'),
    "stated": (Amount(1e-8, "F"), "10\u202fnF", "10\u202fnF"),
    "link": (Link("C<7", "part-c7"), "C<7", '<a href="#part-c7">C&lt;7</a>'),
    "run": (
        Styled(("(", Amount(5.0, "V", Origin.COMPUTED), ")"), Origin.COMPUTED),
        "(5\u202fV)",
        '<span class="bl-computed">(5\u202fV)</span>',
    ),
    "aside": (aside("small"), "small", '<span class="bl-hint">small</span>'),
    "judged": (
        Judged(Verdict.FAULT, ("rated ", Amount(150.0, "V", Origin.COMPUTED)), ("beside",)),
        "rated 150\u202fV beside",
        '<span class="bl-verdict bl-bad">rated 150\u202fV</span> beside',
    ),
    "note": (Note(f"*warm* {EVIL}"), f"warm {EVIL}", "<em>warm</em> "),
    "formula": (Formula(">"), ">", "<code>&gt;</code>"),
    "source": (COMMON_PRACTICE, "common practice, no source", "common practice, no source"),
    "bare": (Bare(0.5), "0.5", "0.5"),
    "drawing": (Drawing("no such figure", "label"), "", ""),
}


@pytest.mark.parametrize("name", EVERY)
def test_each_piece_as_text_and_as_html(name: str) -> None:
    part, text, html = EVERY[name]
    assert text_of((part,)) == text
    assert str(phrase_html((part,), SETTING)).startswith(html)
    assert "<script" not in phrase_html((part,), SETTING)


def test_a_sentence_has_one_text_however_it_is_made() -> None:
    whole = Sentence(Verdict.FAULT, "R9 makes 0.5\u202fW", "part-r9")
    made = Sentence(Verdict.FAULT, (Link("R9", "part-r9"), " makes ", Amount(0.5, "W", Origin.COMPUTED)), "part-r9")
    assert made.text == whole.text
    assert made.severity == whole.severity == 2


def test_pieces_in_a_row() -> None:
    assert text_of(listed([("a",), ("b",), ("c",)], last=" and ")) == "a, b and c"
    assert text_of(listed([("a",)], last=" and ")) == "a"
    assert listed([]) == ()


def test_sources_are_numbered_once_in_the_order_they_are_leaned_on() -> None:
    code = Source(Standing.READ, "IEC 60062")
    said: tuple[PhrasePart, ...] = (
        "from ", code, aside(FROM_MEMORY), Judged(Verdict.GOOD, (Amount(1.0, "V", source=COMMON_PRACTICE),), (code,)),
    )  # fmt: skip
    assert numbered(sources_in(said)) == {code: 1, FROM_MEMORY: 2, COMMON_PRACTICE: 3}
    assert code.entry == "IEC 60062"
    assert Source(Standing.CHECKED, "two handbooks").entry == "two handbooks (found in more than one place)"
    assert FROM_MEMORY.entry == "From memory"
    assert Source(Standing.PRACTICE, of="A band").entry == "A band: common practice, no source"


def test_the_weakest_source() -> None:
    code, checked = Source(Standing.READ, "IEC 60062"), Source(Standing.CHECKED, "two handbooks")
    assert weakest((code, checked)) == checked
    assert weakest((checked, FROM_MEMORY, COMMON_PRACTICE)) == FROM_MEMORY
    assert weakest((None,)) is None


TABLE = Table(
    "Heat",
    "What warms",
    (Column("PhrasePart"), Column("Volts", DECIMAL, Origin.MEASURED), Column("Rated")),
    (
        RowGroup(
            (
                Row(
                    cell("=R1"),
                    (cell(Amount(12.6, "V", Origin.MEASURED)), Cell((("a",), (aside("b"),)))),
                    "part-r1",
                    "part-r",
                ),
                Row(cell("R2"), (Cell(), cell(Bare(-0.5)))),
                Row(cell("R3"), (Cell((("cannot be known",),), span=2),)),
            ),
            "Resistors",
        ),
    ),
)


def test_a_table_as_html() -> None:
    html = str(table_html(TABLE, SETTING))
    for piece in (
        '<caption>What warms</caption>',
        '<th scope="rowgroup" colspan="3"><span class="bl-held">Resistors</span></th>',
        '<tr id="part-r1"><th scope="row"><span id="part-r"></span>=R1</th>',
        '<td class="num bl-measured" data-label="Volts"><span class="bl-number"><span class="bl-whole">12</span>',
        '<td data-label="Rated">a<br><span class="bl-hint">b</span></td>',
        '<td class="num bl-measured bl-nothing" data-label="Volts">–</td>',
        '<td class="num bl-measured" data-label="Volts" colspan="2">',
    ):  # fmt: skip
        assert piece in html


def test_the_same_table_as_a_file() -> None:
    lines = list(csv.reader(io.StringIO(table_csv(TABLE), newline=""), strict=True))
    assert lines == [
        ["PhrasePart", "Volts", "Rated"],
        ["'=R1", "12.6 V", "a; b"],
        ["R2", "", "-0.5"],
        ["R3", "cannot be known", ""],
    ]


def test_a_table_names_the_sources_of_its_cells() -> None:
    leaning = Row(cell("R1"), (cell(Amount(1.0, "W", source=COMMON_PRACTICE)),))
    table = Table("x", "x", (Column("a"), Column("b")), (RowGroup((leaning,)),))
    assert list(table.sources()) == [COMMON_PRACTICE]


def test_a_deviation_is_a_mark_without_words() -> None:
    words = ("92.4", " ", Deviation(0.02, 0.2))
    assert text_of(words) == "92.4 "
    assert '<svg class="bl-mark"' in phrase_html(words, SETTING)


def test_a_link_may_be_a_number() -> None:
    assert phrase_html((Link("16 of 16", "run", Origin.COMPUTED),), SETTING) == (
        '<a class="bl-computed" href="#run">16 of 16</a>'
    )


def test_a_table_of_a_kind_keeps_its_columns() -> None:
    row = Row(cell("V1"), (cell("1"),))
    html = table_html(Table("T", "t", (Column("Where"), Column("Read")), (RowGroup((row,)),), "bl-across"), SETTING)
    assert '<table class="bl-table bl-across">' in html
    assert "bl-stack" not in html
    assert "bl-stack" in table_html(Table("T", "t", (Column("Where"), Column("Read")), (RowGroup((row,)),)), SETTING)


def test_a_cited_source_is_a_number_where_there_is_a_list_of_them_and_nothing_elsewhere() -> None:
    said = ("+5.0 dB", Cited(COMMON_PRACTICE), ". Next")
    assert text_of(said) == phrase_html(said, SETTING) == "+5.0 dB. Next"
    assert 'href="#ref-3"' in phrase_html(said, Setting(note, number=lambda _: 3))
    assert list(sources_in(said)) == [COMMON_PRACTICE]
