"""Lines of results, cold checks, windings, a line side's parts, touch currents, emission, hours, a soak and a dial."""

from __future__ import annotations

from said_words import Facts, Hand, Said, day, farads, number, ohms, record

_DAY = "2025-03-16"


def _sides(rng: Hand, before: str, after: str) -> str:
    """Two values, before the work and after it."""
    ways = (
        "before {b}, after {a}", "{b} before, {a} after", "from {b} to {a}", "{b} -> {a}", "was {b}, now {a}",
        "{b} before and {a} after", "before: {b}, after: {a}", "{a} after, {b} before", "now {a}, was {b}",
        "{a} (was {b})", "before the work {b}, after {a}", "found {b}, now {a}",
    )  # fmt: skip
    return rng.choice(ways).format(b=before, a=after)


def result(rng: Hand) -> Said:
    """What was measured before and after, for which output, at which distortion and into which load."""
    if rng.random() < 0.4:
        return _output(rng)
    name, size, units = rng.choice(
        (
            ("sensitivity at 1000 kHz", 1e-6, ("uV", "µV", "microvolts", "uV")),
            ("sensitivity", 1e-6, ("uV/m", "µV/m", "microvolts per meter", "microvolt/metre")),
            ("hum", 1e-3, ("mV", "millivolts", "mV AC", "mv")),
        )
    )
    before, after = rng.choice(((400, 90), (38, 6.5), (850, 210)))
    unit = rng.choice(units)
    facts: Facts = {f"results.{name}.before": before * size, f"results.{name}.after": after * size}
    gap = rng.choice((" ", " ", "" if unit.isascii() and len(unit) < 3 else " "))
    typed = _sides(rng, f"{number(rng, before)}{gap}{unit}", f"{number(rng, after)}{gap}{unit}")
    if name != "hum" and rng.random() < 0.5:
        output = rng.choice(("50 mW", "50mW", "50 milliwatts", "standard output"))
        facts[f"results.{name}.for"] = output
        typed += rng.choice((", for ", " for ")) + output
    return record("result", "results:\n", f"  {name}: {typed}", facts)


def _output(rng: Hand) -> Said:
    watts = rng.choice((0.9, 2.4, 3.1))
    facts: Facts = {"results.output power.after": watts}
    typed = f"{number(rng, watts)}{rng.choice((' W', 'W', ' watts'))}"
    beside = []
    if rng.random() < 0.6:
        facts["results.output power.into"] = 5
        beside.append(rng.choice(("into 5 ohm", "into 5 ohms", "into 5Ω", "across 5 ohms", "into a 5 ohm load")))
    if rng.random() < 0.6:
        at = rng.choice(("10 %", "10% THD", "10 % distortion", "10%"))
        facts["results.output power.at"] = at
        beside.append(f"at {at}" if rng.random() < 0.6 else at)
    for piece in rng.sample(beside, len(beside)):
        typed += rng.choice((", ", " ") if piece.startswith(("at ", "into ", "across ")) else (", ",)) + piece
    return record("result", "results:\n", f"  output power: {typed}", facts)


def cold_check(rng: Hand) -> Said:
    """What an ohmmeter showed between two places before the set was switched on."""
    typed, said = day(rng)
    of, value = rng.choice(
        (
            ("B+1 to chassis", 18000), ("T1 primary", 7.2), ("speaker field", 1480), ("V4 cathode to chassis", 150),
            ("HT1 to HT2", 1200), ("output transformer primary", 385), ("line to chassis", 2e7),
        )
    )  # fmt: skip
    facts: Facts = {"before_power.date": said, "before_power.of": of, "before_power.ohms": value}
    joint = rng.choice((" ", " ", " = ", " measured ", " reads ", ", ", " is ", ": ", " was ", " - "))
    bound = rng.choice(("", "", "", "over ", "> ", "about "))
    if bound in ("over ", "> "):
        facts["before_power.ohms_qualifier"] = "gt"
    sep = ": " if joint != ": " and rng.random() < 0.2 else ", "
    line = f"{typed}{sep}{of}{joint}{bound}{ohms(rng, value)}"
    if value == 2e7 and rng.random() < 0.7:
        facts["before_power.at"] = 500
        line += rng.choice((" at 500 V", ", at 500 V", " @ 500 V", ", 500 V DC", ", with 500 V", ", at 500 volts"))
    else:
        line += rng.choice(("", "", ", cold", " (cold)"))
    return record("cold_check", "before power:\n", f"  - {line}", facts)


