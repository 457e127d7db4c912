"""Places in the set: what is read, and what parts, wires and changes lie between, is asked where it can be no place."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...record.place_words import THINGS, folded, read_rail
from ...record.problems import Nearest, a_type, one_of, quoted
from ...record.slips import Slips, near
from ..elements import across_places
from ..places import Place, Places, is_electrode_word, pin_of
from .tubes import POSITION

if TYPE_CHECKING:
    from ...record.model import Record
    from ...record.sections.parts import Part, PartSection
    from ...record.sections.readings import Reading
    from ...record.text import Text

_CONDITIONS = ("line", "meter", "to")
_UNKNOWN_BASE_PINS = 14
_FEW = 3
_AT_A_SETTING = re.compile(r"\s+(?:at|@|on)\s+[.\d].*")
"""Where the dial stood, behind an electrode: ``osc grid at 1400``."""
_OF_A_CONVERTER = re.compile(r"(?:osc(?:illator)?|control|signal|injection|mixer)\.?\s+(?:grid|plate|anode)", re.I)
_PLACE = "a tube and its electrode, a rail such as “B+1” or “B-”, or a name that the record uses again"
_TWICE = "use the name at the other part or reading there too"
_USUAL = ("B+1", "B+2", "B-", "chassis", "AVC", "line", "neutral")


@dataclass(frozen=True)
class _Named:
    """What the places of a record are held against: the reader, and how often each name of the writer's own is used."""

    record: Record
    places: Places
    uses: Mapping[str, int]
    slips: Slips


def look_over(record: Record, places: Places, slips: Slips) -> None:
    """Every place that the record names can be one; a rail may have any name that the record uses again."""
    named = _Named(record, places, _uses(record, places), slips)
    for run_name, run in record.readings.items():
        for name, points in run.points.items():
            _reading(name, points, f"readings.{run_name}", named)
    for row, field in _rows(record):
        _row(row, field, named)
    for alignment in record.alignment:
        for place in alignment.levels:
            _end(place, f"alignment.levels.{place}", named)
    for sides, ends, field in _sides(record):
        _sides_are_ends(sides, ends, field, named)


def _row(row: tuple[Text, ...], field: str, named: _Named) -> None:
    """Places that something lies between or joins: each can be one, and none is written twice in two ways."""
    seen: dict[Place, Text] = {}
    for end in row:
        if not _end(end, field, named):
            continue
        place = named.places.read(end)
        if place in seen:
            found = f"{quoted(end)}, which is {quoted(seen[place])} again"
            named.slips.add(end, field, found, "different places, such as “V3 plate and B+2”")
        seen[place] = end


def _reading(name: Text, points: tuple[Reading, ...], field: str, named: _Named) -> None:
    places, slips = named.places, named.slips
    if position := places.position(name):
        _points(position, points, f"{field}.{name}", named)
        return
    split = places.split(name)
    if split and split[0] in places.positions and len(points) == 1 and not points[0].at:
        _electrode(*split, _word_of(name, split[1]), field, named)
    elif not split and _lacks_its_tube(_AT_A_SETTING.sub("", name)):
        slips.add(name, field, f"{quoted(name)} without its tube", f"{POSITION}, or a rail with one value")
    elif split or looks_like_tube(name, named.record) or any(point.at for point in points):
        expected = f"{POSITION}, or a rail with one value"
        slips.add(name, field, quoted(name), expected, near(name, [*named.record.tubes, *_CONDITIONS]))


def _lacks_its_tube(name: str) -> bool:
    return is_electrode_word(name) or _OF_A_CONVERTER.fullmatch(name) is not None


