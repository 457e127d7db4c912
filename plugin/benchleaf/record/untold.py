"""What a record does not tell that the next person will want: a list by how far the work has come, never a grade.

Held against the American Institute for Conservation's Guidelines for Practice, Commentaries 24 to 28: examination
before treatment, what is intended, dated actions and by whom, what was added and what removed, departures from the
plan, pictures before, during and after, state after treatment, advice for keeping. The wording is ours.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from .problems import one_of
from .progress import FINISHED, ON_THE_BENCH, STATES
from .sections.list_names import day_of, measured_runs

if TYPE_CHECKING:
    from ..words import Words
    from .model import Record
    from .sections.parts import Part

_MOST_NAMES = 4
_BEGUN = (ON_THE_BENCH, FINISHED)


@dataclass(frozen=True, slots=True)
class Untold:
    """One thing that is not told: ``what`` it is, ``why`` the next person wants it, and the line to ``write`` it in."""

    what: str
    why: str
    write: str


@dataclass(frozen=True, slots=True)
class _AskedFor:
    """One row of the list: the ``section`` it stands in, whether it ``is_told``, and the ``states`` it is asked in."""

    section: str
    is_told: bool
    states: tuple[str, ...]
    untold: Untold


def untold(record: Record, words: Words) -> list[Untold]:
    """What is not told, in the order of the work. A record that does not say its state is read like a finished one.

    What may stand in a line that was not understood is not asked for.
    """
    state = str(record.state or FINISHED)
    wanted = (*_as_it_came(record, words), *_what_was_done(record), *_as_it_went(record, words))
    return [
        row.untold for row in wanted if state in row.states and not row.is_told and not record.lost.touches(row.section)
    ]


def _as_it_came(record: Record, words: Words) -> Iterator[_AskedFor]:
    complaint = Untold(
        "what was complained of, or its state when it came",
        "the same complaint of another set leads here",
        "faults:\n  - complaint: hum after ten minutes",
    )
    fitted = Untold(
        f"which {words.tubes} are in it",
        "it is the first thing looked up",
        f"{words.tubes}:\n  V1: 12BE6, frequency changer",
    )
    before = Untold(
        "pictures from before the work",
        "nobody can take them afterwards",
        "photos:\n  under the chassis: before photos/under-before.jpg",
    )
    read = Untold(
        "what it read as found",
        "the readings after the work mean little without it",
        "readings:\n  2026-02-22 as found:\n    V4: grid 2.4, cathode 7.4",
    )
    parts = Untold(
        "which parts were looked at, and what is intended",
        "it tells a part that is sound from one that nobody tried",
        "parts:\n  C1: to do, 0.05 uF 400 V paper",
    )
    by = Untold("who did the work", "the next person may want to ask", "by: R. Alder")
    came = Untold("when the set came in", "it dates all that was found", "came in: 2026-02-21")
    yield _AskedFor("by", bool(record.by), STATES, by)
    yield _AskedFor("came in", bool(record.came_in), STATES, came)
    yield _AskedFor("faults", any(fault.complaint for fault in record.faults), STATES, complaint)
    yield _AskedFor("tubes", bool(record.tubes), STATES, fitted)
    yield _AskedFor("photos", "before" in _stages(record), STATES, before)
    yield _AskedFor("readings", bool(_days_read(record)), _BEGUN, read)
    yield _AskedFor("parts", bool(record.parts), _BEGUN, parts)


def _what_was_done(record: Record) -> Iterator[_AskedFor]:
    new = {str(name): part for name, part in record.parts.items() if _new(part)}
    no_day = [name for name, part in new.items() if not (part.fitted or _is_out(part) or _on_a_day(name, record))]
    no_old = [name for name, part in new.items() if not (part.was or any(s.was for s in part.sections.values()))]
    reasons = not new or any(part.why for part in new.values())
    originals = not new or any(part.original or any(c.restuffed for c in part.now) for part in new.values())
    days = Untold(
        "what was done on which day",
        "a fault that comes back is found by what was touched last",
        "log:\n  - 2026-03-01, 3 h, replaced the paper capacitors",
    )
    fitted = Untold("what was put in", "new parts must be told from old ones", "parts:\n  C7: now 10 nF 630 V film")
    day = Untold(
        f"the day {_few(no_day)} went in",
        "it parts the readings before it from those after",
        f"parts:\n  {_first(no_day)}:\n    fitted: 2026-03-01",
    )
    old = Untold(
        f"what {_few(no_old)} replaced",
        "what was taken out cannot be looked at any more",
        f"parts:\n  {_first(no_old)}:\n    was: 0.01 uF 400 V paper, measured 13.6 nF",
    )
    reason = Untold(
        "why parts were replaced",
        "it tells a part that had failed from one changed with the rest",
        f"parts:\n  {_first(new)}:\n    why: leaky",
    )
    kept = Untold(
        "where the original parts went",
        "only with them can the work be undone",
        f"parts:\n  {_first(new)}:\n    original: in a bag inside the cabinet",
    )
    during = Untold(
        "pictures of what is hidden again",
        "nobody will open it just to look",
        f"photos:\n  {_hidden(record)}",
    )
    yield _AskedFor("log", any(entry.date for entry in record.log), _BEGUN, days)
    yield _AskedFor("parts", bool(new) or _only_kept(record), (FINISHED,), fitted)
    yield _AskedFor("parts", not no_day, (FINISHED,), day)
    yield _AskedFor("parts", not no_old, (FINISHED,), old)
    yield _AskedFor("parts", reasons, (FINISHED,), reason)
    yield _AskedFor("parts", originals, (FINISHED,), kept)
    yield _AskedFor("photos", "during" in _stages(record), _BEGUN, during)


def _as_it_went(record: Record, words: Words) -> Iterator[_AskedFor]:
    last = max((part.fitted for part in record.parts.values() if part.fitted), default=None)
    read_after = any(last is None or day >= last for day in _days_read(record) if day)
    side = record.line_side
    otherwise = bool(record.note or record.changes or any(fault.ruled_out for fault in record.faults))
    plan = Untold(
        "what went otherwise than intended",
        "a dead end is worth as much as a cure",
        "note: the can could not be opened, so the new parts sit below it",
    )
    state = Untold(
        "its state after the work, measured",
        "a later change shows only against it",
        "results:\n  hum at the speaker: before 38 mV, after 3.1 mV",
    )
    touched = Untold(
        f"what was measured between the {words.line} and what a hand can touch",
        "a meter also sees what nobody thought of",
        "line side:\n  measured:\n    - 2026-03-20, insulation line to chassis, 120 meg at 500 V",
    )
    after = Untold(
        "pictures from after the work",
        "they show the next person what is new",
        "photos:\n  under the chassis: after photos/under-after.jpg",
    )
    finished = Untold("when it was finished", "what was measured ages from that day", "finished: 2026-03-28")
    advice = Untold(
        "advice for keeping and use", "its owner may have nobody to ask", "advice: Play it an hour every few months."
    )
    yield _AskedFor("note", otherwise, (FINISHED,), plan)
    yield _AskedFor("results", bool(record.results) or read_after, (FINISHED,), state)
    yield _AskedFor("line side", side is None or bool(side.measured), (FINISHED,), touched)
    yield _AskedFor("photos", "after" in _stages(record), (FINISHED,), after)
    yield _AskedFor("finished", bool(record.finished), (FINISHED,), finished)
    yield _AskedFor("advice", bool(record.advice), (FINISHED,), advice)


def _new(part: Part) -> bool:
    return bool(part.now or any(section.now for section in part.sections.values()))


def _is_out(part: Part) -> bool:
    """Whether it was taken out, so that nothing went in."""
    now = [*part.now, *(one for section in part.sections.values() for one in section.now)]
    return all(str(one.condition or "") == "none" for one in now)


def _on_a_day(name: str, record: Record) -> bool:
    """Whether a day of the log tells of it."""
    named = re.compile(rf"(?<![\w.+-]){re.escape(name)}(?![\w+-])")
    return any(entry.date and named.search(str(entry.did or "")) for entry in record.log)


def _hidden(record: Record) -> str:
    """A picture of what this set hides again: its can, where it has one, or else what lies under the chassis."""
    parts = record.parts.values()
    has_can = any(part.sections or any(one.restuffed for one in part.now) for part in parts)
    return "the filter can: during photos/can-open.jpg" if has_can else "new parts: during photos/new-parts.jpg"


def _stages(record: Record) -> set[str]:
    return {stage for photo in record.photos.values() for stage in photo.files()}


def _days_read(record: Record) -> list[datetime.date | None]:
    """The day of each list of measurements, None for one without."""
    return [day_of(name, run) for name, run in measured_runs(record.readings).items()]


def _only_kept(record: Record) -> bool:
    """Whether every part that is listed was kept, so that there is nothing new to tell of."""
    return bool(record.parts) and all(part.state == "keep" for part in record.parts.values())


def _few(names: Iterable[str]) -> str:
    known = list(names)
    more = len(known) - _MOST_NAMES
    return one_of([*known[:_MOST_NAMES], f"{more} more"] if more > 0 else known, "and")


def _first(names: Iterable[str]) -> str:
    return next(iter(names), "C7")
