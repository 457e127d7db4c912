"""What a command reads from and says to: a terminal or pipes, any of which may fail, have no end, or be missing."""

from __future__ import annotations

import io
import os
import sys
from contextlib import suppress
from pathlib import Path

from ..record.set_files import UNREADABLE, Refusal, read

NO_INPUT = Refusal("no standard input", "a file on it", "name the file, or pipe it in")


class UnwritableError(Exception):
    """Standard output cannot be written; the text says why."""


def say(text: object) -> None:
    """A message on standard error; a folder's name in it may hold signs that would command a terminal."""
    if sys.stderr is None:
        return
    with suppress(OSError):
        print(shown(str(text)), file=sys.stderr)


def shown(text: str) -> str:
    """Text for a terminal, its signs that are no letters to be seen as question marks."""
    return "".join(c if c.isprintable() else "?" for c in text)


def put(text: str) -> None:
    """Data on standard output, as it is.

    Raises BrokenPipeError where its reader went away, UnwritableError where it cannot be written for another reason.
    """
    _on_output(text)


def finish() -> None:
    """All that was put is out. Raises as ``put`` does."""
    _on_output("")


def _on_output(text: str) -> None:
    if sys.stdout is None:
        raise UnwritableError("there is no standard output")
    try:
        sys.stdout.write(text)
        if not text:
            sys.stdout.flush()
    except BrokenPipeError:
        raise
    except OSError as error:
        raise UnwritableError(error.strerror or "no reason given") from None


def give_up_output() -> None:
    """Nothing more goes to standard output, not even what still waits there when Python ends."""
    if sys.stdout is not None:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def utf8_output() -> None:
    """Data goes out in UTF-8 with its own line ends, whatever the terminal is set to."""
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(encoding="utf-8", newline="")


def standard_input(most: int) -> bytes | Refusal:
    """Standard input, one byte more than ``most`` at the most, as it may never end; or why it is not read."""
    if sys.stdin is None:
        return NO_INPUT
    try:
        return sys.stdin.buffer.read(most + 1)
    except OSError:
        return UNREADABLE


def named_input(name: str, most: int) -> tuple[str, bytes | Refusal]:
    """A file as it was named, standard input for ``-``: what it is called in messages, and what it holds or why not."""
    if name == "-":
        return "<stdin>", standard_input(most)
    path = Path(name)
    return name, read(path, path.parent)
