"""Statements: sentences, and what stands in the cells of a table, as data that text and HTML are made from alike."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from ..words.decimal_sign import with_decimal_sign
from .amount import Amount, Origin
from .source import Source
from .verdict import Verdict


@dataclass(frozen=True, slots=True)
class Link:
    """Words that lead to another place of the page; ``anchor`` is its id, ``origin`` that of a number they are."""

    text: str
    anchor: str
    origin: Origin = Origin.STATED


@dataclass(frozen=True, slots=True)
class Judged:
    """Words that carry a verdict, and what follows them, outside of its sign."""

    verdict: Verdict
    words: Phrase
    beside: Phrase = ()

    @property
    def text(self) -> str:
        """All of it as plain text."""
        return text_of((self,))


@dataclass(frozen=True, slots=True)
class Styled:
    """Words set in one way: as an ``Origin`` is, as small print (``HINT``), or as what was read (``READ``)."""

    words: Phrase
    style: Origin | str


@dataclass(frozen=True, slots=True)
class Note:
    """What the writer noted in words of his own, in which emphasis and links count."""

    text: str


@dataclass(frozen=True, slots=True)
class Drawing:
    """A figure by its name, with its label in small print; nothing where no such figure was drawn."""

    name: str
    label: str = ""


@dataclass(frozen=True, slots=True)
class Formula:
    """A sign or word of a meter or a formula, set as code."""

    text: str


@dataclass(frozen=True, slots=True)
class Deviation:
    """How far off something is, as a mark on a line that ends at the tolerance either way. Both are ratios.

    It stands beside its number, which says the same, and has no text of its own.
    """

    ratio: float
    tolerance: float


@dataclass(frozen=True, slots=True)
class Bare:
    """A number by itself, as a spreadsheet wants it: its unit stands in the heading or in the cell beside."""

    value: float

    @property
    def text(self) -> str:
        return with_decimal_sign(f"{self.value:g}")


@dataclass(frozen=True, slots=True)
class Cited:
    """A source that the words before it lean on: its number on a page with a list of sources, nothing on any other."""

    source: Source


PhrasePart = str | Bare | Amount | Link | Judged | Styled | Note | Drawing | Deviation | Formula | Source | Cited
Phrase = tuple[PhrasePart, ...]
"""What is said, in pieces that know what they are. Its text is in the dialect it was made in."""

HINT = "hint"
READ = "read"
"""Styles of a ``Styled``: small print, and a value as it was read."""

_MARKDOWN = re.compile(r"\[([^\]]*)\]\([^)]*\)|[*_`]{1,2}")


def aside(*words: PhrasePart) -> Styled:
    """Small print."""
    return Styled(words, HINT)


@dataclass(frozen=True, slots=True)
class Sentence:
    """One sentence. ``verdict`` says how much it matters; ``anchor`` is the id of the place it comes from.

    ``settled_by`` is the next measurement, the one that would tell what is behind it; empty where none is known.

    It is made in the dialect of the site by a chapter's ``say``: the same words stand at the top of the page, on the
    archive's card and in ``record.json``.
    """

    verdict: Verdict
    said: str | Phrase
    anchor: str = ""
    settled_by: str = ""

    @property
    def phrase(self) -> Phrase:
        """Its pieces."""
        return (self.said,) if isinstance(self.said, str) else self.said

    @property
    def text(self) -> str:
        """The sentence without any markup."""
        return text_of(self.phrase)

    @property
    def severity(self) -> int:
        """How much it matters: 3 danger, 2 fault, 1 worth knowing."""
        return self.verdict.severity


def text_of(words: Iterable[PhrasePart]) -> str:
    """A phrase as plain text. A figure has none."""
    return "".join(_text(part) for part in words)


def _text(part: PhrasePart) -> str:
    if isinstance(part, str):
        return part
    if isinstance(part, Judged):
        beside = text_of(part.beside)
        return text_of(part.words) + (f" {beside}" if beside else "")
    if isinstance(part, Styled):
        return text_of(part.words)
    if isinstance(part, Note):
        return _MARKDOWN.sub(lambda mark: mark[1] or "", part.text)
    return "" if isinstance(part, (Drawing, Deviation, Cited)) else part.text


def has_links(words: Iterable[PhrasePart]) -> bool:
    """Whether words lead anywhere by themselves, so that no link can be put around them."""
    for part in words:
        if isinstance(part, Link | Note | Source | Cited) or (
            isinstance(part, Amount) and (part.anchor or part.source)
        ):
            return True
        if isinstance(part, Judged) and has_links((*part.words, *part.beside)):
            return True
        if isinstance(part, Styled) and has_links(part.words):
            return True
    return False


def sources_in(words: Iterable[PhrasePart]) -> Iterator[Source]:
    """Every source that words lean on, in order: those named in it, and those of its amounts."""
    for part in words:
        if isinstance(part, Source):
            yield part
        elif isinstance(part, Cited | Amount) and part.source is not None:
            yield part.source
        elif isinstance(part, Judged):
            yield from sources_in((*part.words, *part.beside))
        elif isinstance(part, Styled):
            yield from sources_in(part.words)


def listed(items: Iterable[Phrase], between: str = ", ", last: str | None = None) -> Phrase:
    """Several pieces in a row, parted by ``between`` and before the last one by ``last``."""
    all_of = list(items)
    out: list[PhrasePart] = []
    for place, item in enumerate(all_of):
        if place:
            out.append(between if last is None or place < len(all_of) - 1 else last)
        out += item
    return tuple(out)
