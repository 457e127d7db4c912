"""From a word a restorer writes (`plate`, `osc grid`, `g2`, `diode plate 1`) to the pins of one tube, and back.

How a page says them stands in `benchleaf.words`, what else is understood in `words.csv`, one profile a kind of tube
(`roles.csv` says which role has which), so that `grid` is grid 1 of a pentode, grid 3 of a 6BE6 and grid 4 of a 6A8.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal

from benchleaf.tubes.build_tube import parts_of
from benchleaf.tubes.tables import CsvRow, read_table, role_rows
from benchleaf.tubes.tube import TOP_CAP, Pin, Tube
from benchleaf.words import AMERICAN, DIALECTS, Words

_SAME_WORD = {"anode": "plate", "anodes": "plates", "oscillator": "osc", "no": "", "number": "", "nr": ""} | {
    "gitter": "grid", "schirmgitter": "screen", "steuergitter": "control grid", "bremsgitter": "suppressor",
    "fil": "filament", "cath": "cathode", "plt": "plate", "scr": "screen", "scrn": "screen",
    "kathode": "cathode", "leuchtschirm": "target", "pl": "plate", "an": "plate", "gr": "grid", "gd": "grid",
    "heizfaden": "heater", "heizung": "heater", "heating": "heater",
}  # fmt: skip
"""British and German for American; of the German what stands on sheets from there."""
_SEPARATORS = re.compile(r"[\s_.#-]+(?=\w)|[\s.]+$")
_WITH_ITS_KEY = re.compile(r"\s*(?P<word>\S.*?)\s+(?P<key>g\d|[ak]\d?)\s*", re.I)
_SPACED_KEY = re.compile(r"\b([agkdp]) (?=(?:\d|[th])$)")
_OF_VOLTAGE = re.compile(r"\b(?:[uv](?=[agkp](?:\d|t|h|p|\b))|e(?=(?:p|s?g\d?|k)\b))")
"""The letter of a voltage before its electrode: Ua, Vg2, Ek."""
_BY_THE_CIRCUIT = ((re.compile(r"\beb\b"), "plate"), (re.compile(r"\bec(?=\d?\b)"), "g"))
"""American letter symbols say which supply an electrode is on: Eb is the plate's voltage, Ec2 that of grid 2."""
_JOINED_GRIDS = re.compile(r"\bg(\d) ?[+/&]? ?g?(\d)\b(?! ?\d)")
_SHORT_SECTION = {
    "hex": "hexode",
    "hept": "heptode",
    "hep": "heptode",
    "pent": "pentode",
    "tri": "triode",
    "trio": "triode",
}
_BARE_ELECTRODE = re.compile(r"^([akg])(?= (?:hexode|heptode|pentode|triode)$)|(?<=^osc )([agp])$")
_LETTER_WORDS = {"a": "plate", "p": "plate", "k": "cathode", "g": "grid"}
_SECTION_BEHIND = re.compile(r"\b(plate|grid|cathode) (hexode|heptode|pentode|triode|diode)\b(?! \d)")
_SECTION_LETTER = {
    "p": "plate",
    "l": "target",
    "at": "triode plate",
    "ap": "pentode plate",
    "ah": "hexode plate",
    "gt": "triode grid",
}
_LETTER_OF_SEVERAL = {"s": ("screen", "suppressor", "internal shield"), "d": ("diode",)}
"""Letters that may be one electrode or another: the first that the tube has is meant. Volts at ``s`` are the screen's,
as nobody reads a suppressor or a shield (common practice, no source).
"""
_ROMAN = re.compile(r"\b(plate|anode|grid|gitter|diode|cathode|kathode|a) (i{1,3})$")
_NUMBERED = re.compile(r"(grid|plate|cathode|diode|pin)(\d)")
_NOT_OFFERED = frozenset({"nc", "ic"})
_LONGEST = 60


