"""One set on the bench: its circuit, and the surroundings in which it is examined."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from ..electrics.limits import DEFAULT_LIMIT, TouchLimit
from ..words import AMERICAN, Words

if TYPE_CHECKING:
    from ..circuit.circuit import Circuit
    from ..record.model import Record
    from ..report.picture import Picture
    from ..tubes import Tube


@dataclass(frozen=True)
class Bench:
    """What every chapter is given.

    ``neighbours`` holds the sets a reading may be taken from, by folder name. ``pictures`` maps a photo as the
    record names it to its published picture. ``limit`` is the limit of touch current the site has chosen,
    ``how_it_works`` whether it tells how a set works.
    """

    circuit: Circuit
    words: Words = AMERICAN
    limit: TouchLimit = DEFAULT_LIMIT
    neighbours: Mapping[str, Circuit] = field(default_factory=dict)
    pictures: Mapping[str, Picture] = field(default_factory=dict)
    how_it_works: bool = True

    def __post_init__(self) -> None:
        """A set that is fed from no line has no word of one; where that is in doubt the line's words stand."""
        if not self.circuit.mains.from_line and not self.circuit.grounding.contradicted:
            object.__setattr__(self, "words", self.words.on_a_battery())

    @property
    def record(self) -> Record:
        """What the restorer wrote."""
        return self.circuit.record

    def tube(self, type_: object) -> Tube | None:
        """The tube of a type as the record writes it, or None where there is none or the table does not know it."""
        return self.record.tube_table.find(str(type_)) if type_ else None

    @property
    def tubes(self) -> Mapping[str, Tube]:
        """The tube fitted at each position, as the table knows it."""
        return self.circuit.tubes
