"""What it comes to, in sentences."""

from __future__ import annotations

from ...record.units import say
from ...report.sentence import Sentence
from ...report.verdict import Verdict
from ...words import Words
from ...words.decimal_sign import with_decimal_sign
from ..bench import Bench
from .findings import PowerUpFindings

EXPECTED = "power-up-expected"
"""The id of what was to be expected."""


def standouts(findings: PowerUpFindings, bench: Bench) -> list[Sentence]:
    """A current outside its band at the last step; a capacitor that drew more at the end of its reforming."""
    return [
        *_off(findings, bench),
        *_failing(findings),
    ]


def _off(findings: PowerUpFindings, bench: Bench) -> list[Sentence]:
    """The last step of the last session that was judged, where its current is low or high."""
    steps = [step for step in (findings.sessions[-1].steps if findings.sessions else ()) if step.verdict]
    if not steps or steps[-1].verdict == "within":
        return []
    step, words = steps[-1], bench.words
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
