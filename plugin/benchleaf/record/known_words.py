"""Every word that a record has a meaning for: names, words of lines, choices, words of the trade, units."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, partial
from typing import Any, get_args

from .kinds import BY_NAME
from .place_words import read_rail
from .quantities import QuantityError, read_any
from .section import Section
from .trade_words import CONDITIONS, TYPES
from .whole_words import words_of_form

_SHORTEST = 3
"""Letters of a word that says something where it stands within others."""
_JOINTS = frozenset(
    ["not", "no", "non", "never", "without", "with", "and", "or", "to", "of", "at", "on", "in", "by", "for", "from"]
)
"""Words that turn or join what stands beside them."""


@dataclass(frozen=True)
class KnownWords:
    """``phrases`` with a meaning of their own, the ``words`` they are made of, and ``private`` ones of whose a set is.

    All are in small letters.
    """

    phrases: frozenset[str]
    words: frozenset[str]
    private: frozenset[str]

    def has(self, written: str) -> bool:
        """Whether something written has a meaning, or each word of it has one, be it as a unit or a place."""
        name, point = _folded(written), read_rail(written)
        is_a_point = point.known and point.key != name
        return name in self.phrases or is_a_point or all(self._has_word(word) for word in name.split())

    def _has_word(self, word: str) -> bool:
        return word in self.words or word in _JOINTS or _is_a_unit(word)

    def same(self, written: str, means: str) -> bool:
        """Whether what is written is known to mean the same."""
        name = _folded(written)
        return TYPES.get(name, CONDITIONS.get(name, name)) == _folded(means)

    def tells(self, means: str) -> bool:
        """Whether at least one word is known: the others may say more, as of a part's job."""
        name = _folded(means)
        return name in self.phrases or not self.words.isdisjoint(name.split()) or read_rail(means).known


@cache
def known_words() -> KnownWords:
    """The words as the record's model, the trade's list and the dialects have them."""
    from ..words import DIALECTS
    from .how_powered import CHASSIS
    from .private_names import Names
    from .sections.line_side_words import PLUGS
    from .sections.touchable_words import TOUCHABLE_PARTS
    from .trade_words import BESIDE_A_JOB, MEASURED, NOW

    names = Names.of_a_record()
    sections = list(_below(Section))
    of_dialects = (word for one in DIALECTS.values() for word in (*one.by_name().values(), *one.electrodes.values()))
    of_sections = (
        word
        for section in sections
        for word in (*section.names(), *section.SYNONYMS, *words_of_form(section.FORM), *_chosen_in(section))
    )
    of_trade = (*CONDITIONS, *CONDITIONS.values(), *TYPES, *TYPES.values(), *NOW, *MEASURED, *BESIDE_A_JOB)
    private = names.private | {_folded(name) for section in sections for name in section.private_words()}
    of_safety = (*CHASSIS, *PLUGS, *TOUCHABLE_PARTS)
    phrases = frozenset(map(_folded, (*of_sections, *of_trade, *of_dialects, *of_safety))) | names.known | private
    words = frozenset(word for phrase in phrases for word in re.findall(r"[\w+-]+", phrase) if len(word) >= _SHORTEST)
    return KnownWords(phrases, (words | names.words) - private, private)


def _below(section: type[Section]) -> Iterator[type[Section]]:
    for one in section.__subclasses__():
        yield one
        yield from _below(one)


def _chosen_in(section: type[Section]) -> Iterator[str]:
    """The words that fields of a section are chosen from, and those that stand for one."""
    from .editor_schema import one_of_words

    waiting: list[Any] = [part for of in section.model_fields.values() for part in (of.annotation, *of.metadata)]
    for part in waiting:
        published = getattr(part, "published", None)
        if isinstance(published, partial) and published.func is one_of_words:
            yield from (word for words in published.args for word in words)
        waiting += [*get_args(part), *getattr(part, "__metadata__", ())]


def _is_a_unit(word: str) -> bool:
    try:
        return read_any(f"1 {word}", BY_NAME) is not None
    except QuantityError:
        return True


def _folded(text: str) -> str:
    return " ".join(text.split()).casefold()
