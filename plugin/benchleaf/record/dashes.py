"""Dashes put before names that need none, and left out where a list wants them: the tree is made what was meant.

``- C1: …`` under ``parts`` is C1 and its line, ``- C2 10 uF`` is C2 and what follows it. One entry without its dash is
a list of one, and days with what was done on them are a list of days. What has no name to stand under is asked.
"""

from __future__ import annotations

import re
import types
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, Union, get_args, get_origin

from .problems import Problem, quoted
from .section import Section, described
from .text import Entries, Listing, Text
from .written_days import lacks_its_year, looks_like_a_date, opening_day

_NUMBERED = re.compile(r"([A-Za-z]{1,3}\d{1,4}[a-z]?)(?:\s*[,:;=]\s*|\s+)(?=\S)")
"""A tube or part and what is said of it."""
_UP_TO_A_NUMBER = re.compile(r"([^\W\d](?:[^,:;=]*?[^\s,:;=])?)(?:\s*[,:;=]\s*|\s+)(?=[-+<>~±]?\s?\.?\d)")
_NUMBERS = re.compile(r"(?<![\w.])[-+<>~±]?\.?\d")
_NUMBERED_ONLY = frozenset(("tubes", "valves", "changed tubes", "changed valves", "parts", "changes", "reforming"))
_RUNS, _PHOTOS, _PAPERS, _REFORMING = "readings", "photos", "papers", "reforming"


@dataclass(frozen=True)
class _Shape:
    """What a field of a section takes: names each with a ``value``, one ``section``, or a list of one kind of entry."""

    names: bool = False
    listed: bool = False
    section: type[Section] | None = None


@dataclass
class _ToldOf:
    """The problems found on the way, in one file."""

    file: str
    problems: list[Problem] = field(default_factory=list)

    def add(self, item: object, path: tuple[str, ...], found: str, expected: str, remedy: str = "") -> None:
        place = getattr(item, "place", (1, 1))
        self.problems.append(Problem.at(self.file, place, ".".join(path), found, expected, remedy))


def undashed(tree: Entries, of: type[Section], file: str) -> list[Problem]:
    """Make lists of names and names of lists in ``tree`` where a record has the other; what could not be is told."""
    told = _ToldOf(file)
    _within(tree, of, (), told)
    return told.problems


def _within(table: Entries, of: type[Section], path: tuple[str, ...], told: _ToldOf) -> None:
    shapes = _shapes(of)
    for key in list(table):
        shape = shapes.get(" ".join(key.split()).casefold())
        if shape is None:
            continue
        way = (*path, " ".join(key.split()).casefold())
        if shape.listed:
            table[key] = _as_list(table[key])
        elif isinstance(table[key], Listing):
            table[key] = _as_names(table[key], shape, way, told)
        _deeper(table[key], shape, way, told)


def _deeper(value: Any, shape: _Shape, path: tuple[str, ...], told: _ToldOf) -> None:
    if shape.section is None:
        return
    if isinstance(value, Listing):
        for item in value:
            if isinstance(item, Entries):
                _within(item, shape.section, path, told)
    elif isinstance(value, Entries) and not shape.names:
        _within(value, shape.section, path, told)
    elif isinstance(value, Entries):
        for name in list(value):
            way = (*path, str(name))
            if isinstance(value[name], Listing):
                value[name] = _as_names(value[name], _Shape(section=shape.section), way, told)
            if isinstance(value[name], Entries):
                _within(value[name], shape.section, way, told)


def _as_list(value: Any) -> Any:
    """A list of one for an entry without a dash; of one a day, where names are days."""
    if isinstance(value, Text):
        return _listing(value, value)
    if not isinstance(value, Entries) or value.empty or not value:
        return value
    if not all(_is_a_day(name) for name in value):
        return _listing(value, value)
    days = []
    for name, said in value.items():
        day = Entries(name.place)
        day[name] = said
        days.append(day)
    return _listing(value, *days)


def _listing(at: Any, *items: Any) -> Listing:
    made = Listing(at.place)
    made.extend(items)
    return made


def _is_a_day(name: str) -> bool:
    return looks_like_a_date(name) or lacks_its_year(name)


def _begins_with_a_day(line: Text) -> bool:
    return bool(opening_day(line, with_year=True)) or looks_like_a_date(line.partition(",")[0])


