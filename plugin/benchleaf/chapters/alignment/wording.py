"""An alignment in one run of words, as it stands at its day."""

from __future__ import annotations

import re

from ...record.decibels import say_decibels
from ...report.amount import Amount, Origin
from ...report.prose import as_prose, prose
from ...report.sentence import Cited, Note, Phrase, PhrasePart, listed
from ...report.source import DECIBELS
from .findings import AdjustedStep, AlignmentSession

MOST_STEPS = 4
"""Steps told one by one; of more the first and the last are told, with how many there were."""
_INTO = re.compile(r"(?:into|in|onto|on|at|to|by|via|near|with|through|from|across|loosely)\b", re.I)


def session_in_short(session: AlignmentSession) -> Phrase:
    """Each step with what it brought, then how the signal was fed in and read."""
    steps = [_step(step, session.meter) for step in session.steps]
    if len(steps) > MOST_STEPS:
        steps = [steps[0], (f"in {len(steps)} steps to ", *steps[-1])]
    told: list[PhrasePart] = [*listed(steps, "; ")]
    if any(step.gain_db is not None for step in session.steps):
        told.append(Cited(DECIBELS))
    fed = [
        _tail("Generator " if _INTO.match(session.generator) else "Generator: ", session.generator),
        _tail("Read at ", _meter_left(session)),
        _note(session.note),
    ]
    for words in filter(None, fed):
        told += [". " if told else "", *words]
    return tuple(told)


def _meter_left(session: AlignmentSession) -> str:
    """What was read, where no step says it before its readings."""
    return "" if any(_by_the_meter(step) for step in session.steps) else session.meter


def _by_the_meter(step: AdjustedStep) -> bool:
    """Whether what was read before and after is the meter's: a frequency is where a circuit stood."""
    return bool(step.before_typed or step.after_typed) and step.unit != "Hz" and not step.for_output


def _tail(head: str, text: str) -> Phrase:
    return (head, *as_prose(text)) if text else ()


def _note(text: str) -> Phrase:
    return (Note(text),) if text else ()


def _step(step: AdjustedStep, meter: str) -> Phrase:
    told: list[PhrasePart] = [*(step.frequency.as_read(Origin.STATED) if step.frequency else ())]
    if step.wavelength:
        told += [", " if told else "", *as_prose(step.wavelength)]
        told += [" (", Amount(step.frequency_hertz, "Hz", Origin.COMPUTED, digits=4), ")"]
    if step.adjust:
        told += [", " if told else "", *prose(step.linked)]
    told += _brought(step, step.meter or meter)
    if step.note:
        told += ["; ", Note(step.note)]
    return tuple(told)


def fed_in(step: AdjustedStep) -> Phrase:
    """Where a step's signal went in and through what, in the step's own words."""
    told: list[PhrasePart] = [*as_prose(step.generator)]
    for head, text in (("into ", step.into), ("through ", step.through)):
        if text:
            told += [" " if told and head == "through " else ", " if told else "", head, *as_prose(text)]
    return tuple(told)


def _brought(step: AdjustedStep, meter: str) -> list[PhrasePart]:
    before = step.before_typed.as_read(Origin.MEASURED) if step.before_typed else ()
    after = step.after_typed.as_read(Origin.MEASURED) if step.after_typed else ()
    if not before and not after:
        return []
    by = "generator " if step.for_output else f"{meter} " if meter and _by_the_meter(step) else ""
    told: list[PhrasePart] = [": ", by, *before, " → " if after else "", *after]
    told += [" for ", *as_prose(step.for_output)] if step.for_output else []
    told += [f", {say_decibels(step.gain_db, signed=True)}"] if step.gain_db is not None else []
    return told
