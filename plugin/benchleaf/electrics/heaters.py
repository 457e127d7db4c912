"""Series heater strings as they really run, and what is put in series with them.

A hot heater is not a resistor: its current follows the power law I = I0 (V/V0)^n with n well below 1. In a string all
carry one current, so each heater takes V0 (I/I0)^(1/n) volts.

Everything is RMS at line frequency or direct; a string is resistive at line frequency (a heater's temperature does not
follow the cycle), so a series capacitor adds as a vector and a half-wave diode heats by the RMS value.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Protocol

__all__ = [
    "COLD_INRUSH_RATIO",
    "HEATER_CURRENT_EXPONENT",
    "LAMP_CURRENT_EXPONENT",
    "HeaterElement",
    "HeaterTap",
    "Running",
    "Shunted",
    "StringMember",
    "TapRunning",
    "inrush_amps",
    "pilot_lamp",
    "root",
    "running_string",
]

#: n of a tube's heater near its rating. Emission Labs, Technical Note TN-03 (2016): 5 % more volts draw 3 % more
#: amperes, and ln 1.03 / ln 1.05 = 0.606; taken as 0.6. (The 3 % is a rounded figure: 2.5 to 3.5 % is 0.51 to 0.71.)
#: The 35Z5GT's tap currents in the Wireless World note (lamp 110 mA, section 90 mA) come out within 4 % with it.
HEATER_CURRENT_EXPONENT = 0.6

#: n of an incandescent lamp: Fink and Beaty, Standard Handbook for Electrical Engineers, 11th ed., p. 22-8, as
#: quoted in the Wikipedia article "Lamp rerating".
LAMP_CURRENT_EXPONENT = 0.55

#: Lowest and highest ratio of cold inrush to rated heater current of a set of tubes, from measured cold resistances:
#: audioXpress, September 2004, "Filament and High Voltage", Table 1 and text.
COLD_INRUSH_RATIO = (2.7, 7.2)


@dataclass(frozen=True, slots=True)
class HeaterElement:
    """A heater or lamp rated ``volts`` at ``amps``, whose current goes as volts to the power ``exponent``."""

    volts: float
    amps: float
    exponent: float = HEATER_CURRENT_EXPONENT

    def __post_init__(self) -> None:
        if not all(0 < x < math.inf for x in (self.volts, self.amps, self.exponent)):
            raise ValueError(f"A heater needs volts, amperes and an exponent above zero: {self}")

    @property
    def rated(self) -> HeaterElement:
        """Itself: what a member of a string is rated at."""
        return self

    def amps_at(self, volts: float) -> float:
        """Amperes drawn at ``volts``."""
        return float(self.amps * (volts / self.volts) ** self.exponent)

    def volts_at(self, amps: float) -> float:
        """Volts taken when ``amps`` are driven through it."""
        return float(self.volts * (amps / self.amps) ** (1 / self.exponent))

    def part(self, fraction: float) -> HeaterElement:
        """A section of this heater: ``fraction`` of its wire, at the same rated current."""
        return HeaterElement(self.volts * fraction, self.amps, self.exponent)


class StringMember(Protocol):
    """One member of a string: a heater, or heaters with something across them."""

    @property
    def rated(self) -> HeaterElement:
        """The rating that stands for it where one is asked for."""

    def volts_at(self, amps: float) -> float:
        """Volts across it when ``amps`` flow into it."""


def pilot_lamp(volts: float, amps: float) -> HeaterElement:
    """A dial lamp of rated ``volts`` and ``amps``; follows the lamp's own exponent."""
    return HeaterElement(volts, amps, LAMP_CURRENT_EXPONENT)


@dataclass(frozen=True, slots=True)
class Shunted:
    """A heater or lamp in the string with a resistor of ``ohms`` across it."""

    heater: HeaterElement
    ohms: float

    def __post_init__(self) -> None:
        if not self.ohms > 0:
            raise ValueError(f"A shunt needs a resistance above zero: {self}")

    @property
    def rated(self) -> HeaterElement:
        """The heater's own rating."""
        return self.heater

    def volts_at(self, amps: float) -> float:
        """Volts across the two when ``amps`` flow through both together."""
        return root(lambda volts: self.heater.amps_at(volts) + volts / self.ohms - amps, self.heater.volts)


