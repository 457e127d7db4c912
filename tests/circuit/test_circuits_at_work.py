"""The circuits that faults are put into, solved a second time: our own Newton steps against ngspice, same equations."""

from __future__ import annotations

import math
import random
from collections.abc import Iterator

import pytest

import ngspice
from circuit_cases import faults, places
from circuits_at_work import INSULATION_OHMS, Fault, solve
from circuits_drawn import Law, Set, charging, made
from circuits_written import Section, circuits


def soft(x: str, width: str) -> str:
    """``x``, smoothly nothing below zero, for ngspice: no exponential that overflows."""
    return f"(({x})>40*({width}) ? ({x}) : ({width})*ln(1+exp(min(({x})/({width}),40))))"


def tube(of: Set, n: int, section: Section, law: Law, node: dict[str, str]) -> Iterator[str]:
    """A tube as behavioural sources: what it emits, and what plate, screen and grid take of it."""

    def volts(place: str) -> str:
        at = of.circuit.at(place) if place else "reference"
        return f"V({node[at]})" if at in node else str({"AVC": of.avc}.get(at, 0.0))

    k, p, g, s = (volts(place) for place in (section.cathode, section.plate, section.grid, section.screen))
    pull = f"({s}-{k})" if section.screen else f"({p}-{k})"
    grid = "0" if section.oscillates else f"({g}-{k})"
    yield f"Bf{n} f{n} 0 V={soft(pull, '0.3')}"
    felt = f"V(f{n})"
    bend = f"({felt}/{law.kp!r}+1e-9)" if law.kp > 0 else repr(law.bend + 1e-9)
    pulls = felt if law.kp > 0 else pull
    acts = f"{felt}/sqrt({law.kvb!r}+{felt}*{felt}+1e-12)*{grid}" if law.kp > 0 else grid
    yield f"Bm{n} m{n} 0 V={soft(f'{pulls}/{law.mu!r}+{acts}+{law.v0!r}', bend)}"
    yield f"Br{n} r{n} 0 V={soft(f'{law.remote!r}*{pulls}/{law.mu!r}+{acts}+{law.v0!r}', bend)}"
    main, rest = f"{1 - law.remote_share!r}*V(m{n})^{law.n!r}", law.remote_share * law.remote**-law.n
    yield f"Bt{n} t{n} 0 V=1e3*{law.k!r}*({main}+{rest!r}*V(r{n})^{law.n!r})"
    above = soft(f"({p}-{k})", "0.5")
    kept = f"{(1 - law.share) * 2 / math.pi!r}*atan({above}/{law.knee!r})" if section.screen else ""
    yield f"Bk{n} k{n} 0 V=V(t{n})*{kept or f'(1-exp(-{above}/0.6))'}"
    slope = f"min(1+(({p}-{k})-{pull})/{law.early!r},2)" if section.screen else "1"
    screen = f"(V(t{n})-V(k{n}))*(1-exp(-{soft(f'({s}-{k})', '0.5')}))" if section.screen else "0"
    taken = f"6e-7*exp(min(({grid}+0.75)/0.13,9))+2e-3*{soft(f'{grid}-0.2', '0.1')}"
    ends = {"plate": f"1e-3*V(k{n})*{slope}", "screen": f"1e-3*({screen})"}
    ends |= {} if section.oscillates else {"grid": taken}
    cathode = node.get(of.circuit.at(section.cathode), "0")
    for word, amps in ends.items():
        place = getattr(section, word)
        yield f"B{word}{n} {node.get(of.circuit.at(place), '0') if place else '0'} {cathode} I={amps}"


