"""The private names of a record as they may be typed, mistyped or run together, and the lines that hold one."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, lru_cache

from .spelling import alike, one_slip

WORD = re.compile(r"\w+")
_NAMED = re.compile(
    r" *(?:- +)*[\"']?(?P<name>[^\s:：#\"'\[\]{}](?:[^:：#\"'\[\]{}]|'(?=s\b))*?)[\"']? *(?:：|:(?:\s|$))"
)
_STRAY = re.compile(r"[-_.,;|\"(){}\[\]]")
"""Signs within a name that make no other of it."""
_WITHIN_A_NAME = re.compile(r"(?<=[\w -])[#|\"{}\[\]](?=[\w -])")
"""What slips into a name by a finger beside its key: ``serial-[no: 40417``."""
_OF_SOMEBODY = re.compile(r"['’]s$")
_BEFORE_A_SIGN = re.compile(r"\b(\w++)(?:['’]s)?(?: +(?:no\.?|number|name))?[\"'}\]]* *+[:：;=]")
_SIGNED = re.compile(r"(\w++)(?:['’]s)?(?:[ -]+(?:no\.?|number|name))?[\"'}\]]* *+[:：=](?!//)")
_PARTS = re.compile(r"[,{}\[\]]")
ALSO_PRIVATE = frozenset({"customer", "client", "proprietor", "owned", "belongs"})
"""Words that a writer may put for an owner."""
_EVERYDAY = frozenset([
    "browser", "cone", "convert", "corner", "corners", "counter", "done", "down", "era", "however", "lone",
    "longer", "lower", "lowers", "material", "materials", "near", "nowhere", "once", "one", "ones", "over",
    "pointer", "powered", "powers", "powerup", "seal", "sealed", "seals", "sel", "series", "seriously", "several",
    "shower", "signal", "slower", "social", "squeal", "terminal", "terminals", "toner", "tower", "towers", "trial",
    "trials",
    "verticals", "wear", "were", "zone",
])  # fmt: skip
"""Words that look like a private name and are none: ``hum with volume down: …`` tells of nobody."""
_LIKE_AT_THE_END = frozenset([
    "arterial", "bacterial", "coiner", "crowned", "downed", "dowser", "drowned", "frowned", "growler", "howler",
    "imperial", "industrial", "joiner", "loaner", "managerial", "ministerial", "mistrial", "powder", "terrestrial",
])  # fmt: skip
"""Words that end like a private name with a slip in it."""
_ARTICLES = frozenset(["the", "a", "an", "its", "his", "her", "our", "my", "their"])
_ARTICLE = re.compile(rf"^(?:{'|'.join(_ARTICLES)}) ")
_SPEAKING_OF = frozenset(["by", "from", "of", "for", "with", "to", "previous", "former", "last", "first", "original"])
"""Words before an owner who is only spoken of: ``readings as left by the owner:``."""
_OF_AN_OWNER = frozenset(["homeowner", "houseowner", "landowner", "shipowner", "shopowner"])
_POSITION = re.compile(r"[\s-]*(?:[A-Za-z]{1,2}\d{1,2}[a-z]?|[A-Za-z]{1,2}[+-]\d{0,2})(?![\w-])")
"""What the trade names positions, parts and rails by, where a line begins: V4, C7a, HT2, B+1."""
_OF_NO_ONE = frozenset(["the", "and", "for", "with", "from", "not", "his", "her", "our"])
_LONGEST_START = 120
"""Characters of a line in which its name is looked for."""
_LIKE_A_PRIVATE_NAME = 0.65
"""How alike (0 to 1, as difflib says) a word is that may be a private name mistyped: rather too many than too few."""
_LIKE_A_KNOWN_NAME = 0.75
_SHORTEST_END = 4
"""Letters at the end of a word that may be a private name with a slip in it."""
_ENDS_OF_MANY = frozenset(["erial", "oner", "ower"])
"""Such ends that many words have: imperial, prisoner, flower."""


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
        words = frozenset(word for name in written for word in WORD.findall(name.casefold()))
        return cls(private, known, words - private - ALSO_PRIVATE)


def names_nothing(line: str, *, known: bool = False) -> bool:
    """Whether a line that cannot be read begins with nothing that says what it is: it may be torn off a private one.

    A name that no record has says so too, unless it must be ``known``.
    """
    names = Names.of_a_record()
    first, name = flat_text(line[:_LONGEST_START].lstrip(" -")), _name(line)
    begun = any(first.startswith(one) and not first[len(one) : len(one) + 1].isalnum() for one in names.known)
    named = name and (not known or _like_known(name, names) or names.words.issuperset(WORD.findall(name)))
    return bool(first) and not (begun or named or _POSITION.match(line))


def names_unknown_within(line: str) -> bool:
    """Whether a further name, that no record has, stands behind the first of a line: ``cleaned ittown: …``."""
    words = Names.of_a_record().words
    return any(word not in words for word in _SIGNED.findall(line.partition(": ")[2].casefold()))


def holds_a_private_word(text: str, *, run_together: bool = False) -> bool:
    """Whether a private name is one of the words of a text, or ends one, as of two lines that were ``run_together``."""
    names, words = Names.of_a_record(), WORD.findall(text.casefold())
    return any(_runs_into_private(word, names) if run_together else word in names.private for word in words)


def names_private_within(line: str, *, spoken_of: bool = True) -> bool:
    """Whether a private name, also with a slip in it, stands in a line with its sign: ``kept dry serial: 40417``.

    ``spoken_of`` says whether one counts that a sentence may speak of: ``as left by the owner: …``.
    """
    names, flat = Names.of_a_record(), _WITHIN_A_NAME.sub("", line.casefold())
    return any(
        (_is_private_word(signed[1].removesuffix("s"), names) and (spoken_of or not _spoken_of(flat[: signed.start()])))
        or _runs_into_private(signed[1], names)
        or _runs_into_a_slip(signed[1], names)
        for signed in _SIGNED.finditer(flat)
    )


def ends_in_private_name(name: str) -> bool:
    """Whether a name of several words has a private one at its end: ``455 kHz, owner``."""
    return len(WORD.findall(name)) > 1 and names_private_within(f"{name}:", spoken_of=False)


def _spoken_of(before: str) -> bool:
    """Whether the words before an owner say no more than which is meant."""
    words = [word for word in WORD.findall(before[-_LONGEST_START:]) if word not in _ARTICLES]
    return bool(words) and words[-1] in _SPEAKING_OF


def _runs_into_a_slip(word: str, names: Names) -> bool:
    """Whether a word before a sign is a private name with one slip in it, or has one at its end: ``trialownr``."""
    if _is_private_word(word.removesuffix("s"), names) or is_everybodys(word, names):
        return False
    if word in _OF_AN_OWNER or word in _LIKE_AT_THE_END:
        return False
    ends = {word, *(word[-letters:] for letters in range(_SHORTEST_END, len(word)))} - _ENDS_OF_MANY
    return any(one_slip(end, private) for end in ends for private in names.private)


def private_name(name: str) -> bool:
    """Whether a name of the first level is a private one, also with a slip in it."""
    return is_private(name, Names.of_a_record())


def named_private(line: str) -> re.Match[str] | None:
    """The beginning of a line with a private name, also with a slip in it, up to its colon: its group is ``name``."""
    named = _NAMED.match(line[:_LONGEST_START])
    return named if named and private_name(named["name"]) else None


def begins_private(line: str) -> bool:
    """Whether a line begins with a private name, also with a slip in it and without its sign."""
    names = Names.of_a_record()
    return any(is_private(word, names) for word in re.split(r"[\s:：;=]+", line.lstrip(" -"), maxsplit=1)[:1])


def flat_text(text: str) -> str:
    """A text in small letters, with one blank between its words."""
    return " ".join(text.split()).casefold()


def may_name_private(line: str, names: Names) -> bool:
    """True for a line with a private name, or one mistyped, where a name may stand."""
    words = WORD.findall(line.casefold())
    if any(_is_private_word(word, names) for word in words[:1]) or any(
        _ends_in_private_word(word, names) or _runs_into_a_slip(word, names)
        for word in _BEFORE_A_SIGN.findall(line.casefold())
    ):
        return True
    if _begins_exactly_known(line, names):
        words = []
    may_be_names = [*words[:1], _in_one(words[:2], names)]
    for before in line.casefold().split(":")[:-1]:
        last = WORD.findall(_PARTS.split(before)[-1])
        may_be_names += [*last[-3:], _in_one(last, names)]
    return any(_like_private(word, names) for word in may_be_names)


def _in_one(words: Sequence[str], names: Names) -> str:
    """Words as one, as a name may be torn; empty where one of them is a word by itself."""
    return "" if any(word in names.words for word in words) else "".join(words)


def has_private_name(line: str, names: Names) -> bool:
    """True for a line with a private name as one of its words, or at the end of one."""
    words = WORD.findall(line.casefold())
    return any(_is_private_word(word, names) or _runs_into_private(word, names) for word in words)


def _is_private_word(word: str, names: Names) -> bool:
    return word in names.private or word in ALSO_PRIVATE


def _ends_in_private_word(word: str, names: Names) -> bool:
    """Whether a word before a sign is a private one, or what two lines come to that were run together."""
    return _is_private_word(word, names) or _runs_into_private(word, names)


def _runs_into_private(word: str, names: Names) -> bool:
    """Whether a word is none but for the private name at its end: ``trialserial``."""
    known = word in names.private or word in names.words or word in _EVERYDAY or word in _OF_AN_OWNER
    return not known and word.endswith(tuple(names.private))


def _begins_exactly_known(line: str, names: Names) -> bool:
    return _name(line) in names.known


def begins_known(line: str, names: Names) -> bool:
    """True for a line that begins with a name of a record, also with a slip in it."""
    name = _name(line)
    return bool(name) and _like_known(name, names)


def _name(line: str) -> str:
    """The name a line begins with, in small letters; empty where none does."""
    named = _NAMED.match(line[:_LONGEST_START])
    return flat_text(named["name"]) if named else ""


@lru_cache(maxsize=4096)
def _like_private(word: str, names: Names) -> bool:
    return word not in names.words and word not in _EVERYDAY and alike(word, names.private, _LIKE_A_PRIVATE_NAME)


@lru_cache(maxsize=4096)
def _like_known(name: str, names: Names) -> bool:
    return name in names.known or alike(name, names.known, _LIKE_A_KNOWN_NAME)


def is_private(name: str, names: Names) -> bool:
    """True for a private name, also with a letter wrong, two changed about, “the” or “’s name”; not for a known one."""
    if flat_text(name) in names.known:
        return False
    flat = _ARTICLE.sub("", flat_text(_STRAY.sub(" ", name)))
    first = [_OF_SOMEBODY.sub("", word) for word in flat.split()[:1]]
    serial_number = flat.split()[1:] in (["no"], ["number"], ["name"])
    return any(
        flat in (p, f"{p}no", f"{p}number", f"{p}name")
        or sorted(flat) == sorted(p)
        or one_slip(flat, p)
        or (first == [p] and serial_number)
        for p in names.private
    )


def is_everybodys(word: str, names: Names) -> bool:
    """Whether a word tells of nobody: one of the trade, or of any sentence."""
    return word in _OF_NO_ONE or word in names.words or word in _EVERYDAY
