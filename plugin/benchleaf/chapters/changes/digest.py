"""The chapter in short: a paragraph a change, with what it gains where that can be computed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from ...record.decibels import say_decibels
from ...record.units import say
from ...report.amount import Origin
from ...report.digest import Brief, Digest, remaining
from ...report.sentence import Link, Note, Phrase, PhrasePart, Sentence, Styled, listed
from ...report.verdict import Verdict
from ..parts.component_words import component
from .say import standouts

if TYPE_CHECKING:
    from ..bench import Bench
    from .findings import AtFrequency, ChangeFindings, ChangesFindings

MOST_TOLD = 3


def digest(findings: ChangesFindings, bench: Bench) -> Digest:
    """The first three changes; of more it says how many the page holds."""
    first, *others = [_told(change) for change in findings.changes[:MOST_TOLD]]
    left_out = len(findings.changes) - MOST_TOLD
    return Digest(
        first,
        more=tuple(others),
        small=(f"And {left_out} more on the page of the changes.",) if left_out > 0 else (),
        working="Impedance over frequency" if any(c.at for c in findings.changes) else "Every change as written",
        half=True,
        brief=Brief(
            done=(Sentence(Verdict.PLAIN, _done(findings), findings.changes[0].anchor),),
            remains=remaining(tuple(standouts(findings, bench))),
        ),
    )


def _told(change: ChangeFindings) -> Phrase:
    said: list[PhrasePart] = [change.name]
    said += [f", {change.date.isoformat()}"] if change.date else []
    said += [": ", *listed(_pieces(change), "; ")]
    said += [". ", Note(change.why)] if change.why else []
    return (*said, ".", *_gains(change))


def _pieces(change: ChangeFindings) -> Iterator[Phrase]:
    where = f" across {change.across}" if change.across else ""
    where = where or (f" between {' and '.join(change.between)}" if change.between else "")
    if change.added:
        added = [component(replace(seen, esl_henries=None, leads_metres=None)) for seen in change.added]
        yield (*listed(added, ", ", " and "), where, " added")
    if change.removed:
        yield (f"{change.removed} removed",)
    if not change.added and not change.removed:
        yield (f"not described{where}",)


def _gains(change: ChangeFindings) -> Phrase:
    """By how much it lowers the impedance, where that is most and where it is least."""
    known = [at for at in change.at if at.gain_decibels is not None]
    if not known:
        return ()
    most, least = max(known, key=_gain), min(known, key=_gain)
    sure = " at most" if change.across_esr_assumed else ""
    said: list[PhrasePart] = [f" It lowers the impedance there by{sure} ", *_at(change, most)]
    said += [*_and_least(change, least)] if most is not least else []
    assumed = say(change.across_esr_ohms, "ohm", digits=2)
    said += ["; ", Styled((f"ESR of {change.across} {assumed}",), Origin.ASSUMED)] if change.across_esr_assumed else []
    return (*said, ".")


def _and_least(change: ChangeFindings, least: AtFrequency) -> Phrase:
    if round(_gain(least), 1) == 0:
        nothing = Link("nothing", f"{change.anchor}-impedance", Origin.COMPUTED)
        return (", and changes ", nothing, f" at {say(least.hertz, 'Hz')} ({least.what})")
    return (" and by ", *_at(change, least))


def _gain(at: AtFrequency) -> float:
    return at.gain_decibels or 0.0


def _at(change: ChangeFindings, at: AtFrequency) -> Phrase:
    decibels = Link(say_decibels(_gain(at)), f"{change.anchor}-impedance", Origin.COMPUTED)
    return decibels, f" at {say(at.hertz, 'Hz')} ({at.what})"


def _done(findings: ChangesFindings) -> str:
    """``C21 added across C12 b.``"""
    names = [change.name for change in findings.changes]
    if len(names) > 1:
        more = f" and {len(names) - MOST_TOLD} more" if len(names) > MOST_TOLD else ""
        return f"{len(names)} changes to the circuit: {', '.join(names[:MOST_TOLD])}{more}."
    change = findings.changes[0]
    verb = "added" if change.added else "removed" if change.removed else "changed"
    return f"{change.name} {verb}{f' across {change.across}' if change.across else ''}."
