"""The steps of an alignment as a list to work through: those of the record, or those its IF, bands and gang ask for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...circuit.frequencies import is_fm_intermediate, is_fm_signal
from ...electrics import dummy_aerial
from ...record.progress import STATES
from ...record.units import say
from ...report.sentence import text_of
from ...report.typed import in_trade_units
from .findings import AdjustedStep, AlignmentFindings, BandTracking
from .wording import fed_in

if TYPE_CHECKING:
    from ...words import Words
    from ..bench import Bench

_MOST_BANDS = 4


@dataclass(frozen=True, slots=True)
class ToAlign:
    """One line: the frequency, what is set to what, and how the signal gets in."""

    frequency: str
    adjust: str
    through: str


@dataclass(frozen=True, slots=True)
class AlignmentSheet:
    """The lines of a bench sheet. ``from_record`` says that they are the steps as they were last done."""

    lines: tuple[ToAlign, ...]
    from_record: bool
    read_at: str


def alignment_sheet(findings: AlignmentFindings | None, bench: Bench) -> AlignmentSheet | None:
    """The steps to do; None of a set that is finished, or whose record says nothing that they could be made from."""
    if findings is None or bench.record.state == STATES[-1]:
        return None
    done = next((session for session in reversed(findings.sessions) if session.steps), None)
    if done:
        lines = tuple(_as_done(step, done.generator) for step in done.steps)
        return AlignmentSheet(lines, from_record=True, read_at=done.meter)
    lines = tuple(_asked_for(findings, bench.words))
    return AlignmentSheet(lines, from_record=False, read_at="") if lines else None


def _as_done(step: AdjustedStep, generator: str) -> ToAlign:
    frequency = step.frequency.text if step.frequency else step.wavelength
    fed = text_of(fed_in(step)) or generator
    return ToAlign(in_trade_units(frequency), in_trade_units(step.adjust), in_trade_units(fed))


def _asked_for(findings: AlignmentFindings, words: Words) -> Iterator[ToAlign]:
    """IF first, then of each band the oscillator and the circuit at the aerial; common practice, no source."""
    bands = findings.tracking[:_MOST_BANDS]
    for between in dict.fromkeys(one.dial.intermediate_hertz for one in bands):
        if between:
            fm = is_fm_intermediate(between)
            into = f"into the mixer’s signal grid through {'10 nF' if fm else '0.1 µF'}"
            yield ToAlign(say(between, "Hz"), "IF circuits for maximum, from the detector backwards", into)
            if fm:
                yield ToAlign(say(between, "Hz"), "FM detector: primary for maximum", into)
                yield ToAlign(say(between, "Hz"), "FM detector: secondary for zero", into)
    for one in bands:
        yield from _of_band(one, findings, words)


def _of_band(one: BandTracking, findings: AlignmentFindings, words: Words) -> Iterator[ToAlign]:
    """The oscillator to the dial at both ends, then the circuit at the aerial; cores in a set that is tuned by them."""
    low, high = one.points_hertz[::2] if one.points_hertz else one.dial.usual_hertz
    fm = is_fm_signal(one.dial.low_hertz)
    into = _lead(high, fm=fm, findings=findings, words=words)
    first, last = (say(hertz, "Hz", digits=3) for hertz in (low, high))
    upper, lower = ("core", "core") if one.why_not == "slug" else ("trimmer", "padder or core")
    yield ToAlign(last, f"{one.band}: oscillator {upper}, to the dial", into)
    yield ToAlign(first, f"{one.band}: oscillator {lower}, to the dial; then both again", into)
    yield ToAlign(last, f"{one.band}: {words.aerial} {upper} for maximum", into)
    if not fm:
        yield ToAlign(first, f"{one.band}: {words.aerial} coil for maximum where it has a core; then both again", into)


def _lead(hertz: float, *, fm: bool, findings: AlignmentFindings, words: Words) -> str:
    if fm:
        return f"into the FM {words.aerial} terminals, matched to them"
    if findings.has_loop_only:
        return "a few turns of wire near the set’s loop"
    part = (
        say(dummy_aerial.USUAL_FARADS, "F")
        if dummy_aerial.usual(hertz) == "capacitor"
        else say(dummy_aerial.USUAL_OHMS, "ohm")
    )
    return f"into the {words.aerial} terminal through {part}"
