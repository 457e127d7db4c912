"""Lines of a record made from facts, in the many ways that a bench has for each: what is typed, and what is so.

Each kind of line has its facts (a name as ``record_values`` has it, a value in SI), the clauses that say them, and for
each clause its spellings; a line takes one of each, in one of the orders that its clauses may stand in.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from said_at_the_bench import aligned, line_side, reading, sitting, step
from said_of_the_set import OF_THE_SET
from said_words import Clause, Facts, Hand, Said, day, farads, number, ohms, power, record, volts

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
    return record("capacitor", "parts:\n", f"  C7: {typed}", {f"C7.{k}": v for k, v in facts.items()})


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
    return record("resistor", "parts:\n", f"  R7: {line}", {f"R7.{k}": v for k, v in all_.items()})


KINDS: dict[str, Callable[[Hand], Said]] = {
    one.__name__: one for one in (capacitor, resistor, reading, step, aligned, sitting, line_side, *OF_THE_SET)
}


def said_lines(kind: str, count: int, seed: int = 1) -> Iterator[Said]:
    for n in range(count):
        yield KINDS[kind](Hand(f"{kind} {seed} {n}"))
