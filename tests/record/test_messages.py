"""Each kind of mistake has one exact-text test of what is told; a kind without one fails here."""

from __future__ import annotations

import ast
import re
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from types import FrameType
from typing import Any

import pytest

import bad_records
import benchleaf
from bad_records import ALL, BadRecord
from benchleaf.record.problems import Problem

PACKAGE = Path(benchleaf.__file__).parent
TOLD_OF_FILES = {
    PACKAGE / "record" / name
    for name in (
        "set_files.py",
        "saved_table.py",
        "spreadsheet.py",
        "parts_spreadsheet.py",
        "own_tubes.py",
        "own_words.py",
    )
}
"""What these tell is tested with real files, beside the readers of files."""
ROOM = [
    *sorted(set(PACKAGE.glob("record/**/*.py")) - TOLD_OF_FILES),
    *sorted(PACKAGE.glob("circuit/names/*.py")),
    PACKAGE / "build" / "files.py",
]
MAKES_A_MESSAGE = {"refused", "Problem", "Mistake", "_refuse", "_stop", "_exceed", "_Told", "_unclosed"}
HANDS_IT_ON = {"_refuse", "_stop", "_exceed", "at", "add", "problems", "problems_of", "from_mistake", "_told_of"}
"""Functions that only give a message its place."""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return bad_records.make_sets(tmp_path_factory.mktemp("sets"))


@cache
def problems_of(case: BadRecord, folder: Path) -> list[Problem]:
    """Everything that is told of a record, once for all that is asked of it."""
    return bad_records.problems_of(case.data, folder)


@pytest.mark.parametrize("case", ALL, ids=[case.name for case in ALL])
def test_what_is_told_of(case: BadRecord, folder: Path) -> None:
    told = [str(p) for p in problems_of(case, folder)]
    assert bad_records.as_expected(told, case.told) == list(case.told)


@pytest.mark.parametrize("case", ALL, ids=[case.name for case in ALL])
def test_nothing_is_told_twice(case: BadRecord, folder: Path) -> None:
    """One place has one problem, but for what is not there at all: each missing line is told where it belongs."""
    written = [p for p in problems_of(case, folder) if p.found != "nothing"]
    assert len({(p.file, p.line, p.column) for p in written}) == len(written)


def test_no_two_cases_have_one_name() -> None:
    assert len({case.name for case in ALL}) == len(ALL)


def test_no_message_speaks_of_the_program() -> None:
    foreign = re.compile(
        r"Input should|validation|valid |NoneType|None\b|Section|\[type=|pydantic|yaml\.|YAML|scalar|mapping|sequence"
        r"|token|parse|Traceback|Error|<class|object at|Extra inputs|Field required|dict|tuple|#values|#table"
    )
    for case in ALL:
        for line in case.told:
            ours = re.sub(r"“[^”]*”", "", line)
            assert not foreign.search(ours), line


def test_every_message_has_place_found_and_expected() -> None:
    for case in ALL:
        for line in case.told:
            assert re.match(r"[\w.]+:\d+:\d+: (?:[^“]+: )?found .+; expected .", line), line


def test_every_kind_of_message_has_a_case(folder: Path) -> None:
    sites = {(str(file), first): last for file in ROOM for first, last in _messages_in(file)}
    reached = _lines_run(folder)
    untold = [
        f"{Path(file).relative_to(PACKAGE)}:{first}"
        for (file, first), last in sites.items()
        if not any((file, line) in reached for line in range(first, last + 1))
    ]
    assert len(sites) > 90
    assert untold == []


def _messages_in(file: Path) -> Iterator[tuple[int, int]]:
    """First and last line of every call that makes a message."""

    def calls(node: ast.AST, function: str) -> Iterator[ast.Call]:
        for child in ast.iter_child_nodes(node):
            inner = child.name if isinstance(child, ast.FunctionDef) else function
            if isinstance(child, ast.Call) and inner not in HANDS_IT_ON and _called(child) in MAKES_A_MESSAGE:
                yield child
            yield from calls(child, inner)

    for call in calls(ast.parse(file.read_text(encoding="utf-8")), ""):
        yield call.lineno, call.end_lineno or call.lineno


def _called(call: ast.Call) -> str:
    function = call.func
    if isinstance(function, ast.Name):
        return function.id
    if not isinstance(function, ast.Attribute):
        return ""
    owner = function.value.id if isinstance(function.value, ast.Name) else ""
    return {("slips", "add"): "_refuse", ("Problem", "at"): "Problem"}.get((owner, function.attr), function.attr)


def _lines_run(folder: Path) -> set[tuple[str, int]]:
    """The lines of the room that run while all bad records are read."""
    files = {str(file) for file in ROOM}
    lines: set[tuple[str, int]] = set()

    def enter(frame: FrameType, event: str, arg: Any) -> Any:
        return step if frame.f_code.co_filename in files else None

    def step(frame: FrameType, event: str, arg: Any) -> Any:
        lines.add((frame.f_code.co_filename, frame.f_lineno))
        return step

    before = sys.gettrace()
    sys.settrace(enter)
    try:
        for case in ALL:
            if len(case.data) < 5_000:
                bad_records.problems_of(case.data, folder)
        for case in ALL:
            if len(case.data) >= 5_000:
                bad_records.problems_of(case.data, folder)
    finally:
        sys.settrace(before)
    return lines


THIRTY_MISTAKES = b"""\
Maker: A
maker: B
model: C #4711
yeer: 1949
line: 60
power: serie string
chassis:isolated
IF: 600
state: sold
came in: 2026-02-30
finished: 28.13.2026
bands:
  MW: 540
tubes:
  V1: 12BE6,frequency changer
  V2: #80
valves:
  V3: 12AV6
heaters:
  pilot lamp: #4711
  dropper: resister 170 ohm
  measured:
    V1: 12 ohm
readings:
  sheet:
    V1: plate 9O, cathode
    B+1: 118 mA
parts:
  C1: now 10 nF 630 V 400 V
  C2: now 2.2 M
  C3: kep, 10 nF
  C4: between V1 plate
\tC5: keep
  C6: {now: 10 nF, 5 %}
line side:
  before:
    plug: round
    touchable: chasis, grib screws
log:
  - 2026-02-31, 3 h, x
  note: y
photos: &p dial.jpg
"""


def test_thirty_mistakes_come_at_once_and_run_down_the_file(folder: Path) -> None:
    problems = bad_records.problems_of(THIRTY_MISTAKES, folder)
    lines = [p.line for p in problems]
    assert lines == sorted(lines)
    assert len(problems) >= 30
    wrong_lines = set(range(2, 43)) - {12, 14, 18, 19, 22, 24, 25, 28, 35, 36, 39}
    assert set(lines) == wrong_lines
    assert len(lines) == len(wrong_lines) + 3, "two mistakes in lines 26, 38 and 42, one in each of the others"
