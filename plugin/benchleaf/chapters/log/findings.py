"""The work log: sittings and the hours they come to, and the days of the work with all that was done on each."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from ...report.anchors import LinkedText
from ...report.typed import Typed

if TYPE_CHECKING:
    from ..alignment.findings import AlignmentSession
    from ..changes.findings import ChangeFindings
    from ..faults.findings import Trail
    from ..line_side.measured import MeasuredInsulation, MeasuredTouch
    from ..line_up.findings import Exchange
    from ..power_up.findings import ColdCheck, RaisedLine, ReformedPart
    from ..readings.findings import RunFindings

_PAGE_ONLY: dict[str, Any] = {"json": False}


@dataclass(frozen=True, slots=True)
class Sitting:
    """One line of the log. ``kind`` is the kind of work it names first, ``clock`` from when to when."""

    date: str
    seconds: float | None
    by: str
    did: str
    kind: str
    clock: str = ""
    time: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    linked: tuple[LinkedText, ...] = field(default=(), metadata=_PAGE_ONLY)


@dataclass(frozen=True, slots=True)
class Events:
    """What else the record has of one day: parts fitted or removed, faults cured, tubes exchanged, and so on.

    ``arrived`` and ``finished`` say that it is the first or the last of the work; ``handled`` are parts by what was
    done with them besides (``ordered``, ``tested``, ``checked``).
    """

    fitted: tuple[str, ...] = ()
    cured: tuple[Trail, ...] = ()
    exchanged: tuple[Exchange, ...] = ()
    added: tuple[ChangeFindings, ...] = ()
    checked: tuple[ColdCheck, ...] = ()
    raised: tuple[RaisedLine, ...] = ()
    reformed: tuple[ReformedPart, ...] = ()
    aligned: tuple[AlignmentSession, ...] = ()
    read: tuple[RunFindings, ...] = ()
    touched: tuple[MeasuredTouch, ...] = ()
    insulated: tuple[MeasuredInsulation, ...] = ()
    handled: tuple[tuple[str, tuple[str, ...]], ...] = ()
    removed: tuple[str, ...] = ()
    arrived: bool = False
    finished: bool = False

    @property
    def on_record(self) -> Events:
        """Those that the record itself tells; the chapter's page has all."""
        return replace(self, read=(), touched=(), insulated=(), handled=(), arrived=False, finished=False)

    @property
    def of_work(self) -> bool:
        """Whether anything was done or read, beside a part ordered and the set coming or going."""
        handled = tuple(each for each in self.handled if each[0] != "ordered")
        return replace(self, handled=handled, arrived=False, finished=False) != Events()


@dataclass(frozen=True, slots=True)
class LoggedDay:
    """A sitting, or a day without one; ``date`` is None for what has no date. The ``first`` of a day has its events."""

    date: datetime.date | None
    sitting: Sitting | None
    events: Events = Events()
    first: bool = True


@dataclass(frozen=True, slots=True)
class HoursOfKind:
    """One kind of work: what its ``sittings`` took together, of which ``without_time`` say no time."""

    kind: str
    seconds: float
    sittings: int
    without_time: int


@dataclass(frozen=True, slots=True)
class LogFindings:
    """Section ``log``. ``total_seconds`` sums what was written; ``worked`` counts the sittings that tell of work, and
    ``without_time`` those of them that say no time.

    ``days`` holds the sittings and everything dated beside them in order, what has no date at the end; without a log
    there are no sittings, and the days are those that the rest of the record dates.
    """

    sittings: tuple[Sitting, ...]
    total_seconds: float
    without_time: int
    first: str
    last: str
    by_kind: tuple[HoursOfKind, ...] = ()
    days: tuple[LoggedDay, ...] = field(default=(), metadata=_PAGE_ONLY)
    worked: int = field(default=0, metadata=_PAGE_ONLY)
