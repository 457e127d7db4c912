"""What follows from the line side as written: every state before and after, and what stands between hand and line."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from ...bench import Bench
from ...electrics.limits import TouchLimit
from ...electrics.touch import meter_volts
from ...findings import Standout
from ...record.model import Record
from .b_minus import Network, network_facts
from .checks import Check, checks_of
from .described import Described, Line, Load, describe, line_of, load_of
from .faults import NONE
from .measured import MeasuredInsulation, MeasuredTouch, compare_insulation, compare_touches
from .model import LineSideState
from .shown import Row, rows_of
from .states import BetweenState, TouchState, states_of, without_fault, worst
from .topology import network

if TYPE_CHECKING:
    from ..heaters.findings import HeatersFindings

ANCHOR = "line-side"


@dataclass(frozen=True)
class StateFindings:
    """The line side at one time. ``b_minus_network`` also stands for the line-to-chassis capacitors of a transformer set.

    ``worst_normal`` and ``worst_fault`` are the worst states of the listed parts without and with a single fault;
    ``meter`` is what a meter of 10 megohm shows in the worst normal state.
    """

    states: tuple[TouchState, ...]
    between: tuple[BetweenState, ...]
    b_minus_network: Network | None
    line_to_chassis_network: Network | None
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
    def tight(self) -> tuple[TouchState, ...]:
        """The normal states of listed parts that are over the limit."""
        return tuple(s for s in self.normal if s.listed and s.over_limit)


@dataclass(frozen=True)
class LineSideFindings:
    """Everything computed about the line side. ``limit_kind`` is ``peak``, ``rms`` or ``dc``.

    ``before`` and ``after`` are None where the record does not describe them, or no line is known; ``missing`` says what
    would have to be written.
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
    note: str = field(default="", metadata={"json": False})

    @property
    def now(self) -> StateFindings | None:
        """The state the set is in: after the work where that is written."""
        return self.after or self.before

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
        checks=checks_of(record, before, after, bench.words),
        missing=_missing(record, line, bench),
        limit_note=limit.note,
        load=load,
        rows=rows_of(before.states if before else (), after.states if after else ()),
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
        b_minus_network=None if wiring.double_wound else _facts(wiring.b_minus, line, bench.limit, record),
        line_to_chassis_network=_facts((*wiring.hot_to_chassis, *wiring.return_to_chassis), line, bench.limit, record),
        earth=earth_of(described),
        assumed=described.assumed,
        described=described,
        worst_normal=worst_normal,
        worst_fault=worst(s for s in listed if s.fault != NONE),
        meter_volts=_meter(described, worst_normal),
    )
