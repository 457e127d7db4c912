"""American ballast tubes by their code: the volts they drop, and the pilot lamp that they are made for."""

from __future__ import annotations

import re
from dataclasses import dataclass

from benchleaf.tubes.tables import sources
from benchleaf.tubes.tube import TableSource

__all__ = ["BALLAST_CODE", "BallastCode", "ballast_code"]

BALLAST_CODE = re.compile(
    r"(?P<action>B[- ]?)?(?P<lamp>[KLM])[- ]?(?P<base>X[- ]?)?(?P<volts>\d{2,3})[- ]?(?P<pins>[A-HJ])"
    r"[- ]?\d?(?:M?G)?(?!\w)",
    re.I,
)
_LAMP_AMPS = {"K": 0.15, "L": 0.25, "M": 0.2}
_LAMP_VOLTS = 6.3
_SOURCE = "ballast-codes"


@dataclass(frozen=True, slots=True)
class BallastCode:
    """What a code says. ``volts`` are dropped in all, the lamp's among them.

    ``regulates_lamp`` is the B before the code, ``four_pins`` the X of a four-pin base, ``pins`` the letter of how the
    resistance and its taps lie on the pins.
    """

    code: str
    volts: float
    lamp_volts: float
    lamp_amps: float
    pins: str
    regulates_lamp: bool
    four_pins: bool
    source: TableSource


def ballast_code(written: str) -> BallastCode | None:
    """The ballast of a code (``K55B``, ``BK-49-C``, ``KX42D``); None for a text that is no such code.

    The lamp is of 6 to 8 V: 0.15 A with K, 0.25 A with L, 0.2 A with M (the American trade association's ballast code).
    """
    found = BALLAST_CODE.fullmatch(written.strip()[:20])
    if found is None:
        return None
    return BallastCode(
        code=re.sub(r"[- ]", "", found[0]).upper(),
        volts=float(found["volts"]),
        lamp_volts=_LAMP_VOLTS,
        lamp_amps=_LAMP_AMPS[found["lamp"].upper()],
        pins=found["pins"].upper(),
        regulates_lamp=found["action"] is not None,
        four_pins=found["base"] is not None,
        source=sources()[_SOURCE],
    )
