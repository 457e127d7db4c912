"""What follows from circuit changes: an added bypass's impedance at the set's own frequencies, and what it gains."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from ...circuit.pieces import Seen
from ...electrics.impedance import RealCapacitor

if TYPE_CHECKING:
    pass


_PAGE = {"json": False}
_LITTLE_DECIBELS = 1.0
"""A gain below this at every frequency is called small (common practice, no source: one decibel is hardly heard)."""


MOST_DRAWN = 8
"""Curves of one set: each takes a tenth of a second to draw."""


@dataclass(frozen=True, slots=True)
class AtFrequency:
    """Impedances, in ohm, at one of the set's frequencies; ``gain_decibels`` is how much less the two together have."""

    what: str
    hertz: float
    added_ohms: float
    there_ohms: float | None = None
    both_ohms: float | None = None
    gain_decibels: float | None = None


@dataclass(frozen=True)
class ChangeFindings:
    """One change. ``across`` is the part the added capacitor is parallel to, as far as the record has it.

    ``lacks`` says why nothing is compared: ``part``, ``capacitance``, ``ESR``, or nothing.
    """

    name: str
    kind: str = ""
    across: str | None = None
    across_farads: float | None = None
    across_esr_ohms: float | None = None
    across_esr_assumed: bool = False
    self_resonance_hertz: float | None = None
    antiresonance_hertz: float | None = None
    at: tuple[AtFrequency, ...] = ()
    least_gain_decibels: float | None = None
    most_gain_decibels: float | None = None
    added: tuple[Seen, ...] = field(default=(), metadata=_PAGE)
    removed: str = field(default="", metadata=_PAGE)
    between: tuple[str, ...] = field(default=(), metadata=_PAGE)
    date: datetime.date | None = field(default=None, metadata=_PAGE)
    why: str = field(default="", metadata=_PAGE)
    note: str = field(default="", metadata=_PAGE)
    anchor: str = field(default="", metadata=_PAGE)
    lacks: str = field(default="", metadata=_PAGE)
    added_part: RealCapacitor | None = field(default=None, metadata=_PAGE)
    there_part: RealCapacitor | None = field(default=None, metadata=_PAGE)

    @property
    def gains_little(self) -> bool | None:
        """Whether the addition gains less than a decibel at every frequency of the set; None where that is unknown."""
        return None if self.most_gain_decibels is None else self.most_gain_decibels < _LITTLE_DECIBELS


@dataclass(frozen=True)
class ChangesFindings:
    """All changes, in the order written. ``lacks`` names frequencies the record does not give."""

    changes: tuple[ChangeFindings, ...]
    lacks: tuple[str, ...] = field(default=(), metadata=_PAGE)

    def drawn(self) -> tuple[ChangeFindings, ...]:
        """The changes that add a single capacitor, of which a curve is drawn: the first ``MOST_DRAWN``."""
        return self._with_a_curve()[:MOST_DRAWN]

    def not_drawn(self) -> tuple[ChangeFindings, ...]:
        """Those beyond them, whose impedance stands in tables alone."""
        return self._with_a_curve()[MOST_DRAWN:]

    def _with_a_curve(self) -> tuple[ChangeFindings, ...]:
        return tuple(change for change in self.changes if change.added_part and change.at)
