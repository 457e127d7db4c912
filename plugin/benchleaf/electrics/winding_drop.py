"""What a winding's alternating volts lose to the charging pulses of a rectifier with a reservoir."""

from __future__ import annotations

import math

__all__ = ["winding_drop_volts"]

_AT_THE_CREST = 0.95
"""Mean of the sine over the charging pulse, weighted by its current, in parts of the crest. By ngspice it is 0.92 to
0.98 for the supplies of receivers: tubes and silicon, 20 to 90 mA, 50 to 260 ohm."""


def winding_drop_volts(
    amps: float, own_ohms: float, shared_ohms: float, *, halves: bool, doubled: bool = False
) -> float:
    """Volts RMS that ``amps`` of direct current take from a winding at work, as a true RMS meter shows them.

    ``own_ohms`` carry one path's pulses, ``shared_ohms`` (the primary's, stepped to this side) those of all paths. With
    ``halves`` each of two paths has a half of the winding, and half of the direct current; of a doubler either half
    wave charges with all of it. To the first order: the mean of e·i over the RMS of e, the current being a pulse at
    the crest of the sine. Raises ``ValueError`` for what is below zero.
    """
    if min(amps, own_ohms, shared_ohms) < 0:
        raise ValueError(f"Currents and resistances are at least zero: {amps}, {own_ohms}, {shared_ohms}")
    whole = amps * (2 if doubled else 1)
    own = whole / 2 if halves else whole
    return _AT_THE_CREST * math.sqrt(2) * (own * own_ohms + whole * shared_ohms)
