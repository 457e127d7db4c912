"""What readings suggest: a few rules that are certain physically, as data, each with the next measurement."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from .cases import Case, cases
from .comparison import Compared
from .judging import HIGH, LOW, OUTSIDE, WITHIN

if TYPE_CHECKING:
    from ...bench import Bench
    from ...record.model import Record

PRACTICE = "common practice, no source"
VALVERADIO = "valveradio.co.uk, page on audio stages and their common faults"
MOST_PER_TUBE = 3
_STOPPED_VOLTS = 0.5


@dataclass(frozen=True, slots=True)
class Suggestion:
    """A likely cause for one tube's readings in one run, and the measurement that would settle it.

    ``settled`` says that a later run finds these readings in order. ``part`` is the suspect where the record names it.
    """

    tube: str
    cause: str
    next: str
    source: str
    run: str
    rule: str
    part: str | None = None
    settled: bool = False


@dataclass(frozen=True, slots=True)
class Rule:
    """A pattern, its cause and the next measurement. The texts take the words of ``_told``.

    ``part`` names the suspect of the parts list; ``otherwise`` stands for it where the list has none.
    """

    name: str
    fits: Callable[[Case], bool]
    cause: str
    next: str
    source: str = PRACTICE
    part: Callable[[Case], str | None] = lambda case: None
    otherwise: str = ""


def _coupling_leaks(case: Case) -> bool:
    """A leak lifts a grid towards the plate before it, never above that plate's own voltage."""
    row, coupling = case.positive_grid, case.coupling
    if row is None or coupling is None or coupling.tight:
        return False
    before = case.volts_at.get(coupling.plate)
    return before is None or row.measured_volts is None or before > row.measured_volts


def _part_at(kind: str) -> Callable[[Case], str | None]:
    def named(case: Case) -> str | None:
        part = case.resistor(kind)
        return part.part if part else None

    return named


def _no_plate(case: Case) -> bool:
    """No plate voltage while B+ is there. A triode whose cathode shows current contradicts an open plate circuit."""
    triode = "screen" not in case.by_kind and "triode" in case.role
    return case.dead("plate") and not (triode and case.conducts)


def _loaded(case: Case) -> bool:
    """Whether the plate is fed through a resistor, where more current means less plate voltage."""
    return not case.is_output and (case.resistor("plate") is not None or "triode" in case.role)


