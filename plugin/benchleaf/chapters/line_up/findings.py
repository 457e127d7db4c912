"""The line-up of a set: what is in each position, what the table knows of it, and what was exchanged."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from ...report.typed import Typed
from ...tubes.grade import Grade

_PAGE_ONLY: dict[str, Any] = {"json": False}


@dataclass(frozen=True, slots=True)
class TubePosition:
    """One position. ``type`` is as typed; ``table_type`` is the table's own name, None where it has none.

    ``related`` says how the two hang together. ``heater_volts`` and ``heater_amps`` are the record's own where it gives
    them, the table's otherwise.
    """

    tube: str
    type: str
    table_type: str | None
    related: str
    known: bool
    job: str
    job_from_table: bool
    base: str | None
    heater_volts: float | None
    heater_amps: float | None
    from_record: bool
    note: str
    anchor: str = field(metadata=_PAGE_ONLY)
    own_heater: tuple[Typed | None, Typed | None] | None = field(default=None, metadata=_PAGE_ONLY)
    own_base: str = field(default="", metadata=_PAGE_ONLY)
    own_pins: tuple[str, ...] = field(default=(), metadata=_PAGE_ONLY)


@dataclass(frozen=True, slots=True)
class ExchangedTube:
    """One side of an exchange; ``emission`` is a ratio, 0.61 for 61 %."""

    type: str
    emission: float | None
    in_table: bool
    note: str
    emission_typed: Typed | None = field(default=None, metadata=_PAGE_ONLY)


@dataclass(frozen=True, slots=True)
class Exchange:
    """A tube that was changed. ``remarks`` are sentences about how the two types differ."""

    tube: str
    was: ExchangedTube | None
    now: ExchangedTube | None
    why: str
    date: str
    note: str
    listed: bool
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class KnownRow:
    """One line of what the table knows: what it is, the value in ``unit`` or the text, and its source.

    ``grade`` is ``read``, ``cross-checked`` or ``from memory``; a cross-checked value's source says by what.
    """

    what: str
    source: str
    grade: Grade
    value: float | None = None
    unit: str = ""
    text: str = ""


@dataclass(frozen=True, slots=True)
class Known:
    """What the table knows of one type."""

    type: str
    rows: tuple[KnownRow, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LineUpFindings:
    """Section ``tubes`` with what follows from it."""

    tubes: tuple[TubePosition, ...]
    changed: tuple[Exchange, ...]
    not_in_table: tuple[str, ...]
    known: tuple[Known, ...] = field(default=(), metadata=_PAGE_ONLY)
