"""The work log: sittings and the hours they come to, and the days of the work with all that was done on each."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from ...report.anchors import LinkedText
from ...report.typed import Typed

if TYPE_CHECKING:
    from ..alignment.findings import AlignmentSession
    from ..changes.findings import ChangeFindings
    from ..faults.findings import Trail
    from ..line_up.findings import Exchange
    from ..power_up.findings import ColdCheck, RaisedLine, ReformedPart

_PAGE_ONLY: dict[str, Any] = {"json": False}


@dataclass(frozen=True, slots=True)
class Sitting:
    """One line of the log."""

    date: str
    seconds: float | None
    by: str
    did: str
    time: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    linked: tuple[LinkedText, ...] = field(default=(), metadata=_PAGE_ONLY)


@dataclass(frozen=True, slots=True)
class Events:
    """What else the record has of one day: parts fitted, faults cured, tubes exchanged, and so on."""

    fitted: tuple[str, ...] = ()
    cured: tuple[Trail, ...] = ()
    exchanged: tuple[Exchange, ...] = ()
    added: tuple[ChangeFindings, ...] = ()
    checked: tuple[ColdCheck, ...] = ()
    raised: tuple[RaisedLine, ...] = ()
    reformed: tuple[ReformedPart, ...] = ()
    aligned: tuple[AlignmentSession, ...] = ()


@dataclass(frozen=True, slots=True)
class LoggedDay:
    """A sitting, or a day without one; ``date`` is None for what has no date. The first of a day has its events."""

    date: datetime.date | None
    sitting: Sitting | None
    events: Events = Events()


@dataclass(frozen=True, slots=True)
class LogFindings:
    """Section ``log``. ``total_seconds`` sums what was written; ``without_time`` counts the lines that say no time.

    ``days`` holds the sittings and everything dated beside them in order, what has no date at the end.
    """

    sittings: tuple[Sitting, ...]
    total_seconds: float
    without_time: int
    first: str
    last: str
    days: tuple[LoggedDay, ...] = field(default=(), metadata=_PAGE_ONLY)
