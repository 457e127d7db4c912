"""Where the two ends of a part go: a tube's electrode, a rail, the chassis, the line."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from ...record.sections.parts import node_name
from ...tubes import Electrode, Tube, electrode, say_electrode

_RAILS = (
    ("B+", re.compile(r"(b\s?\+|ht\s?\+|h\.t\.|ht\s?\d*\b(?!\s*-)|b plus)")),
    ("B-", re.compile(r"(b\s?-|ht\s?-|b minus)")),
    ("socket", re.compile(r"(aerial|antenna|earth|ground|speaker|pick-?up|phono)\s+(socket|terminal|post)")),
    ("chassis", re.compile(r"(chassis|ground|gnd|earth)\b")),
    ("AVC", re.compile(r"a[vg]c\b")),
    ("socket", re.compile(r"(aerial|antenna)\b")),
    ("neutral", re.compile(r"(neutral|return lead|cold lead)\b")),
    ("line", re.compile(r"(line|mains|hot lead|hot|live)\b")),
)
_ELECTRODES = (
    ("screen", re.compile(r"screen|\bg2\b|grid 2")),
    ("suppressor", re.compile(r"suppressor|\bg3\b")),
    ("grid", re.compile(r"grid|\bg1?\b")),
    ("diode", re.compile(r"diode|\bd\d?\b")),
    ("plate", re.compile(r"plate|anode|\ba\d?\b")),
    ("cathode", re.compile(r"cathode|filament|\bk\d?\b")),
)

COMMON = frozenset({"B-", "chassis"})
"""Ends at the bottom of the supply."""

FED_FROM_B_PLUS = frozenset({"B+", "plate", "screen"})
"""Ends that stand at the full supply voltage while no tube draws current."""


@dataclass(frozen=True, slots=True)
class Terminal:
    """One end of a part.

    ``kind`` is ``plate``, ``screen``, ``suppressor``, ``grid``, ``cathode``, ``diode``, ``B+``, ``B-``, ``chassis``,
    ``line``, ``neutral``, ``socket``, ``AVC``, ``AC`` (a rectifier's plate) or empty. ``tube`` is the position, ``key``
    what tells two ends of one kind apart. ``swings`` marks the plate of an output or unknown tube, which an inductive
    load may carry far above the supply.
    """

    written: str
    kind: str = ""
    tube: str = ""
    key: str = ""
    swings: bool = False

    def is_at(self, other: Terminal) -> bool:
        """Whether both are the same place."""
        return (self.tube, self.key) == (other.tube, other.key)


def read_terminal(written: str, positions: Iterable[str], tubes: Mapping[str, Tube]) -> Terminal:
    """The place a name means. ``positions`` are the set's tube positions, ``tubes`` those that are known."""
    name = node_name(written).replace("−", "-").replace("–", "-")
    for position in sorted(positions, key=len, reverse=True):
        if name.startswith(node_name(position) + " "):
            rest = name[len(node_name(position)) :].strip()
            return _at_tube(written, position, rest, tubes.get(position))
    for kind, pattern in _RAILS:
        if pattern.match(name):
            return Terminal(written, kind, "", re.sub(r"\s+", "", name) if kind in ("B+", "B-") else name)
    return Terminal(written, "", "", name)


def _at_tube(written: str, position: str, word: str, tube: Tube | None) -> Terminal:
    found = electrode(tube, word) if tube else None
    if tube is None or not isinstance(found, Electrode):
        word = word.replace("anode", "plate")
        return Terminal(written, _kind(word), position, word, swings=tube is None and _kind(word) == "plate")
    role = tube.role or ""
    kind = _kind(say_electrode(found.key, tube.role, direct=tube.heater.direct))
    of_rectifier = found.key[-1:] == "r" or ("rectifier" in role and "output" not in role)
    if of_rectifier and kind in ("plate", "cathode"):
        kind = "AC" if kind == "plate" else "B+"
    return Terminal(written, kind, position, found.key, swings=kind == "plate" and "output" in (role or "output"))


def _kind(word: str) -> str:
    return next((kind for kind, pattern in _ELECTRODES if pattern.search(word)), "")
