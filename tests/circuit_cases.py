"""Faults of the circuits in ``faulted_circuits``, and the records that a restorer would write of sets with them."""

from __future__ import annotations

import math
import random
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from circuits_at_work import Fault, solve
from circuits_drawn import FEEDS, Set, charging, made
from circuits_written import GROUNDS, Circuit, circuits

OPEN_OHMS, SHORT_OHMS = 3e9, 2.0
METERS = ("1 kohm/V", "20 kohm/V", "10 meg")
MOVED, MOVED_VOLTS = 0.2, 0.5


def faults(circuit: Circuit, rng: random.Random) -> list[Fault]:
    """Each fault of a circuit once, as large as chance has it."""

    def times(least: float, most: float) -> float:
        return math.exp(rng.uniform(math.log(least), math.log(most)))

    found = [Fault()]
    reservoir = next((p.name for p in circuit.parts.values() if p.kind == "capacitor" and circuit.first in p.ends), "")
    for part in circuit.parts.values():
        places = " ".join(part.ends)
        if part.kind == "resistor":
            found.append(Fault(part.name, "high", ohms={part.name: times(1.8, 3)}))
            gas = {}
            if "grid" in places and "osc" not in places:
                tube = re.search(r"(V\d) grid$", part.ends[0])
                gas = {tube[1]: times(2e-8, 2e-7)} if tube else {}
            found.append(Fault(part.name, "open", ohms={part.name: OPEN_OHMS / part.value}, gas=gas))
        elif part.kind == "winding":
            found.append(Fault(part.name, "open", ohms={part.name: OPEN_OHMS / part.value}))
        elif "electrolytic" in part.text:
            if "line" in places:
                continue
            small = "cathode" in places and circuit.first not in part.ends
            found.append(Fault(part.name, "leaks", across={part.name: times(60, 600) if small else times(1e3, 6e3)}))
            found.append(Fault(part.name, "shorted", across={part.name: SHORT_OHMS}))
            if part.name == reservoir:
                found.append(Fault(part.name, "dried out", supply=(1.0, times(0.08, 0.25), 1.0)))
        elif "pF" not in part.text:
            grid = ("grid" in places and ("plate" in places or "load" in places)) or "cathode 2" in places
            low, high = (2e5, 4e6) if grid else (50, 2e3) if "cathode" in places else (1e4, 3e5)
            found.append(Fault(part.name, "leaks", across={part.name: times(low, high)}))
            found.append(Fault(part.name, "shorted", across={part.name: SHORT_OHMS}))
    for tube in circuit.tubes:
        if tube == circuit.rectifier:
            found.append(Fault(tube, "weak", supply=(times(0.06, 0.3), 1.0, 1.0)))
            continue
        found.append(Fault(tube, "weak", emission={tube: times(0.25, 0.6)}))
        found.append(Fault(tube, "dead", emission={tube: 1e-4}))
        leaks = [p for p in circuit.parts.values() if p.ends[0] == f"{tube} grid" and p.kind == "resistor"]
        if leaks:
            found.append(Fault(tube, "gas", gas={tube: times(2e-6, 1.2e-5)}))
        if any(p.ends[0] == f"{tube} cathode" and p.kind == "resistor" for p in circuit.parts.values()):
            found.append(Fault(tube, "heater leak", heater={tube: times(60, 3e3)}))
    if circuit.power != "battery":
        found.append(Fault("line", "low", supply=(1.0, 1.0, 0.82)))
        found.append(Fault("line", "high", supply=(1.0, 1.0, 1.15)))
    return found


def places(circuit: Circuit) -> list[str]:
    """Where a restorer reads: plates, screens, cathodes off the chassis, output grids, rails."""
    ends = {e for p in circuit.parts.values() for e in p.ends} | set(circuit.node)
    ground = {g for g in GROUNDS if g in ends and circuit.at(g) == g}
    found = []
    for place in sorted(ends):
        word = place.rstrip(" 12").split()[-1]
        rail = re.fullmatch(r"B\+\d", place)
        output = (
            place.endswith(" grid")
            and re.search(rf"{place.split()[0]}: [^\n]*output", circuit.text)
            and "triode" not in place
        )
        electrode = (
            re.match(r"V\d ", place) and word in ("plate", "screen", "cathode") and circuit.at(place) not in ground
        )
        filament = place.endswith("filament") and circuit.power == "transformer"
        if (rail or electrode or output or filament) and not place.startswith(f"{circuit.rectifier} "):
            found.append(place)
    if len(ground) == len(GROUNDS):
        found.append("B-")
    return found


def meter_line(meter: str, top: float) -> tuple[str, float]:
    """A meter as a record has it, and its ohms."""
    if meter == "10 meg":
        return meter, 1e7
    span = 250 if top < 240 else 500
    return f"{meter} on {span} V", float(meter.split()[0]) * 1e3 * span


def shown(volts: Sequence[float], rng: random.Random) -> list[float]:
    """What a meter shows: its own factor for all, and each reading a little off; three digits."""
    factor = rng.gauss(1, 0.015)
    read = [v * factor * (1 + rng.uniform(-0.02, 0.02)) for v in volts]
    return [float(f"{v:.3g}") if abs(v) >= 1 else round(v, 2) + 0.0 for v in read]


