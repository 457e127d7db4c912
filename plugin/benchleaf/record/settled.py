"""What a text's manner settles of a value before it is read: thousands, and numbers without a unit on a part."""

from __future__ import annotations

import re
from collections.abc import Iterable

from ..electrics.preferred import series_values
from .line_values import CENTIMETRES, POINT_FIRST, kind_of_part
from .manner import Manner
from .millions import IN_MILLIONS, OF_ITS_SIZE, megohms_in_m
from .problems import quoted
from .quantities import AmbiguousQuantity, QuantityError, read_any, read_quantity
from .text import Text
from .thousands import COMMA, without_thousands

_BARE = re.compile(r"(?P<sign>[<>~]?\s*)(?P<number>\d+(?:\.\d*)?|\.\d+)\Z", re.ASCII)
_PICOFARADS = 1.11265
"""Picofarads in a centimetre of capacitance: of a sphere of that radius, 4π·ε₀·0.01 m."""
_FROM_TO = re.compile(
    r"(?P<one>\d*[.,]?\d+)(?:\s?(?:uf|µf|mfd|mf))?\s+to\s+(?P<other>\d*[.,]?\d+)\s?(?P<unit>uf|µf|mfd|mf)", re.I
)
"""Microfarads have no range: ``.02 to .022 mfd`` are two capacitors, or one and what it measured."""
_TRIMMER = re.compile(r"(\d[\d.]*)\s?-\s?(\d[\d.]*\s?(?:pf|pfd|mmf|mmfd|uuf|µµf))\Z", re.I)
_BOUNDS = {"capacitance": (0.5e-12, 5e-3), "resistance": (0.05, 1e8), "inductance": (1e-8, 500.0)}
"""What parts of a receiver are made in, in SI (common practice, no source): what lies outside was not meant."""
_WHOLE_OHMS_FROM = 1000
_NUMBER_AND_UNIT = re.compile(r"(?P<number>\d+(?:[.,]\d+)?|[.]\d+)\s*(?P<unit>[a-zA-ZµμΩ ]*)")
_CODE = re.compile(r"(?P<whole>\d{1,3})(?P<letter>[RkKM])(?P<part>\d{1,2})", re.ASCII)
_OF_CODE = {"R": "ohm", "K": "kohm", "M": "megohm"}
"""A value in the code of IEC 60062 with its letter for the point: ``8R2``."""
_M = re.compile(r"(?P<number>\d+(?:[.,]\d+)?|[.]\d+)\s*[Mm]")
_MILS = re.compile(r"(?P<number>[<>~]?\s?(?:\d[\d.,]*|[.]\d+))\s?mils?", re.I)
"""Milliamperes as they are said at an American bench; of a length, thousandths of an inch."""
_DIGITS_AND_K = re.compile(r"(?P<number>(?P<figures>[1-9]\d)(?P<noughts>[1-9]))\s?K", re.ASCII)
_SIZES = ((10**6, "megohm"), (10**3, "kohm"), (1, "ohm"))
_MICROFARADS = frozenset({"uf", "µf", "μf", "mfd", "mfds", "ufd", "mf"})
_LEAST_ELECTROLYTIC, _DRIED = 4.0, 50.0
"""Microfarads from which on a capacitor dries out, and how many times less is then still read (common practice)."""


