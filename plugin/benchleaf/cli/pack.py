"""The command ``pack``: one set as one file to hand on."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..record.inputs import RECORD_FILE
from .putting import taking_the_place_of
from .records import is_folder
from .status import CLEAN, PROBLEMS, USAGE
from .streams import UnwritableError, say

if TYPE_CHECKING:
    import argparse

ENDING = ".benchleaf.zip"
"""What the name of a handed-on set ends in, where nobody gives it another."""


def add_to(commands: Any) -> None:
    """Adds ``pack`` to the parser's commands."""
    pack = commands.add_parser("pack", help="one set as one file to hand on, without what is private")
    pack.add_argument("set", type=Path, metavar="SET", help="a set's folder, or its record.yml")
    pack.add_argument("--out", metavar="FILE", help="the file to write, or - for stdout; left out, by the set's folder")
    pack.add_argument("--replace", action="store_true", help="write over a file that was packed before")
    pack.set_defaults(run=_pack)


def _pack(given: argparse.Namespace) -> int:
    from ..build.packed.packing import packed
    from .site_options import choices_of_site, kept_back

    folder = given.set if is_folder(given.set) else given.set.parent
    if not is_folder(given.set) and given.set.name != RECORD_FILE:
        say(f"{given.set}: found no set; expected a set's folder, or its {RECORD_FILE}")
        return USAGE
    if not os.path.lexists(folder / RECORD_FILE):
        say(f"{folder}: no record here")
        return USAGE
    made = packed(folder, str(folder), choices_of_site(folder), draft=kept_back(folder))
    for problem in made.problems:
        say(problem.public())
    if not made.data:
        say(f"{folder}: not packed; put right what is told above, which “benchleaf check” shows too")
        return PROBLEMS
    if not _put(made.data, given.out or f"{made.name}{ENDING}", replace=given.replace):
        return USAGE
    for remark in made.remarks:
        say(remark)
    return PROBLEMS if made.problems else CLEAN


def _put(data: bytes, out: str, *, replace: bool) -> bool:
    """Write the file as a whole, or say why it is not written. One that is the same already is left as it is."""
    if out == "-":
        _on_output(data)
        return True
    file = Path(out)
    there = _there(file, len(data))
    if there is not None and there != data and not replace:
        say(f"{file}: is there already; nothing was changed; write “--out” and another name, or “--replace”")
        return False
    if there == data:
        say(f"{file}: is there already, with the same in it")
        return True
    if there is not None and not there.startswith(b"PK"):
        say(
            f"{file}: something else is there already; expected a new name, or a set packed before; nothing was changed"
        )
        return False
    try:
        with taking_the_place_of(file) as beside:
            beside.write_bytes(data)
    except (OSError, ValueError) as error:
        say(f"{file}: cannot be written: {getattr(error, 'strerror', None) or error}")
        return False
    say(f"{file}: written, {len(data) / 1e6:.1f} MB; to be taken in with “benchleaf unpack”")
    return True


def _there(file: Path, most: int) -> bytes | None:
    """What stands under a name, one byte more than ``most`` at the most; None where nothing does."""
    from ..record.set_files import Refusal, read

    if not os.path.lexists(file):
        return None
    found = read(file, file.parent, most)
    return b"" if isinstance(found, Refusal) else found


def _on_output(data: bytes) -> None:
    if sys.stdout is None:
        raise UnwritableError("there is no standard output")
    try:
        sys.stdout.buffer.write(data)
    except BrokenPipeError:
        raise
    except OSError as error:
        raise UnwritableError(error.strerror or "no reason given") from None
