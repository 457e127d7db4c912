"""What ``--help`` says of the program and of each command: what it does, one example, the exit codes.

The words stand in ``commands.csv``: ``says``, an ``example`` as it is typed beside ``mkdocs.yml``, and what exit code
``one`` means of the command, empty where it never comes. They are read when help is asked for.
"""

from __future__ import annotations

import argparse
import csv
import textwrap
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from .status import CLEAN, FAILED, PROBLEMS, USAGE

_WIDTH = 88
"""Characters in a line of help: a terminal of the usual width, and a page of the documentation."""


@dataclass(frozen=True)
class CommandRow:
    """What is told of a command; of the program where ``command`` is empty."""

    command: str
    says: str
    example: str
    one: str

    def exit_codes(self) -> Mapping[int, str]:
        """What each exit code means, those left out that never come."""
        codes = {
            CLEAN: "done, nothing to put right",
            PROBLEMS: self.one if self.command else "a problem in what was read",
            USAGE: "called wrongly, or a file or folder is not there or cannot be written",
            FAILED: "a mistake of Benchleaf itself; it says where",
        }
        return {code: meaning for code, meaning in codes.items() if meaning}


def command_rows() -> dict[str, CommandRow]:
    """The rows by their command."""
    with Path(__file__).with_name("commands.csv").open(encoding="utf-8", newline="") as file:
        return {row["command"]: CommandRow(**row) for row in csv.DictReader(file)}


class CommandParser(argparse.ArgumentParser):
    """A parser whose help is told by the table."""

    def __init__(self, **more: Any) -> None:
        super().__init__(**more, formatter_class=argparse.RawDescriptionHelpFormatter)

    def format_help(self) -> str:
        row = command_rows()[self.prog.partition(" ")[2]]
        self.description = textwrap.fill(row.says, _WIDTH)
        codes = "\n".join(f"  {code}  {meaning}" for code, meaning in row.exit_codes().items())
        self.epilog = f"example:\n  {row.example}\n\nexit codes:\n{codes}"
        return super().format_help()
