"""The field coil of a speaker's magnet as the set's choke: what it drops, draws and turns into heat."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...circuit.elements import WINDING
from ...circuit.in_place import in_place
from ...circuit.places import rail_order
from ...circuit.warm_field import WarmField, warm_field
from ...record.figures import in_figures, to_figures
from ...record.place_words import B_PLUS

if TYPE_CHECKING:
    from ...circuit.places import Place
    from ..bench import Bench


@dataclass(frozen=True, slots=True)
class FieldCoil:
    """``part`` is its name in the parts list, empty where only the speaker's line has it.

    ``volts`` are what it drops in the list ``run``, ``amps`` follow by Ohm's law and ``watts`` from both; None where
    its two ends were not read, or it does not lie in the supply. ``warm`` are its ohms at work, where the record has
    them or its temperature; the current follows from those.
    """

    ohms: float
    part: str
    run: str
    volts: float | None
    amps: float | None
    watts: float | None
    warm: WarmField | None = None


def field_coil(bench: Bench, written_ohms: float | None) -> FieldCoil | None:
    """The field coil by the parts list, or else by the speaker's line; None where neither has its ohms.

    One that is no part lies between the first two rails that were read, where nothing else is written between them.
    """
    network = bench.circuit.network
    listed = [e for e in network.elements if e.kind == WINDING and "field" in e.job.casefold()]
    for element in listed:
        for run, volts in reversed(list(bench.circuit.direct_volts.items())):
            day = bench.circuit.day_of(run)
            ohms = in_place(element.listed, day).value
            read = [volts.get(network.point(end)) for end in element.ends]
            ends = [
                0.0 if v is None and network.is_common(end) else v for v, end in zip(read, element.ends, strict=True)
            ]
            if ohms and None not in ends and read != [None, None]:
                return _of(bench, ohms, element.name, run, abs((ends[0] or 0.0) - (ends[1] or 0.0)))
    if not written_ohms or listed:
        return FieldCoil(written_ohms, listed[0].name if listed else "", "", None, None, None) if written_ohms else None
    for run, volts in reversed(list(bench.circuit.direct_volts.items())):
        first, second, *_ = (*sorted(_rails(volts), key=rail_order), None, None)
        if first and second and not network.between(first, second):
            return _of(bench, written_ohms, "", run, volts[first] - volts[second])
    return FieldCoil(written_ohms, "", "", None, None, None)


def _rails(volts: Mapping[Place, float]) -> Iterator[Place]:
    yield from (place for place in volts if place.kind == B_PLUS and not place.tube)


def _of(bench: Bench, ohms: float, part: str, run: str, drop: float) -> FieldCoil:
    warm = warm_field(bench.record, ohms)
    amps = drop / (warm.ohms if warm else ohms)
    warm = in_figures(warm, "ohms") if warm else None
    return FieldCoil(ohms, part, run, to_figures(drop), to_figures(amps), to_figures(drop * amps), warm)
