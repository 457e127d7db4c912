"""Which lines of a record may hold something private: what is told of them in public quotes nothing.

Worked out from the lines as typed, not from what was read of them: a slip may have kept a line from being read at all.
Where it cannot be known, a line counts as private.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache, lru_cache

from .problems import Problem, quoted
from .remarks import Remark
from .spelling import alike, one_slip
from .text import Entries, Listing, Text

_WORD = re.compile(r"\w+")
_NAMED = re.compile(
    r" *(?:- +)*[\"']?(?P<name>[^\s:：#\"'\[\]{}](?:[^:：#\"'\[\]{}]|'(?=s\b))*?)[\"']? *(?:：|:(?:\s|$))"
)
_OF_SOMEBODY = re.compile(r"['’]s$")
_BEFORE_A_SIGN = re.compile(r"\b(\w++)(?:['’]s)?(?: +(?:no\.?|number|name))?[\"'}\]]* *+[:：;=]")
_WITHIN = re.compile(r"\w\W+(\w++)(?: +(?:no\.?|number|name))? *+(?:：|:(?!\S))")
_PARTS = re.compile(r"[,{}\[\]]")
_QUOTED = re.compile(r"“(.*)”", re.S)
_COMMENT = re.compile(r"#(?!\d+[A-Z]?\b(?! +\w))")
"""The sign of a comment; that of a lamp's type, ``#47``, is none."""
_PAIRS = {"{": "}", "[": "]"}
_NOT_SHOWN = "how this line was taken is told by “benchleaf check”, as it may be private"
_ALSO_PRIVATE = frozenset({"customer", "client", "proprietor", "owned", "belongs"})
"""Words that a writer may put for an owner."""
_EVERYDAY = frozenset([
    "browser", "cone", "convert", "corner", "corners", "counter", "done", "down", "era", "however", "lone",
    "longer", "lower", "lowers", "material", "materials", "near", "nowhere", "once", "one", "ones", "over",
    "pointer", "powered", "powers", "powerup", "sealed", "series", "seriously", "several", "shower", "signal",
    "slower", "social", "squeal", "terminal", "terminals", "toner", "tower", "towers", "trial", "trials",
    "verticals", "wear", "were", "zone",
])  # fmt: skip
"""Words that look like a private name and are none: ``hum with volume down: …`` tells of nobody."""
_OF_AN_OWNER = frozenset(["homeowner", "houseowner", "landowner", "shipowner", "shopowner"])
_POSITION = re.compile(r"[\s-]*(?:[A-Za-z]{1,2}\d{1,2}[a-z]?|[A-Za-z]{1,2}[+-]\d{0,2})(?![\w-])")
"""What the trade names positions, parts and rails by, where a line begins: V4, C7a, HT2, B+1."""
_OF_NO_ONE = frozenset(["the", "and", "for", "with", "from", "not", "his", "her", "our"])
_LONGEST_START = 120
"""Characters of a line in which its name is looked for."""
_LIKE_A_PRIVATE_NAME = 0.65
"""How alike (0 to 1, as difflib says) a word is that may be a private name mistyped: rather too many than too few."""
_LIKE_A_KNOWN_NAME = 0.75


@dataclass(frozen=True)
class Names:
    """The names of a record's first level in small letters: the ``private`` ones, and all that are ``known``.

    ``words`` are those of any name of a record and of the trade: none of them is a private name mistyped.
    """

    private: frozenset[str]
    known: frozenset[str]
    words: frozenset[str]

    @classmethod
    @cache
    def of_a_record(cls) -> Names:
        """The names as the model has them."""
        from .model import Record
        from .name_table import name_table
        from .trade_words import CONDITIONS, JOBS, TYPES

        private = frozenset(str(Record.model_fields[name].alias).casefold() for name in Record.PRIVATE)
        of_private = {name.casefold() for name in Record.private_words()}
        known = frozenset(n.casefold() for n in (*Record.names(), *Record.SYNONYMS)) - of_private
        written = (*known, *(name for _, name in name_table().rows), *CONDITIONS, *JOBS, *TYPES)
        words = frozenset(word for name in written for word in _WORD.findall(name.casefold()))
        return cls(private, known, words - private - _ALSO_PRIVATE)


def marked(problems: Iterable[Problem], text: str, file: str) -> list[Problem]:
    """The problems, those of ``file`` that may tell something private marked so. ``text`` is what the file holds."""
    listed = list(problems)
    if not any(problem.file == file for problem in listed):
        return listed
    lines = text.split("\n")
    hidden = _Hidden.of(lines, Names.of_a_record())
    return [
        replace(p, private=True)
        if p.file == file and (hidden.touched_by(p) or _quotes_a_comment(p) or _quotes_the_unnamed(p, lines))
        else p
        for p in listed
    ]


