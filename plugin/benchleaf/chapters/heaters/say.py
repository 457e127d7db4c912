"""What stands out about the heaters, in sentences."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ...record.units import say
from ...report.sentence import Sentence
from ...report.verdict import Verdict
from ...words import Words
from ..bench import Bench
from .bands import FILAMENT_BAND
from .causes import COMMON
from .findings import HeatersFindings
from .running import cannot_run
from .selector import said_of_selector
from .verdicts import band

ANCHOR = "heaters"
STRING, MEASURED, WINDINGS, DROPPER = (f"{ANCHOR}-{part}" for part in ("string", "measured", "windings", "dropper"))
TWICE_THE_HEAT = 0.5
OFF_CURRENT = 0.10
"""Common practice, no source."""


def standouts(findings: HeatersFindings, bench: Bench) -> list[Sentence]:
    """What a restorer should know first about the heaters, worst first."""
    return sorted(_of(findings, bench.words), key=lambda s: -s.severity)


def _of(findings: HeatersFindings, words: Words) -> Iterator[Sentence]:
    """The sentences, in no particular order of weight."""
    yield from _dead(findings, words)
    yield from _judged(findings, words)
    yield from _windings(findings, words)
    yield from _measured(findings, words)
    yield from _dropper(findings)
    yield from _mixed(findings)
    yield from _beside(findings)
    yield from said_of_selector(findings.selected, words)


def _dead(findings: HeatersFindings, words: Words) -> Iterator[Sentence]:
    """An open dropper, before all that is worked out of a string in which nothing flows."""
    found = findings.open_dropper
    if found is None:
        return
    where = found.section or found.name
    if found.name == "dropper":
        where = f"The dropper’s {found.section}" if found.section else "The dropper"
    yield Sentence(
        Verdict.FAULT,
        f"{where} was measured open: nothing flows in the string, and no {words.tube} lights. "
        "All that is worked out here is of the string with it sound.",
        DROPPER if found.name == "dropper" else ANCHOR,
        "With the plug out, read each section again between its own lugs.",
    )


def fed_by(findings: HeatersFindings, words: Words) -> str:
    """The word for what the heaters are judged on."""
    return words.line if findings.feed.kind == "line" else findings.feed.kind


def _percent(share: float) -> str:
    return say(share, "1", digits=2)


def _judged(findings: HeatersFindings, words: Words) -> Iterator[Sentence]:
    """Tubes out of their band at the nominal line: one sentence for all of one side, as they share one cause."""
    nominal = findings.nominal
    if findings.feed.volts is None or nominal is None or findings.arrangement == "parallel":
        return
    line = f"{say(findings.feed.volts, 'V')} {fed_by(findings, words)}"
    for side, word in (("high", "over"), ("low", "under")):
        tubes = [t for t, j in findings.judged.items() if j.verdict == side]
        shares = [j.of_rated for j in findings.judged.values() if j.verdict == side and j.of_rated is not None]
        if not tubes:
            continue
        worst = max(shares) if side == "high" else min(shares)
        who = tubes[0] if len(tubes) == 1 else f"{len(tubes)} {words.tubes} ({', '.join(tubes)})"
        run = "runs" if len(tubes) == 1 else "run"
        at = f"at {_percent(worst)}" if len(tubes) == 1 else f"at up to {_percent(worst)}"
        if side == "low" and len(tubes) > 1:
            at = f"down to {_percent(worst)}"
        watched = {findings.judged[t].graded for t in tubes} == {"watch"}
        read = as_measured(tubes, findings, words)
        measured = f" as computed{read}" if read else ""
        yield Sentence(
            Verdict.WATCH if watched else Verdict.FAULT,
            f"On the {line} {who} {run} {at} of rated heater volts, {word} the band{measured}"
            f"{_remedy(findings, words) if watched and findings.feed.kind == 'line' else _why(findings, side)}.",
            STRING,
        )


def as_measured(tubes: Sequence[str], findings: HeatersFindings, words: Words) -> str:
    """What was measured of the heaters that are computed out of their band: both are said."""
    measured = findings.measured
    found = {one.tube: one.of_rated for one in measured.tubes if one.of_rated is not None} if measured else {}
    shares = sorted(share for tube, share in found.items() if tube in tubes)
    if measured is None or not shares:
        return ""
    ends = dict.fromkeys(map(_percent, (shares[0], shares[-1])))
    at = f" with {say(measured.fed_volts, 'V')} of {fed_by(findings, words)}" if measured.fed_volts else ""
    every = len(shares) == len(tubes)
    whose = "it was" if len(tubes) == 1 else "they were" if every else f"{len(shares)} of them were"
    return f"; {whose} measured at {' to '.join(ends)}{at}"


def _remedy(findings: HeatersFindings, words: Words) -> str:
    """For a string that never had a dropper, on a line that may have risen since."""
    wanted = findings.dropper
    if wanted is None:
        return ""
    return (
        f": no dropper is written, as in a set built for a lower {words.line}; {say(wanted.preferred_ohms, 'ohm')}, "
        f"{say(wanted.rating_watts, 'W')} or more, in series would bring them to their rating"
    )


def _left(findings: HeatersFindings) -> float | None:
    """Volts left for a dropper by what the heaters are judged on; the battery of a three-way set has none."""
    judged_on_battery = findings.on_battery is not None and findings.on_line is None
    return None if judged_on_battery else findings.left_for_dropper_volts


def _why(findings: HeatersFindings, side: str) -> str:
    left = _left(findings)
    fitted = findings.string.dropper if findings.string else None
    if side == "high" and left is not None and left > 0 and fitted is None:
        return f": {say(left, 'V')} are left over and no dropper is written"
    if side == "low" and left is not None and left < 0:
        return f": the heaters ask for {say(-left, 'V')} more than there is"
    return ""


def _dropper(findings: HeatersFindings) -> Iterator[Sentence]:
    string = findings.string
    if string is None:
        return
    fitted, share, nominal = string.dropper, findings.fitted_of_rating, findings.nominal
    if fitted is None or share is None or nominal is None:
        return
    own = nominal.dropper_watts * fitted.own_share if nominal.dropper_watts else None
    heat, rated = say(own, "W"), say(fitted.rated_watts, "W")
    if share > 1:
        yield Sentence(Verdict.FAULT, f"The dropper makes {heat} of heat and is rated for {rated}.", DROPPER)
    elif share > TWICE_THE_HEAT * (1 + 1e-9):
        yield Sentence(
            Verdict.NOTE,
            f"The dropper makes {heat} of heat and is rated for {rated}: less than twice the heat.",
            DROPPER,
        )


def _mixed(findings: HeatersFindings) -> Iterator[Sentence]:
    string = findings.string
    if string is None or not string.mixed or string.current_amps is None:
        return
    for one in string.mixed:
        running = findings.nominal.tubes.get(one.tube) if findings.nominal else None
        share = f": it runs at {_percent(running.of_rated)} of its volts" if running and running.of_rated else ""
        off = one.tube in findings.judged and findings.judged[one.tube].verdict in ("low", "high")
        yield Sentence(
            Verdict.FAULT if off else Verdict.NOTE,
            f"{one.tube} ({one.type}) is rated for {say(one.amps, 'A')} in a string of "
            f"{say(string.current_amps, 'A')}{share}.",
            STRING,
        )
    for shunt in findings.wanted_shunts:
        yield Sentence(
            Verdict.NOTE,
            f"A shunt of {say(shunt.preferred_ohms, 'ohm')}, {say(shunt.rating_watts, 'W')} or more, across "
            f"{' and '.join(shunt.over)} would let each heater have its own current.",
            STRING,
        )


def _beside(findings: HeatersFindings) -> Iterator[Sentence]:
    """Shunts that are too small, a barretter that does not hold, a diode where a rectifier's heater was."""
    string, nominal = findings.string, findings.nominal
    if string is None or nominal is None:
        return
    for shunt in string.shunts:
        heat = nominal.shunt_watts.get(shunt.name)
        if heat and shunt.rated_watts and heat > shunt.rated_watts:
            heated, rated = say(heat, "W"), say(shunt.rated_watts, "W")
            yield Sentence(
                Verdict.FAULT, f"The shunt across {shunt.name} makes {heated} of heat and is rated for {rated}.", STRING
            )
    fitted = string.dropper
    ranged = fitted and fitted.kind == "barretter" and not cannot_run(string, string.frequency_hertz)
    if fitted and ranged and string.known and nominal.current_amps is None:
        yield Sentence(
            Verdict.FAULT,
            f"What the heaters leave of {say(nominal.line_volts, 'V')} lies outside the barretter’s range of "
            f"{say(fitted.low_volts, 'V')} to {say(fitted.high_volts, 'V')}: it does not hold their current.",
            DROPPER,
        )
    gone = findings.diode_rectifier
    if gone:
        yield Sentence(
            Verdict.FAULT if findings.outside else Verdict.NOTE,
            f"The diode in place of the {gone.tube} takes {say(gone.volts, 'V')} out of the string; "
            f"{say(gone.preferred_ohms, 'ohm')}, {say(gone.rating_watts, 'W')} or more, would make them up.",
            DROPPER,
        )


