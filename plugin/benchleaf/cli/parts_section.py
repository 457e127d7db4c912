"""``benchleaf parts``: a parts list typed into a spreadsheet, or a published one, as the section of a record."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..record.set_files import Refusal
from .status import CLEAN, PROBLEMS, USAGE
from .streams import named_input, put, say

if TYPE_CHECKING:
    from ..record.adding.as_written import Added
    from ..record.parts_spreadsheet import ReadPart
    from ..record.problems import Problem


def add_to(commands: Any) -> None:
    """Add the command to a parser's subparsers."""
    parts = commands.add_parser("parts", help="a spreadsheet of parts as a section of a record, on stdout")
    parts.add_argument("file", metavar="FILE", help="as a spreadsheet program saves it (CSV, text), or - for stdin")
    parts.set_defaults(run=run)


def run(given: argparse.Namespace) -> int:
    """Print the section; every row and cell that cannot be read goes to stderr, by its place."""
    from ..chapters.parts.parts_read import is_published_list, read_parts_list
    from ..record.saved_table import MOST_BYTES

    shown, data = named_input(given.file, MOST_BYTES)
    if isinstance(data, Refusal):
        say(data.problem(shown))
        return USAGE
    if is_published_list(data, shown):
        text, problems = read_parts_list(data, shown, whole=True)
    else:
        text, problems = _typed(data, shown, Path() if given.file == "-" else Path(given.file).parent)
    for problem in problems:
        say(problem)
    put(text)
    return PROBLEMS if problems or not text else CLEAN


def _typed(data: bytes, shown: str, folder: Path) -> tuple[str, list[Problem]]:
    from ..record.parts_spreadsheet import read_parts_spreadsheet
    from .site_options import manner_of_site

    parts, problems = read_parts_spreadsheet(data, shown, manner_of_site(folder / "x"))
    return section(parts), problems


def section(parts: Sequence[ReadPart]) -> str:
    """The parts as lines of a record's ``parts``; empty where there are none."""
    from ..record.adding.as_written import block

    named: dict[str, Added] = {part.name: part.written for part in parts}
    return "".join(f"{line}\n" for line in block({"parts": named}, 0)) if named else ""