RULES = (
    Rule(
        "leaky coupling capacitor",
        _coupling_leaks,
        "{part} leaks: the voltage of the {plate} before it comes through to this grid",
        "lift the grid end of {part} and read the grid again: at zero or at its bias, {part} was the cause; still "
        "positive, the {tube} has gas or grid emission",
        VALVERADIO,
        lambda case: case.coupling.part if case.coupling else None,
    ),
    Rule(
        "gas or grid emission",
        lambda case: case.positive_grid is not None and not _coupling_leaks(case),
        "grid current in the {tube} (gas or grid emission), or a leak to this grid from a point of higher voltage that "
        "the parts list does not name",
        "lift the grid end of whatever leads to this grid from a {plate} and read again; then read with another {tube} "
        "of the type in the socket",
    ),
    Rule(
        "open output transformer",
        lambda case: _no_plate(case) and case.is_output,
        "the primary of the output transformer is open, or its connection",
        "power off and filter capacitors discharged: read the primary’s resistance",
        VALVERADIO,
        _part_at("plate"),
    ),
    Rule(
        "open plate load",
        lambda case: _no_plate(case) and _loaded(case) and not case.sound("plate"),
        "{part} is open, or its connection",
        "power off and filter capacitors discharged: read {part}",
        part=_part_at("plate"),
        otherwise="the {plate} load resistor",
    ),
    Rule(
        "open transformer winding",
        lambda case: _no_plate(case) and not _loaded(case) and not case.is_output and bool(case.role),
        "the winding that feeds this {plate} is open, or its connection",
        "power off and filter capacitors discharged: read the winding’s resistance",
    ),
    Rule(
        "screen has no supply",
        lambda case: case.dead("screen") and case.state("plate") != LOW and not case.dead("plate"),
        "the screen’s resistor is open, or the capacitor from the screen to B- is shorted",
        "power off and filter capacitors discharged: read the screen’s resistor, then the screen to B- with the "
        "capacitor’s end lifted",
        part=lambda case: case.bypass("screen"),
    ),
    Rule(
        "screen supply is weak",
        lambda case: case.state("screen") == LOW and not case.dead("screen") and case.state("plate") in (WITHIN, HIGH),
        "the capacitor from the screen to B- leaks, or the screen’s resistor has gone high",
        "lift one end of the capacitor and read the screen again; power off, read the resistor",
        part=lambda case: case.bypass("screen"),
    ),
    Rule(
        "too much current",
        lambda case: case.state("cathode") == HIGH and case.state("plate") == LOW and "grid" not in case.by_kind,
        "the {tube} draws too much: most often its grid is positive",
        "read the control grid with a meter of 10 MΩ",
        VALVERADIO,
    ),
    Rule(
        "cathode resistor high",
        lambda case: (
            case.state("cathode") == HIGH
            and case.state("plate") in (WITHIN, HIGH)
            and case.grid_is_negative
            and not case.sound("cathode")
        ),
        "{part} has gone high or is open",
        "power off: read {part}",
        part=_part_at("cathode"),
        otherwise="the cathode resistor",
    ),
    Rule(
        "does not conduct",
        lambda case: case.no_cathode_volts and case.state("plate") == HIGH and case.positive_grid is None,
        "the {tube} does not conduct: heater out, cathode worn out or not connected",
        "see whether the heater glows and read its voltage; then read with another {tube} of the type",
    ),
    Rule(
        "shorted cathode bypass",
        lambda case: case.no_cathode_volts and case.state("plate") == LOW and not case.dead("plate"),
        "the cathode’s bypass capacitor is shorted, so that the {tube} runs without bias",
        "lift one end of the capacitor and read the cathode again",
        part=lambda case: case.bypass("cathode"),
    ),
    Rule(
        "plate load high",
        lambda case: (
            case.state("plate") == LOW
            and not case.dead("plate")
            and _loaded(case)
            and case.state("cathode") in (LOW, WITHIN, "")
            and not case.no_cathode_volts
            and case.positive_grid is None
            and not case.sound("plate")
        ),
        "{part} has gone high: less voltage is left for the {plate}",
        "power off and filter capacitors discharged: read {part}",
        part=_part_at("plate"),
        otherwise="the {plate} load resistor",
    ),
    Rule(
        "weak supply",
        lambda case: (
            "rectifier" in case.role
            and not case.is_output
            and case.state("cathode") == LOW
            and not any(row.current == "AC" and row.verdict == LOW for row in case.rows)
        ),
        "the rectifier is weak, the first filter capacitor has lost its capacitance, or the set draws too much",
        "read AC volts across the first filter capacitor, bridge it with a good one of its value and see whether B+ "
        "rises; then try another rectifier",
    ),
    Rule(
        "oscillator stopped",
        lambda case: (
            not case.meter_loads
            and (volts := case.volts("osc grid")) is not None
            and -_STOPPED_VOLTS < volts < _STOPPED_VOLTS
        ),
        "the oscillator does not run: its grid makes some negative volts while it does",
        "turn the dial through the band with the meter on this grid; then read the oscillator’s {plate} supply and the "
        "coil’s resistance",
    ),
)  # fmt: skip
"""In the order in which they are shown where several fit."""


def suggestions(found: Sequence[Compared], record: Record, bench: Bench) -> tuple[Suggestion, ...]:
    """The causes that each run's readings suggest, at most three for a tube, the runs in their order."""
    raised = [
        [_told(rule, case, bench) for case in cases(one, record, bench) for rule in _fitting(case)] for one in found
    ]
    told = []
    for n, of_run in enumerate(raised):
        for suggestion in of_run:
            settled = _settled(suggestion, found[n], list(zip(found, raised, strict=True))[n + 1 :])
            told.append(replace(suggestion, settled=settled))
    return tuple(told)


def _fitting(case: Case) -> list[Rule]:
    return [rule for rule in RULES if rule.fits(case)][:MOST_PER_TUBE]


def _told(rule: Rule, case: Case, bench: Bench) -> Suggestion:
    words = {"plate": bench.words.plate, "tube": bench.words.tube}
    part = rule.part(case)
    words["part"] = part or rule.otherwise.format(**words)
    return Suggestion(
        case.tube, rule.cause.format(**words), rule.next.format(**words), rule.source, case.run, rule.name, part
    )


def _settled(suggestion: Suggestion, found: Compared, later: Iterable[tuple[Compared, Sequence[Suggestion]]]) -> bool:
    """Whether a later run reads every place that was off in this one, finds it in order and has no such suggestion."""
    off = {row.spot.identity for row in found.rows if row.tube == suggestion.tube and row.verdict in OUTSIDE}
    for one, raised in later:
        read = {r.spot.identity: r for r in one.rows if r.tube == suggestion.tube and r.measured_qualifier}
        again = any((s.tube, s.rule) == (suggestion.tube, suggestion.rule) for s in raised)
        if read and off <= read.keys() and not again and all(read[place].verdict not in OUTSIDE for place in off):
            return True
    return False
