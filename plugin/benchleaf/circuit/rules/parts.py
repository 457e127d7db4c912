"""What is written of parts and cannot be so, each a Problem at its place. A part’s condition is a finding instead."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from ...record.kinds import BY_UNIT
from ...record.part_types import OTHER_TYPES, UNPOLARISED_TYPES
from ...record.problems import one_of, quoted
from ...record.quantities import Quantity
from ...record.sections.parts import Component, Part, PartSection
from ...record.text import line_column_of
from ...record.trade_words import REPLACED
from ...record.work_days import PART_DAYS

if TYPE_CHECKING:
    from ...record.model import Record
    from ...record.slips import Found, Slips
    from ...record.text import Text

_BY_LETTER = {"C": "F", "VC": "F", "TC": "F", "R": "ohm", "VR": "ohm", "RV": "ohm"}
_NAME = re.compile(r"(VC|TC|VR|RV|C|R|L)\s*\d", re.I)
_TOLERANCES = (0.0005, 0.001, 0.0025, 0.005, 0.01, 0.02, 0.025, 0.03, 0.05, 0.1, 0.2, 0.3, 0.5)
_OUTPUT = re.compile(
    r"\b(?:output|speaker|voice coil|o\.?p\.?t|o\.?t)\b|\b(?:udgang|utgång|ausgang|uitgang|sortie|salida)", re.I
)
_LEAST_WIRE_OHMS, _MOST_WIRE_OHMS = 20.0, 1000.0
"""Between these lies the resistance of an output transformer's primary (common practice, no source)."""
_MATCHING = "job output transformer 5 kohm to 3.2 ohm"
_SIDES = ("sheet", "was", "now")


def look_over(record: Record, slips: Slips) -> None:
    """Tell every contradiction in the record's parts."""
    for name, part in record.parts.items():
        told: set[object] = set()
        for at, field, what, expected, remedy in _of_part(str(name), part):
            place = (line_column_of(at), field) if line_column_of(at) else None
            if place is not None and place in told:
                continue  # Two rules, one slip: a unit that neither its name nor the old part allows.
            told.add(place)
            slips.add(at if line_column_of(at) else name, f"parts.{name}.{field}", what, expected, remedy)


_BOUGHT_BY_NUMBER = ("L", "T")
"""Letters of parts whose new one may be said by its maker's number alone."""


def _of_part(name: str, part: Part) -> Iterator[Found]:
    for where, field in _places(part):
        for side in _SIDES:
            components: tuple[Component, ...] = getattr(where, side)
            couplate = len(components) > 1 or any(c.type == "couplate" for c in components)
            for component in components:
                yield from _units(name, component, f"{field}{side}", of_any_kind=couplate)
        yield from _new_part(where, f"{field}now", by_number=name[:1].upper() in _BOUGHT_BY_NUMBER)
        if name[:1].upper() == "T":
            yield from _matched(where, where.job or part.job, (*where.was, *where.sheet), field)
        yield from _kinds_agree(where, field)
        yield from _polarity(where, field)
    yield from _counts(part)
    yield from _kept_and_replaced(part)
    yield from _dates(part)


def _places(part: Part) -> Iterator[tuple[Part | PartSection, str]]:
    """The part itself and its sections, with what a field's name begins with there."""
    yield part, ""
    for key, section in part.sections.items():
        yield section, f"sections.{key}."


def _units(name: str, component: Component, field: str, *, of_any_kind: bool) -> Iterator[Found]:
    """A unit that the part's name rules out, and a measured value of another kind than the marked one."""
    value, measured = component.value, component.measured
    letter = _NAME.match(name)
    stated = value or (measured if measured and measured.si is not None else None)
    wanted = _BY_LETTER.get(letter[1].upper()) if letter else None
    if stated and wanted and stated.unit != wanted and not of_any_kind:
        because = f"{BY_UNIT[wanted].noun}, for a name that begins with {letter[1]}" if letter else ""
        yield stated, field, _told(stated), because, "check the unit, or the part’s name"
    elif letter and letter[1].upper() == "L" and stated and stated.unit == "F" and not of_any_kind:
        expected = "an inductance or a winding’s resistance, for a name that begins with L"
        yield stated, field, _told(stated), expected, "check the unit, or the part’s name"
    if not value or not measured or measured.si is None or value.unit == measured.unit:
        return
    if (value.unit, measured.unit) != ("H", "ohm"):
        expected = f"{BY_UNIT[value.unit].noun}, as {quoted(value.written)} is one"
        yield measured, f"{field}.measured", _told(measured), expected, "check the unit"


def _matched(
    where: Part | PartSection, job: Text | None, components: tuple[Component, ...], field: str
) -> Iterator[Found]:
    """Ohms of an output transformer that may be what it matches and not what its wire has."""
    value = components[0].value if components else None
    said = " ".join(filter(None, (job, where.note, components[0].note if components else None)))
    if value is None or value.unit != "ohm" or not value.si or not _OUTPUT.search(said):
        return
    if _LEAST_WIRE_OHMS <= value.si < _MOST_WIRE_OHMS:
        return
    expected = f"{quoted(f'measured {value.written}')} for its wire, or what it matches, as in {quoted(_MATCHING)}"
    yield value, f"{field}was", f"{quoted(value.written)} of an output transformer", expected, "write which it is"


