"""What follows: the findings of the chapter worked out."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from ...circuit.dropper_series import across_the_dropper
from ...circuit.winding_ohms import primary_band
from ...record.mapping import as_mapping
from ...record.sections.line_side import LineSide, LineSideState
from ...words import DIALECTS, Words
from ..bench import Bench
from .checks import checks_of
from .findings import LineSideFindings
from .fuse import FuseFindings, fuse_checks, fuse_findings
from .fuse_place import belongs
from .inspection import Check
from .line_and_load import LineSource, SetLoad, line_of, load_of
from .measured import compare_insulation, compare_touches
from .one_change import changes_of, reach_of
from .path import CurrentPath, path_of
from .pulled_plug import PulledPlug, pulled_plug
from .running_current import running_amps
from .shown import no_worse, rows_of
from .side import StateFindings, state_findings
from .states import Solved, worst
from .steps import WorkStep, steps_of
from .verdicts import LimitVerdict, verdicts_of
from .wired_then import is_before_work

if TYPE_CHECKING:
    from ..heaters.findings import HeatersFindings
    from ..parts.findings import PartsFindings
    from .described import DescribedState


def examine(
    bench: Bench, heaters: HeatersFindings | None = None, parts: PartsFindings | None = None
) -> LineSideFindings | None:
    """All findings on the line side; None where the record has no such section."""
    record = bench.record
    side = record.line_side
    if side is None:
        return None
    line = line_of(bench.circuit.mains)
    limit = bench.limit
    direct = line is not None and line.hertz == 0
    load = load_of(record, line, heaters) if line else SetLoad()
    bleeder = across_the_dropper(bench.circuit) if load.blocks_direct else None
    load = replace(load, primary_band=primary_band(bench.circuit), bleeder_ohms=bleeder)
    solved = Solved(line.hertz) if line else None
    # A wiring of which no after is written stands as it was: its parts are those that are in now.
    before = state_findings(side.before, "before" if side.after else "now", line, load, bench, solved)
    after = state_findings(side.after, "after", line, load, bench, solved)
    now, written = after or before, side.after or side.before
    both = (before.states if before else (), after.states if after else ())
    reach = reach_of(now.described.wirings, line, limit, solved) if now and solved and line else None
    running = running_amps(bench, line, load, heaters, parts) if line and written else None
    fuse = fuse_findings(bench.circuit, written, line, load, heaters, running) if line and written else None

    def early(date: datetime.date | None) -> bool:
        """Whether a day lies before the work, where both states are written."""
        return bool(before and after and is_before_work(bench.circuit, date))

    def then(date: datetime.date | None) -> DescribedState:
        """The wiring as it was on the day of a measurement."""
        assert now is not None
        return (before if before and early(date) else now).described

    pulled = pulled_plug(now.described, line, load) if now and line else None
    return LineSideFindings(
        limit_amps=limit.dc_amps if direct else limit.amps,
        limit_kind="dc" if direct else limit.kind,
        limit_source=limit.source,
        limit_standard=limit.standard,
        limit_confidence=limit.confidence,
        line_volts=line.volts if line else None,
        line_hertz=line.hertz if line else None,
        load_ohms=load.ohms,
        load_source=load.source,
        before=before,
        after=after,
        measured=tuple(
            touch for one in side.measured if line and now for touch in compare_touches((one,), then(one.date), line)
        ),
        insulation=tuple(
            read
            for one in side.measured
            if now
            for read in compare_insulation((one,), then(one.date), bench.words, before_work=early(one.date))
        ),
        checks=_checks(written, now, fuse, line, bench),
        missing=_missing(side, line, bench),
        verdicts=_verdicts(bench, direct, before, after),
        reach=reach,
        one_change=(
            changes_of(now.described, reach, line, limit, bench.words, solved)
            if now and line and solved and reach
            else ()
        ),
        fuse=fuse,
        fuse_place=belongs(now.described, bench.words) if now else "",
        steps=_steps(side, before, after, load, bench.words, solved, pulled),
        pulled_plug=pulled,
        high_line_volts=line.high_volts if line else None,
        limit_published=limit.published,
        limit_note=limit.note,
        load=load,
        rows=rows_of(*both),
        no_worse=no_worse(*both),
        note=str(side.note or ""),
        path=_path(now, solved) if now and solved else None,
    )


def _verdicts(
    bench: Bench, direct: bool, before: StateFindings | None, after: StateFindings | None
) -> tuple[LimitVerdict, ...]:
    now = after or before
    if now is None:
        return ()
    old, new = ([s for s in side.normal if s.listed] if side else [] for side in (before, after))
    faults = [s for s in now.states if s.listed and s.fault != "none"]
    return verdicts_of(bench.limit, direct, old, new, faults)


def _steps(
    side: LineSide,
    before: StateFindings | None,
    after: StateFindings | None,
    load: SetLoad,
    words: Words,
    solved: Solved | None,
    pulled: PulledPlug | None,
) -> tuple[WorkStep, ...]:
    if solved is None:
        return ()
    old, new = (
        (state, found.described) if state and found else None
        for state, found in ((side.before, before), (side.after, after))
    )
    return steps_of(old, new, load, words, solved, pulled)


def _path(now: StateFindings, solved: Solved) -> CurrentPath | None:
    """The way of the current in the worst state of all."""
    state = worst(s for s in (now.worst_fault, now.worst_normal) if s and not s.short_circuit)
    return path_of(state, now.described.wirings, solved) if state else None


def _checks(
    state: LineSideState | None,
    now: StateFindings | None,
    fuse: FuseFindings | None,
    line: LineSource | None,
    bench: Bench,
) -> tuple[Check, ...]:
    if state is None or now is None:
        return ()
    words = bench.words
    found = [
        *checks_of(state, now, line, words, limit_published=bench.limit.published),
        *fuse_checks(state.fuse, now.described, fuse, line, words),
    ]
    return tuple(sorted(found, key=lambda check: -check.verdict.rank))


def _missing(side: LineSide, line: LineSource | None, bench: Bench) -> tuple[str, ...]:
    """What would have to be written before more can be computed."""
    if not bench.circuit.mains.from_line:
        return (_only_as_written(side, bench),)
    if line is None:
        return (f"The {bench.words.line} is not stated: without its volts nothing can be computed.",)
    missing = []
    if side.before is None:
        missing.append("How it was wired before the work is not written down.")
    if side.after is None:
        missing.append("How it is wired after the work is not written down.")
    return tuple(missing)


def _only_as_written(side: LineSide, bench: Bench) -> str:
    """What is written of a set that no line feeds, as of the unit that stands in for its batteries: nothing is lost."""
    line = DIALECTS[bench.words.dialect].line
    told = [f"{when}: {said}" for when, of in as_mapping(side).items() if (said := _words_of(of))]
    written = f" Written, {'. '.join(told)}." if told else ""
    return f"This set runs from batteries: of a {line} unit beside them nothing is computed here.{written}"


def _words_of(value: object) -> str:
    """What was typed of a piece of a mapping; of a quantity as it was written."""
    if isinstance(value, Mapping):
        pieces = [(str(name), _words_of(of)) for name, of in value.items()]
        named = [f"{name.removesuffix('_written').replace('_', ' ')} {said}" for name, said in pieces if said]
        return "; ".join(named)
    if isinstance(value, str):
        return value
    return ", ".join(filter(None, map(_words_of, value))) if isinstance(value, list | tuple) else ""
