"""One law for the currents of an amplifying tube, fixed by one published operating point.

Cathode current by the three-halves law (Child 1911, Langmuir 1913) with van der Bijl's equivalent diode: all volts
above the cathode, ``drive = pull/mu + grid + V0``, where the plate of a triode or the screen of a pentode pulls. V0 is
contact potential and the electrons' initial velocity. The smooth cut-off is that of Koren, Glass Audio 5/1996. What
the plate takes below its knee, and the grid near zero, are smooth curves of our own: common practice, no source.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

__all__ = [
    "LawArrays",
    "PublishedPoint",
    "TubeLaw",
    "converter",
    "currents",
    "oscillator_triode",
    "plate_amps",
    "through_point",
]

EXPONENT = 1.5
USUAL_OFFSET_VOLTS = 0.7
"""V0 where one point alone is known: it makes mu(g1-g2) of 6V6GT 8.9 (printed 9.6), EL84 19.3 (19), EF86 37 (38)."""
LEAST_OFFSET_VOLTS, MOST_OFFSET_VOLTS = 0.0, 1.5
TRIODE_BIAS_SHARE, PENTODE_BIAS_SHARE = 0.55, 0.5
"""Bias over cut-off bias at a published point. Common practice, no source."""
GRID_STEP_VOLTS, GRID_OHMS = 0.1, 2_000.0
KNEE_OF_SCREEN = 0.07
"""A plate's knee is no less than so much of the screen's volts: of an EF80 that was measured at 200 to 300 V on the
screen (public curve-tracer files) 0.05 to 0.09, of models fitted to the sheets of 6V6GT, 6L6G, 5881 and 6BL8 0.07."""
MOST_SCREEN_SHARE = 0.92
"""More would make a plate emit current."""

_CUT_OFF_VOLTS, _TRIODE_KNEE_VOLTS, _PENTODE_KNEE_VOLTS, _PLATE_STEP_VOLTS = 0.12, 0.5, 0.3, 0.4
_SLOPE_LIMIT = 0.7
_CONVERTER_MU = 20.0


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
    offset_volts: float = USUAL_OFFSET_VOLTS
    screen_share: float = 0.0
    plate_slope: float = 0.0
    plate_volts: float = 0.0
    knee: float = 1.0
    contact_volts: float = -0.2
    grid_acts: bool = True


@dataclass(frozen=True, slots=True)
class PublishedPoint:
    """One printed operating point: volts above the cathode, amperes; a triode has no screen.

    ``grid_volts`` may be left to ``cathode_ohms``. ``mu`` is from plate (triode) or screen (pentode) to the grid.
    """

    plate_volts: float
    plate_amps: float
    grid_volts: float | None = None
    screen_volts: float | None = None
    screen_amps: float | None = None
    cathode_ohms: float | None = None
    mu: float | None = None
    gm_siemens: float | None = None
    rp_ohms: float | None = None


def through_point(point: PublishedPoint) -> TubeLaw:
    """The law that goes through a printed point.

    Slope and mu, where printed, fix drive and V0 (drive = 1.5 I/gm); V0 is held within 0 and 1.5 V, and the rest goes
    into mu. Without them the bias is taken as a usual share of cut-off. Raises ValueError for a point that cannot be
    used: no current or volts, a screen without its current, a grid at zero with neither slope nor mu, a tube cut off.
    """
    pentode = point.screen_volts is not None
    _usable(point)
    pull = point.plate_volts if point.screen_volts is None else point.screen_volts
    cathode_amps = point.plate_amps + (point.screen_amps or 0.0)
    grid = point.grid_volts
    if not grid and point.cathode_ohms:
        grid = -point.cathode_ohms * cathode_amps
    if grid is None:
        raise ValueError("a point needs the grid's volts or the cathode's resistor")
    drive, mu, offset = _drive(point, pull, grid, TRIODE_BIAS_SHARE if point.screen_volts is None else 0.5)
    above = _CUT_OFF_VOLTS * math.log1p(math.exp(min(drive / _CUT_OFF_VOLTS, 700.0)))
    ratio = max(1.0, KNEE_OF_SCREEN * pull / above) if pentode else 1.0
    knee = ratio * above + _PENTODE_KNEE_VOLTS if pentode else _TRIODE_KNEE_VOLTS
    taken = 1 - math.exp(-point.plate_volts / knee)
    amps = cathode_amps if pentode else point.plate_amps / taken
    share = 1 - point.plate_amps / cathode_amps / taken if pentode else 0.0
    slope = 1 / (point.rp_ohms * point.plate_amps) if pentode and point.rp_ohms else 0.0
    return TubeLaw(
        pentode,
        amps / above**EXPONENT,
        mu,
        offset,
        min(max(share, 0.0), MOST_SCREEN_SHARE),
        slope,
        point.plate_volts,
        ratio,
    )


def _usable(point: PublishedPoint) -> None:
    if not (point.plate_volts > 0 and point.plate_amps > 0):
        raise ValueError("a point needs plate volts and plate current above zero")
    if point.screen_volts is not None and not (point.screen_volts > 0 and (point.screen_amps or 0.0) > 0):
        raise ValueError("a screen needs its volts and its current above zero")


def _drive(point: PublishedPoint, pull: float, grid: float, bias_share: float) -> tuple[float, float, float]:
    """Drive, mu and V0 by what is printed."""
    mu, slope, offset = point.mu, point.gm_siemens, USUAL_OFFSET_VOLTS
    if slope:
        drive = EXPONENT * point.plate_amps / slope
        if mu:
            offset = min(max(drive - pull / mu - grid, LEAST_OFFSET_VOLTS), MOST_OFFSET_VOLTS)
        pulled = drive - grid - offset
        if pulled <= 0:
            raise ValueError("the printed slope does not fit the printed current and bias")
        return drive, pull / pulled, offset
    if not mu:
        if grid >= 0:
            raise ValueError("a point with the grid at zero needs the slope or mu")
        mu = bias_share * pull / -grid
    drive = pull / mu + grid + offset
    if drive <= 0:
        raise ValueError("by its printed mu the tube is cut off at its printed point")
    return drive, mu, offset


def converter(plate_amps: float, screen_amps: float, screen_volts: float, plate_volts: float) -> TubeLaw:
    """A converter in oscillation: its cathode's current follows the screen alone, the shares are those published.

    Raises ValueError unless all are above zero.
    """
    if not min(plate_amps, screen_amps, screen_volts, plate_volts) > 0:
        raise ValueError("a converter needs volts and currents above zero")
    drive, ratio = screen_volts / _CONVERTER_MU, max(1.0, KNEE_OF_SCREEN * _CONVERTER_MU)
    taken = 1 - math.exp(-plate_volts / (ratio * drive + _PENTODE_KNEE_VOLTS))
    amps = plate_amps + screen_amps
    share = min(max(1 - plate_amps / amps / taken, 0.0), MOST_SCREEN_SHARE)
    return TubeLaw(
        True, amps / drive**EXPONENT, _CONVERTER_MU, 0.0, share, plate_volts=plate_volts, knee=ratio, grid_acts=False
    )


def oscillator_triode(plate_amps: float, plate_volts: float) -> TubeLaw:
    """The oscillator's triode of a converter: its current follows its plate through the published point.

    Raises ValueError unless both are above zero.
    """
    if not (plate_amps > 0 and plate_volts > 0):
        raise ValueError("an oscillator needs volts and current above zero")
    perveance = plate_amps / (plate_volts / _CONVERTER_MU) ** EXPONENT
    return TubeLaw(False, perveance, _CONVERTER_MU, 0.0, grid_acts=False)


def plate_amps(law: TubeLaw, plate: float, screen: float, grid: float) -> float:
    """The plate's current in amperes at volts above the cathode, as `currents` has it, for those that load no numpy."""
    pull = screen if law.pentode else plate
    drive = _rounded(pull / law.mu + law.grid_acts * grid + law.offset_volts, _CUT_OFF_VOLTS)
    knee = law.knee * drive + _PENTODE_KNEE_VOLTS if law.pentode else _TRIODE_KNEE_VOLTS
    reached = law.perveance * math.pow(drive, EXPONENT) * (1 - math.exp(-_rounded(plate, _PLATE_STEP_VOLTS) / knee))
    bend = math.tanh(law.plate_slope * (plate - law.plate_volts) / _SLOPE_LIMIT)
    return reached * (1 - law.screen_share) * (1 + _SLOPE_LIMIT * bend)


