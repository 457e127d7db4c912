"""What lines made from facts have in common: a writer's hand, numbers with their units, days, the record around."""

from __future__ import annotations

import random
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


def record(kind: str, head: str, lines: str, facts: Facts) -> Said:
    text = f"{_HEAD}{TUBES}{head}{lines}\n"
    return Said(kind, text, text.count("\n"), facts)