def _quotes_the_unnamed(problem: Problem, lines: Sequence[str]) -> bool:
    """Whether a problem quotes a line, none of a list, on which nothing says what it is."""
    line = lines[problem.line - 1] if problem.line <= len(lines) else ""
    return "“" in problem.found and not line.lstrip().startswith("- ") and names_nothing(line)


def _quotes_a_comment(problem: Problem) -> bool:
    """Whether a problem quotes what its writer meant for a comment, which a slip made text: ``AC/DC# from Joe``."""
    said = (problem.field, problem.found, problem.expected, problem.remedy)
    return any(_COMMENT.search(piece) for text in said for piece in _QUOTED.findall(text))


def names_nothing(line: str) -> bool:
    """Whether a line that cannot be read begins with nothing that says what it is: it may be torn off a private one."""
    names = Names.of_a_record()
    first = _flat(line[:_LONGEST_START].lstrip(" -"))
    known = any(first.startswith(name) and not first[len(name) : len(name) + 1].isalnum() for name in names.known)
    return bool(first) and not (known or _name(line) or _POSITION.match(line))


def holds_a_private_word(text: str, *, run_together: bool = False) -> bool:
    """Whether a private name is one of the words of a text, or ends one, as of two lines that were ``run_together``."""
    names, words = Names.of_a_record(), _WORD.findall(text.casefold())
    return any(_runs_into_private(word, names) if run_together else word in names.private for word in words)


def names_private_within(line: str) -> bool:
    """Whether a private name with its colon stands in the midst of a line: ``kept dry serial: 40417``."""
    names = Names.of_a_record()
    return any(_ends_in_private_word(word, names) for word in _WITHIN.findall(line.casefold()))


def private_name(name: str) -> bool:
    """Whether a name of the first level is a private one, also with a slip in it."""
    return _is_private(name, Names.of_a_record())


def withhold(problems: Iterable[Problem], text: str) -> bool:
    """Whether a problem of a file that holds ``text`` may have torn a private line, so that nothing of it is shown.

    A line that only speaks of a private name in its midst, ``a sheet from the owner``, has none to tear: it is left out
    alone.
    """
    private = [problem for problem in problems if problem.private]
    torn = _Hidden.of(text.split("\n"), Names.of_a_record(), _names_private) if private else None
    return torn is not None and any(torn.touched_by(problem) for problem in private)


def remarks_in_public(remarks: Iterable[Remark], text: str) -> Iterator[Remark]:
    """Remarks on a file that holds ``text``: of one on a line with a private name in it, no more than its place.

    They are made of what was read, so that a line that only resembles a private one is none.
    """
    lines, names = text.split("\n"), Names.of_a_record()
    for one in remarks:
        unsaid = _has_private_name(lines[one.line - 1], names) if one.line <= len(lines) else True
        yield replace(one, field="", said=_NOT_SHOWN) if unsaid else one


def misplaced(tree: Entries, text: str, file: str) -> list[Problem]:
    """Private names that stand inside a section or inside a text of several lines, where they would be published."""
    names = Names.of_a_record()
    told = [(key, f"the private name {quoted(key)} inside {quoted(inside)}") for key, inside in _inner(tree, names)]
    own = {key.place[0] for key in (*tree, *tree.empty)} | {key.place[0] for key, _ in told}
    for number, line in enumerate(text.split("\n"), 1):
        named = _NAMED.match(line[:_LONGEST_START])
        if named and number not in own and _is_private(named["name"], names):
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
            if key is not None and _is_private(key, names):
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
        texts = frozenset(text for number in numbers if (text := _flat(lines[number - 1])))
        words = {word for text in texts for word in _WORD.findall(text)}
        return cls(names, numbers, texts, frozenset(words - names.private - _ALSO_PRIVATE))

    def touched_by(self, problem: Problem) -> bool:
        """True where a problem stands on a private line, or quotes what may be a part of one."""
        if problem.line in self.lines:
            return True
        said = (problem.field, *(p for t in (problem.found, problem.expected) for p in _QUOTED.findall(t)))
        return any(self._holds(piece) for piece in (*said, problem.remedy if self.lines else ""))

    def _holds(self, piece: str) -> bool:
        flat = _flat(piece.replace("…", " "))
        if flat in self.texts or any(word in self.names.private for word in _WORD.findall(flat)):
            return True
        words = [word for word in _WORD.findall(flat) if len(word) > 2 and not self._is_everybodys(word)]
        return any(theirs.startswith(word) for word in words for theirs in self.words)

    def _is_everybodys(self, word: str) -> bool:
        """Whether a word tells of nobody: one of the trade, or of any sentence."""
        return word in _OF_NO_ONE or word in self.names.words or word in _EVERYDAY


