"""The findings of parts: of one part, of all of them, and how far the work is."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from ...circuit.in_place import InPlace, When, in_place
from ...circuit.listed import Listed
from ...circuit.pieces import Piece, Seen, Tolerance
from ...circuit.warm_field import at_work
from ...circuit.work import NEW_PART_FITTED, OLD_PART_FITTED, OPEN_STATES
from ...electrics.markings import MarkedValue
from ...electrics.reforming import Outlook
from . import judging
from .effects import Effect
from .held import Heat, Held
from .on_grid import OnGrid
from .substitutes import Substitute
from .supply_peak import SupplyPeak

_PAGE = {"json": False}


@dataclass(frozen=True, slots=True)
class Buffer:
    """``change`` is the new value over the one it replaces, less one; ``timing`` is ``close``, ``near``, ``off`` or
    empty. ``rated_volts`` is DC; ``fault`` is ``shorted``, ``leaky`` or empty, of what is in the set."""

    change: float | None = None
    timing: str = ""
    rated_volts: float | None = None
    rating_enough: bool | None = None
    fault: str = ""


@dataclass(frozen=True, slots=True)
class ReadMarking:
    """A marking as written, every way to read it for this kind of part, and whether one of them is the value."""

    marking: str
    readings: tuple[MarkedValue, ...] = ()
    agrees: bool | None = None
    name: str = field(default="", metadata=_PAGE)
    which: str = field(default="", metadata=_PAGE)
    anchor: str = field(default="", metadata=_PAGE)


@dataclass(frozen=True, slots=True)
class WornMarking:
    """The markings of a part of one value: ``code`` for print, ``letters`` with a sign for the point, colours by name.

    ``old`` holds body, end, dot, other end of a resistor; ``mica`` the JAN and the RMA dots of a mica capacitor.
    """

    value: float
    unit: str
    tolerance: float | None
    names: tuple[str, ...]
    code: str | None = None
    letters: str | None = None
    bands: tuple[str, ...] | None = None
    old: tuple[str, ...] | None = None
    mica: tuple[tuple[str, ...], tuple[str, ...]] | None = None


@dataclass(frozen=True, slots=True)
class Reformed:
    """One electrolytic. ``leans`` is ``reform``, ``replace``, ``either`` or ``go on``; never more than a leaning.

    ``reached_volts`` is what stood across it at the last reading, behind its series resistor. ``log`` holds seconds and
    amperes. ``said_held``: its log says in words that it held.
    """

    leans: str
    outlook: Outlook | None = None
    reached_volts: float | None = None
    rated_volts: float | None = None
    log: tuple[tuple[float | None, float], ...] = ()
    name: str = field(default="", metadata=_PAGE)
    anchor: str = field(default="", metadata=_PAGE)
    reasons: tuple[str, ...] = field(default=(), metadata=_PAGE)
    lacks: tuple[str, ...] = field(default=(), metadata=_PAGE)
    said_held: bool = field(default=False, metadata=_PAGE)


@dataclass(frozen=True)
class PartFindings:
    """One part, or one section of a can. Drifts and tolerances are ratios: 0.36 is 36 % above the nominal value.

    A can of several sections has its judgements in ``sections``; its own are None. ``sees_volts`` is the most that a
    capacitor fed from B+ can see, ``seen_when`` the case in which it does (``SupplyPeak.case``), ``seen_divided``
    says that resistors divide the supply's peak before it, ``surge_volts`` its
    surge rating; ``least_volts`` is what stands across it while the set plays, as read, or else at least. ``between``,
    ``positive_at`` and ``foil_at`` are places as the page says them.
    """

    state: str
    kind: str = ""
    change_of_value: float | None = None
    was_drift: float | None = None
    was_tolerance: Tolerance | None = None
    was_in_tolerance: bool | None = None
    now_drift: float | None = None
    now_tolerance: Tolerance | None = None
    now_in_tolerance: bool | None = None
    was_leakage_ohms: float | None = None
    was_leakage_bound: str | None = None
    now_leakage_ohms: float | None = None
    now_leakage_bound: str | None = None
    was_on_grid: OnGrid | None = None
    now_on_grid: OnGrid | None = None
    rated_volts: float | None = None
    sees_volts: float | None = None
    sees_bound: str | None = None
    rating_enough: bool | None = None
    surge_volts: float | None = None
    seen_when: str | None = None
    seen_divided: bool = field(default=False, metadata=_PAGE)
    least_volts: float | None = None
    volts_rating_lower: bool | None = None
    watts_rating_lower: bool | None = None
    preferred_series: str | None = None
    safety_class: str | None = None
    class_needed: str | None = None
    class_enough: bool | None = None
    polarity: str | None = None
    outside_foil: str | None = None
    was_held: Held | None = None
    now_held: Held | None = None
    heat: Heat | None = None
    effect: Effect | None = None
    reformed: Reformed | None = None
    sections: Mapping[str, PartFindings] = field(default_factory=dict)
    name: str = field(default="", metadata=_PAGE)
    part: str = field(default="", metadata=_PAGE)
    group: str = field(default="", metadata=_PAGE)
    anchor: str = field(default="", metadata=_PAGE)
    listed: Listed | None = field(default=None, metadata=_PAGE)
    assumed_tolerance: Tolerance | None = field(default=None, metadata=_PAGE)
    was_in_assumed: bool | None = field(default=None, metadata=_PAGE)
    substitute: Substitute | None = field(default=None, metadata=_PAGE)
    buffer: Buffer | None = field(default=None, metadata=_PAGE)
    between: tuple[str, ...] = field(default=(), metadata=_PAGE)
    positive_at: str = field(default="", metadata=_PAGE)
    foil_at: str = field(default="", metadata=_PAGE)

    @property
    def piece(self) -> Piece:
        """What is written of it; nothing for a can of several sections."""
        return self.listed.piece if self.listed else Piece()

    def bar(self, which: str) -> str:
        """The name of its drift bar among the figures; ``which`` is ``found`` or ``new``."""
        return judging.bar_name(self.anchor, which)

    @property
    def old_is_fitted(self) -> bool:
        """Whether the old part is still in the set, as far as the record says."""
        return self.state in OLD_PART_FITTED

    @property
    def new_is_fitted(self) -> bool:
        return self.state in NEW_PART_FITTED

    @property
    def in_the_set(self) -> InPlace | None:
        """What is in its place now; None where nothing is, and for a can of several sections."""
        now = self.at("now")
        return now if now.which and now.is_there else None

    def at(self, when: When) -> InPlace:
        """What is in its place at one time; nothing for a can of several sections."""
        return in_place(self.listed, when) if self.listed else InPlace()

    def at_work(self, when: When) -> InPlace:
        """The same while the set plays: a field coil is warm then."""
        return at_work(self.listed, when) if self.listed else InPlace()


@dataclass(frozen=True)
class Progress:
    """How many parts are in which state; a can counts as one. ``unchecked`` names new capacitors not yet checked."""

    total: int
    done: int
    open: int
    looked_at: int
    by_state: tuple[tuple[str, int], ...]
    unchecked: tuple[str, ...] = ()


class PartsFindings(Mapping[str, PartFindings]):
    """The findings of all parts by name, in the order written; as JSON they are this mapping and nothing else.

    ``markings`` are those read on parts, and those that new parts wear.
    """

    __slots__ = ("_parts", "markings", "progress", "supply")

    def __init__(
        self,
        parts: Mapping[str, PartFindings],
        progress: Progress,
        supply: SupplyPeak,
        markings: tuple[tuple[ReadMarking, ...], tuple[WornMarking, ...]] = ((), ()),
    ) -> None:
        self._parts = dict(parts)
        self.progress = progress
        self.supply = supply
        self.markings = markings

    def __getitem__(self, name: str) -> PartFindings:
        return self._parts[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._parts)

    def __len__(self) -> int:
        return len(self._parts)

    def __repr__(self) -> str:
        return f"PartsFindings({self._parts!r}, {self.progress!r}, {self.supply!r})"

    def rows(self) -> tuple[PartFindings, ...]:
        """Every single component: parts of one, and the sections of those of several."""
        return tuple(row for part in self._parts.values() for row in (part.sections.values() or (part,)))

    def groups(self) -> tuple[tuple[str, tuple[PartFindings, ...]], ...]:
        """The components in the order of work, by group; sections of a can stay together."""
        sorted_in: dict[str, list[PartFindings]] = {group: [] for group in judging.GROUPS}
        for part in self._parts.values():
            sorted_in[part.group] += part.sections.values() or (part,)
        return tuple((group, tuple(rows)) for group, rows in sorted_in.items() if rows)

    def measured(self) -> tuple[tuple[PartFindings, str, float | None, Seen], ...]:
        """Every component with a measured value, old and new, with the value it should have, in the order of work."""
        found = []
        for _, rows in self.groups():
            for row in rows:
                old, new = row.piece.was, row.piece.now
                if old and (old.measured_bound or row.was_in_tolerance is not None):
                    found.append((row, "found", row.piece.nominal[0], old))
                if new and new.measured_bound:
                    found.append((row, "new", new.value, new))
        return tuple(found)

    def coupling(self) -> tuple[tuple[PartFindings, str, Seen, OnGrid], ...]:
        """Every coupling capacitor, old and new where its leakage was written or it is in the set, with its grid."""
        found = []
        for row in self.rows():
            for which, seen, grid in (
                ("found", row.piece.was, row.was_on_grid),
                ("new", row.piece.now, row.now_on_grid),
            ):
                inside = row.in_the_set
                if seen and grid and (seen.leakage_typed or (inside and seen is inside.seen)):
                    found.append((row, which, seen, grid))
        return tuple(found)

    def reforming(self) -> tuple[Reformed, ...]:
        """The electrolytics that were reformed, or that are old and measured, in the order of work."""
        return tuple(row.reformed for _, rows in self.groups() for row in rows if row.reformed)

    def effects(self) -> tuple[tuple[PartFindings, Effect], ...]:
        """New capacitors whose role is one that is computed, in the order of work."""
        return tuple((row, row.effect) for _, rows in self.groups() for row in rows if row.effect)

    def heating(self) -> tuple[tuple[PartFindings, Heat], ...]:
        """Resistors that warm noticeably, or whose rating is known, the hottest first."""
        warm = [(row, row.heat) for row in self.rows() if row.heat]
        shown = [(row, heat) for row, heat in warm if heat.watts >= 0.1 or heat.enough is False]
        return tuple(sorted(shown, key=lambda pair: -pair[1].watts))

    def to_do(self) -> tuple[PartFindings, ...]:
        """What is still open, in the order of work."""
        return tuple(row for _, rows in self.groups() for row in rows if row.state in OPEN_STATES)
