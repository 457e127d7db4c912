"""The amplifying sections of a set's tubes, each with the places its currents flow through."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from ..tubes import Maxima, Tube, Typical
from .places import CONTROL_GRIDS, Place, Places
from .tube_jobs.read_jobs import amplifies_only, swings

_OTHER_USE = re.compile(r"push|triode|\bAB|\bB\b")
_MIXING = ("converter", "mixer")
_NOT_AMPLIFYING = ("diode", "rectifier", "indicator")


@dataclass(frozen=True, slots=True)
class Stage:
    """One section. ``name`` is ``V4``, or ``V4 triode`` where the bulb holds another one that comes first.

    ``beside`` are the places that take current from the same cathode in other sections. ``certain`` says that the tube
    is known, so that a section without a screen has none. ``amplifies`` says that the tube, made to change frequencies,
    is written to do nothing of the kind here: the second ECH21 of a set. ``swings`` says that the tube is written to
    change frequencies or to oscillate, whatever it is made for: the ECC85 of a tuner.
    """

    name: str
    tube: str
    section: str
    cathode: Place | None
    plates: tuple[Place, ...]
    screens: tuple[Place, ...]
    beside: tuple[Place, ...] = ()
    certain: bool = True
    grids: tuple[Place, ...] = ()
    amplifies: bool = False
    swings: bool = False

    @property
    def mixes(self) -> bool:
        """Whether its grids swing, so that their mean effect is in its published currents."""
        return self.section.startswith(_MIXING) and not self.amplifies

    @property
    def oscillates(self) -> bool:
        """Whether it is the triode of an oscillator at work."""
        return "oscillator" in self.section and not self.amplifies


def stages_of(places: Places, position: str, job: str = "") -> Iterator[Stage]:
    """The amplifying sections of the tube at a position, whose ``job`` is as written.

    None of a rectifier, nor of a tube whose type is not known.
    """
    tube = places.tubes.get(position)
    if tube is None or ("rectifier" in (tube.role or "") and "output" not in (tube.role or "")):
        return
    found = {}
    for section in tube.sections:
        if not section.name.startswith(_NOT_AMPLIFYING):
            at = [place for key in section.electrodes for place in places.at_tube(position, key) if place.known]
            found[section.name] = {kind: of_kind(at, kind) for kind in ("cathode", "plate", "screen", *CONTROL_GRIDS)}
    amplifies, swinging = amplifies_only(job), swings(job)
    twins = len({name.split()[0] for name in found}) < len(found)
    for n, (name, at_kind) in enumerate(found.items()):
        cathode = at_kind["cathode"][0] if at_kind["cathode"] else None
        beside = tuple(
            place
            for other, theirs in found.items()
            if other != name and cathode in theirs["cathode"]
            for place in (*theirs["plate"], *theirs["screen"])
        )
        label = position if n == 0 and not twins else f"{position} {name}"
        grids = (*at_kind["grid"], *at_kind["osc grid"])
        plates, screens = at_kind["plate"], at_kind["screen"]
        yield Stage(
            label, position, name, cathode, plates, screens, beside, grids=grids, amplifies=amplifies, swings=swinging
        )


def stage_of_unknown(position: str, read: Iterable[Place]) -> Stage:
    """A tube whose type is not known, by the places of it that were read."""
    read = list(read)
    plates, screens, cathodes = (of_kind(read, kind) for kind in ("plate", "screen", "cathode"))
    return Stage(position, position, "", cathodes[0] if cathodes else None, plates, screens, certain=False)


def changes_frequencies(stage: Stage) -> bool:
    """Whether a section is made to mix, whatever it does in the set."""
    return stage.section.startswith(_MIXING)


def of_kind(places: Iterable[Place], kind: str) -> tuple[Place, ...]:
    """The electrodes of one kind, each once."""
    return tuple(dict.fromkeys(place for place in places if place.electrode == kind))


def maxima_of(stage: Stage, tube: Tube) -> Maxima | None:
    """The highest permitted values of one section, or None where the table has none for it."""
    for maxima in tube.other_maxima:
        if maxima.section and stage.section.endswith(maxima.section):
            return maxima
    first = tube.sections[0].name if tube.sections else ""
    twin = stage.section.split()[:1] == first.split()[:1]
    return tube.maxima if twin else None


def operations(stage: Stage, tube: Tube) -> tuple[Typical, ...]:
    """The published operations of a stage's section by itself: neither push-pull nor connected as a triode."""
    first = tube.sections[0].name.split()[:1] if tube.sections else []
    main = stage.section.split()[:1] == first
    return tuple(
        t
        for t in tube.typical
        if (stage.section.endswith(t.section) if t.section else main) and not _OTHER_USE.search(t.use)
    )
