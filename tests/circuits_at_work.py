"""Sets of ``circuits_drawn`` at work, with a fault: nodes by Newton's method with differences for slopes.

Grid current is retarding-field current, exponential in the grid's volts. A reading is a solution with the meter in
place.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import SimpleNamespace
from typing import Any

import numpy as np

from circuits_drawn import Set, charging, emitted, soft

INSULATION_OHMS = 2e10


@dataclass(frozen=True)
class Fault:
    """One fault: its subject, what it is, and what it does."""

    subject: str = ""
    what: str = "nothing wrong"
    ohms: Mapping[str, float] = field(default_factory=dict)
    across: Mapping[str, float] = field(default_factory=dict)
    emission: Mapping[str, float] = field(default_factory=dict)
    gas: Mapping[str, float] = field(default_factory=dict)
    heater: Mapping[str, float] = field(default_factory=dict)
    supply: tuple[float, float, float] = (1.0, 1.0, 1.0)
    """Times the rectifier's perveance, the reservoir's capacitance, the line's volts."""


def solve(of: Set, fault: Fault, probes: Sequence[tuple[str, float]], start: Any = None) -> list[float]:
    """The volts at each probe (place, meter's ohms) with the meter there, above the reference; the first without."""
    net = _Net(of, fault)
    plain = net.settle(start)
    found = []
    for place, meter in probes:
        if meter == math.inf:
            found.append(net.volts(plain, place))
            continue
        found.append(net.volts(net.settle(plain, (place, meter)), place))
    return found


