"""The worst case: high line, and every part at the end of its tolerance that lets more current through a hand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from ...electrics.limits import over_limit
from .barriers import spread
from .single_faults import NONE
from .states import Solved, TouchState, faults_by_name, networks_of, worst_touch

if TYPE_CHECKING:
    from ...electrics.limits import TouchLimit
    from .line_and_load import LineSource
    from .topology import Wiring


@dataclass(frozen=True, slots=True)
class Corner:
    """Touch current of one state in the limit's own kind (amperes RMS or peak), and whether it is over."""

    amps: float | None
    over_limit: bool | None


@dataclass(frozen=True, slots=True)
class Margin:
    """A state that is under the limit as written and over it in the worst case, and at what it would be over.

    ``high_line`` has the parts as written, ``tolerances`` the nominal line, ``both`` is the worst case.
    """

    state: TouchState
    line_volts: float
    high_line_volts: float
    high_line: Corner
    tolerances: Corner
    both: Corner


def at_end(wiring: Wiring, volts: float, more: bool) -> Wiring:
    """The wiring on a line of ``volts``, its parts at the end of their tolerances that gives more touch current, or
    less: an earth wire's components carry it past the hand."""
    return replace(
        wiring,
        volts=volts,
        b_minus=spread(wiring.b_minus, more),
        earth=spread(wiring.earth, not more),
        hot_to_chassis=spread(wiring.hot_to_chassis, more),
        return_to_chassis=spread(wiring.return_to_chassis, more),
        parts=tuple(replace(part, barrier=spread(part.barrier, more)) for part in wiring.parts),
    )


def worst_cases(wirings: Sequence[Wiring], high_volts: float) -> tuple[Wiring, ...]:
    """Each wiring in its worst case."""
    return tuple(at_end(wiring, high_volts, more=True) for wiring in wirings)


def margin_of(
    states: Sequence[TouchState], wirings: Sequence[Wiring], line: LineSource, limit: TouchLimit, solved: Solved
) -> Margin | None:
    """The gravest listed state with nothing wrong that is under the limit as written alone; None where none is."""
    beyond = [s for s in states if s.listed and s.fault == NONE and s.under_as_written_only]
    if not beyond:
        return None
    state = max(beyond, key=lambda s: s.worst_case_amps_rms or 0.0)
    corners = (
        [replace(w, volts=line.high_volts) for w in wirings],
        [at_end(w, w.volts, more=True) for w in wirings],
        worst_cases(wirings, line.high_volts),
    )
    found = (_corner(state, corner, limit, solved) for corner in corners)
    return Margin(state, line.volts, line.high_volts, *found)


def _corner(state: TouchState, wirings: Sequence[Wiring], limit: TouchLimit, solved: Solved) -> Corner:
    node = next(part.node for part in wirings[0].parts if part.name == state.part)
    networks = networks_of(faults_by_name(wirings)[state.fault], state.plug, state.switch)
    touch = worst_touch([solved.touch(solved.network(network), node) for network in networks])
    if touch is None:
        return Corner(None, True)
    return Corner(touch.amps_peak if limit.kind == "peak" else touch.amps_rms, over_limit(touch, limit))
