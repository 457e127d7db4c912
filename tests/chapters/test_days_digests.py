"""Faults, results and the days of the work in short: what was measured is in the line, and nothing typed is lost."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import makers
from benchleaf.chapters.log.kinds_of_work import kind_of
from benchleaf.report.amount import Origin
from benchleaf.report.prose import as_prose
from benchleaf.report.sentence import Link, Styled, text_of
from benchleaf.report.table import Table
from benchleaf.report.verdict import Verdict
from markup import words_of
from sites import DEMO

LARKFIELD = (DEMO / "sets" / "larkfield-minuet-5" / "record.yml").read_text(encoding="utf-8")
LEAKY = """tubes:
  V3: 12AV6
  V4: 50C5
readings:
  2026-02-22 as found:
    to: B-
    V4: grid 2.4
parts:
  C7: was 0.01 uF 400 V paper, leakage 27 uA at 200 V, now 10 nF 630 V film, between V3 plate and V4 grid
faults:
  - complaint: hum
    found: grid of V4 at +2.4 V, 155 ohm elsewhere
    cause: C7
    cure: replaced
"""
LOG = "log:\n  - 2026-03-01, 3 h, soldered\n"


def rows(table: Table | None) -> list[str]:
    """A table's rows as text with plain spaces."""
    assert table is not None
    return [
        makers.plain(" | ".join([row.head.text, *(cell.text for cell in row.cells)])).replace("\u00a0", " ")
        for row in table.rows()
    ]


# The writer's words


@pytest.mark.parametrize(
    ("typed", "printed"),
    [
        ("900 uV and 27 uA", "900 µV and 27 µA"),
        ("107 ohm in place of 155 ohm", "107 Ω in place of 155 Ω"),
        ("-6.2 V, +2.4 V", "−6.2 V, +2.4 V"),
        ("a 0.40 V reading of 1 meg", "a 0.40 V reading of 1 MΩ"),
        (".01 mfd", "10 nF"),
        ("the 4 holes, 22 inches, C7 and 12BA6", "the 4 holes, 22 inches, C7 and 12BA6"),
    ],
)
def test_values_in_a_sentence_stand_in_the_trades_units_with_the_figures_typed(typed: str, printed: str) -> None:
    assert makers.plain(text_of(as_prose(typed))) == printed


# Faults


def test_a_fault_is_one_line_with_what_was_measured_of_its_cause() -> None:
    (line,) = makers.digest("faults", LEAKY).brief.wrong
    assert makers.plain(line.text) == "Hum: C7 (27 µA at 200 V); grid of V4 at +2.4 V, 155 Ω elsewhere. Replaced."
    links = {part.text: part.anchor for part in line.phrase if isinstance(part, Link)}
    assert links == {"C7": "part-c7", "grid of V4": "volts-at-v4"}


def test_only_what_the_record_has_as_a_reading_is_set_as_measured() -> None:
    (line,) = makers.digest("faults", LEAKY).brief.wrong
    runs = {makers.plain(part.words[0]): part.style for part in line.phrase if isinstance(part, Styled)}  # type: ignore[arg-type]
    assert runs == {"+2.4 V": Origin.MEASURED, "155 Ω": Origin.STATED}


@pytest.mark.parametrize(
    ("part", "told"),
    [
        ("was 16 uF 450 V electrolytic, measured 5.1 uF, ESR 22 ohm", "C7 (ESR 22 Ω)"),
        ("was 10 nF 400 V paper, measured open", "C7 (open)"),
        ("was 10 nF 400 V paper, measured 13.6 nF", "C7 (13.6 nF)"),
        ("was 10 nF 400 V paper", "C7;"),
    ],
)
def test_the_most_telling_figure_of_a_culprit_is_told(part: str, told: str) -> None:
    text = re.sub("was 0.01.*200 V", part, LEAKY)
    assert told in makers.plain(makers.digest("faults", text).brief.wrong[0].text)


def test_a_tube_that_was_exchanged_is_told_with_its_emission() -> None:
    text = LEAKY.replace("cause: C7", "cause: V4") + "changed tubes:\n  V4: was 50C5 at 61 % emission, now 50C5\n"
    assert "V4 (61 % emission)" in makers.plain(makers.digest("faults", text).brief.wrong[0].text)