class _Net:
    def __init__(self, of: Set, fault: Fault) -> None:
        circuit = self.circuit = of.circuit
        at = circuit.at
        self.reference = at("chassis") if "chassis" in {e for p in circuit.parts.values() for e in p.ends} else at("B-")
        names = {at(e) for p in circuit.parts.values() for e in p.ends}
        names |= {at(e) for s in circuit.sections for e in (s.plate, s.cathode, s.grid, s.screen) if e}
        names |= {at(circuit.first), at(circuit.bottom)}
        ground = self.reference
        self.fixed = {ground: 0.0, "AVC": of.avc, "line": 0.0}
        self.free = sorted(names - set(self.fixed))
        self.index = {name: n for n, name in enumerate(self.free)}
        self.branches = []
        for part in circuit.parts.values():
            if "surge" in part.text:
                continue
            one, other = (at(e) for e in part.ends)
            ohms = INSULATION_OHMS if part.kind == "capacitor" else of.ohms[part.name]
            ohms = fault.across.get(part.name, ohms * fault.ohms.get(part.name, 1.0))
            self.branches.append((one, other, ohms))
        self.extra = [(at(node), ground, INSULATION_OHMS) for node in self.free]
        self.extra += [(at(f"{tube} cathode"), ground, ohms) for tube, ohms in fault.heater.items()]
        self.extra += [(at(f"{tube} {word}"), ground, ohms) for tube, word, ohms in of.indicators]
        self.gas = [(at(f"{tube} grid"), amps) for tube, amps in fault.gas.items()]
        self.sections = circuit.sections
        self.laws = [
            replace(of.laws[s.name], k=of.laws[s.name].k * fault.emission.get(s.name.split()[0], 1.0))
            for s in self.sections
        ]
        self.amps, self.mean = charging(of, fault.supply)
        self.ground = ground
        self._matrix()

    def _matrix(self) -> None:
        n = len(self.free)
        self.g, self.fed = np.zeros((n, n)), np.zeros(n)
        for one, other, ohms in (*self.branches, *self.extra):
            for a, b in ((one, other), (other, one)):
                if a in self.index:
                    self.g[self.index[a], self.index[a]] += 1 / ohms
                    if b in self.index:
                        self.g[self.index[a], self.index[b]] -= 1 / ohms
                    else:
                        self.fed[self.index[a]] += self.fixed[b] / ohms
        for node, amps in self.gas:
            self.fed[self.index[node]] += amps

        self.many = SimpleNamespace()
        for name in ("k", "mu", "n", "v0", "share", "remote", "remote_share", "knee", "early", "bend", "kp", "kvb"):
            setattr(self.many, name, np.array([getattr(law, name) for law in self.laws]))

    def column(self, x: Any, place: str) -> Any:
        """The volts of a place, of many guesses at once; 0 V of none."""
        place = self.circuit.at(place) if place else place
        return x[..., self.index[place]] if place in self.index else np.full(x.shape[:-1], self.fixed.get(place, 0.0))

    def balance(self, x: Any) -> Any:
        """What enters each node, of many guesses at once."""
        out = self.fed - x @ self.g
        k, p, g, s = (self._of_sections(x, word) for word in ("cathode", "plate", "grid", "screen"))
        pentode = np.array([bool(sec.screen) for sec in self.sections])
        held = np.array([sec.oscillates for sec in self.sections])
        pull = np.where(pentode, s - k, p - k)
        grid = np.where(held, 0.0, g - k)  # a grid of which nothing is written is on its coil, at 0 V
        total = emitted(self.many, pull, grid)
        above = soft(p - k, 0.5)
        to_plate = np.where(
            pentode,
            total * (1 - self.many.share) * 2 / np.pi * np.arctan(above / self.many.knee),
            total * (1 - np.exp(-above / 0.6)),
        )
        slope = np.where(pentode, np.minimum(1 + (p - k - pull) / self.many.early, 2.0), 1.0)
        screen = np.where(pentode, (total - to_plate) * (1 - np.exp(-soft(s - k, 0.5))), 0.0)
        to_plate = to_plate * slope
        at_grid = np.where(
            held, 0.0, 6e-7 * np.exp(np.minimum((grid + 0.75) / 0.13, 9.0)) + 2e-3 * soft(grid - 0.2, 0.1)
        )
        for n, sec in enumerate(self.sections):
            for word, amps in (("plate", to_plate), ("screen", screen), ("grid", at_grid)):
                place = self.circuit.at(getattr(sec, word))
                if place in self.index:
                    out[..., self.index[place]] -= amps[..., n]
            cathode = self.circuit.at(sec.cathode)
            if cathode in self.index:
                out[..., self.index[cathode]] += to_plate[..., n] + screen[..., n] + at_grid[..., n]
        top, low = self.column(x, self.circuit.first), self.column(x, self.circuit.bottom)
        across = top - low
        given = np.interp(-across, -self.mean, self.amps)
        slope = (self.amps[-1] - self.amps[-2]) / (self.mean[-1] - self.mean[-2])
        given = np.where(across < self.mean[-1], self.amps[-1] + slope * (across - self.mean[-1]), given)
        out[..., self.index[self.circuit.at(self.circuit.first)]] += given
        if self.circuit.at(self.circuit.bottom) in self.index:
            out[..., self.index[self.circuit.at(self.circuit.bottom)]] -= given
        return out

    def _of_sections(self, x: Any, word: str) -> Any:
        return np.stack([self.column(x, getattr(section, word)) for section in self.sections], axis=-1)

    def settle(self, start: Any = None, meter: tuple[str, float] | None = None) -> Any:
        """Newton from ``start``; from zero by pseudo-transient steps."""
        n = len(self.free)
        x = np.zeros(n) if start is None else start.copy()
        probe = self.index.get(self.circuit.at(meter[0])) if meter else None
        conductance = 0.02 if start is None else 0.0
        limit, before = 15.0, np.zeros(n)
        for step in range(600):
            nudged = x + np.concatenate([np.zeros((1, n)), np.eye(n) * 1e-4])
            out = self.balance(nudged)
            if probe is not None:
                out[..., probe] -= nudged[..., probe] / meter[1]
            jacobian = (out[1:] - out[0]).T / 1e-4
            change = np.linalg.solve(jacobian - conductance * np.eye(n), -out[0])
            largest = np.abs(change).max()
            # Across the bend of a grid current a step goes to and fro: it is halved where it turns back.
            limit = max(min(limit, largest) / 2, 1e-3) if change @ before < 0 else min(1.5 * limit, 15.0)
            change *= min(1.0, limit / max(largest, 1e-30))
            x, before = x + change, change
            if conductance:
                conductance *= 0.5 if largest < 15 else 1.2
                conductance = conductance if conductance > 1e-9 else 0.0
            elif largest < 1e-5:
                return x
            elif step and step % 60 == 0:
                conductance = 1e-3
        raise ArithmeticError(f"no solution of {self.circuit.name}")

    def volts(self, x: Any, place: str) -> float:
        return float(self.column(x, place))
