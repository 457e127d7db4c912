"""What it comes to, in sentences."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from ...report.amount import Amount, Origin
from ...report.digest import words_in
from ...report.prose import capitalised, prose
from ...report.sentence import Link, Phrase, PhrasePart, Sentence
from ...report.verdict import Verdict
from ..bench import Bench
from .findings import FaultsFindings, Trail, TrailEvidence

MOST_WORDS = 30
"""Words of one line at the top of the record."""


@dataclass(frozen=True, slots=True)
class ToldLine:
    """A fault in one line. ``whole`` says that nothing the writer has of it was left out."""

    phrase: Phrase
    whole: bool


def standouts(findings: FaultsFindings, bench: Bench) -> list[Sentence]:
    """Faults for which no cure is written."""
    return [
        Sentence(Verdict.OPEN, (*head, ": no cure is written yet."), "faults")
        for trail in findings.trails
        if not trail.cured and (head := capitalised(_head(trail)))
    ]


def line(trail: Trail) -> ToldLine:
    """Complaint, cause with what was measured of it, what was found, cure: as much of it as ``MOST_WORDS`` hold."""
    kept = trail.on_its_day or not trail.cured
    wanted_cure = () if trail.on_its_day else _said(trail, "cure")
    for evidence, found, cure in ((1, 1, 1), (0, 1, 1), (1, 1, 0), (0, 1, 0), (1, 0, 0), (0, 0, 0)):
        told = _sentence(trail, evidence=bool(evidence), found=bool(found), cure=wanted_cure if cure else ())
        if words_in(told) <= MOST_WORDS:
            all_steps = bool(found or not trail.step("found")) and bool(cure or kept)
            return ToldLine(told, all_steps and not trail.note and (trail.on_its_day or not trail.date))
    return ToldLine(_shortened(_sentence(trail, evidence=False, found=False, cure=())), whole=False)


def _shortened(told: Phrase) -> Phrase:
    """The first ``MOST_WORDS`` of a line that is too long: a fault is shortened, never left out."""
    kept: list[PhrasePart] = []
    left = MOST_WORDS
    for part in told:
        words = words_in((part,))
        if words > left:
            begin = re.match(rf"\s*(?:\S+\s+){{{left}}}", part) if isinstance(part, str) and left else None
            kept.append(f"{begin[0].rstrip(' ,;:')} …" if begin else "…")
            break
        kept.append(part)
        left -= words
    return tuple(kept)


def _sentence(trail: Trail, *, evidence: bool, found: bool, cure: Phrase) -> Phrase:
    head = _head(trail)
    after: list[Phrase] = [_with_evidence(trail) if evidence else _said(trail, "cause")] if trail.step("cause") else []
    if found and trail.step("found") and trail.step("complaint"):
        after = [] if _begins_with_cause(trail) and not (evidence and trail.evidence) else after
        with_it = evidence and not trail.step("cause")
        after.append(_with_evidence(trail) if with_it else _said(trail, "found"))
    told: list[PhrasePart] = [*head]
    for place, phrase in enumerate(after):
        told += [": " if place == 0 and head else "; " if place else "", *phrase]
    told.append(".")
    if cure:
        told += [" ", *capitalised(cure), "."]
    return capitalised(tuple(part for part in told if part))


def _begins_with_cause(trail: Trail) -> bool:
    """Whether the cause is a name alone and what was found begins with it: ``R13`` and ``R13 open, a car lamp …``."""
    cause, found = _said(trail, "cause"), _said(trail, "found")
    return len(cause) == 1 and isinstance(cause[0], Link) and cause[0] == found[0]


def _head(trail: Trail) -> Phrase:
    """What the fault is known by: its complaint, or else what was found."""
    return _said(trail, "complaint") or _said(trail, "found")


def _said(trail: Trail, name: str) -> Phrase:
    step = trail.step(name)
    return prose(step.linked, read=trail.read) if step else ()


def _with_evidence(trail: Trail) -> Phrase:
    """The cause, or what was found, with what was measured of each culprit behind its name."""
    told: list[PhrasePart] = []
    waiting = {one.name: one for one in trail.evidence}
    for part in _said(trail, "cause") or _said(trail, "found"):
        told.append(part)
        one = waiting.pop(part.text, None) if isinstance(part, Link) else None
        if one is not None:
            told += [" (", *_measured(one), ")"]
    return tuple(told)


def _measured(one: TrailEvidence) -> Iterator[PhrasePart]:
    if one.what == "condition":
        yield one.word
        return
    if one.what == "ESR":
        yield "ESR "
    digits = 2 if one.what == "emission" else None
    yield Amount(one.value, one.unit, Origin.MEASURED, digits=digits)
    if one.at_volts is not None:
        yield " at "
        yield Amount(one.at_volts, "V", Origin.MEASURED)
    if one.what == "emission":
        yield " emission"