def by_ngspice(of: Set, fault: Fault, at: list[str], meter: tuple[str, float] | None = None) -> list[float]:
    """The volts of places, by ngspice."""
    circuit = of.circuit
    ends = {circuit.at(e) for p in circuit.parts.values() for e in p.ends} | {circuit.at(circuit.first)}
    ends |= {circuit.at(e) for s in circuit.sections for e in (s.plate, s.cathode, s.grid, s.screen) if e}
    fixed = ("chassis", "B-", "AVC", "line")
    node = {place: f"n{n}" for n, place in enumerate(sorted(ends - set(fixed)))}
    lines = [f"Ri{n} {name} 0 {INSULATION_OHMS!r}" for n, name in enumerate(node.values())]
    for part in circuit.parts.values():
        if "surge" not in part.text:
            ohms = INSULATION_OHMS if part.kind == "capacitor" else of.ohms[part.name]
            ohms = fault.across.get(part.name, ohms * fault.ohms.get(part.name, 1.0))
            one, other = (node.get(circuit.at(end), "0") for end in part.ends)
            lines.append(f"R{part.name} {one} {other} {ohms!r}")
    lines += [f"Re{n} {node[circuit.at(f'{v} {w}')]} 0 {ohms!r}" for n, (v, w, ohms) in enumerate(of.indicators)]
    lines += [f"Rh{v} {node[circuit.at(f'{v} cathode')]} 0 {ohms!r}" for v, ohms in fault.heater.items()]
    lines += [f"Ig{v} 0 {node[circuit.at(f'{v} grid')]} {amps!r}" for v, amps in fault.gas.items()]
    if meter:
        lines.append(f"Rmeter {node[circuit.at(meter[0])]} 0 {meter[1]!r}")
    for n, section in enumerate(circuit.sections):
        law = of.laws[section.name]
        weak = fault.emission.get(section.name.split()[0], 1.0)
        lines += tube(of, n, section, Law(**{**vars(law), "k": law.k * weak}), node)
    amps, mean = charging(of, fault.supply)
    low = mean[-1] - 1000
    steep = amps[-1] + (amps[-1] - amps[-2]) / (mean[-1] - mean[-2]) * (low - mean[-1])
    points = [(low, steep), *zip(reversed(mean), reversed(amps), strict=True), (mean[0] + 1000, 0.0)]
    first = node[circuit.at(circuit.first)]
    lines.append(f"Bsupply 0 {first} I=pwl(V({first}),{','.join(f'{v!r},{a!r}' for v, a in map(_floats, points))})")
    near = solve(of, fault, [(place, math.inf) for place in node])
    lines.append(".nodeset " + " ".join(f"V({node[p]})={v!r}" for p, v in zip(node, near, strict=True)))
    wanted = [f"v({node[circuit.at(place)]})" for place in at]
    found = ngspice.direct(lines, wanted)
    return [found[name] for name in wanted]


def _floats(pair: tuple[float, float]) -> tuple[float, float]:
    return float(pair[0]), float(pair[1])


@pytest.mark.parametrize("name", ["am-fm", "bias-detector", "rimlock-feedback", "reflex"])
def test_a_set_at_work_is_what_ngspice_makes_of_it(name: str) -> None:
    """Sound, with a resistor high, with a leak onto the output tube's grid, with a weak tube; once with a meter."""
    circuit = circuits()[name]
    of, at = made(circuit, random.Random(f"{name} 1")), places(circuit)
    all_faults = faults(circuit, random.Random(1))
    leak = next(f for f in all_faults if f.what == "leaks" and "grid" in " ".join(circuit.parts[f.subject].ends))
    high = next(f for f in all_faults if f.what == "high")
    weak = next(f for f in all_faults if f.what == "weak" and f.emission)
    for fault in (Fault(), high, leak, weak):
        ours = solve(of, fault, [(place, math.inf) for place in at])
        assert by_ngspice(of, fault, at) == pytest.approx(ours, rel=2e-4, abs=2e-3), fault
    plate = next(place for place in at if place.endswith("plate"))
    (shown,) = solve(of, Fault(), [(plate, 5e5)])
    assert by_ngspice(of, Fault(), [plate], (plate, 5e5))[0] == pytest.approx(shown, rel=2e-4)
