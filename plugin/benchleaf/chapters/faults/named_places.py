"""Places that the text of a fault names, each with what it read in every list: the trail's evidence at the meter."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import TYPE_CHECKING

from ...report.anchors import volts_anchor
from .findings import TrailReading

if TYPE_CHECKING:
    from ...circuit.places import Place
    from ..bench import Bench
    from ..readings.findings import ReadingsFindings
    from ..readings.together import Together

_ELECTRODE = (
    r"(?:(?:control|screen|suppressor|osc(?:illator)?)\s+grid|screen|grid(?:\s+[1-5])?|"
    r"(?:osc(?:illator)?\s+)?(?:plate|anode)|cathode|g[1-5]|pin\s+\d{1,2})"
)


def anchors_of_places(text: str, bench: Bench, readings: ReadingsFindings | None) -> dict[str, str]:
    """The places a text names, as it names them, with the ids under which their readings stand."""
    if readings is None:
        return {}
    tubes = {group.tube for group in readings.together}
    named = {said: volts_anchor(tube) for said, tube in _at_tubes(text, bench) if tube in tubes}
    return {**{rail: volts_anchor("") for rail in _rails(readings)}, **named}


def readings_of(text: str, bench: Bench, readings: ReadingsFindings | None) -> Iterator[TrailReading]:
    """What each place that a text names read in every list, in the order of the text."""
    if readings is None:
        return
    by_place: dict[tuple[str, str], Together] = {}
    for group in readings.together:
        for one in group.places:
            if one.spot.current == "DC":
                by_place.setdefault(_identity(one.spot.place), one)
    rails = _rails(readings)
    said = {match[0] for match in _any_of(tuple(rails)).finditer(text)} if rails else set()
    mentions = [*(name for name, _ in _at_tubes(text, bench)), *(rail for rail in rails if rail in said)]
    found = (by_place.get(_identity(bench.circuit.places.read(mention))) for mention in mentions)
    for at in dict.fromkeys(one for one in found if one is not None and one.read):
        anchors = {run.name: run.anchor for run in readings.runs}
        for row in at.read:
            if row.measured_volts is not None and row.run in anchors:
                yield TrailReading(at.spot.place.name(bench.words), row.run, row.measured_volts, anchors[row.run])


def _at_tubes(text: str, bench: Bench) -> Iterator[tuple[str, str]]:
    """Each mention of an electrode with its tube, and the tube's position."""
    positions = tuple(str(position) for position in bench.record.tubes)
    for match in _tube_places(positions).finditer(text) if positions else ():
        yield match[0], match["after"] or match["before"]


def _rails(readings: ReadingsFindings) -> Mapping[str, None]:
    """The rails that were read, as the record names them."""
    return dict.fromkeys(one.spot.tube for group in readings.together if not group.tube for one in group.places)


def _identity(place: Place) -> tuple[str, str]:
    return place.tube, place.key


@lru_cache(maxsize=16)
def _tube_places(positions: tuple[str, ...]) -> re.Pattern[str]:
    any_tube = "|".join(re.escape(one) for one in sorted(positions, key=lambda name: (-len(name), name)))
    before = rf"(?<![\w.+-])(?i:{_ELECTRODE})\s+(?:(?:of|at|on)\s+)?(?P<after>{any_tube})(?![\w+-])"
    behind = rf"(?<![\w.+-])(?P<before>{any_tube})(?:['’]s)?\s+(?i:{_ELECTRODE})(?![\w+-])"
    return re.compile(f"{before}|{behind}")


@lru_cache(maxsize=16)
def _any_of(names: tuple[str, ...]) -> re.Pattern[str]:
    any_name = "|".join(re.escape(name) for name in sorted(names, key=lambda name: (-len(name), name)))
    return re.compile(rf"(?<![\w.+-])(?:{any_name})(?![\w+-])")