@pytest.mark.parametrize(("found", "told"), [("R13 open", "Dead: R13 open."), ("no heaters", "Dead: R13; no heaters.")])
def test_a_cause_that_the_finding_begins_with_is_named_once(found: str, told: str) -> None:
    of = f"parts:\n  R13: was 1 kohm, now 1 kohm\nfaults:\n  - complaint: dead\n    found: {found}\n    cause: R13\n"
    assert makers.plain(makers.digest("faults", of).brief.wrong[0].text) == told


def test_a_value_with_a_decimal_comma_is_said_as_any_other() -> None:
    made = makers.digest("faults", "faults:\n  - complaint: dull\n    found: C30 down to 0,3 uF\n    cure: replaced\n")
    assert "0.3 µF" in makers.plain(made.brief.wrong[0].text)


def test_a_fault_too_long_for_its_line_is_told_step_by_step_too() -> None:
    long = LEAKY.replace("cure: replaced", f"cure: {'one thing and another ' * 8}").replace("155 ohm", "5 kohm " * 9)
    made = makers.digest("faults", long)
    assert len(made.brief.wrong[0].text.split()) <= 30
    assert not made.told_above
    (row,) = rows(made.table)
    assert "one thing and another" in row
    assert row.count("5 kΩ") == 9


def test_a_finished_set_tells_below_what_its_first_lines_do_not() -> None:
    """Five faults stood in a table whose first three the page had just told."""
    faults = "".join(f"  - complaint: {c}\n    cause: leak\n    cure: gone\n" for c in ("hum", "hiss", "howl", "buzz"))
    made = makers.digest("faults", f"state: finished\nfaults:\n{faults}")
    assert [row.split(" | ")[0] for row in rows(made.table)] == ["buzz"]
    assert text_of(made.conclusion).endswith("put right; three told at the top of the page, one here.")
    assert len(rows(makers.digest("faults", f"faults:\n{faults}").table)) == 4


def test_a_fault_is_never_missing_because_its_line_is_long() -> None:
    """The main fault of a set was not at the top, and two lesser ones stood there alone."""
    cause = "the 8 uF had its minus on chassis so that the charge pulses went through R30 and R31, and C3 was dry " * 2
    made = makers.digest("faults", f"faults:\n  - complaint: loud hum\n    found: hum\n    cause: {cause}\n")
    (said,) = (makers.plain(one.text) for one in made.brief.wrong)
    assert said.startswith("Loud hum: the 8 µF had its minus on chassis")
    assert said.endswith(" …")
    assert len(said.split()) <= 31
    assert not made.told_above


@pytest.mark.parametrize(
    ("more", "whole"), [("", True), ("\n    note: seen twice", False), ("\n    date: 2026-03-01", False)]
)
def test_what_a_line_cannot_hold_keeps_the_chapter_on_the_record(more: str, whole: bool) -> None:
    made = makers.digest("faults", LEAKY.replace("cure: replaced", f"cure: replaced{more}"))
    assert made.told_above is whole
    assert (made.table is None) is whole


def test_a_cure_with_a_day_of_the_log_stands_there_and_not_in_the_line() -> None:
    text = LEAKY.replace("cure: replaced", "cure: replaced\n    date: 2026-03-01") + LOG
    made = makers.digest("faults", text)
    assert "Replaced" not in made.brief.wrong[0].text
    assert made.told_above
    assert rows(makers.digest("log", text).table) == ["1 Mar | 3 h | soldered | hum: C7 replaced"]


NOT_IT = LEAKY.replace("    cause: C7\n", "    ruled out: V4, tested at 98 %; screen of V4\n    cause: C7\n").replace(
    "  2026-02-22 as found:", "  2026-03-04 done:\n    to: B-\n    V4: grid 0\n  2026-02-22 as found:"
)


