"""The faults that are put into a set, what may rightly be said of each, and the record that a restorer would write."""

from __future__ import annotations

import math
import random
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from injected_sets import B1, B2, GROUND, OPEN, SHORT, Built, Fault

STAGES = {"V2": "R6", "V3": "R7", "V4": "R8"}
"""Each stage with its cathode's resistor."""

HEAVY = (B1.split()[0], "set draws too much")
LIGHT = (B1.split()[0], "light load")
SUPPLY_LOW = (("V5", "weak supply"), ("", "supply low"), ("", "low together"), (B2, "rail low, B+ not known"))


def faults(built: Built, rng: random.Random) -> tuple[Fault, ...]:
    """Every fault once, each as large as chance has it."""
    return (*_of_grid(rng), *_of_cathodes(built, rng), *_of_screen_and_plates(built, rng), *_of_supply(rng))


def _times(rng: random.Random, least: float, most: float) -> float:
    return math.exp(rng.uniform(math.log(least), math.log(most)))


def _right(*told: tuple[str, str]) -> frozenset[tuple[str, str]]:
    return frozenset(told)


def _of_grid(rng: random.Random) -> Iterator[Fault]:
    yield Fault("healthy", _right())
    up = (HEAVY, ("V4", "grid up"), ("V4", "grid current or a leak"))
    right = _right(*up, ("V4", "leaky coupling"), ("V3", "plate leak"))
    yield Fault("coupling capacitor leaky", right, across={("V3 plate", "V4 grid"): _times(rng, 3e5, 1e7)})
    yield Fault("gas", _right(*up, ("V4", "gas")), into={"V4 grid": _times(rng, 1.5e-6, 15e-6)})


def _of_cathodes(built: Built, rng: random.Random) -> Iterator[Fault]:
    for place, part in STAGES.items():
        ohms, across = built.resistors[part][0], (f"{place} cathode", GROUND)
        leaky, shorted = _right((place, "cathode leak"), HEAVY), _right((place, "cathode short"), HEAVY)
        yield Fault(f"bypass of {place} leaky", leaky, across={across: ohms * _times(rng, 0.15, 1.2)})
        yield Fault(f"bypass of {place} shorted", shorted, across={across: SHORT})
        high, opened = _right((place, "cathode high")), _right((place, "cathode open"), (place, "cathode high"))
        yield Fault(f"{part} high", high, ohms={part: _times(rng, 1.5, 3.5)})
        yield Fault(f"{part} open", opened, ohms={part: 1e7 / ohms})
        weak, dead = _right((place, "weak"), LIGHT), _right((place, "no emission"), LIGHT)
        yield Fault(f"{place} weak", weak, emission={place: _times(rng, 0.2, 0.6)})
        yield Fault(f"{place} dead", dead, emission={place: 1e-4})


def _of_screen_and_plates(built: Built, rng: random.Random) -> Iterator[Fault]:
    screen, load = built.resistors["R3"][0], built.resistors["R5"][0]
    yield Fault("R3 high", _right(("V2", "screen high")), ohms={"R3": _times(rng, 1.5, 5)})
    yield Fault("R3 open", _right(("V2", "screen open")), ohms={"R3": OPEN})
    leak = {("V2 screen", GROUND): screen * _times(rng, 0.2, 2)}
    yield Fault("screen bypass leaky", _right(("V2", "screen leak")), across=leak)
    yield Fault("screen bypass shorted", _right(("V2", "screen short")), across={("V2 screen", GROUND): SHORT})
    yield Fault("R5 high", _right(("V3", "load high")), ohms={"R5": _times(rng, 1.5, 5)})
    yield Fault("R5 open", _right(("V3", "open load")), ohms={"R5": OPEN})
    leak = {("V3 plate", GROUND): load * _times(rng, 0.3, 2)}
    yield Fault("plate capacitor leaky", _right(("V3", "plate leak")), across=leak)
    pulled = (B2, "rail pulled down by a tube"), ("", "low together")
    yield Fault("T2 open", _right(("V4", "open load"), *pulled), ohms={"T2": OPEN})


