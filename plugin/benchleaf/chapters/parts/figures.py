"""A bar for each measured part: where it stands in its tolerance band."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from .judging import bar_name

if TYPE_CHECKING:
    from ...bench import Bench
    from ...drawing import Figure
    from .findings import PartsFindings
    from .pieces import Band


def draw(findings: PartsFindings, bench: Bench) -> tuple[Figure, ...]:
    """The bars of the table of drifts, named by ``bar_name``; none for a band that is not the same both ways."""
    return tuple(_bars(findings))


def _bars(findings: PartsFindings) -> Iterator[Figure]:
    from ...drawing import Figure
    from ...drawing.bars import deviation_bar, deviation_words

    for row, which, _, _ in findings.measured():
        drift = row.was_drift if which == "found" else row.now_drift
        band = (row.was_tolerance or row.assumed_tolerance) if which == "found" else row.now_tolerance
        tolerance = _either_way(band)
        if drift is not None and (tolerance or band is None):
            words = deviation_words(drift, tolerance)
            yield Figure(bar_name(row.anchor, which), words, words, deviation_bar(drift, tolerance), 120, 12)


def _either_way(band: Band | None) -> float | None:
    return round(band.high, 9) if band and abs(band.high + band.low) < 1e-9 and band.high > 0 else None
