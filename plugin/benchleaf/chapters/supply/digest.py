"""The chapter in short: B+ and ripple, the rectifier's peaks against their limit, and B+ as it was read."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...circuit.line_scaling import line_of
from ...record.sections.reading_lists import is_published
from ...report.amount import Amount, Origin
from ...report.digest import Brief, Compared, Digest, remaining
from ...report.sentence import Judged, Phrase
from ...report.verdict import Verdict
from .say import standouts

if TYPE_CHECKING:
    from ...words import Words
    from ..bench import Bench
    from .findings import SupplyFindings, Working

_CASES = "rectifier-cases"
_SAME = 0.0005
_LINES_APART = 0.02
_B_PLUS, _RIPPLE = 40, 50
"""Ranks among the figures at the top of the record."""


def digest(findings: SupplyFindings, bench: Bench) -> Digest:
    """One paragraph at the nominal line; what is lacking where nothing could be computed."""
    nominal = findings.nominal
    brief = Brief(tuple(_compared(findings, bench)), remains=remaining(tuple(standouts(findings, bench))))
    if findings.refused:
        why = f"{bench.words.b_plus}, ripple and rectifier current are not computed: {findings.refused}."
        return Digest((why,), half=True)
    if findings.lacks or nominal is None:
        lacks = ", and ".join(findings.lacks)
        return Digest(
            (f"{bench.words.b_plus}, ripple and rectifier current cannot be computed yet: it would need {lacks}.",),
            half=True,
        )
    said = (*_makes(findings, nominal, bench), *_peaks(findings, nominal), *_read(findings, nominal, bench.words))
    silicon = ", silicon" if findings.silicon else ""
    return Digest(said, working=f"{bench.words.line.capitalize()} swing{silicon}, loads", half=True, brief=brief)


def _volts(volts: float, digits: int | None = None) -> Amount:
    return Amount(volts, "V", Origin.COMPUTED, digits=digits, anchor=_CASES)


def _makes(findings: SupplyFindings, nominal: Working, bench: Bench) -> Phrase:
    first, last = nominal.rails[0], nominal.rails[-1]
    said: Phrase = (
        f"With the {bench.words.line} at {Amount(nominal.line_volts, 'V').text}, {findings.rectifier} makes ",
        _volts(first.volts), " with ", _volts(first.ripple_volts, 2), " of ripple at the first capacitor",
    )  # fmt: skip
    if last is first:
        return (*said, ". ")
    with_ripple = " with at most " if last.ripple_at_most else " with "
    return (*said, " and ", _volts(last.volts), with_ripple, _volts(last.ripple_volts, 2), " at the last. ")


def _peaks(findings: SupplyFindings, nominal: Working) -> Phrase:
    """The peaks of its current; beyond their limit at the highest line is beyond it."""
    peaks = ("Its current peaks at ", Amount(nominal.peak_amps, "A", Origin.COMPUTED, digits=2, anchor=_CASES))
    if findings.peak_limit_amps is None:
        return (*peaks, ".")
    limit = Amount(findings.peak_limit_amps, "A", Origin.PUBLISHED)
    if findings.agrees is False:
        return (*peaks, "; its limit is ", limit, ", and as the computed ", nominal.rails[0].rail, " does not agree ",
                Judged(Verdict.UNKNOWN, ("it is not held against it",)), ".")  # fmt: skip
    over = [working for working in findings.working if working.over_peak]
    if not over:
        return (*peaks, ", ", Judged(Verdict.GOOD, ("within",)), " its limit of ", limit, ".")
    worst = max(over, key=lambda working: working.peak_amps)
    at: Phrase = ()
    if worst.line_volts != nominal.line_volts:
        highest = Amount(worst.peak_amps, "A", Origin.COMPUTED, digits=2, anchor=_CASES)
        at = (f", at {Amount(worst.line_volts, 'V').text} at ", highest)
    return (*peaks, *at, ", ", Judged(findings.peak_verdict(worst), ("over its limit of ", limit)), ".")


def _read(findings: SupplyFindings, nominal: Working, words: Words) -> Phrase:
    """How the B+ that was read agrees with what is computed for its line."""
    off, read = findings.computed_against_read, findings.read_volts[0] if findings.read_volts else None
    if off is None or read is None:
        return ()
    volts = Amount(read, "V", Origin.MEASURED)
    share = Amount(abs(off), "1", Origin.COMPUTED, digits=1 if abs(off) < 0.1 else 2, anchor=_CASES)
    by: Phrase = (share, " above it" if off > 0 else " below it")
    said: Phrase = (
        f" {nominal.rails[0].rail} was read as ",
        volts,
        f"; what is computed for its {words.line} is ",
    )
    if findings.agrees is False:
        return (*said, Judged(Verdict.WATCH, by), ".")
    return (*said, *by, ".") if abs(off) >= _SAME else (*said, "the same.")


def _compared(findings: SupplyFindings, bench: Bench) -> Iterator[Compared]:
    """B+ and ripple before and after, where they differ; a reading stands beside what is computed.

    B+ that was read before and after stands as read: what is computed for before has the load of now.
    """
    now, before = findings.nominal, findings.before
    if now is None:
        return
    read = findings.read_volts[0] if findings.read_volts else None
    rail = now.rails[0]
    held: Phrase = ("read as ", Amount(read, "V", Origin.MEASURED)) if read is not None else ()
    label = f"{rail.rail} at {Amount(now.line_volts, 'V').text}"
    if findings.agrees is False and read is not None:
        # What does not agree is no headline: what was read is.
        said: Phrase = ("computed ", _volts(rail.volts), ", which does not agree")
        yield Compared(_B_PLUS, f"{rail.rail}, read", (), (Amount(read, "V", Origin.MEASURED),), said)
    elif read is not None and (first := _read_before(findings, rail.rail, bench)) is not None:
        read_before, lines = first
        was, is_now = (Amount(volts, "V", Origin.MEASURED) for volts in (read_before, read))
        at = f" at {Amount(now.line_volts, 'V').text}"
        on = f" at {' and '.join(Amount(volts, 'V').text for volts in lines)}" if lines else ""
        yield Compared(_B_PLUS, f"{rail.rail}, read{on}", (was,), (is_now,), ("computed ", _volts(rail.volts), at))
    elif before is not None and (pair := _pair(before.rails[0].volts, rail.volts, None)):
        yield Compared(_B_PLUS, label, *pair, held)
    elif read is not None:
        yield Compared(_B_PLUS, label, (), (_volts(rail.volts),), held)
    if before is not None and (pair := _pair(before.rails[0].ripple_volts, rail.ripple_volts, 2)):
        yield Compared(_RIPPLE, f"Ripple at {rail.part}, peak to peak", *pair, ("computed",))


def _read_before(findings: SupplyFindings, name: str, bench: Bench) -> tuple[float, tuple[float, ...]] | None:
    """What was read of the rail in the first list of the set's own, to the same point; None where it has none.

    With it the lines of that list and of the newest, where these are not about the same.
    """
    circuit, runs = bench.circuit, bench.record.readings
    own = [str(one) for one, run in runs.items() if not (is_published(str(one), run) or run.from_)]
    if not own or own[0] == findings.read_in or findings.read_in not in own:
        return None
    to = {str(run.to or "") for one, run in runs.items() if str(one) in (own[0], findings.read_in)}
    volts = circuit.direct_volts[own[0]].get(circuit.network.point(circuit.places.read(name)))
    if len(to) != 1 or not volts or volts <= 0:
        return None
    lines = [line_of(circuit, one) for one in (own[0], findings.read_in)]
    apart = [line for line in lines if line]
    return volts, tuple(apart) if len(apart) == 2 and abs(apart[0] / apart[1] - 1) > _LINES_APART else ()


def _pair(before: float, after: float, digits: int | None) -> tuple[Phrase, Phrase] | None:
    """Both sides, where they do not look the same."""
    one, other = _volts(before, digits), _volts(after, digits)
    return None if one.text == other.text else ((one,), (other,))
