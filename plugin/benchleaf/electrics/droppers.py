"""What takes up the rest of the line in a heater string, what it must be rated, and what a heater winding carries."""

from __future__ import annotations

import math
from dataclasses import dataclass

__all__ = [
    "USUAL_RATINGS_WATTS",
    "HalfWave",
    "SeriesCapacitor",
    "SeriesResistor",
    "behind_half_wave_diode",
    "dropper_for",
    "left_for_dropper",
    "rating_for",
    "series_capacitor_for",
]

#: Ratings of wire-wound and film resistors in watts that shops carry. Common practice, no source.
USUAL_RATINGS_WATTS = (0.25, 0.5, 1.0, 2.0, 3.0, 5.0, 7.0, 10.0, 15.0, 20.0, 25.0, 30.0, 50.0, 75.0, 100.0)


@dataclass(frozen=True, slots=True)
class SeriesResistor:
    """A series resistor: ``ohms``, and the heat in it in ``watts``."""

    ohms: float
    watts: float


@dataclass(frozen=True, slots=True)
class SeriesCapacitor:
    """A series capacitor: ``farads`` at one line frequency, ``reactance_ohms`` there, ``volts`` RMS across it."""

    farads: float
    reactance_ohms: float
    volts: float


@dataclass(frozen=True, slots=True)
class HalfWave:
    """A half-wave of a sine line as seen by heat and by meters, in volts.

    ``rms_volts`` is what heats. ``ac_meter_volts`` is shown by an AC meter that averages the rectified wave and is
    scaled for a sine; ``dc_meter_volts`` by a DC meter.
    """

    rms_volts: float
    ac_meter_volts: float
    dc_meter_volts: float


def left_for_dropper(line_volts: float, rated_sum_volts: float) -> float:
    """Volts the heaters leave over; negative where they ask for more than the line gives."""
    return line_volts - rated_sum_volts


def dropper_for(line_volts: float, rated_sum_volts: float, amps: float) -> SeriesResistor | None:
    """Series resistor in ohm, and its heat in watt, that leaves a string its rated volts at its rated ``amps``.

    ``None`` if nothing is left to drop. For a string behind a half-wave diode give the RMS volts of
    :func:`behind_half_wave_diode` as line. R = (U - sum)/I, P = (U - sum) I, as in L. Lovell, Antique Radio
    Repair (1989), which prints 81.3 ohm and 1.83 W for 107.8 V of heaters at 0.15 A on 120 V. Raises ValueError
    for a current that is not above zero.

    >>> dropper = dropper_for(120, 107.8, 0.15)
    >>> round(dropper.ohms, 1), round(dropper.watts, 2)
    (81.3, 1.83)
    """
    if not amps > 0:
        raise ValueError("The string's current must be above zero.")
    left = left_for_dropper(line_volts, rated_sum_volts)
    return SeriesResistor(left / amps, left * amps) if left > 0 else None


def series_capacitor_for(
    line_volts: float, rated_sum_volts: float, amps: float, frequency_hz: float
) -> SeriesCapacitor | None:
    """Series capacitor in farad for a string on alternating current, by the vector sum U^2 = Uheaters^2 + Uc^2.

    ``None`` if nothing is left to drop. Right at ``frequency_hz`` only.
    """
    if not (amps > 0 and frequency_hz > 0):
        raise ValueError("The string's current and the line's frequency must be above zero.")
    if left_for_dropper(line_volts, rated_sum_volts) <= 0:
        return None
    volts = math.sqrt((line_volts - rated_sum_volts) * (line_volts + rated_sum_volts))
    reactance = volts / amps
    return SeriesCapacitor(1 / (2 * math.pi * frequency_hz * reactance), reactance, volts)


def behind_half_wave_diode(line_volts: float) -> HalfWave:
    """What a resistive string behind a diode gets from a sine line of ``line_volts`` RMS.

    RMS is U/sqrt 2 (half the power, not half the voltage). The mean is sqrt 2 U/pi = 0.45 U, which an averaging AC
    meter multiplies by the sine's form factor pi/(2 sqrt 2): it shows U/2.
    """
    mean = math.sqrt(2) * line_volts / math.pi
    return HalfWave(line_volts / math.sqrt(2), line_volts / 2, mean)


def rating_for(watts: float, times: float = 2.0) -> float:
    """The next usual rating in watt that is at least ``times`` the heat (twice: common practice, no source).

    Above the usual ratings, ``times`` the heat itself.
    """
    needed = watts * times
    return next((rating for rating in USUAL_RATINGS_WATTS if rating >= needed), needed)
