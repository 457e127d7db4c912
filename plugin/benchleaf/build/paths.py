"""Paths below a folder as text: put together, compared as disks compare them, and shown to the writer."""

from __future__ import annotations

import unicodedata


def joined(*parts: str) -> str:
    """One path of several, any of which may be empty for the folder itself."""
    return "/".join(part for part in parts if part)


def folded(path: str) -> str:
    """A path as disks see it that take upper and lower case, and both ways to write an accent, for the same."""
    return unicodedata.normalize("NFC", path).casefold()


def in_words(*parts: str) -> str:
    """A path for a message: on one line, without signs that would command a terminal."""
    return "".join(c if c.isprintable() else "?" for c in joined(*parts))
