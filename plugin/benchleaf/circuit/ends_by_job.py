"""Where a part lies by what it is said to do, where its places are not written: ``V4 cathode``, ``reservoir``."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from ..record.place_words import B_MINUS, CHASSIS, folded, read_rail
from .elements import ends_of
from .grounding import written_answer
from .mains import ON_THE_LINE
from .named_rails import FIRST_FILTER, SECOND_FILTER
from .rails_by_job import rails_by_job
from .tube_jobs.read_jobs import jobs_of

if TYPE_CHECKING:
    from ..record.model import Record
    from .listed import Listed
    from .pieces import Piece
    from .places import Places

_ELECTRODE = re.compile(
    r"\b(?P<cathode>cathodes?|cath|k)\b|\b(?P<screen>screen(?:[- ]grid)?|scr|g2)\b"
    r"|\b(?P<grid>(?:control[- ])?grid|g1)\b|\b(?P<plate>plate|anode|plt)\b",
    re.I,
)
_NOT_THERE = re.compile(
    r"\b(?:to|series|decoupl\w*|filter|tone|feedback|osc\w*|suppressor|diode|AVC|AGC|CAV|delay|divider|"
    r"bleeder|meter|tap|stopper|surge|protective)\b",
    re.I,
)
"""Words with which a part lies otherwise, or may: nothing is taken for granted then."""
_BYPASS = re.compile(r"\b(?:by-?p(?:ass)?\w*|decoupl\w*)\b", re.I)
_COUPLES = re.compile(
    r"(?:(?:audio|af|lf|signal|interstage)\s+)?(?:coupling|coupler|koppel\w*|kopplung)(?:\s+cap\w*)?[\s,]+"
    r"(?P<one>\S+)(?:\s+(?:plate|anode|a))?"
    r"\s*(?:to|-|–|/|->|→)\s*(?P<other>\S+?)(?:\s+(?:grid|g1?))?",
    re.I,
)
"""What joins the plate of one tube to the grid of the next: ``coupling V4 to V5``."""
_AUDIO = frozenset({"output", "first audio", "audio", "driver", "detector"})
_OTHER_GRIDS = frozenset({"converter", "mixer", "rf", "if", "oscillator", "fm front end"})
_TO_COMMON = re.compile(r"\s+to\s+(?:the\s+)?(?:chassis|ground|gnd\.?|earth|B\s?-|HT\s?-|common)\s*\Z", re.I)
_BETWEEN_RAILS = re.compile(
    r"(?:(?:h\.?t\.?|b\s?\+|b plus|main)\s+)?(?:smoothing|filter|sieb)(?:\s+(?:resistor|choke|coil))?"
    r"|siebwiderstand|siebdrossel"
    r"|(?:(?:smoothing|filter)\s+)?choke|(?:speaker\s+)?field(?:\s+coil)?(?:\s+of(?:\s+the)?\s+speaker)?",
    re.I,
)
"""What leads from the first rail to the second."""
_PART_OF_TUBE = re.compile(r"\b(?:triode|pentode|heptode|hexode|tetrode)\b", re.I)
_OUTPUT = re.compile(r"\boutput(?:s|\s+(?:tubes?|valves?|stage))?\b", re.I)
_MOST_WORDS, _MOST_TOGETHER = 3, 2


@dataclass(frozen=True, slots=True)
class _Set:
    """What of a set tells where its parts lie: its reader of places, its common point, its rails from the first on."""

    places: Places
    record: Record
    common: str
    rails: tuple[str, ...]
    back: str
    decoupled: frozenset[str] = frozenset()

    def ends(self, name: str, piece: Piece) -> tuple[str, ...] | None:
        """The two places of a component whose own are not written, and what is joined to the first; None in doubt."""
        job = _said(piece)
        own = self.places.rails.get(folded(name))
        capacitor = _is("capacitor", piece, name, "C")
        if capacitor and self.rails:
            if own:
                return own, self.back
            if FIRST_FILTER.fullmatch(job) and self.rails[0]:
                return self.rails[0], self.back
            if SECOND_FILTER.fullmatch(job) and len(self.rails) > 1:
                return self.rails[1], self.back
        if capacitor and (coupled := self._coupled(job)):
            return coupled
        if not capacitor and len(self.rails) > 1 and self.rails[0] and _BETWEEN_RAILS.fullmatch(job):
            return self.rails[0], self.rails[1]
        word, at = self._electrode(job, capacitor=capacitor)
        if len(at) > 1:
            return (at[0], self.common, *at[1:]) if word == "cathode" else None
        if not at:
            return None
        (place,) = at
        if capacitor:
            bypasses = word == "cathode" or (
                word == "screen" and (_BYPASS.search(job) or job.casefold() == place.casefold())
            )
            return (place, self.common) if bypasses else None
        if not _is("resistor", piece, name, "R"):
            return None
        if word == "cathode":
            return place, self.common
        if word == "grid":
            return (place, self.common) if self._is_audio(self.places.read(place).tube) else None
        # Behind a third rail, or a resistor that decouples it, nobody knows what feeds it.
        fed = 0 < len(self.rails) <= 2 and self.places.read(place).tube not in self.decoupled
        return (place, self.rails[-1]) if fed else None

    def _electrode(self, job: str, *, capacitor: bool) -> tuple[str, tuple[str, ...]]:
        """The one electrode that a job names, and its place at each tube it names as it would be written."""
        found = _ELECTRODE.search(job)
        rest = _BYPASS.sub(" ", job) if capacitor else job
        if found is None or _NOT_THERE.search(rest) or _ELECTRODE.search(job, found.end()):
            return "", ()
        words = re.findall(r"[^\s/()&+]+", f"{job[: found.start()]} {job[found.end() :]}")
        tubes = list(dict.fromkeys(tube for n in range(1, _MOST_WORDS + 1) for tube in self._named(words, n)))
        if not tubes and _OUTPUT.search(job):
            tubes = [at for at in self.places.positions if "output" in self._jobs(at)]
        word = next(name for name, said in found.groupdict().items() if said)
        which = f"{part[0].casefold()} " if (part := _PART_OF_TUBE.search(job)) else ""
        at = tuple(f"{tube} {which}{word}" for tube in tubes)
        if which and not all(self.places.read(name).known for name in at):
            at = tuple(f"{tube} {word}" for tube in tubes)
        whole = all((place := self.places.read(name)).known and place.kind == word for name in at)
        return (word, at) if whole and len(at) <= _MOST_TOGETHER else ("", ())

    def _coupled(self, job: str) -> tuple[str, str] | None:
        """The plate and the grid that a capacitor between two stages joins."""
        found = _COUPLES.fullmatch(job)
        tubes = [self.places.position(found[name]) for name in ("one", "other")] if found else []
        ends = [f"{tube} {word}" for tube, word in zip(tubes, ("plate", "grid"), strict=False)]
        at = [self.places.read(end) for end in ends]
        joins = all(tubes) and [one.kind for one in at if one.known] == ["plate", "grid"]
        return (ends[0], ends[1]) if joins and tubes[0] != tubes[1] else None

    def _named(self, words: Sequence[str], count: int) -> Iterable[str]:
        for start in range(len(words) - count + 1):
            if tube := self.places.position(" ".join(words[start : start + count])):
                yield tube

    def _is_audio(self, tube: str) -> bool:
        """Whether a tube's grid has its leak to the common point: none that AVC may reach, nor a bias made in B-."""
        keys = self._jobs(tube)
        biased = self.back != self.common and "output" in keys
        return bool(keys & _AUDIO) and not keys & _OTHER_GRIDS and not biased

    def _jobs(self, position: str) -> set[str]:
        fitted = next((tube for name, tube in self.record.tubes.items() if str(name) == position), None)
        written = str(fitted.job or "") if fitted else ""
        return {job.key for job in jobs_of(written, self.places.tubes.get(position)).jobs}


