"""The ends of each section of a can, said in one line: ``HT1 and HT2 to chassis``, ``B+1 to B-, B+2 to B-``."""

from __future__ import annotations

from typing import NamedTuple

from pydantic_core import PydanticCustomError

from .line_values import Spans, kind_of_part, words_of
from .problems import quoted
from .section import refused
from .several import JOINING, SECTIONS_REMEDY
from .spoken import place_at
from .text import Entries, Listing, Text

_MOST_SECTIONS = 8
_JOINTS = frozenset({"and", "&", "+", "y", "und", "en", "et"})


class EndsOfEach(NamedTuple):
    """The two ends of each section, what was ``said``, and the ``line`` without it.

    ``listed`` ends are parted by commas, and may be something else where the line has not as many sections.
    """

    ends: list[tuple[Text, Text]]
    said: Text
    line: Text
    listed: bool


def ends_of_each(line: Text) -> EndsOfEach | None:
    """What a part's line says of the ends of several sections; None where it says no such thing."""
    if not (line.single and kind_of_part(line.manner.part)):
        return None
    words = words_of(line, strokes=False)
    for index in range(len(words)):
        if not _place(line, words, index):
            continue
        found = _in_common(line, words, index) or _in_rows(line, words, index) or _from_one(line, words, index)
        if found is not None:
            ends, last, listed = found
            start, end = words[index][0], words[last - 1][1]
            return EndsOfEach(ends, line.cut(start, end - (line[end - 1] in ",.;")), _without(line, start, end), listed)
    return None


def _in_common(line: Text, words: Spans, index: int) -> tuple[list[tuple[Text, Text]], int, bool] | None:
    """``HT1 and HT2 to chassis``: several places, each to the same one."""
    firsts: list[Text] = []
    at = index
    listed = False
    while len(firsts) < _MOST_SECTIONS and (count := _place(line, words, at)):
        firsts.append(_cut(line, words, at, count))
        at += count
        if at >= len(words):
            return None
        if _word(line, words, at) in JOINING:
            break
        parted = line[words[at - 1][1] - 1] == ","
        joint = _word(line, words, at) in _JOINTS
        if not (parted or joint):
            return None
        listed = listed or not joint
        at += joint
    if len(firsts) < 2 or at >= len(words) or _word(line, words, at) not in JOINING:
        return None
    count = _place(line, words, at + 1)
    common = _cut(line, words, at + 1, count) if count else None
    return ([(first, common) for first in firsts], at + 1 + count, listed) if common else None


def _in_rows(line: Text, words: Spans, index: int) -> tuple[list[tuple[Text, Text]], int, bool] | None:
    """``B+1 to B-, B+2 to B-``: two places and two more, parted by commas."""
    found: list[tuple[Text, Text]] = []
    at = end = index
    while len(found) < _MOST_SECTIONS and (first := _place(line, words, at)):
        joint = at + first
        second = _place(line, words, joint + 1) if _word(line, words, joint) in JOINING else 0
        if not second:
            break
        found.append((_cut(line, words, at, first), _cut(line, words, joint + 1, second)))
        at = end = joint + 1 + second
        if line[words[at - 1][1] - 1] != ",":
            at += _word(line, words, at) in _JOINTS
            if at == end:
                break
    return (found, end, True) if len(found) > 1 else None


def _from_one(line: Text, words: Spans, index: int) -> tuple[list[tuple[Text, Text]], int, bool] | None:
    """``chassis to HT1 and HT2``, ``HT2 to B2 g2 & B3``: one place, and several that it is joined to.

    A tube without its electrode has that of the place before it. A word behind them may make the last one a job.
    """
    first = _place(line, words, index)
    at = index + first
    if not first or _word(line, words, at) not in JOINING:
        return None
    common = _cut(line, words, index, first)
    seconds: list[Text] = []
    listed = False
    at = end = at + 1
    while len(seconds) < _MOST_SECTIONS and (count := _place(line, words, at)):
        seconds.append(_cut(line, words, at, count))
        at = end = at + count
        parted = line[words[at - 1][1] - 1] in ",.;"
        joint = _word(line, words, at) in _JOINTS
        if at >= len(words) or not (parted or joint):
            break
        at += joint
        if joint and (tube := _tube_alone(line, words, at, seconds[-1])):
            seconds.append(tube)
            at = end = at + 1
            break
        listed = listed or (parted and _place(line, words, at) > 0)
    stops = end >= len(words) or line[words[end - 1][1] - 1] in ",.;"
    return ([(common, second) for second in seconds], end, listed) if stops and len(seconds) > 1 else None


