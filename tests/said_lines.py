"""Lines of a record made from facts, in the many ways that a bench has for each: what is typed, and what is so.

Each kind of line has its facts (a name as ``record_values`` has it, a value in SI), the clauses that say them, and for
each clause its spellings; a line takes one of each, in one of the orders that its clauses may stand in.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Sequence
from typing import Any, NamedTuple

Facts = dict[str, Any]


class Said(NamedTuple):
    """A record's text with one line of a kind in it: its ``line`` as typed, counted from 1, and the ``facts`` of it."""

    kind: str
    text: str
    line: int
    facts: Facts

    @property
    def typed(self) -> str:
        return self.text.split("\n")[self.line - 1].strip()


Clause = tuple[Facts, str]
ORDINALS = {21: "st", 22: "nd", 23: "rd"}
MONTHS = {2: "February", 3: "March", 4: "April", 5: "May"}


class Hand(random.Random):
    """One writer: a seed, and whether decimals have a comma throughout."""

    def __init__(self, seed: str) -> None:
        super().__init__(seed)
        self.comma = self.random() < 0.2


def number(rng: Hand, value: float) -> str:
    text = f"{value:.12g}"
    if rng.comma:
        return text.replace(".", ",")
    return text[1:] if text.startswith("0.") and rng.random() < 0.4 else text


def glued(rng: Hand, text: str, *units: str) -> str:
    return text + rng.choice(("", " ")) + rng.choice(units)


def farads(rng: Hand, value: float) -> str:
    """A capacitance as somebody writes it, in a unit that leaves no doubt."""
    ways: list[tuple[float, tuple[str, ...]]] = []
    if value >= 4e-9:
        ways.append((1e-6, ("uF", "µF", "mfd", "MFD", "uf")))
    if 1e-9 <= value < 1e-6:
        ways.append((1e-9, ("nF", "n", "nf")))
    if value < 1e-8:
        ways.append((1e-12, ("pF", "pf", "mmf", "mmfd", "uuF")))
    size, units = rng.choice(ways)
    return glued(rng, number(rng, value / size), *units)


def ohms(rng: Hand, value: float) -> str:
    if value >= 1e6:
        whole, _, part = f"{value / 1e6:.12g}".partition(".")
        code = f"{whole}M{part}" if part else f"{whole} meg"
        return rng.choice((glued(rng, number(rng, value / 1e6), "Meg", "megohm", "MΩ", "Mohm", "megohms"), code))
    if value >= 1000:
        whole, _, part = f"{value / 1000:.12g}".partition(".")
        code = rng.choice((f"{whole}k{part}", f"{whole}K{part}"))
        return rng.choice((glued(rng, number(rng, value / 1000), "k", "K", "kΩ", "kohm", "kohms", "k ohm"), code))
    whole, _, part = f"{value:.12g}".partition(".")
    code = f"{whole}R{part}"
    return rng.choice((glued(rng, number(rng, value), "ohm", "ohms", "Ω", "Ohm"), code))


def volts(rng: Hand, value: float) -> str:
    return glued(rng, number(rng, value), "V", "v", "V", "volts", "VDC" if value > 20 else "V")


def power(rng: Hand, value: float) -> str:
    return glued(rng, number(rng, value), "W", "w", "watt")


def day(rng: Hand) -> tuple[str, str]:
    """A day of 2025 as typed, and as it is."""
    month, date = rng.randrange(2, 6), rng.randrange(13, 28)
    name = MONTHS[month]
    typed = rng.choice(
        (
            f"2025-{month:02}-{date}", f"{date}.{month}.2025", f"{date}/{month}/25", f"{date}-{month}-2025",
            f"{date} {name} 2025", f"{name} {date}, 2025", f"{date} {name[:3]} 2025", f"{date}/{month}-2025",
            f"{date}{ORDINALS.get(date, 'th')} {name} 2025", f"{date}.{month:02}.25",
        )
    )  # fmt: skip
    return typed, f"2025-{month:02}-{date}"


