"""What is written of the heater supply and cannot be so, each a Problem at its place.

A mixed string or a sum above the line is a finding instead.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from ...record.problems import Problem, one_of, quoted
from ...record.quantities import Quantity
from ...record.section import Section
from ...record.text import NOWHERE, Place, Text, place_of
from ..heater_names import DROPPER, LAMP, is_lamp, piece_named, position

if TYPE_CHECKING:
    from ...record.model import Record
    from ...record.sections.heaters import HeaterSupply

_MAY_BE_ZERO = frozenset(("heaters.measured", "heaters.mains taps", "heaters.cathode currents"))
_Found = tuple[Place | None, str, str, str, str]
"""Place, field, found, expected, remedy."""


def problems(record: Record, file: str) -> list[Problem]:
    """Every contradiction in the record's heater supply, in the order of the file.

    ``file`` is the name that the problems carry.
    """
    supply = record.heaters
    if supply is None:
        return []
    found = [*_values(supply, "heaters"), *_names(record, supply), *_pairs(supply)]
    return sorted({Problem.at(file, place or NOWHERE, *told) for place, *told in found})


def _values(section: Section, field: str) -> Iterator[_Found]:
    """Every quantity below ``section``: above zero, or not below it where zero is a value."""
    for name, value in section:
        inner = f"{field}.{name.replace('_', ' ')}"
        if isinstance(value, Section):
            yield from _values(value, inner)
        elif isinstance(value, Quantity):
            yield from _value(value, inner)
        elif isinstance(value, Mapping):
            for key, entry in value.items():
                at = f"{field}.{key}" if name == "volts" else f"{inner}.{key}"
                if isinstance(entry, Section):
                    yield from _values(entry, at)
                elif isinstance(entry, Quantity):
                    yield from _value(entry, at)


def _value(value: Quantity, field: str) -> Iterator[_Found]:
    size = value.si if value.si is not None else value.low
    if size is None:
        return
    if size < 0:
        yield value.place, field, quoted(value.written), "a value above zero", "leave the sign out"
    elif size == 0 and not field.startswith(tuple(_MAY_BE_ZERO)):
        yield value.place, field, quoted(value.written), "a value above zero", "leave it out where there is none"


def _names(record: Record, supply: HeaterSupply) -> Iterator[_Found]:
    """Names in the maps and the second string that lead to no tube, or to one tube twice."""
    tubes = [str(p) for p in record.tubes]
    for name in supply.shunts:
        words = [w for w in str(name).replace(",", " ").split() if w.casefold() not in ("tap", "and", "+")]
        if not is_lamp(str(name)) and (not words or any(position(w, tubes) is None for w in words)):
            yield place_of(name), "heaters.shunts", quoted(name), "tubes of the set, “V5 tap” or “lamp”", ""
    for name in supply.cathode_currents:
        if position(str(name), tubes) is None:
            yield place_of(name), "heaters.cathode currents", quoted(name), "a position listed under tubes", ""
    yield from _second(supply, tubes)
    if supply.diode_in_place_of:
        from ...tubes import find

        named = supply.diode_in_place_of
        if find(str(named)) is None:
            yield place_of(named), "heaters.diode in place of", quoted(named), "a type in the tube table", ""


def _second(supply: HeaterSupply, tubes: list[str]) -> Iterator[_Found]:
    first = {piece_named(str(n), tubes) for n in supply.order or ()} - {DROPPER, LAMP}
    seen: set[str] = set()
    field = "heaters.second string"
    for name in supply.second_string or ():
        piece = piece_named(str(name), tubes)
        if piece is None:
            yield place_of(name), field, quoted(name), f"a position listed under tubes: {one_of(tubes)}", ""
        elif piece in first or piece in seen:
            yield place_of(name), field, f"{quoted(name)} a second time", "each heater once", "delete one of them"
        else:
            seen.add(piece)


def _pairs(supply: HeaterSupply) -> Iterator[_Found]:
    """Values that do not go together."""
    if supply.ntc and (supply.ntc.hot.si or 0) >= (supply.ntc.cold.si or 0) > 0:
        hot = supply.ntc.hot
        yield hot.place, "heaters.ntc.hot", quoted(hot.written), "fewer ohms hot than cold", "check both values"
    for field, dropper in (("dropper", supply.dropper), ("second dropper", supply.second_dropper)):
        if dropper is None:
            continue
        name: Text = dropper.kind
        if dropper.shared and dropper.ohms and (dropper.shared.si or 0) > (dropper.ohms.si or 0):
            shared = dropper.shared
            expected = f"no more than the whole dropper, {dropper.ohms.written}"
            yield shared.place, f"heaters.{field}.shared", quoted(shared.written), expected, ""
        if dropper.kind == "barretter" and (dropper.volts is None or dropper.volts.low is None or not dropper.amps):
            expected = "its range of volts and its current, such as “barretter 95-165 V 0.3 A”"
            yield place_of(name), f"heaters.{field}", quoted(name), expected, ""
        if dropper.kind in ("resistor", "resistance cord", "ballast") and dropper.farads:
            written = dropper.farads.written
            yield dropper.farads.place, f"heaters.{field}", f"{quoted(written)} on a {name}", "ohms or watts", ""
