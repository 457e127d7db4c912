"""What a name in the order of a heater string, or among its readings, means."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Sequence

DROPPER_WORDS = frozenset(
    {"dropper", "resistor", "resistance cord", "line cord", "cord", "ballast", "diode", "capacitor", "barretter"}
)
DROPPER, LAMP = "dropper", "lamp"
LAMP_WORDS = frozenset({"lamp", "pilot lamp", "dial lamp", "pilot", "lamps", "pilot lamps", "dial lamps"})


def position(name: str, known: Iterable[str]) -> str | None:
    """The tube position a word means, whatever its capitals."""
    return {k.casefold(): str(k) for k in known}.get(name.strip().casefold())


_ALL = frozenset({"all", "everything", "all tubes", "all valves", "all the tubes", "all the valves"})
_ALL_BUT = re.compile(r"(?:all|everything)(?: (?:the )?(?:tubes|valves))?,? (?:but|except(?: for)?|save|bar) ", re.I)
_RECTIFIER = re.compile(r"rectifiers?|rect\.?|bridge", re.I)
_FED_BESIDES = frozenset({"and", "&", "+", "the", "tube", "tubes", "valve", "valves", "dial", *LAMP_WORDS})
_MOST_WORDS = 4


def fed_by(text: str, positions: Sequence[str], rectifiers: Collection[str]) -> tuple[list[str], list[tuple[int, int]]]:
    """The tubes that are named behind ``feeds``, and where the words stand that name none.

    A position may have blanks in it: the longest name counts. ``all`` is every tube; ``all but the rectifier`` those
    that are no ``rectifiers``, ``the rectifier`` those that are. A dry rectifier is one of them and no position, as one
    is that the record does not name.
    """
    if text.strip().casefold() in _ALL:
        return list(positions), []
    but = _ALL_BUT.match(text)
    start = but.end() if but else 0
    words = [(start + m.start(), start + m.end()) for m in re.finditer(r"[^\s,;/+&]+", text[start:])]
    known = [*positions, *(name for name in rectifiers if name not in positions)]
    found: list[str] = []
    unread: list[tuple[int, int]] = []
    index = 0
    while index < len(words):
        counts = range(min(_MOST_WORDS, len(words) - index), 0, -1)
        named = ((n, position(text[words[index][0] : words[index + n - 1][1]], known)) for n in counts)
        count, place = next(((n, place) for n, place in named if place), (1, None))
        word = text[slice(*words[index])]
        if place:
            found.append(place)
        elif _RECTIFIER.fullmatch(word) and (rectifiers or not but):
            found += rectifiers
        elif unread and word.isdigit() and text[unread[-1][1] : words[index][0]].isspace():
            unread[-1] = (unread[-1][0], words[index][1])
        elif word.casefold() not in _FED_BESIDES:
            unread.append(words[index])
        index += count
    named_once = list(dict.fromkeys(found))
    return ([p for p in positions if p not in named_once] if but else named_once), unread


def is_lamp(name: str) -> bool:
    """Whether a name in the order of the string, or among the readings, means the pilot lamp."""
    return name.strip().casefold() in LAMP_WORDS


def member_named(name: str, positions: list[str]) -> str | None:
    """What a name in the order of the string means: a tube position, ``lamp``, ``dropper``, or nothing."""
    if found := position(name, positions):
        return found
    if is_lamp(name):
        return LAMP
    return DROPPER if name.strip().casefold() in DROPPER_WORDS else None
