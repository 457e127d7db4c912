"""``benchleaf readings``: readings typed into a spreadsheet, as the section of a record, on stdout."""

from __future__ import annotations

import argparse
import json
import re
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..record.set_files import Refusal
from .status import CLEAN, PROBLEMS, USAGE
from .streams import named_input, put, say

if TYPE_CHECKING:
    from ..record.spreadsheet import ReadPoints

_PLAIN = re.compile(r"[\w+][\w +./()-]*[\w+)]|[\w]")
_READ_OTHERWISE = re.compile(r"(?i)(true|false|yes|no|on|off|null|~|[\d.,:_+-]+)$")


def add_to(commands: Any) -> None:
    """Add the command to a parser's subparsers."""
    readings = commands.add_parser("readings", help="a spreadsheet of readings as a section of a record, on stdout")
    readings.add_argument("file", metavar="FILE", help="as a spreadsheet program saves it (CSV, text), or - for stdin")
    readings.add_argument(
        "--name", default="", metavar="NAME", help="what the list is called, such as “2026-03-28 finished”"
    )
    readings.set_defaults(run=run)


def run(given: argparse.Namespace) -> int:
    """Print the section; every row that cannot be read goes to stderr, by its line."""
    from ..record.spreadsheet import MOST_BYTES, notes_in, read_spreadsheet

    shown, data = named_input(given.file, MOST_BYTES)
    if isinstance(data, Refusal):
        say(data.problem(shown))
        return USAGE
    points, problems = read_spreadsheet(data, shown)
    for problem in problems:
        say(problem)
    if points:
        put(section(points, given.name or _name_of(shown), notes_in(data, shown)))
    return PROBLEMS if problems or not points else CLEAN


def _name_of(shown: str) -> str:
    return Path(shown).stem if shown != "<stdin>" else "as found"


def section(points: ReadPoints, name: str, note: str = "") -> str:
    """The readings as lines of a record's ``readings``: one for each tube or rail, in the order of the rows."""
    lines = ["readings:", f"  {_key(name)}:"]
    lines += [f"    note: {_value([note])}"] if note else []
    for position, readings in points.items():
        told = (_told(r.at, r.pin, r.value.written if r.value else "x") for r in readings)
        lines.append(f"    {_key(position)}: {_value(told)}")
    return "\n".join(lines) + "\n"


def _told(at: str, pin: str | None, written: str) -> str:
    place = f"pin {pin} {at}" if pin else f"pin {at}" if at.isdigit() else at
    return f"{place} {_flat(written)}".strip()


def _key(text: str) -> str:
    flat = _flat(text)
    plain = _PLAIN.fullmatch(flat) and not _READ_OTHERWISE.match(flat)
    return flat if plain else json.dumps(flat, ensure_ascii=False)


def _value(told: Iterable[str]) -> str:
    text = ", ".join(told)
    return text if re.fullmatch(r"[\w.+-][^:#\n{}\[\]&*!|>%@`\"']*", text) else json.dumps(text, ensure_ascii=False)


def _flat(text: str) -> str:
    return " ".join(text.split())
