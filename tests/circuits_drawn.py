"""Sets of a circuit as they came off the line and aged: tubes by another law than the code's, parts, line, rectifier.

Tubes: current as a power of the drive with an exponent of 1.35 to 1.6, a share of it at a smaller mu (remote cut-off,
and the uneven grid of any tube), through a published point; a plate's share by an arc tangent, its slope by an Early
voltage. A type has one such law in a circuit, and each tube is drawn about it. The supply's charge and ripple are
stepped through in time.
"""

from __future__ import annotations

import math
import random
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

import numpy as np

from benchleaf.tubes import Typical, find
from circuits_written import Circuit, Section, circuits

RECTIFIERS = {
    "35Y4": (18.0, 0.2), "35W4": (18.0, 0.2), "80": (50.0, 0.125), "UY85": (20.0, 0.2), "EZ80": (20.0, 0.12),
    "5Y3GT": (50.0, 0.125), "GZ34": (17.0, 0.25), "25Z6": (22.0, 0.15), "5U4G": (44.0, 0.225),
    "35Z5GT": (20.0, 0.2), "6X4": (22.0, 0.07), "AZ1": (30.0, 0.06), "AZ11": (30.0, 0.06), "UY41": (20.0, 0.1),
    "EZ81": (18.0, 0.15), "EZ40": (20.0, 0.09), "25Z5": (22.0, 0.3),
}  # fmt: skip
"""Volts dropped at amperes of one plate (from memory; the code has its own table)."""

FEEDS = {  # volts RMS of one side, ohms of one side
    "field-in-return": (350.0, 180.0), "rimlock-transformer": (250.0, 160.0), "cathodyne": (300.0, 130.0),
    "long-tailed": (320.0, 110.0), "straight": (340.0, 190.0), "interstage": (325.0, 120.0),
    "octal-transformer": (325.0, 180.0), "miniature-transformer": (240.0, 200.0), "side-contact": (310.0, 250.0),
    "loctal-transformer": (265.0, 250.0), "paraphase": (265.0, 140.0), "regenerative": (280.0, 180.0),
    "am-fm": (265.0, 150.0), "rimlock-feedback": (270.0, 180.0), "bias-detector": (340.0, 190.0),
    "reflex": (290.0, 200.0), "push-pull-unbypassed": (330.0, 120.0),
}  # fmt: skip


OUTPUTS = (
    "50A5", "50C5", "25L6GT", "42", "EL84", "6V6GT", "45", "35L6GT", "6F6G", "6F6", "6AQ5", "EBL1", "EBL21", "UL41",
    "47", "EL41", "43",
)  # fmt: skip
TOP_VOLTS = {
    "doubler": 220.0, "loctal-series": 100.0, "miniature-series": 100.0, "octal-series": 100.0, "rimlock-series": 180.0,
    "pentode-first-audio": 105.0,
}  # fmt: skip
"""About what the rails of a circuit are, 220 V where it is not written: to choose a published point by."""


SAME_SYSTEM = {"ECH4": "ECH21"}
"""Of a type without a point of a section, one with the same system (from memory)."""

BY_KOREN = frozenset((
    "octal-series", "octal-transformer", "miniature-transformer", "side-contact", "loctal-transformer",
    "rimlock-series", "paraphase", "regenerative", "am-fm", "bias-detector",
))  # fmt: skip
"""Circuits whose tubes follow Koren's law (Glass Audio 5/1996, from memory), and whose high resistors have drifted."""


@dataclass(frozen=True)
class Law:
    """``amps = K drive**n``, a share of it at a mu smaller by ``remote``.

    With ``kp`` above zero the drive is Koren's: rounded by the pull over ``kp``, the grid acting less at little pull.
    """

    k: float
    mu: float
    n: float
    v0: float
    share: float = 0.0
    remote: float = 1.0
    remote_share: float = 0.0
    knee: float = 8.0
    early: float = 1e9
    bend: float = 0.25
    kp: float = 0.0
    kvb: float = 0.0


@cache
def points(type_: str, section: str, *, pentode: bool, oscillates: bool) -> tuple[Typical, ...]:
    """The published points that a section's law may go through."""
    tube = find(type_)
    assert tube is not None, type_
    found = []
    for point in tube.typical:
        named = point.section or ("triode" if not pentode and point.screen_volts is None else "")
        fits = bool(point.screen_volts and point.screen_amps) == pentode and point.plate_volts and point.plate_amps
        if pentode and ("IF" if oscillates else "mixer") in point.use:
            continue
        if not fits or re.search("push|triode|AB", point.use) or ("triode" in section and "triode" not in named):
            continue
        if point.grid_volts is not None or point.cathode_ohms:
            found.append(point)
    return tuple(found)