def _measured(findings: HeatersFindings, words: Words) -> Iterator[Sentence]:
    measured = findings.measured
    if measured is None:
        return
    if measured.adds_up is False and measured.off_line_volts is not None:
        off = measured.off_line_volts
        what = "less" if off < 0 else "more"
        text = (
            f"The measured heater volts come to {say(abs(off), 'V')} {what} than the {say(measured.fed_volts, 'V')} "
            f"{fed_by(findings, words)}: {measured.sum_suggestion.cause if measured.sum_suggestion else ''}"
        )
        ohms = measured.unwritten_dropper_ohms
        fits = f"; {say(ohms, 'ohm', digits=2)} in series would take them" if ohms else ""
        yield Sentence(Verdict.WATCH, f"{text.rstrip(': ')}{fits}.", MEASURED)
    for tube in measured.tubes:
        if tube.verdict in ("far off", "dark", "open") and tube.suggestion:
            computed = f", computed {say(tube.computed_volts, 'V')}" if tube.computed_volts is not None else ""
            said = f"{tube.tube} measured {say(tube.measured_volts, 'V')} at the heater{computed}"
            verdict = Verdict.WATCH if tube.suggestion.source == COMMON else Verdict.FAULT
            yield Sentence(verdict, f"{said}: {tube.suggestion.cause}.", MEASURED)
    if measured.whole_string and measured.of_computed is not None and measured.adds_up is not False:
        yield Sentence(
            Verdict.NOTE,
            f"The heaters were measured at {_percent(measured.of_computed)} of what is computed: "
            f"{measured.whole_string.cause}.",
            MEASURED,
        )
    if measured.off_current is not None and abs(measured.off_current) > OFF_CURRENT:
        yield Sentence(
            Verdict.WATCH,
            f"The string was measured at {say(measured.current_amps, 'A')}, computed "
            f"{say(measured.current_computed_amps, 'A')}: a wrong type, or another dropper than written.",
            MEASURED,
        )


