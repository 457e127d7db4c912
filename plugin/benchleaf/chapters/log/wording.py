"""What was done on a day, and what came of it, in words."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...report.amount import Amount, Origin, bound_words
from ...report.anchors import part_anchor, tube_anchor
from ...report.prose import as_prose, prose
from ...report.sentence import Link, Note, Phrase, PhrasePart, listed
from ..alignment.wording import session_in_short as aligned_in_short
from ..line_side.wording import part_words
from ..power_up.wording import cold_in_short, reforming_in_short
from ..power_up.wording import session_in_short as raised_in_short
from .findings import Events, LoggedDay, Sitting

_DONE = re.compile(r"[a-z]\w*ed\b")
"""A cure that begins with what was done: ``replaced``, ``cleaned with paper``."""

if TYPE_CHECKING:
    from ...words import Words
    from ..changes.findings import ChangeFindings
    from ..faults.findings import Trail
    from ..line_side.measured import MeasuredInsulation, MeasuredTouch
    from ..line_up.findings import Exchange, ExchangedTube
    from ..readings.findings import RunFindings


def work(day: LoggedDay) -> Phrase:
    """What the log says was done; on a day without a sitting, what the rest of the record says."""
    if day.sitting is not None:
        return _sitting(day.sitting)
    told = [
        *(("parts fitted",) for _ in day.events.fitted[:1]),
        *(("parts removed",) for _ in day.events.removed[:1]),
        *(("fault cured",) for _ in day.events.cured[:1]),
        *((Link(each.tube, tube_anchor(each.tube)), " exchanged") for each in day.events.exchanged),
        *((*_change(each), " added") for each in day.events.added),
        *(("cold checks",) for _ in day.events.checked[:1]),
        *(("power-up",) for _ in day.events.raised[:1]),
        *(("reforming",) for _ in day.events.reformed[:1]),
        *(("aligned",) for _ in day.events.aligned[:1]),
    ]
    return listed(told)


def _sitting(sitting: Sitting) -> Phrase:
    by: Phrase = (f"{sitting.by}: ",) if sitting.by else ()
    return (*by, *prose(sitting.linked))


def came_of_it(day: LoggedDay) -> tuple[Phrase, ...]:
    """Everything else that the record has of the day, a line each."""
    return tuple(line for line in _lines(day.events, alone=day.sitting is None) if line)


def _lines(events: Events, *, alone: bool) -> Iterator[Phrase]:
    yield listed((Link(name, part_anchor(name)),) for name in events.fitted)
    yield (*listed((Link(name, part_anchor(name)),) for name in events.removed), " removed") if events.removed else ()
    yield from (_cured(trail) for trail in events.cured)
    yield from (_exchange(each, named=not alone) for each in events.exchanged)
    yield from (_added(each, named=not alone) for each in events.added)
    yield cold_in_short(events.checked) if events.checked else ()
    yield from map(raised_in_short, events.raised)
    yield from map(reforming_in_short, events.reformed)
    yield from map(aligned_in_short, events.aligned)


def rest_of_day(day: LoggedDay, words: Words) -> tuple[Phrase, ...]:
    """What only the chapter's page tells of a day, a line each: arrival, other days of parts, what was read."""
    events = day.events
    lines: list[Phrase] = [("came in",)] if events.arrived else []
    for done, names in events.handled:
        lines.append((*listed((Link(name, part_anchor(name)),) for name in names), f" {done}"))
    lines += [_read(run) for run in events.read]
    lines += [_touched(one, words) for one in events.touched]
    lines += [_insulated(one) for one in events.insulated]
    lines += [("finished",)] if events.finished else []
    return tuple(lines)


def _read(run: RunFindings) -> Phrase:
    """A list of readings, and how many of it are as they should be."""
    if run.compared:
        return ("Voltages, ", Link(run.name, run.anchor), f": {run.within} of {run.compared} within tolerance")
    places = f"{run.read} place{'' if run.read == 1 else 's'} read"
    return ("Voltages, ", Link(run.name, run.anchor), f": {places}" if run.read else "")


def _touched(one: MeasuredTouch, words: Words) -> Phrase:
    """A touch current or voltage, at which part, and how the plug and switch stood."""
    plug = f", plug {one.plug}" if one.plug else ""
    switch = f", switch {one.switch}" if one.switch else ""
    beside = one.volts or one.amps
    measured, bound = (beside.measured, beside.bound) if beside else (None, "")
    return (
        Link(f"{part_words(one.part, words)} to {words.earth}", "line-side"),
        f"{plug}{switch}: ",
        Amount(measured, "V" if one.volts else "A", Origin.MEASURED, bound=bound),
        f" {one.across_words}",
    )


def _insulated(one: MeasuredInsulation) -> Phrase:
    at: Phrase = (" at ", Amount(one.test_volts, "V", Origin.STATED)) if one.test_volts is not None else ()
    bound = bound_words(one.measured_qualifier)
    return (
        Link(f"insulation, {one.between}", "line-side"),
        ": ",
        Amount(one.measured_ohms, "ohm", Origin.MEASURED, bound=bound),
        *at,
    )


def _cured(trail: Trail) -> Phrase:
    head, cure = trail.step("complaint") or trail.step("found") or trail.step("cause"), trail.step("cure")
    said = prose(head.linked) if head else ()
    return (*said, ": " if said else "", *_what_was_cured(trail), *prose(cure.linked if cure else ()))


def _what_was_cured(trail: Trail) -> Phrase:
    """The one part that was the cause, before a cure that says only what was done: ``C7 replaced``."""
    cause, cure = trail.step("cause"), trail.step("cure")
    told = prose(cure.linked) if cure else ()
    links = [part for part in (prose(cause.linked) if cause else ()) if isinstance(part, Link)]
    bare = bool(told) and isinstance(told[0], str) and _DONE.match(told[0]) is not None
    return (links[0], " ") if bare and len(links) == 1 and links[0] not in told else ()


def _exchange(each: Exchange, *, named: bool) -> Phrase:
    told: list[PhrasePart] = [Link(each.tube, tube_anchor(each.tube)), ": "] if named else []
    same = each.was is not None and each.now is not None and each.was.type == each.now.type
    why: list[PhrasePart] = [", ", *as_prose(each.why)] if each.why else []
    told += [*_side(each.was, ""), *why] if each.was else []
    if each.now:
        after = "" if each.was is None else "; " if why else ", "
        told += [f"{after}now ", *_side(each.now, each.now.type if same else "")]
    told += () if each.was else why
    told += ["; ", Note(each.note)] if each.note else []
    return tuple(told)


def _side(side: ExchangedTube, left_out: str) -> list[PhrasePart]:
    """One side of an exchange; its type is left out where it is that of the other side."""
    told: list[PhrasePart] = [] if side.type == left_out and side.emission_typed else [side.type]
    if side.emission_typed:
        told += [" at " if told else "", *side.emission_typed.as_read(Origin.MEASURED), " emission"]
    told += [" (", Note(side.note), ")"] if side.note else []
    return told


def _change(change: ChangeFindings) -> Phrase:
    return (Link(change.name, change.anchor),)


def _added(change: ChangeFindings, *, named: bool) -> Phrase:
    """What was added across what; why is told with the changes."""
    told: list[PhrasePart] = [*_change(change), " added"] if named else []
    told += [f" across {change.across}" if told else f"across {change.across}"] if change.across else []
    told += [f" removed: {change.removed}" if told else f"removed: {change.removed}"] if change.removed else []
    return tuple(told)