def law_of(circuit: Circuit, section: Section, pull: float, rng: random.Random | None) -> Law:
    """A tube of a section about its type's law, which goes through a published point that is near; None: just that."""
    of_type = random.Random(f"{circuit.name} {section.name}")
    type_ = circuit.tubes[section.name.split()[0]]
    near = points(
        SAME_SYSTEM.get(type_, type_), section.name, pentode=bool(section.screen), oscillates=section.oscillates
    )
    if section.name.endswith("osc"):
        return Law((rng or of_type).uniform(3.2e-3, 4.8e-3) / 100**1.2, 1.0, 1.2, 0.0)
    if not near:
        raise LookupError(f"{type_} {section}")
    point = min(near, key=lambda p: abs(math.log((p.screen_volts or p.plate_volts) / pull)))
    remote, koren = "remote" in str(find(type_).role), circuit.name in BY_KOREN
    law = through(point, of_type, remote=remote, oscillates=section.oscillates, koren=koren)
    return drawn(law, rng) if rng else law


def through(point: Typical, rng: random.Random, *, remote: bool, oscillates: bool, koren: bool = False) -> Law:
    """A law through a published point with its slope, where one is published."""
    plate, screen = point.plate_volts, point.screen_volts
    amps = point.plate_amps + (point.screen_amps or 0.0)
    pull, n = screen or plate, rng.uniform(1.35, 1.6)
    knee, early = rng.uniform(4, 14), rng.uniform(400, 3000) if screen else 1e9
    share = (point.screen_amps or 0.0) / amps
    if screen:
        share = 1 - (1 - share) / (2 / math.pi * math.atan(plate / knee))
    if oscillates:
        n = rng.uniform(1.2, 1.6)
        return Law(amps / pull**n, 1.0, n, 0.0, share, 1.0, 0.0, knee, early)
    grid = point.grid_volts or -(point.cathode_ohms or 0.0) * amps
    v0, bend = rng.uniform(0.4, 0.9), rng.uniform(0.15, 0.4)
    ratio, part = (rng.uniform(2.0, 3.5), rng.uniform(0.15, 0.35)) if remote else (rng.uniform(1.2, 1.8), 0.2)
    want = (point.gm_siemens * amps / point.plate_amps / amps) if point.gm_siemens else None
    sharp = kvb = 0.0
    if koren:
        n, v0, sharp, kvb = rng.uniform(1.3, 1.5), 0.0, rng.uniform(3.5, 6.5), 1.0 if screen else rng.uniform(100, 600)

    def made(mu: float) -> tuple[Law, float]:
        law = Law(1.0, mu, n, v0, max(share, 0.0), ratio, part, knee, early, bend, sharp * mu, kvb)
        here, more = (float(emitted(law, np.array(pull), np.array(grid + d))) for d in (0.0, 0.01))
        return replace(law, k=amps / here), (more / here - 1) / 0.01

    if want is None:
        mu = point.mu or 0.55 * pull / max(-grid, 0.5)
        return made(min(mu, pull / max(-grid - v0 + 0.3, 0.3)))[0]
    low, high = 0.5, 400.0
    for _ in range(60):  # the steeper, the nearer to cut-off: a larger mu
        mu = math.sqrt(low * high)
        low, high = (mu, high) if made(mu)[1] < want else (low, mu)
    return made(mu)[0]


def drawn(law: Law, rng: random.Random) -> Law:
    """One tube of a type."""
    k, mu = rng.gauss(1, 0.1), rng.gauss(1, 0.04)
    share = law.share * math.exp(rng.gauss(0, 0.15))
    return replace(law, k=law.k * k, mu=law.mu * mu, v0=law.v0 + rng.gauss(0, 0.08), share=min(share, 0.9))


def soft(x: Any, width: Any) -> Any:
    """``x``, smoothly nothing below zero."""
    return width * np.logaddexp(0.0, x / width)


def emitted(law: Any, pull: Any, grid: Any) -> Any:
    """Cathode current of laws (values or arrays of them) at volts above the cathode."""
    felt = soft(pull, 0.3)
    bend = np.where(law.kp > 0, felt / np.maximum(law.kp, 1e-9), law.bend) + 1e-9
    pulls = np.where(law.kp > 0, felt, pull)
    acts = np.where(law.kp > 0, felt / np.sqrt(law.kvb + felt**2 + 1e-12), 1.0) * grid + law.v0
    main = soft(pulls / law.mu + acts, bend)
    rest = soft(law.remote * pulls / law.mu + acts, bend)
    return law.k * ((1 - law.remote_share) * main**law.n + law.remote_share * law.remote**-law.n * rest**law.n)