@dataclass(frozen=True, slots=True)
class HeaterTap:
    """A rectifier heater with a tap: ``lamp`` sits across ``fraction`` of heater number ``index`` of the string.

    The plate is fed from the tap, so ``plate_amps`` come on top of the string's current in lamp and tap section. They
    are an effective (heating) current that simply adds, as in the published note on the 35Z5GT (150 + 50 = 200 mA). For
    a rectifier into a capacitor that is the RMS value of string and pulses together less that of the string, well above
    the direct current drawn. ``lamp`` is ``None`` if it is out or burnt out. ``shunt_ohms`` is a resistor across the
    same section.
    """

    index: int
    fraction: float
    lamp: HeaterElement | None
    plate_amps: float = 0.0
    shunt_ohms: float | None = None

    def __post_init__(self) -> None:
        if not 0 < self.fraction < 1 or self.plate_amps < 0 or (self.shunt_ohms is not None and self.shunt_ohms <= 0):
            raise ValueError(f"A tap needs a fraction between 0 and 1 and a plate current of 0 or more: {self}")


@dataclass(frozen=True, slots=True)
class TapRunning:
    """How the tapped heater runs: volts across the tap section, amperes in lamp and section, volts across the rest."""

    volts: float
    lamp_amps: float
    section_amps: float
    rest_volts: float


@dataclass(frozen=True, slots=True)
class Running:
    """How a string runs at one line voltage.

    ``string_volts`` is what heaters and dropper share: the line, line/sqrt 2 behind a half-wave diode, or the
    line less (as a vector) the series capacitor. ``heater_volts`` follow the order of the string; they and
    ``dropper_volts`` add up to ``string_volts``.
    """

    line_volts: float
    string_volts: float
    current_amps: float
    heater_volts: tuple[float, ...]
    dropper_volts: float
    dropper_watts: float
    capacitor_volts: float
    tap: TapRunning | None = None


def running_string(
    heaters: Sequence[StringMember],
    line_volts: float,
    dropper_ohms: float = 0.0,
    *,
    tap: HeaterTap | None = None,
    capacitor_farads: float | None = None,
    frequency_hz: float = 0.0,
    half_wave: bool = False,
) -> Running:
    """The string as it really runs at ``line_volts`` (RMS, or DC).

    ``heaters`` in the order of the string; a tube of another rating in a socket is simply given as it is, a shorted
    heater is left out. ``dropper_ohms`` is all linear resistance in series (resistor, cord, ballast, hot NTC).
    ``capacitor_farads`` in series needs ``frequency_hz``; ``half_wave`` is a diode in series with a string on
    alternating current (on direct current it drops nothing: leave it out).

    With heaters of one exponent and nothing else in series the result is exact by ratio; otherwise it is found
    numerically on a function that rises with the current. Raises ``ValueError`` for an empty string, a negative
    value, or a capacitor without a frequency or together with a diode.
    """
    _check(heaters, line_volts, dropper_ohms, tap, capacitor_farads, frequency_hz, half_wave)
    supply = line_volts / math.sqrt(2) if half_wave else line_volts
    reactance = 0.0 if capacitor_farads is None else 1 / (2 * math.pi * frequency_hz * capacitor_farads)
    plain = [h for h in heaters if isinstance(h, HeaterElement)]
    one_law = len(plain) == len(heaters) and len({h.exponent for h in plain}) == 1
    if one_law and not (dropper_ohms or reactance or tap):
        return _by_ratio(plain, line_volts, supply)

    def excess(amps: float) -> float:
        resistive = math.fsum(_string_volts(heaters, tap, amps)) + dropper_ohms * amps
        return math.hypot(resistive, reactance * amps) - supply

    amps = root(excess, max(h.rated.amps for h in heaters))
    volts = _string_volts(heaters, tap, amps)
    return Running(
        line_volts=line_volts,
        string_volts=math.fsum(volts) + dropper_ohms * amps,
        current_amps=amps,
        heater_volts=volts,
        dropper_volts=dropper_ohms * amps,
        dropper_watts=dropper_ohms * amps**2,
        capacitor_volts=reactance * amps,
        tap=None if tap is None else _tap_running(heaters, tap, amps),
    )


