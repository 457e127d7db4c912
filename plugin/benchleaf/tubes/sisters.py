"""Types that are one system with another heater or base: 6SK7 and 12SK7, ECH81 and UCH81, 41 and 6K6GT.

By their designations (`sisters`): those that differ in the heater's part only are mostly identical but for the heater,
with exceptions among output types (Wikipedia, Mullard-Philips tube designation, and vacuum tubes of the RMA system).
One page of General Electric's ET-T891A serves 3BE6, 4BE6, 6BE6 and 12BE6 so. Exceptions (14A5 and 7A5) take another
heating power: only types whose heaters take the same power are sisters here.

By name (`kin.csv`): types of other numbers, each row with the source that says so.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from typing import Literal

from benchleaf.tubes.tables import CsvRow, read_table, type_rows

__all__ = ["Relative", "relatives", "same_heat", "sisters"]

_AMERICAN = re.compile(r"(\d{1,2})(S?[A-Z]{1,2}\d{1,2})(?:GT?)?")
_EUROPEAN = re.compile(r"([A-Z])([A-Z]{1,3}\d{1,3})")
_FAMILIES = ({"6", "12"}, {"7", "14"}, {"E", "P", "U", "H"}, {"A", "C"})
_OUTPUT_OR_SUPPLY = re.compile(r"output|rectifier")
_SAME_HEAT = 0.08
"""Heaters of one system were made for round volts and amperes: UABC80 2.85 W, EABC80 3.02 W."""

Shares = Literal["system", "triode", "pins"]
_SHARES: dict[str, frozenset[Shares]] = {
    "system": frozenset({"system", "triode", "pins"}),
    "triode": frozenset({"triode"}),
    "pins": frozenset({"pins"}),
}


@dataclass(frozen=True, slots=True)
class Relative:
    """Another type, and what it shares: the whole ``system``, one ``triode``, or where its ``pins`` lead."""

    type: str
    shares: frozenset[Shares]


@cache
def relatives(type_: str) -> tuple[Relative, ...]:
    """The types that share a system, a triode or the pins with this one, by designation first, then by name.

    Kin of kin counts where both share the whole system: 2A5 is a 42, and that a 6F6.
    """
    found = {name: Relative(name, _SHARES["system"]) for name in sisters(type_)}
    waiting = [type_, *found]
    while waiting:
        here = waiting.pop(0)
        for name, shares in _kin().get(here, ()):
            if name != type_ and name not in found and (here == type_ or "system" in shares):
                found[name] = Relative(name, shares)
                waiting += [name] if "system" in shares else []
    return tuple(found.values())


@cache
def _kin() -> dict[str, tuple[tuple[str, frozenset[Shares]], ...]]:
    found: dict[str, list[tuple[str, frozenset[Shares]]]] = {}
    for row in read_table("kin.csv"):
        shares = _SHARES[row["shares"]]
        found.setdefault(row["type"], []).append((row["kin"], shares))
        found.setdefault(row["kin"], []).append((row["type"], shares))
    return {type_: tuple(rows) for type_, rows in found.items()}


def sisters(type_: str) -> tuple[str, ...]:
    """The other types of the table that are one system with this one: same base, role, top cap, and heating power."""
    return _sisters().get(type_, ())


def same_heat(watts: float, other: float) -> bool:
    """True where two heaters take the same power, in watts, as nearly as round volts and amperes allow."""
    return abs(watts - other) <= _SAME_HEAT * max(watts, other)


@cache
def _sisters() -> dict[str, tuple[str, ...]]:
    groups: dict[tuple[str, ...], list[CsvRow]] = {}
    for row in type_rows().values():
        name = _AMERICAN.fullmatch(row["type"]) or _EUROPEAN.fullmatch(row["type"])
        family = next((n for n, letters in enumerate(_FAMILIES) if name and name[1] in letters), None)
        if name is None or family is None or (name[1].isalpha() and _OUTPUT_OR_SUPPLY.search(row["role"])):
            continue
        key = (str(family), name[2], row["base"], row["role"], row["top_cap"], row["cathode"])
        groups.setdefault(key, []).append(row)
    return {
        row["type"]: tuple(o["type"] for o in group if o is not row and same_heat(_watts(row), _watts(o)))
        for group in groups.values()
        for row in group
    }


def _watts(row: CsvRow) -> float:
    return float(row["heater_volts"]) * float(row["heater_amps"])
