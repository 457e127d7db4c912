"""Every text of a record is told how it may be taken: by its site, by the part it is about, by the record's tubes."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import replace
from datetime import date
from typing import Any

from .manner import DATE_ORDER_WORDS, SLASH_DATES, Manner, tube_name, tube_names
from .millions import millions_told
from .named_by_type import TUBE_SECTIONS
from .other_names import own_name
from .place_words import folded
from .problems import quoted
from .text import Entries, Listing, Text
from .thousands import thousands_told
from .written_days import UnclearDayError, looks_like_a_date, order_between, order_told, read_date

_LETTERS = re.compile(r"([A-Za-z]{1,3})\s?\d|(?P<alone>PT|OT|OPT|MT|TR|SPK|SPKR|LS|SP)\Z", re.I)
_OF_PARTS = ("parts", "changes")
_INNER = ("sections", "inside")
"""Names under which a part has parts of its own, whose letters say what each is."""
_OF_WORK = frozenset(
    ("came in", "finished", "log", "power-up", "power up", "alignment", "changed tubes", "changed valves", "faults")
) | {"readings", "line side", "parts", "changes", "reforming"}
"""Sections whose dates are of the work on the set."""
_DATED = frozenset({"ordered", "tested", "fitted", "checked", "date"})
"""Names of a part's own under which a date stands."""
_OF_VALUES = frozenset({"parts", "line side", "heaters", "speaker", "before power", "readings", "results", "power-up"})
_INSIDE = {
    "C": {"coupling", "bypass", "cap", "capacitor", "condenser"},
    "R": {"load", "leak", "res", "resistor"},
}
"""What a part of a couplate is called by what it does."""
_POINT = re.compile(r"[^\W\d_]{3,}")
"""What a point is called by one word, ``screens``."""
_BY_NUMBER = re.compile(r"\+\d")
"""A rail by its number alone: ``+1``."""
_IN_A_ROW = re.compile(rf"{_POINT.pattern}|{_BY_NUMBER.pattern}")
_BEGINS_WITH_A_NUMBER = re.compile(r"[-+−~]?\s?\.?\d")
_FIRST_WORD = re.compile(r"[^\s,;]+")


def accustom(tree: Entries, site: Manner) -> None:
    """Give every text of a record's ``tree`` its manner, in place. ``site`` is what the site has settled."""
    sections = {own_name(key): value for key, value in tree.items()}
    site = _as_record_writes(sections, site)
    days = sorted(_days(sections, site))
    among = (days[0], days[-1]) if days else None
    tubes, sign = dict(_tubes(sections)), thousands_told(_lines_with_values(sections))
    millions = millions_told(sections, _lines_with_values({"parts": sections.get("parts")}))
    manner = replace(site, power=str(sections.get("power", "")), days=among, tubes=tubes, thousands=sign)
    manner = replace(manner, millions=millions, points=frozenset(_points(sections)), named=frozenset(_named(sections)))
    for key, value in tree.items():
        key.manner = manner
        accustom_section(key, value, manner)


def accustom_section(section: str, value: Any, manner: Manner) -> None:
    """Give every text under one section's name the record's ``manner``, that of a part what its letters say too."""
    entries = value.items() if own_name(section) in _OF_PARTS and isinstance(value, Entries) else ()
    for name, part in entries:
        letters = _LETTERS.match(name)
        name.manner = manner
        _give(part, replace(manner, part=(letters[1] or letters["alone"]).upper()) if letters else manner)
        for inner_name, inner in _inner(part):
            if letters_inside := _letters_of_inner(inner_name):
                _give(inner, replace(manner, part=letters_inside))
    if not entries:
        _give(value, manner)


def _letters_of_inner(name: str) -> str:
    """What kind of part one inside another is, by its letters or the word it goes by: ``coupling``, ``plate load``."""
    if letters := _LETTERS.match(name):
        return (letters[1] or letters["alone"]).upper()
    if re.fullmatch("[CR][a-h]", name, re.I):
        return name[0].upper()
    return next((kind for kind, words in _INSIDE.items() if words & set(name.casefold().split())), "")


def _inner(part: Any) -> Iterator[tuple[Text, Any]]:
    """What a part has inside, by its name."""
    for of, inside in part.items() if isinstance(part, Entries) else ():
        if str(of).casefold() in _INNER and isinstance(inside, Entries):
            yield from inside.items()


def _give(value: Any, manner: Manner) -> None:
    waiting = [value]
    while waiting:
        node = waiting.pop()
        if isinstance(node, Text):
            node.manner = manner
        elif isinstance(node, Entries):
            waiting += [*node, *node.values(), *node.empty]
        elif isinstance(node, Listing):
            waiting += node


def _as_record_writes(sections: dict[str, Any], site: Manner) -> Manner:
    """The site's manner with the record's own order of slashed dates, which goes before the site's.

    Where neither says it, a day above 12 tells it: ``3/14/26``. Where such days tell both, none is; where there are
    none, the days on which the set came in and was finished may tell it.
    """
    said = " ".join(str(sections.get("dates", "")).split()).casefold()
    if (own := DATE_ORDER_WORDS.get(said, said)) in SLASH_DATES:
        return replace(site, slash_dates=own)
    if site.slash_dates:
        return site
    dates = [*_dates(sections)]
    told: dict[str, str] = {}
    for written in dates:
        if order := order_told(written):
            told.setdefault(order, f"as in {quoted(written)}")
    if not told:
        ends = [str(sections.get(name, "")) for name in ("came in", "finished")]
        alone = f"as only so they all lie between {' and '.join(map(quoted, ends))}"
        told = dict.fromkeys(order_between(dates, *ends), alone)
    ((order, reason),) = told.items() if len(told) == 1 else (("", ""),)
    return replace(site, slash_dates=order, slash_told=reason)


