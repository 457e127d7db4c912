"""A transformer as its rectifier sees it: volts without load, resistance, and what of both was read or is written."""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import median
from typing import TYPE_CHECKING, Literal

from ..electrics.winding_drop import winding_drop_volts
from .currents import drains
from .rectifier import WINDING_OHMS, DryRectifier
from .rectifier_feed import RectifierAc, rectifier_ac, rectifier_paths, series_ohms
from .stages import operations
from .whole_current import whole_current
from .winding_ohms import TransformerOhms, transformer_ohms

if TYPE_CHECKING:
    from .circuit import Circuit
    from .in_place import When


@dataclass(frozen=True, slots=True)
class NoLoadVolts:
    """Volts RMS of one path without load. ``taken`` says as what those written were taken: ``on load`` (``drop_volts``
    were added) or ``off load``.

    ``if_loaded`` is what they would be had they been read on load, where the record does not say; None where it does.
    """

    volts: float
    taken: Literal["on load", "off load"]
    drop_volts: float = 0.0
    if_loaded: float | None = None


@dataclass(frozen=True, slots=True)
class WindingSource:
    """What feeds a rectifier by a transformer: the alternating volts as known, ``paths`` and the ohms of one path.

    ``measured`` is the transformer by the ohmmeter; None where ``ohms`` are those of a usual one.
    """

    ac: RectifierAc
    paths: int
    halves: bool
    doubled: bool
    measured: TransformerOhms | None
    series: float

    @property
    def ohms(self) -> float:
        """All that lies before one path of the rectifier."""
        return (self.measured.ohms if self.measured else WINDING_OHMS) + self.series

    def no_load(self, amps: float | None) -> NoLoadVolts:
        """The volts without load, where the rectifier gave ``amps`` of direct current when they were read.

        A rating holds for the current that stands with it.
        """
        own, shared = (self.measured.winding, self.measured.stepped) if self.measured else (WINDING_OHMS / 2,) * 2
        at = self.ac.rated_amps or amps or 0.0
        before = self.series if self.ac.how == "read" else 0.0
        drop = winding_drop_volts(at, own + before, shared, halves=self.halves, doubled=self.doubled)
        if self.ac.loaded:
            return NoLoadVolts(self.ac.volts + drop, "on load", drop)
        return NoLoadVolts(
            self.ac.volts, "off load", if_loaded=None if self.ac.loaded is False else self.ac.volts + drop
        )


def winding_source(circuit: Circuit, beside: str, when: When, dry: DryRectifier | None) -> WindingSource | None:
    """What feeds the rectifier at a time, its AC volts those of the list ``beside`` which they are used; None where no
    AC volts are known."""
    ac = rectifier_ac(circuit, beside)
    line = circuit.mains.volts.nominal if circuit.mains.volts else None
    if ac is None or not (ac.line_volts or line):
        return None
    doubled = bool(circuit.doubling)
    paths = 1 if doubled else rectifier_paths(circuit, dry)
    halves = paths > 1 and not (dry and dry.bridge)
    measured = transformer_ohms(circuit, ac.volts / (ac.line_volts or line or math.inf), half=halves)
    return WindingSource(ac, paths, halves, doubled, measured, series_ohms(circuit, when))


def usual_drain(circuit: Circuit, run: str) -> float:
    """The direct current of the whole set: as its negative return tells it in a list, else by the published points.

    No less than what a resistor or choke between two rails carries by that list.
    """
    whole = whole_current(circuit, run) if run else None
    if whole is not None:
        return whole.amps
    found = []
    for stage in circuit.network.stages:
        tube = circuit.tubes.get(stage.tube)
        drawn = [(p.plate_amps or 0.0) + (p.screen_amps or 0.0) for p in (operations(stage, tube) if tube else ())]
        found += [median(drawn)] if drawn else []
    volts = circuit.direct_volts.get(run, {})
    parts = circuit.resistors(circuit.day_of(run)) if volts else ()
    led = [one.amps for one in drains(circuit, volts, parts)]
    return max(math.fsum(found), *led, 0.0)
