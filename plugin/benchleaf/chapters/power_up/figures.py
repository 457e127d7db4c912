"""The line current and the first rail as the line is raised, with what was read as marks."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from ...record.units import say

if TYPE_CHECKING:
    from ...drawing import Figure
    from ..bench import Bench
    from .findings import LinePoint, PowerUpFindings

CURRENT, B_PLUS = "power-up-current", "power-up-b-plus"


def draw(findings: PowerUpFindings, bench: Bench) -> tuple[Figure, ...]:
    """Both curves, where they could be worked out."""
    points = findings.curve.points if findings.curve else ()
    if len(points) < 2:
        return ()
    return (_current(points, findings, bench), *_b_plus(points, findings, bench))


def _current(points: tuple[LinePoint, ...], findings: PowerUpFindings, bench: Bench) -> Figure:
    from ...drawing.plot import LinePlot, Series, to_figure

    volts = [p.line.line_volts for p in points]
    read = _named_once(_read(findings))
    plot = LinePlot(
        [
            Series(volts, [p.line.line_amps_rms for p in points], "expected"),
            Series(volts, [p.line.high_amps_rms for p in points], "highest"),
            Series(volts, [p.line.low_amps_rms for p in points], "lowest"),
            Series(volts, [p.heater_amps for p in points], "heaters alone"),
        ],
        x_label=f"{bench.words.line} voltage, V",
        y_label=f"{bench.words.line} current, A",
        marked_points=read,
    )
    first, last = points[0].line, points[-1].line
    return to_figure(
        plot,
        name=CURRENT,
        title=f"{bench.words.line.capitalize()} current as the {bench.words.line} is raised",
        description=(
            f"From {say(first.line_amps_rms, 'A', digits=2)} at {say(first.line_volts, 'V')} to "
            f"{say(last.line_amps_rms, 'A', digits=2)} at {say(last.line_volts, 'V')}{_circles(read)}."
        ),
    )


def _b_plus(points: tuple[LinePoint, ...], findings: PowerUpFindings, bench: Bench) -> Iterator[Figure]:
    from ...drawing.plot import LinePlot, Series, to_figure

    known = [(p.line.line_volts, p.b_plus_volts) for p in points if p.b_plus_volts is not None]
    if len(known) < 2:
        return
    rail = bench.words.rail.format(1)
    read = _named_once(_rail_read(findings, rail))
    plot = LinePlot(
        [Series([x for x, _ in known], [y for _, y in known], rail)],
        x_label=f"{bench.words.line} voltage, V",
        y_label=f"{rail}, V",
        marked_points=read,
    )
    yield to_figure(
        plot,
        name=B_PLUS,
        title=f"{rail} as the {bench.words.line} is raised",
        description=f"From {say(known[0][1], 'V')} at {say(known[0][0], 'V')} to {say(known[-1][1], 'V')} at "
        f"{say(known[-1][0], 'V')}{_circles(read)}.",
    )


def _circles(read: list[tuple[float, float, str]]) -> str:
    """What is said of the marks; nothing where none is drawn."""
    return ", with what was read as circles" if read else ""


def _named_once(points: Iterable[tuple[float, float]]) -> list[tuple[float, float, str]]:
    """The word stands at the first alone: one voltage is read again and again, and words would cover each other."""
    return [(line, read, "" if n else "read") for n, (line, read) in enumerate(points)]


def _read(findings: PowerUpFindings) -> Iterator[tuple[float, float]]:
    for session in findings.sessions:
        for step in session.steps:
            if step.line_volts and step.line_amps and not session.lamp:
                yield step.line_volts, step.line_amps


def _rail_read(findings: PowerUpFindings, rail: str) -> Iterator[tuple[float, float]]:
    """What was read of the first rail beside the line: ``B+1 118 V`` among what else was read."""
    b_plus = re.escape(rail.removesuffix("1"))
    for session in findings.sessions:
        for step in session.steps:
            found = re.search(rf"(?:^|[\s,;]){b_plus}(?:1|\+)?\s+(\d+(?:\.\d+)?)\s*(?:V\b|(?=[,;]|$))", step.read)
            if found and step.line_volts and not session.lamp:
                yield step.line_volts, float(found[1])