def test_what_was_not_the_cause_is_kept_with_what_each_named_place_read() -> None:
    """The places of the whole trail, in every list by date; a place that no list has is no link's promise."""
    found = makers.found("faults", NOT_IT)
    (trail,) = found.trails
    not_it = [(one.text, one.parts) for one in trail.ruled_out]
    assert not_it == [("V4, tested at 98 %", ("V4",)), ("screen of V4", ("V4",))]
    assert [(one.place, one.run, one.volts) for one in trail.readings] == [
        ("V4 grid", "2026-02-22 as found", 2.4),
        ("V4 grid", "2026-03-04 done", 0.0),
    ]
    assert trail.parts == ("C7",)
    shown = makers.page("faults", NOT_IT)
    assert '<a href="#volts-at-v4">grid of V4</a>' in shown
    assert "V4 grid read" in words_of(shown)
    ohms = NOT_IT.replace("    V4: grid 0", "    resistance:\n      V4: grid 470k\n    V4: grid 0")
    assert makers.page("readings", ohms).count('id="volts-at-v4"') == 1
    made = makers.digest("faults", NOT_IT)
    assert made.told_above
    assert made.working == "Step by step, with what was ruled out and readings"
    noted = makers.digest("faults", NOT_IT.replace("cure: replaced", "cure: replaced\n    note: twice"))
    assert "C7; not V4, tested at 98 %; not screen of V4" in rows(noted.table)[0]


def test_a_fault_without_a_cure_remains() -> None:
    text = LEAKY.replace("    cure: replaced\n", "")
    made = makers.digest("faults", text)
    (left,) = made.brief.remains
    assert (left.verdict, left.text) == (Verdict.OPEN, "Hum: no cure is written yet.")
    assert "Replaced" not in made.brief.wrong[0].text


# Results


def test_a_result_is_a_figure_with_before_after_and_how_it_is_judged() -> None:
    made = makers.digest("results", "results:\n  hum at 100 Hz: before 38 mV, after 3.1 mV, sheet 5 mV, for 50 mW\n")
    (figure,) = made.brief.compared
    said = [makers.plain(text_of(words)) for words in (figure.before, figure.after)]
    assert (figure.rank, makers.plain(figure.label), said) == (10, "Hum at 100 Hz, for 50 mW", ["38 mV", "3.1 mV"])
    # 20 log (3.1 ÷ 38) = −21.77 dB (ISO 80000-3)
    assert makers.plain(text_of(figure.how)).startswith("lower by 21.8 dB")
    assert "×" not in text_of(figure.how)  # once is enough: the decibels say it
    assert makers.plain(text_of(figure.how)).endswith("; sheet 5 mV")
    assert made.told_above


def test_many_results_and_noted_ones_have_a_table() -> None:
    many = "results:\n" + "".join(f"  result {n}: before {n} V, after {n + 1} V\n" for n in range(1, 6))
    assert not makers.digest("results", many).told_above
    assert len(rows(makers.digest("results", many).table)) == 5
    noted = makers.digest("results", "results:\n  output: before 1 W, after 2 W, note loud\n")
    assert not noted.told_above
    assert "loud" in rows(noted.table)[0]


def test_a_result_of_one_side_comes_after_those_of_two() -> None:
    made = makers.digest("results", "results:\n  output: after 2 W\n  hum: before 3 mV, after 1 mV\n")
    assert [figure.rank for figure in made.brief.compared] == [70, 10]


# Day by day


def test_everything_dated_stands_at_its_day_and_what_has_no_date_at_the_end() -> None:
    text = LEAKY + (
        "changed tubes:\n  V4: was 50C5 at 61 % emission, now 50C5 at 102 % emission, 2026-03-03\n"
        "changes:\n  C21: add 0.1 uF 250 V film, across C7, date 2026-03-06\n"
        "power-up:\n  - date: 2026-03-04\n    steps:\n      - line 40 V, 0.09 A, B+1 70 V, after 90 s; no smell\n"
        "reforming:\n  C7:\n    log:\n      - 0 min, 4 mA\n      - 30 min, 1 mA\n"
        "alignment:\n  - date: 2026-03-04\n    meter: AVC\n    steps:\n"
        "      - 455 kHz, T1 for maximum, before 0.40 V, after 0.71 V\n"
        "log:\n  - 2026-03-04, 2 h, by R. Alder, aligned\n  - 2026-03-01, 3 h, soldered\n  - swept the bench\n"
    ).replace("T1", "the core")
    text = text.replace("between V3 plate", "fitted 2026-03-01, between V3 plate")
    # 20 log (0.71 ÷ 0.40) = 4.98 dB (ISO 80000-3)
    assert rows(makers.digest("log", text).table) == [
        "1 Mar | 3 h | soldered | C7",
        "3 Mar |  | V4 exchanged | 50C5 at 61 % emission, now 102 % emission",
        "4 Mar | 2 h | R. Alder: aligned | 40 V 0.09 A, B+1 70 V after 90 s; no smell; "
        "455 kHz, the core for maximum: AVC 0.40 V → 0.71 V, +5.0 dB",
        "6 Mar |  | C21 added | across C7",
        "no date |  | swept the bench | ",
        "no date |  | reforming | C7 reformed: 4 mA at the start; 1 mA after 30 min, 25 % of the first",
    ]


