"""Limits of touch current, each with its standard and how sure its figure is, and residual-current devices."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from benchleaf.electrics.touch import Touch

__all__ = [
    "DEFAULT_LIMIT",
    "LIMITS",
    "RESIDUAL_CURRENT_DEVICES",
    "ResidualCurrentDevice",
    "TouchLimit",
    "Trip",
    "amps_over",
    "over_limit",
    "trip",
]

Confidence = Literal["high", "medium", "low"]
Trip = Literal["trips", "may trip", "does not trip"]


@dataclass(frozen=True, slots=True)
class TouchLimit:
    """One limit of touch current.

    ``amps`` is the limit for alternating current as ``kind`` (``peak`` or ``rms``), ``dc_amps`` that for direct
    current where the source gives one.
    """

    name: str
    standard: str
    amps: float
    kind: Literal["peak", "rms"]
    source: str
    confidence: Confidence
    dc_amps: float | None = None
    note: str = ""

    @property
    def published(self) -> bool:
        """Whether its figure was read, in the standard or where it is quoted, and does not rest on memory."""
        return self.source != _FROM_MEMORY


_ANNEX_D = "IEC 60065 clause 9.1.1 and Annex D, read as two service manuals reproduce them"
_FORUM_335 = "IEC 60335-1 clause 13.2 as quoted in a forum on product compliance"
_FROM_MEMORY = "from memory, unverified"

LIMITS: dict[str, TouchLimit] = {
    limit.name: limit
    for limit in (
        TouchLimit(
            "IEC 60065",
            "IEC 60065 9.1.1",
            0.7e-3,
            "peak",
            _ANNEX_D,
            "high",
            dc_amps=2.0e-3,
            note="U2 at most 0.35 V peak, U1 at most 1.0 V DC; 0.7 mA peak is 0.5 mA RMS for a sine",
        ),
        TouchLimit(
            "IEC 62368-1 ES1",
            "IEC 62368-1 5.2.2, Table 4",
            0.707e-3,
            "peak",
            _FROM_MEMORY,
            "medium",
            dc_amps=2.0e-3,
            note="0.5 mA RMS for a sine up to 1 kHz; the table itself was not found readable",
        ),
        TouchLimit(
            "IEC 60335-1 class II",
            "IEC 60335-1 13.2, editions to 4",
            0.25e-3,
            "rms",
            _FORUM_335,
            "high",
            note="edition 5 uses 0.35 mA peak (from memory)",
        ),
        TouchLimit("IEC 60335-1 class 0", "IEC 60335-1 13.2, editions to 4", 0.5e-3, "rms", _FORUM_335, "high"),
        TouchLimit(
            "IEC 60950-1 not earthed",
            "IEC 60950-1 Table 5A",
            0.25e-3,
            "rms",
            "IEC 60950 Table 5A as quoted on the emc-pstc list, message 25786",
            "high",
        ),
        TouchLimit(
            "UL 1711",
            "UL 1711:2006 39.1",
            0.5e-3,
            "rms",
            "UL 1711:2006 section 39.1, excerpt",
            "high",
            note="amplifiers, two-wire portable; stated in milliamperes at the supply frequency",
        ),
        TouchLimit(
            "UL 1492",
            "UL 1492 / UL 6500",
            0.5e-3,
            "rms",
            _FROM_MEMORY,
            "low",
            note="text not found; the service-manual check of 0.75 V across 1500 Ω implies 0.5 mA",
        ),
        TouchLimit(
            "service manual check",
            "manufacturers' hot check",
            0.5e-3,
            "rms",
            "the hot check printed in receiver service manuals: 0.75 V RMS across 1500 Ω and 0.15 µF",
            "high",
        ),
    )
}

#: The standard for mains-operated sets of this kind.
DEFAULT_LIMIT = LIMITS["IEC 60065"]


def over_limit(touch: Touch, limit: TouchLimit = DEFAULT_LIMIT) -> bool | None:
    """Whether a touch current is over ``limit``; ``None`` for direct current where the source gives no limit for it."""
    return amps_over(touch.amps_rms, touch.amps_peak, touch.direct, limit)


def amps_over(rms: float, peak: float, direct: bool, limit: TouchLimit) -> bool | None:
    """:func:`over_limit` for amperes RMS and peak that are already known."""
    if direct:
        return None if limit.dc_amps is None else rms > limit.dc_amps
    return (peak if limit.kind == "peak" else rms) > limit.amps


@dataclass(frozen=True, slots=True)
class ResidualCurrentDevice:
    """A device that opens on current that does not come back: amperes RMS it must ignore and at which it must open."""

    name: str
    ignores_amps: float
    opens_amps: float
    source: str


RESIDUAL_CURRENT_DEVICES: dict[str, ResidualCurrentDevice] = {
    "5 mA": ResidualCurrentDevice("5 mA", 4e-3, 6e-3, "UL 943B summary page: trip current 4 to 6 mA"),
    "30 mA": ResidualCurrentDevice("30 mA", 15e-3, 30e-3, "IEC 61008-1: half to full rated current (from memory)"),
}


def trip(amps: float, device: ResidualCurrentDevice) -> Trip:
    """Whether ``amps`` RMS to earth, for instance the prospective current of an earthed part, opens ``device``.

    A device must open at its rated current and must not below its ignored current; between, it may do either.
    """
    if amps >= device.opens_amps:
        return "trips"
    return "may trip" if amps > device.ignores_amps else "does not trip"
