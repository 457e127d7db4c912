"""The line side in short: the worst with nothing wrong and with one fault, what was measured, and the two drawings."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from ...record.problems import one_of
from ...record.units import say
from ...report.amount import Amount, Origin, bound_words
from ...report.digest import Brief, Compared, Digest, Shown, remaining
from ...report.sentence import Judged, Phrase, Sentence
from ...report.source import Source, Standing
from ...report.table import Cell, Column, Row, RowGroup, Table, cell
from ...report.verdict import Verdict
from ..bench import Bench
from .changed import done
from .diagram import diagrams
from .findings import LineSideFindings
from .lying import shares_one_state
from .measured import MeasuredInsulation, MeasuredTouch
from .say import ANCHOR, standouts
from .side import StateFindings
from .states import TouchState
from .wording import fault_words, part_words

TOUCH, MEASURED = "line-side-touch", "line-side-measured"
_RANK = 20
_LIKE = 1e-3
"""Ampere: limits of touch current are said in milliampere, and what is held against them too."""
_KINDS = {"peak": " peak", "rms": " RMS", "dc": " DC"}


def digest(findings: LineSideFindings, bench: Bench) -> Digest:
    """The chapter in short; one sentence where nothing could be computed."""
    found = tuple(s for s in standouts(findings, bench) if s.verdict is not Verdict.NOTE)
    if findings.now is None:
        said = findings.missing[0] if findings.missing else f"Nothing can be computed of the {bench.words.line} side."
        return Digest((said,), brief=Brief(remains=remaining(found)))
    return Digest(
        conclusion=_conclusion(findings, bench),
        figures=tuple(_shown(findings, bench)),
        table=_table(findings, bench),
        small=_not_covered(findings, bench),
        working="All states, steps and sources",
        brief=Brief(
            compared=tuple(_compared(findings, bench)),
            done=tuple(done(findings, bench)),
            remains=(*remaining(found), *_one_fault(findings, bench)),
        ),
    )


def _conclusion(f: LineSideFindings, bench: Bench) -> Phrase:
    before, after = f.before, f.after
    if before and after and before.worst_normal and after.worst_normal and not _no_number(before, after):
        first, then = before.worst_normal, after.worst_normal
        what = part_words(then.part, bench.words)
        from_what = "" if first.part == then.part else f" on the {part_words(first.part, bench.words)}"
        return (
            f"With nothing wrong, a hand on the {what} carries up to ", _current(then, f), " after the work; before, "
            "up to ", _current(first, f), from_what, *_limit(f), ".", *_with_a_fault(f),
        )  # fmt: skip
    now = f.now
    assert now is not None, "a digest without a state says what is missing"
    return (*_alone(now, f, bench), *_with_a_fault(f))


def _no_number(*sides: StateFindings) -> bool:
    return any(side.shorts or side.floats for side in sides)


def _alone(now: StateFindings, f: LineSideFindings, bench: Bench) -> Phrase:
    """What is said of one state: of the set as it is, where there is no other or no current to compare."""
    words = bench.words
    if now.shorts:
        return (f"The {words.line} is shorted through the {words.earth} wire in at least one position of the plug.",)
    if now.worst_normal is None:
        return ("No part within reach is written down.",)
    if now.floats:
        return (
            f"With nothing wrong, nothing written joins the parts within reach to the {words.line}: they float, and no "
            "voltage can be computed.",
        )
    if not now.worst_normal.touch_amps_rms:
        return ("With nothing wrong, no current flows through a hand.",)
    what = part_words(now.worst_normal.part, words)
    return (f"With nothing wrong, a hand on the {what} carries up to ", _current(now.worst_normal, f), *_limit(f), ".")


def _limit(f: LineSideFindings) -> Phrase:
    if f.limit_amps is None:
        return ()
    return (
        "; the limit is ",
        Amount(f.limit_amps, "A", Origin.PUBLISHED, like=_LIKE),
        _KINDS[f.limit_kind],
        _source(f),
    )


def _source(f: LineSideFindings) -> Source:
    limit = "Limit of touch current"
    if not f.limit_published:
        return Source(Standing.MEMORY, of=limit)
    return Source(Standing.READ, f"{limit}: {f.limit_source}")


def _with_a_fault(f: LineSideFindings) -> Phrase:
    """What high line and tolerances, and one fault, make of the worst state with nothing wrong."""
    now, said = f.now, ""
    if now is None:
        return ()
    if now.worst_normal and now.worst_normal.under_as_written_only:
        said = f" At {say(f.high_line_volts, 'V')} and with the parts at the end of their tolerance it is over."
    fault = now.worst_fault
    if fault is None or fault.over_limit is None or fault.short_circuit:
        return (said,) if said else ()
    if fault.over_limit:
        return (f"{said} With one part failed it is over the limit.",)
    if (close := now.fault_under_as_written_only) and not said:
        return (" With one fault up to ", _current(close, f), ", and over the limit in the worst case.")
    if fault.touch_amps_rms and not (now.worst_normal and now.worst_normal.touch_amps_rms):
        return (" With one fault up to ", _current(fault, f), ", under the limit.")
    return (said or " So it is with any one fault.",)


def _amps(state: TouchState, f: LineSideFindings) -> float | None:
    return state.touch_amps_peak if f.limit_kind == "peak" else state.touch_amps_rms


def _current(state: TouchState, f: LineSideFindings) -> Amount:
    return Amount(_amps(state, f), "A", Origin.COMPUTED, digits=3, anchor=TOUCH, like=_LIKE)


def _shown(f: LineSideFindings, bench: Bench) -> Iterator[Shown]:
    """The drawings of both states, lying; of one alone, without marks."""
    before = f.before.described if f.before else None
    after = f.after.described if f.after else None
    found = diagrams(before, after, bench.words)
    marks = {"before": "Dashed and struck through: removed.", "after": "Heavy: added."}
    for when, diagram in found.items():
        both = len(found) == 2
        whole = {"before": "All of it was removed.", "after": "All of it was added."}[when]
        said = (whole if shares_one_state(diagram) else marks[when]) if both else ""
        side = f.before if when == "before" else f.after
        assert side is not None, "a drawing is of a state that is written"
        behind = _behind(side, bench)
        caption = (f"{when.capitalize()}. " if both else "", said, f" {behind}" if behind else "")
        yield Shown(f"line-side-{when}-lying", tuple(part for part in caption if part))


def _behind(side: StateFindings, bench: Bench) -> str:
    """What hangs on the chassis through components, which the lying drawing leaves to words."""
    words = bench.words
    named = [part_words(part.name, words) for part in side.described.wiring.parts if part.listed and part.barrier]
    own = "a part of its own" if len(named) == 1 else "parts of their own"
    return f"Behind {own}: {one_of(named, 'and')}." if named else ""


def _table(f: LineSideFindings, bench: Bench) -> Table | None:
    """Nothing wrong, one fault, what was measured: before and after."""
    before, after = f.before, f.after
    rows = [row for row in (_normal_row(f), _fault_row(f, bench), *_measured_rows(f, bench)) if row]
    if not rows:
        return None
    heads = ["Before", "After"] if before and after else ["As it is"]
    columns = (Column("State"), *(Column(head) for head in heads))
    kind = {"peak": ", peak", "rms": ", RMS", "dc": ""}[f.limit_kind]
    what = f"Through a hand{kind}, worst position of plug and switch; the standard’s network stands for the hand"
    return Table(f"{bench.words.line.capitalize()} side, before and after", what, columns, (RowGroup(tuple(rows)),))


def _sides(f: LineSideFindings) -> list[tuple[str, StateFindings]]:
    return [(when, side) for when, side in (("before", f.before), ("after", f.after)) if side]


def _normal_row(f: LineSideFindings) -> Row | None:
    states = [(when, side.worst_normal) for when, side in _sides(f)]
    if all(state is None for _, state in states):
        return None
    return Row(cell("Nothing wrong"), tuple(_judged(state, when, f) for when, state in states))


def _fault_row(f: LineSideFindings, bench: Bench) -> Row | None:
    now = f.now.worst_fault if f.now else None
    if now is None:
        return None
    found = [(when, side.as_bad_as(now)) for when, side in _sides(f)]
    named = [f"{fault_words(s.fault, bench.words)}, {f.position_words(s)}" if s else "" for _, s in found]
    if len(set(named)) == 1:
        return Row(cell(f"One thing wrong: {named[0]}"), tuple(_judged(s, when, f) for when, s in found))
    # The worst of one state may be what cannot happen in the other.
    cells = (_judged(s, when, f) for when, s in found)
    return Row(cell("One thing wrong, the worst"), tuple(_with(c, name) for c, name in zip(cells, named, strict=True)))


def _with(judged: Cell, fault: str) -> Cell:
    return replace(judged, lines=(*judged.lines, (fault,))) if fault else judged


def _judged(state: TouchState | None, when: str, f: LineSideFindings) -> Cell:
    if state is None:
        return Cell()
    past = when == "before" and f.after is not None
    if state.short_circuit:
        return cell(Judged(Verdict.PUT_RIGHT if past else Verdict.DANGER, ("short circuit",)))
    if state.no_load_volts is None:
        return cell("not known: it floats")
    if state.over_limit is None:
        return cell(_current(state, f))
    if not state.over_limit:
        return cell(_current(state, f), " ", _under(state, past=past))
    verdict = Judged(Verdict.PUT_RIGHT, ("was over",)) if past else Judged(Verdict.DANGER, ("over the limit",))
    return cell(_current(state, f), " ", verdict)


def _under(state: TouchState, *, past: bool) -> Judged:
    """Under the limit: at high line and with the parts at the end of their tolerances too, or only as written."""
    if not state.under_as_written_only:
        return Judged(Verdict.GOOD, ("under the limit",))
    return Judged(Verdict.PUT_RIGHT if past else Verdict.WATCH, ("under as written only",))


def _measured_rows(f: LineSideFindings, bench: Bench) -> Iterator[Row]:
    """The largest touch current of the newest day, and the newest of insulation: of the state after the work, if any.

    A touch current from before the day of the work stands in its column all the same: the working says the day. An
    insulation that was read before the work stands before.
    """
    blank = (Cell(),) if f.before and f.after else ()
    newest = [touch for touch in f.measured if touch.date == f.measured[-1].date]
    # The largest of that day: the harmless way round says nothing of the other.
    for touch in sorted(newest, key=lambda touch: touch.reckoned_amps)[-1:]:
        yield Row(cell(*_where(touch, f, bench)), (*blank, _touch_cell(touch, f)))
    found = [one for one in f.insulation if one.before_work], [one for one in f.insulation if not one.before_work]
    sides = (found[0][:1], found[1][-1:]) if blank else (f.insulation[-1:],)
    shown = [one for side in sides for one in side]
    if shown:
        volts = {one.test_volts for one in shown}
        at = f", at {say(volts.pop(), 'V')}" if len(volts) == 1 else ""
        head = f"Insulation, {shown[-1].between}{at}"
        yield Row(cell(head), tuple(_insulation_cell(side[0]) if side else Cell() for side in sides))


def _where(touch: MeasuredTouch, f: LineSideFindings, bench: Bench) -> Phrase:
    day = f" {touch.date.isoformat()}" if touch.date else ""
    plug = f"plug {f.plug_words(touch.plug)}" if touch.plug else ""
    switch = f"switch {touch.switch}" if touch.switch else ""
    position = ", ".join(said for said in (plug, switch) if said)
    return (f"Measured{day}, {part_words(touch.part, bench.words)}{f', {position}' if position else ''}",)


def _touch_cell(touch: MeasuredTouch, f: LineSideFindings) -> Cell:
    beside, unit = (touch.volts, "V") if touch.volts else (touch.amps, "A")
    if beside is None:
        return Cell()
    shown = Amount(beside.measured, unit, Origin.MEASURED, bound=beside.bound, digits=3)
    said: list[object] = [shown, f" {touch.across_words}"]
    if beside.apart and touch.agrees is False:
        for k, (low, high) in enumerate(beside.bands):
            said += [" or " if k else "; computed ", _computed(low, unit), " to ", _computed(high, unit)]
    elif beside.computed is not None:
        said += ["; computed ", _computed(beside.computed, unit)]
    if beside.strays is not None and not beside.apart:
        most = Amount(beside.strays, unit, Origin.COMPUTED, digits=2, anchor=MEASURED)
        said += [", at most ", most, " with its transformer’s stray capacitance"]
    return cell(*said, *_agreement(touch.agrees, "disagrees", Verdict.WATCH, f.agreeing_words(touch)))  # type: ignore[arg-type]


def _computed(value: float, unit: str) -> Amount:
    return Amount(value, unit, Origin.COMPUTED, digits=3, anchor=MEASURED)


def _agreement(agrees: bool | None, otherwise: str, verdict: Verdict, agreeing: str = "agrees") -> Phrase:
    if agrees is None:
        return ()
    return (" ", Judged(Verdict.GOOD, (agreeing,)) if agrees else Judged(verdict, (otherwise,)))


def _insulation_cell(found: MeasuredInsulation) -> Cell:
    bound = bound_words(found.measured_qualifier)
    said: list[object] = [Amount(found.measured_ohms, "ohm", Origin.MEASURED, bound=bound)]
    if found.computed_ohms is not None:
        said += ["; the parts in its path make ", Amount(found.computed_ohms, "ohm", Origin.COMPUTED, anchor=MEASURED)]
    return cell(*said, *_agreement(found.agrees, "another path", Verdict.WATCH))  # type: ignore[arg-type]


def _not_covered(f: LineSideFindings, bench: Bench) -> Phrase:
    """What the figures leave out; common practice, no source."""
    meter = f.now.meter_volts if f.now else None
    lines = (
        f"Not covered: two faults at once, charged {bench.words.filter_capacitors}, direct voltages behind the "
        "output transformer, "
        "surges, damp and worn insulation."
    )
    if meter is None or f.direct:
        return (lines,)
    shown = Amount(meter, "V", Origin.COMPUTED, anchor=TOUCH)
    return (lines, " A meter of 10 MΩ shows ", shown, " where a hand would touch.")


def _compared(f: LineSideFindings, bench: Bench) -> Iterator[Compared]:
    now = f.now
    if now is None or now.worst_normal is None or _no_number(now):
        return
    before = f.before.worst_normal if f.before and f.after and not _no_number(f.before) else None
    what = part_words(now.worst_normal.part, bench.words)
    over = now.worst_normal.over_limit
    how: Phrase = ()
    if over is not None and f.limit_amps is not None:
        how = (
            _mark(now.worst_normal),
            " the limit of ",
            Amount(f.limit_amps, "A", Origin.PUBLISHED, like=_LIKE),
            _source(f),
        )
    first: Phrase = ()
    if before is not None:
        elsewhere = before.part != now.worst_normal.part
        first = (_current(before, f), *((f" on the {part_words(before.part, bench.words)}",) if elsewhere else ()))
    yield Compared(_RANK, f"Through a hand on the {what}, nothing wrong", first, (_current(now.worst_normal, f),), how)


def _mark(state: TouchState) -> Judged:
    if state.over_limit:
        return Judged(Verdict.DANGER, ("over",))
    if state.under_as_written_only:
        return Judged(Verdict.WATCH, ("as written only under",))
    return Judged(Verdict.GOOD, ("under",))


def _one_fault(f: LineSideFindings, bench: Bench) -> Iterator[Sentence]:
    """The single fault that would put the touchable parts at the line, which the work has left."""
    now = f.now
    if now is None or (now.worst_normal and now.worst_normal.over_limit):
        return
    fault = now.worst_fault
    if fault is not None and fault.over_limit and not fault.short_circuit:
        yield Sentence(
            Verdict.DANGER,
            (
                f"One fault makes it live: {fault_words(fault.fault, bench.words)} puts ",
                Amount(fault.no_load_volts, "V", Origin.COMPUTED),
                f" on the {part_words(fault.part, bench.words)}, {f.position_words(fault)}.",
            ),
            "line-side-one-change" if f.one_change else ANCHOR,
        )