def _points(position: str, points: tuple[Reading, ...], field: str, named: _Named) -> None:
    """The readings of one tube: electrodes it has, each once, whatever word is used for it."""
    seen: dict[Place, Text] = {}
    if _too_few_pins(position, points, named):
        values = " ".join(point.value.written.strip() if point.value else "x" for point in points)
        remedy = "write each with its electrode, or go on to the last pin with “x” for what was not read"
        expected = "the electrode before each value, or the value of every pin"
        named.slips.add(
            points[0].at, field, f"{quoted(values)}, {len(points)} values with no electrode", expected, remedy
        )
        return
    for point in points:
        if not point.at:
            expected = "an electrode and its volts, such as “plate 92.4”"
            named.slips.add(point.at, field, "a value with no electrode", expected)
            continue
        if not _electrode(position, point.at, point.at, field, named) or pin_of(point.at) is not None:
            continue
        place = named.places.at_tube(position, point.at)[0]
        if place in seen and place.known:
            found = f"{quoted(point.at)}, which is {quoted(seen[place])} again"
            named.slips.add(point.at, field, found, "each electrode once")
        seen.setdefault(place, point.at)


def _too_few_pins(position: str, points: tuple[Reading, ...], named: _Named) -> bool:
    """Whether bare values are so few that they are no row of pins, as those of plate, screen and cathode may be."""
    from ...tubes import PIN_COUNT

    tube = named.places.tubes.get(position)
    pins = PIN_COUNT.get(tube.base or "", 0) if tube else 0
    row = [str(point.at) for point in points] == [str(number) for number in range(1, len(points) + 1)]
    return row and 1 < len(points) <= _FEW and pins > _FEW + 1


def _electrode(position: str, word: str, at: Text, field: str, named: _Named) -> bool:
    """Whether a tube has an electrode or pin of this name, as far as its type is known; where not, it is asked."""
    from ...tubes import PIN_COUNT

    tube = named.places.tubes.get(position)
    if tube is None:
        return True
    if (pin := pin_of(word)) is not None:
        most = PIN_COUNT.get(tube.base or "", _UNKNOWN_BASE_PINS)
        if 1 <= pin <= most:
            return True
        named.slips.add(at, field, f"pin {pin}", f"pins 1 to {most}: the {tube.type} has {most}")
        return False
    found = named.places.question(position, word)
    if found is None:
        return True
    if not found.offered:
        remedy = "add its electrodes in pin order behind its heater, such as “pins h k g p h”"
        named.slips.add(
            at, field, quoted(word), f"an electrode of {a_type(tube.type)}, of which no pins are known", remedy
        )
        return False
    offered = one_of(found.offered)
    several = found.reason == "several"
    near = found.nearest if several else found.nearest[:1]
    remedy = f"did you mean {one_of(map(quoted, near))}?" if near else ""
    what = f"{quoted(word)}, which {a_type(tube.type)} has more than one of" if several else quoted(word)
    named.slips.add(at, field, what, f"an electrode of {a_type(tube.type)}: {offered}", remedy)
    return False


def _end(end: Text, field: str, named: _Named) -> bool:
    """Whether what a part, wire or change lies at can be a place; where not, it is asked."""
    split = named.places.split(end)
    if split:
        position, word = split
        if position not in named.places.positions:
            return _listed(position, end, field, named)
        if word:
            return _electrode(position, word, _word_of(end, word), field, named)
        named.slips.add(end, field, quoted(end), "an electrode or pin of it, such as “V4 grid” or “V4 pin 5”")
        return False
    words = [match[0] for match in re.finditer(r"\S+", end)]
    for word in dict.fromkeys((words[0], words[-1])) if words and named.record.tubes else ():
        if looks_like_tube(word, named.record):
            start = end.find(word)
            at = end.cut(start, start + len(word))
            named.slips.add(at, field, quoted(word), POSITION, near(word, named.record.tubes))
            return False
    if is_electrode_word(end):
        named.slips.add(end, field, f"{quoted(end)} without its tube", _PLACE, _with_tube(end, named))
        return False
    if _is_place(end, named) or named.slips.lost.mentions(end):
        return True
    known = dict.fromkeys([*_USUAL, *(place for place, uses in named.uses.items() if uses > 1)])
    named.slips.add(end, field, f"{quoted(end)}, a name used once", _PLACE, Nearest(str(end), tuple(known), _TWICE))
    return False


