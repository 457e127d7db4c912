"""Where in the set: every way in which a place is written, read by one reader."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cache, cached_property, lru_cache
from typing import TYPE_CHECKING

from ..record.manner import tube_names
from ..record.place_words import B_MINUS, B_PLUS, CHASSIS, PIN_BEHIND, folded, read_rail
from ..tubes import TOP_CAP, Electrode, ElectrodeQuestion, Tube, by_pin, described, electrode, say_electrode
from ..tubes.electrodes import tied_to_cathode
from ..words import AMERICAN, DIALECTS, Words

if TYPE_CHECKING:
    from ..record.sections.readings import Reading
    from ..record.text import Text

COMMON = frozenset({B_MINUS, CHASSIS})
"""Kinds of places at the bottom of the supply."""

FED_FROM_B_PLUS = frozenset({B_PLUS, "plate", "screen"})
"""Kinds of places that stand at the full supply voltage while no tube draws current."""

CONTROL_GRIDS = ("grid", "osc grid")

_ELECTRODES = (
    ("diode", r"diode"),
    ("heater", r"heater|filament"),
    ("osc grid", r"osc(illator)? grid"),
    ("screen", r"\bscreen"),
    ("grid", r"(?<!screen )(?<!suppressor )\bgrid"),
    ("suppressor", r"suppressor"),
    ("target", r"target"),
    ("cathode", r"cathode"),
    ("plate", r"plate|anode"),
    ("tie", r"no connection|internal (connection|shield)|shell|\bnc\b|\bic\b"),
)
_ONE_LETTER = {
    "k": "cathode",
    "g": "grid",
    "g1": "grid",
    "g2": "screen",
    "g3": "suppressor",
    "a": "plate",
    "p": "plate",
}
_POSITION = re.compile(r"(?:V|VT|T|TUBE|VALVE)\d{1,2}$", re.I)
_HALF = re.compile(r"(?P<at>\w*\d)(?P<half>[ab])\s+(?P<word>\S.*)", re.I)
"""Half a twin tube: ``V1a anode`` is its anode 1."""
_PIN = re.compile(r"(?:pin\s*(?:no\.?\s*)?)?(\d{1,2})$", re.I)
_LONGEST = 60
_BOTH = re.compile(r"pin\s+\d{1,2}\s+(?P<after>\D.*)$|(?P<before>\D.*?)[\s(]+pin\s+\d{1,2}\)?$", re.I)


@dataclass(frozen=True, slots=True)
class Place:
    """One place of a set: an electrode of a tube, or a rail or other point by its name.

    Two are the same where ``tube`` (the position, empty for a rail), ``key`` and ``pin`` agree, however they are
    written. ``key`` is the tube table's short key, or the rail's name in the one spelling that stands for all; ``pin``
    is given where two pins of one name are two places (heaters, tie points).

    ``kind`` is what the place is to the circuit: ``plate``, ``screen``, ``grid``, ``cathode``, ``diode`` …, of a
    rectifier ``AC`` (its plate) and ``B+`` (its cathode); of a rail ``B+``, ``B-``, ``chassis``, ``line``, ``neutral``,
    ``socket``, ``AVC``, or empty for a name of the writer's own. ``electrode`` is what it is to the tube. ``word`` is
    how the American table or the writer says it, ``says`` what other dialects make of it, each by its name. ``known``
    is False where the table does not have the electrode. ``swings`` marks the plate of an output or unknown tube, which
    an inductive load may carry far above the supply.
    """

    tube: str
    key: str
    pin: str = ""
    kind: str = field(default="", compare=False)
    electrode: str = field(default="", compare=False)
    word: str = field(default="", compare=False)
    says: Mapping[str, str] = field(default_factory=dict, compare=False)
    section: int = field(default=0, compare=False)
    known: bool = field(default=True, compare=False)
    swings: bool = field(default=False, compare=False)

    @property
    def is_common(self) -> bool:
        """Whether it is at the bottom of the supply."""
        return self.kind in COMMON

    def said(self, words: Words = AMERICAN) -> str:
        """The electrode's word, or the rail's name."""
        return self.says.get(words.dialect, self.word)

    def name(self, words: Words = AMERICAN) -> str:
        """The whole place as a page says it: ``V4 grid``, ``B+1``; the same for every way it may be written."""
        pin = f" pin {self.pin}" if self.pin and f"pin {self.pin}" != self.word else ""
        return f"{self.tube} {self.said(words)}{pin}".strip()


@dataclass(frozen=True)
class Places:
    """The reader of places of one set: ``tubes`` are those whose type is known, by position.

    ``positions`` are all of the record; ``names`` what a tube may be called, folded, the longest first, each with its
    position; ``numbers`` are types that are one, as the 75, and name a tube only beside an electrode. ``below`` are the
    keys of points that were read below the chassis, and so are no positive rail whatever their names begin with.
    ``rails`` has the numbered rail that a name of another kind means, by the name folded.
    """

    tubes: Mapping[str, Tube]
    positions: tuple[str, ...] = ()
    names: tuple[tuple[str, str], ...] = ()
    numbers: Mapping[str, str] = field(default_factory=dict)
    below: frozenset[str] = frozenset()
    rails: Mapping[str, str] = field(default_factory=dict)

    def read(self, written: str) -> Place:
        """The place a name means. What names none is a point of that name; ``circuit.names`` asks about it."""
        name = str(written)
        if name not in self._read:
            split = self.split(name)
            self._read[name] = self.at_tube(*split)[0] if split else self._point(name)
        return self._read[name]

    def _point(self, name: str) -> Place:
        """The rail or other point of a name; of one that was read below the chassis the sign goes before the name."""
        if meant := self.rails.get(folded(name)):
            return replace(rail(meant), word=" ".join(name.split()), says={})
        point = rail(name)
        return replace(point, kind="") if point.key in self.below else point

    def said(self, written: str, words: Words) -> str:
        """A place as a page says it: what is known in the words of its dialect, a name of the writer's own as typed."""
        place = self.read(written) if written else None
        return place.name(words) if place and place.known and (place.tube or place.says) else " ".join(written.split())

    def split(self, written: str) -> tuple[str, str] | None:
        """Position and electrode of a place at a tube, whichever comes first; None for any other name.

        The electrode is empty where only the tube is named. An unlisted position counts beside an electrode.
        """
        text = " ".join(str(written).split())
        name = text.casefold()
        for known, position in self.names:
            if name == known:
                return position, ""
            if name.startswith(f"{known} "):
                return position, text[len(known) :].strip()
            if name.endswith(f" {known}"):
                return position, re.sub(r"\s+(?:of|at)$", "", text[: -len(known)].strip(), flags=re.I)
        half = _HALF.fullmatch(text)
        of_half = self.position(half["at"]) if half else None
        if half and of_half and is_electrode_word(half["word"]):
            return of_half, f"{half['word']} {' ab'.index(half['half'].casefold())}"
        return self._behind_a_sign(text) or self._by_short_type(text) or _unlisted(text)

    def _behind_a_sign(self, text: str) -> tuple[str, str] | None:
        """Position and electrode of ``V3-6`` and ``V3-plate``; of a tube that is not listed too."""
        joined = PIN_BEHIND.fullmatch(text)
        if joined is None or self.position(text):
            return None
        unlisted = joined["at"] if re.fullmatch(r"VT?\d{1,2}", joined["at"], re.I) else ""
        at, word = self.position(joined["at"]) or unlisted, joined["pin"] or joined["word"]
        return (at, word) if at and is_electrode_word(word) else None

    def _by_short_type(self, text: str) -> tuple[str, str] | None:
        """Position and electrode where a tube goes by its type with a suffix that is not listed, or by a number."""
        first, _, rest = text.partition(" ")
        before, _, last = text.rpartition(" ")
        for word, electrode_word in ((first, rest), (last, re.sub(r"\s+(?:of|at)$", "", before, flags=re.I))):
            number = self.numbers.get(word, "") if not electrode_word.isdecimal() else ""
            if (position := self.position(word)) or (number and self.at_tube(number, electrode_word)[0].known):
                return position or number, electrode_word
        return None

    def position(self, name: str) -> str | None:
        """The position that a name means by itself, whatever its capitals, or by a type that stands there only."""
        called = str(name)
        if called not in self._positions:
            wanted = {" ".join(called.split()).casefold(), *tube_names(name)}
            self._positions[called] = next((position for known, position in self.names if known in wanted), None)
        return self._positions[called]

    def at_tube(self, position: str, word: str) -> tuple[Place, ...]:
        """The places an electrode's word or pin means: ``plates`` of a full-wave rectifier are two, others one."""
        if (position, word) not in self._seen:
            self._seen[position, word] = self._at_tube(position, word)
        return self._seen[position, word]

    @cached_property
    def _seen(self) -> dict[tuple[str, str], tuple[Place, ...]]:
        """What was read before: chapters ask the same places again and again."""
        return {}

    @cached_property
    def _read(self) -> dict[str, Place]:
        return {}

    @cached_property
    def _positions(self) -> dict[str, str | None]:
        return {}

    def _at_tube(self, position: str, word: str) -> tuple[Place, ...]:
        tube = self.tubes.get(position)
        word = _without_pin(" ".join(word.split()))
        found = _found(tube, word) if tube else None
        if tube is None or found is None:
            return (_unknown(position, word, tube),)
        # Two joined plates of a rectifier are two places; the two ends of a filament are read across.
        keys = found.key.split("&") if not found.key.startswith("f") else [found.key]
        return tuple(_place(position, key, word, tube) for key in keys)

    def of_reading(self, name: str, at: str) -> tuple[Place, ...]:
        """Where a reading was taken, by the name it stands under and its electrode or pin, empty where it has none."""
        if position := self.position(name):
            return self.at_tube(position, at)
        if not at and (split := self.split(name)) and split[1]:
            return self.at_tube(*split)
        return self.at_tube(name, at) if at else (self._point(name),)

    def of_readings(self, points: Mapping[Text, tuple[Reading, ...]]) -> Iterator[tuple[Place, Reading]]:
        """Every reading of a list with the place it was taken at."""
        for name, readings in points.items():
            for reading in readings:
                yield from ((place, reading) for place in self.of_reading(str(name), str(reading.at)))

    def question(self, position: str, word: str) -> ElectrodeQuestion | None:
        """What an electrode's word raises at a tube that is known; None where it names one, or a pin."""
        tube = self.tubes.get(position)
        if tube is None or _PIN.match(word.strip()):
            return None
        found = electrode(tube, _without_pin(word.strip()))
        return found if isinstance(found, ElectrodeQuestion) else None


