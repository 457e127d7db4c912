"""A list of readings as it is jotted down: numbered points, pins by a letter, what a reading was taken at, currents."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from ..place_words import read_rail
from ..problems import quoted
from ..said_readings import noted, with_what_names_say
from ..text import NOWHERE, Entries, Text
from .without_line import NO_LINE

_NUMBERED = re.compile(r"(?:\(\d{1,2}\)|\d{1,2}\)|\d{1,2}\.(?=\s)|#\d{1,2}[.:)]?(?=\s))\s*(?=[^\W\d])")
"""The number that a measuring point has on a diagram, before its name: ``(1) HT1``."""
_PIN = re.compile(
    r"(?P<before>(?:^|[,;/]\s*|(?<=\d)\s+))p\.?\s?(?P<pin>\d{1,2})(?=\s*[\s=:]\s*[-+−–<>~]?\s?[.\d])", re.I
)
"""A pin by one letter, as it is typed on a phone: ``p5 94``."""
_MOST_PLATES = 2
"""Plates that are told apart by a number; what goes higher counts pins."""
_TAKEN_AT = re.compile(
    r"(?<=[\dVv])\s*(?:@|\bat\b)\s*(?P<at>\d[\d.,]*\s?(?:kc|kcs|khz|kc/s|mc|mhz|mc/s|m)?)(?=\s*(?:,|;|\Z))", re.I
)
"""Where the dial stood at one reading: ``-9 @600``."""
_TAKEN_AGAIN = re.compile(
    r",\s*(?P<said>[-+−–]?(?:\d+(?:[.,]\d+)?|[.]\d+)\s?V?\s*(?:@|\bat\b)\s*\d[\d.,]*\s?(?:kc|kcs|khz|kc/s|mc|mhz|mc/s|m))"
    r"(?=\s*(?:,|;|\Z))",
    re.I,
)
"""The same point at another place of the dial, with no electrode before it: ``g1 -1.2 at 300 m, 0 at 450 m``."""
_CAME_TO = re.compile(
    r"(?:(?:the\s+)?(?:HT|B\+|rail|it)\s+)?(?:came up to|came to|rose to|settled at|went up to|up to|now)\s+"
    r"(?P<value>[.\d][\d.,]*\s?(?:V|volts?)?)",
    re.I,
)
_BESIDE_A_RAIL = re.compile(
    r"(?P<value>[.\d][\d.,]*?\s?(?:V|volts?)?)\s*,\s+(?P<said>(?!(?:with\s+)?(?:ripple|hum)\b)[^\W\d].*)", re.I
)
"""What is said behind the volts of a rail: ``261, field 84 V``."""
_TWO_TAKEN = re.compile(r"[-+−–]?[.\d][\d.,]*\s?@\s?\d+\s+[-+−–]?[.\d][\d.,]*\s?@\s?\d+")
_AMPERES = r"[-+−–<>~]?\s?(?:\d+(?:[.,]\d+)?|[.]\d+)\s?(?:mA|µA|μA|uA|A|ma|ua|amps?|amperes?|milliamps?|milliamperes?)"
_CURRENT = re.compile(_AMPERES)
_OF_A_CURRENT = re.compile(r"(?:\b|\w)(?:current|drain|draw|strom|stroom|courant|corriente)\b|^I[a-z]{0,3}\d?\Z", re.I)
"""What a current is called by; milliamperes of a rail may be a slip for its volts."""
_AT_A_TUBE = re.compile(
    rf"(?:^|,)\s*(?P<at>I[a-z]\w*|[^\W\d][\w+ ]*?\s(?:current|draw))\s*[=:]?\s*(?P<amps>{_AMPERES})(?=\s*(?:,|;|\Z))"
)
"""A current among the volts of a tube: ``anode 246, Ik 44 mA``."""
_PUBLISHED = re.compile(
    r"(?:(?:the|factory|maker'?s|published|service|printed|circuit|voltage) )*"
    r"(?:chart|voltage table|voltage list|service data|service manual|manual|schematic|diagram|data)"
    r"(?: voltages| values| volts)?"
    r"|should be|nominal(?: values| voltages)?|soll(?:werte|spannungen)?|sollwerte laut .*",
    re.I,
)
"""What the list that somebody printed is called where it is not called a sheet."""


_BEHIND_THE_LINE = re.compile(
    r"(?P<volts>[\d.,]+\s?V?(?:olts)?\s?(?:AC|DC)?)"
    r"(?:\s*(?:[,;]\s+|\s(?=(?:on|from|off|with|by|via|through|variac)\b))(?P<note>[^\W\d].*)"
    r"|\s*\((?P<inside>[^\W\d][^()]*)\))",
    re.I,
)


def with_line_alone(table: Mapping[Any, Any]) -> Mapping[Any, Any]:
    """A list whose ``line`` says more behind its volts, ``117 V, on the isolating transformer``: its note."""
    key = next((key for key in table if str(key).casefold() in ("line", "mains")), None)
    line = table[key] if key is not None else None
    if key is not None and isinstance(line, Text) and NO_LINE.fullmatch(line):
        left = {name: value for name, value in table.items() if name is not key}
        return noted(table, left, [(key, line, str(line))])
    found = _BEHIND_THE_LINE.fullmatch(line) if isinstance(line, Text) else None
    if key is None or not isinstance(line, Text) or found is None:
        return table
    group = "note" if found["note"] else "inside"
    told = f"{quoted(found[group])} behind the line kept as a note of the list"
    name = next((name for name in table if str(name).casefold() == "note"), Text("note", place=line.place))
    written, more = table.get(name), line.cut(*found.span(group))
    note = written.taken_as(f"{written}; {more}") if isinstance(written, Text) else more
    return {**table, key: line.cut(*found.span("volts")).taken_as(found["volts"], told), name: note}


def with_published_named(runs: Any) -> Any:
    """The lists of readings with what is said of them in passing; one by another word for a sheet, ``chart``, is it."""
    if isinstance(runs, Entries):
        _name_published(runs)
    return with_what_names_say(runs)


def _name_published(runs: Entries) -> None:
    taken = {name.casefold() for name in (*runs, *runs.empty)}
    entries = list(runs.items())
    if not any(_is_published(name, run) for name, run in entries):
        return
    runs.clear()
    for name, run in entries:
        called = "sheet" if "sheet" not in taken else f"{name} sheet"
        known = name.taken_as(called, f"{quoted(name)} read as {quoted(called)}, the list that was published")
        runs[known if _is_published(name, run) else name] = run
        taken |= {called} if _is_published(name, run) else set()


def _is_published(name: Text, run: Any) -> bool:
    dated = isinstance(run, Entries) and any(key.casefold() == "date" for key in run)
    return not dated and _PUBLISHED.fullmatch(" ".join(name.split()).rstrip(":.")) is not None


def with_points_as_meant(table: Mapping[Any, Any], names: frozenset[str]) -> Mapping[Any, Any]:
    """A list of readings with each point under the name that it has elsewhere; ``names`` are the list's own keys."""
    points = {key: value for key, value in table.items() if str(key).casefold() not in names}
    pins = any(int(pin["pin"]) > _MOST_PLATES for value in _lines(points.values()) for pin in _PIN.finditer(value))
    meant = Entries(getattr(table, "place", NOWHERE), getattr(table, "line", None))
    meant.empty, meant.whole = getattr(table, "empty", []), getattr(table, "whole", True)
    told: list[tuple[Text, Text, str]] = []
    currents = Entries(meant.place)
    for key, value in table.items():
        name = _unnumbered(key) if key in points and isinstance(key, Text) else key
        name = name if name == key or name not in table else key
        if key in points and isinstance(value, Text):
            if _CURRENT.fullmatch(value) and _OF_A_CURRENT.search(name):
                currents[name] = value
                continue
            value, taken = _without_currents(name, value)
            currents |= taken
            if taken and not value:
                continue
            if not name.manner.position(name) and read_rail(name).known:
                value, beside = _of_a_rail(value)
                told += [(name, words, f"{name}: {words}") for words in beside]
            value, said = _without_dial(_pins_said(value) if pins else value)
            told += [(name, words, f"{name}: {words}") for words in said]
        meant[name] = value
    if currents and Text("currents") not in meant:
        meant[Text("currents", meant.place)] = currents
    return noted(meant, meant, told) if told else meant


