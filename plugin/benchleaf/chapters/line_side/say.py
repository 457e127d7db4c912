"""The computed sentences on the line side that deserve the top of the page."""

from __future__ import annotations

from collections.abc import Iterable

from ...record.units import say
from ...report.sentence import Sentence
from ...report.verdict import Verdict
from ...words import Words
from ..bench import Bench
from .findings import LineSideFindings
from .states import TouchState
from .wording import fault_words, margin_words, milliamps, part_words

ANCHOR = "line-side"


def standouts(findings: LineSideFindings, bench: Bench) -> list[Sentence]:
    """The sentences on the line side that deserve the top of the page, worst first."""
    found = [Sentence(check.verdict, check.text, ANCHOR) for check in findings.checks]
    found += _of_states(findings, bench.words)
    found += _of_measurements(findings, bench.words)
    return sorted(found, key=lambda s: -s.verdict.rank)


def _of_states(f: LineSideFindings, words: Words) -> Iterable[Sentence]:
    now = f.now
    if now is None:
        yield from (Sentence(Verdict.NOTE, text, ANCHOR) for text in f.missing[:1])
        return
    state = now.worst_normal
    if state is not None and state.over_limit and not state.short_circuit:
        what = part_words(state.part, words)
        yield Sentence(
            Verdict.DANGER if f.limit_published else Verdict.WATCH,
            f"With nothing wrong a touch current of {_current(f, state)} flows at the {what} "
            f"({f.position_words(state)}): over the limit of {_limit(f)}.",
            ANCHOR,
        )
        return
    if now.margin is not None:
        state = now.margin.state
        yield Sentence(
            Verdict.WATCH,
            f"With nothing wrong a touch current of {_current(f, state)} flows at the {part_words(state.part, words)} "
            f"({f.position_words(state)}), as written under the limit of {_limit(f)}, but {margin_words(now.margin)}.",
            ANCHOR,
        )
    if now.worst_fault is not None and now.worst_fault.over_limit and not now.worst_fault.short_circuit:
        state = now.worst_fault
        yield Sentence(
            Verdict.NOTE,
            f"One fault makes it live: {fault_words(state.fault, words)} puts {say(state.no_load_volts, 'V')} on the "
            f"{part_words(state.part, words)} ({f.position_words(state)}).",
            ANCHOR,
        )


def _of_measurements(f: LineSideFindings, words: Words) -> Iterable[Sentence]:
    for m in f.measured:
        beside, unit = (m.volts, "V") if m.volts else (m.amps, "A")
        if m.agrees is False and beside is not None:
            most = say(beside.strays, unit, digits=2)
            shown = f"{beside.bound} {say(beside.measured, unit)}".strip()
            strays = f", at most {most} with its transformer’s stray capacitance" if beside.strays else ""
            bands = " or ".join(f"{say(low, unit)} to {say(high, unit)}" for low, high in beside.bands)
            computed = f"{bands}, as plug and switch are" if beside.apart else f"{say(beside.computed, unit)}{strays}"
            yield Sentence(
                Verdict.WATCH,
                f"Measured {shown} at the {part_words(m.part, words)}, computed {computed}: "
                "the set is not wired as written, or the measurement was another.",
                ANCHOR,
            )
    for i in f.insulation:
        if i.agrees is False:
            yield Sentence(
                Verdict.NOTE,
                f"Insulation {i.between}: {say(i.measured_ohms, 'ohm')} measured, but the written parts in its path "
                f"make {say(i.computed_ohms, 'ohm')}. Was the resistor lifted for the test, or is it open?",
                ANCHOR,
            )


def _current(f: LineSideFindings, state: TouchState) -> str:
    if f.direct:
        return f"{milliamps(state.touch_amps_rms)} DC"
    if f.limit_kind == "peak":
        return f"{milliamps(state.touch_amps_peak)} peak"
    return f"{milliamps(state.touch_amps_rms)} RMS"


def _limit(f: LineSideFindings) -> str:
    kinds = {"rms": "RMS", "peak": "peak", "dc": "DC"}
    return f"{milliamps(f.limit_amps)} {kinds[f.limit_kind]}"
