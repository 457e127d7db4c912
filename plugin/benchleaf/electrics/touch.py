"""Touch current: what a hand on a touchable part would carry, by the body networks of IEC 60990.

All voltages are RMS phasors or their magnitudes; at zero frequency direct volts and amperes. "Peak" values are those of
a sine (RMS times the square root of two): the line is taken as sinusoidal.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from benchleaf.electrics.nodal_analysis import NetworkElement, NetworkError, Solution, Thevenin, solve

__all__ = [
    "BODY_OHMS",
    "Touch",
    "TouchNetwork",
    "loaded_volts",
    "meter_volts",
    "service_check_volts",
    "touch_between",
    "touch_current",
]

#: Values of IEC 60990:1999/2016, Figures 3 and 4, as drawn in Annex D of IEC 60065 and reproduced in the safety pages
#: of receiver service manuals.
SKIN_OHMS, SKIN_FARADS, BODY_OHMS = 1500.0, 0.22e-6, 500.0
WEIGHTING_OHMS, WEIGHTING_FARADS = 10e3, 22e-9

#: The simpler network of service manuals: 0.75 V RMS across it is called 0.5 mA (their hot check).
SERVICE_OHMS, SERVICE_FARADS = 1500.0, 0.15e-6

TouchNetwork = Literal["perception", "unweighted"]
"""IEC 60990, Figure 4 (perception or reaction, U2 behind 10 kohm and 22 nF) or Figure 3 (U2 is U1).

Figure 5 (let-go) is left out: its values could not be found in print.
"""


@dataclass(frozen=True, slots=True)
class Touch:
    """What touching a part comes to. Volts and amperes as magnitudes, RMS unless the name says peak.

    ``no_load_volts`` without the body, ``None`` if the part has no defined voltage. ``u1_volts`` across the 500 ohm,
    ``u2_volts`` after the frequency weighting. ``amps_rms`` is U2/500, the touch current of the standard (at zero
    frequency direct amperes, and ``amps_peak`` the same); ``unweighted_amps`` is what really flows.
    ``prospective_amps``: the part joined solidly to the reference, infinite if nothing in the network limits it.
    """

    frequency_hz: float
    no_load_volts: float | None
    u1_volts: float
    u2_volts: float
    amps_rms: float
    amps_peak: float
    unweighted_amps: float
    prospective_amps: float

    @property
    def direct(self) -> bool:
        """Whether this is direct current."""
        return self.frequency_hz == 0


def touch_current(
    elements: Iterable[NetworkElement],
    part: str,
    frequency_hz: float,
    earth: str = "earth",
    network: TouchNetwork = "perception",
) -> Touch:
    """A hand on ``part``, the feet on earth. Raises ``NetworkError`` if the network contradicts itself.

    The network is solved with the body connected (IEC 60990). A part that floats altogether gives exactly 0 A: the body
    would be the only link to earth, and no circuit closes through a single link.
    """
    return touch_between(elements, part, earth, frequency_hz, earth, network)


def touch_between(
    elements: Iterable[NetworkElement] | Solution,
    part: str,
    other: str,
    frequency_hz: float,
    earth: str = "earth",
    network: TouchNetwork = "perception",
) -> Touch:
    """One hand on ``part``, the other on ``other``; otherwise as :func:`touch_current`.

    A network already solved (at ``frequency_hz``, from ``earth``) may stand in for its elements. The body is put
    across the two nodes as they look from outside (Thevenin's theorem).
    """
    alone = elements if isinstance(elements, Solution) else solve(elements, frequency_hz, earth)
    seen = alone.thevenin(part, other)
    if seen.open_volts is None or seen.ohms is None:
        return Touch(frequency_hz, None, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    body = _body_ohms(frequency_hz, network)
    through = abs(seen.open_volts / (seen.ohms + body.ohms))
    u1, u2 = through * abs(body.u1_ohms), through * abs(body.u2_ohms)
    amps = u2 / BODY_OHMS
    return Touch(
        frequency_hz=frequency_hz,
        no_load_volts=abs(seen.open_volts),
        u1_volts=u1,
        u2_volts=u2,
        amps_rms=amps,
        amps_peak=amps if frequency_hz == 0 else amps * math.sqrt(2),
        unweighted_amps=through,
        prospective_amps=_prospective(seen),
    )


@dataclass(frozen=True, slots=True)
class _BodyOhms:
    """The body network in closed form: its impedance, and the volts U1 and U2 for each ampere through it."""

    ohms: complex
    u1_ohms: complex
    u2_ohms: complex


@lru_cache(maxsize=64)
def _body_ohms(frequency_hz: float, network: TouchNetwork) -> _BodyOhms:
    omega = 2 * math.pi * frequency_hz
    skin = 1 / (1 / SKIN_OHMS + 1j * omega * SKIN_FARADS)
    share = 1 / (1 + 1j * omega * WEIGHTING_OHMS * WEIGHTING_FARADS) if network == "perception" else 1 + 0j
    weighting = 1j * omega * WEIGHTING_FARADS * share if network == "perception" else 0j
    inner = 1 / (1 / BODY_OHMS + weighting)
    return _BodyOhms(skin + inner, inner, inner * share)


def meter_volts(
    elements: Iterable[NetworkElement] | Solution,
    part: str,
    frequency_hz: float,
    earth: str = "earth",
    meter_ohms: float = 10e6,
) -> float:
    """Volts (RMS, or DC) that a meter of ``meter_ohms`` shows between ``part`` and ``earth``; 0 if the part floats."""
    return _volts_across(elements, 1 / meter_ohms, part, frequency_hz, earth)


def loaded_volts(
    elements: Iterable[NetworkElement] | Solution,
    part: str,
    frequency_hz: float,
    ohms: float | None,
    farads: float | None = None,
    earth: str = "earth",
) -> float:
    """Volts RMS across ``ohms`` with ``farads`` beside it, either of them None for none, from ``part`` to ``earth``.

    Raises ValueError where neither is given, or one is not above zero.
    """
    if not (ohms or farads) or min(ohms or 0, farads or 0) < 0:
        raise ValueError("a load needs a resistance or a capacitance above zero")
    siemens = (1 / ohms if ohms else 0) + 2j * math.pi * frequency_hz * (farads or 0)
    return _volts_across(elements, siemens, part, frequency_hz, earth)


def service_check_volts(
    elements: Iterable[NetworkElement] | Solution, part: str, frequency_hz: float, earth: str = "earth"
) -> float:
    """Volts RMS across the service manuals' 1500 ohm and 0.15 uF between ``part`` and ``earth``."""
    return loaded_volts(elements, part, frequency_hz, SERVICE_OHMS, SERVICE_FARADS, earth)


def _volts_across(
    elements: Iterable[NetworkElement] | Solution, siemens: complex, part: str, frequency_hz: float, earth: str
) -> float:
    """Volts from ``part`` to earth with ``siemens`` between the two; exactly 0 if that is the only link."""
    solved = elements if isinstance(elements, Solution) else solve(elements, frequency_hz, earth)
    seen = solved.thevenin(part, earth)
    if seen.open_volts is None or seen.ohms is None:
        return 0.0
    return abs(seen.open_volts / (1 + seen.ohms * siemens))


def _prospective(seen: Thevenin) -> float:
    if seen.open_volts == 0:
        return 0.0
    try:
        return abs(seen.short_amps())
    except NetworkError:
        return math.inf