@dataclass(frozen=True)
class Case:
    """One set with a fault, as a record of it and as one without its sheet."""

    circuit: str
    seed: int
    fault: Fault
    meter: str
    text: str
    sheet_meter: tuple[str, float]
    shows: bool
    true: Mapping[str, float]

    def record(self, *, sheet: bool) -> str:
        if not sheet:
            return self.text
        return self.text.replace("  as found:", f"{_sheet(self.circuit, *self.sheet_meter)}  as found:")


@cache
def _sheet(name: str, meter: str, ohms: float) -> str:
    """What the maker had: the set as meant, read with a meter."""
    circuit = circuits()[name]
    at = places(circuit)
    volts = solve(made(circuit, random.Random(f"{name} meant"), meant=True), Fault(), [(p, ohms) for p in at])
    meant = made(circuit, random.Random(f"{name} meant"), meant=True)
    sheet = _list("sheet", at, shown(volts, random.Random(0)), meter, circuit)
    return f"{sheet}    line: {circuit.line:g} V\n" + _ac(meant, Fault(), known=circuit.name in FEEDS)


def cases(name: str, seed: int, step: int = 1) -> Iterator[Case]:
    """Every fault of a circuit in one set, read with each of the meters; of ``step`` one, the sound set with one."""
    circuit = circuits()[name]
    rng = random.Random(f"{name} {seed}")
    real, at = made(circuit, rng), places(circuit)
    top = max(solve(real, Fault(), [(p, math.inf) for p in at]))
    sheet_meter = meter_line(rng.choice(METERS), top)
    ac = circuit.name in FEEDS
    line_read, ac_read = rng.random() < 0.5, ac and rng.random() < 0.6
    all_faults = faults(circuit, rng)
    usual = rng.randrange(len(METERS))
    for n, meter in enumerate(METERS):
        line, ohms = meter_line(meter, top)
        probes = [(p, ohms) for p in at]
        sound = solve(real, Fault(), probes)
        for number, fault in enumerate(all_faults):
            if (number + 7 * n + seed) % step if fault.subject else step > 1 and n != usual:
                continue
            if fault.subject == "line" and (ac_read or circuit.name in FEEDS):
                continue
            volts = solve(real, fault, probes)
            read = shown(volts, random.Random(f"{name} {seed} {fault.subject} {fault.what} {meter}"))
            text = circuit.text + "readings:\n" + _list("as found", at, read, line, circuit)
            if line_read and fault.subject != "line" and circuit.hertz:
                text += f"    line: {real.line * rng.uniform(0.99, 1.01):.3g} V\n"
            text += _ac(real, fault, known=ac_read)
            moved = [abs(v - s) for v, s in zip(volts, sound, strict=True)]
            shows = any(m >= MOVED_VOLTS and m >= MOVED * abs(s) for m, s in zip(moved, sound, strict=True))
            yield Case(name, seed, fault, meter, text, sheet_meter, shows, dict(zip(at, volts, strict=True)))


def with_fault(name: str, fault: Fault, seed: int = 1, meter: str = "10 meg") -> str:
    """The record of a circuit's set with any faults, read with a meter, its line and AC volts with it."""
    circuit = circuits()[name]
    real, at = made(circuit, random.Random(f"{name} {seed}")), places(circuit)
    line, ohms = meter_line(meter, 0.0)
    read = shown(solve(real, fault, [(p, ohms) for p in at]), random.Random(f"{name} {seed}"))
    text = circuit.text + "readings:\n" + _list("as found", at, read, line, circuit)
    return text + f"    line: {real.line:.3g} V\n" + _ac(real, fault, known=circuit.name in FEEDS)


def _ac(real: Set, fault: Fault, *, known: bool) -> str:
    """What an AC meter shows at the rectifier's plates with the set at work: less than without load by what half of the
    current drops across one side, the mean of e i over the RMS of e with pulses at the crest."""
    if not known:
        return ""
    circuit = real.circuit
    first, bottom = solve(real, fault, [(circuit.first, math.inf), (circuit.bottom, math.inf)])
    drawn, mean = charging(real, fault.supply)
    amps = float(np.interp(bottom - first, -mean, drawn))
    volts = real.rectifier[2] * real.line / circuit.line - amps / 2 * real.rectifier[1] * math.sqrt(2)
    return f"    {circuit.rectifier}: plate {volts:.3g} AC\n"


def _list(name: str, at: Sequence[str], read: Sequence[float], meter: str, circuit: Circuit) -> str:
    lines = [f"  {name}:", f"    meter: {meter}"]
    if "B-" in at or circuit.power == "battery":
        lines.append("    to: chassis")
    by_tube: dict[str, list[str]] = {}
    for place, volts in zip(at, read, strict=True):
        head, _, electrode = place.partition(" ")
        by_tube.setdefault(head, []).append(f"{electrode} {volts:g}".strip())
    return "\n".join([*lines, *(f"    {head}: {', '.join(of)}" for head, of in by_tube.items())]) + "\n"
