"""What stands among readings and is none: of a tube that is dead, in words; and two plates' readings at one stroke."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from ..problems import quoted
from ..said_readings import noted
from ..text import NOWHERE, Entries, Text
from ..trade_words import CONDITIONS

_WORDS = (*CONDITIONS, "dead", "weak", "no", "does not", "glows", "cold", "missing")
_SAID = re.compile(rf"(?:{'|'.join(sorted(map(re.escape, _WORDS)))})\b", re.I)
_NUMBER = re.compile(r"(?<![\w+])[<>~+−-]?[.,]?\d")
_TWO = re.compile(
    r"(?P<at>.*?\S)\s+(?P<one>[.\d][.,\d]*)\s?(?P<sign>~|V?\s?AC|V)?\s*/\s*(?P<other>[.\d][.,\d]*\s?(?P<unit>~|V?\s?AC|V)?)\s*",
    re.I,
)
_VOLTS_AND_AMPERES = re.compile(
    r"(?P<volts>[.\d][\d.,]*?\s?(?:V\w*|volts?)?),?\s+(?P<amps>[.\d][\d.,]*\s?(?:m?A|amps?))", re.I
)
_RIPPLE_BEHIND = re.compile(
    r"(?:(?<=[\dVv])|(?<=\bvolts)|(?<=\bDC))\s*,?\s+(?:with\s+)?ripple\s+(?:of\s+)?(?=[.\d])", re.I
)
_PLATE = re.compile(r"(?:plates?|anodes?|[UV]?ap?|p)", re.I)
_PLATES_BEHIND = re.compile(
    r"(?P<one>[.\d][.,\d]*)\s?/\s?(?P<other>[.\d][.,\d]*)\s?(?P<unit>~|AC|V|)\s?(?:plates|anodes)", re.I
)
_PLATES_IN_AC = re.compile(
    r"(?P<at>plates?|anodes?|p|a)\s+AC\s+(?P<both>[.\d][.,\d]*\s?/\s?[.\d][.,\d]*)(?:\s?V)?\s*", re.I
)
_PLATES_FIRST = re.compile(r"(?:plates?|anodes?|[UV]?a|p)\s+(?=2\s?[x×])", re.I)
_BARE_TWO = re.compile(
    r"(?:(?P<one>[.\d][.,\d]*)\s?(?:~|V?\s?AC|V)?\s*/\s*(?P<other>[.\d][.,\d]*)|2\s?[x×]\s?(?P<both>[.\d][.,\d]*))\s?(?:V\s?)?(?:~|AC)",
    re.I,
)
"""Alternating volts of two electrodes, which can be those of a rectifier's plates alone: ``302/305~``, ``2x300~``."""


def with_words_as_note(table: Mapping[Any, Any], names: frozenset[str]) -> Mapping[Any, Any]:
    """A list of readings whose words of a tube, ``5Z4: dead, no B+``, stand in its note; ``names`` are its own keys."""
    told = [
        (name, said)
        for name, said in table.items()
        if isinstance(name, Text)
        and isinstance(said, Text)
        and name.casefold() not in names
        and _SAID.match(said)
        and not _NUMBER.search(said)
    ]
    if not told:
        return table
    left = {name: said for name, said in table.items() if (name, said) not in told}
    return noted(table, left, ((name, said, f"{name}: {said}") for name, said in told))


def with_current_as_note(table: Mapping[Any, Any]) -> Mapping[Any, Any]:
    """A list whose line has its current beside its volts, ``6.1 V, 3.4 A``: the current is the list's note."""
    name = next((key for key in table if str(key).casefold() in ("line", "mains")), None)
    said = table.get(name)
    both = _VOLTS_AND_AMPERES.fullmatch(said) if isinstance(said, Text) else None
    if name is None or not isinstance(said, Text) or both is None:
        return table
    amps = said.cut(*both.span("amps"))
    return noted(table, {**table, name: said.cut(*both.span("volts"))}, [(name, amps, f"{name} {amps}")])


def with_ripple_apart(table: Mapping[Any, Any], names: frozenset[str]) -> Mapping[Any, Any]:
    """A list of readings in which ``HT1: 216, ripple 6 V AC`` are two: the rail's, and its ripple's own."""
    found = [
        (name, said, ripple)
        for name, said in table.items()
        if isinstance(said, Text) and name.casefold() not in names and (ripple := _RIPPLE_BEHIND.search(said))
    ]
    if not found:
        return table
    if of_tube := [(name, said, ripple) for name, said, ripple in found if name.manner.position(name)]:
        left = {**table, **{name: said.cut(0, ripple.start()) for name, said, ripple in of_tube}}
        told = [
            (name, said.cut(ripple.start() + 1), f"{name}: {said[ripple.start() :].strip(' ,')}; a rail’s is read")
            for name, said, ripple in of_tube
        ]
        return with_ripple_apart(noted(table, left, told), names)
    parted = Entries(getattr(table, "place", NOWHERE), getattr(table, "line", None))
    parted.empty, parted.whole = getattr(table, "empty", []), getattr(table, "whole", True)
    parted.update(table)
    for name, said, ripple in found:
        own = name.taken_as(f"{name} ripple")
        if own not in parted:
            parted |= {name: said.cut(0, ripple.start()), own: said.cut(ripple.end())}
    return parted


def of_both_plates(item: Text) -> tuple[tuple[Text, Text], ...]:
    """``Ua 254~ / 255~`` as the readings of a rectifier's two plates; nothing for any other item.

    Its own type may stand before them, and of alternating volts no electrode need be said.
    """
    own = re.match(r"\S+\s+(?=\D)", item)
    if own and item.manner.position(own[0].strip()):
        item = item.cut(own.end())
    if in_ac := _PLATES_IN_AC.fullmatch(item):
        item = item.taken_as(f"{in_ac['at']} {in_ac['both']} AC")
    if (named := _PLATES_FIRST.match(item)) and _BARE_TWO.fullmatch(item, named.end()):
        item = item.cut(named.end())
    if bare := _BARE_TWO.fullmatch(item):
        spans = [bare.span(name) for name in (("both", "both") if bare["both"] else ("one", "other"))]
        one, other = (item.cut(*span) for span in spans)
        of_each = f"{quoted(item)} read as {one} V AC at each of the two plates" if bare["both"] else ""
        return tuple(
            (v.taken_as(f"plate {n}", remark), v.taken_as(f"{v} AC"))
            for n, v, remark in ((1, one, of_each), (2, other, ""))
        )
    if behind := _PLATES_BEHIND.fullmatch(item):
        mark = " AC" if behind["unit"].casefold() in ("ac", "~") else ""
        spans = [behind.span(name) for name in ("one", "other")]
        cut = [item.cut(*span) for span in spans]
        return tuple((v.taken_as(f"plate {n}"), v.taken_as(f"{v}{mark}") if mark else v) for n, v in enumerate(cut, 1))
    two = _TWO.fullmatch(item)
    if two is None or not _PLATE.fullmatch(two["at"]):
        return ()
    unit = two["unit"] or two["sign"] or ""
    at, one, other = (item.cut(*two.span(name)) for name in ("at", "one", "other"))
    word = re.sub(r"(?<=[a-z]{4})s$", "", str(at), flags=re.I)
    gap = " " if len(word) > len("Ua") else ""
    said = re.match(r"[.,\d]+", other)
    values = (one, other.cut(0, said.end() if said else None))
    ac = "AC" in unit.upper() or "~" in unit
    return tuple(
        (at.taken_as(f"{word}{gap}{number}"), value.taken_as(f"{value} AC") if ac else value)
        for number, value in enumerate(values, 1)
    )
