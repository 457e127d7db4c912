"""What follows from one state of the line side, before or after."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from ...circuit.line_side import Time
from ...electrics.touch import meter_volts
from ...record.sections.line_side import LineSideState
from ...record.units import say
from ..bench import Bench
from .b_minus import IsolatingNetwork, network_facts
from .described import DescribedState, describe
from .earth import FITTED, earth_of
from .line_and_load import LineSource, SetLoad
from .single_faults import NONE
from .states import BetweenState, Solved, TouchState, states_of, without_fault, worst
from .topology import network
from .worst_case import Margin, margin_of, worst_cases

ALARMING_VOLTS = 24.7
"""RMS of 35 V peak, below which IEC 60065 9.1.1 asks for no current test."""


@dataclass(frozen=True)
class StateFindings:
    """The line side at one time. ``earth`` says what an earth wire to its chassis is or would be.

    ``sockets`` has the components before each listed part that has any, by its name, with the chassis at full line.
    ``worst_normal`` and ``worst_fault`` are the worst states of the listed parts without and with a single fault;
    ``meter_volts`` is what a meter of 10 megohm shows in the worst normal state. ``margin`` is set where a listed part
    with nothing wrong is under the limit as written only.
    """

    states: tuple[TouchState, ...]
    between: tuple[BetweenState, ...]
    b_minus_network: IsolatingNetwork | None
    earth: str
    assumed: tuple[str, ...]
    sockets: Mapping[str, IsolatingNetwork]
    described: DescribedState = field(metadata={"json": False})
    worst_normal: TouchState | None = field(default=None, metadata={"json": False})
    worst_fault: TouchState | None = field(default=None, metadata={"json": False})
    meter_volts: float | None = field(default=None, metadata={"json": False})
    margin: Margin | None = field(default=None, metadata={"json": False})

    @property
    def normal(self) -> tuple[TouchState, ...]:
        """The states without a fault."""
        return without_fault(self.states)

    def as_bad_as(self, other: TouchState) -> TouchState | None:
        """The worst fault; of several that are shown as equally bad that of another state, where it is among them."""
        worst = self.worst_fault
        if worst is None or worst.touch_amps_rms is None:
            return worst
        shown = say(worst.touch_amps_rms, "A")
        alike = [s for s in self.states if s.listed and s.fault == other.fault and s.over_limit == worst.over_limit]
        equal = [s for s in alike if s.touch_amps_rms is not None and say(s.touch_amps_rms, "A") == shown]
        return next((s for s in equal if (s.plug, s.switch) == (other.plug, other.switch)), next(iter(equal), worst))

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
    def over_everywhere(self) -> bool:
        """Whether a listed part is over the limit with nothing wrong in every position of several."""
        positions = {(s.plug, s.switch) for s in self.normal if s.listed}
        return len(positions) > 1 and len(self.over_positions) == len(positions)

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
        """Whether a single fault may put a listed part over the limit with the switch off."""
        return any(s.may_be_over and s.listed and s.switch == "off" and s.fault != NONE for s in self.states)

    @property
    def fault_under_as_written_only(self) -> TouchState | None:
        """The listed state with a single fault that is under the limit as written only, the gravest; None if none."""
        beyond = [s for s in self.states if s.listed and s.fault != NONE and s.under_as_written_only]
        return max(beyond, key=lambda s: s.worst_case_amps_rms or 0.0, default=None)


def state_findings(
    state: LineSideState | None,
    time: Time,
    line: LineSource | None,
    load: SetLoad,
    bench: Bench,
    solved: Solved | None,
) -> StateFindings | None:
    """The findings of one written state with the parts of a time; None where it is not written, or without a line."""
    record = bench.record
    if state is None or line is None or solved is None:
        return None
    described = describe(bench, state, time, line, load)
    worst_wirings = worst_cases(described.wirings, line.high_volts)
    states, between = states_of(described.wirings, bench.limit, solved, worst_wirings)
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
        sockets={
            part.name: facts
            for part in wiring.parts
            if part.listed and (facts := network_facts(part.barrier, line, bench.limit, record.bands))
        },
        described=described,
        worst_normal=worst_normal,
        worst_fault=worst(s for s in listed if s.fault != NONE),
        meter_volts=_meter(described, worst_normal),
        margin=margin_of(states, described.wirings, line, bench.limit, solved),
    )


def _meter(described: DescribedState, state: TouchState | None) -> float | None:
    """Volts a meter of 10 megohm shows in a state; None where they would alarm nobody (``ALARMING_VOLTS``)."""
    if state is None or state.no_load_volts is None or state.no_load_volts < ALARMING_VOLTS:
        return None
    part = next(p for p in described.wiring.parts if p.name == state.part)
    return max(
        meter_volts(network(w, state.plug, state.switch), part.node, w.hertz)
        for w in described.wirings
        if state.switch in w.switch_ways()
    )