def _of_supply(rng: random.Random) -> Iterator[Fault]:
    yield Fault("line low", _right(*SUPPLY_LOW), supply=rng.uniform(0.76, 0.84))
    yield Fault("rectifier weak", _right(*SUPPLY_LOW), ohms={"source": _times(rng, 6, 12)})
    filtered = (B2, "filter resistor high"), (B2, "filter resistor measured high")
    yield Fault("R9 high", _right(*SUPPLY_LOW[1:], *filtered), ohms={"R9": _times(rng, 3, 10)})


CAPACITORS = {
    "C7": "0.01 uF paper, between V3 plate and V4 grid",
    "C6": "220 pF mica, between V3 plate and B-",
    "C5": "0.05 uF paper, between V2 screen and B-",
    "C4": "0.05 uF paper, between V2 cathode and B-",
    "C8": "25 uF 25 V electrolytic, between V4 cathode and B-",
    "C9": "25 uF 25 V electrolytic, between V3 cathode and B-",
}
RESISTORS = ("R3", "R5", "R6", "R7", "R8", "R9", "R10", "T2")
READ = {
    "V2": ("plate", "screen", "grid", "cathode"),
    "V3": ("plate", "grid", "cathode"),
    "V4": ("plate", "screen", "grid", "cathode"),
    "V5": ("cathode",),
    B2: ("",),
}
PLACES = tuple(f"{tube} {electrode}".strip() for tube, electrodes in READ.items() for electrode in electrodes)
NO_GRIDS = tuple(place for place in PLACES if "grid" not in place)
NO_B_PLUS = tuple(place for place in PLACES if place not in (B1, B2))


@dataclass(frozen=True)
class Known:
    """What a record says: which places were read, whether there is a sheet, which parts, which of them measured."""

    read: tuple[str, ...] = PLACES
    sheet: bool = True
    parts: tuple[str, ...] = (*CAPACITORS, *RESISTORS)
    measured: tuple[str, ...] = ()


LADDER = (Known(sheet=False, parts=()), Known(parts=()), Known(), Known(measured=RESISTORS[:6]))
"""What is known grows from one to the next: the readings, a sheet, the places of the parts, what they measure."""

LESS = (Known(read=NO_GRIDS), Known(read=NO_B_PLUS), Known(read=NO_B_PLUS, parts=()))


def record(
    built: Built, real: Built, fault: Fault, sheet: Mapping[str, float], read: Mapping[str, float], known: Known
) -> str:
    """The record of a set; ``real`` has the parts as they are, ``built`` as they are marked."""
    lines = ["line: 120 V", "power: transformer", "tubes:"]
    lines += [f"  {place}: {type_}" for place, type_ in built.types.items()]
    lines += ["readings:", *(["  sheet:", *_run(sheet, PLACES)] if known.sheet else [])]
    lines += ["  as found:", *_run(read, known.read)]
    parts = [_part(name, built, real, fault, measured=name in known.measured) for name in known.parts]
    return "\n".join([*lines, *(["parts:", *parts] if parts else [])]) + "\n"


def _part(name: str, built: Built, real: Built, fault: Fault, *, measured: bool) -> str:
    if name in CAPACITORS:
        return f"  {name}: {CAPACITORS[name]}"
    ohms, *ends = built.resistors[name]
    found = real.resistors[name][0] * fault.ohms.get(name, 1.0)
    meter = f" measured {'open' if found > 20e6 else _ohms(found)}," if measured else ""
    one, other = ("B-" if end == GROUND else end for end in ends)
    return f"  {name}: {_ohms(ohms)},{meter} between {one} and {other}"


def _ohms(ohms: float) -> str:
    return f"{float(f'{ohms:.3g}'):.10g} ohm"


def _run(volts: Mapping[str, float], places: Sequence[str]) -> list[str]:
    lines = []
    for tube, electrodes in READ.items():
        read = [(e, f"{tube} {e}".strip()) for e in electrodes if f"{tube} {e}".strip() in places]
        if read:
            lines.append(f"    {tube}: " + ", ".join(f"{e} {volts[place]:.10g}".strip() for e, place in read))
    return lines


def as_read(volts: Mapping[str, float], rng: random.Random, off: float = 0.01) -> dict[str, float]:
    """The voltages as a meter shows them that is a hundredth off at most, in three digits."""
    shown = {place: volts[place] * (1 + rng.uniform(-off, off)) for place in PLACES}
    return {place: float(f"{v:.3g}") if abs(v) > 0.02 else 0.0 for place, v in shown.items()}