@dataclass(frozen=True, slots=True)
class Electrode:
    """What was meant: the short key (`a`, `g2+g4`), and the pins it is on; no pins if the table has none."""

    key: str
    pins: tuple[Pin, ...]


@dataclass(frozen=True, slots=True)
class ElectrodeQuestion:
    """The word does not lead to one electrode of this tube.

    `reason` is `none` (it has no such electrode) or `several` (it has more than one); `offered` are the words it
    does have, in the table's order, `nearest` the ones most like the written word.
    """

    written: str
    type: str
    reason: Literal["none", "several"]
    offered: tuple[str, ...]
    nearest: tuple[str, ...]


@cache
def _word_rows() -> Mapping[str, list[CsvRow]]:
    grouped: dict[str, list[CsvRow]] = {}
    for row in read_table("words.csv"):
        grouped.setdefault(row["profile"], []).append(row)
    return grouped


@cache
def short_keys() -> frozenset[str]:
    """Every short key that a pin may lead to (`a`, `g2`, `k` …), one for each electrode."""
    keys = (key for rows in _word_rows().values() for row in rows for key in row["key"].split("&"))
    return frozenset(part for key in keys for part in parts_of(key))


@cache
def _rows_for(role: str | None, direct: bool) -> tuple[CsvRow, ...]:
    """The word rows of a role, the more particular first; a key of the role hides the general row of that key.

    Without a role the plain pentode's and diode triode's words serve, as a record's own tube may be anything.
    """
    known = role_rows().get(role or "")
    profiles = [known["profile"]] if known else ["diode-pentode", "triode-pentode", "triode"]
    if direct:
        profiles.append("filament")
    rows: dict[str, CsvRow] = {}
    for profile in (*profiles, "all"):
        for row in _word_rows()[profile]:
            rows.setdefault(row["key"], row)
    return tuple(rows.values())


def _normal(written: str) -> str:
    """Lower case, one space between words, US words for British ones: `Anode No. 2` is `plate 2`."""
    lower = _OF_VOLTAGE.sub("", written.lower())
    for symbol, meant in _BY_THE_CIRCUIT:
        lower = symbol.sub(meant, lower)
    text = _NUMBERED.sub(r"\1 \2", _SEPARATORS.sub(" ", lower))
    text = _ROMAN.sub(lambda found: f"{found[1]} {len(found[2])}", text)
    spelt = (_SAME_WORD.get(word, _SHORT_SECTION.get(word, word)) for word in text.split())
    words = _BARE_ELECTRODE.sub(lambda one: _LETTER_WORDS[one[1] or one[2]], " ".join(word for word in spelt if word))
    return _SECTION_BEHIND.sub(r"\2 \1", _JOINED_GRIDS.sub(r"g\1+g\2", _SPACED_KEY.sub(r"\1", words)))


def _words(row: CsvRow) -> tuple[str, ...]:
    said = (words.electrodes[row["profile"], row["key"]] for words in DIALECTS.values())
    return (*said, *(word.strip() for word in row["also"].split(";") if word.strip()))


@cache
def _keys_by_word(role: str | None, direct: bool) -> Mapping[str, tuple[str, ...]]:
    keys: dict[str, list[str]] = {}
    for row in _rows_for(role, direct):
        for word in (*_words(row), row["key"]):
            found = keys.setdefault(_normal(word), [])
            if row["key"] not in found:
                found.append(row["key"])
    return {word: tuple(found) for word, found in keys.items()}


def _pins_of(tube: Tube, key: str) -> tuple[Pin, ...]:
    """The pins a short key is on; `a1&a2` asks for both, `g2+g4` for grids that are joined inside the bulb."""
    return tuple(row.pin for row in tube.pin_rows if any(_same(one, row.electrode) for one in key.split("&")))


def _joined_pins(tube: Tube, key: str) -> tuple[Pin, ...]:
    """The pins that all of these electrodes are on: `g2 g4`."""
    return tuple(row.pin for row in tube.pin_rows if set(parts_of(key)) <= set(parts_of(row.electrode)))


