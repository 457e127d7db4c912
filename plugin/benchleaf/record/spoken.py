"""What a part does and where it lies, in the words of the trade: ``coupling V3 plate to V4 grid``, ``line bypass``."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import NamedTuple

from .line_values import PART_NAME, TRANSFORMERS, Spans
from .numbered_points import JOINT, flat, is_bias_tap, is_node, numbered_tap
from .place_words import PIN_BEHIND, is_centre_tap, read_rail
from .problems import quoted
from .text import Text
from .things import thing_at
from .trade_words import BESIDE_A_JOB, JOBS

_BYPASS = re.compile(
    r"(?P<at>(?P<tube>\S+)\s+(?:cathode|cath|k|screen|scrn?|g2))\s+(?:bypass|decoupling|decoupler)(?:\s+(?:cap|condenser))?",
    re.I,
)
_BYPASS_OF = re.compile(
    r"(?P<at>cathode|cath|k|screen|scrn?|g2)\s+(?:bypass|decoupling|decoupler)(?:\s+(?:cap|condenser))?"
    r"\s+(?:(?:of|at|for|on)\s+)?(?:the\s+)?(?P<tube>\S+?)(?:\s*(?:,|\band|&|\+)\s*(?:the\s+)?(?P<other>\S+))?",
    re.I,
)
_POSITION = re.compile(r"(?:V|VT)\d{1,2}\Z", re.I)
_ELECTRODE = re.compile(
    r"plates?|plt|pl|anodes?|an|grids?|gr|screens?|scrn?|cathode|cath|suppressor|target|diode|heater|htr|filament|fil|[akp][12]?|s|d\d?|g\d?(?:\+g?\d)*|sg"
    r"|at|ah|ap|gt\Z",
    re.I,
)
_SYSTEM = re.compile(r"triode|pentode|hexode|heptode")
"""What tells two electrodes of one name apart, behind it: ``anode triode``."""
_NUMBERED = re.compile(r"[12]")
_BESIDE_ELECTRODE = re.compile(r"osc(?:illator)?|control|signal|diode|triode|screen|pin|\d", re.I)
_TO, _FROM_TO = frozenset({"to", "naar", "nach"}), frozenset({"to", "naar", "nach", "-", "–"})
_OF = frozenset({"of", "at"})
_EDGE = frozenset(
    {
        "of",
        "for",
        "to",
        "naar",
        "nach",
        "van",
        "von",
        "from",
        "between",
        "and",
        "at",
        "in",
        "on",
        "the",
        "with",
        "&",
        "-",
        "–",
        "y",
        "de",
    }
)
_SWITCHED = re.compile(r" (?:am|fm|ukw|vhf)\Z")
"""Behind a rail's name the waves it serves: ``HT FM``."""
_IN_COMMON = frozenset({"cathode", "cathodes", "plate", "plates", "anode", "anodes", "screen", "screens", "bias"})
"""What several tubes have in common: before these words it is no name of B-."""
_MOST_WORDS_OF_A_RAIL = 3
_MOST_OF_A_JOB = 4
_MOST_WORDS = 12
"""Of one run; nobody says a part's job in more."""
_MOST_BEFORE = 4
"""Words of a run before the first that is a job or a place: a line of nothing else was gone through from each."""


class Spoken(NamedTuple):
    """A run of words of the trade: how many ``words`` it has, the ``places`` in it, and what it says beside them."""

    words: int
    places: list[Text]
    job: Text | None
    joined: bool

    @property
    def alone(self) -> bool:
        """Whether it is a place at a tube and nothing else."""
        return len(self.places) == 1 and self.job == self.places[0]


