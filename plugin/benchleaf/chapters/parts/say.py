"""The sentences about parts that deserve the top of the page."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import TYPE_CHECKING

from ...record.units import say
from ...report.findings import DANGER, FAULT, NOTE, Standout
from .buffer import NEEDED_VOLTS

if TYPE_CHECKING:
    from ...report.dialect import Words
    from ..bench import Bench
    from .findings import PartFindings, PartsFindings

_MANY = 4


def standouts(findings: PartsFindings, bench: Bench) -> list[Standout]:
    """What is wrong with parts, worst first: what is in the set before what was, larger errors before smaller ones."""
    rows = findings.rows()
    found = [
        *_each(rows, _class_missing),
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


def _each(rows: Iterable[PartFindings], said: Callable[[PartFindings], Standout | None]) -> Iterator[Standout]:
    return (s for row in rows if (s := said(row)))


def _class_missing(row: PartFindings) -> Standout | None:
    stays = row.new_is_fitted or row.state in ("kept", "reformed")
    if row.class_enough is not False or not stays or not row.piece.ends:
        return None
    where = " and ".join(row.piece.ends)
    wanted = "class Y" if row.class_needed == "Y" else "class X or Y"
    has = f"is class {row.safety_class}" if row.safety_class else "has no class written"
    return Standout(DANGER, f"{row.name} between {where} {has}; this place needs {wanted}", row.anchor)


def _reversed(row: PartFindings) -> Standout | None:
    if row.polarity != "reversed" or row.in_the_set is None:
        return None
    return Standout(
        FAULT, f"{row.name} is written with its positive end at {row.piece.positive}: the wrong way round", row.anchor
    )


def _bad_buffer(row: PartFindings) -> Standout | None:
    if row.buffer is None or not row.buffer.fault:
        return None
    shorted = row.buffer.fault == "shorted"
    leakage = row.in_the_set.seen.leakage_typed if row.in_the_set else ""
    what = "is shorted" if shorted else f"leaks {leakage}"
    text = f"{row.name}, the buffer, {what} and is in the set: the first part to replace in a vibrator supply"
    return Standout(DANGER if shorted else FAULT, text, row.anchor)


def _weak_buffer(row: PartFindings) -> Standout | None:
    if row.buffer is None or row.buffer.rating_enough is not False or row.in_the_set is None:
        return None
    text = f"{row.name}, the buffer, is rated {_volts(row.buffer.rated_volts)}; it needs at least"
    return Standout(FAULT, f"{text} {_volts(NEEDED_VOLTS)} (common practice)", row.anchor)


def _mistimed_buffer(row: PartFindings) -> Standout | None:
    """More than a tenth is told of; more than a fifth is a fault where it is in the set."""
    buffer = row.buffer
    if buffer is None or buffer.change is None or buffer.timing not in ("near", "off"):
        return None
    off = f"{say(abs(buffer.change), '1', digits=2)} {'above' if buffer.change > 0 else 'below'} what it replaces"
    bad = buffer.timing == "off" and row.new_is_fitted
    text = f"{row.name}, the buffer, is {off}: this shifts the vibrator’s timing"
    return Standout(FAULT if bad else NOTE, text, row.anchor)


def _grid_volts(row: PartFindings) -> float:
    known = [g.volts for g in (row.was_on_grid, row.now_on_grid) if g and g.volts is not None]
    return max(known, default=0.0)


def _leaky(row: PartFindings) -> Standout | None:
    new = row.now_on_grid if row.new_is_fitted else None
    if new and new.shifts_bias:
        leakage = row.piece.now.leakage_typed if row.piece.now else ""
        return Standout(
            FAULT, f"{row.name}, new, leaks {leakage}: about +{_volts(new.volts)} on {new.grid}", row.anchor
        )
    old = row.was_on_grid
    if not old or not old.shifts_bias:
        return None
    leakage = row.piece.was.leakage_typed if row.piece.was else ""
    if row.old_is_fitted:
        return Standout(
            FAULT,
            f"{row.name} leaks {leakage}: about +{_volts(old.volts)} on {old.grid}, and it is still fitted",
            row.anchor,
        )
    return Standout(
        NOTE, f"{row.name} leaked {leakage}, about +{_volts(old.volts)} on {old.grid}; {row.state}", row.anchor
    )


def _under_rated(row: PartFindings, words: Words) -> Standout | None:
    if row.rating_enough is not False or row.in_the_set is None:
        return None
    sees = f"can see {_volts(row.sees_volts)} while the {words.tubes} are cold and the {words.line} is high"
    return Standout(FAULT, f"{row.name} is rated {_volts(row.rated_volts)} and {sees}", row.anchor)


def _too_hot(row: PartFindings) -> Standout | None:
    if row.heat is None or row.heat.enough is not False or row.heat.rated_watts is None:
        return None
    over = row.heat.watts > row.heat.rated_watts
    rated = f"and is rated {say(row.heat.rated_watts, 'W')}" + ("" if over else ", less than twice that")
    return Standout(FAULT if over else NOTE, f"{row.name} makes {say(row.heat.watts, 'W')} of heat {rated}", row.anchor)


def _beyond_its_limits(row: PartFindings) -> Standout | None:
    """What is in the set and leaks, or has series resistance, beyond its limit; grids are told of by their volts."""
    if row.buffer is not None and row.buffer.fault:
        return None
    inside = row.in_the_set
    held = row.now_held if row.new_is_fitted else row.was_held
    if inside is None or held is None or (row.now_on_grid if row.new_is_fitted else row.was_on_grid):
        return None
    wrong = []
    if held.leakage_enough is False:
        wrong.append(f"leaks {inside.seen.leakage_typed}")
    if held.esr_enough is False:
        wrong.append(f"has an ESR of {say(inside.esr_ohms, 'ohm')}")
    if not wrong:
        return None
    return Standout(FAULT, f"{row.name} {' and '.join(wrong)}, beyond its limit, and is in the set", row.anchor)


def _drift(row: PartFindings) -> float:
    return abs(row.was_drift or 0.0)


def _drifted(row: PartFindings) -> Standout | None:
    """An old part out of its written tolerance and still in the set; of assumed tolerances the page alone speaks."""
    if row.was_in_tolerance is not False or not row.old_is_fitted:
        return None
    if row.buffer is not None and row.buffer.fault == "shorted":
        return None
    if row.was_drift is None:
        state = row.piece.was.measured_typed or row.piece.was.condition if row.piece.was else ""
        return Standout(FAULT, f"{row.name} measured {state} and is still fitted ({row.state})", row.anchor)
    direction = "above" if row.was_drift > 0 else "below"
    off = say(abs(row.was_drift), "1", digits=2)
    stays = "is kept" if row.state == "kept" else f"is still fitted ({row.state})"
    return Standout(
        FAULT, f"{row.name} is {off} {direction} its value, more than its tolerance, and {stays}", row.anchor
    )


def _new_out_of_tolerance(row: PartFindings) -> Standout | None:
    if row.now_in_tolerance is not False:
        return None
    measured = row.piece.now.measured_typed if row.piece.now else ""
    marked = row.piece.now.value_typed if row.piece.now else ""
    return Standout(FAULT, f"{row.name}: the new {marked} measures {measured}, out of its own tolerance", row.anchor)


def _misplaced_or_missing_polarity(row: PartFindings) -> Standout | None:
    if row.polarity == "missing" and row.new_is_fitted:
        return Standout(NOTE, f"{row.name} is an electrolytic with no polarity written", row.anchor)
    if row.polarity == "misplaced":
        kind = row.piece.newest.type if row.piece.newest else ""
        return Standout(NOTE, f"{row.name} is {kind}, which has no polarity, and a positive end is written", row.anchor)
    return None


def _lower_rating(row: PartFindings) -> Standout | None:
    new = row.piece.now
    if new and row.watts_rating_lower and row.new_is_fitted:
        return Standout(NOTE, f"{row.name}: the new part is rated {say(new.watts, 'W')}, less than before", row.anchor)
    if new and row.volts_rating_lower and row.new_is_fitted and row.rating_enough is None:
        return Standout(NOTE, f"{row.name}: the new part is rated {_volts(new.volts)}, less than before", row.anchor)
    return None


def _open(findings: PartsFindings) -> Iterator[Standout]:
    waiting = [name for name, part in findings.items() if part.state in ("to do", "reform", "on order", "tested")]
    if waiting:
        names = ", ".join(waiting[:_MANY]) + (f" and {len(waiting) - _MANY} more" if len(waiting) > _MANY else "")
        parts = "part is" if len(waiting) == 1 else "parts are"
        yield Standout(NOTE, f"{len(waiting)} {parts} still to do: {names}", findings[waiting[0]].anchor)


def _volts(volts: float | None) -> str:
    return say(volts, "V")
