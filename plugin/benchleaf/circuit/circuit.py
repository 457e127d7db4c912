"""The circuit of one set: what is so of it, worked out once from its record and asked by every chapter."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

from .grounding import Grounding, grounding_of
from .mains import Mains, mains_of
from .network import Network, network_of
from .places import Places, places_of

if TYPE_CHECKING:
    from ..record.model import Record
    from ..tubes import Tube


@dataclass(frozen=True)
class Circuit:
    """One set as its record describes it. ``tubes`` maps a position (``V1``) to the type of tube fitted there."""

    record: Record
    tubes: Mapping[str, Tube] = field(default_factory=dict)

    @cached_property
    def mains(self) -> Mains:
        """What the set is fed from."""
        return mains_of(self.record)

    @cached_property
    def grounding(self) -> Grounding:
        """How B- and the chassis stand to the line."""
        return grounding_of(self.record, self.mains)

    @cached_property
    def places(self) -> Places:
        """The reader of every way in which a place of this set is written."""
        return places_of(self.record, self.tubes)

    @cached_property
    def network(self) -> Network:
        """What lies between which points of this set."""
        return network_of(self.record, self.places, one_point=self.grounding.one_point)
