"""What follows: the findings of the chapter worked out."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from ...circuit.in_place import InPlace, in_place, of_component
from ...circuit.pieces import Seen, seen
from ...electrics.capacitor_limits import esr_when_new
from ...electrics.impedance import (
    LEAD_HENRIES_PER_METRE,
    RealCapacitor,
    antiresonance,
    inductive_reactance,
    pair_impedance,
)
from ...record.figures import to_figures
from .findings import AtFrequency, ChangeFindings, ChangesFindings

if TYPE_CHECKING:
    from ...circuit.circuit import Circuit
    from ...record.sections.changes import Change
    from ..bench import Bench


AUDIO_HERTZ = 1000.0
"""The middle of the audible range, by which audio stages are measured."""


def examine(bench: Bench) -> ChangesFindings | None:
    """What follows from the record's changes; None where it has none."""
    record = bench.record
    if not record.changes:
        return None
    frequencies = tuple(set_frequencies(bench))
    changes = tuple(
        _change(str(name), change, number, frequencies, bench.circuit)
        for number, (name, change) in enumerate(record.changes.items(), 1)
    )
    mains = bench.circuit.mains
    lacks = [
        word
        for word, given in (
            (f"{bench.words.line} frequency", mains.direct or mains.hertz),
            ("IF", record.IF),
            ("bands", record.bands),
        )
        if not given
    ]
    return ChangesFindings(changes, tuple(lacks))


def set_frequencies(bench: Bench) -> Iterator[tuple[str, float]]:
    """The set's own frequencies in hertz, named: the supply's ripple, the intermediate frequency, each band's ends.

    Ripple is at the line frequency behind a half-wave rectifier, as in a set without a transformer; elsewhere it is
    taken at twice the line frequency, as behind a full-wave rectifier.
    """
    record, mains = bench.record, bench.circuit.mains
    if mains.hertz is not None:
        half_wave = mains.straight_from_line
        yield ("ripple, half-wave", mains.hertz) if half_wave else ("ripple, full-wave", 2 * mains.hertz)
    yield "audio", AUDIO_HERTZ
    if record.IF and record.IF.si and record.IF.si > 0:
        yield "IF", record.IF.si
    for name, band in record.bands.items():
        yield from ((f"{name}, {end}", hz) for end, hz in (("low end", band.low_hertz), ("high end", band.high_hertz)))


def _change(
    name: str, change: Change, number: int, frequencies: tuple[tuple[str, float], ...], circuit: Circuit
) -> ChangeFindings:
    added = tuple(seen(component) for component in change.add)
    listed = circuit.component(change.across)
    inside = in_place(listed, "now") if listed else InPlace()
    capacitors = [c for s in added if (c := _capacitor(of_component(s, "now", None)))]
    one = capacitors[0] if len(capacitors) == 1 == len(added) else None
    there, written = _capacitor(inside), inside.esr_ohms
    assumed = _esr_of_new(inside.seen) if inside.which == "now" and written is None else None
    esr = assumed if written is None else written
    if there and assumed is not None:
        there = replace(there, esr_ohms=assumed)
    lacks = "" if not one or not change.across else "part" if not listed else "capacitance" if not there else ""
    lacks = lacks or ("ESR" if one and there and esr is None else "")
    compared = there if one and esr is not None else None
    both = antiresonance(one, compared) if one and compared and compared.esl_henries else None
    at = tuple(_at(what, hz, one, compared) for what, hz in frequencies) if one else _inductor(added, frequencies)
    gains = [a.gain_decibels for a in at if a.gain_decibels is not None]
    return ChangeFindings(
        name=name,
        kind=added[0].kind if len(added) == 1 else "",
        across=str(change.across) if change.across else None,
        across_farads=there.farads if there else None,
        across_esr_ohms=esr,
        across_esr_assumed=assumed is not None,
        self_resonance_hertz=to_figures(one.self_resonance(), 2) if one else None,
        antiresonance_hertz=to_figures(both, 2),
        at=at,
        least_gain_decibels=min(gains, default=None),
        most_gain_decibels=max(gains, default=None),
        added=added,
        removed=str(change.remove or ""),
        between=tuple(str(end) for end in change.between or ()),
        date=change.date,
        why=str(change.why or ""),
        note=str(change.note or ""),
        anchor=f"changes-{number}",
        lacks=lacks,
        added_part=one,
        there_part=compared,
    )


def _esr_of_new(component: Seen) -> float | None:
    """What the published table gives for a new electrolytic; None for anything else."""
    if component.type.casefold() != "electrolytic" or not component.value or not component.volts:
        return None
    return esr_when_new(component.value, component.volts)


def _capacitor(component: InPlace) -> RealCapacitor | None:
    farads, written = component.value, component.seen
    if component.unit != "F" or not farads or not 0 < farads < math.inf:
        return None
    leads = abs(written.leads_metres or 0.0) * LEAD_HENRIES_PER_METRE
    return RealCapacitor(farads, abs(written.esr_ohms or 0.0), abs(written.esl_henries or 0.0) + leads)


def _at(what: str, hertz: float, added: RealCapacitor, there: RealCapacitor | None) -> AtFrequency:
    alone = abs(added.impedance(hertz))
    if there is None:
        return AtFrequency(what, hertz, alone)
    before, both = abs(there.impedance(hertz)), abs(pair_impedance(added, there, hertz))
    gain = round(20 * math.log10(before / both), 6) + 0.0 if before > 0 and 0 < both < math.inf else None
    return AtFrequency(what, hertz, alone, before, both, gain)


def _inductor(added: tuple[Seen, ...], frequencies: tuple[tuple[str, float], ...]) -> tuple[AtFrequency, ...]:
    alone = of_component(added[0], "now", None) if len(added) == 1 else InPlace()
    henries = alone.value if alone.unit == "H" else None
    if not henries or henries < 0:
        return ()
    return tuple(AtFrequency(what, hz, inductive_reactance(henries, hz)) for what, hz in frequencies)
