"""What the voltages know of one stage: the newest readings at its electrodes, and the figures worked out there."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...record.place_words import B_PLUS
from .findings import StageFigures, StageReading

if TYPE_CHECKING:
    from ...circuit.signal_path.path_stage import PathStage, PathTube
    from ..bench import Bench
    from ..readings.findings import ReadingsFindings
    from ..readings.rows import ReadingRow
    from ..readings.spots import Spot

_LEFT_OUT = ("heater", "tie")
_OSCILLATES = "osc "
_DIODES = "diode"
_NO_FIGURES = ("avc", "detector", "ratio detector", "discriminator", "fm detector", "oscillator")


def sections_read(stage: PathStage) -> tuple[str, ...]:
    """What stands for each tube's electrodes of a stage, so that no reading is told in two stages."""
    own = "oscillator" if stage.key == "oscillator" else ""
    return tuple(f"{tube.position} {own if not tube.section else tube.section}" for tube in stage.tubes)


def readings_of(stage: PathStage, readings: ReadingsFindings | None, bench: Bench) -> Iterator[StageReading]:
    """The newest reading at each electrode of the stage, in the order in which they are looked at."""
    for group in readings.together if readings else ():
        if stage.key == "filter" and not group.tube:
            rails = (at for at in group.places if at.spot.place.kind == B_PLUS and at.read)
            yield from (_reading(at.spot.tube, at.read[-1]) for at in rails)
        tube = next((tube for tube in stage.tubes if tube.position == group.tube), None)
        for at in group.places if tube else ():
            row = at.read[-1] if at.read else None
            if tube and row and _is_of(at.spot, tube, stage.key, bench):
                place = at.spot.said if len(stage.tubes) == 1 else f"{group.tube} {at.spot.said}"
                yield _reading(place, row)


def _reading(place: str, row: ReadingRow) -> StageReading:
    volts = row.measured_volts
    return StageReading(place, volts, row.current, row.verdict, row.run, row.measured_written if row.as_typed else "")


def _is_of(spot: Spot, tube: PathTube, key: str, bench: Bench) -> bool:
    """Whether an electrode belongs to the section that does the work."""
    if spot.kind in _LEFT_OUT:
        return False
    known = bench.tubes.get(tube.position)
    if tube.section and known:
        electrodes = next((s.electrodes for s in known.sections if s.name == tube.section), ())
        return spot.key in electrodes and (spot.kind == _DIODES or not tube.section.startswith(_DIODES))
    oscillates = spot.electrode.startswith(_OSCILLATES)
    return oscillates if key == "oscillator" else not (oscillates and key == "converter")


def figures_of(stage: PathStage, readings: ReadingsFindings | None, bench: Bench) -> Iterator[StageFigures]:
    """What is worked out of each amplifying section of the stage."""
    if readings is None or (stage.key in _NO_FIGURES and any(tube.section for tube in stage.tubes)):
        return
    signals = {one.stage: one for one in readings.signal}
    for tube in stage.tubes if stage.key != "oscillator" else ():
        for section in bench.circuit.network.stages:
            if section.tube != tube.position or tube.section not in ("", section.section):
                continue
            point, signal = readings.operating.get(section.name), signals.get(section.name)
            gain = signal.gain_times.value if signal and signal.gain_times else None
            if point is None and gain is None:
                continue
            yield StageFigures(
                section.name,
                point.cathode_amps if point else None,
                point.plate_amps if point else None,
                point.plate_watts if point else None,
                point.max_plate_watts if point else None,
                point.plate_over if point else None,
                gain,
            )
