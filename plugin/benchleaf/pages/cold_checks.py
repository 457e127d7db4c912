"""What an ohmmeter should show before power, beyond the line side: rails, heaters, output transformer and speaker."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from ..chapters.line_side.line_and_load import line_of, load_of
from ..chapters.speaker.examine import COIL_OF_IMPEDANCE
from ..circuit.elements import WINDING
from ..circuit.in_place import in_place
from ..circuit.places import rail_order
from ..circuit.rail_ohms import rail_ohms
from ..record.figures import to_figures
from ..record.place_words import B_PLUS
from ..record.units import say

if TYPE_CHECKING:
    from ..chapters.bench import Bench
    from ..chapters.examine import Examined

CHARGED_OHMS = 50e3
"""What leaky filter capacitors alone should come to, at least, when they have charged. Common practice, no source."""
USUAL_PRIMARY_OHMS = (100.0, 700.0)
"""An output transformer's primary. Common practice, no source."""


def cold_checks(examined: Examined) -> list[str]:
    """A line for each reading, with what to expect; none for a set of which nothing of the kind is written."""
    bench = examined.bench
    return [*_rail(bench), *_heaters(examined), *_primaries(bench), *_voice_coil(bench)]


def _rail(bench: Bench) -> Iterator[str]:
    network = bench.circuit.network
    rails = {network.point(at) for element in network.elements for at in element.ends if at.kind == B_PLUS}
    first = min((at for at in rails if not at.tube), key=rail_order, default=None)
    if first is None:
        return
    found, words = rail_ohms(bench.circuit, first), bench.words
    what = f"{first.said(words)} to {words.b_minus}"
    if found.low_ohms is not None and found.high_ohms is not None:
        yield f"{what}, plus lead on {first.said(words)}: {_band(found.low_ohms, found.high_ohms)} when charged"
    elif found.known:
        yield f"{what}: no part leads there; it climbs as capacitors charge, and past {say(CHARGED_OHMS, 'ohm')}"


def _heaters(examined: Examined) -> Iterator[str]:
    bench = examined.bench
    line = line_of(bench.circuit.mains)
    load = load_of(bench.record, line, examined.findings["heaters"]) if line else None
    if load and load.cold_ohms and load.heater_ohms:
        low, high = (ohms - load.series_ohms for ohms in load.cold_ohms)
        yield f"Heater string from end to end, cold: {_band(low, high)}"


def _primaries(bench: Bench) -> Iterator[str]:
    for element in bench.circuit.network.elements:
        if element.kind != WINDING or not any(end.electrode == "plate" and end.swings for end in element.ends):
            continue
        there = in_place(element.listed, "now")
        if there.unit == "ohm" and there.value:
            yield f"{element.name}, primary: {say(to_figures(there.value), 'ohm')}"
        else:
            yield f"{element.name}, primary: {_band(*USUAL_PRIMARY_OHMS)} as a rule"


def _voice_coil(bench: Bench) -> Iterator[str]:
    speaker = bench.record.speaker
    if speaker is None:
        return
    coil, rated = (q.si if q else None for q in (speaker.voice_coil, speaker.impedance))
    if coil:
        yield f"Voice coil, transformer off: {say(to_figures(coil), 'ohm')}"
    elif rated:
        yield f"Voice coil, transformer off: about {say(to_figures(rated * COIL_OF_IMPEDANCE, 2), 'ohm')}"


def _band(low: float, high: float) -> str:
    places = 2
    ends = [say(to_figures(ohms, places), "ohm") for ohms in (low, high)]
    return ends[0] if ends[0] == ends[1] or not math.isfinite(high) else " to ".join(ends)
