"""The circuit of one set: what is so of it, worked out once from its record and asked by every chapter."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from itertools import chain
from typing import TYPE_CHECKING

from ..record.place_words import folded
from ..words import AMERICAN, Words
from .back_bias import negative_return
from .barrier_places import by_place
from .days_in import with_days
from .ends_by_job import with_ends_by_job
from .first_rail import with_common_point
from .grounding import Grounding, grounding_of
from .in_place import When, when_read
from .listed import Listed, listed
from .mains import Mains, mains_of
from .materials import Material, materials_of
from .network import Network, StageLoad, joined_to_b_minus, network_of
from .places import Place, Places
from .places_of_set import places_of
from .read_volts import direct_volts
from .rectifier import DryRectifier, dead_output_part, doubling, dry_rectifier
from .resistors import ResistorInPlace, resistors
from .signal_loads import LoadUnknown, why_unknown
from .speaker_load import SpeakerLoad, speaker_load, with_speaker
from .tube_jobs.between_jobs import with_those_between
from .tube_jobs.read_jobs import jobs_of
from .warm_field import with_fields_at_work
from .winding_halves import halved

_SECTION = re.compile(r"(?P<part>[A-Za-z]{1,3}\d{1,3})(?P<of>[A-Za-z])")
"""A section of a part with its letter joined: ``R20A`` is section a of R20."""

if TYPE_CHECKING:
    from ..record.model import Record
    from ..tubes import Tube
    from .tube_jobs.tube_job import JobsOfTube


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
        return grounding_of(self.record, self.mains, self._written)

    @cached_property
    def places(self) -> Places:
        """The reader of every way in which a place of this set is written."""
        return places_of(self.record, self.tubes)

    @cached_property
    def network(self) -> Network:
        """What lies between which points of this set."""
        return with_common_point(self._written, self.record, one_point=self.grounding.one_point)

    @cached_property
    def _written(self) -> Network:
        """The network as it is written, the return of the supply at B-, before B- and chassis are taken for one."""
        return joined_to_b_minus(self._by_name, self.negative_return)

    @cached_property
    def _by_name(self) -> Network:
        """What is written of the network, each point by its own name."""
        return network_of(self.record, self.places, self.components)

    @cached_property
    def negative_return(self) -> Place | None:
        """The point of the writer's own name that the supply's current returns to, below the chassis: it is B-."""
        return negative_return(self.record, self.mains, self._by_name)

    @cached_property
    def parts(self) -> Mapping[str, tuple[Listed, ...]]:
        """Every component of the parts list by the name of its part, in the order written."""
        placed = with_ends_by_job(listed(self.record), self.record, self.places)
        found = with_days(halved(placed, self.places), self.record, self.places)
        return with_fields_at_work(self.record, found)

    @cached_property
    def components(self) -> tuple[Listed, ...]:
        """Every component of the parts list, in the order written."""
        return tuple(chain.from_iterable(self.parts.values()))

    def resistors(self, when: When, words: Words = AMERICAN) -> tuple[ResistorInPlace, ...]:
        """Every resistor or winding between two points, with the resistance it had at a time; its ends in words.

        Found once for a day, however many lists of readings ask.
        """
        if (when, words.dialect) not in self._resistors:
            self._resistors[when, words.dialect] = tuple(resistors(self.network, when, words))
        return self._resistors[when, words.dialect]

    @cached_property
    def _resistors(self) -> dict[tuple[When, str], tuple[ResistorInPlace, ...]]:
        """The resistors found so far, by the day and the dialect they were asked for."""
        return {}

    @cached_property
    def direct_volts(self) -> Mapping[str, Mapping[Place, float]]:
        """Volts DC by the name of their list of readings and their point in the network."""
        return direct_volts(self.record, self.places, self.network)

    def load(self, plate: Place, when: When = "now") -> StageLoad | None:
        """What a plate works into for signals, with the speaker that is in the set; None where not known."""
        return with_speaker(self.meant_load(plate, when), plate, self.speaker_load, self.network)

    @cached_property
    def speaker_load(self) -> SpeakerLoad | None:
        """What the speaker makes through its transformer; None where no speaker is written."""
        return speaker_load(self.record, self.network.elements)

    def meant_load(self, plate: Place, when: When = "now") -> StageLoad | None:
        """What a plate is meant to work into, by the volts that are first written of it; None where not known."""
        return None if self.load_unknown(plate) else self.network.load(plate, self._first_volts(plate), when)

    def load_unknown(self, plate: Place) -> LoadUnknown:
        """Why it is not known what a plate works into; empty where it is."""
        return why_unknown(self.network.load(plate, self._first_volts(plate)), plate, self.network, self.jobs)

    @cached_property
    def jobs(self) -> Mapping[str, JobsOfTube]:
        """The jobs of each tube by its position, in the record's order."""
        fitted = self.record.tubes.items()
        read = {str(at): jobs_of(str(tube.job or ""), self.tubes.get(str(at))) for at, tube in fitted}
        return with_those_between(read, self.tubes)

    def published_load(self, plate: Place) -> float | None:
        """The load in ohms that the tube is published with at volts like those first written of its plate."""
        return self.network.published_load(plate, self._first_volts(plate))

    def _first_volts(self, place: Place) -> float | None:
        return next((volts[place] for volts in self.direct_volts.values() if place in volts), None)

    @cached_property
    def dry_rectifier(self) -> DryRectifier | None:
        """The silicon or selenium rectifier in the set; None where a tube does the work."""
        return self.dry_rectifier_on("now")

    def dry_rectifier_on(self, when: When) -> DryRectifier | None:
        """The same at a time."""
        return dry_rectifier(self.record, self.components, when)

    @cached_property
    def materials(self) -> tuple[Material, ...]:
        """The materials in the set that harm, as far as the record names them."""
        return materials_of(self.record, self.tubes, self.dry_rectifier, self.components)

    @cached_property
    def doubling(self) -> str:
        """``cascade doubler``, ``doubler`` or empty."""
        return doubling(self.record, self.components, self.network)

    @cached_property
    def dead_output_part(self) -> str:
        """The open part for which no output tube draws current; empty where one may."""
        return dead_output_part(self.network, self.tubes)

    @cached_property
    def on_line_side(self) -> Mapping[str, tuple[Listed, ...]]:
        """The components of the parts list by the place of the line side that they lie in."""
        on_line = self.grounding.b_minus_on_line
        return by_place(self.components, self.places, self.network, b_minus_on_line=on_line)

    @cached_property
    def named(self) -> Mapping[str, Listed]:
        """Every component of the parts list by its own name (``R1``, ``C12 a``) as names are compared."""
        return {folded(one.name): one for one in self.components}

    def component(self, name: str | None) -> Listed | None:
        """The component of the parts list that a name means, whatever its capitals; None where there is none."""
        if not name:
            return None
        section = _SECTION.fullmatch(name)
        known = self.named.get(folded(name))
        return known or (self.named.get(folded(f"{section['part']} {section['of']}")) if section else None)

    def day_of(self, run: str) -> When:
        """When a list of readings was taken: its day, or as found; None where the record does not say."""
        readings = next((found for name, found in self.record.readings.items() if name == run), None)
        return when_read(run, readings) if readings else None
