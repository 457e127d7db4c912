"""How a written thing keeps its place in the file on the way through the Markdown library, which forgets line numbers.

Every ``[[piece]]`` and every address is marked before the text is handed over, with two code points that no text may
hold (U+FDD0 and U+FDD1), a letter and a number: ``p`` a piece, ``u`` a piece with uneven brackets, ``w`` where an
address begins. What the library leaves inside code is put back as it was typed. Capital ``P`` is a piece that has its
place, ``h`` a heading, ``f`` a photo, ``i`` a picture inside a line.
"""

from __future__ import annotations

import html
import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field

from ...record.problems import did_you_mean, one_of, quoted
from ...record.slips import At, Slips
from .recording_links import RecordingLink, is_recording, recording_link

MOST_PROBLEMS = 100
"""Problems told of one file."""
FIELD = "story"
"""What stands in a problem of a story where one of a record names its field."""

PLACEHOLDER = re.compile("\ufdd0([a-zA-Z])(\\d+)\ufdd1")

_WRITTEN = re.compile(
    r"(?<!\\)\[\[(?P<piece>[^\[\]\n]{0,120}(?:\n[^\[\]\n]{1,120})?)\]\](?![(\[])"
    r"|^ {0,3}(?P<uneven>\[\[[^\[\]\n]{0,120}\]|\[[^\[\]\n]{0,120}\]\])(?=[ \t]*$)"
    r"|\](?P<address>\(\s*<?|:[ \t]*<?)",
    re.MULTILINE,
)


def placeholder(letter: str, number: int) -> str:
    """The placeholder that stands for the numbered thing while the library works."""
    return f"\ufdd0{letter}{number}\ufdd1"


@dataclass(frozen=True, slots=True)
class ImageUse:
    """A picture named in a story. ``caption`` is what stands in quotation marks behind the address, if anything."""

    src: str
    alt: str
    file: str
    line: int
    caption: str = ""


@dataclass(frozen=True, slots=True)
class LinkUse:
    """A link in a story, its address with character references resolved."""

    href: str
    file: str
    line: int


@dataclass(frozen=True, slots=True)
class SetAside:
    """Something marked: as written, the name in it with single spaces, and where it begins, counted from 1."""

    written: str
    name: str
    line: int
    column: int


@dataclass
class Manuscript:
    """One file of a story on its way through the library: what was marked in it, and what was found out about it."""

    file: str
    insertions: Collection[str]
    placed: set[str]
    text: str = ""
    recordings: Mapping[str, str] = field(default_factory=dict)
    set_aside: list[SetAside] = field(default_factory=list)
    placed_in_order: list[str] = field(default_factory=list)
    photos: list[ImageUse] = field(default_factory=list)
    images: list[ImageUse] = field(default_factory=list)
    links: list[LinkUse] = field(default_factory=list)
    heading_levels: list[int] = field(default_factory=list)
    reported: int = 0

    def __post_init__(self) -> None:
        self.slips = Slips(self.file)

    def report(self, line: int, column: int, found: str, expected: str, remedy: str = "") -> None:
        """Tell of something in this file; from a flood of it only the first is kept."""
        self.reported += 1
        if self.reported <= MOST_PROBLEMS:
            self.slips.add(At((line, column)), FIELD, found, expected, remedy)

    def with_placeholders(self) -> str:
        """The text with every piece and every address marked."""
        text = self.text
        parts: list[str] = []
        line, begin, done = 1, 0, 0
        for match in _WRITTEN.finditer(text):
            kind = match.lastgroup or "address"
            inside = kind == "address"
            at = match.end() if inside else text.index("[", match.start())
            line += text.count("\n", begin, at)
            begin = text.rfind("\n", 0, at) + 1
            written = "" if inside else text[at : match.end()]
            self.set_aside.append(SetAside(written, " ".join(written.strip("[]").split()), line, at - begin + 1))
            letter = {"piece": "p", "uneven": "u", "address": "w"}[kind]
            parts += [text[done:at], placeholder(letter, len(self.set_aside) - 1)]
            done = match.end()
        return "".join([*parts, text[done:]])

    def where(self, address: str) -> tuple[int, int]:
        """Line and column of an address that could not be marked, as in ``<https://example.org>``."""
        at = max(self.text.find(f"<{address.removeprefix('mailto:')}"), 0)
        return self.text.count("\n", 0, at) + 1, at - self.text.rfind("\n", 0, at)

    def restored(self, text: str) -> str:
        """HTML with what was marked inside code put back as it was typed."""

        def written(match: re.Match[str]) -> str:
            if match[1] in "puw":
                return html.escape(self.set_aside[int(match[2])].written)
            return match.group()

        return PLACEHOLDER.sub(written, text)

    def recording(self, number: int) -> RecordingLink | None:
        """Where the piece leads that means a recording; None for any other, and with a Problem for one that is not."""
        set_aside = self.set_aside[number]
        if not is_recording(set_aside.name):
            return None
        found = recording_link(set_aside.name, self.recordings)
        if isinstance(found, RecordingLink):
            return found
        self.report(set_aside.line, set_aside.column, quoted(set_aside.written), found)
        return RecordingLink("", set_aside.name)

    def misplace(self, number: int) -> None:
        """Report a piece inside a paragraph, list, quotation, table or heading."""
        set_aside = self.set_aside[number]
        remedy = "take it out of what surrounds it; to show the brackets as text write them as `code`"
        self.report(set_aside.line, set_aside.column, quoted(set_aside.written), "a piece on a line of its own", remedy)

    def place(self, letter: str, number: int) -> bool:
        """Place the piece written here; False and a Problem where it cannot be."""
        set_aside = self.set_aside[number]
        name = {_folded(name): name for name in self.insertions}.get(_folded(set_aside.name))
        here = (set_aside.line, set_aside.column, quoted(set_aside.written))
        if letter == "u":
            near = did_you_mean(f"[[{set_aside.name}]]", [f"[[{known}]]" for known in self.insertions])
            self.report(*here, "two brackets on each side of a piece's name", near)
        elif name is None:
            known = one_of(sorted(self.insertions)) if self.insertions else "none, this page has nothing to place"
            self.report(*here, f"the name of a piece: {known}", did_you_mean(set_aside.name, self.insertions))
        elif name in self.placed:
            self.report(*here, "each piece once", "it is placed further up; take one of the two out")
        else:
            self.placed.add(name)
            self.placed_in_order.append(name)
            return True
        return False


def _folded(name: str) -> str:
    return " ".join(name.split()).casefold()
