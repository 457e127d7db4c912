"""One law for the currents of an amplifying tube, fixed by one published operating point.

Cathode current by the three-halves law (Child 1911, Langmuir 1913) with van der Bijl's equivalent diode: all volts
above the cathode, ``drive = pull/mu + grid + V0``, where the plate of a triode or the screen of a pentode pulls. V0 is
contact potential and the electrons' initial velocity. The smooth cut-off is that of Koren, Glass Audio 5/1996.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["TubeLaw"]


@dataclass(frozen=True, slots=True)
class TubeLaw:
    """A tube's law. ``pentode`` says that the screen pulls and shares the cathode's current.

    ``perveance`` in A/V^1.5, ``offset_volts`` is V0; ``screen_share`` the screen's share of the cathode current above
    the knee; ``plate_slope`` (1/V) how much the plate's share grows a volt above ``plate_volts``, the point's.
    ``knee`` is the plate's knee as a multiple of the drive. ``contact_volts`` is where grid current starts.
    ``grid_acts`` is False for a converter in oscillation, whose grids' mean effect is in its perveance.
    """

    pentode: bool
    perveance: float
    mu: float
    offset_volts: float = 0.7
    screen_share: float = 0.0
    plate_slope: float = 0.0
    plate_volts: float = 0.0
    knee: float = 1.0
    contact_volts: float = -0.2
    grid_acts: bool = True