def _tube_alone(line: Text, words: Spans, index: int, before: Text) -> Text | None:
    """``B3`` behind ``g2 B2 and``, as ``g2 B3``: the last word of its item, and no place by itself."""
    if index >= len(words) or _place(line, words, index):
        return None
    tube = _cut(line, words, index, 1)
    last = index + 1 == len(words) or line[words[index][1] - 1] in ",.;"
    at = next((word for word in before.split() if line.manner.position(word)), "")
    if not (last and at and line.manner.position(tube)):
        return None
    return tube.taken_as(" ".join(str(tube) if word == at else word for word in before.split()))


def _place(line: Text, words: Spans, index: int) -> int:
    """How many words of a place begin at a word; 0 where none do, or where a comma stands within it."""
    found = place_at(line, words, index) if index < len(words) else None
    count = found[0] if found else 0
    within = any(line[end - 1] == "," for _, end in words[index : index + count - 1])
    return 0 if within else count


def _word(line: Text, words: Spans, index: int) -> str:
    return str(line)[slice(*words[index])].casefold() if index < len(words) else ""


def _cut(line: Text, words: Spans, index: int, count: int) -> Text:
    place = line.cut(words[index][0], words[index + count - 1][1])
    return place.cut(0, len(place.rstrip(".,;:")))


def _without(line: Text, start: int, end: int) -> Text:
    """A line without a piece and one of the commas beside it, all else in its own column."""
    left = len(line[:start].rstrip(" ,"))
    right = end + len(line[end:]) - len(line[end:].lstrip(" ,")) if not left else end
    right -= 1 if left and line[end - 1] == "," and line[right:].strip() else 0
    return line.taken_as(f"{line[:left]}{' ' * (right - left)}{line[right:]}") if line[right:] else line.cut(0, left)


def _sections(table: Entries) -> list[Entries]:
    sections = table.get(Text("sections"))
    return [one for one in sections.values() if isinstance(one, Entries)] if isinstance(sections, Entries) else []


def has_as_many(table: Entries, each: EndsOfEach) -> bool:
    """Whether a part's table has a section for each two ends."""
    return len(_sections(table)) == len(each.ends)


def _joined(each: EndsOfEach) -> PydanticCustomError:
    """What is asked of a part with one value and three places: two of them may be one point of the set."""
    (one, first), (other, second) = each.ends
    alike, common = ((one, other), first) if first == second else ((first, second), one)
    found = f"{quoted(each.said)}, three places, where the line has one value"
    points = f"{alike[0]}, {alike[1]}"
    joined = f"write {quoted(f'{common} to {alike[0]}')} here, and {quoted(points)} under “wires:” if they are joined"
    can = f"; of a can {SECTIONS_REMEDY}" if kind_of_part(each.line.manner.part) == "capacitance" else ""
    return refused(found, "two places that a part joins", f"{joined}{can}", at=each.said)


def with_ends(table: Entries, each: EndsOfEach) -> Entries:
    """A part's table whose sections have their ends. Raises PydanticCustomError where there are not as many."""
    listed = _sections(table)
    if len(listed) < 2 and len(each.ends) == 2:
        raise _joined(each)
    if len(listed) != len(each.ends):
        found = f"{quoted(each.said)}, the ends of {len(each.ends)}, where the line has {max(len(listed), 1)}"
        raise refused(found, "two places that a part joins, or as many sections", SECTIONS_REMEDY, at=each.said)
    for section, ends in zip(listed, each.ends, strict=True):
        row = Listing(ends[0].place)
        row += ends
        section[Text("between", ends[0].place)] = row
    return table
