"""What the parts chapter says is said once: tables, the top of the page, files and sheets agree."""

from __future__ import annotations

import csv
import io
from typing import Any

import pytest

import makers
from benchleaf.chapters.bench import Bench
from benchleaf.chapters.examine import as_record_json
from benchleaf.chapters.parts import verdicts
from benchleaf.chapters.parts.findings import PartFindings
from benchleaf.chapters.parts.opened_row import inside
from benchleaf.chapters.parts.say import said, standouts
from benchleaf.pages.sheets import bench_sheet
from benchleaf.pages.takeaway import parts_csv
from benchleaf.report.sentence import Judged, text_of
from benchleaf.report.verdict import Verdict

HEAD = """\
line: 120 V 60 Hz
power: series string
tubes: {V3: 12AV6, V4: 50C5}
readings: {found: {V3: plate 92, V4: cathode 7}}
parts:
"""
COUPLING = "between: [V3 plate, V4 grid]"


def bench(parts: str) -> Bench:
    return makers.bench(HEAD + parts)


def only_row(parts: str) -> PartFindings:
    (row,) = makers.findings("parts", bench(parts)).rows()
    return row


def tops(parts: str) -> dict[str, tuple[Verdict, int]]:
    """The sentences at the top, with verdict and severity."""
    on = bench(parts)
    sentences = standouts(makers.findings("parts", on), on)
    return {s.text.replace("\u202f", " "): (s.verdict, s.severity) for s in sentences}


@pytest.mark.parametrize(
    ("rated", "verdict"), [("0.25 W", Verdict.FAULT), ("0.5 W", Verdict.WATCH), ("1 W", Verdict.GOOD)]
)
def test_heat_is_judged_alike_in_the_row_in_its_table_and_at_the_top(rated: str, verdict: Verdict) -> None:
    """7 V across 150 ohm are 0.327 W; twice that is common practice, no source."""
    part = f"  R10: keep, 150 ohm {rated}, between V4 cathode and B-\n"
    row = only_row(part)
    judged = verdicts.heat_and_rating(row)
    assert judged is not None
    assert judged.verdict is verdict
    on = bench(part)
    table = said(makers.findings("parts", on), on).heating
    assert table is not None
    (entry,) = table.rows()
    ((last,),) = entry.cells[-1].lines
    assert isinstance(last, Judged)
    assert last.verdict is verdict
    assert [v for v, _ in tops(part).values()] == ([verdict] if verdict.is_off else [])


@pytest.mark.parametrize(
    ("part", "verdict", "severity"),
    [
        ("state: keep, was: 10 nF 400 V, leakage 38 uA at 200 V", Verdict.FAULT, 2),
        ("was: 10 nF 400 V, leakage 38 uA at 200 V|now: 10 nF 630 V film", Verdict.PUT_RIGHT, 1),
    ],
)
def test_what_left_the_set_is_worth_knowing_and_no_more(part: str, verdict: Verdict, severity: int) -> None:
    fields = part.replace("|", "\n    ").replace("keep, was", "keep\n    was")
    parts = f"  C7:\n    {fields}\n    {COUPLING}\n  R9: keep, 470 kohm, between V4 grid and B-\n"
    told = [found for text, found in tops(parts).items() if "on V4 grid" in text]
    assert told == [(verdict, severity)]


@pytest.mark.parametrize(
    ("state", "verdict"), [("keep", Verdict.DANGER), ("to do", Verdict.FAULT)]
)  # fmt: skip
def test_a_missing_class_is_a_danger_where_the_part_stays(state: str, verdict: Verdict) -> None:
    part = f"  C1: {state}, 20 nF 400 V paper, between line and chassis\n"
    judged = verdicts.safety_class(only_row(part))
    assert judged is not None
    assert judged.verdict is verdict
    assert any(v is Verdict.DANGER for v, _ in tops(part).values()) is (verdict is Verdict.DANGER)


