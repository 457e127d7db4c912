"""The direct volts of each list of readings by the point they were read at, gone through once for all who ask."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ..record.model import Record
    from ..record.sections.readings import Run
    from .network import Network
    from .places import Place, Places


def plain_readings(run: Run, places: Places) -> Iterator[tuple[Place, float, str]]:
    """Every plain reading of a list: where, volts, and its mark."""
    for place, reading in places.of_readings(run.points):
        value = reading.value
        if value is not None and value.si is not None and value.qualifier in ("exact", "approx"):
            yield place, value.si, value.mark


def direct_readings(run: Run, places: Places) -> Iterator[tuple[Place, float]]:
    """Every plain DC reading of a list: where itself, whatever is joined to it, and volts."""
    yield from ((place, volts) for place, volts, mark in plain_readings(run, places) if mark in ("", "dc"))


def direct_volts(record: Record, places: Places, network: Network) -> Mapping[str, Mapping[Place, float]]:
    """Volts DC by the name of their list and their point.

    A rail's own reading holds for its point before those of the electrodes that are joined to it; of several others
    what stands first.
    """
    found: dict[str, dict[Place, float]] = {}
    for name, run in record.readings.items():
        at = found.setdefault(str(name), {})
        for place, volts in sorted(direct_readings(run, places), key=lambda one: bool(one[0].tube)):
            at.setdefault(network.point(place), volts)
    return found