def test_the_year_stands_at_the_head_or_between_the_rows() -> None:
    table = makers.digest("log", LOG).table
    assert table is not None
    assert table.columns[0].heading == "2026"
    two = makers.digest("log", LOG + "  - 2027-01-02, 1 h, played\n").table
    assert two is not None
    assert (two.columns[0].heading, [group.heading for group in two.groups]) == ("Day", ["2026", "2027"])


def test_many_days_are_folded_by_month_with_what_they_come_to() -> None:
    days = "".join(f"  - 2026-{1 + n // 10:02}-{1 + n % 10:02}, 2 h, work {n}\n" for n in range(15))
    made = makers.digest("log", f"log:\n{days}")
    assert made.table is None
    assert [makers.plain(fold.summary) for fold in made.folded] == [
        "January 2026: 10 days, 20 h",
        "February 2026: 5 days, 10 h",
    ]
    assert made.working
    assert makers.digest("log", f"log:\n{days[: days.rindex('  -')]}").table is not None


WHOLE = (
    LEAKY + "came in: 2026-02-20\nfinished: 2026-03-09\nline: 120 V 60 Hz\npower: series string\n"
    "line side:\n  after: {fuse: none}\n  measured:\n    - 2026-03-02, insulation line to chassis, 120 meg at 500 V\n"
    "log:\n  - 2026-02-22, 1 h, readings\n  - 2026-03-02, 10:00-12:30, recapped\n  - 2026-03-02, swept C7\n"
).replace("now 10 nF", "ordered 2026-02-23, fitted 2026-03-02, checked 2026-03-03, now 10 nF")


def test_the_page_of_the_days_has_all_that_is_dated() -> None:
    html = makers.page("log", WHOLE)
    cells = [makers.plain(words_of(row, " ")) for row in re.findall(r"<tr.*?</tr>", html, re.S)]
    told = {" ".join(row.split())[:10]: " ".join(row.split()) for row in cells}
    assert told["2026-02-20"].endswith("came in")
    assert told["2026-02-22"].endswith("Voltages, 2026-02-22 as found : 1 place read")
    assert told["2026-02-23"].endswith("C7 ordered")
    first = next(" ".join(row.split()) for row in cells if "10:00-12:30" in row)
    assert first.endswith("recapped –")  # what came of a day stands with its last sitting
    assert told["2026-03-02"].endswith("insulation, line to chassis : 120 MΩ at 500 V")
    assert told["2026-03-03"].endswith("C7 checked")
    assert told["2026-03-09"].endswith("finished")
    assert html.count('id="day-2026-03-02"') == 1
    made = makers.digest("log", WHOLE)
    assert made.working == "All days, hours by kind of work"
    assert [row.split(" | ")[0] for row in rows(made.table)] == ["22 Feb", "2 Mar", "2 Mar"]


def test_without_a_log_the_days_stand_by_what_else_is_dated() -> None:
    no_log = WHOLE[: WHOLE.index("log:\n")]
    made = makers.digest("log", no_log)
    assert (
        "".join(map(str, made.conclusion)) == "Work on 3 days, 22 February 2026 to 3 March 2026; no hours were written."
    )
    assert [row.split(" | ")[0] for row in rows(made.table)] == ["2 Mar"]
    assert made.working == "All days"
    html = makers.page("log", no_log)
    assert re.findall(r'id="day-([\d-]+)"', html)[0] == "2026-02-20"
    assert "C7 ordered" in words_of(html, " ")
    once = "readings:\n  2026-02-22 as found: {V4: {plate: 90}}\n"
    assert makers.findings("log", once) is None


