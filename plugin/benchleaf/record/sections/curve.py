"""Points of a curve as written: what was fed in, and what came out of it."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from typing import Annotated, Any

from pydantic.json_schema import JsonSchemaValue
from pydantic_core import InitErrorDetails

from ..editor_schema import TEXT_SCHEMA
from ..line_items import items
from ..line_values import Meaning, value_at, words_of
from ..numerals import NUMBER
from ..problems import quoted
from ..section import Section, refused
from ..text import NOWHERE, Entries, Listing, Text
from ..values import ReadsBefore, quantity

_AT = ("frequency", "power", "voltage")
_LEVEL = ("level", "voltage", "current", "power", "ratio")
_KINDS = dict.fromkeys(dict.fromkeys((*_AT, *_LEVEL)), "")
_OUTPUT = ("level", "ratio")
"""What is read beside something fed in, whichever of the two is written first."""
_TWO_NUMBERS = re.compile(
    rf"(?P<at>{NUMBER})\s?(?P<of_at>[a-zµ]+(?:/s)?)?\s*[:=]?\s*(?P<level>(?:(?<=[\s:=])[-+−])?{NUMBER})\s?(?P<of_level>[a-zµ%]+)?",
    re.I,
)
_CYCLES, _DECIBELS = re.compile(r"(?<=\d)\s?~(?=\s|$|,)"), re.compile(r"\ddB\b|\d dB\b", re.I)
"""Cycles by their sign, where decibels stand beside them: ``100~ -3 dB``."""
_BEHIND = re.compile(r"\s*\((?P<said>[^()]*)\)\Z")
_BETWEEN = re.compile(r"(?:at|is|gives|=|:|->|→|for|off|down|in|out|\s)*", re.I)
_EXAMPLE = "a point such as “450 kHz -6 dB”, “50 uV 0.4 V” or “0.5 W 4 %”"


class CurvePoint(Section):
    """``450 kHz -6 dB``; ``-6 dB at 450 kHz``; ``50 uV 0.4 V``; ``0.5 W 4 %``. ``level`` is what came of ``at``."""

    LINED = True

    at: quantity(*_AT)  # type: ignore[valid-type]
    level: quantity(*_LEVEL)  # type: ignore[valid-type]

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """Two values in either order; a frequency is fed in, decibels and per cent come out."""
        if not isinstance(data, Text):
            return super()._table(data, errors)
        both = pair_of(data)
        if both is None:
            errors.append({"type": refused(quoted(data), _EXAMPLE, at=data), "loc": (), "input": data})
            return None
        table = Entries(data.place, data)
        table.update({Text("at", both[0].place): both[0], Text("level", both[1].place): both[1]})
        return table


def pair_of(item: Text) -> tuple[Text, Text] | None:
    """What was fed in and what came out, where an item is two values and nothing else."""
    text = item.taken_as(re.sub(r"[:=](?=\s|$)|(?<=\s)(?:->|→)(?=\s)", " ", item))
    words = words_of(text, strokes=False)
    found: list[tuple[Meaning, Text]] = []
    index, behind = 0, 0
    while index < len(words):
        value = value_at(text, words, index, _KINDS)
        if value is None:
            index += 1
            continue
        end = words[index + value.words - 1][1]
        if not _BETWEEN.fullmatch(text[behind : words[index][0]]):
            return None
        found.append((value, text.cut(words[index][0], end)))
        index, behind = index + value.words, end
    if len(found) != 2 or not _BETWEEN.fullmatch(text[behind:]):
        return None
    (first, one), (second, other) = found
    turned = first.kind in _OUTPUT or (second.kind == "frequency" and first.kind != "frequency")
    return (other, one) if turned else (one, other)


def with_units(points: Iterable[Text], at: str = "") -> list[Text]:
    """Points, those of two numbers with the units of the others: ``460 kc/s -12 dB, 465 -3, 470 0``.

    A unit is taken where every number in its place that has one has the same. ``at`` is that of what was fed in where
    none has: ``458 -22, 468 0, 478 -21 dB``.
    """
    listed = list(points)
    pairs = [_TWO_NUMBERS.fullmatch(point) for point in listed]
    fed = _one_unit([pair["of_at"] for pair in pairs if pair]) or at
    out = _one_unit([pair["of_level"] for pair in pairs if pair])
    if sum(map(bool, pairs)) < 2:
        return listed
    return [_with_unit(point, pair, fed, out) for point, pair in zip(listed, pairs, strict=True)]


def _one_unit(units: Iterable[str]) -> str:
    """The one unit of several numbers, as it was written first; empty where they have none, or more than one."""
    said = [unit for unit in units if unit]
    return said[0] if len({unit.casefold() for unit in said}) == 1 else ""


def _with_unit(point: Text, pair: re.Match[str] | None, fed: str, out: str) -> Text:
    if pair is None or (pair["of_at"] and pair["of_level"]):
        return point
    of_at, of_level = pair["of_at"] or fed, pair["of_level"] or out
    return point.taken_as(f"{pair['at']} {of_at} {pair['level']} {of_level}") if of_at and of_level else point


def _kind(value: Text) -> str:
    found = value_at(value, words_of(value, strokes=False), 0, _KINDS)
    return found.kind if found else ""


def parted(text: Text) -> tuple[list[Text], list[Text]]:
    """The points of a line that has two at least, and the words beside them; no points where it has fewer.

    What was fed in is of one kind: ``300 uV for 50 mW, 30 % at 400 Hz`` is no curve.
    What begins with a value and is no point is among the points, where it is asked.
    """
    points: list[Text] = []
    words: list[Text] = []
    text = text.taken_as(_CYCLES.sub(" c/s", text)) if _DECIBELS.search(text) else text
    for item in items(text):
        begins = bool(item) and (
            _TWO_NUMBERS.fullmatch(item) or value_at(item, words_of(item, strokes=False), 0, _KINDS) is not None
        )
        said = _BEHIND.search(item) if begins else None
        (points if begins else words).append(item.cut(0, said.start()) if said else item)
        words += [item.cut(*said.span("said"))] if said else []
    points = with_units(points)
    fed = Counter(_kind(pair[0]) for point in points if (pair := pair_of(point)))
    pairs = max(fed.values(), default=0)
    return (points, words) if pairs > 1 and 2 * pairs >= len(points) else ([], [])


def _listed_points(value: Any, at: str = "") -> Any:
    """The points of one line, of several, or of names and values, ``450 kHz: -6 dB``, as a list."""
    pieces = [value] if isinstance(value, Text | dict) else value
    if not isinstance(pieces, list):
        return value
    found = Listing(getattr(value, "place", NOWHERE))
    for piece in pieces:
        found += _points_in(piece)
    if all(isinstance(point, Text) for point in found):
        found[:] = with_units(found, at)
    return found


def _points_in(piece: Any) -> Iterable[Any]:
    """The points of a line, and of names and values that are not a point's own."""
    if isinstance(piece, Text):
        return (point for point in items(piece) if point)
    if not isinstance(piece, dict) or not piece or {str(key).casefold() for key in piece} & {"at", "level"}:
        return (piece,)
    return (_point(at, level) for at, level in piece.items())


def _point(at: Any, level: Any) -> Entries:
    point = Entries(at.place if isinstance(at, Text) else NOWHERE)
    point.update({Text("at", point.place): at, Text("level", point.place): level})
    return point


def _published(made: JsonSchemaValue) -> JsonSchemaValue:
    """Points in a list, in one line, or as names and values of the writer's own."""
    return {"if": {"type": "array"}, "then": made["else"], "else": {"if": {"type": "object"}, "else": TEXT_SCHEMA}}


Curve = Annotated[tuple[CurvePoint, ...], ReadsBefore(_listed_points, _published)]
"""Points in one line with commas between, or one a line."""

Response = Annotated[tuple[CurvePoint, ...], ReadsBefore(lambda value: _listed_points(value, "kHz"), _published)]
"""Points of a receiver's response, where a number without its unit is kilohertz."""
