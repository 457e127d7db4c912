"""The circuit of one set: what is so of it, worked out once from its record and asked by every chapter."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

from .grounding import Grounding, grounding_of
from .mains import Mains, mains_of

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