def _numbered(tube: Tube, key: str) -> list[str]:
    """The electrodes of one kind that a tube has several of: `a1` and `a2` for `a`."""
    of_kind = re.compile(rf"{re.escape(key)}\d")
    return sorted({part for row in tube.pin_rows for part in parts_of(row.electrode) if of_kind.fullmatch(part)})


def _has_its_pin(tube: Tube, key: str) -> bool:
    """Whether a pin is of this electrode and of no other: a suppressor that ends on the cathode's pin has none."""
    return any(set(parts_of(row.electrode)) <= set(parts_of(key)) for row in tube.pin_rows)


def tied_to_cathode(tube: Tube) -> str:
    """The key of the pin on which a tube's heater is tied to its cathode, as in a 5Z4; empty where none is."""
    return next((row.electrode for row in tube.pin_rows if {"h", "k"} <= set(parts_of(row.electrode))), "")


def _same(key: str, on_pin: str) -> bool:
    """True if a short key and a pin's key are one electrode: `k` and `k+g5`, but not `g3+g5` and `k+g5`."""
    one, other = set(parts_of(key)), set(parts_of(on_pin))
    return one <= other or other <= one


def key_of(role: str | None, written: str) -> str:
    """The short key of an electrode's word at a tube of this role (`p` is `a`); the word as it is where it is none."""
    normal = _normal(written[:_LONGEST])
    by_word = _keys_by_word(role, False)
    keys = by_word.get(normal) or by_word.get(_SECTION_LETTER.get(normal, ""), ())
    return keys[0] if len(keys) == 1 else normal if normal in short_keys() else written


def electrode(tube: Tube, written: str) -> Electrode | ElectrodeQuestion:
    """The electrode of a tube that a word means, with its pins; or the question the word raises.

    Understands US and British words, numbers (`plate 2`, `diode plate no. 1`), short keys (`g2`), `pin 5` and
    `top cap`; a word and the short key of the same one together (`osc anode g2`). A tube without known pins answers
    with its role's electrode and no pins.
    """
    found = _by_one_name(tube, written)
    if isinstance(found, ElectrodeQuestion) and (both := _WITH_ITS_KEY.fullmatch(written[:_LONGEST])):
        word, key = (_by_one_name(tube, both[name]) for name in ("word", "key"))
        if isinstance(word, Electrode) and word == key:
            return word
    if isinstance(found, ElectrodeQuestion) and (one := _OF_ITS_ONE_PART.fullmatch(written[:_LONGEST])):
        alone = _by_one_name(tube, one["word"])
        return alone if isinstance(alone, Electrode) else found
    return found


_OF_ITS_ONE_PART = re.compile(r"\s*(?:triode|pentode)\s+(?P<word>(?:anode|plate|cathode|grid|g1?|[akp])\b.*)", re.I)
"""An electrode with the word for what is beside the diodes: ``triode a`` of an EABC80."""


def _by_one_name(tube: Tube, written: str) -> Electrode | ElectrodeQuestion:
    normal = _normal(written[:_LONGEST])
    by_place = _at_place(tube, normal)
    if by_place is not None:
        return by_place
    by_word = _keys_by_word(tube.role, tube.heater.direct)
    keys = by_word.get(normal) or by_word.get(_SECTION_LETTER.get(normal, ""), ())
    if meant := _LETTER_OF_SEVERAL.get(normal):
        for of_word in (by_word.get(word, ()) for word in meant):
            keys = tuple(key for key in of_word if not tube.pin_rows or _has_its_pin(tube, key))
            if keys:
                break
    if not tube.pin_rows:
        return _without_pins(tube, written, normal, keys)
    found = {key: pins for key in keys if (pins := _pins_of(tube, key))}
    if not found and (pins := _joined_pins(tube, joined := normal.replace(" ", "+"))):
        return Electrode(joined, pins)
    if not found and len(numbered := [one for key in keys or (normal,) for one in _numbered(tube, key)]) > 1:
        return _several(tube, written, numbered)
    if not found:
        return _question(tube, written, normal)
    if len(found) > 1 and len(set(found.values())) > 1:
        return _several(tube, written, list(found))
    key, pins = next(iter(found.items()))
    return Electrode(key, pins)


