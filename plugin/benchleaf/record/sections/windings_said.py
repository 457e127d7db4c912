"""What is said of a winding in passing: ohms and volts of both halves, its volts by its name: ``6.3 V: feeds V1``."""

from __future__ import annotations

import dataclasses
import math
import re
from collections.abc import Mapping
from typing import Annotated, Any

from ..editor_schema import TEXT_SCHEMA
from ..numerals import NUMBER
from ..problems import quoted
from ..quantities import Quantity
from ..text import Entries, Text
from ..trade_words import MEASURED
from ..values import Reads, as_text, read_as

_UNIT = r"\s?(?:k\s?(?:ohms?|Ω)?|ohms?|Ω|R)(?!\w)"
_EACH = (
    r"(?:each(?: half| side)?|(?:per|either|a) (?:half|side)|half|halves"
    r"|to (?:the )?(?:c\.?t\.?|cent(?:re|er)(?: tap)?))"
)
_MEASURED = "|".join(sorted(map(re.escape, MEASURED), key=len, reverse=True))
_OHMS = re.compile(
    rf"(?P<one>{NUMBER})(?P<unit1>{_UNIT})?\s*(?:\+|/|&|and)\s*(?P<other>{NUMBER})(?P<unit2>{_UNIT})"
    rf"|(?P<half>{NUMBER}(?:{_UNIT}))\s+{_EACH}|(?:2\s?[x×]\s?)(?P<twice>{NUMBER}(?:{_UNIT}))|(?P<all>{NUMBER}(?:{_UNIT}))",
    re.I,
)
_IN_LINE = re.compile(
    rf"(?:\A\s*|[,;]\s*|(?<=\w)\s+)(?:(?:{_MEASURED}|dc|resistance|dcr)\s+)*(?P<ohms>{_OHMS.pattern})\s*(?:dc)?(?=\s*(?:,|;|\Z))",
    re.I,
)

_UNEVEN = re.compile(
    rf"(?P<one>{NUMBER})\s?(?:/|-\s?0\s?-)\s?(?P<other>{NUMBER})(?:\s?V(?:olts)?)?(?:\s?AC)?(?=\s*(?:,|;|\Z))",
    re.I,
)
_HALVES_ALIKE = 1.1
"""The halves of one winding have its volts within this ratio. Common practice, no source."""
_BY_VOLTS = re.compile(r"\s*\d+(?:[.,]\d+)?\s?V(?:AC)?(?!\w)(?:\s?AC\b)?", re.I)
_VOLTS = re.compile(r"\s*\d[\d.,]*(?:\s?[-x×]\s?[\d.,]+)*\s?V", re.I)


def ohms_apart(line: Text) -> tuple[Text, Text] | None:
    """A winding's line without the item that has its ohms, and those; None where none stand there."""
    found = _IN_LINE.search(line)
    if found is None or not line.single:
        return None
    before, behind = line[: found.start()], line[found.end() :]
    rest = f"{before}{behind}" if before else behind.lstrip(" ,;")
    return (line.taken_as(rest), line.cut(*found.span("ohms"))) if rest else None


def uneven_halves(line: Text) -> tuple[str, Text, str] | None:
    """The mean of two halves that are not quite alike, which only a meter shows, both, and the rest of the line."""
    found = _UNEVEN.match(line)
    if found is None or found["one"] == found["other"]:
        return None
    one, other = (float(found[name].replace(",", ".")) for name in ("one", "other"))
    if min(one, other) * _HALVES_ALIKE < max(one, other):
        return None
    said = line.cut(0, found.end())
    both = said.taken_as(f"{found['one']}-0-{found['other']} V", f"{quoted(said)} read as both halves as measured")
    return f"{(one + other) / 2:g}", both, line[found.end() :]


def volts_by_their_names(supply: Mapping[Any, Any] | None) -> None:
    """Give each winding that is called by its volts, ``6.3 V: feeds V1``, the volts of its name, in place."""
    named = (value for key, value in (supply or {}).items() if str(key).casefold() == "windings")
    windings: Any = next(named, None)
    for name, line in windings.items() if isinstance(windings, Entries) else ():
        said = _BY_VOLTS.match(name)
        if said and isinstance(line, Text) and not _VOLTS.match(line):
            windings[name] = line.taken_as(f"{said[0].strip()}, {line}")


_A_WINDING = re.compile(
    r"(?:(?:heaters?|filaments?|rectifier|h\.?[tv]\.?|l\.?t\.?|\d+(?:[.,]\d+)?\s?V)\s+)?winding(?:\s+\w{1,2}|\d)?", re.I
)
_LAMPS = re.compile(
    r",\s*(?:(?P<count>\d)\s?(?:x\s)?)?(?:(?:pilot|dial|scale)(?:\s+(?:lamp|light|bulb))?|lamp|bulb)s?\s+(?P<type>#?\d{1,3}[A-Z]?)"
    r"(?=\s*(?:,|;|\Z))",
    re.I,
)


