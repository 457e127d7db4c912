"""What follows for a tuning indicator: its target, the resistor of its plate, and the grid at which it closes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ...circuit.places import Place
from ...circuit.read_volts import direct_readings
from ...circuit.resistors import ResistorInPlace
from ...record.figures import to_figures
from ...record.text import Text
from ...tubes.indicators import Indicator, indicator
from ..bench import Bench

LEAST_OF_TARGET = 0.7
"""Of the published target volts: below it the eye is dim without being worn (common practice, no source)."""
OF_RESISTOR = 0.2
"""What the plate's resistor may be off by, as a part without a written tolerance (IEC 60062: no fourth band)."""


@dataclass(frozen=True, slots=True)
class Eye:
    """One indicator. Volts are those of the newest list that has the target, above its cathode where that was read.

    ``closes_volts`` are the published grid volts in proportion to the target's. ``plate_amps`` is what flows in the
    plate's resistor, ``load_watts`` what the target takes from the supply at its published current.
    """

    tube: str
    type: str
    published_volts: float
    published_ohms: float
    published_closes_volts: float
    second_closes_volts: float | None
    source: str
    run: str
    target_volts: float | None
    plate_volts: float | None
    grid_volts: float | None
    resistor: str
    resistor_ohms: float | None
    plate_amps: float | None
    closes_volts: float | None
    load_watts: float | None

    @property
    def dim(self) -> bool:
        """Whether the target has far fewer volts than it is published with."""
        return self.target_volts is not None and self.target_volts < LEAST_OF_TARGET * self.published_volts

    @property
    def resistor_off(self) -> float | None:
        """How far the resistor is from the published one, as a ratio; None within what it may be off by."""
        off = self.resistor_ohms / self.published_ohms - 1 if self.resistor_ohms else 0.0
        return off if abs(off) > OF_RESISTOR else None

    @property
    def closed_share(self) -> float | None:
        """How much of what closes it its grid had."""
        if self.grid_volts is None or not self.closes_volts:
            return None
        return max(0.0, self.grid_volts / self.closes_volts)


@dataclass(frozen=True, slots=True)
class EyeFindings:
    """Every tuning indicator of the set whose type has figures."""

    eyes: tuple[Eye, ...]


def examine(bench: Bench) -> EyeFindings | None:
    """The findings; None in a set without an indicator, or with one that the table has no figures of."""
    known = {position: figures for position, tube in bench.tubes.items() if (figures := indicator(tube.type))}
    eyes = tuple(_eye(bench, position, figures) for position, figures in known.items())
    return EyeFindings(eyes) if eyes else None


def _eye(bench: Bench, position: str, figures: Indicator) -> Eye:
    circuit = bench.circuit
    own = {of: _place(bench, position, of) for of in ("target", "plate", "grid", "cathode")}
    places = {of: circuit.network.point(at) for of, at in own.items()}
    lists = [(run, volts) for run, volts in circuit.direct_volts.items() if places["target"] in volts]
    run, volts = lists[-1] if lists else ("", {})
    read = _read(bench, own, run)
    cathode = read.get("cathode", 0.0)
    target, plate, grid = (read[of] - cathode if of in read else None for of in ("target", "plate", "grid"))
    resistor = _resistor(bench, places["plate"], run)
    fed = volts.get(resistor.other(places["plate"])) if resistor else None
    through = (
        (fed - cathode - plate) / resistor.ohms
        if fed is not None and plate is not None and resistor and not resistor.bound
        else None
    )
    scale = target / figures.target_volts if target and target > 0 else None
    return Eye(
        tube=position,
        type=figures.type,
        published_volts=figures.target_volts,
        published_ohms=figures.load_ohms,
        published_closes_volts=figures.closed_volts,
        second_closes_volts=figures.second_closed_volts,
        source=figures.source.title,
        run=run,
        target_volts=target,
        plate_volts=plate,
        grid_volts=grid,
        resistor=resistor.part if resistor else "",
        resistor_ohms=resistor.ohms if resistor and not resistor.bound else None,
        plate_amps=to_figures(through, 2),
        closes_volts=to_figures(figures.closed_volts * scale if scale else None, 2),
        load_watts=to_figures(
            target * figures.target_amps if target and target > 0 and figures.target_amps else None, 2
        ),
    )


def _read(bench: Bench, own: Mapping[str, Place], run: str) -> dict[str, float]:
    """Volts DC of each electrode in a list: read there, else at a point that it is joined to."""
    if not run:
        return {}
    circuit = bench.circuit
    here = dict(reversed(list(direct_readings(circuit.record.readings[Text(run)], circuit.places))))
    joined = circuit.direct_volts[run]
    found = {of: here.get(at, joined.get(circuit.network.point(at))) for of, at in own.items()}
    return {of: volts for of, volts in found.items() if volts is not None}


def _place(bench: Bench, position: str, word: str) -> Place:
    """An electrode; the first plate of an indicator with two."""
    question = bench.circuit.places.question(position, word)
    return bench.circuit.places.at_tube(position, f"{word} 1" if question and question.reason == "several" else word)[0]


def _resistor(bench: Bench, plate: Place, run: str) -> ResistorInPlace | None:
    """The smallest resistor at the plate: the one that feeds it, be it from the target or from a rail."""
    day = bench.circuit.day_of(run) if run else None
    at_plate = [one for one in bench.circuit.resistors(day, bench.words) if plate in one.ends]
    return min(at_plate, key=lambda one: one.ohms, default=None)
