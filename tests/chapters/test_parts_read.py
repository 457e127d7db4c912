"""A published parts list read back in: out, in and out again is the same; a spreadsheet program finds no formula."""

from __future__ import annotations

import csv
import io
import subprocess
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import makers
from benchleaf.chapters.parts.parts_list import JUDGED, as_csv
from benchleaf.chapters.parts.parts_read import read_parts_list
from benchleaf.record.model import Record
from sites import REPO

HEAD = "maker: A\nmodel: B\n"
FULL = (
    HEAD
    + """parts:
  C7:
    job: audio coupling
    between: V3 plate, V4 grid
    sheet: 0.01 uF 400 V
    was: .01 mfd 400 V paper, measured 13.6 nF, leakage 38 uA at 200 V, marked 103
    now: 10 nF 630 V film 5 %, measured 9.96 nF, leakage <0.1 uA at 400 V
    outside foil: V3 plate
    fitted: 2026-03-01
    checked: 2026-03-02
    why: leaky, =1+1
    original: "-in a bag"
  C12:
    sections:
      a: was 40 uF 150 V electrolytic, measured OL, between B+1 and B-, positive B+1
      b: was 20 uF 150 V electrolytic, keep
    note: "@home: 'quoted'"
  C13:
    sections:
      a: was 40 uF 150 V electrolytic, ESR 9 ohm
      b: was 20 uF 150 V electrolytic, ESR 7 ohm
    now: 47 uF 200 V and 22 uF 200 V, restuffed in the original can
  R5: now 470 kohm 5 % 0.5 W, measured 468 kohm, was 470 kohm 20 %, measured 612 kohm, between V3 plate and B+2
  R8: keep, 150 ohm 10 %, measured 156 ohm
  C14: to do, 0,05 uF 400 V paper
  C15: reform, 16 uF 450 V electrolytic
  T1: keep, job first IF transformer
  "=C99": now 1 nF mica
"""
)


def csv_of(record: Record) -> str:
    return as_csv(record, makers.findings("parts", record))


def again(text: str) -> str:
    parts, problems = read_parts_list(text.encode(), "parts.csv", whole=True)
    assert problems == []
    return csv_of(makers.record(HEAD + parts))


def test_out_in_and_out_again_is_the_same() -> None:
    out = csv_of(makers.record(FULL))
    assert again(out) == out


@pytest.mark.parametrize("folder", sorted(p.parent.name for p in (REPO / "site_src" / "sets").glob("*/record.yml")))
def test_the_demo_sets_come_back_the_same(folder: str) -> None:
    record = makers.record((REPO / "site_src" / "sets" / folder / "record.yml").read_bytes())
    out = csv_of(record)
    assert as_written(again(out)) == as_written(out)


def as_written(text: str) -> list[dict[str, str]]:
    """The lines without what follows from the rest of the record, which a parts list does not hold."""
    return [{h: c for h, c in r.items() if h not in JUDGED} for r in csv.DictReader(io.StringIO(text, newline=""))]


TEXT = st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs", "Zl", "Zp")), min_size=1, max_size=20)


@settings(max_examples=60)
@given(
    why=TEXT,
    job=TEXT,
    value=st.sampled_from(["0.05 uF", "0,05 uF", ".01 mfd", "470 pF", "4.7 uF"]),
    kind=st.sampled_from(["paper", "film", "silver mica", "electrolytic"]),
    state=st.sampled_from(["", "to do, ", "keep, "]),
)
def test_any_words_come_back_the_same(why: str, job: str, value: str, kind: str, state: str) -> None:
    import json

    text = f"{HEAD}parts:\n  C1:\n    was: {value} 400 V {kind}, measured 68 nF\n"
    text += f"    why: {json.dumps(why)}\n    job: {json.dumps(job)}\n"
    text += f"    state: {state.strip(', ')}\n" if state else ""
    record = makers.readable(text)
    if record is None:
        return
    out = csv_of(record)
    assert again(out) == out


