"""A point from memory beside another of the type, or of a type of the same system, on the one tube law.

A sheet prints the currents at two sets of volts, and the three-halves law with the point's slope leads from one to the
other (`electrics.tube_law`): a figure remembered amiss lies off it. A converter in oscillation follows its screen.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice

from benchleaf.electrics.tube_law import PublishedPoint, TubeLaw, converter, plate_amps, through_point
from benchleaf.tubes.point_checks import grid_volts, kin
from benchleaf.tubes.tube import Tube, Typical

__all__ = ["LAW_TOLERANCE", "as_published", "law_amps", "second_points"]

LAW_TOLERANCE = 0.15
"""How far a second point may lie from the law through the first that it bears out: as far as a model may."""

_APART = 1.05
"""How many times as high a volt must be for a point to be another one. Common practice, no source."""

_MIXES = ("pentagrid", "heptode", "hexode", "octode", "mixer")
_NOT_MIXING = "IF amplifier"


def second_points(tube: Tube, typical: Typical, figure: str = "") -> Iterator[str]:
    """In words, the first point of the type or its kin that lies with this one on the tube law; none for most."""
    if figure in ("", "plate_amps"):
        yield from islice(_on_one_law(tube, typical), 1)


def _on_one_law(tube: Tube, typical: Typical) -> Iterator[str]:
    for other in (tube, *kin(tube)):
        for at in other.typical:
            if (at.section, at.use) != (typical.section, typical.use) or not _apart(typical, at):
                continue
            if any(_lies_on(tube, *pair) for pair in ((typical, at), (at, typical))):
                whose = "its" if other is tube else f"the {other.type}'s"
                yield f"{whose} point at {_volts(at)} lies with it on the three-halves law"


def _apart(one: Typical, other: Typical) -> bool:
    pairs = ((one.plate_volts, other.plate_volts), (one.screen_volts, other.screen_volts))
    if not (one.plate_volts and other.plate_volts) or bool(one.screen_volts) != bool(other.screen_volts):
        return False
    return any(a and b and max(a, b) >= _APART * min(a, b) for a, b in pairs)


def _lies_on(tube: Tube, through: Typical, at: Typical) -> bool:
    found = law_amps(tube, through, at)
    return (
        found is not None and at.plate_amps is not None and abs(found - at.plate_amps) <= LAW_TOLERANCE * at.plate_amps
    )


def law_amps(tube: Tube, through: Typical, at: Typical) -> float | None:
    """The plate's amperes ``at`` a point by the law ``through`` another of the same section.

    None where the law does not follow: no slope and no amplification factor, no bias, no current of the screen.
    """
    mixes = not through.section and any(word in (tube.role or "") for word in _MIXES)
    law = _converter(through) if mixes and not through.use.startswith(_NOT_MIXING) else _amplifier(through)
    grid = grid_volts(at)
    if law is None or not at.plate_volts or (law.grid_acts and grid is None):
        return None
    return plate_amps(law, at.plate_volts, at.screen_volts or 0.0, grid or 0.0)


def _converter(point: Typical) -> TubeLaw | None:
    figures = (point.plate_amps, point.screen_amps, point.screen_volts, point.plate_volts)
    if not all(figures):
        return None
    return converter(*(figure or 0.0 for figure in figures))


def _amplifier(point: Typical) -> TubeLaw | None:
    if not (point.gm_siemens or (point.mu and not point.screen_volts)):
        return None
    try:
        return through_point(as_published(point))
    except ValueError:
        return None


def as_published(point: Typical) -> PublishedPoint:
    """A point of the table as the tube law takes it."""
    return PublishedPoint(
        point.plate_volts or 0.0,
        point.plate_amps or 0.0,
        point.grid_volts,
        point.screen_volts,
        point.screen_amps,
        point.cathode_ohms,
        point.mu,
        point.gm_siemens,
        point.rp_ohms,
    )


def _volts(point: Typical) -> str:
    volts = (point.plate_volts, point.screen_volts, point.grid_volts)
    return ", ".join(f"{value:g} V" for value in volts if value is not None)