TUBES = "tubes:\n  V1: ECH81\n  V2: EF89\n  V3: EABC80\n  V4: EL84\n  V5: EZ80\n"
_HEAD = "maker: Larkfield\nmodel: Minuet 5\nline: 230 V 50 Hz\ncame in: 2025-01-03\nfinished: 2025-06-20\n"
_PLACES = (
    ("V3 anode", "V3 a"), ("V4 grid", "V4 g1"), ("V2 screen", "V2 g2"), ("V4 cathode", "V4 k"), ("V1 k",), ("chassis",),
    ("HT1", "B+1"), ("HT2", "B+2"), ("AVC",), ("V4 plate", "V4 pin 7", "V4 anode"), ("V2 anode", "anode V2"),
)  # fmt: skip
"""Points of the set, each with what it is called."""
_NEW = (
    "now", "replaced with", "repl'd w/", "fitted", "replaced by", "->", "new", "changed to", "replaced w/", "repl. w/",
    "swapped for", "renewed with", "fitted new", "changed for", "=>", "now fitted", "put in", "in its place",
)  # fmt: skip
_WAS = ("was ", "", "", "was: ", "original ", "orig. ")
_MEASURED = ("measured", "meas", "meas.", "reads", "read", "measures", "tested")
_FITTED = ("fitted ", "", "on ", "done ", "fitted on ", "changed ")


def ends(rng: Hand) -> Clause:
    one, other = (rng.choice(names) for names in rng.sample(_PLACES, 2))
    typed = rng.choice(
        ("{} to {}", "between {} and {}", "from {} to {}", "{} - {}", "{} -> {}", "{} / {}", "({} to {})")
    )
    return {"between.1": one, "between.2": other}, typed.format(one, other)


def old_capacitor(rng: Hand, value: float) -> Clause:
    facts: Facts = {"was.value": value}
    typed = rng.choice(_WAS) + farads(rng, value)
    if rng.random() < 0.7:
        facts["was.volts"] = rated = rng.choice((350, 400, 600))
        typed += rng.choice((" ", " ", "/", ", ")) + volts(rng, rated)
    if rng.random() < 0.6:
        facts["was.type"] = "paper" if value < 1e-6 else "electrolytic"
        typed += rng.choice((" ", ", ")) + ("paper" if value < 1e-6 else rng.choice(("electrolytic", "elko", "lytic")))
    return facts, typed


def measured_capacitance(rng: Hand, value: float) -> Clause:
    typed = rng.choice(_MEASURED) + rng.choice((" ", " ", ": ", "=", " = ")) + farads(rng, value)
    return {"was.measured": value}, rng.choice((typed, typed, typed, f"({typed})"))


def leakage(rng: Hand) -> Clause:
    amps, at = rng.choice((38e-6, 120e-6, 1.5e-3)), rng.choice((100, 200, 350))
    written = f"{number(rng, amps * 1e6)}{rng.choice((' uA', 'uA', ' µA'))}" if amps < 1e-3 else f"{amps * 1e3:g} mA"
    word = rng.choice(("leakage", "leaks", "leak", "leaked", "leaky", "leakage:"))
    return {
        "was.leakage.current": amps,
        "was.leakage.at": at,
    }, f"{word} {written} {rng.choice(('at', '@'))} {volts(rng, at)}"


def new_capacitor(rng: Hand, value: float) -> Clause:
    facts: Facts = {"now.value": value}
    typed = f"{rng.choice(_NEW)} {farads(rng, value)}"
    if rng.random() < 0.7:
        facts["now.volts"] = rated = rng.choice((450, 630, 1000))
        typed += rng.choice((" ", " ", "/", ", ")) + volts(rng, rated)
    if rng.random() < 0.5:
        facts["now.type"] = "film" if value < 1e-6 else "electrolytic"
        typed += rng.choice((" ", ", ")) + (rng.choice(("film", "MKP", "MKT")) if value < 1e-6 else "electrolytic")
    return facts, typed


def fitted(rng: Hand) -> Clause:
    typed, said = day(rng)
    return {"fitted": said}, rng.choice((f"{rng.choice(_FITTED)}{typed}", f"({typed})"))


