"""What it comes to, in sentences."""

from __future__ import annotations

import datetime

from ...circuit.cold_path import put_right_since
from ...record.units import say
from ...report.sentence import Sentence
from ...report.verdict import Verdict
from ...words import Words
from ...words.decimal_sign import with_decimal_sign
from ..bench import Bench
from .findings import NOT_MEASURED, ColdCheck, PowerUpFindings, RaisedLine

BEFORE_POWER = "power-up-before"
"""The id of the cold checks."""
EXPECTED = "power-up-expected"
"""The id of what was to be expected."""


def standouts(findings: PowerUpFindings, bench: Bench) -> list[Sentence]:
    """A cold check to look at again, or that was; a current outside its band at the last step; a capacitor that drew
    more at the end of its reforming."""
    return [
        *_cold(findings),
        *cold_put_right(findings),
        *_off(findings, bench),
        *_failing(findings),
    ]


def _cold(findings: PowerUpFindings) -> list[Sentence]:
    """What was read last at each place, where that is to be looked at again."""
    return [
        Sentence(
            Verdict.WATCH,
            f"Before power, {check.of} read {_as_read(check)}; to be expected: {check.said}"
            + (f". Look again: {check.look_for}." if check.look_for else "."),
            BEFORE_POWER,
        )
        for check in _last(findings)
        if check.open
    ]


def cold_put_right(findings: PowerUpFindings) -> list[Sentence]:
    """What was off before power, and has had a part or tube on its way exchanged since."""
    return [
        Sentence(
            Verdict.PUT_RIGHT,
            f"Before power, {check.of} read {_as_read(check)}; to be expected: {check.said}. "
            f"{_capital(_listed(check.replaced))} {'was' if len(check.replaced) == 1 else 'were'} exchanged since.",
            BEFORE_POWER,
        )
        for check in _last(findings)
        if check.replaced
    ]


def _last(findings: PowerUpFindings) -> list[ColdCheck]:
    read = (check for check in findings.before_power if check.verdict != NOT_MEASURED)
    return [*{check.of.casefold(): check for check in read}.values()]


def _listed(names: tuple[str, ...]) -> str:
    return f"{', '.join(names[:-1])} and {names[-1]}" if len(names) > 1 else names[0]


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _as_read(check: ColdCheck) -> str:
    if check.read_ohms is None:
        return check.read_bound or "nothing"
    bound = f"{check.read_bound} " if check.read_bound in ("at least", "at most") else ""
    return f"{bound}{say(check.read_ohms, 'ohm')}"


def _off(findings: PowerUpFindings, bench: Bench) -> list[Sentence]:
    """The last soak or step of the last session that was judged, where its current is low or high.

    Not where a part, a tube or a fault was put right after it: it stands in its session, and nothing of it remains.
    """
    last = findings.sessions[-1] if findings.sessions else None
    if last is not None and not last.steps and not (last.soak and last.soak.verdict):
        last = findings.last_raised
    judged = [each for each in (*last.steps, last.soak) if each and each.verdict] if last else []
    if not judged or judged[-1].verdict == "within" or put_right_since(bench.circuit, _day(last)):
        return []
    step, words = judged[-1], bench.words
    expected = step.expected
    if expected is None or step.line_volts is None or step.line_amps is None:
        return []
    return [
        Sentence(
            Verdict.WATCH,
            f"At {say(step.line_volts, 'V')} the set drew {say(step.line_amps, 'A')}; to be expected are "
            f"{say(expected.low_amps_rms, 'A')} to {say(expected.high_amps_rms, 'A')}. {look_for(step.verdict, words)}",
            EXPECTED,
        )
    ]


def _day(session: RaisedLine | None) -> datetime.date | None:
    return datetime.date.fromisoformat(session.date) if session and session.date else None


def look_for(verdict: str, words: Words) -> str:
    """Where a current comes from that is high, or what keeps one low. Common practice, no source."""
    if verdict == "high":
        return (
            f"Look for a leaky or shorted {words.filter_capacitor}, an output {words.tube} whose grid is positive, and "
            f"a part shorted across the {words.line}, before it runs on."
        )
    return (
        f"Look for an open heater, a weak or dead rectifier or output {words.tube}, and an open resistor or winding "
        f"behind {words.rail.format(1)}."
    )


def _failing(findings: PowerUpFindings) -> list[Sentence]:
    return [
        Sentence(
            Verdict.WATCH,
            f"{part.part} drew {with_decimal_sign(f'{part.of_first:.2g}')} times as much at the end of "
            "reforming as at its start: it is failing, not forming.",
            "power-up-reforming",
        )
        for part in findings.reforming
        if part.of_first is not None and part.of_first > 1
    ]
