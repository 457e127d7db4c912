"""Which lines of a record may hold something private: what is told of them in public quotes nothing.

Worked out from the lines as typed, not from what was read of them: a slip may have kept a line from being read at all.
Where it cannot be known, a line counts as private.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from .private_names import (
    ALSO_PRIVATE,
    WORD,
    Names,
    begins_known,
    ends_in_private_name,
    flat_text,
    has_private_name,
    is_everybodys,
    is_private,
    may_name_private,
    named_private,
    names_nothing,
)
from .problems import Problem, quoted
from .remarks import Remark
from .text import Entries, Listing, Text

_QUOTED = re.compile(r"“(.*)”", re.S)
_COMMENT = re.compile(r"#(?!\d+[A-Z]?\b(?! +\w))")
"""The sign of a comment; that of a lamp's type, ``#47``, is none."""
_ANY_QUOTED = re.compile(r"“(.*)”|\"(.*)\"", re.S)
_VALUE = re.compile(r"\d{1,4}[a-z]{0,3}|[a-z]{1,3}\d{1,4}[a-z]?")
"""A number, alone or with its unit, and the name of a position or part."""
_PAIRS = {"{": "}", "[": "]"}
_NOT_SHOWN = "how this line was taken is told by “benchleaf check”, as it may be private"


def marked(problems: Iterable[Problem], text: str, file: str) -> list[Problem]:
    """The problems, those of ``file`` that may tell something private marked so. ``text`` is what the file holds."""
    listed = list(problems)
    if not any(problem.file == file for problem in listed):
        return listed
    lines = text.split("\n")
    names = Names.of_a_record()
    hidden, in_pieces = _Hidden.of(lines, names), _may_lie_in_pieces(lines)

    def tells(p: Problem) -> bool:
        may_quote = _quotes_a_comment(p) or _quotes_the_unnamed(p, lines) or (in_pieces and _quotes_unknown_words(p))
        return may_quote or hidden.touched_by(p)

    return [replace(p, private=True) if p.file == file and tells(p) else p for p in listed]


def _may_lie_in_pieces(lines: Sequence[str]) -> bool:
    """Whether a private name has its text on several lines, or none: some of it may have been put anywhere."""
    for index, line in enumerate(lines):
        named = named_private(line)
        if not named:
            continue
        text = line[named.end() :].strip()
        below = next((one for one in lines[index + 1 :] if one.strip()), "")
        goes_on = _indent(below) > _indent(line) or below.lstrip().startswith("- ")
        if goes_on or not text or text[0] in "|>#" or (text[0] in "\"'[{" and text[-1] not in "\"']}"):
            return True
    return False


def _quotes_unknown_words(problem: Problem) -> bool:
    """Whether a problem quotes words that are neither the trade's nor a value's."""
    from .known_words import known_words

    names, known = Names.of_a_record(), known_words().words
    said = (problem.found, problem.expected, problem.remedy)
    pieces = (problem.field, *(piece for text in said for pair in _ANY_QUOTED.findall(text) for piece in pair))
    words = (word for piece in pieces for word in WORD.findall(piece.casefold()) if len(word) > 2)
    return any(not (word in known or _VALUE.fullmatch(word) or is_everybodys(word, names)) for word in words)


def _quotes_the_unnamed(problem: Problem, lines: Sequence[str]) -> bool:
    """Whether a problem quotes a line, none of a list, that nothing says of what it is, or one that goes on in such."""
    line, below = (lines[at] if at < len(lines) else "" for at in (problem.line - 1, problem.line))
    unnamed = not line.lstrip().startswith("- ") and names_nothing(line)
    goes_on = _indent(below) > _indent(line) and names_nothing(below, known=True)
    quotations = [flat_text(piece.rstrip("…")) for piece in _QUOTED.findall(problem.found)]
    return bool(quotations) and (unnamed or (goes_on and any(one not in flat_text(line) for one in quotations)))


def _quotes_a_comment(problem: Problem) -> bool:
    """Whether a problem quotes what its writer meant for a comment, which a slip made text: ``AC/DC# from Joe``."""
    said = (problem.field, problem.found, problem.expected, problem.remedy)
    return any(_COMMENT.search(piece) for text in said for piece in _QUOTED.findall(text))


def withhold(problems: Iterable[Problem], text: str) -> bool:
    """Whether a problem of a file that holds ``text`` may have torn a private line, so that nothing of it is shown.

    A line that only speaks of a private name in its midst, ``a sheet from the owner``, has none to tear: it is left out
    alone.
    """
    private = [problem for problem in problems if problem.private]
    torn = _Hidden.of(text.split("\n"), Names.of_a_record(), may_name_private) if private else None
    return torn is not None and any(torn.touched_by(problem) for problem in private)