def _said(piece: Piece) -> str:
    """What a component does, or in a note that ends with the common point where it begins: ``V8/V9 cathodes``."""
    notes = (piece.note, *(one.note for one in (piece.sheet, piece.was, piece.now) if one))
    led = (_TO_COMMON.search(note) for note in (piece.job, *notes))
    found = next((to_common for to_common in led if to_common), None)
    said = found.string[: found.start()] if found else piece.job
    return " ".join(re.sub(r",|\.(?=\s|\Z)", " ", said).split())


def _is(kind: str, piece: Piece, name: str, letter: str) -> bool:
    """Whether a component is a capacitor or resistor, by what is written of it or else by its letter."""
    kinds = {one.kind for one in (piece.sheet, piece.was, piece.now) if one and one.kind}
    return kinds <= {kind} if kinds else bool(re.match(rf"{letter}\s?\d", name, re.I))


def with_ends_by_job(
    parts: Mapping[str, Sequence[Listed]], record: Record, places: Places
) -> Mapping[str, tuple[Listed, ...]]:
    """The components of the parts list, those without places with the ones that their job leaves no doubt of.

    A cathode's resistor and its bypass lead to the common point, a plate's or screen's resistor to the last of one or
    two rails, an audio grid's leak to the common point, the reservoir from the first rail, the smoothing capacitor from
    the second. Common practice, no source.
    """
    every = [one for of_part in parts.values() for one in of_part]
    these = _set_of(record, places, every)
    found = {
        one.name: ends for one in every if not one.piece.ends and (ends := these.ends(one.name, one.piece)) is not None
    }
    alone = _alone(every, found, places)
    return {
        name: tuple(
            replace(one, piece=_placed(one.piece, found[one.name])) if one.name in alone else one for one in of_part
        )
        for name, of_part in parts.items()
    }


