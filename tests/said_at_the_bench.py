"""Lines of readings, of a power-up, an alignment, a log and a line side, made from facts."""

from __future__ import annotations

from said_words import Facts, Hand, Said, day, number, record

_ELECTRODES = {
    "V4": (("plate", "anode", "a", "p"), ("screen", "g2", "s"), ("cathode", "k"), ("grid", "g1", "g")),
    "V2": (("plate", "anode", "a"), ("screen", "g2"), ("cathode", "k")),
}


def reading(rng: Hand) -> Said:
    """A tube's readings: electrode and volts in the order of either, with what joins and what parts them."""
    tube, at = rng.choice(tuple(_ELECTRODES.items()))
    facts: Facts = {}
    joint, sep = rng.choice((" ", " ", "=", " = ", ": ")), rng.choice((", ", ", ", " ", "; ", " / "))
    unit = rng.choice(("", "", "V", " V", "v"))
    typed = []
    for names in at:
        name = rng.choice(names)
        value = {"s": 98.5, "a": 211, "p": 211, "g": -1.5 if name in ("grid", "g1", "g") else 98.5}.get(name[0], 6.8)
        value = 98.5 if name in ("screen", "g2", "s") else value
        facts[f"readings.found.{tube} {name}"] = value
        number_ = f"{value:g}".replace(".", ",") if rng.comma and sep != "," else f"{value:g}"
        beside = rng.choice(("", "", "", " (250 V range)", " (no signal)", " approx"))
        if beside == " (250 V range)" and sep != " ":
            facts[f"readings.found.{tube} {name}.meter.range"] = 250
        typed.append(f"{name}{joint}{number_}{unit}{beside if sep != ' ' else ''}")
    lead = "readings:\n  found:\n    line: 230 V\n    meter: 20 kohm/V\n    to: chassis\n"
    return record("reading", lead, f"    {tube}: {sep.join(typed)}", {**facts, **_OF_THE_LIST})


_OF_THE_LIST: Facts = {"readings.found.line": 230, "readings.found.meter.ohms_per_volt": 20000}


_IN_WORDS = {5: "five", 10: "ten", 20: "twenty"}


def step(rng: Hand) -> Said:
    """A step of a power-up: line volts, current, watts, how long, and what was read."""
    facts: Facts = {"power-up.date": "2025-03-16"}
    line = rng.choice((60, 80, 120, 160, 230))
    facts["power-up.steps.line"] = line
    clauses = [
        rng.choice(
            (
                f"{line} V",
                f"{line}V",
                f"line {line} V",
                f"mains {line}V",
                f"{line} volts",
                f"{line} V AC",
                f"at {line} V",
                f"at {line} volts",
                f"up to {line} V",
                f"{line} V line",
                f"line at {line} V",
                f"{line} V on the variac",
                f"variac {line} V",
            )
        )
    ]
    rest = []
    if rng.random() < 0.6:
        amps = rng.choice((0.12, 0.25, 0.31))
        facts["power-up.steps.amps"] = amps
        rest.append(
            rng.choice(
                (
                    f"{number(rng, amps)} A",
                    f"{number(rng, amps)}A",
                    f"{amps * 1000:g} mA",
                    f"{amps * 1000:g}mA",
                    f"I = {number(rng, amps)} A",
                    f"draws {number(rng, amps)} A",
                    f"drawing {number(rng, amps)} A",
                    f"{number(rng, amps)} amperes",
                    f"{number(rng, amps)} amps",
                    f"{amps * 1000:g} milliamps",
                    f"current {number(rng, amps)} A",
                )
            )
        )
    if rng.random() < 0.6:
        minutes = rng.choice((5, 10, 20))
        facts["power-up.steps.after"] = 60 * minutes
        rest.append(
            rng.choice(
                (
                    f"{minutes} min",
                    f"{minutes}min",
                    f"for {minutes} min",
                    f"{minutes} minutes",
                    f"after {minutes} min",
                    f"held {minutes} min",
                    f"{_IN_WORDS[minutes]} minutes",
                    f"after {minutes} minutes",
                    f"{minutes} mins",
                )
            )
        )
    read = [rng.choice(("HT1 118 V", "B+1 118", "HT1 = 118 V", "no smoke", "lamp dim"))] if rng.random() < 0.6 else []
    row = clauses + rng.sample(rest + read, len(rest + read))
    sep = rng.choice((", ", ", ", "; ", " - ", " / ") if read else (", ", "; ", " - ", " / ", " "))
    lead = "power-up:\n  - date: 2025-03-16\n    steps:\n"
    return record("step", lead, f"      - {sep.join(row)}", facts)


_FOUND_AT = (
    "found at {} kHz", "was {} kHz", "was at {}", "found at {}", "was on {} kc", "was peaking at {}",
    "peak was at {} kHz", "it was at {} kc", "peaked at {} before", "was off at {}", "before: {} kHz",
)  # fmt: skip


