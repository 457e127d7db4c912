"""What follows from the line side as written: every state before and after, and what stands between hand and line."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from ...bench import Bench
from ...dialect import Words
from ...electrics.touch import meter_volts
from ...findings import Standout
from ...record.model import Record
from . import sentences
from .b_minus import Network, network_facts
from .checks import FITTED, Check, checks_of, earth_of
from .described import Described, describe
from .faults import NONE
from .measured import MeasuredInsulation, MeasuredTouch, compare_insulation, compare_touches
from .model import LineSideState
from .shown import Row, no_worse, rows_of
from .states import BetweenState, TouchState, states_of, without_fault, worst
from .supply import NOT_FROM_THE_LINE, Line, Load, line_of, load_of
from .topology import network
from .wording import fault_words, milliamps, part_words

if TYPE_CHECKING:
    from ..heaters.findings import HeatersFindings

ALARMING_VOLTS = 24.7
"""RMS of 35 V peak, below which IEC 60065 9.1.1 asks for no current test."""


@dataclass(frozen=True)
class StateFindings:
    """The line side at one time. ``earth`` says what an earth wire to its chassis is or would be.

    ``worst_normal`` and ``worst_fault`` are the worst states of the listed parts without and with a single fault;
    ``meter`` is what a meter of 10 megohm shows in the worst normal state.
    """

    states: tuple[TouchState, ...]
    between: tuple[BetweenState, ...]
    b_minus_network: Network | None
    earth: str
    assumed: tuple[str, ...]
    described: Described = field(metadata={"json": False})
    worst_normal: TouchState | None = field(default=None, metadata={"json": False})
    worst_fault: TouchState | None = field(default=None, metadata={"json": False})
    meter_volts: float | None = field(default=None, metadata={"json": False})

    @property
    def normal(self) -> tuple[TouchState, ...]:
        """The states without a fault."""
        return without_fault(self.states)

    @property
    def floats(self) -> bool:
        """Whether no touchable part has a defined voltage while nothing is wrong and the set is on."""
        on = [s for s in self.normal if s.switch == "on"]
        return bool(on) and all(s.no_load_volts is None and not s.short_circuit for s in on)

    @property
    def shorts(self) -> bool:
        """Whether plugging the set in can short the line with nothing else wrong."""
        return any(s.short_circuit for s in self.normal)

    @property
    def over_positions(self) -> tuple[TouchState, ...]:
        """The positions of plug and switch in which a listed part is over the limit with nothing wrong."""
        found = {(s.plug, s.switch): s for s in self.normal if s.listed and s.over_limit}
        return tuple(found.values())

    @property
    def through_earth_wire(self) -> bool:
        """Whether a single fault shorts the line through an earth wire that is there for it."""
        return any(s.short_circuit and s.over_limit is None and s.fault != NONE for s in self.states) and self.fitted

    @property
    def fitted(self) -> bool:
        """Whether an earth wire is fitted behind a double-wound transformer."""
        return self.earth == FITTED

    @property
    def live_when_off(self) -> bool:
        """Whether a single fault puts a listed part over the limit with the switch off."""
        return any(s.over_limit and s.listed and s.switch == "off" and s.fault != NONE for s in self.states)


@dataclass(frozen=True, slots=True)
class Pair:
    """One state before and after; None where it cannot occur."""

    plug: str
    switch: str
    fault: str
    part: str
    before: TouchState | None
    after: TouchState | None


def _by_position(states: Iterable[TouchState]) -> dict[tuple[str, str, str, str], TouchState]:
    return {(s.plug, s.switch, s.fault, s.part): s for s in states}


@dataclass(frozen=True)
class LineSideFindings:
    """Everything computed about the line side. ``limit_kind`` is ``peak``, ``rms`` or ``dc``.

    ``before`` and ``after`` are None where the record does not describe them, or no line is known; ``missing`` says
    what would have to be written.
    """

    limit_amps: float | None
    limit_kind: str
    limit_source: str
    limit_standard: str
    limit_confidence: str
    line_volts: float | None
    line_hertz: float | None
    load_ohms: float | None
    load_source: str
    before: StateFindings | None
    after: StateFindings | None
    measured: tuple[MeasuredTouch, ...]
    insulation: tuple[MeasuredInsulation, ...]
    checks: tuple[Check, ...]
    missing: tuple[str, ...]
    limit_note: str = field(default="", metadata={"json": False})
    load: Load = field(default=Load(), metadata={"json": False})
    rows: tuple[Row, ...] = field(default=(), metadata={"json": False})
    no_worse: tuple[str, ...] = field(default=(), metadata={"json": False})
    note: str = field(default="", metadata={"json": False})

    @property
    def now(self) -> StateFindings | None:
        """The state the set is in: after the work where that is written."""
        return self.after or self.before

    @property
    def pairs(self) -> tuple[Pair, ...]:
        """Every state with its counterpart before and after."""
        before, after = (_by_position(side.states if side else ()) for side in (self.before, self.after))
        return tuple(Pair(*key, before.get(key), after.get(key)) for key in dict.fromkeys((*before, *after)))

    def fault_words(self, fault: str, words: Words) -> str:
        """A fault's short name as the page says it."""
        return fault_words(fault, words)

    def milliamps(self, amps: float | None) -> str:
        """A touch current as the page says it."""
        return milliamps(amps)

    def part_words(self, part: str, words: Words) -> str:
        """A part's name as the page says it."""
        return part_words(part, words)

    @property
    def direct(self) -> bool:
        """Whether the line is direct current."""
        return self.line_hertz == 0


