"""What a record names must be in it: tubes, electrodes, parts, lamps. Each slip is a Problem.

A condition of the set (wrong tube, positive grid) is never a Problem; a name that leads nowhere is.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from ..places_of_set import places_of
from . import heaters, parts, photos, places, tubes

if TYPE_CHECKING:
    from ...record.model import Record
    from ...record.slips import Slips
    from ...tubes import Tube


def look_over(record: Record, slips: Slips) -> Mapping[str, Tube]:
    """Look up every name that the record itself must hold; the tubes by position."""
    fitted = tubes.fitted(record, slips)
    tubes.look_over_changes(record, slips)
    heaters.look_over(record, fitted, slips)
    places.look_over(record, places_of(record, fitted), slips)
    parts.look_over(record, slips)
    photos.look_over(record, slips)
    return fitted