def _windings(findings: HeatersFindings, words: Words) -> Iterator[Sentence]:
    for winding in findings.windings:
        if winding.overloaded:
            yield Sentence(
                Verdict.FAULT,
                f"Winding {winding.name} must give {say(winding.load_amps, 'A')} and is rated for "
                f"{say(winding.rated_amps, 'A')}.",
                WINDINGS,
            )
        if winding.measured_verdict in ("low", "high"):
            yield Sentence(
                Verdict.FAULT,
                f"Winding {winding.name} measured {say(winding.measured_volts, 'V')}, nominal "
                f"{say(winding.volts, 'V')}.",
                WINDINGS,
            )
        for tube in winding.tubes:
            low, high = band(winding.ratings[winding.tubes.index(tube)])
            at = findings.judged.get(tube.tube)
            if findings.primary_volts and at and at.of_rated and at.verdict in ("low", "high"):
                if findings.selected and findings.selected.outside:
                    continue
                yield Sentence(
                    Verdict.WATCH if at.graded == "watch" else Verdict.FAULT,
                    f"{tube.tube} runs at {_percent(at.of_rated)} of its volts: the transformer is made for "
                    f"{say(findings.primary_volts, 'V')} and the {words.line} is {say(findings.line_volts, 'V')}.",
                    WINDINGS,
                )
            elif tube.of_rated is not None and not low <= tube.of_rated <= high:
                yield Sentence(
                    Verdict.WATCH if (low, high) == FILAMENT_BAND else Verdict.FAULT,
                    f"{tube.tube} ({tube.type}) wants {say(tube.rated_volts, 'V')} and hangs on "
                    f"{say(winding.volts, 'V')}.",
                    WINDINGS,
                )
