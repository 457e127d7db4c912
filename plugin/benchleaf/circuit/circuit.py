"""The circuit of one set: what is so of it, worked out once from its record and asked by every chapter."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from itertools import chain
from typing import TYPE_CHECKING

from ..record.sections.parts import node_name
from ..record.sections.readings import day_of
from .listed import Listed, listed

if TYPE_CHECKING:
    from ..record.model import Record
    from ..tubes import Tube


@dataclass(frozen=True)
class Circuit:
    """One set as its record describes it. ``tubes`` maps a position (``V1``) to the type of tube fitted there."""

    record: Record
    tubes: Mapping[str, Tube] = field(default_factory=dict)

    @cached_property
    def parts(self) -> Mapping[str, tuple[Listed, ...]]:
        """Every component of the parts list by the name of its part, in the order written."""
        return listed(self.record)

    @cached_property
    def components(self) -> tuple[Listed, ...]:
        """Every component of the parts list, in the order written."""
        return tuple(chain.from_iterable(self.parts.values()))

    @cached_property
    def named(self) -> Mapping[str, Listed]:
        """Every component of the parts list by its own name (``R1``, ``C12 a``) as names are compared."""
        return {node_name(one.name): one for one in self.components}

    def day_of(self, run: str) -> datetime.date | None:
        """The day a list of readings was taken on; None where the record does not say."""
        readings = next((found for name, found in self.record.readings.items() if name == run), None)
        return day_of(run, readings) if readings else None
