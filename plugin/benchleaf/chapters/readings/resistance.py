"""The resistance chart: power off, what the sheet says against what was found, each electrode or pin."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...circuit.usual_limits import JOINED_OHMS
from ...record.figures import to_figures
from ...record.quantities import Quantity
from ...record.sections.list_names import is_published, measured_runs
from .judging import NOT_EXPECTED, NOT_READ, UNDECIDED, Bounds, against, bounds, middle, tolerance_or_usual
from .spots import Spot, spots

if TYPE_CHECKING:
    from ...record.sections.readings import Run
    from ..bench import Bench


@dataclass(frozen=True, slots=True)
class OhmRow:
    """One place of the chart, ohms; ``deviation`` is a ratio. None where a value is no number (open, beyond range)."""

    run: str
    tube: str
    electrode: str
    pin: str
    expected_ohms: float | None
    found_ohms: float | None
    deviation: float | None
    verdict: str
    expected_written: str
    found_written: str
    said: str = ""


def resistance_rows(bench: Bench) -> tuple[OhmRow, ...]:
    """Every place of which a list gives the resistance, each found list against the first published one that has it.

    What is taken from a similar chassis serves where nothing is published.
    """
    record = bench.record
    measured = measured_runs(record.readings)
    others = [(str(name), run) for name, run in record.readings.items() if str(name) not in measured]
    expected: dict[tuple[str, ...], tuple[Spot, Quantity | None, float]] = {}
    for _, run in sorted(others, key=lambda one: not is_published(*one)):
        for key, entry in _entries(run, bench).items():
            expected.setdefault(key, (*entry, tolerance_or_usual(run.tolerance.si if run.tolerance else None)))
    rows = []
    found_any = False
    for name, run in measured.items():
        if not run.resistance:
            continue
        found_any = True
        found = _entries(run, bench)
        for key in dict.fromkeys((*expected, *found)):
            spot, value, tolerance = expected.get(key, (None, None, tolerance_or_usual(None)))
            at, read = found.get(key, (spot, None))
            if at is not None:
                rows.append(_row(name, at, value, read, tolerance))
    if not found_any:
        rows = [_row("", spot, value, None, tolerance) for spot, value, tolerance in expected.values()]
    order = {str(position): n for n, position in enumerate(record.tubes)}
    return tuple(sorted(rows, key=lambda row: order.get(row.tube, len(order))))


def _entries(run: Run, bench: Bench) -> Mapping[tuple[str, ...], tuple[Spot, Quantity | None]]:
    found: dict[tuple[str, ...], tuple[Spot, Quantity | None]] = {}
    for position, points in run.resistance.items():
        for point in points:
            for spot in spots(bench.circuit.places, str(position), str(point.at), None, bench.words):
                found.setdefault(spot.identity[:3], (spot, point.value))
    return found


def _row(run: str, spot: Spot, expected: Quantity | None, found: Quantity | None, tolerance: float) -> OhmRow:
    value, read = (single_ohms(q) for q in (expected, found))
    off = to_figures(read / value - 1) if read is not None and value else None
    return OhmRow(
        run,
        spot.tube,
        spot.electrode,
        spot.pin,
        value,
        read,
        off,
        _verdict(expected, found, tolerance),
        expected.written.strip() if expected else "",
        found.written.strip() if found else "",
        spot.said,
    )


def single_ohms(value: Quantity | None) -> float | None:
    """The one number a resistance is, in ohms."""
    return middle(value) if value else None


def _verdict(expected: Quantity | None, found: Quantity | None, tolerance: float) -> str:
    if found is None:
        return NOT_READ
    if expected is None:
        return NOT_EXPECTED
    if expected.qualifier == "overrange" or found.qualifier == "overrange":
        same = expected.qualifier == found.qualifier
        return (
            "within"
            if same
            else UNDECIDED
            if expected.qualifier == "overrange" and (found.si or 0) > 1e7
            else ("high" if found.qualifier == "overrange" else "low")
        )
    centre = middle(expected)
    if centre is None:
        return against(bounds(expected), bounds(found))
    if expected.low is not None and expected.high is not None:
        return against(Bounds(expected.low, expected.high), bounds(found))
    half = max(abs(centre) * tolerance, JOINED_OHMS)
    return against(Bounds(centre - half, centre + half), bounds(found))
