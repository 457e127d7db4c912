"""The shape of a line: which words and values it may hold, and the keys of the mapping they stand for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from .problems import Nearest
from .text import Text


@dataclass(frozen=True)
class Form:
    """How a line of one section is read.

    ``heads`` are the keys that may stand before their value. ``values`` maps a kind of quantity (or ``date``,
    ``picture``, ``part``) to the key that takes it; ``words`` a word of the trade to its key; ``first`` names the keys
    that the leading items fill, whatever they hold; ``groups`` maps a key to the form of the nested line it opens;
    ``implied`` names the group that takes what only it can read; ``rest`` the key that collects free text; ``remark``
    the key for what follows a semicolon. ``begins`` lists kinds that begin another entry, which makes the line a list;
    kinds of different keys make one entry where nothing parts them (``R1 1 meg``). ``skipped`` are words that carry
    nothing here. One of ``needs`` must be in the line.

    ``notes`` is the key that keeps words the line does not know; without it, and in a ``strict`` form, they are asked.
    ``gathers`` are keys that take several values, said one after the other. ``valued`` are heads that take one value of
    these kinds and nothing behind it. ``strokes`` parts values at a stroke. ``spoken`` reads a part's job and places.
    ``behind`` maps a kind of quantity to the key that takes it where its own is taken and a word of the trade stands
    before it (``ok 152``). ``tube_first`` says that the leading item begins with the type of a tube, ``rest_names``
    that the free text is names, so that a number without a unit is asked.
    """

    heads: tuple[str, ...] = ()
    values: Mapping[str, str] = field(default_factory=dict)
    words: Mapping[str, str] = field(default_factory=dict)
    first: tuple[str, ...] = ()
    groups: Mapping[str, Form] = field(default_factory=dict)
    implied: str = ""
    rest: str = ""
    remark: str = ""
    begins: tuple[str, ...] = ()
    skipped: frozenset[str] = frozenset()
    ignored: frozenset[str] = frozenset()
    synonyms: Mapping[str, str] = field(default_factory=dict)
    needs: tuple[str, ...] = ()
    notes: str = ""
    strict: bool = False
    gathers: frozenset[str] = frozenset()
    valued: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    strokes: bool = False
    spoken: bool = False
    behind: Mapping[str, str] = field(default_factory=dict)
    tube_first: bool = False
    rest_names: bool = False

    @cached_property
    def phrases(self) -> dict[str, tuple[str, str]]:
        """Every word this form knows, folded, with what it does (``head``, ``group``, ``word``) and its key."""
        known = {word.casefold(): ("word", key) for word, key in self.words.items()}
        heads = {key: key for key in self.heads} | dict(self.synonyms)
        for word, key in heads.items():
            known[word.casefold()] = ("group" if key in self.groups else "head", key)
        return known

    @cached_property
    def longest(self) -> int:
        """The most words that one phrase of this form has."""
        return max((phrase.count(" ") + 1 for phrase in self.phrases), default=1)

    @property
    def _implied(self) -> Form | None:
        """The group that is implied, unless it needs a value of its own, which is not offered to a writer at a loss."""
        implied = self.groups.get(self.implied)
        return None if implied is None or implied.needs else implied

    @cached_property
    def kinds(self) -> tuple[str, ...]:
        """The kinds of value a line may hold: its own, and those of the group that is implied."""
        nested = self._implied.kinds if self._implied else ()
        return tuple(dict.fromkeys((*self.values, *nested)))

    @cached_property
    def wanted(self) -> tuple[str, ...]:
        """The kinds that a writer may be asked for: not those that are kept in words, as the hertz of a motor."""
        nested = self._implied.wanted if self._implied else ()
        return tuple(dict.fromkeys((*(kind for kind, key in self.values.items() if key != "note"), *nested)))

    @cached_property
    def vocabulary(self) -> tuple[str, ...]:
        """The words a writer may have meant, for the nearest right one."""
        nested = self._implied.vocabulary if self._implied else ()
        spoken = (word for word in self.skipped if len(word) > 2)
        return tuple(dict.fromkeys((*self.words, *self.heads, *self.synonyms, *sorted(spoken), *nested)))


def form(
    section_fields: Iterable[str],
    *,
    values: Mapping[str, str] | None = None,
    words: Mapping[str, str] | None = None,
    **more: Any,
) -> Form:
    """A form whose heads are a section's own keys: whatever can be a key can also stand before its value in a line.

    A form with a key ``note`` keeps there what it does not know, unless it is ``strict``.
    """
    heads = tuple(section_fields)
    notes = "note" if "note" in heads else ""
    gathers = frozenset((*more.pop("gathers", ()), *([notes] if notes else [])))
    return Form(heads=heads, values=values or {}, words=words or {}, notes=notes, gathers=gathers, **more)


@dataclass(frozen=True)
class Mistake:
    """Something in a line that its form cannot read."""

    text: Text
    found: str
    expected: str
    remedy: str | Nearest = ""
