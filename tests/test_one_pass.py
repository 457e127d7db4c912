"""Every problem of a record in one pass: what can be read is followed; what may only follow from a slip is not told."""

from __future__ import annotations

import random
import re
from pathlib import Path

import pytest

import bad_records
from benchleaf.build.follow import look_over
from benchleaf.build.one_set import make_page, read_inputs
from benchleaf.circuit.place import place
from benchleaf.pages.set_page import SetPage
from benchleaf.record import read_record
from benchleaf.record.slips import Slips
from sites import REPO

HEAD = "maker: A\nmodel: B\n"
DEMO = sorted((REPO / "site_src" / "sets").glob("*/record.yml"))
BROKEN = (": !x 1", ": &x 1", ": *x")
"""What stands behind a name in place of its value: what YAML offers and a record has no use for."""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return bad_records.make_sets(tmp_path)


def told(text: str, folder: Path) -> list[str]:
    return [f"{p.line} {p.found}" for p in look_over((HEAD + text).encode(), folder, "record.yml").problems]


def test_a_value_that_cannot_be_read_hides_no_name_that_leads_nowhere(folder: Path) -> None:
    text = "IF: 455 lots\ntubes:\n  V1: QQ1\nheaters:\n  order: V9\nphotos:\n  dial: photos/none.jpg\n"
    assert [line.partition(" ")[0] for line in told(text, folder)] == ["3", "5", "7", "9"]


def test_a_line_that_breaks_the_notation_hides_no_other_problem(folder: Path) -> None:
    found = told("note: [a\npower: nothing\ntubes:\n  V1: QQ1\n", folder)
    assert {"4 “nothing”", "6 “QQ1”"} <= set(found)


def test_a_maker_that_is_not_there_hides_nothing(folder: Path) -> None:
    found = look_over(b"model: B\ntubes:\n  V1: QQ1\n", folder, "record.yml").problems
    assert [(p.line, p.found) for p in found] == [(1, "nothing"), (3, "“QQ1”")]


@pytest.mark.parametrize(
    ("text", "only"),
    [
        ("tubes:\n  V1: 6K7\n  V2: 6F6, heater 6\nreadings:\n  a:\n    V2: plate 90\n", "5"),
        ("parts:\n  C7 10 nF\nfaults:\n  - found: C7 leaky\n", "4"),
        ("tubse:\n  V1: 6K7\nreadings:\n  a:\n    V1: plate 90\n", "3"),
        ("tubes:\n  V1: 6K7\nparts:\n  C7: 10 furlongs\nfaults:\n  - found: C7 leaky\n", "6"),
        (
            "tubes:\n  V1: 6K7\nparts:\n  C1: to do, 10 nF, between V1 plate and snivet\n"
            "  C2: to do, 10 wombats, between snivet and B-\n",
            "7",
        ),
        ("power: battry\nline: 6 V DC\n", "3"),
        ("power: series string\ntubes:\n  V1: 6K7\n  V2: 6F6\nheaters:\n  order: V1\n  second string: [[V2]]\n", "9"),
        ("parts:\n  C1:\n    now: 10 uF, 20 uF\n    sections:\n      a: !x 1\n      b: to do\n", "7"),
        ("tubes:\n  V1: QQ7, heater 6.3\nchanged tubes:\n  V1: was QQ7\n", "4"),
    ],
    ids=[
        "tube",
        "no colon",
        "unknown section",
        "part",
        "a name used again",
        "power",
        "second string",
        "section",
        "own type",
    ],
)
def test_what_follows_from_a_slip_is_not_told(text: str, only: str, folder: Path) -> None:
    assert {line.partition(" ")[0] for line in told(text, folder)} == {only}


def test_a_lost_entry_silences_its_own_name_only(folder: Path) -> None:
    text = (
        "tubes:\n  V1: 6K7, heater 6\n  V2: 6F6\nreadings:\n  a:\n    V1: plate 90\n    V3: plate 90\n    V2: gril 3\n"
    )
    assert [line.partition(" ")[0] for line in told(text, folder)] == ["4", "9", "10"]


@pytest.mark.parametrize("path", DEMO, ids=[path.parent.name for path in DEMO])
def test_one_broken_line_of_a_whole_record_is_all_that_is_told(path: Path) -> None:
    """Ten lines of each demo record, broken in turn: whatever is told stands on that line or on what hangs below it."""
    lines = path.read_text(encoding="utf-8").split("\n")
    chance = random.Random(path.parent.name)
    named = [index for index, line in enumerate(lines) if re.match(r" *(?:- )?[^\s:#][^:#]*:", line)]
    for index in chance.sample(named, 10):
        before = re.match(r" *(?:- )?[^:]*", lines[index])
        assert before
        broken = [*lines[:index], before[0] + chance.choice(BROKEN), *lines[index + 1 :]]
        found = look_over("\n".join(broken).encode(), path.parent, "record.yml").problems
        assert found, broken[index]
        assert not [str(p) for p in found if not index < p.line <= _end(lines, index)], broken[index]


def _end(lines: list[str], index: int) -> int:
    """The number of the last line that hangs below a line; a list may begin in its column."""
    depth = len(lines[index]) - len(lines[index].lstrip())
    for number, line in enumerate(lines[index + 1 :], index + 1):
        if line.strip() and len(line) - len(line.lstrip()) <= depth:
            return number
    return len(lines)


