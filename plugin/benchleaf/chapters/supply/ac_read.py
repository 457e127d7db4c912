"""The AC volts that the computed supply rests on, and lists of them that do not go together."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from ...circuit.line_scaling import line_of, selected_at
from ...circuit.rectifier_feed import ac_readings
from ...record.sections.reading_lists import measured_runs
from ...record.units import say

if TYPE_CHECKING:
    from collections.abc import Iterator

    from ...circuit.rectifier_feed import RectifierAc
    from ...circuit.winding_source import NoLoadVolts
    from ..bench import Bench

GO_TOGETHER = 0.06
"""Two readings of one winding, each by a meter that may be 3 % off. Common practice, no source."""


def rests_on(bench: Bench, read: RectifierAc, bare: NoLoadVolts | None = None) -> str:
    """What was read or is written, at which line and setting: ``338 V AC as read in …, the line 230 V, on 245 V``.

    With what it is without load, where it was on load; where the record does not say that, as what it was taken.
    """
    said = f"{say(read.volts, 'V')} AC of the winding, as {read.how}"
    if read.how == "read":
        said = f"{say(read.volts, 'V')} AC as read in {read.run}{_at(bench, read.run)}"
    if bare is None:
        return said
    if bare.if_loaded is not None:
        without = say(bare.if_loaded, "V")
        return f"{said}: on load or not is not written; taken as off load (if on load, {without} without it)"
    at = f" with {say(read.rated_amps, 'A')}" if read.rated_amps and bare.drop_volts else ""
    without = f": {say(bare.volts, 'V')} without it" if bare.drop_volts else ""
    return f"{said}, {bare.taken}{at}{without}"


def lists_apart(bench: Bench) -> tuple[str, ...]:
    """Neighbouring lists whose AC volts at the rectifier are not what their lines and selector settings make of them.

    Volts of a winding follow the line over the setting (the turns ratio of an ideal transformer).
    """
    return tuple(_apart(bench))


def _apart(bench: Bench) -> Iterator[str]:
    runs = measured_runs(bench.record.readings)
    read = [one for one in ac_readings(bench.circuit) if one.run in runs]
    if not bench.circuit.mains.wound:
        return
    for one, other in pairwise(read):
        wanted = one.share * (other.line_volts or 0.0)
        if wanted and abs(other.volts / wanted - 1) > GO_TOGETHER:
            yield (
                f"The AC volts at the rectifier do not go together: {say(one.volts, 'V')} in {one.run}"
                f"{_at(bench, one.run)} would be {say(wanted, 'V')} in {other.run}{_at(bench, other.run)}; read was "
                f"{say(other.volts, 'V')}. A reading, a {bench.words.line} or a setting is another than written."
            )


def _at(bench: Bench, run: str) -> str:
    """The line and the setting that a list was read at, as far as they are known."""
    line, at = line_of(bench.circuit, run), selected_at(bench.circuit, run)
    told = [f"{bench.words.line} {say(line, 'V')}"] if line else []
    told += [f"selector on {say(at.volts, 'V')}"] if at else []
    return f" ({', '.join(told)})" if told else ""