@lru_cache(maxsize=1024)
def rail(written: str) -> Place:
    """The rail or other point of a name."""
    found = read_rail(written)
    return Place("", found.key, kind=found.kind, word=found.said, says=found.says())


def is_known_name(written: str) -> bool:
    """Whether a name without a tube is a word of the trade and not one of the writer's own."""
    return read_rail(written).known


def rail_order(place: Place) -> tuple[bool, list[int | str]]:
    """Sorts rails as current flows: a rectifier's cathode, then by the number in the name, B+1 before B+2."""
    parts = re.split(r"(\d+)", place.key)
    return not place.tube, [int(part) if part.isdecimal() else part for part in parts]


def electrode_of(word: str, tube: Tube | None) -> str:
    """What an American word for an electrode is: ``plate``, ``screen``, ``grid``, ``osc grid``, ``heater`` …"""
    role = (tube.role or "") if tube else ""
    kind = _ONE_LETTER.get(word) or next((kind for kind, pattern in _ELECTRODES if re.search(pattern, word)), "other")
    if role == "twin diode" and kind in ("plate", "cathode"):
        return "diode"
    return "other" if role == "dual-grid output triode" and word == "grid 2" else kind


def is_electrode_word(written: str) -> bool:
    """Whether a name by itself is that of an electrode or pin, so that it lacks its tube."""
    name = folded(written)
    return bool(_PIN.match(name)) or (
        isinstance(electrode(_any_tube(), name), Electrode)
        and electrode_of(name, None) not in ("heater", "tie", "other")
    )


