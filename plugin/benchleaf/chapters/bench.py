"""What a chapter may know besides the record itself: the site's choices and the tubes looked up."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from ..electrics.limits import DEFAULT_LIMIT, TouchLimit
from ..report.dialect import AMERICAN, Words

if TYPE_CHECKING:
    from ..record.model import Record
    from ..report.picture import Picture
    from ..tubes import Tube


@dataclass(frozen=True)
class Bench:
    """The surroundings in which one record is examined.

    ``tubes`` maps a position (``V1``) to the tube fitted there. ``neighbours`` holds the records a reading may be taken
    from, by folder name. ``pictures`` maps a photo as the record names it to its published picture. ``limit`` is the
    limit of touch current the site has chosen.
    """

    words: Words = AMERICAN
    limit: TouchLimit = DEFAULT_LIMIT
    tubes: Mapping[str, Tube] = field(default_factory=dict)
    neighbours: Mapping[str, Record] = field(default_factory=dict)
    pictures: Mapping[str, Picture] = field(default_factory=dict)