def winding(rng: Hand) -> Said:
    """A winding: its volts and amperes, which tubes it feeds, what was measured."""
    key = "heaters.windings.LT"
    facts: Facts = {f"{key}.volts": 6.3}
    first = rng.choice(("6.3 V", "6.3V", "6.3 volts", "6.3 V AC", "6.3 v", "6,3 V" if rng.comma else "6.3 V"))
    rest = []
    if rng.random() < 0.5:
        facts[f"{key}.amps"] = 2.5
        rest.append(f"{number(rng, 2.5)}{rng.choice((' A', 'A', ' amps', ' amperes', ' amp'))}")
    if rng.random() < 0.7:
        facts[f"{key}.feeds"] = "V1 V2 V3 V4"
        rest.append(
            rng.choice(
                (
                    "feeds V1 V2 V3 V4", "feeds V1, V2, V3, V4", "feeds V1-V4", "for V1-V4", "to V1-V4",
                    "feeding V1-V4", "heaters of V1-V4", "feeds V1 to V4", "feeds V1 V2 V3 and V4", "supplies V1-V4",
                )
            )
        )  # fmt: skip
    if rng.random() < 0.6:
        facts[f"{key}.measured"] = 6.6
        read = f"{number(rng, 6.6)}{rng.choice((' V', 'V', ' volts', ' V AC'))}"
        word = rng.choice(("measured", "meas", "meas.", "reads", "measures", "measured:", "now reads"))
        rest.append(rng.choice((f"{word} {read}", f"{word} {read}", f"({word} {read})", f"{read} measured")))
    rest = rng.sample(rest, len(rest))
    typed = first
    for piece in rest:
        typed += (
            " " if piece.startswith("(") else rng.choice((", ", ", ", " ", "; ") if piece[0].isalpha() else (", ", " "))
        ) + piece
    return record("winding", "heaters:\n  windings:\n", f"    LT: {typed}", facts)


def side_part(rng: Hand) -> Said:
    """The parts between two places of a line side."""
    if rng.random() < 0.5:
        key = "line_side.after.across_the_line"
        facts: Facts = {f"{key}.value": 4.7e-8, f"{key}.class": "X2"}
        items = [farads(rng, 4.7e-8), "X2"]
        if rng.random() < 0.6:
            facts[f"{key}.volts"] = 275
            items.append(rng.choice(("275 V AC", "275VAC", "275 V~", "275 VAC", "275V AC", "275 V")))
        typed = (
            " ".join(items)
            if rng.random() < 0.5
            else rng.choice((" ", ", ")).join([items[0], *rng.sample(items[1:], len(items) - 1)])
        )
        name = rng.choice(("across the line", "across line", "across the mains", "across mains"))
        return record("side_part", "line side:\n  after:\n", f"    {name}: {typed}", facts)
    key = "line_side.after.B-_to_chassis"
    two = [("resistance", 220e3, ohms(rng, 220e3)), ("capacitance", 1e-7, farads(rng, 1e-7))]
    two = rng.sample(two, 2)
    if rng.random() < 0.3:
        two = two[:1]
    names = [key] if len(two) == 1 else [f"{key}.1", f"{key}.2"]
    facts = {f"{name}.value": value for name, (_, value, _) in zip(names, two, strict=True)}
    typed = rng.choice((", ", " and ", " + ", " & ", ", ", " with ")).join(said for _, _, said in two)
    typed += rng.choice(("", "", " in parallel", ", in parallel")) if len(two) == 2 else ""
    name = rng.choice(("B- to chassis", "B minus to chassis", "B- to ground", "HT- to chassis", "B-to chassis"))
    return record("side_part", "line side:\n  after:\n", f"    {name}: {typed}", facts)