def settled(written: str, kinds: Iterable[str], manner: Manner) -> tuple[str, str]:
    """The text to be read in place of ``written``, and the remark that this is.

    On an American site, and where the record's decimals tell, a comma before three digits parts thousands. A number
    below 1 with a point is microfarads on a capacitor of an American site, a whole number of 1,000 or more ohms on any
    resistor, and ``M5`` half a megohm. Mils of a current are milliamperes everywhere.
    """
    text = written.strip()
    remark = ""
    if (plain := without_thousands(text, manner.thousands or (COMMA if manner.american else ""))) != text:
        text, remark = plain, f"read as {plain}"
    if "current" in kinds and (mils := _MILS.fullmatch(text)):
        return f"{mils['number']} mA", "“mils” read as milliamperes"
    kind = kind_of_part(manner.part)
    of_ohms = manner.millions and not manner.unit and (kind == "resistance" or [*kinds] == ["resistance"])
    if of_ohms and (meant := megohms_in_m(text)):
        return meant, IN_MILLIONS
    if kind not in kinds or manner.unit:
        return text, remark or manner.unit_remark
    if kind == "capacitance" and (old := CENTIMETRES.fullmatch(text)):
        return _from_centimetres(text, old["number"])
    if kind == "capacitance" and (both := _FROM_TO.fullmatch(text)):
        unit = both["unit"]
        readings = (
            f"was {both['one']} {unit}, now {both['other']} {unit}",
            f"{both['one']} {unit} measured {both['other']} {unit}",
        )
        raise AmbiguousQuantity(text, "a capacitance", "it may say what became of it", readings)
    if kind == "capacitance" and (trimmer := _TRIMMER.match(text)):
        return f"{trimmer[1]} to {trimmer[2]}", remark
    if kind == "resistance" and (code := POINT_FIRST.fullmatch(text)):
        meant = f"0.{code['digits']} {'megohm' if code['unit'] == 'M' else 'kohm'}"
        return meant, f"read as {meant}"
    bare = _BARE.match(text)
    if not bare:
        return text, remark
    number = float(bare["number"])
    if kind == "capacitance" and manner.american and "." in bare["number"] and 0 < number < 1:
        return f"{text} uF", "read as microfarads"
    if kind == "resistance" and number >= _WHOLE_OHMS_FROM and number.is_integer():
        return f"{text} ohm", "read as ohms"
    return text, remark


def _from_centimetres(text: str, written: str) -> tuple[str, str]:
    """A capacitance in centimetres, as parts of the 1930s are marked on the Continent.

    Raises AmbiguousQuantity where a point may part thousands.
    """
    if re.fullmatch(r"\d{1,3}[.,]\d{3}", written):
        plain = re.sub("[.,]", "", written)
        readings = (f"{plain} cm", f"{float(written.replace(',', '.')):g} cm")
        raise AmbiguousQuantity(text, "a capacitance", f"“{written}” may be thousands", readings)
    number = f"{float(written.replace(',', '.')) * _PICOFARADS:.6g}"
    meant = f"{number}{'0' * bool(re.fullmatch(r'[0-9]{1,3}[.][0-9]{3}', number))} pF"  # or its point parts thousands
    return meant, f"read as {meant}, a capacitance in centimetres"


def possible(readings: Iterable[str], kind: str) -> tuple[str, ...]:
    """Those readings of a doubtful value that a part of this kind may have; all where none may."""
    every = tuple(readings)
    low, high = _BOUNDS.get(kind, (0.0, float("inf")))
    return tuple(text for text in every if _within(text, kind, low, high)) or every


def _within(text: str, kind: str, low: float, high: float) -> bool:
    try:
        si = read_quantity(text, kind).si
    except QuantityError:
        return True
    return si is None or low <= abs(si) <= high


def unit_beside(measured: str, value: str) -> str:
    """The unit of a measured number without one, from the value as marked; empty where it would be of another size.

    Of an electrolytic capacitor, microfarads and several of them, much less may be left.
    """
    if code := _CODE.fullmatch(value.strip()):
        value = f"{code['whole']}.{code['part']} {_OF_CODE[code['letter'].upper()]}"
    found = _NUMBER_AND_UNIT.fullmatch(value.strip())
    if not found:
        return ""
    try:
        marked = float(found["number"].replace(",", "."))
        ratio = float(measured.replace(",", ".")) / marked
    except (ValueError, ZeroDivisionError):
        return ""
    unit = found["unit"].strip()
    dries = marked >= _LEAST_ELECTROLYTIC and unit.casefold() in _MICROFARADS
    return unit if (1 / _DRIED if dries else 1 / OF_ITS_SIZE) <= ratio <= OF_ITS_SIZE else ""


