"""``benchleaf add``: a line typed at the bench put where it belongs in a record's file."""

from __future__ import annotations

import argparse
import datetime
import difflib
import os
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..record.encoding import MAX_BYTES, decode
from ..record.inputs import RECORD_FILE
from ..record.problems import quoted
from ..record.set_files import Refusal, read
from ..record.written_days import UnclearDayError, read_date
from .records import is_folder
from .replacing import NotWrittenError, alone_with
from .status import CLEAN, PROBLEMS, USAGE
from .streams import put, say, standard_input, utf8_output

if TYPE_CHECKING:
    from ..record.adding.typed_rows import TypedRow
    from .added_lines import AddedLines, OfSet

_MOST_TRIES = 5
"""How often it begins again where something else changes the file meanwhile."""


def add_to(commands: Any) -> None:
    """Add the command to a parser's subparsers."""
    add = commands.add_parser("add", help="put a line typed at the bench where it belongs in a record")
    add.add_argument("record", metavar="RECORD", help="record.yml, or a set's folder")
    add.add_argument("line", nargs="+", metavar="LINE", help="such as “V4 grid 2.4”; - for lines on stdin, one a row")
    add.add_argument("--section", default="", metavar="NAME", help="the section, where the words leave it open")
    add.add_argument("--run", default="", dest="list", metavar="NAME", help="the list of readings it belongs to")
    add.add_argument("--date", default="", metavar="DAY", help="the day it was done; left out, today")
    add.add_argument("--dry-run", action="store_true", help="show what would change, and write nothing")
    add.set_defaults(run=run)


def run(given: argparse.Namespace) -> int:
    """Add the lines, all or none; what was done, or why nothing was, goes to stderr."""
    path = Path(given.record)
    path = path / RECORD_FILE if is_folder(path) else path
    if "\0" in given.record or not os.path.lexists(path):
        say(f"{given.record}: no record here")
        return USAGE
    of = _of_set(path)
    try:
        day = read_date(given.date, of.site.slash_dates) if given.date else datetime.date.today()
    except UnclearDayError as question:
        say(f"--date: found {quoted(given.date)}; expected {question.expected}; {question.remedy}")
        return USAGE
    rows = _rows(given)
    if isinstance(rows, int):
        return rows
    try:
        return _shown(path, of, rows, day) if given.dry_run else _written(path, of, rows, day)
    except NotWrittenError as error:
        say(f"{error}; nothing was changed")
        return USAGE


def _of_set(path: Path) -> OfSet:
    from ..build.own_table import own_files
    from .added_lines import OfSet
    from .site_options import manner_of_site

    return OfSet(path.parent, str(path), own_files(path.parent)[0], manner_of_site(path.parent))


def _rows(given: argparse.Namespace) -> list[TypedRow] | int:
    """The lines that were typed, or the exit code where there are none."""
    from ..record.adding.typed_rows import MOST_ROWS, TypedRow, typed_rows

    if given.line != ["-"]:
        return [TypedRow("LINE", " ".join(given.line), given.section, given.list)]
    data = standard_input(MAX_BYTES)
    if isinstance(data, Refusal):
        say(data.problem("<stdin>"))
        return USAGE
    text, problems = decode(data, "<stdin>")
    for problem in problems:
        say(problem)
    if problems:
        return PROBLEMS
    listed = [
        replace(row, section=row.section or given.section, run=row.run or given.list)
        for row in typed_rows(text, "<stdin>")
    ]
    if not 0 < len(listed) <= MOST_ROWS:
        say(f"<stdin>: found {len(listed):,} lines; expected 1 to {MOST_ROWS:,}")
        return USAGE
    return listed


def _written(path: Path, of: OfSet, rows: list[TypedRow], day: datetime.date) -> int:
    for _ in range(_MOST_TRIES):
        with alone_with(path) as unfinished:
            before = read(path, path.parent, MAX_BYTES)
            lines = _added(before, of, rows, day)
            if isinstance(lines, int):
                return lines
            assert isinstance(before, bytes)
            if unfinished.take_its_place(before, lines.data):
                return _told(lines)
    raise NotWrittenError(f"{path}: something else goes on changing it")


def _shown(path: Path, of: OfSet, rows: list[TypedRow], day: datetime.date) -> int:
    before = read(path, path.parent, MAX_BYTES)
    lines = _added(before, of, rows, day)
    if isinstance(lines, int):
        return lines
    assert isinstance(before, bytes)
    old, new = (decode(data, of.file)[0].splitlines() for data in (before, lines.data))
    utf8_output()
    put("".join(f"{line}\n" for line in difflib.unified_diff(old, new, of.file, of.file, lineterm="")))
    code = _told(lines)
    say("nothing was written")
    return code


def _added(data: bytes | Refusal, of: OfSet, rows: list[TypedRow], day: datetime.date) -> AddedLines | int:
    """The record with the lines in it; or the exit code, where it is said why not."""
    from .added_lines import AddedLines

    if isinstance(data, Refusal):
        say(data.problem(of.file))
        return USAGE
    lines = AddedLines(of, data)
    lines.add(rows, day)
    for refused in lines.refused:
        say(refused)
    if lines.refused:
        say("nothing was changed")
        return PROBLEMS
    return lines


def _told(lines: AddedLines) -> int:
    for told in lines.told:
        say(told)
    if lines.standing:
        count = f"{lines.standing} problem{'s' if lines.standing != 1 else ''}"
        say(f"{lines.of.file}: {count} stood there before, see “benchleaf check”")
    return CLEAN