@pytest.mark.parametrize(
    ("now", "leak", "corner"),
    [
        ("10 nF 630 V film", "470 kohm", "corner 34 Hz"),
        ("10 nF 630 V film 5 %", "470 kohm 5 %", "corner 33.9 Hz"),
        ("10 nF 630 V film, measured 10 nF", "470 kohm, measured 470 kohm", "corner 33.9 Hz"),
        ("10 nF 630 V film 5 %", "470 kohm", "corner 34 Hz"),
    ],
)
def test_a_corner_has_the_figures_its_parts_bear(now: str, leak: str, corner: str) -> None:
    """1/(2π · 470 kΩ · 10 nF) is 33.863 Hz."""
    on = bench(
        f'  C7: {{was: 10 nF 400 V paper, now: "{now}", {COUPLING}}}\n  R9: keep, {leak}, between V4 grid and B-\n'
    )
    table = said(makers.findings("parts", on), on).new_values
    assert table is not None
    (row,) = table.rows()
    assert text_of(row.cells[-1].lines[0]).replace("\u202f", " ") == corner
    assert text_of(row.cells[1].lines[0]).replace("\u202f", " ") == "corner 34 Hz"


def test_the_file_says_the_worst_of_each_part() -> None:
    parts = (
        "  C1: keep, 20 nF 400 V paper, between line and chassis\n"
        "  R1: keep, 1 kohm 10 %, measured 1.3 kohm\n"
        "  R2: was 1 kohm 10 %, measured 1.3 kohm, now 1 kohm 5 %, measured 1.01 kohm\n"
        "  R3: keep, 1 kohm 10 %, measured 1.05 kohm\n"
        "  R4: keep, 1 kohm\n"
    )
    rows = csv.DictReader(io.StringIO(parts_csv(makers.examined(HEAD + parts)), newline=""))
    assert {r["part"]: r["verdict"] for r in rows} == {
        "C1": "danger", "R1": "fault", "R2": "put right", "R3": "in order", "R4": "",
    }  # fmt: skip


def test_the_record_file_holds_the_sentences_of_the_top() -> None:
    examined = makers.examined(HEAD + "  C1: keep, 20 nF 400 V paper, between line and chassis\n")
    told: list[dict[str, Any]] = as_record_json(examined)["stands_out"]
    assert [(s["text"], s["severity"], s["anchor"]) for s in told] == [
        (s.text, s.severity, s.anchor) for s in examined.standouts()
    ]
    assert told[0]["verdict"] == "danger"


@pytest.mark.parametrize(
    ("part", "on_the_sheet"),
    [
        ("C12: {was: 8 uF 450 V electrolytic, state: reform}", True),
        ("C12: {was: 8 uF 450 V electrolytic, state: reform, tested: 2026-03-01}", False),
        ("C12: {sections: {a: 'keep, 8 uF', b: 'keep, 4 uF'}}", False),
        ("C12: {sections: {a: 'keep, 8 uF', b: 'to do, 4 uF'}}", True),
        ("C12: {was: 8 uF 450 V electrolytic}", True),
        ("C12: {was: 8 uF 450 V electrolytic, checked: 2026-03-01}", False),
    ],
)
def test_the_bench_sheet_lists_what_the_page_has_as_open(part: str, on_the_sheet: bool) -> None:
    assert ("C12" in bench_sheet(makers.examined(f"{HEAD}  {part}\n"))) is on_the_sheet


@pytest.mark.parametrize(
    ("grid", "put", "bias"),
    [
        (", grid +3.6", "+16.7 V on V4 grid, read +3.6 V", False),
        (", grid +16", "which put +16.7 V on V4 grid", True),
        ("", "which would put +16.7 V on V4 grid", True),
    ],
)
def test_what_a_leak_would_put_on_a_grid_stands_beside_what_was_read_there(grid: str, put: str, bias: bool) -> None:
    """52 V x 520 kohm / (520 kohm + 1.1 Mohm) = 16.7 V, where the cathode read 11.8 V."""
    head = HEAD.replace("plate 92", "plate 52").replace("cathode 7", f'"cathode 11.8{grid}"')
    parts = (
        "  C16: was 10 nF 400 V paper, leakage 227.3 uA at 250 V, now 10 nF 630 V, between V3 plate and V4 grid\n"
        "  R13: keep, 470 kohm, measured 520 kohm, between V4 grid and B-\n"
    )
    on = makers.bench(head + parts)
    findings = makers.findings("parts", on)
    row = next(one for one in findings.rows() if one.name == "C16")
    assert row.was_on_grid is not None
    assert row.was_on_grid.takes_bias_away is bias
    opened = dict(inside(row, findings, on))
    assert put in makers.plain(text_of(opened["Found"]))
    assert any("read +3.6 V" in one for one in makers.said("parts", on)) is not bias
