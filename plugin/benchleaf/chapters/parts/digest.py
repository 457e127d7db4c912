"""The chapter in short: the parts that were changed, each a row that opens, and those that stay in one paragraph."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import TYPE_CHECKING

from ...circuit.barrier_places import ACROSS
from ...report.anchors import part_anchor, with_links
from ...report.digest import Brief, Digest, OpeningRow, OpeningRows, remaining
from ...report.sentence import Judged, Link, Note, Phrase, Sentence, aside, listed, text_of
from ...report.table import Cell
from ...report.verdict import Verdict
from . import verdicts
from .component_words import component
from .kept_words import STAYS, staying
from .opened_row import inside, off_as_found
from .progress_said import joined, progress_in_words
from .standing_out import class_missing, standouts

if TYPE_CHECKING:
    from ...record.model import Record
    from ..bench import Bench
    from .findings import PartFindings, PartsFindings, Progress

MOST_ROWS = 24
FULL_TABLE = "parts-found-and-fitted"
_CHANGED = ("replaced", "added", "removed")
_MOST_NAMED = 12


def digest(findings: PartsFindings, bench: Bench) -> Digest:
    """What was changed and why, what was kept, and how many parts still wait."""
    changed = [part for part in _in_order_of_work(findings) if not _is_as_it_was(part)]
    shown = changed if len(changed) <= MOST_ROWS else _foremost(changed, bench.record)
    rows = tuple(OpeningRow(part.anchor, _cells(part, bench), inside(part, findings, bench)) for part in shown)
    columns = ("Part", "Job, between", "Was", "Now", "Why")
    return Digest(
        (progress_in_words(findings.progress),),
        rows=OpeningRows("Parts that were changed", columns, rows) if rows else None,
        after=(*_rest(len(changed) - len(shown)), *staying(findings, FULL_TABLE)),
        small=_unchecked(findings.progress),
        working="Every part with tolerance, leakage, markings",
        brief=Brief(done=tuple(_done(findings)), remains=_remains(findings, bench)),
    )


def _remains(findings: PartsFindings, bench: Bench) -> tuple[Sentence, ...]:
    """What still holds, but for classes of capacitors between line and hand, which the line side tells."""
    told: list[Sentence | None] = []
    if bench.record.line_side is not None:
        places = bench.circuit.on_line_side.items()
        there = {one.name for place, parts in places if place != ACROSS for one in parts}
        told = [class_missing(row) for _, rows in findings.groups() for row in rows if row.name in there]
    return tuple(said for said in remaining(tuple(standouts(findings, bench))) if said not in told)


def _in_order_of_work(findings: PartsFindings) -> Iterator[PartFindings]:
    names = (row.part for _, rows in findings.groups() for row in rows)
    return (findings[name] for name in dict.fromkeys(names))


def _rows(part: PartFindings) -> tuple[PartFindings, ...]:
    return tuple(part.sections.values()) or (part,)


def _is_as_it_was(part: PartFindings) -> bool:
    return all(row.state in STAYS for row in _rows(part))


def _foremost(changed: Iterable[PartFindings], record: Record) -> list[PartFindings]:
    """Those between the line and a hand, those of the filter, and those that a fault names."""
    anchors = {str(name): part_anchor(str(name)) for name in record.parts}
    told = " ; ".join(str(t) for f in record.faults for t in (f.complaint, f.found, f.cause, f.cure) if t)
    named = {piece.text for piece in with_links(told, anchors) if piece.anchor}
    return [part for part in changed if part.group in ("line side", "filter") or part.name in named][:MOST_ROWS]


def _rest(left_out: int) -> Phrase:
    if not left_out:
        return ()
    parts = "part was" if left_out == 1 else "parts were"
    return Link(f"{left_out} more {parts} changed", FULL_TABLE), ", none of them named by a fault. "


def _done(findings: PartsFindings) -> Iterator[Sentence]:
    """One line for the top of the record; none where no part was touched."""
    states = dict(findings.progress.by_state)
    restuffed = [part.name for part in findings.values() if part.state == "restuffed"]
    said = [f"{states[state]} {state}" for state in _CHANGED if state in states]
    if not said and not restuffed:
        return
    said[:1] = [first.replace(" ", f" part{'' if first.startswith('1 ') else 's'} ", 1) for first in said[:1]]
    said[1:1] = [f"{joined(restuffed)} restuffed"] if len(restuffed) in (1, 2) else []
    said[1:1] = [f"{len(restuffed)} parts restuffed"] if len(restuffed) > 2 else []
    said += [f"{states['kept']} kept"] if "kept" in states else []
    yield Sentence(Verdict.PLAIN, f"{', '.join(said)}.", FULL_TABLE)


def _unchecked(progress: Progress) -> Phrase:
    names = progress.unchecked
    if not names:
        return ()
    more = f" and {len(names) - _MOST_NAMED} more" if len(names) > _MOST_NAMED else ""
    return (f"New capacitors with no day under “checked”: {', '.join(names[:_MOST_NAMED])}{more}.",)


def _cells(part: PartFindings, bench: Bench) -> tuple[Cell, ...]:
    rows = _rows(part)
    return (
        Cell(((part.name,),)),
        Cell(tuple(_job(part, rows))),
        Cell(tuple(_each(rows, _was))),
        Cell(tuple(_each(rows, _now))),
        Cell(tuple(_why(part, rows, bench))),
    )


def _job(part: PartFindings, rows: tuple[PartFindings, ...]) -> Iterator[Phrase]:
    jobs = dict.fromkeys(row.piece.job for row in rows if row.piece.job)
    yield from ((job,) for job in jobs)
    ends = dict.fromkeys(" to ".join(row.between) for row in rows if row.between)
    if ends and ends != jobs:
        yield (aside("; ".join(ends)),)


def _each(rows: tuple[PartFindings, ...], said: Callable[[PartFindings], Phrase]) -> Iterator[Phrase]:
    """A line for each component; those of a can with the names of its sections, what they share told once."""
    told = [(row.piece.section, words) for row in rows if (words := said(row))]
    shared = {text_of(words[1:]) for _, words in told}
    if len(told) > 1 and len(shared) == 1 and "" not in shared:
        values = listed(((f"{section} ", words[0]) for section, words in told), ", ")
        yield (*values, ", each", *told[0][1][1:])
        return
    for section, words in told:
        yield (f"{section} ", *words) if len(rows) > 1 else words


def _was(row: PartFindings) -> Phrase:
    return component(row.piece.was or row.piece.sheet)


def _now(row: PartFindings) -> Phrase:
    """The new component; where the work is not done, how far it is."""
    new, state = row.piece.now, verdicts.state(row.state)
    is_open = state.verdict is Verdict.OPEN
    if new is None or not new.is_there:
        return (state if is_open else row.state,)
    return (*component(new), *((" ", state) if is_open else ()))


def _why(part: PartFindings, rows: tuple[PartFindings, ...], bench: Bench) -> Iterator[Phrase]:
    """What was off about the old one, and the reason that was written."""
    judged = [(row, off) for row in rows if (off := off_as_found(row))]
    if judged:
        words = listed(((f"{row.piece.section} " if len(rows) > 1 else "", *off.words) for row, off in judged), "; ")
        yield (Judged(max((off.verdict for _, off in judged), key=lambda verdict: verdict.rank), words),)
    reasons = [str(row.piece.why) for row in rows if row.piece.why] or [str(bench.record.parts[part.name].why or "")]  # type: ignore[index]
    for reason in dict.fromkeys(reason for reason in reasons if reason):
        yield (aside(Note(reason)),) if judged else (Note(reason),)
