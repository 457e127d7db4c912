"""A screen that stands at more volts above its cathode than its tube is published to bear."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...circuit.stages import maxima_of
from ...circuit.usual_limits import READING_LIMIT
from ...record.units import say
from ...report.sentence import Sentence
from ...report.verdict import Verdict

if TYPE_CHECKING:
    from ...circuit.stages import Stage
    from ..bench import Bench
    from .findings import ReadingsFindings, RunFindings


def over_its_screen_volts(findings: ReadingsFindings, bench: Bench) -> Iterator[Sentence]:
    """One sentence for each such screen, by the last list that has it: to watch, for makers went over it too."""
    for stage in bench.circuit.network.stages:
        tube = bench.tubes.get(stage.tube)
        limit = maxima.screen_volts if tube and (maxima := maxima_of(stage, tube)) else None
        read = next((found for run in reversed(findings.runs) if (found := _read(stage, run, bench))), None)
        if limit is None or read is None:
            continue
        volts, run = read
        if volts > limit.value * (1 + READING_LIMIT):
            text = (
                f"{stage.screens[0].name(bench.words)} stands {say(volts, 'V')} above its cathode or more; its rating "
                f"is {say(limit.value, 'V')} ({run.name})"
            )
            yield Sentence(Verdict.WATCH, text, run.anchor)


def _read(stage: Stage, run: RunFindings, bench: Bench) -> tuple[float, RunFindings] | None:
    """The volts from cathode to screen that a list of measurements has at least; None where it has not both."""
    network, volts = bench.circuit.network, bench.circuit.direct_volts.get(run.name, {})
    screen = volts.get(network.point(stage.screens[0])) if stage.screens else None
    below = _cathode_at_most(stage, bench, run.name)
    return None if screen is None or below is None else (screen - below, run)


def _cathode_at_most(stage: Stage, bench: Bench, run: str) -> float | None:
    """The highest volts that the cathode may have: as read, at the bottom, or at the top of the filament's battery."""
    network, volts = bench.circuit.network, bench.circuit.direct_volts.get(run, {})
    tube, mains = bench.tubes.get(stage.tube), bench.circuit.mains
    if stage.cathode is not None:
        at = network.point(stage.cathode)
        return volts.get(at, 0.0 if network.is_common(stage.cathode) else None)
    if tube is not None and tube.heater.direct and mains.power == "battery" and mains.volts is not None:
        return mains.volts.nominal
    return None