def inrush_amps(
    heaters: Sequence[HeaterElement],
    line_volts: float,
    dropper_ohms: float = 0.0,
    cold_ratio: float = COLD_INRUSH_RATIO[1],
) -> float:
    """RMS amperes at the moment of switching on, every heater cold.

    ``cold_ratio`` is the hot resistance (rated volts over rated amperes) divided by the cold one; the default is the
    worst of a published set of measurements (:data:`COLD_INRUSH_RATIO`).
    """
    cold_ohms = math.fsum(h.volts / h.amps for h in heaters) / cold_ratio + dropper_ohms
    return line_volts / cold_ohms


def _check(
    heaters: Sequence[StringMember],
    line_volts: float,
    dropper_ohms: float,
    tap: HeaterTap | None,
    capacitor_farads: float | None,
    frequency_hz: float,
    half_wave: bool,
) -> None:
    if not heaters:
        raise ValueError("A string needs at least one heater.")
    if not (0 <= line_volts < math.inf and 0 <= dropper_ohms < math.inf):
        raise ValueError("Line volts and dropper ohms must be numbers of 0 or more.")
    if tap is not None and not (0 <= tap.index < len(heaters) and isinstance(heaters[tap.index], HeaterElement)):
        raise ValueError("The tapped heater is not in the string.")
    if capacitor_farads is not None and not (capacitor_farads > 0 and frequency_hz > 0):
        raise ValueError("A series capacitor needs a capacitance and a frequency above zero.")
    if capacitor_farads is not None and half_wave:
        raise ValueError("A capacitor behind a half-wave diode charges once and then passes nothing.")


def _by_ratio(heaters: Sequence[HeaterElement], line_volts: float, supply: float) -> Running:
    """One exponent throughout: the heaters share the supply in fixed proportion, V0 (Ir/I0)^(1/n)."""
    reference = heaters[0]
    weights = [h.volts * (reference.amps / h.amps) ** (1 / h.exponent) for h in heaters]
    total = math.fsum(weights)
    return Running(
        line_volts=line_volts,
        string_volts=supply,
        current_amps=float(reference.amps * (supply / total) ** reference.exponent),
        heater_volts=tuple(supply * weight / total for weight in weights),
        dropper_volts=0.0,
        dropper_watts=0.0,
        capacitor_volts=0.0,
    )


def _string_volts(heaters: Sequence[StringMember], tap: HeaterTap | None, amps: float) -> tuple[float, ...]:
    volts = [h.volts_at(amps) for h in heaters]
    if tap is not None:
        running = _tap_running(heaters, tap, amps)
        volts[tap.index] = running.volts + running.rest_volts
    return tuple(volts)


def _tap_running(heaters: Sequence[StringMember], tap: HeaterTap, amps: float) -> TapRunning:
    whole = heaters[tap.index].rated
    section, rest = _parted(whole, tap.fraction)
    lamp, shunt = tap.lamp, tap.shunt_ohms
    through = amps + tap.plate_amps
    if lamp is None and shunt is None:
        return TapRunning(section.volts_at(through), 0.0, through, rest.volts_at(amps))

    def beside(volts: float) -> float:
        return (lamp.amps_at(volts) if lamp else 0.0) + (volts / shunt if shunt else 0.0)

    volts = root(lambda v: section.amps_at(v) + beside(v) - through, section.volts)
    lamp_amps = lamp.amps_at(volts) if lamp else 0.0
    return TapRunning(volts, lamp_amps, section.amps_at(volts), rest.volts_at(amps))


@lru_cache(maxsize=64)
def _parted(whole: HeaterElement, fraction: float) -> tuple[HeaterElement, HeaterElement]:
    """A tapped heater's section and what is left of it: asked for at every step of a search."""
    return whole.part(fraction), whole.part(1 - fraction)


def root(rising: Callable[[float], float], start: float) -> float:
    """Where a rising function of a current or voltage crosses zero, at or above 0."""
    at_zero = rising(0.0)
    if at_zero == 0:
        return 0.0
    if at_zero > 0:
        raise ValueError("The plate current alone drops more than the line gives.")
    high = start
    while rising(high) < 0:
        high *= 2
    from scipy.optimize import brentq

    return float(brentq(rising, 0.0, high, xtol=1e-300, rtol=1e-14, maxiter=300))