def examine(record: Record, bench: Bench, heaters: HeatersFindings | None = None) -> LineSideFindings | None:
    """All findings on the line side; None where the record has no such section."""
    side = record.line_side
    if side is None:
        return None
    line = line_of(record)
    limit = bench.limit
    direct = line is not None and line.hertz == 0
    load = load_of(record, line, heaters) if line else Load()
    before = _state(record, side.before, False, line, load, bench)
    after = _state(record, side.after, True, line, load, bench)
    now = after or before
    both = (before.states if before else (), after.states if after else ())
    return LineSideFindings(
        limit_amps=limit.dc_amps if direct else limit.amps,
        limit_kind="dc" if direct else limit.kind,
        limit_source=limit.source,
        limit_standard=limit.standard,
        limit_confidence=limit.confidence,
        line_volts=line.volts if line else None,
        line_hertz=line.hertz if line else None,
        load_ohms=load.ohms,
        load_source=load.source,
        before=before,
        after=after,
        measured=compare_touches(side.measured, now.described, line) if now and line else (),
        insulation=compare_insulation(side.measured, now.described) if now else (),
        checks=_checks(side.after or side.before, now, bench.words),
        missing=_missing(record, line, bench.words),
        limit_note=limit.note,
        load=load,
        rows=rows_of(*both),
        no_worse=no_worse(*both),
        note=str(side.note or ""),
    )


def _state(
    record: Record, state: LineSideState | None, is_after: bool, line: Line | None, load: Load, bench: Bench
) -> StateFindings | None:
    if state is None or line is None:
        return None
    described = describe(record, state, is_after, line, load, bench.words)
    states, between = states_of(described.wirings, bench.limit)
    listed = [s for s in states if s.listed]
    worst_normal = worst(s for s in listed if s.fault == NONE)
    wiring = described.wiring
    return StateFindings(
        states=states,
        between=between,
        b_minus_network=(
            None if wiring.double_wound else network_facts(wiring.b_minus, line, bench.limit, record.bands)
        ),
        earth=earth_of(described),
        assumed=described.assumed,
        described=described,
        worst_normal=worst_normal,
        worst_fault=worst(s for s in listed if s.fault != NONE),
        meter_volts=_meter(described, worst_normal),
    )


def _checks(state: LineSideState | None, now: StateFindings | None, words: Words) -> tuple[Check, ...]:
    return checks_of(state, now.described, now.b_minus_network, words) if state and now else ()


def _meter(described: Described, state: TouchState | None) -> float | None:
    """Volts a meter of 10 megohm shows in a state; None where they would alarm nobody (``ALARMING_VOLTS``)."""
    if state is None or state.no_load_volts is None or state.no_load_volts < ALARMING_VOLTS:
        return None
    part = next(p for p in described.wiring.parts if p.name == state.part)
    return max(
        meter_volts(network(w, state.plug, state.switch), part.node, w.hertz)
        for w in described.wirings
        if state.switch in w.switch_ways()
    )


def _missing(record: Record, line: Line | None, words: Words) -> tuple[str, ...]:
    """What would have to be written before more can be computed."""
    if record.power in NOT_FROM_THE_LINE:
        return (f"This set does not run from the {words.line}: there is nothing to compute here.",)
    if line is None:
        return (f"The {words.line} is not stated: without its volts nothing can be computed.",)
    side = record.line_side
    assert side is not None
    missing = []
    if side.before is None:
        missing.append("How it was wired before the work is not written down.")
    if side.after is None:
        missing.append("How it is wired after the work is not written down.")
    return tuple(missing)


def standouts(findings: LineSideFindings, bench: Bench) -> list[Standout]:
    """The sentences on the line side that deserve the top of the page, worst first."""
    found = [Standout(check.severity, check.text, sentences.ANCHOR) for check in findings.checks]
    found += sentences.of_states(findings, bench.words)
    found += sentences.of_measurements(findings, bench.words)
    return sorted(found, key=lambda s: -s.severity)
