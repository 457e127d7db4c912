"""The parts in short: the changed ones as rows that open, the others in a paragraph, and no number lost on the way."""

from __future__ import annotations

from collections.abc import Iterator

import makers
from benchleaf.chapters.bench import Bench
from benchleaf.chapters.parts.findings import PartFindings
from benchleaf.record.units import say
from benchleaf.report.digest import OpeningRow
from benchleaf.report.sentence import Judged, text_of
from benchleaf.report.table import Cell
from benchleaf.report.verdict import Verdict
from markup import words_of
from sites import REPO

HEAD = """\
line: 120 V 60 Hz
power: series string
tubes: {V3: 12AV6, V4: 50C5}
readings: {found: {V3: plate 92, V4: cathode 7}}
parts:
"""


def opened(parts: str, head: str = HEAD) -> dict[str, OpeningRow]:
    """The rows of the list of changed parts by the part's name."""
    digest = makers.digest("parts", head + parts)
    return {cell_text(row.cells[0]): row for row in (digest.rows.rows if digest.rows else ())}


def cell_text(cell: Cell) -> str:
    return makers.plain(cell.text)


def test_of_more_changed_parts_than_the_record_lists_those_that_a_fault_names_stand_there() -> None:
    lines = "".join(f"  C{n}: was 0.01 uF 400 V paper, now 10 nF 630 V film\n" for n in range(1, 26))
    for named, rest in ((24, "1 more part was changed"), (23, "2 more parts were changed")):
        causes = "".join(f"  - found: hum\n    cause: C{n} leaky\n" for n in range(1, named + 1))
        digest = makers.digest("parts", f"parts:\n{lines}faults:\n{causes}")
        assert digest.rows is not None
        assert len(digest.rows.rows) == named
        assert f"{rest}, none of them named by a fault." in text_of(digest.after)


CHANGED = """\
  C7:
    job: audio coupling
    between: V3 plate, V4 grid
    was: .01 mfd 400 V paper, measured 13.6 nF, leakage 27 uA at 200 V
    now: 10 nF 630 V film 5 %, measured 9.96 nF
    outside foil: V3 plate
    ordered: 2026-02-23
    fitted: 2026-03-01
    checked: 2026-03-01
    why: held the grid positive
    original: in a bag
  R9: keep, 470 kohm 20 %, measured 612 kohm, between V4 grid and B-
  R10: keep, 150 ohm 10 %, measured 156 ohm
  T1: keep, job output transformer
  C14: to do, 0.05 uF 400 V paper, job AVC bypass
"""


def test_a_changed_part_is_a_row_that_opens() -> None:
    """13.6 nF for 10 nF is 36 % over; 200 V over 27 µA are 7.41 MΩ."""
    rows = opened(CHANGED)
    assert list(rows) == ["C7", "C14"]
    assert rows["C7"].anchor == "part-c7"
    assert [cell_text(cell) for cell in rows["C7"].cells[1:]] == [
        "audio coupling; V3 plate to V4 grid",
        "10 nF 400 V paper",
        "10 nF 630 V film ±5 %",
        "leaky, 27 µA; held the grid positive",
    ]
    inside = {word: makers.plain(text_of(said)) for word, said in rows["C7"].inside}
    found = "13.6 nF, +36 % of its value, out of assumed ±20 %, leakage 27 µA at 200 V = 7.41 MΩ"
    assert inside["Written"] == "was .01 mfd"
    assert inside["Found"].startswith(found)
    assert inside["Fitted"] == "9.96 nF, −0.4 %, within ±5 %, E6 value"
    assert "outside foil at V3 plate" in inside["Ratings"]
    assert inside["Original"] == "in a bag"
    assert inside["When"] == "ordered 2026-02-23, fitted and checked 2026-03-01"
    assert cell_text(rows["C14"].cells[3]) == "to do"


def test_what_was_off_is_hollow_where_it_left_the_set_and_filled_where_it_is_still_in() -> None:
    def why(state: str) -> Verdict:
        row = opened(f"  R1: {state}\n")["R1"]
        (mark,) = (part for line in row.cells[4].lines for part in line if isinstance(part, Judged))
        return mark.verdict

    assert why("was 1 kohm 10 %, measured 1.3 kohm, now 1 kohm 5 %") is Verdict.PUT_RIGHT
    assert why("to do, 1 kohm 10 %, measured 1.3 kohm") is Verdict.FAULT


def test_kept_parts_are_one_paragraph_what_is_off_first_and_what_was_not_measured_last() -> None:
    digest = makers.digest("parts", HEAD + CHANGED)
    assert makers.plain(text_of(digest.after)) == (
        "Kept (marked, measured): R9 470 kΩ, 612 kΩ; R10 150 Ω, 156 Ω. Kept, not measured: T1."
    )
    assert [part.verdict for part in digest.after if isinstance(part, Judged)] == [Verdict.FAULT]
    assert text_of(digest.conclusion) == "Of 5 parts in the record 1 was replaced and 3 kept; 1 is still to do."
    assert [line.text for line in digest.brief.done] == ["1 part replaced, 3 kept."]
    added = makers.digest("parts", HEAD + CHANGED + "  R50: was none, now 82 ohm 5 W\n").brief.done
    assert [line.text for line in added] == ["1 part replaced, 1 added, 3 kept."]