def _days(sections: dict[str, Any], site: Manner) -> Iterator[date]:
    """Every day with its year that something of the work on the set is dated with."""
    for _, begins, _ in _dated(sections):
        for written in begins:
            with suppress(UnclearDayError):
                yield read_date(written, site.slash_dates)


def _dates(sections: dict[str, Any]) -> Iterator[str]:
    """Every date with its year in the sections of the work on the set.

    Of a part's line only what ends an item behind the first: 20/10/10 may be the sections of a can.
    """
    for of_part, begins, behind in _dated(sections):
        yield from behind if of_part else (*begins, *behind)


def _dated(sections: dict[str, Any]) -> Iterator[tuple[bool, list[str], list[str]]]:
    """Of each text of the work on the set: whether it is a part's line, and the dates that it begins with and has."""
    waiting = [(name in _OF_PARTS, value) for name, value in sections.items() if name in _OF_WORK]
    while waiting:
        of_part, node = waiting.pop()
        if isinstance(node, Entries):
            waiting += [(of_part, name) for name in (*node, *node.empty)]
            waiting += [(of_part and name.casefold() not in _DATED, value) for name, value in node.items()]
        elif isinstance(node, Listing):
            waiting += [(of_part, piece) for piece in node]
        elif isinstance(node, Text) and node.strip():
            first, *others = re.split("[,;:]", node)
            begins = (first, node.split(maxsplit=1)[0])
            ends = [written for item in others if item.strip() for written in (item.strip(), item.split()[-1])]
            yield of_part, _alone(begins), _alone(ends)
    lists = sections.get("readings")
    for name in lists if isinstance(lists, Entries) else ():
        yield False, _alone(word.strip(",:;()[]") for word in name.split()), []


def _lines_with_values(sections: dict[str, Any]) -> Iterator[str]:
    """Every line of the sections whose values may have thousands."""
    waiting = [value for name, value in sections.items() if name in _OF_VALUES]
    while waiting:
        node = waiting.pop()
        if isinstance(node, Text):
            yield node
        elif isinstance(node, Entries | Listing):
            waiting += node.values() if isinstance(node, Entries) else node


def _alone(texts: Iterable[str]) -> list[str]:
    """Those of the texts that are dates, each once."""
    return [*filter(looks_like_a_date, dict.fromkeys(texts))]


def _points(sections: dict[str, Any]) -> Iterator[str]:
    """Points of the record's own: names of several words over readings, ``HT bottom``, and words in rows of wires.

    So are a plus and a digit in both, ``+1``, which elsewhere may be a number.
    """
    lists = sections.get("readings")
    for readings in lists.values() if isinstance(lists, Entries) else ():
        for name in readings if isinstance(readings, Entries) else ():
            if len(name.split()) > 1 or _BY_NUMBER.fullmatch(name):
                yield folded(name)
    rows = sections.get("wires")
    for row in rows if isinstance(rows, Listing) else ():
        names = row if isinstance(row, Listing) else row.split(",") if isinstance(row, Text) else ()
        yield from (folded(name) for name in names if isinstance(name, str) and _IN_A_ROW.fullmatch(name.strip()))


_OF_A_LIST = frozenset(("line", "mains", "meter", "to", "tolerance", "date", "note", "controls", "after", "from"))


def _named(sections: dict[str, Any]) -> Iterator[str]:
    """The names over one reading each, ``reservoir: 231``; not what is said of a whole list."""
    lists = sections.get("readings")
    for readings in lists.values() if isinstance(lists, Entries) else ():
        for name, value in readings.items() if isinstance(readings, Entries) else ():
            if isinstance(value, Text) and _BEGINS_WITH_A_NUMBER.match(value) and folded(name) not in _OF_A_LIST:
                # In a line the stop of a word cut short is none of it: ``sel. plus``.
                yield from {folded(name), " ".join(word.strip(".,:") for word in folded(name).split())}


def _tubes(sections: dict[str, Any]) -> Iterator[tuple[str, str]]:
    """Every name that a tube goes by, with its position: its type where it stands once, with and without its suffix."""
    listed = next((sections[name] for name in TUBE_SECTIONS if isinstance(sections.get(name), Entries)), Entries())
    types: dict[str, list[str]] = {}
    for position, tube in listed.items():
        written = tube.get(Text("type"), "") if isinstance(tube, Entries) else tube
        first = _FIRST_WORD.match(str(written))
        for name in dict.fromkeys(tube_names(first[0])) if first else ():
            types.setdefault(name, []).append(str(position))
    called: dict[str, list[str]] = {}
    for position in listed:
        for name in tube_names(position):
            called.setdefault(name, []).append(str(position))
    yield from ((name, at[0]) for name, at in called.items() if len(at) == 1)
    yield from ((type_, at[0]) for type_, at in types.items() if len(at) == 1)
    yield from ((tube_name(position), str(position)) for position in listed)
