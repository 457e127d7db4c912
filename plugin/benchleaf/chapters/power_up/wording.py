"""A power-up and a reforming in one run of words, as they stand at their day."""

from __future__ import annotations

from collections.abc import Sequence

from ...report.amount import Amount, Origin
from ...report.prose import EVERY, as_prose, prose
from ...report.sentence import Judged, Note, Phrase, PhrasePart, listed
from ...report.verdict import Verdict
from .findings import LOOK_AGAIN, NOT_MEASURED, ColdCheck, RaisedLine, RaisedStep, ReformedPart, ReformingStep, SoakTest

MOST_STEPS = 3
"""Steps told one by one; of more the first and the last are told, with how many there were."""


def cold_in_short(checks: Sequence[ColdCheck]) -> Phrase:
    """The cold checks of one day: how many were read, and which are to be looked at again."""
    read = [check for check in checks if check.verdict != NOT_MEASURED]
    told: list[PhrasePart] = [f"{len(read)} cold check{'' if len(read) == 1 else 's'}"]
    again = [check for check in read if check.open]
    past = [check for check in read if check.replaced]
    if not again and not past:
        return (*told, ", as expected") if all(check.verdict for check in read) else tuple(told)
    marked = ((again, Judged(Verdict.WATCH, (LOOK_AGAIN,))), (past, Judged(Verdict.PUT_RIGHT, ("was off",))))
    off = [(mark, ": ", *listed([_cold(check) for check in checks], "; ")) for checks, mark in marked if checks]
    return (*told, "; ", *listed(off, "; "))


def _cold(check: ColdCheck) -> Phrase:
    read = check.read.as_read(Origin.MEASURED) if check.read else ()
    return (*as_prose(check.of), " ", *read)


def session_in_short(session: RaisedLine) -> Phrase:
    """How the line was raised: by what, and each step with what was read."""
    head: Phrase = (f"{session.using}: ",) if session.using else ()
    steps = [_step(step) for step in session.steps]
    told: list[PhrasePart] = [*head, *listed(_few(steps), "; ")]
    if session.soak:
        told += ["; " if steps else "", *soak_in_short(session.soak)]
    if session.note:
        told += ["; " if steps or session.soak else "", Note(session.note)]
    return tuple(told)


def soak_in_short(soak: SoakTest) -> Phrase:
    """How long it ran, on what line, and how warm the warmest was."""
    told: list[PhrasePart] = ["soaked"]
    told += [" ", *soak.time.as_read(Origin.MEASURED)] if soak.time else []
    read = [typed.as_read(Origin.MEASURED) for typed in (soak.line, soak.amps) if typed]
    told += [", ", *listed(read, " ")] if read else []
    told += [" ", Judged(Verdict.WATCH, (soak.verdict,))] if soak.verdict in ("low", "high") else []
    above = [each for each in soak.warmth if each.above_room_kelvins is not None]
    if above:
        warmest = max(above, key=lambda each: each.above_room_kelvins or 0.0)
        told += [", ", *as_prose(warmest.of), f" {warmest.rise} above the room"]
    return tuple(told)


def _few(steps: list[Phrase]) -> list[Phrase]:
    if len(steps) <= MOST_STEPS:
        return steps
    return [steps[0], (f"in {len(steps)} steps to ", *steps[-1])]


def _step(step: RaisedStep) -> Phrase:
    told = [typed.as_read(Origin.MEASURED) for typed in (step.line, step.amps) if typed]
    out: list[PhrasePart] = [*listed(told, " ")]
    if step.read:
        out += [", " if out else "", *as_prose(step.read, read=EVERY)]
    if step.after:
        out += [" after ", *step.after.as_read(Origin.STATED)]
    if step.note:
        out += ["; " if out else "", Note(step.note)]
    return tuple(out)


def reforming_in_short(part: ReformedPart) -> Phrase:
    """How one capacitor was reformed, and what its current came to."""
    told: list[PhrasePart] = [*prose(part.linked), " reformed"]
    if part.to:
        told += [" to ", *as_prose(part.to)]
    steps = [_reading(step) for step in part.steps]
    few = steps if len(steps) <= MOST_STEPS else [steps[0], steps[-1]]
    if few:
        told += [": ", *listed(few, "; ")]
    if part.of_first is not None:
        told += [", ", Amount(part.of_first, "1", Origin.COMPUTED, digits=2), " of the first"]
        told += [" ", Judged(Verdict.WATCH, ("rising",))] if part.of_first > 1 else []
    if part.note:
        told += ["; ", Note(part.note)]
    return tuple(told)


def _reading(step: ReformingStep) -> Phrase:
    out: list[PhrasePart] = [*step.current.as_read(Origin.MEASURED)] if step.current else []
    if step.at:
        out += [" at ", *step.at.as_read(Origin.MEASURED)]
    if step.after and step.after.si == 0:
        out.append(" at the start")
    elif step.after:
        out += [" after ", *step.after.as_read(Origin.STATED)]
    if step.note:
        out += [", ", Note(step.note)]
    return tuple(out)
