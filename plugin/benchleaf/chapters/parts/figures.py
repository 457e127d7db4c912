"""Drift bars for measured parts, the leakage of a capacitor being reformed, and the markings that new parts wear."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator
from typing import TYPE_CHECKING

from ...electrics.reforming import START_SECONDS
from .judging import bar_name

if TYPE_CHECKING:
    from ...circuit.pieces import Tolerance
    from ...drawing import Figure
    from ..bench import Bench
    from .findings import PartsFindings, Reformed


def draw(findings: PartsFindings, bench: Bench) -> tuple[Figure, ...]:
    """The bars beside drifts, named by ``bar_name``, reforming logs, markings."""
    return (*_bars(findings), *_reforming(findings), *_markings(findings))


def _bars(findings: PartsFindings) -> Iterator[Figure]:
    """A bar for each drift within a tolerance that is as wide above as below."""
    from ...drawing import Figure
    from ...drawing.bars import deviation_words, tolerance_mark

    for row, which, _, _ in findings.measured():
        drift = row.was_drift if which == "found" else row.now_drift
        band = (row.was_tolerance or row.assumed_tolerance) if which == "found" else row.now_tolerance
        tolerance = _either_way(band)
        if drift is not None and tolerance and band and band.holds(drift):
            words = deviation_words(drift, tolerance)
            yield Figure(bar_name(row.anchor, which), words, words, tolerance_mark(drift, tolerance), 46, 12)


def _either_way(band: Tolerance | None) -> float | None:
    return round(band.high, 9) if band and abs(band.high + band.low) < 1e-9 and band.high > 0 else None


def log_name(anchor: str) -> str:
    """The name of the figure of one capacitor's reforming log."""
    return f"parts-reforming-{anchor}"


def _reforming(findings: PartsFindings) -> Iterator[Figure]:
    """Leakage over time on logarithmic scales, with its limit."""
    from ...drawing.plot import Limit, LinePlot, Series, to_figure
    from ...record.units import say

    for names, found in _one_log_each(findings.reforming()):
        points = [(max(t, START_SECONDS), i) for t, i in found.log if t is not None and i > 0]
        if len(points) < 3 or found.outlook is None:
            continue
        limit = found.outlook.limit_amps
        plot = LinePlot(
            [Series([t / 60 for t, _ in points], [i for _, i in points], f"leakage of {' and '.join(names)}")],
            x_label="minutes",
            y_label="leakage, A",
            log_x=True,
            log_y=True,
            limits=[Limit(limit, limit, f"limit {say(limit, 'A')}")] if limit else [],
        )
        under = "" if limit is None else f"; the limit is {say(limit, 'A')}"
        yield to_figure(
            plot,
            name=log_name(found.anchor),
            title=f"Leakage of {' and '.join(names)} while {'they were' if len(names) > 1 else 'it was'} reformed",
            description=f"From {say(points[0][1], 'A')} to {say(points[-1][1], 'A')} after "
            f"{points[-1][0] / 60:.0f} minutes{under}. A reading at the start is drawn at one minute.",
        )


def _one_log_each(found: Iterable[Reformed]) -> Iterator[tuple[list[str], Reformed]]:
    """What was reformed under one log and to one limit, as the sections of a can are, once with all of its names."""
    alike: dict[Hashable, list[Reformed]] = {}
    for one in found:
        alike.setdefault((one.log, one.outlook), []).append(one)
    for together in alike.values():
        yield [one.name for one in together], together[0]


def _markings(findings: PartsFindings) -> Iterator[Figure]:
    """The colours of each value among the new parts, by template."""
    from ...drawing import Figure
    from .marking_figures import bands, body_end_dot, mica_dots

    for number, marking in enumerate(findings.markings[1], 1):
        name = f"parts-marks-{number}"
        drawn = [
            (name, bands, marking.bands, "bands"),
            (f"{name}-old", body_end_dot, marking.old, "body, end, dot, other end"),
        ]
        if marking.mica:
            drawn += [
                (f"{name}-jan", mica_dots, marking.mica[0], "JAN dots"),
                (f"{name}-rma", mica_dots, marking.mica[1], "RMA dots"),
            ]
        for figure_name, drawing, colours, kind in drawn:
            if colours:
                words = f"{kind}: {', '.join(colours)}"
                yield Figure(figure_name, words, words, drawing(colours, words), 240, 48)