def touch(rng: Hand) -> Said:
    """A current to earth: at which part, how plug and switch stood, across what."""
    typed, said = day(rng)
    key = "line_side.measured"
    facts: Facts = {f"{key}.date": said, f"{key}.part": "chassis", f"{key}.amps": 3.1e-4}
    value = rng.choice(("0.31 mA", "0.31mA", ".31 mA", "310 uA", "310 µA", "0.31 milliamps", "0.31 milliamperes"))
    if rng.random() < 0.2:
        facts[f"{key}.amps_qualifier"] = "lt"
        value = f"{rng.choice(('below', 'less than', 'under', '<'))} {value}"
    part = rng.choice(("chassis", "the chassis", "chassis to earth", "chassis to ground", "chassis to water pipe"))
    rest = []
    if rng.random() < 0.7:
        word, facts[f"{key}.plug"] = rng.choice(
            (
                ("plug reversed", "reversed"), ("plug turned", "reversed"), ("plug the wrong way", "reversed"),
                ("plug right", "right"), ("plug right way round", "right"), ("plug normal", "right"),
                ("wrong way round", "reversed"), ("plug flipped", "reversed"), ("plug: reversed", "reversed"),
            )
        )  # fmt: skip
        rest.append(word)
    if rng.random() < 0.6:
        facts[f"{key}.switch"] = way = rng.choice(("on", "off"))
        rest.append(
            rng.choice((f"switch {way}", f"switched {way}", f"set {way}", f"switch: {way}", f"with the switch {way}"))
        )
    if rng.random() < 0.5:
        value += rng.choice(
            (
                " across 1500 ohm and 0.15 uF", " across 1500 ohm || 0.15 uF", " across 1.5k and .15 uF",
                " through 1500 ohms", " across 1500 ohms", " thru 1500 ohm", " on 1500 ohm",
            )
        )  # fmt: skip
        facts[f"{key}.across"] = None
    row = [part, value, *rest] if rng.random() < 0.7 else [part, *rest, value]
    del_across = facts.pop(f"{key}.across", "")
    assert del_across in ("", None)
    line = f"{typed}, {', '.join(row)}" if rng.random() < 0.8 else f"{typed}, {row[0]} {', '.join(row[1:])}"
    return record("touch", "line side:\n  measured:\n", f"    - {line}", facts)


def emission(rng: Hand) -> Said:
    """What a tester showed of a tube that stays, or of the old one and the new."""
    if rng.random() < 0.5:
        job, share = rng.choice(("output", "first audio", "detector")), rng.choice((71, 88, 102))
        facts: Facts = {"tubes.V6.type": "EL84", "tubes.V6.emission": share / 100}
        per = rng.choice((f"{share} %", f"{share}%", f"{share} percent"))
        said = rng.choice(
            (
                per,
                f"emission {per}",
                f"tests {per}",
                f"tested {per}",
                f"tested at {per}",
                f"{per} emission",
                f"at {per}",
            )
        )
        line = rng.choice(
            (
                f"EL84, {job}, {said}",
                f"EL84, {said}, {job}",
                f"EL84 {job}, {said}",
                f"EL84, {job} ({said})",
                f"EL84 ({said}), {job}",
            )
        )
        return record("emission", "", f"  V6: {line}", facts)
    facts = {
        "changed_tubes.V4.was.type": "EL84", "changed_tubes.V4.was.emission": 0.52,
        "changed_tubes.V4.now.type": "EL84", "changed_tubes.V4.now.emission": 0.98,
    }  # fmt: skip
    shown = (" {}%", " {} %", " ({} %)", " at {} %", ", {} %", " tested {} %", " emission {} %")
    old, new = (f"EL84{rng.choice(shown).format(share)}" for share in (52, 98))
    lead, joint = rng.choice(
        (
            ("was ", ", now "), ("", " -> "), ("", ", replaced with "), ("", " replaced by "), ("", " changed to "),
            ("was ", "; now "), ("", ", now "), ("was ", ", replaced with "), ("", ", changed for "),
        )
    )  # fmt: skip
    line = f"{lead}{old}{joint}{rng.choice(('', '', 'new ', 'NOS '))}{new}"
    if rng.random() < 0.5:
        typed, facts["changed_tubes.V4.date"] = day(rng)
        line += f", {typed}"
    return record("emission", "changed tubes:\n", f"  V4: {line}", facts)


