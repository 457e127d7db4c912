"""Places in the set: which tube, which electrode or pin, which rail."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from ...record.problems import one_of, quoted
from ...record.slips import Slips, near
from .tubes import POSITION

if TYPE_CHECKING:
    from ...record.model import Record
    from ...record.sections.readings import Reading
    from ...record.text import Text
    from ...tubes import Tube

_CONDITIONS = ("line", "meter", "to")
_UNKNOWN_BASE_PINS = 14


def look_over(record: Record, tubes: Mapping[str, Tube], slips: Slips) -> None:
    """Readings and the ends of parts name tubes of the set and their electrodes; a rail may have any name."""
    for run_name, run in record.readings.items():
        for name, points in run.points.items():
            field = f"readings.{run_name}"
            if name in record.tubes:
                _points(tubes.get(str(name)), points, f"{field}.{name}", slips)
            elif _looks_like_tube(name, record) or any(point.at for point in points):
                expected = f"{POSITION}, or a rail with one value"
                slips.add(name, field, quoted(name), expected, near(name, [*record.tubes, *_CONDITIONS]))
    for place, field in _ends(record):
        _place(place, record, tubes, field, slips)


def _points(tube: Tube | None, points: tuple[Reading, ...], field: str, slips: Slips) -> None:
    """The readings of one tube: electrodes it has, each once, whatever word is used for it."""
    seen: dict[object, Text] = {}
    for point in points:
        if not point.at:
            expected = "an electrode and its volts, such as “plate 92.4”"
            slips.add(point.at, field, "a value with no electrode", expected)
            continue
        key = _electrode(tube, point.at, point.at, field, slips)
        if key is not None and key in seen:
            slips.add(point.at, field, f"{quoted(point.at)}, which is {quoted(seen[key])} again", "each electrode once")
        elif key is not None:
            seen[key] = point.at


def _electrode(tube: Tube | None, word: Text, at: Text, field: str, slips: Slips) -> object:
    """What tells one electrode of a tube from another; None, and a slip, where it has no such electrode or pin."""
    from ...tubes import PIN_COUNT, Electrode, electrode

    if tube is None:
        return None
    if word.isdigit():
        most = PIN_COUNT.get(tube.base or "", _UNKNOWN_BASE_PINS)
        if not (len(word) < 3 and 1 <= int(word) <= most):
            slips.add(at, field, f"pin {word[:9]}", f"pins 1 to {most}: the {tube.type} has {most}")
        return None
    found = electrode(tube, str(word))
    if isinstance(found, Electrode):
        return found.key, found.pins
    offered = one_of(found.offered) if found.offered else "its own"
    remedy = f"did you mean {quoted(found.nearest[0])}?" if found.nearest else ""
    what = f"{quoted(word)}, which a {tube.type} has more than one of" if found.reason == "several" else quoted(word)
    slips.add(at, field, what, f"an electrode of a {tube.type}: {offered}", remedy)
    return None


def _ends(record: Record) -> Iterator[tuple[Text | None, str]]:
    """Every place that a part or change lies at, with the field that names it."""
    for name, part in record.parts.items():
        field = f"parts.{name}"
        yield from ((place, f"{field}.between") for place in part.between or ())
        yield part.outside_foil, f"{field}.outside foil"
        yield part.positive, f"{field}.positive"
        for section_name, section in part.sections.items():
            inner = f"{field}.sections.{section_name}"
            yield from ((place, f"{inner}.between") for place in section.between or ())
            yield section.positive, f"{inner}.positive"
    for name, change in record.changes.items():
        yield from ((place, f"changes.{name}.between") for place in change.between or ())


def _place(place: Text | None, record: Record, tubes: Mapping[str, Tube], field: str, slips: Slips) -> None:
    """``V3 plate`` must be a tube of the set and an electrode of it."""
    if not place:
        return
    first, _, rest = str(place).partition(" ")
    if first in record.tubes:
        if rest.strip():
            word = place.cut(len(first))
            _electrode(tubes.get(first), word, word, field, slips)
    elif record.tubes and _looks_like_tube(first, record):
        slips.add(place.cut(0, len(first)), field, quoted(first), POSITION, near(first, record.tubes))


def _looks_like_tube(name: str, record: Record) -> bool:
    """True for a name with the letters that this record's positions have: ``V9`` where there are V1 to V5."""
    match = re.fullmatch(r"([A-Za-z]+)\d+", name)
    return bool(match) and match[1] in {re.sub(r"\d.*", "", t, flags=re.S) for t in record.tubes} if match else False