def spoken_at(item: Text, words: Spans, index: int, stops: Callable[[int], bool]) -> Spoken | None:
    """The longest run of words of the trade that begins at a word, where it says a job or a place; else None.

    ``stops`` says of a word whether it means something else to the line, so that the run ends before it.
    """
    if flat(item, words[index]) in _EDGE:
        return None
    end = index
    places: list[tuple[int, int, bool]] = []
    jobs: list[int] = []
    while end < min(len(words), index + _MOST_WORDS) and not stops(end):
        if found := _end_at(item, words, end, places, stops):
            count, lone = found
            places.append((end, end + count, lone))
            jobs += [end] if lone and flat(item, words[end]) in JOBS else []
            end += count
            continue
        word = flat(item, words[end])
        tube = _is_tube(item, words, end)
        if word not in BESIDE_A_JOB and not tube and not _tells_which(item, words, end, index):
            break
        jobs += [end] if word in JOBS or tube else []
        end += 1
        if not (jobs or places) and end == index + _MOST_BEFORE:
            return None
    while end > index and flat(item, words[end - 1]) in _EDGE and not any(last == end for _, last, _ in places):
        end -= 1
    named = [(first, last) for first, last, lone in places if not lone]
    jobs = [at for at in jobs if at < end]
    if end == index or not (jobs or named or len(places) == 2):
        return None
    both = [(first, last) for first, last, _ in places]
    through = len(both) == 2 and _joined_through_a_job(item, words, both)
    joined = len(both) == 2 and (through or _joined(item, words, both))
    if joined and both[0][0] == index + 1 and _is_tube(item, words, index) and _is_short(item, words, both[0]):
        return None
    said = _cut(item, words, both[0][0], both[1][0] - 1) if through else None
    said = said or _said(item, words, index, end, both if joined else ())
    if said and len(both) > 2:
        told = f"{quoted(said)} read as what the part does: for its two ends write “between … and …”"
        said = said.taken_as(said, told)
    texts = [_cut(item, words, first, last) for first, last in (both if joined else named)]
    return Spoken(end - index, texts, said, joined)


def _tells_which(item: Text, words: Spans, at: int, start: int) -> bool:
    """Whether a word says which of several jobs of one name: ``B reservoir``, ``A smoothing 1``."""
    if at == start:
        supply = item[slice(*words[at])] in ("A", "B", "C")
        return supply and at + 1 < len(words) and flat(item, words[at + 1]) in JOBS
    last = at + 1 == len(words) and item[words[at][0] - 1] == " "
    return last and _NUMBERED.fullmatch(flat(item, words[at])) is not None and flat(item, words[at - 1]) in JOBS


def _end_at(
    item: Text, words: Spans, index: int, before: list[tuple[int, int, bool]], stops: Callable[[int], bool]
) -> tuple[int, bool] | None:
    """A place, or what is one where ``to`` joins it to another: a thing of the set, a tube without its electrode."""
    place = place_at(item, words, index)
    thing = thing_at(item, words, index, stops)
    common = place is not None and place[0] == 1 and read_rail(flat(item, words[index])).kind in ("chassis", "B-")
    if common and all(flat(item, words[at]) in JOBS for at in range(index + 1, index + thing)):
        return place
    if thing > (place[0] if place else 0):
        behind = bool(before) and before[-1][1] == index - 1 and flat(item, words[index - 1]) == "to"
        ends = [(first, last) for first, last, _ in before]
        through = len(ends) == 1 and _joined_through_a_job(item, words, [*ends, (index, index + thing)])
        if behind or through or _goes_on(item, words, index + thing, stops, _TO):
            return thing, True
    if place is None and _is_tube(item, words, index):
        joint = index and flat(item, words[index - 1]) in _FROM_TO
        behind = bool(before) and before[-1][1] == index - 1 and bool(joint)
        if behind or _goes_on(item, words, index + 1, stops, _FROM_TO):
            return 1, True
    return place


def _goes_on(item: Text, words: Spans, at: int, stops: Callable[[int], bool], joints: frozenset[str]) -> bool:
    """Whether a joint stands at a word and another place behind it."""
    if at + 1 >= len(words) or flat(item, words[at]) not in joints or stops(at + 1):
        return False
    return place_at(item, words, at + 1) is not None or thing_at(item, words, at + 1, stops) > 0


