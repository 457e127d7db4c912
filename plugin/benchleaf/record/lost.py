"""What of a record could not be read, so that nothing is told that may only follow from it.

A name that refers to an entry with a slip is not missing, and what is said of a set cannot be held against a line that
was lost. Worked out from the lines as typed, as nothing else is known of them.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

_KEY = re.compile(r"(?:^|[{,])\s*(?:- +)*[\"']?([^\s:{},\[\]\"'#-][^:{},\[\]\"'#]*?)[\"']? *:(?=\s|$)")
_NAME = re.compile(r"(?<![\w.+-])[A-Za-z]{1,4}(?:[+-]\d*|\d+)(?![\w.])")
"""What the trade names positions, parts and rails by: V4, C7, HT2, B+1, B-."""
_BETWEEN_PLUG_AND_HAND = ("line side", "parts", "wires", "changes", "line", "mains", "power", "chassis", "heaters")
_QUOTED = re.compile(r"“([^“”]*)”")


@dataclass(frozen=True)
class Lost:
    """The ``names`` of what was lost, in small letters, the ``sections`` of the record it stood in, and its ``text``.

    ``anywhere`` says that it may have stood in any section, ``marred`` that the file's notation was broken somewhere.
    ``lines`` are those that what was lost begins on.
    """

    names: frozenset[str] = frozenset()
    sections: frozenset[str] = frozenset()
    text: str = ""
    anywhere: bool = False
    marred: bool = False
    lines: tuple[int, ...] = ()

    @property
    def may_reach_a_hand(self) -> bool:
        """Whether something was lost that may belong between the wall plug and a hand: then no word is said of it."""
        return self.touches(*_BETWEEN_PLUG_AND_HAND)

    def touches(self, *sections: str) -> bool:
        """Whether any of these sections of the record may have lost something."""
        return self.anywhere or not self.sections.isdisjoint(sections)

    def mentions(self, words: str) -> bool:
        """Whether these words stood somewhere in what was lost."""
        return bool(self.text) and re.search(rf"(?<!\w){re.escape(words.casefold())}(?!\w)", self.text) is not None

    def may_explain(self, at: object, found: str) -> bool:
        """Whether a slip, by the piece of text it is about and what was found, speaks of a name that was lost."""
        if not self.names:
            return False
        words = str(at) if isinstance(at, str) else ""
        spoken = [words, *words.split()[:1], *_QUOTED.findall(found), *_NAME.findall(f"{words} {found}")]
        return any(" ".join(name.split()).casefold() in self.names for name in spoken)


def lost_of(
    text: str, entries: Iterable[int], sections: Iterable[int], known: Mapping[str, str], *, marred: bool
) -> Lost:
    """What is lost with the lines that begin an entry (its name goes), or a section or a slip of notation (all names).

    Lines count from 1; what is indented below a line is lost with it. ``known`` has the names of sections in small
    letters, each with the section's own: what stands under another may belong to any of them.
    """
    entries = tuple(entries)
    lines = text.split("\n")
    names: set[str] = set()
    within: set[str] = set()
    blocks: list[str] = []
    anywhere = False
    whole = frozenset(sections)
    for number in {*entries, *whole}:
        block = list(block_of(lines, number))
        blocks += block
        names |= {key for line in block for key in _KEY.findall(line)}
        section = _section(lines, number - 1)
        within.add(known.get(section, section))
        anywhere = anywhere or section not in known
        if number in whole:
            names |= {name for line in block for name in _NAME.findall(line)}
    folded = frozenset(" ".join(name.split()).casefold() for name in names)
    return Lost(
        folded, frozenset(within), "\n".join(blocks).casefold(), anywhere, marred, tuple(sorted({*entries, *whole}))
    )


def block_of(lines: Sequence[str], number: int) -> Iterator[str]:
    """The line of this number (from 1) and what is indented below it; a list may begin in the column of its name."""
    index = number - 1
    if index >= len(lines):
        return
    yield lines[index]
    depth, bare = _indent(lines[index]), lines[index].rstrip().endswith(":")
    for line in (lines[at] for at in range(index + 1, len(lines))):
        listed = bare and _indent(line) == depth and line.lstrip().startswith("- ")
        if line.strip() and _indent(line) <= depth and not listed:
            return
        yield line


def _section(lines: Sequence[str], index: int) -> str:
    """The name at the first level that a line stands under, in small letters; empty where none is."""
    upwards = (lines[at] for at in range(min(index, len(lines) - 1), -1, -1))
    above = (line for line in upwards if line.strip() and not line.startswith((" ", "-", "#")))
    found = _KEY.match(next(above, ""))
    return found[1].casefold() if found else ""


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip(" "))