def test_what_could_be_read_knows_what_it_lost() -> None:
    record, problems = read_record((HEAD + "IF: many\ntubes:\n  V1: 6K7\n  V2: 6F6, heater 6\n").encode(), "record.yml")
    assert record is not None
    assert len(problems) == 2
    assert (record.IF, list(record.tubes)) == (None, ["V1"])
    assert record.lost.touches("tubes")
    assert not record.lost.touches("heaters")
    assert record.lost.may_explain("V2 plate", "“V2 plate”")
    assert not record.lost.may_explain("V1 plate", "“V1 plate”")


def test_the_page_of_a_record_that_lost_a_line_is_made_again_when_a_file_it_names_arrives(folder: Path) -> None:
    from benchleaf.build.cache import Cache
    from benchleaf.pages.set_page import Choices

    (folder / "record.yml").write_text(HEAD + "IF: 455 lots\nphotos:\n  dial: photos/none.jpg\n", encoding="utf-8")
    page = make_page(read_inputs(folder), Choices(), Cache(folder.parent / "cache", b"k" * 32))
    assert page.unread == (3,)
    assert [p.line for p in page.problems] == [3, 5]
    assert ("photos/none.jpg", None) in page.depends


def of_lines(text: str, folder: Path) -> SetPage:
    from benchleaf.build.cache import Cache
    from benchleaf.pages.set_page import Choices

    (folder / "record.yml").write_text(HEAD + text, encoding="utf-8")
    return make_page(read_inputs(folder), Choices(), Cache(None))


def test_a_line_that_is_not_understood_costs_that_line(folder: Path) -> None:
    page = of_lines("tubes:\n  V1: 6K7\n  V2: QQ7, heater 6.3\nparts:\n  R1: 470k, 680k\n  C1: 10 nF\n", folder)
    assert page.title.startswith("A B")
    assert page.unread == (5, 7)
    assert "Lines 5 and 7 of the record were not understood" in page.html
    assert "680k" not in page.html
    files = {file.path: file.text or "" for file in page.files}
    assert "C1" in files["parts.csv"]
    assert '"not_understood": [5, 7]' in files["record.json"]
    assert page.card is not None
    assert page.card["not_understood"] == [5, 7]


def test_how_lines_were_taken_is_told_with_the_page_and_nothing_of_a_private_line(folder: Path) -> None:
    page = of_lines(
        "owner: Mrs Tarn\nparts:\n  C1: 10 nF, wobbly\n  C2: 22 nF, owner Mrs Tarn\nlog:\n  - 3 h\n", folder
    )
    kept = f"{folder.parent.name}/{folder.name}/record.yml:5:14: parts.C1.was.note: remark: kept as a note: wobbly"
    assert [remark for remark in page.remarks if "C1" in remark] == [kept]
    assert "Tarn" not in "".join(page.remarks)
    assert any(":6:" in remark and "may be private" in remark for remark in page.remarks)


@pytest.mark.parametrize("line", ["power: strnig\n", "chassis: hollow\n", "pwoer: transformer\n"])
def test_a_supply_or_chassis_that_is_not_understood_counts_as_on_the_line(line: str, folder: Path) -> None:
    record, problems = read_record(f"{HEAD}{line}line: 120 V 60 Hz\n".encode(), "record.yml")
    assert record is not None
    assert problems
    assert place(record, Slips("record.yml")).grounding.chassis_on_line


def test_nothing_is_said_of_what_can_be_touched_while_a_part_is_not_understood(folder: Path) -> None:
    side = "line side:\n  after:\n    plug: two-pin\n    B- to chassis: 220 kohm\n    touchable: chassis\n"
    supply = "line: 120 V 60 Hz\npower: series string\n"
    assert 'href="line-side' in of_lines(supply + side, folder).html
    lacking = of_lines(supply + side + "parts:\n  C1: between B- and chassis, 470 pF, 900 pF\n", folder)
    assert 'href="line-side' not in lacking.html
    assert "What can be touched is not computed" in lacking.html


def test_of_broken_notation_the_text_is_not_passed_on(folder: Path) -> None:
    page = of_lines('log:\n  - "works", thanks\nparts:\n  C1: 10 nF\n', folder)
    assert "record.yml" not in {file.path for file in page.files}
    assert "parts.csv" in {file.path for file in page.files}
    assert of_lines('owner: "Mrs Tarn, thanks\nparts:\n  C1: 10 nF\n', folder).title.endswith("cannot be read")


def test_a_line_that_cannot_be_read_keeps_no_name_beside_it_from_being_looked_up(folder: Path) -> None:
    """In the same line, and in the same session: what else is wrong there is told at once."""
    text = (
        "tubes:\n  V1: 12SQ7, detector\nparts:\n  C4: 10 nF, between V1 plate and V9 grid, 22 nF\n"
        "alignment:\n  - date: 2026-03-01\n    steps:\n      - 455 kHz, 600 kHz, T1 for maximum\n"
        "      - 600 kHz at V8 grid, C77 for maximum\n"
    )
    assert [line.partition(",")[0] for line in told(text, folder)] == [
        "6 “V9”",
        "6 “22 nF”",
        "10 “600 kHz”",
        "11 “V8”",
    ]
