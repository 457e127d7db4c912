"""Ripple as a meter or a scope read it on the rails, beside what is computed: both RMS, or both from peak to peak."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from ...circuit.in_place import in_place
from ...circuit.line_scaling import line_of
from ...record.figures import to_figures
from ...record.sections.reading_lists import measured_runs
from .findings import RippleRead

if TYPE_CHECKING:
    from collections.abc import Iterator

    from ..bench import Bench
    from .findings import Working
    from .found import DescribedSupply

_NAMED = (" ripple", " hum")
SAWTOOTH, SINE = 2 * math.sqrt(3), 2 * math.sqrt(2)
"""Peak to peak over RMS, of a sawtooth and of a sine (textbook integrals)."""
_PEAKS = {"pp": 1.0, "peak": 2.0}
_AS = {1.0: "peak to peak", 2.0: "peak"}
GOES_TOGETHER = 0.5
"""Share by which a ripple may be off and tell nothing: electrolytics are wide, and a meter for AC averages. Common
practice, no source."""


def ripple_read(bench: Bench, found: DescribedSupply, nominal: Working) -> tuple[RippleRead, ...]:
    """What was read of ripple in the newest list that has any, while the capacitors of now were in."""
    for name in reversed(measured_runs(bench.record.readings)):
        read = tuple(_of_list(bench, found, nominal, name))
        if read:
            return read
    return ()


def _of_list(bench: Bench, found: DescribedSupply, nominal: Working, run: str) -> Iterator[RippleRead]:
    read = dict(_read_at(bench, run))
    line, when = line_of(bench.circuit, run) or nominal.line_volts, bench.circuit.day_of(run)
    for number, (rail, stage) in enumerate(zip(nominal.rails, found.stages, strict=True)):
        listed = bench.circuit.component(stage.part)
        then = in_place(listed, when) if listed else None
        volts, peaks = read.get(rail.rail, (0.0, 0.0))
        if not volts or then is None or (then.nominal or then.value) != (stage.now.nominal or stage.now.value):
            continue
        whole = rail.ripple_volts * line / nominal.line_volts
        computed = whole / (peaks or (SINE if number else SAWTOOTH))
        off = volts / computed - 1 if computed else 0.0
        agrees = None if rail.ripple_at_most and off < 0 else abs(off) <= GOES_TOGETHER
        yield RippleRead(
            rail.rail,
            run,
            volts,
            to_figures(computed, 2),
            to_figures(off, 2),
            rail.ripple_at_most,
            agrees,
            _AS.get(peaks, "RMS"),
        )


def _read_at(bench: Bench, run: str) -> Iterator[tuple[str, tuple[float, float]]]:
    """Volts of ripple by the rail that they were read on, with all names that wires give it.

    Beside them stands what peak to peak is over them where a scope showed peaks, and 0 for volts RMS.
    """
    points = next((one.points for name, one in bench.record.readings.items() if str(name) == run), {})
    for name, readings in points.items():
        rail = next((str(name)[: -len(end)] for end in _NAMED if str(name).casefold().endswith(end)), "")
        value = readings[0].value if readings else None
        if not rail or value is None or not value.si or value.qualifier not in ("exact", "approx"):
            continue
        for place in bench.circuit.network.joined_to(bench.circuit.places.read(rail)):
            yield place.name(bench.words), (abs(value.si), _PEAKS.get(value.mark, 0.0))