def test_a_start_holds_what_another_set_of_the_chassis_shares() -> None:
    parts, problems = read_parts_list(csv_of(makers.record(FULL)).encode(), "parts.csv", whole=False)
    assert problems == []
    for word in ("measured", "leaky", "bag", "2026", "restuffed", "state:", "was:", "now:"):
        assert word not in parts
    record = makers.record(HEAD + parts)
    assert len(record.parts) == 9
    row = next(iter(csv.DictReader(io.StringIO(csv_of(record), newline=""))))
    assert (row["part"], row["job"], row["end 1"], row["sheet value"], row["sheet unit"]) == (
        "C7", "audio coupling", "V3 plate", "10", "nF",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "no column"),
        (b"a,b\n1,2\n", "no column"),
        (b'part,"', "a quotation mark that is not closed"),
        (b"\xff\xfe\x00", "found"),
        (b"x" * 4_000_001, "more than 1,000,000 bytes"),
    ],
)
def test_what_is_no_parts_list_is_said(data: bytes, said: str) -> None:
    parts, problems = read_parts_list(data, "parts.csv", whole=True)
    assert parts == ""
    assert said in str(problems[0])


def test_hostile_cells_stay_text() -> None:
    """Cells that look like YAML or a line’s grammar come out as text, or as a problem, never as structure."""
    heading = "part,section,job,end 1,end 2,state,sheet as written,found as written,now as written,why"
    row = '"C1: {a: b}",,"!!python/object:os.system x","a]","b: c",kept,,"*anchor, now 1 uF",,"- x\n  y: z"'
    parts, problems = read_parts_list(f"{heading}\n{row}\n".encode(), "parts.csv", whole=True)
    assert problems == []
    record = makers.readable(HEAD + parts)
    if record is not None:
        assert set(record.parts) == {"C1: {a: b}"}


def _cells(folder: Path, text: str) -> tuple[list[str], list[str]]:
    """All cells of a CSV as Gnumeric's ssconvert opens it, and those that are formulas: they have no type of value."""
    (folder / "parts.csv").write_text(text, encoding="utf-8", newline="")
    done = subprocess.run(
        ["ssconvert", "-T", "Gnumeric_XmlIO:sax:0", "parts.csv", "parts.xml"],
        cwd=folder, capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    cells = (folder / "parts.xml").read_text(encoding="utf-8").split("<gnm:Cell ")[1:]
    return cells, [cell for cell in cells if "ValueType=" not in cell.partition(">")[0]]


def test_a_spreadsheet_program_finds_no_formula(tmp_path: Path) -> None:
    """The control shows that ssconvert does take a bare equals sign for a formula."""
    _, control = _cells(tmp_path, "a,b\n=1+1,x\n")
    assert len(control) == 1
    text = FULL.replace("leaky, =1+1", '"=HYPERLINK(1)"').replace("audio coupling", '"+1+1"')
    text = text.replace("first IF transformer", '"\\t=2*3;=4*5"')
    cells, formulas = _cells(tmp_path, csv_of(makers.record(text)))
    assert formulas == []
    assert len(cells) > 100
    assert any("HYPERLINK" in cell for cell in cells)
    numbers = [cell.partition(">")[2].partition("<")[0] for cell in cells if 'ValueType="40"' in cell]
    assert pytest.approx(13.6) in [float(number) for number in numbers]
    assert len([cell for cell in cells if 'Row="1"' in cell]) > 30


def test_a_can_with_one_section_comes_back_as_a_can() -> None:
    parts = "parts:\n  C12:\n    sections:\n      a: was 40 uF 150 V electrolytic, now 47 uF 200 V electrolytic\n"
    out = csv_of(makers.record(HEAD + parts))
    assert again(out) == out
    text, problems = read_parts_list(out.encode(), "parts.csv", whole=True)
    assert problems == []
    assert list(makers.record(HEAD + text).parts["C12"].sections) == ["a"]
