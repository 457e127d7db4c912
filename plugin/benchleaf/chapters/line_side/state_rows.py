"""Every state that was computed, in as few rows as hold them: what comes to the same stands in one row."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from ...record.units import say
from .states import TouchState
from .wording import milliamps

SaidFigures = tuple[str, str] | None
"""Volts with nothing touching and the touch current as a page says them; None where a state cannot occur."""

Position = tuple[str, str]
"""Which way the plug is in, and the switch."""


@dataclass(frozen=True, slots=True)
class SameStates:
    """States of one fault that come to the same: each of ``plugs`` with each of ``switches`` and ``parts``."""

    plugs: tuple[str, ...]
    switches: tuple[str, ...]
    parts: tuple[str, ...]
    before: SaidFigures
    after: SaidFigures


def state_rows(before: Iterable[TouchState], after: Iterable[TouchState]) -> dict[str, tuple[SameStates, ...]]:
    """The rows of each fault, in the order computed."""
    sides = tuple({(s.fault, s.plug, s.switch, s.part): _said(s) for s in side} for side in (before, after))
    faults: dict[str, dict[Position, dict[tuple[SaidFigures, SaidFigures], list[str]]]] = {}
    for key in dict.fromkeys(key for side in sides for key in side):
        fault, plug, switch, part = key
        told = (sides[0].get(key), sides[1].get(key))
        faults.setdefault(fault, {}).setdefault((plug, switch), {}).setdefault(told, []).append(part)
    return {fault: tuple(_rows(of_position)) for fault, of_position in faults.items()}


def _rows(of_position: dict[Position, dict[tuple[SaidFigures, SaidFigures], list[str]]]) -> Iterable[SameStates]:
    """Positions that come to the same for the same parts, where they are all ways of a plug or of a switch."""
    alike: dict[tuple[tuple[str, ...], SaidFigures, SaidFigures], list[Position]] = {}
    for position, found in of_position.items():
        for (before, after), names in found.items():
            alike.setdefault((tuple(names), before, after), []).append(position)
    for (parts, before, after), positions in alike.items():
        for plugs, switches in in_boxes(positions):
            yield SameStates(plugs, switches, parts, before, after)


def in_boxes(positions: Iterable[Position]) -> list[tuple[tuple[str, ...], tuple[str, ...]]]:
    """The positions as every one of some plugs with every one of some switches."""
    switches_of: dict[str, list[str]] = {}
    for plug, switch in positions:
        switches_of.setdefault(plug, []).append(switch)
    plugs_of: dict[tuple[str, ...], list[str]] = {}
    for plug, held in switches_of.items():
        plugs_of.setdefault(tuple(held), []).append(plug)
    return [(tuple(plugs), switches) for switches, plugs in plugs_of.items()]


def _said(state: TouchState) -> tuple[str, str]:
    amps = "short circuit" if state.short_circuit else milliamps(state.touch_amps_rms)
    return say(state.no_load_volts, "V"), amps