def _flat(text: str) -> str:
    return " ".join(text.split()).casefold()


def _private_lines(
    lines: Sequence[str], names: Names, looks: Callable[[str, Names], bool] | None = None
) -> Iterator[int]:
    """Each line that looks like a private one, and those that may continue it, up to the next known name."""
    looks = looks or _looks_private
    depth = until = -1
    for index, line in enumerate(lines):
        indent = len(line) - len(line.lstrip(" "))
        if looks(line, names):
            depth = indent if depth < 0 else min(indent, depth)
            until = max(until, _closed_at(lines, index))
        elif depth >= 0 and index > until and indent <= depth and line.strip() and _begins_known(line, names):
            depth = -1
        if depth >= 0:
            yield index + 1


def _looks_private(line: str, names: Names) -> bool:
    """True for a line with a private name anywhere in it, or one mistyped where a name may stand."""
    return _has_private_name(line, names) or _names_private(line, names)


def _names_private(line: str, names: Names) -> bool:
    """True for a line with a private name, or one mistyped, where a name may stand."""
    words = _WORD.findall(line.casefold())
    if any(_is_private_word(word, names) for word in words[:1]) or any(
        _ends_in_private_word(word, names) for word in _BEFORE_A_SIGN.findall(line.casefold())
    ):
        return True
    if _begins_exactly_known(line, names):
        words = []
    may_be_names = [*words[:1], _in_one(words[:2], names)]
    for before in line.casefold().split(":")[:-1]:
        last = _WORD.findall(_PARTS.split(before)[-1])
        may_be_names += [*last[-3:], _in_one(last, names)]
    return any(_like_private(word, names) for word in may_be_names)


def _in_one(words: Sequence[str], names: Names) -> str:
    """Words as one, as a name may be torn; empty where one of them is a word by itself."""
    return "" if any(word in names.words for word in words) else "".join(words)


def _has_private_name(line: str, names: Names) -> bool:
    words = _WORD.findall(line.casefold())
    return any(_is_private_word(word, names) or _runs_into_private(word, names) for word in words)


def _is_private_word(word: str, names: Names) -> bool:
    return word in names.private or word in _ALSO_PRIVATE


def _ends_in_private_word(word: str, names: Names) -> bool:
    """Whether a word before a sign is a private one, or what two lines come to that were run together."""
    return _is_private_word(word, names) or _runs_into_private(word, names)


def _runs_into_private(word: str, names: Names) -> bool:
    """Whether a word is none but for the private name at its end: ``trialserial``."""
    known = word in names.private or word in names.words or word in _EVERYDAY or word in _OF_AN_OWNER
    return not known and word.endswith(tuple(names.private))


def _begins_exactly_known(line: str, names: Names) -> bool:
    return _name(line) in names.known


def _begins_known(line: str, names: Names) -> bool:
    name = _name(line)
    return bool(name) and _like_known(name, names)


def _name(line: str) -> str:
    """The name a line begins with, in small letters; empty where none does."""
    named = _NAMED.match(line[:_LONGEST_START])
    return _flat(named["name"]) if named else ""


@lru_cache(maxsize=4096)
def _like_private(word: str, names: Names) -> bool:
    return word not in names.words and word not in _EVERYDAY and alike(word, names.private, _LIKE_A_PRIVATE_NAME)


@lru_cache(maxsize=4096)
def _like_known(name: str, names: Names) -> bool:
    return name in names.known or alike(name, names.known, _LIKE_A_KNOWN_NAME)


def _is_private(name: str, names: Names) -> bool:
    """True for a private name, also with one letter wrong, two changed about, or “’s name”; not for a known one."""
    flat = _flat(name)
    if flat in names.known:
        return False
    first = [_OF_SOMEBODY.sub("", word) for word in flat.split()[:1]]
    serial_number = flat.split()[1:] in (["no"], ["no."], ["number"], ["name"])
    return any(
        flat == p or sorted(flat) == sorted(p) or one_slip(flat, p) or (first == [p] and serial_number)
        for p in names.private
    )


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