def _unlisted(text: str) -> tuple[str, str] | None:
    first, _, rest = text.partition(" ")
    before, _, last = text.rpartition(" ")
    for position, word in ((first, rest), (last, before)):
        if word and _POSITION.match(position) and is_electrode_word(word):
            return position, word
    return None


def _without_pin(word: str) -> str:
    """The electrode of ``pin 5 plate``, which names both."""
    both = _BOTH.match(word) if len(word) <= _LONGEST else None
    return (both["after"] or both["before"]) if both else word


def pin_of(word: str) -> int | None:
    """The pin that ``5`` or ``pin 5`` means; None for any other word."""
    match = _PIN.match(word.strip())
    return int(match[1]) if match else None


def _found(tube: Tube, word: str) -> Electrode | None:
    if match := _PIN.match(word):
        return by_pin(tube, int(match[1]))
    found = electrode(tube, word)
    return found if isinstance(found, Electrode) else None


def _place(position: str, key: str, written: str, tube: Tube) -> Place:
    parts = set(key.split("+"))
    if "h" in parts and (tied := tied_to_cathode(tube)):
        # The whole heater is the cathode's point: on it stand rail and first filter of a 5Z4.
        key, parts = tied, set(tied.split("+"))
    on_pins = {row.electrode for row in tube.pin_rows if parts & set(row.electrode.split("+"))}
    if len(on_pins) == 1:
        key = on_pins.pop()
    direct = tube.heater.direct
    says = {name: say_electrode(key, tube.role, words, direct=direct) for name, words in DIALECTS.items()}
    word = says[AMERICAN.dialect]
    kind = electrode_of(word, tube)
    role = tube.role or ""
    circuit_kind = _kind(kind, key, role, direct=direct)
    match = _PIN.match(written)
    pin = match[1] if match and kind in ("heater", "tie") and circuit_kind != B_PLUS else ""
    swings = circuit_kind == "plate" and "output" in (role or "output")
    return Place(position, key, pin, circuit_kind, kind, word, says, _section(key, tube), swings=swings)