_TOOK = (
    (
        9000.0, (
            "2.5 h", "2.5 hours", "2 1/2 h", "2½ hours", "2 h 30 min", "2h30", "150 min", "2 hours 30 minutes",
            "two and a half hours",
        ),
    ),
    (1800.0, ("half an hour", "30 min", "0.5 h", "½ h", "30 minutes", "1/2 hour", ".5 hr", "half hour")),
    (7200.0, ("2 h", "two hours", "2 hrs", "2h", "120 min", "about 2 hours", "2 hours' work", "(2 h)")),
    (
        5400.0, (
            "1.5 h", "an hour and a half", "1 1/2 hours", "90 min", "1h30", "1 h 30", "one and a half hours",
            "1 hour 30 min",
        ),
    ),
)  # fmt: skip


def hours(rng: Hand) -> Said:
    """How long a sitting took, in the many ways that people say it."""
    seconds, ways = rng.choice(_TOOK)
    typed, said = day(rng)
    did = rng.choice(("recapped", "replaced C7 and C9", "cleaned the switch, oiled the dial", "aligned"))
    took = rng.choice(ways)
    sep = rng.choice((", ", ", ", " - ", ": "))
    line = f"{typed}{sep}{took}, {did}" if rng.random() < 0.6 else f"{typed}{sep}{did}, {took}"
    return record("hours", "log:\n", f"  - {line}", {"log.date": said, "log.time": seconds})


def soak(rng: Hand) -> Said:
    """How long a set played on the bench, at which line, what it drew and how warm it became."""
    seconds, ways = rng.choice(
        (
            (14400.0, ("4 h", "4 hours", "four hours", "for 4 h", "240 min")),
            (3600.0, ("1 h", "one hour", "60 min", "an hour")),
        )
    )
    facts: Facts = {"power-up.date": _DAY, "power-up.soak.time": seconds}
    rest = []
    if rng.random() < 0.6:
        facts["power-up.soak.line"] = 230
        rest.append(rng.choice(("line 230 V", "at 230 V", "mains 230 V", "230 V", "on 230 V", "230 V AC")))
    if rng.random() < 0.5:
        facts["power-up.soak.amps"] = 0.25
        rest.append(rng.choice(("0.25 A", "250 mA", "drawing 0.25 A", "draws 250 mA", "I = 0.25 A", "0.25 amps")))
    rest = rng.sample(rest, len(rest))
    rest += (
        [rng.choice(("T1 52 °C", "no smell", "HT1 244 V", "transformer 52 degrees Celsius"))]
        if rng.random() < 0.6
        else []
    )
    line = ", ".join([rng.choice(ways), *rest])
    return record("soak", f"power-up:\n  - date: {_DAY}\n", f"    soak: {line}", facts)


def dialled(rng: Hand) -> Said:
    """A step of an alignment with where the dial stood before and after."""
    facts: Facts = {"alignment.date": _DAY, "alignment.steps.frequency": 6e5}
    line = rng.choice(("600 kHz", "600kHz", "600 kc", "600 kilocycles", "0.6 MHz", "600 kc/s"))
    line += f", {rng.choice(('padder', 'C20 padder, rocking', 'osc trimmer', 'oscillator core'))}"
    unit = rng.choice(("", " kHz", " kc"))
    if rng.random() < 0.5:
        facts["alignment.steps.dial_read"] = 6.2e5
        line += rng.choice((f", dial read 620{unit}", f", dial was 620{unit}", f", dial 620{unit} before"))
    facts["alignment.steps.dial_now"] = 6.04e5
    line += rng.choice(
        (
            f", dial now 604{unit}",
            f", dial now reads 604{unit}",
            f", now at 604{unit} on the dial",
            f", dial 604{unit} now",
        )
    )
    return record("dialled", f"alignment:\n  - date: {_DAY}\n    steps:\n", f"      - {line}", facts)


OF_THE_SET = (result, cold_check, winding, side_part, touch, emission, hours, soak, dialled)
