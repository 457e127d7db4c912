"""What each stage amplifies, from the levels that give the same output when fed in at one stage after the other."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TYPE_CHECKING

from ...circuit.stages import stages_of
from ...record.decibels import decibels, ratio
from ...record.figures import to_figures

if TYPE_CHECKING:
    from ...circuit.places import Place
    from ...circuit.stages import Stage
    from ...record.sections.alignment import Alignment, StageLevel
    from ...record.text import Text
    from ..bench import Bench
    from ..readings.findings import ReadingsFindings
    from ..readings.signal_figures import Ranged, StageSignal

_SLACK = 1.25
"""How far a measured gain may lie outside the range: the levels are read on a generator's attenuator, to about 1 dB
each. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class StageGain:
    """From one point to the next: ``gain_times`` is the level at ``towards`` through that at ``at``.

    ``stage`` is that which lies between, empty where it is not one alone; ``worked_out_times`` its gain by the set's
    circuit, None where the two points do not say that alone. ``verdict`` is ``within``, ``low``, ``high`` or empty.
    ``changes_frequency``: a mixer or a detector lies between.
    """

    at: str
    towards: str
    level_volts: float
    next_volts: float
    gain_times: float
    gain_db: float
    stage: str = ""
    worked_out_times: float | None = None
    low_times: float | None = None
    high_times: float | None = None
    verdict: str = ""
    changes_frequency: bool = False
    tube: str = field(default="", metadata={"json": False})
    level: str = field(default="", metadata={"json": False})
    next_level: str = field(default="", metadata={"json": False})


@dataclass(frozen=True, slots=True)
class _Fed:
    name: str
    place: Place
    given: StageLevel
    volts: float


def stage_gains(alignment: Alignment, bench: Bench, readings: ReadingsFindings | None) -> tuple[StageGain, ...]:
    """Each stage's gain in the order of the signal: levels are written from the aerial on, or from the speaker back."""
    fed = list(_levels(alignment.levels, bench))
    if len(fed) > 1 and fed[0].volts > fed[-1].volts:
        fed.reverse()
    signals = {one.stage: one for one in readings.signal} if readings else {}
    return tuple(found for one, other in pairwise(fed) if (found := _gain(one, other, bench, signals)))


def _levels(levels: Mapping[Text, StageLevel], bench: Bench) -> Iterator[_Fed]:
    for name, given in levels.items():
        volts = given.level.si
        if volts is not None and volts > 0:
            yield _Fed(str(name), bench.circuit.places.read(str(name)), given, volts)


def _gain(one: _Fed, other: _Fed, bench: Bench, signals: Mapping[str, StageSignal]) -> StageGain | None:
    gained, gained_db = ratio(one.given.level, other.given.level), decibels(one.given.level, other.given.level)
    if gained is None or gained_db is None:
        return None
    changes = _frequency(one) != _frequency(other)
    stage = None if changes else _between(one.place, other.place, bench)
    signal = signals.get(stage.name) if stage else None
    expected = signal.gain_times if signal else None
    return StageGain(
        at=one.name,
        towards=other.name,
        level_volts=one.volts,
        next_volts=other.volts,
        gain_times=to_figures(gained),
        gain_db=to_figures(gained_db),
        stage=stage.name if stage else "",
        worked_out_times=expected.value if expected else None,
        low_times=expected.low if expected else None,
        high_times=expected.high if expected else None,
        verdict=_verdict(gained, expected) if expected else "",
        changes_frequency=changes,
        tube=one.place.tube,
        level=one.given.level.written,
        next_level=other.given.level.written,
    )


def _frequency(fed: _Fed) -> float | None:
    return fed.given.frequency.si if fed.given.frequency else None


def _between(one: Place, other: Place, bench: Bench) -> Stage | None:
    """The stage from its grid to its own plate, or to the grid that its plate feeds; None where more may lie there."""
    stage = next((s for s in stages_of(bench.circuit.places, one.tube) if one in s.grids), None)
    if stage is None:
        return None
    fed = [coupling.grid for coupling in bench.circuit.network.couplings if coupling.plate in stage.plates]
    return stage if other in (*stage.plates, *fed) else None


def _verdict(gained: float, expected: Ranged) -> str:
    low, high = expected.low / _SLACK, expected.high * _SLACK
    return "low" if gained < low else "high" if gained > high else "within"
