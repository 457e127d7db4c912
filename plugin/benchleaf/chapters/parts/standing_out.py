"""The sentences about parts that deserve the top of the page, each with the verdict that the part's row has."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import TYPE_CHECKING

from ...report.amount import Amount, Origin
from ...report.sentence import PhrasePart, Sentence, listed
from ...report.source import COMMON_PRACTICE
from ...report.typed import in_trade_units
from ...report.verdict import Verdict
from . import verdicts, volts_across
from .buffer import NEEDED_VOLTS

if TYPE_CHECKING:
    from ...circuit.pieces import Seen
    from ...words import Words
    from ..bench import Bench
    from .findings import PartFindings, PartsFindings
    from .on_grid import OnGrid

_MANY = 4


def standouts(findings: PartsFindings, bench: Bench) -> list[Sentence]:
    """What is wrong with parts, worst first: what is in the set before what was, larger errors before smaller ones."""
    rows = findings.rows()
    found = [
        *_each(rows, class_missing),
        *_each(rows, _reversed),
        *_each(rows, _bad_buffer),
        *_each(rows, _weak_buffer),
        *_each(rows, _mistimed_buffer),
        *_each(sorted(rows, key=_grid_volts, reverse=True), _leaky),
        *_each(rows, lambda row: _under_rated(row, bench.words)),
        *_each(rows, _too_hot),
        *_each(rows, _beyond_its_limits),
        *_each(sorted(rows, key=_drift, reverse=True), _drifted),
        *_each(rows, _new_out_of_tolerance),
        *_each(rows, _misplaced_or_missing_polarity),
        *_each(rows, _lower_rating),
        *_open(findings),
    ]
    return sorted(found, key=lambda s: -s.severity)


def _each(rows: Iterable[PartFindings], said: Callable[[PartFindings], Sentence | None]) -> Iterator[Sentence]:
    return (s for row in rows if (s := said(row)))


def _of(row: PartFindings, verdict: Verdict, *said: PhrasePart) -> Sentence:
    phrase = tuple(in_trade_units(each) if isinstance(each, str) else each for each in said)
    return Sentence(verdict, (row.name, *phrase, "."), row.anchor)


def _volts(volts: float | None, origin: Origin = Origin.STATED) -> Amount:
    return Amount(volts, "V", origin)


def _share(ratio: float) -> Amount:
    return Amount(abs(ratio), "1", Origin.COMPUTED, digits=2)


def class_missing(row: PartFindings) -> Sentence | None:
    """That a capacitor has not the class that its place needs."""
    judged = verdicts.safety_class(row)
    shown = judged is not None and judged.verdict in (Verdict.DANGER, Verdict.WATCH)
    if judged is None or not shown or row.class_enough is None or not row.piece.ends:
        return None
    if judged.verdict is Verdict.WATCH and not (row.new_is_fitted or row.state in ("kept", "reformed")):
        return None
    wanted = {"X": "class X or Y", "Y": "class Y"}.get(row.class_needed or "", "class Y1, or two Y2 in series")
    has = f"is class {row.safety_class}" if row.safety_class else "has no class written"
    return _of(row, judged.verdict, f" between {' and '.join(row.between)} {has}; this place needs {wanted}")


def _reversed(row: PartFindings) -> Sentence | None:
    judged = verdicts.polarity(row)
    if judged is None or row.polarity != "reversed" or row.in_the_set is None:
        return None
    return _of(row, judged.verdict, f" is written with its positive end at {row.positive_at}: the wrong way round")


def _bad_buffer(row: PartFindings) -> Sentence | None:
    judged = verdicts.buffer_fault(row)
    if judged is None or row.buffer is None:
        return None
    leakage = row.in_the_set.seen.leakage_typed if row.in_the_set else ""
    what = "is shorted" if row.buffer.fault == "shorted" else f"leaks {leakage}"
    return _of(row, judged.verdict, f", the buffer, {what} and is in the set: {verdicts.FIRST_TO_REPLACE}")


def _weak_buffer(row: PartFindings) -> Sentence | None:
    judged = verdicts.buffer_rating(row)
    if row.buffer is None or judged is None or not judged.verdict.is_off or row.in_the_set is None:
        return None
    needed = Amount(NEEDED_VOLTS, "V", source=COMMON_PRACTICE)
    said = (", the buffer, is rated ", _volts(row.buffer.rated_volts), "; it needs at least ", needed)
    return _of(row, judged.verdict, *said, " (common practice)")


def _mistimed_buffer(row: PartFindings) -> Sentence | None:
    """More than a tenth is told of; more than a fifth is a fault where it is in the set."""
    judged, buffer = verdicts.buffer_timing(row), row.buffer
    if judged is None or not judged.verdict.is_off or buffer is None or buffer.change is None:
        return None
    side = "above" if buffer.change > 0 else "below"
    said = (", the buffer, is ", _share(buffer.change), f" {side} what it replaces: this shifts the vibrator’s timing")
    return _of(row, verdicts.of_the_set(judged.verdict, inside=row.new_is_fitted), *said)


def _grid_volts(row: PartFindings) -> float:
    known = [g.volts for g in (row.was_on_grid, row.now_on_grid) if g and g.volts is not None]
    return max(known, default=0.0)


def _leaky(row: PartFindings) -> Sentence | None:
    new, old = row.now_on_grid, row.was_on_grid
    if new and row.new_is_fitted and new.shifts_bias:
        return _of(row, verdicts.on_the_grid(new).verdict, ", new, leaks ", *_leak(row.piece.now, ": about", new))
    if not old or not old.shifts_bias:
        return None
    verdict = verdicts.of_the_set(verdicts.on_the_grid(old).verdict, inside=row.old_is_fitted)
    if row.old_is_fitted:
        return _of(row, verdict, " leaks ", *_leak(row.piece.was, ": about", old), ", and it is still fitted")
    return _of(row, verdict, " leaked ", *_leak(row.piece.was, ", about", old), f"; {row.state}")


def _leak(seen: Seen | None, about: str, grid: OnGrid) -> tuple[PhrasePart, ...]:
    volts = _volts(grid.volts, Origin.COMPUTED)
    return f"{seen.leakage_typed if seen else ''}{about} +", volts, f" on {grid.grid}", *verdicts.read_on_the_grid(grid)


def _under_rated(row: PartFindings, words: Words) -> Sentence | None:
    judged = volts_across.rating(row, words)
    if judged is None or not judged.verdict.is_off or row.in_the_set is None:
        return None
    sees = _volts(row.sees_volts, Origin.COMPUTED)
    said = (" is rated ", _volts(row.rated_volts))
    if volts_across.below_working_volts(row):
        least = _volts(row.least_volts, Origin.COMPUTED)
        return _of(row, judged.verdict, *said, " and has at least ", least, " across it while the set plays")
    when = f" {volts_across.seen_when(row, words)}"
    return _of(row, judged.verdict, *said, " and can see ", sees, when, *volts_across.surge_words(row))


def _too_hot(row: PartFindings) -> Sentence | None:
    verdict = verdicts.heat(row.heat) if row.heat else None
    if row.heat is None or verdict is None or not verdict.is_off:
        return None
    made, rated = Amount(row.heat.watts, "W", Origin.COMPUTED), Amount(row.heat.rated_watts, "W")
    less = ", less than twice that" if verdict is Verdict.WATCH else ""
    return _of(row, verdict, " makes ", made, " of heat and is rated ", rated, less)


def _beyond_its_limits(row: PartFindings) -> Sentence | None:
    """What is in the set and leaks, or has series resistance, beyond its limit; grids are told of by their volts."""
    inside, new = row.in_the_set, row.new_is_fitted
    if verdicts.buffer_fault(row) or inside is None or (row.now_on_grid if new else row.was_on_grid):
        return None
    leaks = verdicts.new_leakage(row) if new else verdicts.found_leakage(row)
    resists = verdicts.new_esr(row) if new else verdicts.found_esr(row)
    wrong: list[tuple[PhrasePart, ...]] = []
    if leaks and leaks.verdict.is_off:
        wrong.append((f"leaks {inside.seen.leakage_typed}",))
    if resists and resists.verdict.is_off:
        wrong.append(("has an ESR of ", Amount(inside.esr_ohms, "ohm", Origin.MEASURED)))
    if not wrong:
        return None
    worst = max((j.verdict for j in (leaks, resists) if j), key=lambda verdict: verdict.rank)
    return _of(row, worst, " ", *listed(wrong, " and "), ", beyond its limit, and is in the set")


def _drift(row: PartFindings) -> float:
    return abs(row.was_drift or 0.0)


def _drifted(row: PartFindings) -> Sentence | None:
    """An old part out of its written tolerance and still in the set; of assumed tolerances the page alone speaks."""
    if row.was_in_tolerance is not False or not row.old_is_fitted:
        return None
    if row.buffer is not None and row.buffer.fault == "shorted":
        return None
    verdict = verdicts.against_tolerance(row).verdict
    if row.was_drift is None:
        state = row.piece.was.measured_typed or row.piece.was.condition if row.piece.was else ""
        return _of(row, verdict, f" measured {state} and is still fitted ({row.state})")
    side = "above" if row.was_drift > 0 else "below"
    stays = "is kept" if row.state == "kept" else f"is still fitted ({row.state})"
    return _of(row, verdict, " is ", _share(row.was_drift), f" {side} its value, more than its tolerance, and {stays}")


def _new_out_of_tolerance(row: PartFindings) -> Sentence | None:
    judged = verdicts.as_new(row)
    if not judged.verdict.is_off:
        return None
    measured = row.piece.now.measured_typed if row.piece.now else ""
    marked = row.piece.now.value_typed if row.piece.now else ""
    return _of(row, judged.verdict, f": the new {marked} measures {measured}, out of its own tolerance")


def _misplaced_or_missing_polarity(row: PartFindings) -> Sentence | None:
    judged = verdicts.polarity(row)
    if judged is None:
        return None
    if row.polarity == "missing" and row.new_is_fitted:
        return _of(row, judged.verdict, " is an electrolytic with no polarity written")
    if row.polarity == "misplaced":
        kind = row.piece.newest.type if row.piece.newest else ""
        return _of(row, judged.verdict, f" is {kind}, which has no polarity, and a positive end is written")
    return None


def _lower_rating(row: PartFindings) -> Sentence | None:
    new, watts, volts = row.piece.now, verdicts.lower_watts(row), verdicts.lower_volts(row)
    if new is None or not row.new_is_fitted:
        return None
    if watts:
        return _of(row, watts.verdict, ": the new part is rated ", Amount(new.watts, "W"), ", less than before")
    if volts and row.rating_enough is None:
        return _of(row, volts.verdict, ": the new part is rated ", _volts(new.volts), ", less than before")
    return None


def _open(findings: PartsFindings) -> Iterator[Sentence]:
    waiting = [name for name, part in findings.items() if verdicts.state(part.state).verdict is Verdict.OPEN]
    if waiting:
        names = ", ".join(waiting[:_MANY]) + (f" and {len(waiting) - _MANY} more" if len(waiting) > _MANY else "")
        parts = "part is" if len(waiting) == 1 else "parts are"
        text = f"{len(waiting)} {parts} still to do: {names}."
        yield Sentence(Verdict.OPEN, text, findings[waiting[0]].anchor)