def _rounded(x: float, width: float) -> float:
    """``width ln(1 + exp(x/width))`` without overflow."""
    return max(x, 0.0) + width * math.log1p(math.exp(-abs(x) / width))


class LawArrays(NamedTuple):
    """The laws of several tubes in several variants, each field an array [variant, tube]."""

    pentode: Floats
    perveance: Floats
    mu: Floats
    offset_volts: Floats
    screen_share: Floats
    plate_slope: Floats
    plate_volts: Floats
    knee: Floats
    contact_volts: Floats
    grid_acts: Floats


class TubeCurrents(NamedTuple):
    """Currents [variant, tube, 3] into plate, screen and grid, and their slopes [variant, tube, 3, 3].

    The last axis is the voltage that is moved: plate, screen, grid, each above the cathode.
    """

    amps: Floats
    slopes: Floats


def currents(law: LawArrays, volts: Floats) -> TubeCurrents:
    """The currents at ``volts`` [variant, tube, 3], plate, screen and grid above the cathode. Smooth throughout."""
    import numpy as np

    plate, screen, grid = volts[..., 0], volts[..., 1], volts[..., 2]
    pentode = law.pentode
    pull = np.where(pentode > 0, screen, plate)
    drive, d_drive = _softplus(pull / law.mu + law.grid_acts * grid + law.offset_volts, _CUT_OFF_VOLTS)
    root = np.sqrt(drive)
    emitted = law.perveance * drive * root
    d_emitted = EXPONENT * law.perveance * root * d_drive
    knee = np.where(pentode > 0, law.knee * drive + _PENTODE_KNEE_VOLTS, _TRIODE_KNEE_VOLTS)
    d_knee = np.where(pentode > 0, law.knee * d_drive, 0.0)
    above, d_above = _softplus(plate, _PLATE_STEP_VOLTS)
    left = np.exp(-above / knee)
    # A screen that nothing feeds takes no current either, or it would have to stand far below its cathode.
    screen_above, d_screen_above = _softplus(screen, _PLATE_STEP_VOLTS)
    share = 1 - law.screen_share
    bend = np.tanh(law.plate_slope * (plate - law.plate_volts) / _SLOPE_LIMIT)
    factor, d_factor = 1 + _SLOPE_LIMIT * bend, law.plate_slope * (1 - bend**2)
    # Of the emission, ``reached`` is what the plate's field takes; by the drive and by the plate's own volts.
    reached = emitted * share * (1 - left)
    by_drive = share * (d_emitted * (1 - left) - emitted * left * above / knee**2 * d_knee)
    by_plate = emitted * share * left / knee * d_above
    amps, slopes = np.zeros(volts.shape), np.zeros((*volts.shape, 3))
    amps[..., 0] = reached * factor
    left_over, kept = pentode * (emitted - reached), np.exp(-screen_above / _TRIODE_KNEE_VOLTS)
    amps[..., 1] = left_over * (1 - kept)
    amps[..., 2], at_grid = _grid(law, grid)
    to_pull, to_grid = 1 / law.mu, law.grid_acts
    slopes[..., 0, 0] = by_plate * factor + reached * d_factor + by_drive * factor * to_pull * (1 - pentode)
    slopes[..., 0, 1] = by_drive * factor * to_pull * pentode
    slopes[..., 0, 2] = by_drive * factor * to_grid
    slopes[..., 1, 0] = -pentode * by_plate * (1 - kept)
    slopes[..., 1, 1] = pentode * (d_emitted - by_drive) * to_pull * (1 - kept)
    slopes[..., 1, 1] += left_over * kept / _TRIODE_KNEE_VOLTS * d_screen_above
    slopes[..., 1, 2] = pentode * (d_emitted - by_drive) * to_grid * (1 - kept)
    slopes[..., 2, 2] = at_grid
    return TubeCurrents(amps, slopes)


def _grid(law: LawArrays, grid: Floats) -> tuple[Floats, Floats]:
    amps, slope = _softplus(grid - law.contact_volts, GRID_STEP_VOLTS)
    return amps / GRID_OHMS, slope / GRID_OHMS


def _softplus(x: Floats, width: float) -> tuple[Floats, Floats]:
    """``width ln(1 + exp(x/width))`` and its slope, without overflow."""
    import numpy as np

    scaled = x / width
    value = width * np.logaddexp(0.0, scaled)
    return value, np.exp(scaled - value / width)