def aligned(rng: Hand) -> Said:
    """A step of an alignment: frequency, what is turned, where it was, what the output was before and after."""
    kilohertz = rng.choice((468, 455, 600, 1500))
    facts: Facts = {"alignment.date": "2025-03-16", "alignment.steps.frequency": 1000.0 * kilohertz}
    first = rng.choice(
        (
            f"{kilohertz} kHz",
            f"{kilohertz}kHz",
            f"{kilohertz} kc",
            f"{kilohertz} kc/s",
            f"{number(rng, kilohertz / 1000)} MHz",
        )
    )
    rest = [rng.choice(("cores for max", "C20 osc trimmer", "L12", "peak", "T2 top and bottom"))]
    if rng.random() < 0.4:
        was = kilohertz - rng.choice((4, 6, 10))
        facts["alignment.steps.before"] = 1000.0 * was
        rest.append(rng.choice(tuple(way.format(was) for way in _FOUND_AT)))
    elif rng.random() < 0.6:
        facts |= {"alignment.steps.before": 0.31, "alignment.steps.after": 0.78}
        rest.append(
            rng.choice(
                (
                    "before 0.31 V, after 0.78 V",
                    "0.31 V before, 0.78 V after",
                    "from 0.31 to 0.78 V",
                    "0.31 V -> 0.78 V",
                    "before .31, after .78 V",
                    "output 0.31 V before and 0.78 V after",
                    "from 0.31 V to 0.78 V",
                    "0.31 volts before, 0.78 volts after",
                    "output up from 0.31 V to 0.78 V",
                    "was 0.31 V, now 0.78 V",
                )
            )
        )
    sep = rng.choice((", ", ", ", "; ", " - ", ": "))
    lead = "alignment:\n  - date: 2025-03-16\n    generator: HP 606\n    steps:\n"
    return record("aligned", lead, f"      - {first}{sep}{', '.join(rest)}", facts)


def sitting(rng: Hand) -> Said:
    """A line of the log: its day, how long it took, what was done to which parts."""
    typed, said = day(rng)
    facts: Facts = {"log.date": said}
    hours = rng.choice((1, 2, 1.5, 0.5, 3))
    row = [
        rng.choice(
            (
                "replaced C7 and C9",
                "recapped: C1, C2, C3",
                "R7 was 47k, now 51k",
                "found C4 leaky (38 uA at 200 V)",
                "cleaned, tested V4 78 %",
            )
        )
    ]
    if rng.random() < 0.8:
        facts["log.time"] = 3600.0 * hours
        way = rng.choice(
            (
                f"{number(rng, hours)} h",
                f"{number(rng, hours)}h",
                f"{number(rng, hours)} hrs",
                f"{number(rng, hours)} hours",
                f"{60 * hours:g} min",
                f"({number(rng, hours)} h)",
            )
        )
        row.insert(rng.randrange(2), way)
    sep = rng.choice((", ", ", ", " - ", ": "))
    return record("sitting", "log:\n", f"  - {typed}{sep}{', '.join(row)}", facts)


def line_side(rng: Hand) -> Said:
    """A line side in one line: plug, cord, switch, fuse."""
    facts: Facts = {}
    row = []
    word, means = rng.choice(
        (
            ("polarized plug", "two-pin polarised"),
            ("two-pin plug, either way", "two-pin, either way"),
            ("non-polarized 2 prong plug", "two-pin, either way"),
            ("Schuko plug", "three-pin with earth"),
            ("3-prong plug", "three-pin with earth"),
            ("13A plug with earth", "three-pin with earth"),
        )
    )
    facts["line_side.after.plug"] = means
    row.append(word)
    word, means = rng.choice(
        (
            ("switch in hot lead", "hot lead"),
            ("switch: live side", "hot lead"),
            ("double pole switch", "double-pole"),
            ("switch in B-", "B- lead"),
            ("switch in the hot lead on the volume control", "hot lead on the volume control"),
        )
    )
    facts["line_side.after.switch"] = means
    row.append(word)
    if rng.random() < 0.7:
        amps = rng.choice((0.5, 1, 2))
        facts |= {"line_side.after.fuse.amps": amps, "line_side.after.fuse.in": "hot lead"}
        said = rng.choice((f"{number(rng, amps)} A", f"{number(rng, amps)}A", f"{amps * 1000:g} mA"))
        speed = rng.choice(("", "", " slow", " slow-blow", " T"))
        facts |= {"line_side.after.fuse.speed": "slow"} if speed else {}
        row.append(
            rng.choice(
                (
                    f"fuse {said}{speed} in hot lead",
                    f"{said}{speed} fuse in live",
                    f"fused {said}{speed} in hot lead",
                    f"fuse: {said}{speed} in the hot lead",
                )
            )
        )
    if rng.random() < 0.5:
        row.append(rng.choice(("2 core flex", "two-wire cord, new", "new 3-core cord")))
    row = rng.sample(row, len(row))
    sep = rng.choice((", ", ", ", "; ", " - "))
    return record("line_side", "line side:\n", f"  after: {sep.join(row)}", facts)