@dataclass(frozen=True)
class Set:
    """One set of a circuit, as it came off the line and aged."""

    circuit: Circuit
    ohms: Mapping[str, float]
    laws: Mapping[str, Law]
    line: float
    avc: float
    rectifier: tuple[float, float, float]
    """Perveance, ohms in series, volts RMS of one side at the nominal line."""
    indicators: tuple[tuple[str, str, float], ...] = ()
    """Each tuning indicator's plate and target, and about what they are in ohms: nobody has published their law."""


def made(circuit: Circuit, rng: random.Random, *, meant: bool = False) -> Set:
    """A set; ``meant`` has every part as marked."""
    share = 0.0 if meant else 0.1
    ohms = {}
    for name, part in circuit.parts.items():
        off = 0.15 if "20 %" in part.text else share
        ohms[name] = part.value * (1 if meant else 1 + rng.uniform(-off, off))
        if not meant and circuit.name in BY_KOREN and part.kind == "resistor" and part.value >= 1e5:
            ohms[name] *= 1 + rng.uniform(0, 0.08)
    top = TOP_VOLTS.get(circuit.name, 220.0)
    laws = {
        section.name: law_of(circuit, section, _pull(circuit, section, top), None if meant else rng)
        for section in circuit.sections
    }
    volts, winding = FEEDS.get(circuit.name, (circuit.line, 12.0))
    drop, amps = RECTIFIERS.get(circuit.tubes.get(circuit.rectifier, ""), (6.0, 0.075))
    k = amps / drop**1.5 * (1 if meant else rng.gauss(1, 0.12))
    line = circuit.line * (1 if meant else 1 + rng.uniform(-0.05, 0.05))
    avc, feed = 0.0 if meant else -rng.uniform(0, 0.4), (k, winding * rng.uniform(0.8, 1.25), volts)
    eyes = [
        (tube, word, usual * (1 if meant else rng.uniform(0.7, 1.4)))
        for tube in re.findall(r"(V\d): \w+, tuning indicator", circuit.text)
        for word, usual in (("plate", 1.2e5), ("target", 1.5e5))
    ]
    return Set(circuit, ohms, laws, line, avc, feed, tuple(eyes))


def _pull(circuit: Circuit, section: Section, top: float) -> float:
    """About what the screen, or a triode's plate, stands at."""
    if not section.screen:
        return 0.5 * top
    output = circuit.tubes[section.name.split()[0]] in OUTPUTS
    return top if output or circuit.at(section.screen).startswith("B+") else 0.45 * top


def charging(of: Set, times: tuple[float, float, float]) -> tuple[Any, Any]:
    """Amperes drawn, and the reservoir's mean volts at each; ``times`` the perveance, the capacitance and the volts."""
    ohms = of.rectifier[1] + sum(of.ohms[p.name] for p in of.circuit.parts.values() if "surge" in p.text)
    return _charging(of.circuit.name, of.line, (of.rectifier[0], ohms, of.rectifier[2]), times)


@cache
def _charging(
    name: str, line: float, rectifier: tuple[float, float, float], times: tuple[float, float, float]
) -> tuple[Any, Any]:
    """By stepping through the time of many periods, for all currents at once."""
    circuit = circuits()[name]
    k, ohms, volts = rectifier
    peak = math.sqrt(2) * volts * line / circuit.line * times[2]
    full = circuit.power == "transformer"
    reservoir = next(p for p in circuit.parts.values() if p.kind == "capacitor" and circuit.first in p.ends)
    farads = reservoir.value * times[1]
    k, drawn = k * times[0], np.concatenate([[0.0], np.geomspace(1e-3, 0.35, 18)])
    at, steps = np.full(drawn.shape, 0.9 * peak), 240
    width, mean, at_i = 1 / circuit.hertz / steps, np.zeros(drawn.shape), np.zeros(drawn.shape)
    periods = 18
    for n in range(periods * steps):
        source = peak * math.sin(2 * math.pi * n / steps)
        over = np.maximum((abs(source) if full else source) - at, 0.0)
        for _ in range(4):  # over = x + R K x**1.5
            root = np.sqrt(at_i)
            miss = at_i + ohms * k * root**3 - over
            at_i = np.clip(at_i - miss / (1 + 1.5 * ohms * k * root), 0.0, np.maximum(over, 0.0))
        at = np.maximum(at + width / farads * (k * at_i**1.5 - drawn), 0.0)
        if n >= (periods - 3) * steps:
            mean += at / (3 * steps)
        at_i = np.where(at_i > 0, at_i, 1e-3)
    gives = mean > 1.0
    return drawn[gives], mean[gives] * (2 if "doubler" in circuit.name else 1)