def _listed(position: str, end: Text, field: str, named: _Named) -> bool:
    """False, and asked, where a record that lists tubes does not list this one."""
    if not named.record.tubes:
        return True
    named.slips.add(_word_of(end, position), field, quoted(position), POSITION, near(position, named.record.tubes))
    return False


def _is_place(end: Text, named: _Named) -> bool:
    """A word of the trade, a thing of a receiver, a part of the record or a name that is used again."""
    if not re.match(r"[A-Za-z]|\+\d\Z|\d{2,3}\s?(?:V\s)?tap\Z", end, re.I):
        return False
    a_rail = read_rail(end).known or folded(end) in named.places.rails
    if a_rail or THINGS.search(folded(end)) or named.uses[named.places.read(end).key] > 1:
        return True
    return any(word in named.record.parts or word in named.record.changes for word in end.split())


def _with_tube(end: Text, named: _Named) -> str:
    position = next((p for p in named.places.tubes if named.places.question(p, str(end)) is None), None)
    return f"write the tube too, such as {quoted(f'{position} {end}')}" if position else ""


def _word_of(text: Text, word: str) -> Text:
    """The electrode's word inside a place, with its own place in the file."""
    start = text.find(word)
    return text.cut(start, start + len(word)) if start >= 0 else text


def _uses(record: Record, places: Places) -> Counter[str]:
    """How often a name without a tube is used: at each part, wire and change; a reading alone is enough."""
    uses: Counter[str] = Counter()
    for ends, _ in _rows(record):
        uses.update({places.read(end).key for end in ends if not places.split(end)})
    for run in record.readings.values():
        uses.update(dict.fromkeys((places.read(name).key for name in run.points if not places.split(name)), 2))
    return uses


def _rows(record: Record) -> Iterator[tuple[tuple[Text, ...], str]]:
    """Every row of places that something lies between or joins, with the field that names it."""
    for name, piece in _pieces(record):
        yield piece.between or (), f"{name}.between"
    for number, wire in enumerate(record.wires, 1):
        yield wire, f"wires.{number}"
    for name, change in record.changes.items():
        yield change.between or (), f"changes.{name}.between"
        yield across_places(change), f"changes.{name}.across"


def _pieces(record: Record) -> Iterator[tuple[str, Part | PartSection]]:
    for name, part in record.parts.items():
        yield f"parts.{name}", part
        yield from ((f"parts.{name}.sections.{key}", section) for key, section in part.sections.items())


def _sides(record: Record) -> Iterator[tuple[dict[str, Text | None], tuple[Text, ...] | None, str]]:
    """The sides of a part that are named by a place, with its ends and the field."""
    for name, part in record.parts.items():
        whole = {"positive": part.positive} | ({} if part.sections else {"outside foil": part.outside_foil})
        yield whole, part.between, f"parts.{name}"
        for key, section in part.sections.items():
            yield {"positive": section.positive}, section.between or part.between, f"parts.{name}.sections.{key}"


def _sides_are_ends(sides: Mapping[str, Text | None], ends: tuple[Text, ...] | None, field: str, named: _Named) -> None:
    """Polarity and outside foil name one of the two ends."""
    for key, side in sides.items():
        if side and ends and named.places.read(side) not in {named.places.read(end) for end in ends}:
            expected = f"one of the two ends: {one_of(map(quoted, ends))}"
            named.slips.add(side, f"{field}.{key}", quoted(side), expected)
        elif side and not ends and (split := named.places.split(side)) and split[1]:
            _electrode(*split, _word_of(side, split[1]), f"{field}.{key}", named)


def looks_like_tube(name: str, record: Record) -> bool:
    """True for a name with the letters that this record's positions have: ``V9`` where there are V1 to V5."""
    match = re.fullmatch(r"([A-Za-z]+)\d+", name)
    return bool(match) and match[1] in {re.sub(r"\d.*", "", t, flags=re.S) for t in record.tubes} if match else False
