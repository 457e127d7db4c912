"""One problem of a record, told to the person who wrote it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from difflib import get_close_matches

from ..words import Words
from .text import LineColumn

MOST_TOLD = 200
"""Problems of one file that are told: nobody reads more, and a hostile file may hold thousands."""

_LONGEST_WORD = 60
_NEGATED = re.compile(r"\b(?:non|not|no|never|without)\b|\b(?:non|un)(?=[- ]?polari)|less\b")
_NUMBER = re.compile(r"\d+")
_SIGN = re.compile(r"(?<=[a-z])[+-](?![a-z])")
_OPPOSITES = (
    ("before", "after"), ("open", "shorted"), ("open", "short"), ("hot", "cold"), ("live", "neutral"), ("was", "now"),
    ("low", "high"), ("plate", "grid"), ("anode", "cathode"), ("slow", "fast"), ("series", "parallel"), ("ac", "dc"),
    ("good", "bad"), ("earthed", "unearthed"), ("isolated", "earthed"), ("polarised", "unpolarised"), ("on", "off"),
    ("none", "note"),
)  # fmt: skip
_QUOTATIONS = re.compile(r"“.*”", re.S)
_ASKED_BACK = "did you mean "
_SHOWN_BY_CHECK = "the command “benchleaf check” shows the line"


@dataclass(frozen=True, order=True, slots=True)
class Problem:
    """Something in a record that cannot be read, and what to do about it.

    Ordered by file and place, so that a sorted list runs down the file as the writer does. ``line`` and ``column``
    count from 1; a problem of a whole file stands at 1:1. ``private`` says that its words may hold something the
    writer does not publish: only its ``public`` form may leave the writer's own machine.
    """

    file: str
    line: int
    column: int
    field: str
    found: str
    expected: str
    remedy: str = ""
    private: bool = False

    @classmethod
    def at(cls, file: str, place: LineColumn, field: str, found: str, expected: str, remedy: str = "") -> Problem:
        """The problem at a place, given as line and column."""
        line, column = place
        return cls(file, line, column, field, found, expected, remedy)

    def public(self) -> Problem:
        """The problem as it may be published: of a private one only the place and the rule, and nothing quoted."""
        if not self.private:
            return self
        found = f"{_unquoted(self.found)}, on a line that may be private and is not shown here"
        return replace(self, field="", found=found, expected=_unquoted(self.expected), remedy=_SHOWN_BY_CHECK)

    def in_dialect(self, words: Words) -> Problem:
        """The problem as it is told in a dialect."""
        found, expected, remedy = (words.of_message(told) for told in (self.found, self.expected, self.remedy))
        if remedy.startswith(_ASKED_BACK):
            remedy = words.of_example(remedy)
        return replace(self, found=found, expected=words.of_example(expected), remedy=remedy)

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}:{self.column}: "
        field = f"{self.field}: " if self.field else ""
        remedy = f"; {self.remedy}" if self.remedy else ""
        return f"{place}{field}found {self.found}; expected {self.expected}{remedy}"


def _unquoted(said: str) -> str:
    """What is said, with all from the first quotation mark to the last left out: a quotation may hold such marks."""
    return _QUOTATIONS.sub("“…”", said)


def quoted(text: str, limit: int = 40) -> str:
    """The writer's own text in quotation marks, on one line, cut where it would drown the message."""
    flat = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    return f"“{flat}”" if len(flat) <= limit else f"“{flat[: limit - 1].rstrip()}…”"


_FIRST_WORD = 0.8
"""How alike a known word is at least to the first of several, where nothing is like all of them."""
_SAME_WORD = 0.7
"""How alike two words of several are at least, where the whole may be a slip for the whole."""


def nearest(word: str, known: Iterable[str], cutoff: float = 0.6) -> str | None:
    """The known word most like ``word``, or None where none is near that may be meant. Capitals do not matter."""
    if len(word) > _LONGEST_WORD:
        return None
    folded, by_folded = word.casefold(), {k.casefold(): k for k in known}
    found = get_close_matches(folded, by_folded, n=max(len(by_folded), 1), cutoff=cutoff)
    return next((by_folded[near] for near in found if not _is_another(folded, near)), None)


def _is_another(word: str, known: str) -> bool:
    """Whether a known word, however alike, is surely another: the opposite, or the same with another number.

    A place, part or tube is not the one beside it, and a mark behind a letter (B+, B-) is the whole of its meaning.
    """
    if bool(_NEGATED.search(word)) != bool(_NEGATED.search(known)):
        return True
    if _NUMBER.findall(word) and _NUMBER.findall(known) and _NUMBER.findall(word) != _NUMBER.findall(known):
        return True
    if _SIGN.findall(word) and _SIGN.findall(known) and _SIGN.findall(word) != _SIGN.findall(known):
        return True
    said, other = set(word.split()), set(known.split())
    if len(said) == len(other) > 1 and any(not get_close_matches(one, other, n=1, cutoff=_SAME_WORD) for one in said):
        return True
    return any((one in said and two in other) or (two in said and one in other) for one, two in _OPPOSITES)


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """The remedy that names the nearest known word, or nothing."""
    near = nearest(word, known)
    return f"{_ASKED_BACK}{quoted(near)}?" if near else ""


@dataclass(frozen=True, slots=True, repr=False)
class Nearest:
    """The remedy that names the nearest known word, looked for only when it is told.

    A record may hold thousands of slips, of which only the first are told.
    """

    word: str
    known: tuple[str, ...]
    otherwise: str = ""

    def told(self) -> str:
        """The remedy in words; ``otherwise`` where nothing is near."""
        by_first = (nearest(word, self.known, _FIRST_WORD) for word in self.word.split()[:1])
        near = nearest(self.word, self.known) or next(by_first, None)
        return f"{_ASKED_BACK}{quoted(near)}?" if near else self.otherwise


def one_of(words: Iterable[str], joint: str = "or") -> str:
    """A list of choices as a person says it: ``a, b or c``."""
    listed = list(words)
    return f"{', '.join(listed[:-1])} {joint} {listed[-1]}" if len(listed) > 1 else "".join(listed)


def a_type(name: str) -> str:
    """A tube type with its article, as it is spoken: a UCH42, an EM34, an 8BQ5."""
    spoken_with_a_vowel = bool(re.match(r"[AEFHILMNORSX]|8|1[18]\D", name, re.I))
    return f"{'an' if spoken_with_a_vowel else 'a'} {name}"
