"""All lists of measurements in one table: each place with its readings in their order, and what changed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...record.figures import to_figures
from ...report.anchors import volts_anchor
from .judging import NOT_EXPECTED, NOT_READ, OUTSIDE, WITHIN
from .pins import pins_of
from .rows import ReadingRow
from .spots import RAIL, Spot

if TYPE_CHECKING:
    from ..bench import Bench

RAILS = ""
"""The position that stands for rails and windings."""


@dataclass(frozen=True, slots=True)
class Together:
    """One place in all lists: ``cells`` are its rows list by list, None where a list has nothing on it.

    ``pins`` says where it is on the tube. ``change_volts`` is the last reading less the first; None where one is no
    number or there is only one. ``recovered`` says that the first was off and the last is not.
    """

    spot: Spot
    pins: str
    cells: tuple[ReadingRow | None, ...]
    change_volts: float | None = None
    recovered: bool = False

    @property
    def sheet(self) -> ReadingRow | None:
        """A row that holds the expected value as it was published; None where nothing is expected."""
        return next((row for row in self.cells if row and row.expected_written), None)

    @property
    def read(self) -> tuple[ReadingRow, ...]:
        """The rows that were read, in order."""
        return tuple(row for row in self.cells if row and row.measured_written)

    @property
    def latest(self) -> ReadingRow | None:
        """What counts now: the newest reading, or else the newest row."""
        return next(reversed(self.read or tuple(row for row in self.cells if row)), None)

    @property
    def was_off(self) -> ReadingRow | None:
        """The first earlier reading that was off where the newest is not."""
        earlier = (row for row in self.read[:-1] if row.verdict in OUTSIDE)
        return next(earlier, None) if self.read and self.read[-1].verdict not in OUTSIDE else None


@dataclass(frozen=True, slots=True)
class AtTube:
    """The places of one tube, or of all rails (``tube`` empty). ``unread``: no list has a reading there."""

    tube: str
    type: str
    places: tuple[Together, ...]
    unread: bool

    @property
    def anchor(self) -> str:
        """The id of its readings."""
        return volts_anchor(self.tube)


def together(runs: Sequence[Sequence[ReadingRow]], bench: Bench) -> tuple[AtTube, ...]:
    """The places of all lists, tube by tube in the record's order, then rails and windings."""
    spots: dict[tuple[str, ...], Spot] = {}
    at: dict[tuple[str, ...], list[ReadingRow | None]] = {}
    for n, rows in enumerate(runs):
        for row in rows:
            spots.setdefault(row.spot.identity, row.spot)
            at.setdefault(row.spot.identity, [None] * len(runs))[n] = row
    types = {str(position): str(fitted.type) for position, fitted in bench.record.tubes.items()}
    order = {position: n for n, position in enumerate(types)}
    places: dict[str, list[Together]] = {}
    for spot in sorted(spots.values(), key=lambda s: (order.get(s.tube, len(order)), s.kind == RAIL, *s.look)):
        tube = spot.tube if spot.tube in types else RAILS
        places.setdefault(tube, []).append(_together(spot, at[spot.identity], bench))
    return tuple(
        AtTube(tube, types.get(tube, ""), tuple(of_tube), not any(place.read for place in of_tube))
        for tube, of_tube in places.items()
    )


def only_read(rows: Iterable[ReadingRow | None]) -> bool:
    """Whether a list's rows hold no expected value, no verdict and no remark."""
    return all(
        row is None or (row.verdict in (NOT_EXPECTED, NOT_READ) and not row.expected_written and not row.remarks)
        for row in rows
    )


def _together(spot: Spot, cells: Sequence[ReadingRow | None], bench: Bench) -> Together:
    read = [row for row in cells if row and row.verdict != NOT_READ]
    pins = pins_of(spot, bench.tubes)
    if len(read) < 2:
        return Together(spot, pins, tuple(cells))
    first, last = read[0], read[-1]
    recovered = first.verdict in OUTSIDE and last.verdict == WITHIN
    return Together(spot, pins, tuple(cells), _change(first, last), recovered)


def _change(first: ReadingRow, last: ReadingRow) -> float | None:
    """Volts from one reading to another; None where either is only a bound."""
    exact = all(row.measured_qualifier in ("exact", "approx", "tolerance") for row in (first, last))
    if not exact or first.measured_volts is None or last.measured_volts is None:
        return None
    return to_figures(last.measured_volts - first.measured_volts)
