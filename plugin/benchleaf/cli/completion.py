"""Completion of commands, options and files in a shell: a script made once, so that no key press waits for Python."""

from __future__ import annotations

import argparse
from typing import Any

from .status import CLEAN
from .streams import put

SHELLS = ("bash", "zsh", "fish")
_FILES = ("PATH", "RECORD", "FILE", ".csv")
_FOLDERS = ("FOLDER",)
"""How what stands for a file or a folder ends in the help."""


def add_to(commands: Any, program: argparse.ArgumentParser) -> None:
    """Add the command to the subparsers of a program, all of whose commands it completes."""
    completion = commands.add_parser("completion", help="a script that completes the commands in a shell, on stdout")
    completion.add_argument("shell", choices=SHELLS, help="the shell it is for")
    completion.set_defaults(run=run, program=program)


def run(given: argparse.Namespace) -> int:
    """Print the script for one shell."""
    put(script(given.program, given.shell))
    return CLEAN


def script(of: argparse.ArgumentParser, shell: str) -> str:
    """The script that completes a program in a shell, its paths by the files and folders there are."""
    import shtab

    for action in _actions(of):
        if str(action.metavar).endswith(_FILES):
            action.complete = shtab.FILE  # type: ignore[attr-defined]
        elif str(action.metavar).endswith(_FOLDERS):
            action.complete = shtab.DIRECTORY  # type: ignore[attr-defined]
    return str(shtab.complete(of, shell))


def _actions(of: argparse.ArgumentParser) -> list[argparse.Action]:
    found: list[argparse.Action] = []
    for action in of._actions:
        found.append(action)
        if isinstance(action, argparse._SubParsersAction):
            found += [inner for command in action.choices.values() for inner in _actions(command)]
    return found