def test_ohms_of_a_kept_winding_were_read_as_it_wears_none() -> None:
    lines = "  T3: keep, output transformer, 152 ohm\n  L1: keep, 4.2 ohm\n  T4: keep\n"
    told = makers.plain(text_of(makers.digest("parts", f"{HEAD}{lines}").after))
    assert told == "Kept, ohms of wire: T3 152 Ω; L1 4.2 Ω. Kept, not measured: T4."


def test_kept_within_tolerance_is_said_only_where_all_were_measured_so() -> None:
    within = "  R1: keep, 1 kohm 10 %, measured 1.05 kohm\n"
    assert text_of(makers.digest("parts", HEAD + within).after).startswith("Kept, all within tolerance (marked")
    bound = "  R2: keep, 1 kohm 10 %, measured >0.5 kohm\n"
    assert text_of(makers.digest("parts", HEAD + within + bound).after).startswith("Kept (marked, measured)")


def test_a_can_is_one_row_with_its_sections() -> None:
    can = "  C12: {sections: {a: was 40 uF 150 V, b: was 20 uF 150 V}, now: 47 uF 200 V and 22 uF 250 V}\n"
    (row,) = opened(can).values()
    was, now = (cell_text(cell) for cell in row.cells[2:4])
    assert was == "a 40 µF, b 20 µF, each 150 V"
    assert now == "a 47 µF 200 V; b 22 µF 250 V"


def test_a_can_of_which_one_section_was_changed_is_a_row() -> None:
    assert list(opened("  C12: {sections: {a: 'keep, 8 uF', b: 'was 4 uF, now 4.7 uF'}}\n")) == ["C12"]


def test_beyond_24_rows_only_line_side_filter_and_what_a_fault_names_stay() -> None:
    many = "".join(f"  R{n}: was 1 kohm, now 1 kohm 5 %\n" for n in range(1, 31))
    more = "  C3: was 10 nF, now 10 nF Y2, between line and chassis\n  C12: was 8 uF, now 10 uF, job filter\n"
    head = HEAD.replace("parts:", "faults: [{complaint: dead, cause: R17}]\nparts:")
    assert list(opened(many + more, head)) == ["C3", "C12", "R17"]
    after = makers.digest("parts", head + many + more).after
    assert text_of(after) == "29 more parts were changed, none of them named by a fault. "


def test_a_capacitor_between_line_and_hand_is_told_of_once() -> None:
    """“What remains” had one sentence of the part and one of the line side on one capacitor of class Y2."""
    parts = "parts:\n  C5: was 0.05 uF 400 V paper, now 3.3 nF Y2, between B- and chassis\n"
    state = "plug: two-pin polarised\n    switch: hot lead\n    touchable: chassis\n"
    side = f"line side:\n  after:\n    {state}    B- to chassis: 1 meg, 3.3 nF Y2\n"
    text = f"line: 120 V 60 Hz\npower: series string\nchassis: through R and C\ntubes:\n  V5: 35W4\n{parts}"

    def told(text: str, *chapters: str) -> list[str]:
        remains = [one for chapter in chapters for one in makers.digest(chapter, text).brief.remains]
        return [said for one in remains if "Y2" in (said := makers.plain(one.text))]

    assert len(told(text, "parts")) == 1
    (both,) = told(text + side, "parts", "line_side")
    assert both.startswith("The capacitor from B- to chassis is of class Y2 alone")


def test_no_number_of_a_part_is_lost_from_record_and_page() -> None:
    """Every value, drift, change, leak and day of the demo's parts stands on the record or on the parts' page."""
    for path in sorted((REPO / "site_src/sets").glob("*/record.yml")):
        on = makers.bench(path.read_text(encoding="utf-8"))
        findings = makers.found("parts", on)
        told = makers.plain(words_of(makers.page("parts", on, findings) + makers.leaf("parts", on, findings), " "))
        for row in findings.rows():
            lost = [number for number in numbers(row, on) if makers.plain(number) not in told]
            assert lost == [], (path.parent.name, row.name)


def numbers(row: PartFindings, on: Bench) -> Iterator[str]:
    for seen in (row.piece.sheet, row.piece.was, row.piece.now):
        if seen:
            yield from (say(value, seen.unit) for value in (seen.value, seen.measured) if value is not None)
            yield from (say(ohms, "ohm") for ohms in (seen.leakage_ohms, seen.esr_ohms) if ohms is not None)
            yield from [say(seen.leakage_amps, "A")] if seen.leakage_amps is not None else []
            yield from [seen.value_typed.split()[0]] if seen.value_typed else []
    for ratio in (row.was_drift, row.now_drift, row.change_of_value or None):
        yield from [say(ratio, "1", digits=2)] if ratio is not None else []
    for grid in (row.was_on_grid, row.now_on_grid):
        yield from [say(grid.volts, "V")] if grid and grid.volts is not None else []
    part = on.record.parts[row.part]  # type: ignore[index]
    yield from (day.isoformat() for day in (part.ordered, part.tested, part.fitted, part.checked) if day)


def test_two_in_series_are_no_value_of_a_series_and_none_is_asked_of_them() -> None:
    row = opened("  R11: was 170 ohm, now 150 + 18 ohm in series 2 W\n")["R11"]
    told = " ".join(text_of(line) for one in row.cells for line in one.lines)
    everything = told + str(row)
    assert "no value of E6 to E192" not in everything
    assert "made of several" in everything
