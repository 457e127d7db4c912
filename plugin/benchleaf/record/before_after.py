"""Values from before and after the work in one line, the word in front of its value or behind it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from .forms import Mistake
from .line_items import items
from .line_values import Spans, value_at, words_of
from .problems import quoted
from .settled import unit_beside, within_times
from .text import Text

_MAY_BE_A_SPAN = frozenset({"frequency", "duration", "length"})
"""Kinds of which “from … to …” is a stretch as often as two sides."""
_BARE = re.compile(r"[-+−]?(?:\d+(?:[.,]\d+)?|[.]\d+)")
_ZERO = re.compile(r"[-+−]?0(?:[.,]0+)?")
_UNIT = re.compile(r"(?<=[\d\s])[^\d\s.,]\S*\Z")
_FROM_TO = re.compile(
    r"(?:up |down )?from\s+(?P<first>[-+−]?(?:\d+(?:[.,]\d+)?|[.]\d+)\s?(?P<unit>[^\W\d]{1,10})?)"
    r"\s+to\s+(?P<last>[-+−]?\.?\d\S*(?:\s\S+)?)",
    re.I,
)
_OF_A_CLAUSE = re.compile(r"it|the|this|that|I|we|they|you|any|clip\w*|distort\w*|overload\w*|onset", re.I)
"""What follows where “before” begins a clause and is no side: ``0.9 W before it clips``."""
_OPPOSITE = {"was": ("before", "after"), "now": ("after", "before")}
"""Words that only ever stand before their value, with its side and that of the value before them."""
BEFORE_AFTER = {"before": "before", "after": "after"}


@dataclass
class Sided:
    """What a line says of each side: a value by its key, the words behind it in ``tails``, and what is ``left``.

    ``bare`` has the numbers without a unit that have their side behind them: its key, the number, and both.
    """

    values: dict[str, Text] = field(default_factory=dict)
    tails: list[Text] = field(default_factory=list)
    left: list[Text] = field(default_factory=list)
    mistakes: list[Mistake] = field(default_factory=list)
    bare: list[tuple[str, Text, Text]] = field(default_factory=list)
    twice: bool = False

    def put(self, key: str, value: Text) -> None:
        """One value of a side; a second one is noted."""
        self.twice = self.twice or key in self.values
        self.values[key] = value

    @property
    def rest(self) -> Text | None:
        """What is left of the line, as one text."""
        whole = self.left[0] if self.left else None
        for piece in self.left[1:]:
            whole = whole.and_then(piece) if whole is not None else piece
        return whole


def sided(line: Text, sides: Mapping[str, str], kinds: Sequence[str], times: float = 0.0) -> Sided:
    """The values of a line that one of the ``sides`` stands by: ``before 0.4 V after 1.1 V``, ``180 uV before``.

    ``kinds`` are those the values may be of. An item without such a value is left as it is. A number without a unit
    has that of the other side where it is of its size, or within so many ``times`` of it.
    """
    found = Sided()
    for item in items(line):
        if _from_one_to_other(item, sides, kinds, found):
            continue
        _read_item(item, sides, dict.fromkeys(kinds, "value"), found)
    _in_unit_of_other(found, sides, times)
    _settle_bare(found, times)
    return found


def _from_one_to_other(item: Text, sides: Mapping[str, str], kinds: Sequence[str], found: Sided) -> bool:
    """Whether an item is both sides, ``from .22 to .6 V``, the first in the unit of the other where it has none."""
    said = _FROM_TO.fullmatch(item)
    if said is None or not {"before", "after"} <= set(sides.values()):
        return False
    first, last = item.cut(*said.span("first")), item.cut(*said.span("last"))
    words = words_of(last, strokes=False)
    value = value_at(last, words, 0, dict.fromkeys(kinds, "value"))
    if value is None or value.words != len(words) or value.kind in _MAY_BE_A_SPAN:
        return False
    told = f"{quoted(item)} read as before and after"
    unit = _UNIT.search(last)
    first = first if said["unit"] or unit is None else first.taken_as(f"{first} {unit[0]}")
    found.put("before", first.taken_as(str(first), told))
    found.put("after", last)
    return True


def _in_unit_of_other(found: Sided, sides: Mapping[str, str], times: float) -> None:
    """A number without its unit has that of the one other side where it is of its size, or nothing: ``after 0``."""
    others = list(found.values.values())
    for piece in list(found.left):
        word, _, number = piece.partition(" ")
        key = sides.get(word.casefold().rstrip(":="), "")
        if not key or key in found.values or len(others) != 1 or not _BARE.fullmatch(number):
            continue
        unit = _unit_of(number, others[0], times)
        if unit:
            value = piece.cut(len(word))
            found.put(key, value.taken_as(f"{value} {unit}"))
            found.left.remove(piece)


def _unit_of(number: str, other: Text, times: float) -> str:
    """The unit that a number beside another value has; empty where it is of another size."""
    named = _UNIT.search(other)
    alike = _ZERO.fullmatch(number) or (times and within_times(number, other, times))
    return named[0] if named and alike else unit_beside(number, other)


def _settle_bare(found: Sided, times: float) -> None:
    """Numbers with their side behind them, ``95 mV before, 3.4 after``; asked once where no unit can be told."""
    others = list(found.values.values())
    asked = False
    for key, number, whole in found.bare:
        unit = _unit_of(number, others[0], times) if len(others) == 1 and key not in found.values else ""
        if unit:
            found.put(key, number.taken_as(f"{number} {unit}", f"{quoted(whole)} read as {quoted(f'{number} {unit}')}"))
            at = next(n for n, piece in enumerate(found.left) if str(whole) in piece)
            rest = found.left[at].replace(str(whole), "", 1).strip(" ,")
            found.left[at : at + 1] = [found.left[at].taken_as(rest)] if rest else []
        elif not asked:
            remedy = f"write its unit, as in {quoted(f'{key} {number} mV')}"
            found.mistakes.append(Mistake(number, quoted(whole), "a value with its unit", remedy))
            asked = True


def _read_item(item: Text, sides: Mapping[str, str], kinds: Mapping[str, str], found: Sided) -> None:
    words = words_of(item, strokes=False)
    said = [item[s:e].casefold().rstrip(":=") for s, e in words]
    names = [
        None if word in BEFORE_AFTER and _OF_A_CLAUSE.fullmatch(behind) else sides.get(word)
        for word, behind in zip(said, [*said[1:], ""], strict=True)
    ]
    index, lead, tail_of = 0, 0, False
    while index < len(words):
        if behind := _was_or_now(item, words, index, kinds, found):
            if index > lead:
                (found.tails if tail_of else found.left).append(item.cut(words[lead][0], words[index][0]))
            lead = index = behind
            tail_of = True
            continue
        taken = _side_first(item, words, index, names, kinds) or _value_first(item, words, index, names, kinds, found)
        if taken is None:
            _note_bare(item, words, index, names, found)
            index += 1
            continue
        if index > lead:
            (found.tails if tail_of else found.left).append(item.cut(words[lead][0], words[index][0]))
        key, start, end, index = taken
        found.put(key, item.cut(start, end))
        lead, tail_of = index, True
    if lead < len(words):
        (found.tails if tail_of else found.left).append(item.cut(words[lead][0]))


def _note_bare(item: Text, words: Spans, index: int, names: Sequence[str | None], found: Sided) -> None:
    """A bare number with its side behind it would be lost among the words: ``3 after``."""
    side = names[index + 1] if index + 1 < len(words) else None
    number = item.cut(*words[index])
    if side and not (index and names[index - 1]) and _BARE.fullmatch(number):
        found.bare.append((side, number, item.cut(words[index][0], words[index + 1][1])))


def _was_or_now(item: Text, words: Spans, index: int, kinds: Mapping[str, str], found: Sided) -> int:
    """``121 V was 98``: the first is of now, the one behind of before. The word behind both; 0 for anything else."""
    value = value_at(item, words, index, kinds)
    at = index + value.words if value else len(words)
    side, other = _OPPOSITE.get(item[slice(*words[at])].casefold(), ("", "")) if at < len(words) else ("", "")
    if not side or at + 1 >= len(words):
        return 0
    first = item.cut(words[index][0], words[at - 1][1])
    next_value = value_at(item, words, at + 1, kinds)
    end = at + 1 + (next_value.words if next_value else 1)
    second = item.cut(words[at + 1][0], words[end - 1][1])
    unit = "" if next_value else unit_beside(second, first) if _BARE.fullmatch(second) else None
    if unit is None or not (next_value or unit):
        return 0
    found.put(other, first)
    found.put(side, second.in_unit(unit) if unit else second)
    return end


_Taken = tuple[str, int, int, int]
"""The key of a side, where its value stands, and the word behind both."""


def _side_first(
    item: Text, words: Spans, index: int, names: Sequence[str | None], kinds: Mapping[str, str]
) -> _Taken | None:
    side = names[index]
    value = value_at(item, words, index + 1, kinds) if side and index + 1 < len(words) else None
    if side is None or value is None:
        return None
    behind = index + 1 + value.words
    return side, words[index + 1][0], words[behind - 1][1], behind


def _value_first(
    item: Text, words: Spans, index: int, names: Sequence[str | None], kinds: Mapping[str, str], found: Sided
) -> _Taken | None:
    """A value with its side behind it; where another value follows that has no side, which is which is asked."""
    value = value_at(item, words, index, kinds)
    at = index + value.words if value else len(words)
    side = names[at] if at < len(words) else None
    if value is None or side is None:
        return None
    end = words[at - 1][1]
    other = value_at(item, words, at + 1, kinds) if at + 1 < len(words) else None
    after_other = at + 1 + other.words if other else len(words)
    if other and not (after_other < len(words) and names[after_other]):
        said = item.cut(words[index][0], words[after_other - 1][1])
        first, second = item[words[index][0] : end], item[words[at + 1][0] : words[after_other - 1][1]]
        remedy = f"write {quoted(f'before {first}, after {second}')}, if that is meant"
        found.mistakes.append(Mistake(said, quoted(said), "each value behind its own word", remedy))
    return side, words[index][0], end, at + 1
