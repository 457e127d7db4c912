"""What a set draws from the line: heaters and the rectifier's pulses as one waveform, and how far cathodes emit.

SI throughout; volts and amperes of the line are RMS. Waveforms are equally spaced samples of one period of the line
that begins as its voltage rises through zero, as ``steady_state`` gives them.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import lru_cache

from .heaters import HeaterElement, root
from .rectifier import root_mean_square

__all__ = ["EMISSION_RESERVE", "carried", "emission_share", "line_amps", "line_watts", "reflected", "volts_left"]

WORK_FUNCTION_VOLTS, CATHODE_KELVIN = 1.2, 1050.0
"""Of an oxide-coated cathode at its rating. From memory; 1.0 to 1.5 V and 1000 to 1100 K are given."""
_BOLTZMANN_VOLTS = 8.617333e-5
_HEATER_WATTS_EXPONENT = 1.6
"""A heater's watts go as its volts to this power, since its current goes as their power of 0.6 (``heaters``)."""
EMISSION_RESERVE = (5.0, 50.0)
"""How many times its working current a warm cathode can emit, tired and new. From memory."""


def emission_share(heater_share: float) -> float:
    """What a cathode can emit at a share of its rated heater volts, over what it can at all of them.

    Richardson's law, T² exp(-φ/kT), with all heat radiated, so that T⁴ goes as the heater's watts.
    """
    if heater_share <= 0:
        return 0.0
    warmth = heater_share ** (_HEATER_WATTS_EXPONENT / 4)
    height = WORK_FUNCTION_VOLTS / (_BOLTZMANN_VOLTS * CATHODE_KELVIN)
    return float(warmth**2 * math.exp(height * (1 - 1 / warmth)))


def carried(heater_share: float, reserve: float) -> float:
    """The share of its working current that a cathode carries, 0 to 1, which emits ``reserve`` times it at rating."""
    return min(1.0, reserve * emission_share(heater_share))


def reflected(pulses: Sequence[float], ratio: float) -> tuple[float, ...]:
    """A winding's current as its primary draws it, ``ratio`` being secondary over primary volts.

    The mean goes: no direct current passes a transformer. It adds to the magnetising current instead.
    """
    mean = math.fsum(pulses) / len(pulses)
    return tuple(ratio * (amps - mean) for amps in pulses)


def line_amps(pulses: Sequence[float], in_phase_amps: float, lagging_amps: float = 0.0) -> float:
    """RMS of the sum of the rectifier's ``pulses``, a sine in phase with the line and one that lags by a quarter."""
    return root_mean_square(_whole(pulses, in_phase_amps, lagging_amps))


def line_watts(pulses: Sequence[float], in_phase_amps: float, line_volts: float) -> float:
    """Mean of volts times amperes over the period. What lags by a quarter takes none."""
    count = len(pulses)
    whole = _whole(pulses, in_phase_amps, 0.0)
    crest = math.sqrt(2) * line_volts
    return math.fsum([crest * sine * amps for amps, (sine, _) in zip(whole, _circle(count), strict=True)]) / count


def volts_left(lamp: HeaterElement, amps_at: Callable[[float], float], line_volts: float) -> float:
    """What a lamp in series leaves for a set that draws ``amps_at`` a voltage, which rises from 0 at 0 V.

    A filament's heat does not follow the cycle, so that within one the lamp is a resistor; the hotter it burns, the
    more ohms it has. Its volts and the set's are taken in phase.
    """
    return min(root(lambda volts: volts + lamp.volts_at(amps_at(volts)) - line_volts, line_volts), line_volts)


def _whole(pulses: Sequence[float], in_phase_amps: float, lagging_amps: float) -> list[float]:
    crest = math.sqrt(2)
    return [
        amps + crest * (in_phase_amps * sine - lagging_amps * cosine)
        for amps, (sine, cosine) in zip(pulses, _circle(len(pulses)), strict=True)
    ]


@lru_cache(maxsize=16)
def _circle(count: int) -> tuple[tuple[float, float], ...]:
    """Sine and cosine at equal steps of a period."""
    angles = (2 * math.pi * i / count for i in range(count))
    return tuple((math.sin(angle), math.cos(angle)) for angle in angles)
