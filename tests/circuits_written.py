"""Circuits of radios (``faulted_circuits``) read from a record's own lines, without the code's reader.

Makers are not named, values are usual ones: nothing of it is a published set. Sets on batteries are kept beside them;
their stages are not followed yet.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import yaml

FOLDER = Path(__file__).parent / "faulted_circuits"
GROUNDS = ("chassis", "B-")
KNOWN_NODES = (*GROUNDS, "AVC")
"""Points that others joined to them are known by: the AVC line stands at the diode's contact potential."""
_UNITS = {"ohm": 1.0, "kohm": 1e3, "megohm": 1e6, "uF": 1e-6, "pF": 1e-12}
_VALUE = re.compile(r"(?P<number>[\d.]+) (?P<unit>ohm|kohm|megohm|uF|pF)\b")
_ENDS = re.compile(r"between (?P<one>[^,]+?) and (?P<other>[^,]+)$")
_LINE = re.compile(r"(?P<volts>\d+\.?\d*) V (?P<hertz>\d+) Hz")
_CONVERTERS = ("converter", "frequency changer")


@dataclass(frozen=True)
class Part:
    """A resistance, winding or capacitor between two nodes."""

    name: str
    kind: str
    value: float
    ends: tuple[str, str]
    text: str


@dataclass(frozen=True)
class Section:
    """One amplifying system and its nodes; ``oscillates`` takes a mean current by its screen (or plate) alone."""

    name: str
    plate: str
    cathode: str
    grid: str = ""
    screen: str = ""
    oscillates: bool = False


@dataclass(frozen=True)
class Circuit:
    """A circuit as written."""

    name: str
    text: str
    tubes: Mapping[str, str]
    parts: Mapping[str, Part]
    sections: tuple[Section, ...]
    node: Mapping[str, str]
    rectifier: str
    first: str
    bottom: str
    line: float
    hertz: float
    power: str

    def at(self, place: str) -> str:
        """The node of a place."""
        return self.node.get(place, place)


@cache
def circuits() -> Mapping[str, Circuit]:
    """The circuits that are fed from the line, by name."""
    read = (path for path in sorted(FOLDER.glob("*.yml")) if " Hz" in path.read_text(encoding="utf-8"))
    return {path.stem: _circuit(path) for path in read if "three-way" not in path.stem}


def _circuit(path: Path) -> Circuit:
    text = path.read_text(encoding="utf-8")
    made = yaml.safe_load(text)
    parts = {}
    for name, line in made["parts"].items():
        value, ends = _VALUE.search(line), _ENDS.search(line)
        if value and ends:
            kind = "capacitor" if value["unit"].endswith("F") else "resistor" if name[0] == "R" else "winding"
            at = (ends["one"].strip(), ends["other"].strip())
            parts[name] = Part(name, kind, float(value["number"]) * _UNITS[value["unit"]], at, line)
    node = _joined(made["wires"])
    tubes = {position: str(type_).split(",")[0] for position, type_ in made["tubes"].items()}
    jobs = {position: str(line) for position, line in made["tubes"].items()}
    places = {end for part in parts.values() for end in part.ends} | set(node)
    sections = tuple(
        s for p in tubes for s in _sections(p, jobs[p], places) if not re.search("rectifier|indicator", jobs[p])
    )
    rectifier = next((p for p, job in jobs.items() if "rectifier" in job), "")
    cathode = f"{rectifier} cathode"
    surge = any("surge" in part.text for part in parts.values())
    first = cathode if cathode in places and not surge else "B+1"
    grounds = [g for g in GROUNDS if g in places]
    line = _LINE.match(made["line"])
    assert line
    low = "B-" if len(grounds) == 2 else grounds[0]
    return Circuit(
        path.stem, text, tubes, parts, sections, node, rectifier, first, low,
        float(line["volts"]), float(line["hertz"]), made["power"],
    )  # fmt: skip


def _joined(wires: Sequence[str]) -> dict[str, str]:
    node: dict[str, str] = {}
    for wire in wires:
        places = [place.strip() for place in wire.split(",")]
        to = next((p for p in places if p in KNOWN_NODES), next((p for p in places if p[0] == "B"), places[0]))
        node |= dict.fromkeys(places, to)
    return node


def _sections(tube: str, job: str, places: Iterable[str]) -> Iterator[Section]:
    own = {place.removeprefix(f"{tube} ") for place in places if place.startswith(f"{tube} ")}
    converter = any(word in job for word in _CONVERTERS)

    def at(word: str) -> str:
        return f"{tube} {word}" if word in own else ""

    if "plate 1" in own:
        for n in (1, 2):
            mixes = n == 2 and "mixer" in job
            name = f"{tube} {n} osc" if mixes else f"{tube} {n}"
            yield Section(name, at(f"plate {n}"), at(f"cathode {n}"), at(f"grid {n}"), oscillates=mixes)
        return
    cathode = at("cathode") or at("filament")
    if "triode plate" in own:
        yield Section(f"{tube} triode", at("triode plate"), at("triode cathode") or cathode, at("triode grid"))
    if "osc plate" in own:
        yield Section(f"{tube} osc", at("osc plate"), cathode, oscillates=True)
    yield Section(tube, at("plate"), cathode, at("grid"), at("screen"), converter)
