"""Places that are one point and were read with two voltages."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...circuit.usual_limits import READING_LIMIT
from ...record.figures import to_figures
from .judging import ZERO_VOLTS, single
from .reference_point import reference
from .runs import Readings
from .spots import RAIL

if TYPE_CHECKING:
    from ...circuit.network import Network
    from ...circuit.places import Place
    from ...words import Words
    from ..bench import Bench


@dataclass(frozen=True, slots=True)
class Apart:
    """Two readings of one point, in volts; ``ratio`` is what the first is off the other, of the larger of the two.

    ``because`` says why the two are one point: ``wires``, ``first filter`` or ``grounding``.
    """

    run: str
    place: str
    other: str
    volts: float
    other_volts: float
    ratio: float
    because: str

    def why(self, words: Words) -> str:
        """Why the two count as one point, and what that leaves, to stand behind “as”."""
        return {
            "wires": "the record has them joined by a wire: one of the readings is wrong, or the wire is not there",
            "first filter": f"the {words.reservoir} stands there and nothing is written between the two: one of the "
            "readings "
            "is wrong, or a resistor, choke, fuse or winding between them is missing in the parts",
            "grounding": "nothing is written between the two: one of the readings is wrong, or what lies between them "
            "is missing in the parts",
        }[self.because]


def apart(run: Readings, bench: Bench) -> Iterator[Apart]:
    """Every place of a run that reads 2 % or more apart from another of its point; a rail is what others are off."""
    network = bench.circuit.network
    first: dict[Place, tuple[Place, float]] = {}
    zero = reference(network, run)
    read = {zero: 0.0}
    for value in sorted(run.values, key=lambda value: value.spot.kind != RAIL):
        volts = single(value.quantity)
        if value.spot.current == "DC" and volts is not None:
            read.setdefault(value.spot.place, volts)
    for place, volts in read.items():
        other, there = first.setdefault(network.point(place), (place, volts))
        largest = max(abs(volts), abs(there))
        if abs(volts - there) >= max(READING_LIMIT * largest, ZERO_VOLTS):
            off = to_figures((volts - there) / largest)
            names = place.name(bench.words), other.name(bench.words)
            yield Apart(run.name, *names, volts, there, off, _because(place, other, network))


def _because(place: Place, other: Place, network: Network) -> str:
    if network.first_filter and {place, other} == set(network.first_filter):
        return "first filter"
    return "grounding" if place.is_common and other.is_common else "wires"