def remarks_in_public(remarks: Iterable[Remark], text: str) -> Iterator[Remark]:
    """Remarks on a file that holds ``text``: of one on a line with a private name in it, no more than its place.

    They are made of what was read, so that a line that only resembles a private one is none.
    """
    lines, names = text.split("\n"), Names.of_a_record()
    for one in remarks:
        unsaid = has_private_name(lines[one.line - 1], names) if one.line <= len(lines) else True
        yield replace(one, field="", said=_NOT_SHOWN) if unsaid else one


def misplaced(tree: Entries, text: str, file: str) -> list[Problem]:
    """Private names that stand inside a section or inside a text of several lines, where they would be published."""
    names = Names.of_a_record()
    told = [(key, f"the private name {quoted(key)} inside {quoted(inside)}") for key, inside in _inner(tree, names)]
    own = {key.place[0] for key in (*tree, *tree.empty)} | {key.place[0] for key, _ in told}
    for number, line in enumerate(text.split("\n"), 1):
        named = named_private(line)
        if named and number not in own:
            key = Text(named["name"], (number, named.start("name") + 1))
            told.append((key, f"the private name {quoted(key)} inside the text of another"))
    expected, remedy = (
        "it at the beginning of a line of its own",
        "what stands inside is published: take it out of there",
    )
    return [Problem.at(file, key.place, "", found, expected, remedy) for key, found in told]


def _inner(tree: Entries, names: Names) -> Iterator[tuple[Text, str]]:
    """Each private name below the first level, and the name of what it stands in."""
    waiting: list[tuple[Entries | Listing, str]] = [
        (value, str(key)) for key, value in tree.items() if isinstance(value, Entries | Listing)
    ]
    while waiting:
        node, inside = waiting.pop()
        named = node.items() if isinstance(node, Entries) else ((None, entry) for entry in node)
        empty = node.empty if isinstance(node, Entries) else ()
        for key, value in (*named, *((key, None) for key in empty)):
            if key is not None and (is_private(key, names) or ends_in_private_name(key)):
                yield key, inside
            if isinstance(value, Entries | Listing):
                waiting.append((value, str(key or inside)))


@dataclass(frozen=True)
class _Hidden:
    """The private lines of a file by number (from 1), as they are, and their words."""

    names: Names
    lines: frozenset[int]
    texts: frozenset[str]
    words: frozenset[str]

    @classmethod
    def of(cls, lines: Sequence[str], names: Names, looks: Callable[[str, Names], bool] | None = None) -> _Hidden:
        numbers = frozenset(_private_lines(lines, names, looks))
        texts = frozenset(text for number in numbers if (text := flat_text(lines[number - 1])))
        words = {word for text in texts for word in WORD.findall(text)}
        return cls(names, numbers, texts, frozenset(words - names.private - ALSO_PRIVATE))

    def touched_by(self, problem: Problem) -> bool:
        """True where a problem stands on a private line, or quotes what may be a part of one."""
        if problem.line in self.lines:
            return True
        said = (problem.field, *(p for t in (problem.found, problem.expected) for p in _QUOTED.findall(t)))
        return any(self._holds(piece) for piece in (*said, problem.remedy if self.lines else ""))

    def _holds(self, piece: str) -> bool:
        flat = flat_text(piece.replace("…", " "))
        if flat in self.texts or any(word in self.names.private for word in WORD.findall(flat)):
            return True
        words = [word for word in WORD.findall(flat) if len(word) > 2 and not is_everybodys(word, self.names)]
        return any(theirs.startswith(word) for word in words for theirs in self.words)


def _private_lines(
    lines: Sequence[str], names: Names, looks: Callable[[str, Names], bool] | None = None
) -> Iterator[int]:
    """Each line that looks like a private one, and those that may continue it, up to the next known name."""
    looks = looks or _looks_private
    depth = until = -1
    for index, line in enumerate(lines):
        indent = _indent(line)
        if looks(line, names):
            depth = indent if depth < 0 else min(indent, depth)
            until = max(until, _closed_at(lines, index))
        elif depth >= 0 and index > until and indent <= depth and line.strip() and begins_known(line, names):
            depth = -1
        if depth >= 0:
            yield index + 1


def _looks_private(line: str, names: Names) -> bool:
    """True for a line with a private name anywhere in it, or one mistyped where a name may stand."""
    return has_private_name(line, names) or may_name_private(line, names)


def _closed_at(lines: Sequence[str], index: int) -> int:
    """The line (from 0) on which what a private line opens is closed: a quotation mark, a brace or a bracket.

    The line itself where it opens nothing, or where nothing closes it: then the mark is the slip.
    """
    line = lines[index]
    for mark in "\"'":
        if line.count(mark) % 2 and re.search(rf"(?:^|[\s:,{{\[-]){mark}", line):
            return next((n for n in range(index + 1, len(lines)) if mark in lines[n]), index)
    for opening, closing in _PAIRS.items():
        open_ = line.count(opening) - line.count(closing)
        for number in range(index + 1, len(lines) if open_ > 0 else 0):
            open_ += lines[number].count(opening) - lines[number].count(closing)
            if open_ <= 0:
                return number
    return index


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip(" "))