def test_hours_are_added_up_by_the_kind_of_work_that_a_line_names_first() -> None:
    kinds = makers.found("log", WHOLE).by_kind
    assert [(one.kind, one.seconds, one.sittings, one.without_time) for one in kinds] == [
        ("parts", 9000.0, 1, 0),
        ("readings", 3600.0, 1, 0),
        ("other work", 0.0, 1, 1),
    ]


@pytest.mark.parametrize(
    ("did", "kind"),
    [
        ("replaced the paper capacitors one at a time", "parts"),
        ("aligned, touch current measured", "alignment"),
        ("cleaned, photographed, cold checks", "cleaning"),
        ("first power, readings", "power-up"),
        ("rewired the line side", "parts"),
        ("mains side and isolation", "line side"),
        ("hunting the hum", "fault finding"),
        ("eight hours of play, closed up", "playing"),
        ("6.5 h soak", "soak test"),
        ("tested the valves", "looking over"),
        ("new grille cloth", "cabinet"),
        ("Elkos formiert", "reforming"),
        ("alle condensatoren vervangen", "parts"),
        ("mesures des tensions", "readings"),
        ("første måling", "readings"),
        ("erste Inbetriebnahme", "power-up"),
        ("afgeregeld, gespeeld", "alignment"),
        ("Gehäuse poliert", "cabinet"),
        ("explained it to a neighbour", "other work"),
        ("", "other work"),
    ],
)
def test_a_kind_of_work_is_told_by_words(did: str, kind: str) -> None:
    assert kind_of(did) == kind


def test_a_long_power_up_has_its_steps_on_its_page() -> None:
    steps = "".join(f"      - line {n} V, 0.1 A\n" for n in (20, 40, 60, 80))
    made = makers.digest("power_up", f"power-up:\n  - steps:\n{steps}")
    assert made.working
    assert rows(made.table) == ["no date | 20 V 0.1 A; in 4 steps to 80 V 0.1 A"]


# Nothing lost


SETS = ("larkfield-minuet-5", "oxbow-regent-six")
NUMBER = re.compile(r"(?<![\w.])\d+(?:\.\d+)?")
_AT_THE_POINT = '</span><span class="bl-part">'
"""Between the two halves of a number that a column lines up at its point."""


@pytest.mark.parametrize("name", SETS)
def test_every_number_of_these_chapters_is_on_the_record_or_its_pages(name: str) -> None:
    """Steps and totals are counted in words; an ISO date is said as a day."""
    text = Path(DEMO / "sets" / name / "record.yml").read_text(encoding="utf-8")
    page = makers.set_page(text)
    whole = (html.replace(_AT_THE_POINT, "") for html in (page.html, *(w.html for w in page.workings)))
    shown = set(NUMBER.findall(" ".join(words_of(html, " ") for html in whole)))
    for folder in ("faults", "results", "log", "power_up", "alignment"):
        if makers.findings(folder, text) is not None:
            tables = re.findall(r"<t[dh][^>]*>.*?</t[dh]>", makers.page(folder, text), re.S)
            cells = re.sub(r"\d{4}-\d\d-\d\d", "", " ".join(words_of(cell, "") for cell in tables))
            assert set(NUMBER.findall(cells)) - shown - {"1", "2", "3"} == set(), folder


@pytest.mark.parametrize("state", ["finished", "on the bench"])
@pytest.mark.parametrize(
    "faults", ["hum, C20 9 uF, replaced", "- complaint: dead\n    cause: line cord\n    cure: renewed"]
)
def test_a_record_with_faults_has_a_page_of_them_and_a_link_to_it(state: str, faults: str) -> None:
    """Two faults that their lines at the top held whole had no page, and no link led to them."""
    page = makers.set_page(f"state: {state}\nfaults:\n  {faults}\n")
    assert "faults" in [working.name for working in page.workings]
    assert ">Faults</a>" in page.html