def within_times(number: str, value: str, times: float) -> bool:
    """Whether a number without a unit is within so many times that of a value with one."""
    found = _NUMBER_AND_UNIT.match(value.strip())
    try:
        ratio = float(number.replace(",", ".")) / float(found["number"].replace(",", ".")) if found else 0.0
    except (ValueError, ZeroDivisionError):
        return False
    return 1 / times <= ratio <= times


def of_one_size(measured: Text, value: Text) -> bool:
    """Whether a value with its unit may be what was measured of another, by its size."""
    quantities = []
    kinds = ("capacitance", "resistance", "inductance")
    for text in (measured, value):
        try:
            found = read_any(settled(text, kinds, text.manner)[0], kinds)
        except (AmbiguousQuantity, QuantityError):
            return False
        quantities.append(found.si if found else None)
    one, other = quantities
    if not one or not other:
        return False
    dries = value.strip().casefold().endswith(tuple(_MICROFARADS)) and other >= _LEAST_ELECTROLYTIC * 1e-6
    return (1 / _DRIED if dries else 1 / OF_ITS_SIZE) <= one / other <= OF_ITS_SIZE


def alike_without_units(measured: str, value: str) -> bool:
    """Whether a number without a unit may be what was measured of a value, by the value's unit or beside its number."""
    if unit_beside(measured, value):
        return True
    one, other = (_BARE.fullmatch(text.strip()) for text in (measured, value))
    if one is None or other is None or not float(other["number"]):
        return False
    return 1 / OF_ITS_SIZE <= float(one["number"]) / float(other["number"]) <= OF_ITS_SIZE


def doubt_of(value: object, measured: object) -> tuple[str, str, str] | None:
    """What was found of a resistor that may mean two things, what was expected, and the remedy; None of any other."""
    if not isinstance(value, Text):
        return None
    if isinstance(measured, Text) and (both := _in_one_doubt(value, measured)):
        return f"{quoted(str(value))} and {quoted(str(measured))}", "two resistances", both
    code = _as_code_too(value)
    return (quoted(str(value)), "one resistance", code) if code else None


def _in_one_doubt(value: Text, measured: Text) -> str:
    """The one remedy where a resistor's value and what was measured of it have the same doubtful M; empty elsewhere."""
    both = [_M.fullmatch(text.strip()) for text in (value, measured)]
    numbers = [match["number"] for match in both if match]
    told = value.manner.millions and all(megohms_in_m(text.strip()) for text in (value, measured))
    if told or len(numbers) < len(both) or kind_of_part(value.manner.part) != "resistance":
        return ""
    million, thousand = (" and ".join(f"{number} {unit}" for number in numbers) for unit in ("megohm", "kohm"))
    return f"“M” may stand for a million or, on old American sheets, for a thousand: write {million}, or {thousand}"


def _as_code_too(value: Text) -> str:
    """The remedy where a resistor's ``104K`` may be what is printed on it as well as its value; empty elsewhere.

    Two digits, noughts and ±10 % (IEC 60062), or thousands. A preferred value is nothing else: ``470K``, ``221K``.
    """
    code = _DIGITS_AND_K.fullmatch(value.strip())
    if code is None or kind_of_part(value.manner.part) != "resistance":
        return ""
    if int(code["figures"]) not in series_values("E24") or int(code["number"]) in series_values("E96"):
        return ""
    ohms = int(code["figures"]) * 10 ** int(code["noughts"])
    size, unit = next((size, unit) for size, unit in _SIZES if ohms >= size)
    return (
        f"three digits and K on a resistor may be two digits, noughts and ±10 %, or thousands: write "
        f"{ohms / size:g} {unit} 10 %, or {code['number']} kohm"
    )
