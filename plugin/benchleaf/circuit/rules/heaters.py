"""What is written of the heater supply and cannot be so, each a Problem at its place.

A mixed string or a sum above the line is a finding instead.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from ...record.problems import quoted
from ...record.quantities import Quantity
from ...record.section import Section
from ...record.text import Text
from ..heater_names import is_lamp, position

if TYPE_CHECKING:
    from ...record.model import Record
    from ...record.sections.dropper import NewDropper
    from ...record.sections.heaters import HeaterSupply
    from ...record.slips import Found, Slips

_MAY_BE_ZERO = frozenset(("heaters.measured", "heaters.mains taps", "heaters.cathode currents"))


def look_over(record: Record, slips: Slips) -> None:
    """Tell every contradiction in the record's heater supply."""
    if record.heaters:
        slips.add_all(_values(record.heaters, "heaters"))
        slips.add_all(_names(record, record.heaters))
        slips.add_all(_pairs(record.heaters))


def _values(section: Section, field: str) -> Iterator[Found]:
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


def _value(value: Quantity, field: str) -> Iterator[Found]:
    size = value.si if value.si is not None else value.low
    if size is None:
        return
    if size < 0:
        yield value, field, quoted(value.written), "a value above zero", "leave the sign out"
    elif size == 0 and not field.startswith(tuple(_MAY_BE_ZERO)):
        yield value, field, quoted(value.written), "a value above zero", "leave it out where there is none"


def _names(record: Record, supply: HeaterSupply) -> Iterator[Found]:
    """Names in the maps and the second string that lead to no tube, or to one tube twice."""
    tubes = [str(p) for p in record.tubes]
    for name in supply.shunts:
        words = [w for w in str(name).replace(",", " ").split() if w.casefold() not in ("tap", "and", "+")]
        if not is_lamp(str(name)) and (not words or any(position(w, tubes) is None for w in words)):
            yield name, "heaters.shunts", quoted(name), "tubes of the set, “V5 tap” or “lamp”", ""
    for name in supply.cathode_currents:
        if position(str(name), tubes) is None:
            yield name, "heaters.cathode currents", quoted(name), "a position listed under tubes", ""
    if supply.diode_in_place_of:
        named = supply.diode_in_place_of
        if record.tube_table.find(str(named)) is None:
            yield named, "heaters.diode in place of", quoted(named), "a type in the tube table", ""


def _pairs(supply: HeaterSupply) -> Iterator[Found]:
    """Values that do not go together."""
    if supply.ntc and (supply.ntc.hot.si or 0) >= (supply.ntc.cold.si or 0) > 0:
        hot = supply.ntc.hot
        yield hot, "heaters.ntc.hot", quoted(hot.written), "fewer ohms hot than cold", "check both values"
    for field, dropper in (("dropper", supply.dropper), ("second dropper", supply.second_dropper)):
        if dropper is None:
            continue
        name: Text = dropper.kind
        if dropper.shared and dropper.ohms and (dropper.shared.si or 0) > (dropper.ohms.si or 0):
            shared = dropper.shared
            expected = f"no more than the whole dropper, {dropper.ohms.written}"
            yield shared, f"heaters.{field}.shared", quoted(shared.written), expected, ""
        if dropper.kind == "barretter" and (dropper.volts is None or dropper.volts.low is None or not dropper.amps):
            expected = "its range of volts and its current, such as “barretter 95-165 V 0.3 A”"
            yield name, f"heaters.{field}", quoted(name), expected, _of_type(dropper)
        if dropper.kind in ("resistor", "resistance cord", "ballast") and dropper.farads:
            written = dropper.farads.written
            yield dropper.farads, f"heaters.{field}", f"{quoted(written)} on a {name}", "ohms or watts", ""


def _of_type(dropper: NewDropper) -> str:
    """What a barretter of the written type holds, for the writer to hold against the glass."""
    from ...tubes.barretter_types import barretter_type

    written = dropper.type or dropper.note  # ``barretter C1`` has its type where a note would stand
    known = barretter_type(str(written)) if written else None
    if known is None:
        return ""
    line = f"barretter {known.low_volts:g}-{known.high_volts:g} V {known.amps:g} A, type {known.type}"
    return f"for a {known.type} that is {quoted(line)} ({known.source.title})"
