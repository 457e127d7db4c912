"""The fuse: what the set draws, what its cold heaters ask, what either rule of rating wants, and what is fitted."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from ...electrics.fuses import RULES, FuseRule, Inrush, breaking_amps, inrush, least_rating, rule_for
from ...electrics.warm_up import WARM_UP_RANGE_SECONDS
from ...record.sections.line_side import Fuse as WrittenFuse
from ...record.sections.line_side import LineSideState
from ...record.units import say
from ...report.verdict import Verdict
from ...words import Words
from ..heaters.switching import from_cold
from .fuse_place import goes_either_way
from .inspection import Check
from .line_and_load import LineSource, SetLoad, set_aside

if TYPE_CHECKING:
    from ...circuit.circuit import Circuit
    from ...circuit.powered_steps import NotRunning
    from ..heaters.findings import HeatersFindings
    from .described import DescribedState

FAR_TOO_LARGE = 4.0
"""Common practice, no source: a fuse rated for more than this many times the running current guards the cord alone."""

SLOW_FROM = 2.0
"""Common practice, no source: where the first current is more than this many times the rating, a slow fuse belongs."""


@dataclass(frozen=True, slots=True)
class ByRule:
    """One rule's answer. ``opens_amps`` is what must open the smallest rating that carries the running current.

    ``low_breaking_amps`` and ``high_breaking_amps``: the short circuit its two constructions can break, from memory.
    """

    rule: str
    standard: str
    loaded_share: float
    holds_share: float
    opens_share: float
    opens_within: str
    least_rating_amps: float | None
    opens_amps: float | None
    inrush_times_rating: float | None
    low_breaking_amps: float | None
    high_breaking_amps: float | None
    source: str


@dataclass(frozen=True, slots=True)
class FuseFindings:
    """Amperes RMS, A²s, seconds, ohms. ``running_source``: ``measured``, ``line watts`` (read, over the line's volts),
    ``lamp`` (read behind one, without which it is more), ``nameplate``, ``computed`` (heaters and rectifier) or
    ``heaters`` (string alone). ``set_aside`` are currents that were read of less than the running set.

    The heaters come up from cold on high line as in their own chapter; ``inrush_least_extra_i2t`` and
    ``inrush_least_seconds_over_double`` are for the shortest warm-up time taken for heaters, the others for the
    longest.
    ``rule`` is that of this mains, by which the fuse is judged unless its own is written; it stands first in
    ``by_rule``. ``fitted_times_running`` is the rating written over the running current. Of a fusible resistor
    ``dropped_volts`` and ``resistor_watts`` at the running current.
    """

    running_amps: float
    running_source: str
    rule: str
    inrush_line_volts: float | None
    inrush_amps: float | None
    inrush_least_extra_i2t: float | None
    inrush_extra_i2t: float | None
    inrush_least_seconds_over_double: float | None
    inrush_seconds_over_double: float | None
    by_rule: tuple[ByRule, ...]
    fitted_amps: float | None
    fitted_rule: str | None
    fitted_place: str | None
    fitted_times_running: float | None
    dropped_volts: float | None
    resistor_watts: float | None
    wants_slow: bool | None
    set_aside: tuple[tuple[float, NotRunning], ...] = field(default=(), metadata={"json": False})

    @property
    def source_said(self) -> str:
        """Where the running current is from."""
        return SOURCES[self.running_source]

    @property
    def aside_said(self) -> tuple[tuple[float, str], ...]:
        """The currents that were set aside, each with what it was read of."""
        return tuple((amps, ASIDE[why]) for amps, why in self.set_aside)


def fuse_findings(
    circuit: Circuit,
    state: LineSideState,
    line: LineSource,
    load: SetLoad,
    heaters: HeatersFindings | None,
    running: tuple[float, str] | None,
) -> FuseFindings | None:
    """What a fuse has to carry and what is fitted; None where nothing says what the ``running`` set draws."""
    if running is None:
        return None
    amps, source = running
    quick, cold = _from_cold(heaters, line) if load.heater_ohms else (None, None)
    fuse = state.fuse if state.fuse and not state.fuse.none else None
    rated = _si(fuse.amps) if fuse else None
    ohms = _si(fuse.ohms) if fuse else None
    of_mains = rule_for(line.volts, line.hertz)
    rules = sorted(RULES.values(), key=lambda rule: rule is not of_mains)
    by_rule = tuple(_by_rule(amps, cold.amps if cold else None, rule) for rule in rules)
    least = by_rule[0].least_rating_amps
    return FuseFindings(
        running_amps=amps,
        running_source=source,
        rule=of_mains.name,
        inrush_line_volts=line.high_volts if cold else None,
        inrush_amps=cold.amps if cold else None,
        inrush_least_extra_i2t=quick.extra_i2t if quick else None,
        inrush_extra_i2t=cold.extra_i2t if cold else None,
        inrush_least_seconds_over_double=quick.seconds_over_double if quick else None,
        inrush_seconds_over_double=cold.seconds_over_double if cold else None,
        by_rule=by_rule,
        fitted_amps=rated,
        fitted_rule=str(fuse.rule) if fuse and fuse.rule else None,
        fitted_place=str(fuse.in_) if fuse and fuse.in_ else None,
        fitted_times_running=rated / amps if rated else None,
        dropped_volts=ohms * amps if ohms else None,
        resistor_watts=ohms * amps**2 if ohms else None,
        wants_slow=cold.amps > SLOW_FROM * least if cold and least else None,
        set_aside=tuple(one for one in set_aside(circuit, line) if one != (amps, source)),
    )


def _from_cold(heaters: HeatersFindings | None, line: LineSource) -> tuple[Inrush | None, Inrush | None]:
    """The string from cold on high line, with the shortest and the longest warm-up time of its heaters."""
    if heaters is None or heaters.string is None or heaters.filaments:
        return None, None
    quick, slow = (from_cold(heaters.string, line.high_volts, seconds) for seconds in WARM_UP_RANGE_SECONDS)
    return (inrush(quick.seconds, quick.amps), inrush(slow.seconds, slow.amps)) if quick and slow else (None, None)


def _si(quantity: object) -> float | None:
    value = getattr(quantity, "si", None)
    return value if isinstance(value, float) and value > 0 else None


def _by_rule(amps: float, cold_amps: float | None, rule: FuseRule) -> ByRule:
    least = least_rating(amps, rule)
    return ByRule(
        rule=rule.name,
        standard=rule.standard,
        loaded_share=rule.loaded,
        holds_share=rule.holds,
        opens_share=rule.opens,
        opens_within=rule.opens_within,
        least_rating_amps=least,
        opens_amps=least * rule.opens if least else None,
        inrush_times_rating=cold_amps / least if cold_amps and least else None,
        low_breaking_amps=breaking_amps(least, high=False, rule=rule) if least else None,
        high_breaking_amps=breaking_amps(least, high=True, rule=rule) if least else None,
        source=rule.source,
    )


def fuse_checks(
    written: WrittenFuse | None,
    described: DescribedState,
    found: FuseFindings | None,
    line: LineSource | None,
    words: Words,
) -> Iterator[Check]:
    """What is wrong with the fuse as written: too small, far too large, rated below the line, a resistor cooked."""
    if written is None:
        return
    if written.none:
        place = "either lead" if goes_either_way(described) else f"the {words.hot} lead"
        yield Check(
            Verdict.WATCH,
            f"No fuse: a shorted rectifier or {words.filter_capacitor} then burns until the fuse of the house "
            "opens. One "
            f"belongs in {place}, before the switch{_wanted(found)} (common practice, no source).",
        )
        return
    volts = _si(written.volts)
    if volts and line and volts < line.volts:
        yield Check(
            Verdict.FAULT,
            f"The fuse is rated {say(volts, 'V')}, the {words.line} is {say(line.volts, 'V')}: it may arc on after it "
            "blows.",
        )
    if found is not None and found.fitted_amps is not None:
        yield from _size(found, found.fitted_amps)
    watts = _si(written.watts)
    if found is not None and found.resistor_watts and watts and found.resistor_watts > watts:
        yield Check(
            Verdict.FAULT,
            f"The fusible resistor takes {say(found.resistor_watts, 'W')} at the running current and is rated "
            f"{say(watts, 'W')}.",
        )


def _size(found: FuseFindings, rated: float) -> Iterator[Check]:
    rule = RULES[found.fitted_rule or found.rule]
    running = f"{say(found.running_amps, 'A')} ({SOURCES[found.running_source]})"
    if found.running_amps > rated * rule.loaded:
        carried = any(found.running_amps <= rated * other.loaded for other in RULES.values())
        unsure = carried and found.fitted_rule is None
        asked = "; by the other rule it would carry that: write its “rule”" if unsure else ""
        yield Check(
            Verdict.WATCH if unsure else Verdict.FAULT,
            f"The fuse of {say(rated, 'A')} is too small by {rule.standard}, under which it carries "
            f"{say(rated * rule.loaded, 'A')} for good: the set draws {running}{asked}.",
        )
    elif found.running_source not in _AT_LEAST and rated > FAR_TOO_LARGE * found.running_amps:
        yield Check(
            Verdict.NOTE,
            f"The fuse of {say(rated, 'A')} is {rated / found.running_amps:.0f} times the {running} that the set "
            "draws: a fault in it may burn before it opens.",
        )


SOURCES = {
    "measured": "measured at power-up",
    "line watts": "the watts that were read, over the line’s volts",
    "lamp": "read behind a lamp in series, so it is more",
    "nameplate": "nameplate",
    "computed": "computed, heaters and rectifier together",
    "heaters": "heater string alone, so it is more",
}
_AT_LEAST = ("heaters", "lamp")
"""What the running set draws more than."""
ASIDE = {
    "lamp": "behind a lamp in series",
    "no rectifier": "without the rectifier",
    "no tubes": "without what the transformer feeds",
}
"""What a current was read of that is not the running set's."""


def _wanted(found: FuseFindings | None) -> str:
    if found is None:
        return ""
    least = found.by_rule[0]
    return f", of {say(least.least_rating_amps, 'A')} by {least.standard} at least" if least.least_rating_amps else ""