def _without_pins(tube: Tube, written: str, normal: str, keys: tuple[str, ...]) -> Electrode | ElectrodeQuestion:
    """What the role alone can tell: its sections' electrodes, and heater, filament and shield of any tube."""
    in_sections = {key for section in tube.sections for key in section.electrodes}
    possible = [key for key in keys if not in_sections or _brought_out(key, in_sections)]
    if tube.heater.direct and possible[:1] == ["f"]:
        return Electrode("f", ())
    if not possible:
        return _question(tube, written, normal)
    if in_sections and len(possible) > 1:
        return _several(tube, written, possible)
    return Electrode(possible[0], ())


def _brought_out(key: str, in_sections: set[str]) -> bool:
    of_any_tube = key[0] in "hfs"
    return of_any_tube or {part for one in key.split("&") for part in parts_of(one)} <= in_sections


def _at_place(tube: Tube, normal: str) -> Electrode | None:
    place = normal.removeprefix("pin ")
    if place in ("cap", TOP_CAP, "grid cap"):
        return by_pin(tube, TOP_CAP)
    return by_pin(tube, int(place)) if place.isdecimal() and len(place) < 3 and normal != place else None


def by_pin(tube: Tube, pin: Pin) -> Electrode | None:
    """What one pin of a tube leads to, or None if the table does not say."""
    key = tube.pins.get(pin)
    return None if key is None else Electrode(key, (pin,))


def electrodes(tube: Tube, words: Words = AMERICAN) -> dict[str, str]:
    """Every electrode a tube's pins lead to: short key as in the pin table to the restorer's word."""
    keys = dict.fromkeys(row.electrode for row in tube.pin_rows)
    if not keys:
        keys = dict.fromkeys(key for section in tube.sections for key in section.electrodes)
    return {
        key: say_electrode(key, tube.role, words, direct=tube.heater.direct)
        for key in keys
        if not set(parts_of(key)) & _NOT_OFFERED
    }


def say_electrode(key: str, role: str | None, words: Words = AMERICAN, *, direct: bool = False) -> str:
    """The word for a short key on a tube of this role: `a` is `plate` or `anode`; a key without a word stays as it is.

    Of keys joined on one pin (`k+g5`) the first is said, and of a heater tied to its cathode (`h+k`) the cathode.
    """
    rows = {row["key"]: row for row in _rows_for(role, direct)}
    if key in rows:
        return _said(rows[key], words)
    for row_key, row in rows.items():
        if len(parts_of(row_key)) > 1 and _same(row_key, key):
            return _said(row, words)
    parts = parts_of(key)
    first = next((part for part in parts if part != "h"), parts[0])
    return _said(rows[first], words) if first in rows else key


def _said(row: CsvRow, words: Words) -> str:
    return words.electrodes[row["profile"], row["key"]]


def _offered(tube: Tube) -> tuple[str, ...]:
    return tuple(dict.fromkeys(electrodes(tube).values()))


def _several(tube: Tube, written: str, keys: list[str]) -> ElectrodeQuestion:
    near = tuple(say_electrode(key, tube.role, direct=tube.heater.direct) for key in keys)
    return ElectrodeQuestion(written.strip(), tube.type, "several", _offered(tube), near)


def _question(tube: Tube, written: str, normal: str) -> ElectrodeQuestion:
    offered = _offered(tube)
    near = tuple(difflib.get_close_matches(normal, offered, n=3, cutoff=0.3))
    return ElectrodeQuestion(written.strip(), tube.type, "none", offered, near)
