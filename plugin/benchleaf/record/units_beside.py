"""Values of a part without a unit that what stands beside them settles: its volts, its kind, what was there before."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from .line_values import BARE_NUMBER, WOUND, kind_of_part, ohms_of_wire
from .problems import quoted
from .settled import of_one_size, unit_beside
from .text import Entries, Listing, Text
from .trade_words import TYPES

_BELOW_ONE = re.compile(r"0?[.]\d+|0,\d+")
_IN_MEG = re.compile(r"[.\d][.,\d]*\s?(?:meg\w*|M[\s-]?ohms?|MΩ)", re.I)
_COMMA = re.compile(r"(?P<whole>\d{1,3}),(?P<part>\d{3})(?P<unit>\s?[^\W\d].*)")
_IN_M = re.compile(r"(?P<number>[.\d][.,\d]*)\s?M")
_IN_K = re.compile(r"(?P<k>[.\d][.\d]*)\s?[kK](?:\s?ohms?|\s?Ω)?|(?P<ohms>\d{1,3},\d{3}|\d{4,6})(?:\s?ohms?|\s?Ω)?")
_DRIFTS = 10.0
"""How many times its value a resistor may have drifted to and its M still be told from thousands (common practice)."""
_IN_OHMS = re.compile(r"[<>]?\s?[.\d][.,\d]*\s?(?:k|meg|kil|M)?(?:ohms?|Ω)", re.I)
_ELECTROLYTIC, _PAPER = "electrolytic", "paper"
_ELECTROLYTICS_ALONE = 70
"""Working volts up to which a receiver has electrolytic capacitors and no others (common practice, no source)."""
_SMALL_ONES = frozenset({"mica", "silver mica", "ceramic", "polystyrene", "air", "trimmer"})
_LEAST_OF_THE_SMALL, _MOST_MICROFARADS, _MOST_VOLTS_OF_LARGE = 10, 200, 450
"""A number with its working volts and no kind of small capacitors beside it is microfarads below ten, and up to 200
where it stands no more volts than large ones do (common practice, no source)."""
_CATHODE = re.compile(r"(?:\bcath(?:ode)?|\bkathode|\bk)(?!\w)", re.I)
_OF_A_SUPPLY = re.compile(r"\A(?!.*\b(?:RF|HF|R\.F\.)(?!\w)).*\b(?:field|choke|filt(?:er)?|smoothing)\b", re.I)
_FED = re.compile(r"(?:b|ht)\s?(?:\+|plus|\d|$)|.*\b(?:plate|anode|screen|osc|p|a|s|g2)(?!\w)", re.I)
"""Ends that a cathode has a bleeder from, of many thousand ohms."""
_OHMS_OF_A_CATHODE = re.compile(r"[2-9]\d|[1-9]\d{2}|[1-4]\d{3}")
_AND = re.compile(r"\s*,\s+|\s+(?:and|&)\s+", re.I)
_MICROFARADS = ("uF", "read as microfarads")


def in_units(table: Entries) -> Entries:
    """A component's table with the units that are plain from the rest of it.

    Below 1 before working volts, ``0.1/350``, a capacitor's value is microfarads, and so is that of an electrolytic
    one; what was measured is of the unit of the value, where it is of its size.
    """
    wire = table.get(Text("measured"))
    if isinstance(wire, Text) and not wire.manner.unit and ohms_of_wire(wire):
        table[Text("measured")] = wire.in_unit("ohm", "read as ohms of its wire")
    value, measured = table.get(Text("value")), table.get(Text("measured"))
    if isinstance(value, Text) and isinstance(measured, Text) and (comma := _COMMA.fullmatch(measured)):
        told = f"{quoted(measured)} read with a decimal comma, by {quoted(value)}"
        point = measured.taken_as(f"{comma['whole']}.{comma['part']}{comma['unit']}", told)
        if of_one_size(point, value) and not of_one_size(measured, value):
            measured = table[Text("measured")] = point
    if isinstance(value, Text) and _is_in_microfarads(value, table):
        value = table[Text("value")] = value.in_unit(*_MICROFARADS)
    if isinstance(measured, Text) and _is_a_path(measured, table):
        leaked = Entries(measured.place, measured)
        leaked[Text("ohms", measured.place)] = measured.taken_as(str(measured))
        table[Text("leakage", measured.place)] = leaked
        del table[Text("measured")]
        return table
    if isinstance(value, Text) and isinstance(measured, Text):
        _in_the_same_megohms(table, value, measured)
        _in_the_same_thousands(table, value, measured)
    if not (isinstance(value, Text) and isinstance(measured, Text) and BARE_NUMBER.match(measured)):
        return table
    unit = value.manner.unit if BARE_NUMBER.match(value) else unit_beside(measured, value)
    if unit and unit_beside(measured, f"{value} {unit}" if BARE_NUMBER.match(value) else value):
        table[Text("measured")] = measured.in_unit(unit)
    return table


def _is_a_path(measured: Text, table: Entries) -> bool:
    """Whether what was measured of a capacitor is ohms, those that it leaks through: ``shorted, reads 90 ohm``."""
    of_capacitor = kind_of_part(measured.manner.part) == "capacitance" and Text("leakage") not in table
    return of_capacitor and _IN_OHMS.fullmatch(measured.strip()) is not None


def _in_the_same_megohms(table: Entries, value: Text, measured: Text) -> None:
    """``1,2 M`` measured of a part marked ``1 Meg`` has its unit."""
    marked, read = _IN_MEG.fullmatch(value.strip()), _IN_M.fullmatch(measured.strip())
    if marked and read and unit_beside(read["number"], value):
        meant = measured.taken_as(f"{read['number']} megohm")
        table[Text("measured")] = meant.in_unit("megohm", f"read for “{measured}”, as the marked value is")


def _in_the_same_thousands(table: Entries, value: Text, measured: Text) -> None:
    """``50M`` of a resistor that measured 54k are thousands, as on old American sheets."""
    marked, read = _IN_M.fullmatch(value.strip()), _IN_K.fullmatch(measured.strip())
    if not (marked and read) or value.manner.millions or kind_of_part(value.manner.part) != "resistance":
        return
    kilohms = float(read["k"]) if read["k"] else float(read["ohms"].replace(",", "")) / 1000
    number = float(marked["number"].replace(",", "."))
    if number and 1 / _DRIFTS <= kilohms / number <= _DRIFTS:
        meant = value.taken_as(f"{marked['number']} kohm")
        table[Text("value")] = meant.in_unit("kohm", f"read for “{value}”: it measured {measured}")


def _is_in_microfarads(value: Text, table: Mapping[Any, Any]) -> bool:
    if kind_of_part(value.manner.part) != "capacitance" or not BARE_NUMBER.match(value) or value.manner.unit:
        return False
    volts = table.get(Text("volts"))
    if _BELOW_ONE.fullmatch(value):
        # Of paper none is made in picofarads.
        kind = str(table.get(Text("type"), "")).casefold()
        return volts is not None or TYPES.get(kind, kind) == _PAPER
    low = re.match(r"\d+", volts) if isinstance(volts, Text) and re.fullmatch(r"\d{1,4}", value.strip()) else None
    if low and int(low[0]) <= _ELECTROLYTICS_ALONE:
        return True
    said = str(table.get(Text("type"), "")).casefold()
    kind = TYPES.get(said, said)
    if kind == _ELECTROLYTIC:
        return True
    whole = re.fullmatch(r"\d{1,3}(?:[.,]\d{1,2})?", value.strip())
    rated = re.match(r"\d{2,4}", volts) if isinstance(volts, Text) else None
    if whole is None or rated is None or kind in _SMALL_ONES:
        return False
    size = float(value.strip().replace(",", "."))
    return size < _LEAST_OF_THE_SMALL or (size <= _MOST_MICROFARADS and int(rated[0]) <= _MOST_VOLTS_OF_LARGE)


def of_a_coil(table: Entries) -> Entries:
    """The table of a field coil or a choke of the supply whose number without a unit is the ohms of its wire."""
    for side in ("sheet", "was", "now"):
        for one in _components(table, side):
            value = one.get(Text("value"))
            said = f"{table.get(Text('job'), '')} {one.get(Text('type'), '')}"
            bare = isinstance(value, Text) and value.manner.part in WOUND and not value.manner.unit
            if isinstance(value, Text) and bare and BARE_NUMBER.match(value) and _OF_A_SUPPLY.search(said):
                one[Text("value")] = value.in_unit("ohm", "read as ohms of its wire")
    return table


def of_a_cathode(table: Entries) -> Entries:
    """A part's table whose resistor from a cathode to what feeds no current has ohms, whole ones without a unit.

    None has so many thousands there, nor where it limits a surge (common practice, no source).
    """
    ends = table.get(Text("between"))
    parted = _AND.split(ends) if isinstance(ends, Text) else ends
    names = [str(end) for end in parted] if isinstance(parted, list) else []
    of_cathode = len(names) == 2 and any(map(_CATHODE.search, names)) and not any(map(_FED.match, names))
    if not of_cathode and "surge" not in str(table.get(Text("job"), "")).casefold():
        return table
    for side in ("sheet", "was", "now"):
        for one in _components(table, side):
            value = one.get(Text("value"))
            bare = isinstance(value, Text) and kind_of_part(value.manner.part) == "resistance"
            if isinstance(value, Text) and bare and not value.manner.unit and _OHMS_OF_A_CATHODE.fullmatch(value):
                one[Text("value")] = value.in_unit("ohm", "read as ohms: none here has thousands")
    return table


def now_in_units(table: Entries, before: tuple[str, ...]) -> Entries:
    """A part's table in which what stands there now has the unit of what was there, where it is of its size."""
    for fitted in _components(table, "now"):
        value = fitted.get(Text("value"))
        marked = [one.get(Text("value")) for side in before for one in _components(table, side)]
        read = _IN_M.fullmatch(value.strip()) if isinstance(value, Text) else None
        if read and isinstance(value, Text) and any(_is_in_meg(read["number"], one) for one in marked):
            meant = value.taken_as(f"{read['number']} megohm")
            fitted[Text("value")] = meant.in_unit("megohm", f"read for “{value}”, as the marked value is")
            continue
        if not (isinstance(value, Text) and BARE_NUMBER.match(value) and not value.manner.unit):
            continue
        units = {unit_beside(value, one) for one in marked if isinstance(one, Text)}
        if len(units) == 1 and (unit := units.pop()):
            fitted[Text("value")] = value.in_unit(unit, f"read as {value} {unit}")
    return table


def _is_in_meg(number: str, marked: object) -> bool:
    """Whether a number of M is of the size of a value that is marked in megohms."""
    return isinstance(marked, Text) and bool(_IN_MEG.fullmatch(marked.strip()) and unit_beside(number, marked))


def _components(table: Entries, side: str) -> list[Entries]:
    listed = table.get(Text(side))
    return [one for one in listed if isinstance(one, Entries)] if isinstance(listed, Listing) else []
