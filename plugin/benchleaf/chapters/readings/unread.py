"""What of a set no list has read yet: the electrodes that carry a stage, and the rectifier's cathode."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ...circuit.network import Network
    from ...circuit.places import Place
    from ..bench import Bench


def not_read_yet(read: Iterable[Place], bench: Bench) -> tuple[Place, ...]:
    """The electrodes of the set's stages, and its rectifier's cathode, of which no point was read.

    What is joined to a place that was read, or to the bottom of the supply, needs no reading of its own.
    """
    network = bench.circuit.network
    points = {network.point(place) for place in read}
    wanted = dict.fromkeys(_electrodes(network))
    return tuple(at for at in wanted if network.point(at) not in points and not network.is_common(at))


def _electrodes(network: Network) -> Iterator[Place]:
    for position in network.places.positions:
        for stage in network.stages:
            if stage.tube == position:
                cathode = (stage.cathode,) if stage.cathode else ()
                yield from (*cathode, *stage.grids, *stage.screens, *stage.plates)
        if network.first_filter and network.first_filter[0].tube == position:
            yield network.first_filter[0]