def windings_home(supply: Mapping[Any, Any]) -> Mapping[Any, Any]:
    """Heaters whose windings stand under names of their own, ``winding 1: 6.3 V, V1, V2``, as ``windings``.

    Lamps that such a line feeds are the pilot lamps.
    """
    lines = {k: v for k, v in supply.items() if isinstance(k, Text) and _A_WINDING.fullmatch(k) and isinstance(v, Text)}
    if not lines or not isinstance(supply, Entries) or any(str(key).casefold() == "windings" for key in supply):
        return supply
    heaters = Entries(supply.place, supply.line)
    heaters.empty, heaters.whole, heaters.given = supply.empty, supply.whole, supply.given
    windings = Entries(next(iter(lines)).place)
    for name, line in lines.items():
        lamps = _LAMPS.search(line)
        said = line.taken_as(_LAMPS.sub("", line)) if lamps else line
        windings[name] = said.taken_as(str(said), f"{quoted(name)} read as one of the windings")
        if lamps and not any(str(key).casefold() in ("pilot lamp", "pilot lamps") for key in (*supply, *heaters)):
            lamp = f"{lamps['count']} x {lamps['type']}" if lamps["count"] else lamps["type"]
            place = line.at(lamps.start())
            heaters[Text("pilot lamp", place)] = Text(lamp, place, single=False).like(line)
    heaters[Text("windings", windings.place)] = windings
    heaters.update({key: value for key, value in supply.items() if key not in lines})
    return heaters


def heaters_of_the_rest(supply: Mapping[Any, Any] | None) -> None:
    """Name the tubes of the winding that feeds ``heaters``, in place: all that no other winding is said to feed."""
    named = (value for key, value in (supply or {}).items() if str(key).casefold() == "windings")
    windings: Any = next(named, None)
    lines = {k: line for k, line in windings.items() if isinstance(line, Text)} if isinstance(windings, Entries) else {}
    said = {name: found for name, line in lines.items() if (found := _THE_HEATERS.search(line))}
    if len(said) != 1:
        return
    ((name, found),) = said.items()
    others = [line for other, line in lines.items() if other is not name]
    positions = dict.fromkeys(lines[name].manner.tubes.values())
    elsewhere = {tube for line in others for word in re.findall(r"\w+", line) if (tube := line.manner.position(word))}
    rest = ", ".join(p for p in positions if p not in elsewhere) if elsewhere else "all"
    if rest == "all" and any(_THE_RECTIFIER.search(line) for line in others):
        rest = "all but the rectifier"
    line, heaters = lines[name], found["heaters"]
    before, behind = line[: found.start("heaters")], line[found.end("heaters") :]
    if rest:
        windings[name] = line.taken_as(f"{before}{rest}{behind}", f"{quoted(heaters)} read as {quoted(rest)}")


_THE_HEATERS = re.compile(
    r"(?<![\w.])(?P<heaters>(?:(?:all|the|tube|valve|other|remaining)\s+){0,3}(?:heaters|filaments)"
    r"|(?:all\s+)?(?:the\s+)?(?:rest|others|other (?:tubes|valves)))(?=\s*(?:,|;|\Z))",
    re.I,
)
_THE_RECTIFIER = re.compile(r"\brect(?:ifier)?\b", re.I)


def _read_ohms(value: Any) -> Quantity:
    """The ohms of the whole winding: the sum of both halves, or twice what each has."""
    text = as_text(value)
    said = _OHMS.fullmatch(text) or _OHMS.fullmatch(f"{text} ohm")
    if said is None or said["all"]:
        return read_as(text, "resistance", bare="ohm")
    if alone := said["half"] or said["twice"]:
        parts = [text.taken_as(alone)] * 2
    else:
        unit = said["unit2"].strip()
        parts = [
            text.taken_as(f"{said['one']} {(said['unit1'] or unit).strip()}"),
            text.taken_as(f"{said['other']} {unit}"),
        ]
    read = [read_as(part, "resistance", bare="ohm") for part in parts]
    whole = math.fsum(half.si or 0.0 for half in read)
    return dataclasses.replace(read[0], si=whole, written=str(text), place=text.place)


WindingOhms = Annotated[Quantity, Reads(_read_ohms, TEXT_SCHEMA)]
"""Ohms of a winding from end to end."""


_HALVES_MEASURED = re.compile(
    r"2\s?[x×*]\s?(?P<volts>\d[\d.,]*)(?P<unit>\s?V\w*)?"
    r"|(?P<one>\d[\d.,]*)\s?(?:(?P<tap>[-/]\s?0\s?[-/])|/|&|and\b)\s?(?P<other>\d[\d.,]*)(?P<unit2>\s?V\w*)?",
    re.I,
)


def _read_measured(value: Any) -> Quantity:
    """The volts measured of a winding; of one with a tap in the middle the mean of both halves: ``362-0-361``.

    So are two about alike without the tap said, ``251/253``; others are asked.
    """
    text = as_text(value)
    both = _HALVES_MEASURED.fullmatch(text)
    if both is None:
        return read_as(text, "voltage", bare="V")
    if both["volts"]:
        return dataclasses.replace(read_as(text.cut(both.start("volts")), "voltage", bare="V"), written=str(text))
    halves = [read_as(text.cut(*both.span(name)), "voltage", bare="V") for name in ("one", "other")]
    sizes = sorted(half.si or 0.0 for half in halves)
    if not both["tap"] and sizes[0] * _HALVES_ALIKE < sizes[1]:
        return read_as(text, "voltage", bare="V")
    mean = math.fsum(half.si or 0.0 for half in halves) / len(halves)
    return dataclasses.replace(halves[0], si=mean, written=str(text), place=text.place)


MeasuredVolts = Annotated[Quantity, Reads(_read_measured, TEXT_SCHEMA)]
"""Volts of a winding, of one with a tap in the middle those of each half."""