def begins_at_tube(item: Text, words: Spans, index: int) -> bool:
    """Whether a tube and its electrode stand at a word, or a tap by its volts: ``80 filament`` is no value."""
    return _at_tube(item, words, index) > 0 or numbered_tap(item, words, index) > 0


def bypassed(job: Text) -> list[Text]:
    """The two ends of a capacitor whose job says what it bypasses, ``V2 cathode bypass``; none for any other job."""
    turned = _BYPASS_OF.fullmatch(job)
    known = turned and job.manner.part == "C" and job.manner.position(turned["tube"])
    if turned and known and (not turned["other"] or job.manner.position(turned["other"])):
        ends = bypassed(job.taken_as(f"{turned['tube']} {turned['at']} bypass"))
        if ends and turned["other"]:
            both = " and ".join(f"{turned[name]} {turned['at']}" for name in ("tube", "other"))
            told = f"{quoted(job)} read as from {ends[0]} to {ends[1]}: {both} are joined, write it under “wires”"
            ends[1] = ends[1].taken_as(str(ends[1]), told)
        return ends
    found = _BYPASS.fullmatch(job)
    if found is None or job.manner.part != "C" or not job.manner.position(found["tube"]):
        return []
    bottom = "B-" if re.search(r"ac\s?/\s?dc|string|transformerless|three-way", job.manner.power, re.I) else "chassis"
    at = job.cut(*found.span("at"))
    return [at, at.taken_as(bottom, f"{quoted(job)} read as from {at} to {bottom}")]


def only_joints(text: Text) -> bool:
    """Whether words before a job say nothing by themselves: ``in the`` of ``in the B- return``."""
    return all(flat(text, word.span()) in _EDGE for word in re.finditer(r"\S+", text))


def place_at(item: Text, words: Spans, index: int) -> tuple[int, bool] | None:
    """How many words of a place stand here, and whether it is a rail, which alone says nothing of a part."""
    if flat(item, words[index]) == "common" and index + 1 < len(words) and flat(item, words[index + 1]) in _IN_COMMON:
        return None
    if count := _at_tube(item, words, index):
        return count, False
    if is_node(item, words, index) or is_bias_tap(item, words, index):
        return 2, True
    if (tap := numbered_tap(item, words, index)) or flat(item, words[index]) in item.manner.points:
        return tap or 1, True
    for count in range(min(_MOST_WORDS_OF_A_RAIL, len(words) - index), 0, -1):
        name = " ".join(flat(item, words[at]) for at in range(index, index + count))
        if count > 1 and name in item.manner.points and read_rail(flat(item, words[index])).known:
            return count, True
        if name in item.manner.named and _at_a_joint(item, words, index, count):
            return count, True
        if is_centre_tap(name) and item.manner.part not in TRANSFORMERS:
            return count, True
        if read_rail(name).known and not name.startswith(("line ", "mains ", "ground ", "earth ")):
            exact = (
                not name.startswith("+")
                and read_rail(name).kind in ("B+", "B-", "chassis", "AVC", "line", "neutral")
                and _whole(name)
            )
            if exact:
                return count, True
    return None


def _at_a_joint(item: Text, words: Spans, index: int, count: int) -> bool:
    """Whether words are one end of what ``to`` joins to a place: the whole of what stands before it, or behind it."""
    end = index + count
    if index > 1:
        return end == len(words) and flat(item, words[index - 1]) == "to"
    before = index == 0 and end + 1 < len(words) and flat(item, words[end]) == "to"
    return before and place_at(item, words, end + 1) is not None


def _whole(name: str) -> bool:
    """Whether a name is a point and nothing behind it: ``B+``, not ``B+ bypass``."""
    found = read_rail(name)
    if found.key in ("B-", "chassis", "AVC", "line", "neutral"):
        return True
    return re.fullmatch(r"B\+\d*", found.key) is not None or (found.kind == "B+" and bool(_SWITCHED.search(name)))