def _new_part(where: Part | PartSection, field: str, *, by_number: bool) -> Iterator[Found]:
    for component in where.now:
        of_no_value = (by_number and component.note) or {
            str(c.type or "") for c in (*where.was, *where.sheet, component)
        } & set(OTHER_TYPES)
        by_what = str(component.note or "").casefold() not in REPLACED
        if not _has_value(component) and component.condition != "none" and not of_no_value and by_what:
            words = [w for w in (component.type, component.class_, component.condition) if w]
            written: Quantity | None = component.volts or component.watts or component.tolerance
            at = written or (words[0] if words else None)
            said = quoted(written.written) if written else quoted(words[0]) if words else "nothing"
            yield at, field, f"{said} without a value", "the new part’s value, such as “10 nF”", ""
        tolerance = component.tolerance
        if tolerance and tolerance.si is not None and not _is_made(abs(tolerance.si)):
            expected = "a tolerance that parts are made to (IEC 60062), such as 1, 2, 5, 10 or 20 %"
            yield tolerance, f"{field}.tolerance", quoted(tolerance.written), expected, ""


def _has_value(component: Component) -> bool:
    """Whether a component says what it is: its value, marked or measured, or the amperes of a fuse."""
    return any(entry is not None for entry in (component.value, component.measured, component.amps))


def _is_made(tolerance: float) -> bool:
    return any(abs(tolerance - made) < 1e-9 for made in _TOLERANCES)


def _kinds_agree(where: Part | PartSection, field: str) -> Iterator[Found]:
    """A new part of another kind than the old one."""
    listed = [getattr(where, side) for side in _SIDES]
    if any(len(components) > 1 for components in listed):
        return
    values = [(side, c[0].value) for side, c in zip(_SIDES, listed, strict=True) if c and c[0].value]
    if len(values) < 2 or values[0][1].unit == values[-1][1].unit:
        return
    first, last = values[0], values[-1]
    expected = f"{BY_UNIT[first[1].unit].noun}, as in “{first[0]} {first[1].written}”"
    yield last[1], f"{field}{last[0]}", _told(last[1]), expected, "check the unit"


def _polarity(where: Part | PartSection, field: str) -> Iterator[Found]:
    """Polarity belongs to a part that has one."""
    fitted = next((c for c in (*where.now[:1], *where.was[:1]) if c.type), None)
    kind = fitted.type.casefold() if fitted and fitted.type else ""
    if where.positive and kind in UNPOLARISED_TYPES:
        found = f"{quoted(where.positive)} on a {kind} part"
        remedy = "for a wound part write “outside foil”" if "film" in kind or "paper" in kind or "poly" in kind else ""
        yield where.positive, f"{field}positive", found, "no polarity: this part has none", remedy


def _counts(part: Part) -> Iterator[Found]:
    """As many components as sections; without sections one old and one new, or as many of each."""
    if part.sections:
        names = ", ".join(map(str, part.sections))
        for side in _SIDES:
            components: Sequence[Component] = getattr(part, side)
            own = [key for key, s in part.sections.items() if getattr(s, side)]
            if components and own:
                found = f"{quoted(side)} for the whole part and again in section {one_of(own)}"
                yield _at(components[0]), side, found, "it in one of the two places", ""
            elif components and len(components) != len(part.sections):
                expected = f"{len(part.sections)}, one for each section ({names})"
                yield _at(components[0]), side, _counted(components), expected, ""
        return
    old = part.was or part.sheet
    if old and part.now and len(old) != len(part.now):
        expected = f"{len(old)}, as many as there were"
        remedy = "name the sections of one can under “sections”, or give each part a name of its own"
        yield _at(part.now[0]), "now", _counted(part.now), expected, remedy


def _kept_and_replaced(part: Part) -> Iterator[Found]:
    for where, field in _places(part):
        state = str(where.state or "")
        if state in ("keep", "reformed") and where.now:
            found = f"{quoted(state)} and a new part"
            yield where.state, f"{field}state", found, "a part that is kept or one that is new", ""
        components = (*where.was, *where.sheet)
        if state in ("reform", "reformed") and components and components[0].kind in ("resistor", "inductor"):
            found = f"{quoted(state)} for a {components[0].kind}"
            yield where.state, f"{field}state", found, "it for an electrolytic capacitor only", ""


def _dates(part: Part) -> Iterator[Found]:
    """Ordered, tested, fitted, checked: in this order."""
    known = [(key, day) for key in PART_DAYS if (day := getattr(part, key))]
    for (before, first), (after, second) in pairwise(known):
        if second < first:
            expected = f"a day not before {quoted(before)}, {first.isoformat()}"
            yield None, after, quoted(second.isoformat()), expected, "check both dates"


def _told(value: Quantity) -> str:
    return f"{quoted(value.written)}, {BY_UNIT[value.unit].noun}"


def _counted(components: Sequence[Component]) -> str:
    return "1 value" if len(components) == 1 else f"{len(components)} values"


def _at(component: Component) -> Quantity | None:
    return component.value or component.measured