def _placed(piece: Piece, ends: tuple[str, ...]) -> Piece:
    return replace(piece, ends=(ends[0], ends[1]), ends_by_job=True, joined_to_first=ends[2:])


def _alone(every: Sequence[Listed], found: Mapping[str, tuple[str, ...]], places: Places) -> set[str]:
    """Those of the parts that were found a place which no other of their kind has a part in, written or found."""
    taken = [
        (_kind(one), place)
        for one in every
        if one.name not in found
        for place in ends_of(one.piece, places) or ()
        if place.tube
    ]
    rails = {frozenset(at) for one in every if one.name not in found and (at := ends_of(one.piece, places))}
    own = {
        one.name: (_kind(one), places.read(found[one.name][0]))
        for one in every
        if one.name in found and (_kind(one) or frozenset(map(places.read, found[one.name][:2])) not in rails)
    }
    return {name for name, at in own.items() if at not in taken and list(own.values()).count(at) == 1}


def _kind(one: Listed) -> str:
    """``C`` for a capacitor, else empty: what passes direct current stands alone between two places."""
    return "C" if _is("capacitor", one.piece, one.name, "C") else ""


def _set_of(record: Record, places: Places, every: Iterable[Listed]) -> _Set:
    lists = [str(run.to) for run in record.readings.values() if run.to]
    keys = [read_rail(name).key for name in lists]
    usual = B_MINUS if str(record.power or "") in ON_THE_LINE else CHASSIS
    of_lists = next((key for key in keys if key in (B_MINUS, CHASSIS)), usual)
    common = B_MINUS if written_answer(record).parted else of_lists
    ends = [{places.read(end).key for end in one.piece.ends} for one in every if one.piece.ends]
    jobs = [_said(one.piece) for one in every]
    rails = rails_by_job(record, places, jobs)
    back = B_MINUS if {B_MINUS, CHASSIS} in ends else common
    resistors = (one for one in every if _is("resistor", one.piece, one.name, "R") and _BYPASS.search(one.piece.job))
    decoupled = {tube for one in resistors for word in one.piece.job.split() if (tube := places.position(word))}
    return _Set(places, record, common, rails, back, frozenset(decoupled))
