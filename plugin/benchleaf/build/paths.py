"""Paths: put together, compared as disks compare them, shown to the writer, and with their links followed."""

from __future__ import annotations

import os
import unicodedata
from pathlib import Path


def joined(*parts: str) -> str:
    """One path of several, any of which may be empty for the folder itself."""
    return "/".join(part for part in parts if part)


def folded(path: str) -> str:
    """A path as disks see it that take upper and lower case, and both ways to write an accent, for the same."""
    return unicodedata.normalize("NFC", path).casefold()


def in_words(*parts: str) -> str:
    """A path for a message: on one line, without signs that would command a terminal."""
    return "".join(c if c.isprintable() else "?" for c in joined(*parts))


def real_path(path: Path) -> Path:
    """Where a path leads, all links followed as far as they go: ``Path.resolve`` raises where they go round."""
    return Path(os.path.realpath(path))


def is_text(name: str) -> bool:
    """Whether a name on the disk is text: bytes of another encoding read as half signs, which no address has."""
    return name.isascii() or not any("\ud800" <= sign <= "\udfff" for sign in name)