def _joined(rng: Hand, clauses: Sequence[Clause]) -> tuple[str, Facts]:
    typed, facts = "", {}
    for said, text in clauses:
        arrow = text.startswith(("->", "=>", "("))
        typed += (rng.choice((", ", " ")) if arrow else rng.choice((", ",) * 7 + ("; ", " - ", ". "))) if typed else ""
        typed += text
        facts |= said
    return typed, facts


def _record(kind: str, head: str, lines: str, facts: Facts) -> Said:
    text = f"{_HEAD}{TUBES}{head}{lines}\n"
    return Said(kind, text, text.count("\n"), facts)


def _in_some_order(rng: Hand, old: list[Clause], new: list[Clause], free: list[Clause]) -> list[Clause]:
    """What it was before what it is, each together; what may stand anywhere before, between or behind them."""
    left = rng.sample(free, len(free))
    row: list[Clause] = []
    for group in (old, new, []):
        while left and rng.random() < 0.4:
            row.append(left.pop())
        row += group
    return row + left


def capacitor(rng: Hand) -> Said:
    value = rng.choice((1e-8, 4.7e-9, 5e-8, 1e-7, 2.2e-7, 1e-5, 3.2e-5, 5e-5, 2.2e-9))
    old = [old_capacitor(rng, value)]
    old += [measured_capacitance(rng, value * rng.choice((1.25, 1.4, 0.8)))] * (rng.random() < 0.5)
    old += [leakage(rng)] * (rng.random() < 0.3)
    new = [new_capacitor(rng, value)] if rng.random() < 0.8 else []
    free = [ends(rng)] * (rng.random() < 0.6)
    row = _in_some_order(rng, old, new, free)
    row += [fitted(rng)] if new and rng.random() < 0.6 else []
    typed, facts = _joined(rng, row)
    return _record("capacitor", "parts:\n", f"  C7: {typed}", {f"C7.{k}": v for k, v in facts.items()})


def resistor(rng: Hand) -> Said:
    value = rng.choice((220, 150, 1000, 2200, 4700, 47000, 270000, 1e6, 2.2e6, 33, 1500))
    facts: Facts = {"was.value": value}
    typed = rng.choice(_WAS) + ohms(rng, value)
    if rng.random() < 0.5:
        facts["was.watts"] = watts = rng.choice((0.5, 1, 2))
        typed += rng.choice((" ", "/", ", ")) + rng.choice(
            (f"{watts:g} W", f"{watts:g}W", f"{watts:g} watt", f"{watts:g}w")
        )
    if rng.random() < 0.4:
        facts["was.tolerance"] = 0.1
        typed += rng.choice((" 10%", " 10 %", " ±10%", " +/-10%", ", 10 %"))
    old: list[Clause] = [(facts, typed)]
    if rng.random() < 0.6:
        off = round(value * rng.choice((1.2, 1.4, 0.9)), 6)
        said = f"{rng.choice(_MEASURED)}{rng.choice((' ', ' ', ': ', '='))}{ohms(rng, off)}"
        old.append(({"was.measured": off}, rng.choice((said, said, f"({said})"))))
    new: list[Clause] = []
    if rng.random() < 0.8:
        fresh: Facts = {"now.value": value}
        said = f"{rng.choice(_NEW)} {ohms(rng, value)}"
        if rng.random() < 0.6:
            fresh["now.watts"] = watts = rng.choice((0.5, 1, 2))
            said += rng.choice((" ", "/", ", ")) + power(rng, watts)
        new = [(fresh, said)]
    row = _in_some_order(rng, old, new, [ends(rng)] * (rng.random() < 0.6))
    row += [fitted(rng)] if new and rng.random() < 0.6 else []
    line, all_ = _joined(rng, row)
    return _record("resistor", "parts:\n", f"  R7: {line}", {f"R7.{k}": v for k, v in all_.items()})


KINDS: dict[str, Callable[[Hand], Said]] = {"capacitor": capacitor, "resistor": resistor}


def said_lines(kind: str, count: int, seed: int = 1) -> Iterator[Said]:
    for n in range(count):
        yield KINDS[kind](Hand(f"{kind} {seed} {n}"))
