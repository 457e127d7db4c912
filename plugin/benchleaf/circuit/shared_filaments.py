"""Tubes heated directly on one winding: their filaments, which are their cathodes, are one point."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .heater_names import fed_by

if TYPE_CHECKING:
    from ..record.model import Record
    from .places import Place, Places


def shared_filaments(record: Record, places: Places) -> list[list[Place]]:
    """The filaments that each winding feeds side by side, of two tubes and more."""
    windings = record.heaters.windings.values() if record.heaters else ()
    rectifiers = [at for at, tube in places.tubes.items() if "rectifier" in (tube.role or "")]
    fed = (fed_by(str(winding.feeds), places.positions, rectifiers)[0] for winding in windings if winding.feeds)
    return [group for tubes in fed if len(group := [*_filaments(tubes, places)]) > 1]


def _filaments(positions: list[str], places: Places) -> list[Place]:
    direct = (at for at in positions if at in places.tubes and places.tubes[at].heater.direct)
    return [place for at in direct if (place := places.read(f"{at} filament")).kind == "cathode"]