def _kind(kind: str, key: str, role: str, *, direct: bool) -> str:
    """What an electrode is to the circuit; a filament is the cathode of its tube."""
    if kind == "heater" and direct:
        kind = "cathode"
    of_rectifier = key[-1:] == "r" or ("rectifier" in role and "output" not in role)
    if of_rectifier and kind in ("plate", "cathode"):
        return "AC" if kind == "plate" else B_PLUS
    return {"osc grid": "grid", "heater": "", "target": "", "tie": "", "other": ""}.get(kind, kind)


def _section(key: str, tube: Tube) -> int:
    parts = set(key.split("+"))
    return next((n for n, section in enumerate(tube.sections) if parts & set(section.electrodes)), 0)


@cache
def _any_tube() -> Tube:
    """A tube of which nothing is known, so that its electrodes' words are still understood."""
    return described("?", 6.3, 0.3)


def _unknown(position: str, written: str, tube: Tube | None) -> Place:
    """A place of a tube that the table does not have, by the word or pin as written."""
    match = _PIN.match(written)
    if match or written.casefold() == TOP_CAP:
        word = f"pin {match[1]}" if match else TOP_CAP
        return Place(position, word, electrode="other", word=word, known=False)
    found = _found(_any_tube(), written) if tube is None else None
    key = found.key if found else " ".join(written.split()).casefold()
    says = {name: say_electrode(key, None, words) for name, words in DIALECTS.items()} if found else {}
    word = says.get(AMERICAN.dialect, " ".join(written.split()))
    kind = electrode_of(word if found else key, tube)
    circuit_kind = _kind(kind, "", (tube.role or "") if tube else "", direct=False)
    swings = tube is None and circuit_kind == "plate"
    return Place(position, key, "", circuit_kind, kind, word, says, known=False, swings=swings)