def _without_currents(name: Text, value: Text) -> tuple[Text, dict[Text, Text]]:
    """A tube's readings without the currents among them, and those by the tube and what they were read of."""
    found = list(_AT_A_TUBE.finditer(value))
    if not found:
        return value, {}
    taken = {name.taken_as(f"{name} {one['at']}"): value.cut(*one.span("amps")) for one in found}
    return value.taken_as(_AT_A_TUBE.sub("", value).strip(" ,")), taken


def _lines(values: Any) -> Iterator[Text]:
    for value in values:
        if isinstance(value, Text):
            yield value


def _unnumbered(name: Text) -> Text:
    numbered = _NUMBERED.match(name)
    rest = name.cut(numbered.end()) if numbered else name
    known = read_rail(rest).known or rest.manner.position(rest.split()[0]) if numbered else None
    return rest.taken_as(str(rest), f"{quoted(name)} read as {quoted(rest)}") if numbered and known else name


def _pins_said(value: Text) -> Text:
    said = _PIN.sub(lambda pin: f"{pin['before']}pin {pin['pin']}", value)
    return value.taken_as(said) if said != value else value


def _of_a_rail(value: Text) -> tuple[Text, list[Text]]:
    """The volts of a rail without the words before them, and what else its line says."""
    if came := _CAME_TO.fullmatch(value):
        return value.cut(*came.span("value")), [value]
    if beside := _BESIDE_A_RAIL.fullmatch(value):
        return value.cut(*beside.span("value")), [value.cut(*beside.span("said"))]
    return value, []


def _without_dial(value: Text) -> tuple[Text, list[Text]]:
    """The readings without where the dial stood, and that; two of one point stay as they are and are asked."""
    if _TWO_TAKEN.search(value):
        return value, []
    again = [value.cut(*one.span("said")) for one in _TAKEN_AGAIN.finditer(value)]
    if again and _TAKEN_AT.search(value[: value.find(str(again[0]))]):
        left, more = _without_dial(value.taken_as(_TAKEN_AGAIN.sub("", value)))
        return left, [*more, *again]
    found = list(_TAKEN_AT.finditer(value))
    if not found:
        return value, []
    said = [value.cut(value.rfind(",", 0, at.start()) + 1, at.end()) for at in found]
    return value.taken_as(_TAKEN_AT.sub("", value)), said