def _as_names(items: Listing, shape: _Shape, path: tuple[str, ...], told: _ToldOf) -> Any:
    """The names that stand behind the dashes of a list, each with its value; the list where none has a name."""
    texts = [item for item in items if isinstance(item, Text)]
    if shape.names and shape.section is None and path[0] == _PAPERS and texts:
        return items
    if shape.names and path == (_RUNS,) and items and not texts and all(map(_is_one_run, items)):
        return _runs(items)
    if path[0] == _REFORMING and len(texts) == len(items) and not any(map(_begins_with_a_day, texts)):
        table = Entries(items.place)
        table[Text("log", items.place)] = items
        return table
    if not shape.names and len(texts) == len(items) > 0 and shape.section is not None and shape.section.FORM:
        return _one_line(texts)
    named = [(item, list(_named(item, shape, path))) for item in items]
    if not any(entries for _, entries in named):
        return items
    table = Entries(items.place)
    first: dict[str, Text] = {}
    for item, entries in named:
        if not entries:
            told.add(item, path, described(item), "a name before it, such as “name: …”")
        for name, value in entries:
            earlier = first.setdefault(name.casefold(), name)
            if earlier is not name and path[0] == _RUNS and isinstance(value, Text) and earlier in table:
                table[earlier] = table[earlier].and_then(value)
            elif earlier is not name:
                found = f"{quoted(name)} a second time (first on line {earlier.place[0]})"
                told.add(name, (*path, str(name)), found, "each name once", "put both under one name")
            elif value is None:
                table.empty.append(name)
            else:
                table[name] = value
    table.whole = all(entries for _, entries in named)
    return table


def _named(item: Any, shape: _Shape, path: tuple[str, ...]) -> Iterator[tuple[Text, Any]]:
    """The names of one entry with their values, None for nothing; none where a text has no name before it."""
    if isinstance(item, Entries):
        yield from item.items()
        yield from ((name, None) for name in item.empty)
    elif isinstance(item, Text):
        if path == (_PHOTOS,):
            yield item.taken_as(item.rpartition("/")[2].split(".")[0] or item), item
            return
        section = None if shape.names else shape.section
        ways = (_up_to_a_number(section, item, path), _NUMBERED.match(item), _key_of(section, item))
        one_place = path[0] == _RUNS and "," not in item and len(_NUMBERS.findall(item)) == 1
        name = ways[0] if one_place and ways[0] else ways[1] or ways[2] or ways[0]
        if name:
            yield item.cut(*name.span(1)), item.cut(name.end())


def _key_of(section: type[Section] | None, item: Text) -> re.Match[str] | None:
    """The key of a section that a line begins with, the longest where several do."""
    if section is None:
        return None
    words = "|".join(re.escape(word) for word in sorted((*section.names(), *section.SYNONYMS), key=len, reverse=True))
    return re.compile(rf"({words})(?:\s*[,:;=]\s*|\s+)(?=\S)", re.I).match(item)


def _up_to_a_number(section: type[Section] | None, item: Text, path: tuple[str, ...]) -> re.Match[str] | None:
    """A rail, a band or a result and its number: in sections where names are free."""
    free = section is None or bool(section.OTHERS)
    return _UP_TO_A_NUMBER.match(item) if free and path[0].casefold() not in _NUMBERED_ONLY else None


def _is_one_run(item: Any) -> bool:
    """A list of readings in itself: more than one name, or a date under its own name."""
    if not isinstance(item, Entries):
        return False
    return len(item) > 1 or any(name.casefold() == "date" for name in item)


def _runs(items: Listing) -> Entries:
    """Lists of readings behind dashes: each is called by its date, by its place in the list where it has none."""
    runs = Entries(items.place)
    for number, item in enumerate(items, 1):
        dated = next((value for name, value in item.items() if name.casefold() == "date"), None)
        name = str(dated) if isinstance(dated, Text) else f"list {number}"
        taken = {written.casefold() for written in runs}
        runs[Text(name if name.casefold() not in taken else f"{name} ({number})", item.place, single=False)] = item
    return runs


def _one_line(texts: list[Text]) -> Text:
    """The pieces of a line that stand each behind a dash."""
    line, *others = texts
    for text in others:
        line = line.and_then(text)
    return line


def _shapes(of: type[Section]) -> dict[str, _Shape]:
    """What each key of a section takes, in small letters; a text, and what reads lists of its own, left out."""
    shapes: dict[str, _Shape] = {}
    for name, known in of.model_fields.items():
        shape = None if name == of.OTHERS else _shape(known.annotation)
        if shape and not (shape.listed and known.metadata):
            shapes[str(known.alias).casefold()] = shape
    synonyms = {word.casefold(): shapes.get(key.casefold()) for word, key in of.SYNONYMS.items()}
    return shapes | {word: shape for word, shape in synonyms.items() if shape}


def _shape(annotation: Any) -> _Shape | None:
    if get_origin(annotation) in (Union, types.UnionType):
        others = [kind for kind in get_args(annotation) if kind is not type(None)]
        return _shape(others[0]) if len(others) == 1 else None
    if get_origin(annotation) is dict:
        return _Shape(names=True, section=_section(get_args(annotation)[1]))
    if get_origin(annotation) is tuple:
        kind = get_args(annotation)[0]
        return _Shape(listed=True, section=_section(kind))
    return _Shape(section=_section(annotation)) if _section(annotation) else None


def _section(kind: Any) -> type[Section] | None:
    return kind if isinstance(kind, type) and issubclass(kind, Section) else None