def _at_tube(item: Text, words: Spans, index: int) -> int:
    """How many words of an electrode with its tube stand here, whichever comes first; 0 where none do."""
    joined = PIN_BEHIND.fullmatch(flat(item, words[index]))
    if joined and (joined["pin"] or _ELECTRODE.fullmatch(joined["word"])):
        at = joined["at"]
        if item.manner.position(at) or _POSITION.match(at):
            return 1
    if _is_tube(item, words, index):
        end = _electrode(item, words, index + 1)
        return end - index if end > index + 1 else 0
    end = _electrode(item, words, index)
    if end == index:
        return 0
    tube = end + 1 if end < len(words) and flat(item, words[end]) in _OF else end
    return tube + 1 - index if tube < len(words) and _is_tube(item, words, tube) else 0


def _electrode(item: Text, words: Spans, index: int) -> int:
    """The word behind an electrode that begins here; ``index`` where none does."""
    end = index
    while end < len(words) and end < index + 2 and _BESIDE_ELECTRODE.fullmatch(flat(item, words[end])):
        end += 1
    if end < len(words) and _ELECTRODE.fullmatch(flat(item, words[end])):
        return end + 2 if end == index and _tells_apart(item, words, end + 1) else end + 1
    pin = end > index + 1 and flat(item, words[index]) == "pin"
    alone = end > index and _ELECTRODE.fullmatch(flat(item, words[end - 1]))
    return end if pin or alone else index


def _tells_apart(item: Text, words: Spans, index: int) -> bool:
    """Whether a word behind an electrode says which of two it is: ``anode triode``, ``anode 1`` with no unit behind."""
    if index >= len(words):
        return False
    word = flat(item, words[index])
    if _SYSTEM.fullmatch(word):
        return True
    return bool(_NUMBERED.fullmatch(word)) and (index + 1 == len(words) or flat(item, words[index + 1]) in JOINT)


def _is_tube(item: Text, words: Spans, index: int) -> bool:
    if index >= len(words):
        return False
    start, end = words[index]
    name = item[start:end].strip(".,:")
    return bool(item.manner.position(name) or _POSITION.match(name))


def _joined(item: Text, words: Spans, places: list[tuple[int, int]]) -> bool:
    """Whether two places are said to be the two ends: next to each other, or with a word such as ``to`` between."""
    (_, first), (second, last) = places
    if first == second == last - 1 and flat(item, words[second]) in JOBS:
        return False
    return all(flat(item, words[at]) in JOINT for at in range(first, second))


def _is_short(item: Text, words: Spans, place: tuple[int, int]) -> bool:
    """Whether an end is one short name, which behind a tube is meant for its electrode: ``V5 q7 to B-``."""
    first, last = place
    return last == first + 1 and PART_NAME.fullmatch(flat(item, words[first])) is not None


def _joined_through_a_job(item: Text, words: Spans, places: list[tuple[int, int]]) -> bool:
    """Whether what a part does stands between its two ends, and “to” behind it: ``V4 grid leak to bias``."""
    (_, first), (second, _) = places
    between = [flat(item, words[at]) for at in range(first, second)]
    return 1 < len(between) <= _MOST_OF_A_JOB and between[-1] == "to" and all(word in JOBS for word in between[:-1])


def _said(item: Text, words: Spans, start: int, end: int, without: Sequence[tuple[int, int]]) -> Text | None:
    """What a run says beside its places."""
    left = [at for at in range(start, end) if not any(first <= at < last for first, last in without)]
    while left and flat(item, words[left[-1]]) in _EDGE:
        left.pop()
    while left and without and flat(item, words[left[0]]) in _EDGE:
        left.pop(0)
    if not left:
        return None
    whole = left == list(range(left[0], left[-1] + 1))
    if whole:
        return _cut(item, words, left[0], left[-1] + 1)
    joined = " ".join(str(item)[slice(*words[at])] for at in left)
    return item.cut(*words[left[0]]).taken_as(joined)


def _cut(item: Text, words: Spans, first: int, last: int) -> Text:
    return item.cut(words[first][0], words[last - 1][1])
