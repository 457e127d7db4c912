"""What a type's designation says of its heater: a cross-check of the table, never a source of values.

American types (RETMA scheme of 1933): the figures before the first letter are the heater volts, approximately.
Radiotron Designer's Handbook, 4th ed., section on American type numbers: 1 is above 0 to 1.6 V, 5 is 4.6 to
5.6 V, 6 is 5.6 to 6.6 V; 7 and 14 are the lock-in types of 6.3 and 12.6 V; 25, 35, 50, 70, 117 the nearest
whole volt. A tapped or divided heater counts with its parts in series.

European types: the first letter is the heater's volts or current (Mullard/Pro Electron table, as printed by
daktologistindustries.com; the V and U series are the currents of series sets). W and X differ between the
printed tables and are left out.

Philips types before 1934 of the 4 V series (`E446`): the figure after the letter is the heater's volts
(valvecollector.uk, old Philips code; its letter is a band of currents, E 0.7 to 1.25 A). British Mazda types of the
1950s (`10F9`): 10, 20 or 30 stand for a series current of 100, 200 or 300 mA (from memory).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from types import MappingProxyType

_AMERICAN = re.compile(r"(\d{1,3})([A-Z]{1,2})(\d{1,2})[A-Z]*")
_EUROPEAN = re.compile(r"([ACDEFGHKLPTUV])([ABCDEFHKLMNPQYZ]{1,3})(\d{1,3})[A-Z]?")

_OLD_PHILIPS = re.compile(r"[A-F](4)\d{2}[A-Z]?")
_BRITISH_MAZDA = re.compile(r"([123]0)(?:C|F|L|LD|P|FL|PL|K|D)\d{1,2}")

_VOLT_BANDS = {1: (0.0, 1.6), 2: (2.1, 2.9), 5: (4.6, 5.6), 6: (5.6, 6.6), 12: (12.6, 12.6)}
_LOCK_IN = {7: (6.3, 6.3), 14: (12.6, 12.6)}
_LETTER_VOLTS = {"A": (4.0, 4.0), "D": (0.0, 1.5), "E": (6.3, 6.3), "F": (12.6, 12.6), "G": (5.0, 5.0), "K": (2.0, 2.0)}
_LETTER_AMPS = {"C": 0.2, "H": 0.15, "L": 0.45, "P": 0.3, "U": 0.1, "V": 0.05}

_BASES = {
    "2": "loctal German key (B8G)",
    "3": "octal",
    "4": "Rimlock (B8A)",
    "8": "noval (B9A)",
    "9": "miniature 7-pin (B7G)",
}

_TWO_VOLTS = "a 2 V battery type named before the bands were settled"
_HOUSE = "a house number: its letters do not follow the European scheme"
_HALVES = "two filament halves of 1.4 V, given here in series; the letter counts them side by side"
KNOWN_EXCEPTIONS = MappingProxyType(
    dict.fromkeys(("1A4", "1A6", "1B4", "1B5", "1C6", "1C7G", "1D5G", "1D7G", "1E5G"), _TWO_VOLTS)
    | dict.fromkeys(("1F4", "1F5G", "1F6", "1F7G", "1H4G", "1H6G", "1J5G", "1J6G"), _TWO_VOLTS)
    | dict.fromkeys(("2D4A", "DH63", "DH76", "DL63", "FC4", "VMP4G", "VP41", "VP4B"), _HOUSE)
    | {"DL96": _HALVES}
)
"""Types of the table whose heater does not follow their designation, and why."""


@dataclass(frozen=True, slots=True)
class HeaterRule:
    """What a designation says: a band of heater volts, or a heater current in amperes."""

    scheme: str
    code: str
    volts: tuple[float, float] | None = None
    amps: float | None = None

    def agrees(self, volts: float, amps: float) -> bool:
        """True if a heater of so many volts and amperes is what the designation says, within 2 %."""
        if self.amps is not None:
            return abs(amps - self.amps) <= 0.02 * self.amps
        if self.volts is None:
            return True
        low, high = self.volts
        return low * 0.98 <= volts <= high * 1.02

    @property
    def words(self) -> str:
        """`100 mA`, `4 V`, `5.6 to 6.6 V`; empty where the rule says neither."""
        if self.amps is not None:
            return f"{self.amps * 1000:g} mA"
        if self.volts is None:
            return ""
        low, high = self.volts
        return f"{low:g} V" if low == high else f"{low:g} to {high:g} V"


def heater_rule(type: str) -> HeaterRule | None:
    """The rule a designation falls under, or None for old numbers (`80`) and house numbers (`KT66`)."""
    if mazda := _BRITISH_MAZDA.fullmatch(type):
        return HeaterRule("British Mazda", mazda[1], amps=int(mazda[1]) / 100)
    if philips := _OLD_PHILIPS.fullmatch(type):
        return HeaterRule("old Philips", philips[1], volts=(float(philips[1]), float(philips[1])))
    american = _AMERICAN.fullmatch(type)
    if american:
        return _american_rule(int(american[1]))
    european = _EUROPEAN.fullmatch(type)
    if european is None or type.startswith("KT"):
        return None
    letter = european[1]
    return HeaterRule("European", letter, _LETTER_VOLTS.get(letter), _LETTER_AMPS.get(letter))


def _american_rule(first: int) -> HeaterRule:
    if first in _LOCK_IN:
        return HeaterRule("RETMA lock-in", str(first), _LOCK_IN[first])
    return HeaterRule("RETMA", str(first), _VOLT_BANDS.get(first, (first - 0.6, first + 0.6)))


def numbered_base(type: str) -> str | None:
    """The base a European number stands for: `UCH42` is Rimlock, `ECC83` noval; None for 1 to 19 and house numbers.

    First of two or three figures (Mullard/Pro Electron code, as printed by daktologistindustries.com and heinffm.de).
    """
    european = _EUROPEAN.fullmatch(type)
    rule = heater_rule(type)
    if european is None or rule is None or type in KNOWN_EXCEPTIONS or not (rule.volts or rule.amps):
        return None
    return _BASES.get(european[3][0]) if len(european[3]) > 1 else None


def rated_in_current(type: str) -> bool:
    """True for types whose letter is a heater current (C, H, L, P, U, V): the maker holds the current."""
    rule = heater_rule(type)
    return rule is not None and rule.amps is not None and type not in KNOWN_EXCEPTIONS


def disagreement(type: str, volts: float, amps: float) -> str | None:
    """One sentence where a heater in volts and amperes is not what the designation says, else None."""
    rule = heater_rule(type)
    if rule is None or rule.agrees(volts, amps):
        return None
    return f"{type}: by its designation {rule.words}, here {volts:g} V {amps:g} A"
