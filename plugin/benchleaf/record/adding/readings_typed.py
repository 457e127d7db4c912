"""A reading as it is typed: which tube, rail or condition it is of, and what was read."""

from __future__ import annotations

import re

from pydantic import ValidationError

from ..line_items import items
from ..place_words import B_PLUS, read_rail
from ..problems import quoted
from ..sections.readings import ELECTRODE_BEGINS, Run, read_reading
from ..text import Entries, Text
from .as_written import Added
from .open_record import Addition, AskedError, OpenRecord
from .todays_list import CONDITIONS, todays_list

_NAMED = re.compile(r"(?P<name>[^:]{1,100}?)\s*:\s+(?P<value>.+)")
_POSITION = re.compile(r"V\d{1,2}[A-Za-z]?")
_SECOND_NUMBER = re.compile(r"\d \d+(?:[.,]\d+)?\s*(?:V|volts?)?", re.I)
_MOST_WORDS_BEFORE = 4


def reading_of(line: str, into: OpenRecord) -> Addition:
    """The addition of a reading, or of a condition of the list. Raises AskedError."""
    found = condition(line) or _place_and_value(line, into)
    if found is None:
        raise AskedError(quoted(line), "a tube or rail and what was read there", "such as “V4 grid 2.4” or “B+1 121”")
    name, value = found
    run, begun, about = todays_list(into)
    written = into.named("readings").get(Text(run))
    there = written if isinstance(written, Entries) else Entries()
    key = _as_listed(name, there, into)
    line_of_key = _line_with(name, value, there, into)
    if key in there and not _takes_more(run, key, into):
        line_of_key = next(listed.place[0] for listed in there if listed == key)
    if line_of_key:
        told = f"{quoted(key)} a second time in {quoted(run, 60)} (first on line {line_of_key})"
        raise AskedError(told, "each once", "change that line in the file, or name another list with --run")
    added: dict[str, Added] = {run: {**begun, key: value}}
    return Addition("readings", added, added, about)


def by_electrode(line: str) -> dict[str, str]:
    """The readings of a tube under its electrodes; empty where they cannot be read."""
    try:
        (points,) = Run.model_validate({Text("V"): Text(line)}).points.values()
    except ValidationError:
        return {}
    places = [f"pin {point.pin} {point.at}" if point.pin else str(point.at) for point in points]
    return {at: p.value.written if p.value else "x" for at, p in zip(places, points, strict=True)}


def condition(line: str) -> tuple[str, str] | None:
    """A condition of a list and its value, where a line begins with the name of one."""
    words = line.split(maxsplit=1)
    name = words[0].rstrip(":").casefold() if words else ""
    if name not in CONDITIONS or len(words) < 2 or words[1].casefold().startswith("side"):
        return None
    return ("line" if name == "mains" else name), words[1].lstrip(": ")


def is_reading(line: str, into: OpenRecord) -> bool:
    """Whether a line that names no section can only be a reading."""
    begins = line.split(maxsplit=1)[0].rstrip(":").casefold()
    said = condition(line)
    if said and (begins == "meter" or (begins in ("line", "mains") and re.match(r"[<>~]?\d", said[1]))):
        return True
    found = _place_and_value(line, into)
    if found is None:
        return False
    name = found[0]
    listed = {key.casefold() for run in into.record.readings.values() for key in run.points}
    return _tube(name, into) is not None or read_rail(name).known or name.casefold() in listed


def places_apart(line: str, into: OpenRecord) -> list[str]:
    """A line parted before each tube or rail that an item of it begins with; nothing where it begins otherwise."""
    apart: list[str] = []
    for item in map(str, items(Text(line))):
        if _begins_with_place(item, into):
            apart.append(item)
        elif not apart:
            return []
        else:
            apart[-1] += f", {item}"
    return apart


def _begins_with_place(item: str, into: OpenRecord) -> bool:
    found = _place_and_value(item, into) if item else None
    return found is not None and (_tube(found[0], into) is not None or read_rail(found[0]).known)


def tube_and_rest(line: str, into: OpenRecord) -> tuple[str, str] | None:
    """The position of the tube that a line begins with, and what is said of it; None where it begins otherwise."""
    first, _, rest = line.partition(" ")
    position = _tube(first.rstrip(":"), into)
    return None if position is None or not rest.strip(" :") else (position, rest.strip(" :"))


def _tube(name: str, into: OpenRecord) -> str | None:
    """The position that a name is of: one of the set, or what is called as positions are."""
    known = into.manner.position(name)
    return known or (name if _POSITION.fullmatch(name) else None)


def _place_and_value(line: str, into: OpenRecord) -> tuple[str, str] | None:
    named = _NAMED.fullmatch(line)
    before = (named["name"] if named else line).split()
    for index, word in enumerate(before[:_MOST_WORDS_BEFORE]):
        position = _tube(word, into)
        electrode = " ".join(w for w in before[:index] if w.casefold() != "of")
        if position and (index == 0 or ELECTRODE_BEGINS.match(electrode)):
            rest = [electrode, *before[index + 1 :], named["value"] if named else ""]
            value = " ".join(said for said in rest if said)
            if value:
                return position, value
    if named:
        return named["name"], named["value"]
    return _rail_and_value(before, line)


def _rail_and_value(words: list[str], line: str) -> tuple[str, str] | None:
    for index in range(1, len(words)):
        name, value = " ".join(words[:index]), " ".join(words[index:])
        second = _SECOND_NUMBER.fullmatch(value) is not None and read_rail(name).kind == B_PLUS
        if not (second or _reads(value)):
            continue
        if second:
            number, volts = value.split(maxsplit=1)
            raise AskedError(
                quoted(line),
                "a rail and its volts",
                f"write {quoted(f'{name}{number}: {volts}')} or {quoted(f'{name}: {number}{volts}')}",
            )
        return name, value
    return None


def _line_with(name: str, value: str, there: Entries, into: OpenRecord) -> int | None:
    """The line on which a list has the same electrode under a name of its own, ``V4 grid: 0.1``."""
    electrodes = {at.casefold() for at in by_electrode(value)}
    for listed in there:
        place = _place_and_value(f"{listed}: 0", into) if " " in listed else None
        if place and place[0] == name and electrodes & {at.casefold() for at in by_electrode(place[1])}:
            return listed.place[0]
    return None


def _takes_more(run: str, key: str, into: OpenRecord) -> bool:
    """Whether a list has readings of a tube by electrode, so that another electrode can stand behind them."""
    read = into.record.readings.get(Text(run))
    points = read.points.get(Text(key), ()) if read else ()
    return bool(points) and all(point.at and not point.at.isdigit() for point in points)


def _reads(value: str) -> bool:
    try:
        read_reading(Text(value))
    except ValueError:
        return False
    return True


def _as_listed(name: str, there: Entries, into: OpenRecord) -> str:
    """The name under which a list has a tube or rail already, as it is spelled there; else the name itself."""
    position, rail = _tube(name, into), read_rail(name)
    for key in map(str, there):
        if position and _tube(key, into) == position:
            return key
        other = read_rail(key)
        if not position and rail.known and other.known and (rail.kind, rail.key) == (other.kind, other.key):
            return key
    return name
