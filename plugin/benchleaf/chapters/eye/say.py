"""What a tuning indicator comes to, in sentences and one table each."""

from __future__ import annotations

from collections.abc import Iterator

from ...record.units import say
from ...report.amount import Amount, Origin
from ...report.plain_page import PlainPage
from ...report.sentence import Phrase, Sentence
from ...report.table import of_values
from ...report.verdict import Verdict
from ...words import Words
from ..bench import Bench
from .examine import Eye, EyeFindings

ANCHOR = "tuning-indicator"


def _working(words: Words) -> tuple[Phrase, ...]:
    return (
        ("The grid that closes it is the published one times the target’s volts over the published ones.",),
        (f"The current in the {words.plate}’s resistor is the difference between its ends over its ohms (Ohm’s law).",),
        ("The target’s heat is its volts times its published current.",),
    )


def standouts(findings: EyeFindings, bench: Bench) -> list[Sentence]:
    """A target with too few volts, and a resistor that has drifted."""
    return [told for eye in findings.eyes for told in _of(eye, bench.words)]


def said(findings: EyeFindings, bench: Bench) -> PlainPage:
    """The chapter's page."""
    tables = tuple(table for eye in findings.eyes for table in of_values(*_caption(eye), _values(eye, bench.words)))
    told = standouts(findings, bench)
    return PlainPage(told[0] if told else _plain(findings.eyes[0]), tables, "", _working(bench.words))


def _caption(eye: Eye) -> tuple[str, str]:
    read = f"; read in “{eye.run}”" if eye.run else ""
    return f"Tuning indicator {eye.tube}", f"{eye.tube} {eye.type}, published figures {eye.source}{read}"


def _values(eye: Eye, words: Words) -> tuple[tuple[str, Amount], ...]:
    published, computed, measured = Origin.PUBLISHED, Origin.COMPUTED, Origin.MEASURED
    resistor = f"Resistor of its {words.plate}{f', {eye.resistor}' if eye.resistor else ''}"
    return (
        ("Target, published", Amount(eye.published_volts, "V", published)),
        ("Target, read", Amount(eye.target_volts, "V", measured)),
        (f"Resistor of its {words.plate}, published", Amount(eye.published_ohms, "ohm", published)),
        (resistor, Amount(eye.resistor_ohms, "ohm", measured)),
        (f"{words.plate.capitalize()}, read", Amount(eye.plate_volts, "V", measured)),
        ("Current in that resistor", Amount(eye.plate_amps, "A", computed, digits=2)),
        ("Grid that closes it at the published target", Amount(eye.published_closes_volts, "V", published)),
        ("Grid that closes its second range", Amount(eye.second_closes_volts, "V", published)),
        ("Grid that closes it at this target", Amount(eye.closes_volts, "V", computed, digits=2)),
        ("Grid, read", Amount(eye.grid_volts, "V", measured)),
        ("What the target takes from the supply", Amount(eye.load_watts, "W", computed, digits=2)),
    )


def _of(eye: Eye, words: Words) -> Iterator[Sentence]:
    if eye.dim:
        yield Sentence(
            Verdict.WATCH,
            f"The target of {eye.tube} has {say(eye.target_volts, 'V')} where {say(eye.published_volts, 'V')} are "
            "published: it is dim for want of volts, and a new one would be too.",
            ANCHOR,
            f"Measure {words.b_plus} where the target is fed.",
        )
    if (off := eye.resistor_off) is not None and eye.resistor_ohms:
        effect = "needs a stronger signal to close" if off > 0 else "closes on weaker signals"
        yield Sentence(
            Verdict.WATCH,
            f"{eye.resistor}, the {words.plate} resistor of {eye.tube}, has {say(eye.resistor_ohms, 'ohm')} where "
            f"{say(eye.published_ohms, 'ohm')} are published: the eye {_at_rest(off)} and {effect}.",
            ANCHOR,
        )


def _at_rest(off: float) -> str:
    return "opens wider at rest" if off > 0 else "does not open fully"


def _plain(eye: Eye) -> Sentence:
    closes = eye.closes_volts if eye.closes_volts is not None else eye.published_closes_volts
    share = eye.closed_share
    now = f"; its grid had {say(share, '1', digits=2)} of that" if share is not None else ""
    return Sentence(
        Verdict.PLAIN, f"{eye.tube} is closed by about {say(closes, 'V', digits=2)} at its grid{now}.", ANCHOR
    )
