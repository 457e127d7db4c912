"""Before power: what an ohmmeter should show at this set, and beside it what it showed."""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...circuit import cold_subjects as subjects
from ...circuit.cold_path import replaced_since
from ...circuit.cold_subjects import ColdSubject, subject_of
from ...circuit.in_place import in_place
from ...circuit.leakage import bound_of
from ...circuit.places import rail, rail_order
from ...circuit.usual_limits import JOINED_OHMS
from ...circuit.winding_halves import both_halves
from ...record.figures import to_figures
from ...record.place_words import B_MINUS, B_PLUS, CHASSIS
from ...record.units import say
from ...report.typed import typed
from .cold_expected import ColdBands, ColdExpectations
from .findings import EXPECTED, LOOK_AGAIN, NOT_MEASURED, ColdCheck

if TYPE_CHECKING:
    from ...circuit.places import Place
    from ...record.sections.before_power import ColdReading
    from ..bench import Bench
    from ..heaters.findings import HeatersFindings
    from ..line_side.findings import LineSideFindings

_MOST_RAILS = 1
_PLUG, _LINE_TO_CHASSIS, _B_MINUS_TO_CHASSIS = "plug", "line to chassis", "B- to chassis"
_OF_THE_LINE_SIDE = (_PLUG, _LINE_TO_CHASSIS, _B_MINUS_TO_CHASSIS)
"""What the ohmmeter readings of the line side's steps have."""
_NARROW = 1.3
"""Ends that lie nearer are said with three figures."""


def cold_checks(
    bench: Bench, heaters: HeatersFindings | None, line_side: LineSideFindings | None
) -> tuple[ColdCheck, ...]:
    """Every reading that was written, and of what should be read all that was not; the readings first."""
    expectations = ColdExpectations(bench, heaters, line_side)
    read = [(subject_of(bench.circuit, str(r.of)), r) for r in bench.record.before_power]
    done = {subject for subject, _ in read}
    unread = ((w, b) for w, b in _wanted(expectations) if w.subject not in done and not _among_parts(bench, w.subject))
    return (
        *(_read(subject, reading, expectations) for subject, reading in read),
        *(_unread(wanted, bands, bench) for wanted, bands in unread),
    )


def _among_parts(bench: Bench, subject: ColdSubject) -> bool:
    """Whether what a meter reads there stands in the parts list: a winding wears no ohms."""
    listed = bench.circuit.component(subject.part) if subject.part else None
    there = in_place(listed, "now") if listed else None
    if there is None or there.unit != "ohm" or there.value is None:
        return False
    return there.how == "measured" or subject.which == subjects.OUTPUT_PRIMARY


def every_check(
    bench: Bench, heaters: HeatersFindings | None, line_side: LineSideFindings | None
) -> tuple[ColdCheck, ...]:
    """All that should be read of this set before power, with what is to be expected now."""
    found = _wanted(ColdExpectations(bench, heaters, line_side))
    return tuple(_unread(wanted, bands, bench) for wanted, bands in found)


def to_measure(
    bench: Bench, heaters: HeatersFindings | None, line_side: LineSideFindings | None
) -> tuple[ColdCheck, ...]:
    """The same, without what the steps of the line side have already."""
    told = _OF_THE_LINE_SIDE if line_side is not None and line_side.steps else ()
    found = _wanted(ColdExpectations(bench, heaters, line_side))
    return tuple(_unread(wanted, bands, bench) for wanted, bands in found if wanted.as_in_a_record not in told)


@dataclass(frozen=True, slots=True)
class _Wanted:
    """A reading that should be taken: its subject, how the page says it, and how a record names it."""

    subject: ColdSubject
    said: str
    as_in_a_record: str


def _wanted(expectations: ColdExpectations) -> Iterator[tuple[_Wanted, ColdBands]]:
    """What can be expected, in the order of measuring; what hangs on parts without ohms is left out."""
    for wanted in _subjects(expectations.bench):
        if (bands := expectations.at(wanted.subject)) is not None:
            yield wanted, bands


def _subjects(bench: Bench) -> Iterator[_Wanted]:
    circuit, words = bench.circuit, bench.words
    if circuit.mains.from_line:
        yield _Wanted(ColdSubject(subjects.PLUG), f"{words.wall_plug.capitalize()}, pin to pin, switch on", _PLUG)
        to_chassis = f"{words.line.capitalize()} to chassis"
        yield _Wanted(ColdSubject(subjects.LINE_TO_CHASSIS), to_chassis, _LINE_TO_CHASSIS)
    if circuit.grounding.chassis_on_line and not circuit.grounding.one_point:
        chassis = subjects.placed(circuit, rail(CHASSIS), rail(B_MINUS))
        yield _Wanted(chassis, f"{words.b_minus} to chassis", _B_MINUS_TO_CHASSIS)
    if circuit.mains.wound and (name := subjects.line_transformer(circuit)):
        winding = ColdSubject(subjects.PART, part=name, which=subjects.SECONDARY)
        yield _Wanted(winding, f"{name}, winding for {words.b_plus}", f"{name} secondary")
    for at in _rails(bench):
        first = at.said(words)
        said = f"{first} to {words.b_minus}, plus lead on {first}"
        yield _Wanted(subjects.placed(circuit, at, rail(B_MINUS)), said, f"{at.key} to B-")
    if not circuit.mains.wound:
        yield _Wanted(ColdSubject(subjects.STRING), "Heater string from end to end, cold", "heater string")
    yield from _windings(bench)
    if bench.record.speaker is not None:
        yield _Wanted(ColdSubject(subjects.VOICE_COIL), "Voice coil, transformer off", "voice coil")


def _rails(bench: Bench) -> list[Place]:
    network = bench.circuit.network
    rails = {network.point(at) for element in network.elements for at in element.ends if at.kind == B_PLUS}
    return sorted((at for at in rails if not at.tube), key=rail_order)[:_MOST_RAILS]


def _windings(bench: Bench) -> Iterator[_Wanted]:
    told = set()
    for listed in bench.circuit.components:
        there = in_place(listed, "now")
        whole = both_halves(bench.circuit.network.elements, listed.part) is not None
        name = listed.part if whole else listed.name
        subject = subject_of(bench.circuit, name) if there.is_there else None
        if subject in told:
            continue
        told.add(subject)
        if subject is not None and subject.which == subjects.OUTPUT_PRIMARY:
            yield _Wanted(subject, f"{name}, primary", f"{name} primary")
        elif subject is not None and subject.kind == subjects.FIELD:
            yield _Wanted(subject, f"{listed.name}, {listed.piece.job or 'field'}", listed.name)
    speaker = bench.record.speaker
    if speaker and speaker.field and not any("field" in o.piece.job.casefold() for o in bench.circuit.components):
        yield _Wanted(ColdSubject(subjects.FIELD), "Field coil", "field coil")


def _unread(wanted: _Wanted, bands: ColdBands, bench: Bench) -> ColdCheck:
    return _check(wanted.said, bands, NOT_MEASURED, bench, as_in_a_record=wanted.as_in_a_record)


def _read(subject: ColdSubject | None, reading: ColdReading, expectations: ColdExpectations) -> ColdCheck:
    day = datetime.date(reading.date.year, reading.date.month, reading.date.day) if reading.date else None
    bands = expectations.at(subject, day) if subject is not None else None
    held = bands.holds(reading.ohms) if bands is not None else None
    verdict = "" if held is None else EXPECTED if held else LOOK_AGAIN
    ohms = 0.0 if reading.ohms.qualifier == "short" else reading.ohms.si
    return _check(
        str(reading.of),
        bands,
        verdict,
        expectations.bench,
        day,
        read_ohms=ohms,
        read_bound=reading.ohms.qualifier if reading.ohms.qualifier in ("open", "short") else bound_of(reading.ohms),
        at_volts=reading.at.si if reading.at else None,
        date=reading.date.isoformat() if reading.date else "",
        note=str(reading.note or ""),
        read=typed(reading.ohms),
        look_for=_look_for(subject, bands, reading, expectations.bench) if verdict == LOOK_AGAIN else "",
        replaced=_replaced(subject, bands, reading, expectations.bench) if verdict == LOOK_AGAIN else (),
    )


def _replaced(
    subject: ColdSubject | None, bands: ColdBands | None, reading: ColdReading, bench: Bench
) -> tuple[str, ...]:
    """What lay on the way of a reading and is not in the set any more."""
    if subject is None or bands is None or reading.date is None:
        return ()
    day = datetime.date(reading.date.year, reading.date.month, reading.date.day)
    return replaced_since(bench.circuit, subject, day, high=_is_high(bands, reading))


def _is_high(bands: ColdBands, reading: ColdReading) -> bool:
    return reading.ohms.qualifier in ("open", "overrange") or (reading.ohms.si or 0.0) > bands.high_ohms


def _check(
    of: str, bands: ColdBands | None, verdict: str, bench: Bench, day: datetime.date | None = None, **read: object
) -> ColdCheck:
    return ColdCheck(
        of=of,
        verdict=verdict,
        bands_ohms=tuple((to_figures(low), _end(high)) for low, high in bands.bands) if bands else (),
        rests_on=bands.rests_on if bands else "",
        said=said_of(bands, bench, day) if bands else "",
        **read,  # type: ignore[arg-type]
    )


def _end(ohms: float) -> float | None:
    return to_figures(ohms) if math.isfinite(ohms) else None


def said_of(bands: ColdBands, bench: Bench, day: datetime.date | None = None) -> str:
    """The bands in words: ``22 kΩ to 24 kΩ when charged``."""
    told = [*dict.fromkeys(_band(low, high) for low, high in bands.bands)]
    if bands.climbs and math.isinf(bands.high_ohms):
        return f"a climb past {say(bands.low_ohms, 'ohm')}, as only capacitors lead there"
    dry = bench.circuit.dry_rectifier_on(day or "now")
    backwards = f"; the other way round {dry.part}, {dry.type}, conducts" if bands.climbs and dry else ""
    ends = " when charged" if bands.climbs else " as a rule" if bands.rests_on == "rule" else ""
    ends += " with what is in series" if bands.with_series else ""
    ends += ", as pin and switch have it" if bands.by_way else ""
    return f"{_either(told)}{ends}{backwards}{', out of its socket' if bands.out else ''}"


def _either(told: Sequence[str]) -> str:
    return " or ".join([", ".join(told[:-1]), told[-1]] if told[:-1] else told)


def _band(low: float, high: float) -> str:
    if math.isinf(high):
        return f"no path, past {say(to_figures(low, 2), 'ohm')}"
    if high < JOINED_OHMS:
        return f"a direct joint, under {say(JOINED_OHMS, 'ohm')}"
    figures = 3 if high < low * _NARROW else 2
    ends = [say(to_figures(ohms, figures), "ohm") for ohms in (low, high)]
    if low <= 0:
        return f"at most {ends[1]}"
    return " to ".join(dict.fromkeys(ends))


def _in_the_way(bench: Bench) -> str:
    """What a meter across the plug or the string goes through."""
    heaters = bench.record.heaters
    dropper = "the dropper, " if heaters is not None and heaters.dropper is not None else ""
    return f"{dropper}a heater, a winding, the switch, the fuse or the cord"


_BROKEN = 10.0
"""Common practice, no source: a heater of more times its cold ohms is broken, of fewer it is warm or dirty."""


def _look_for(subject: ColdSubject | None, bands: ColdBands | None, reading: ColdReading, bench: Bench) -> str:
    """Where a reading comes from that is too low or too high. Common practice, no source."""
    words = bench.words
    if subject is None or bands is None:
        return ""
    high = _is_high(bands, reading)
    if subject.kind == subjects.HEATER:
        if not high:
            return "it is not the heater that was read"
        broken = reading.ohms.si is None or reading.ohms.si > _BROKEN * bands.high_ohms
        told = "the heater is open" if broken else "its pins are dirty or it is still warm"
        return f"{told}: clean the pins and read again"
    if subject.kind in (subjects.STRING, subjects.PLUG):
        return (
            f"something in the way is open: {_in_the_way(bench)}"
            if high
            else f"something in the way is shorted, or a {words.tube} of another type is in"
        )
    if subject.kind in (subjects.LINE_TO_CHASSIS, subjects.APART):
        return (
            f"a part from the {words.line} to the chassis leaks, or insulation does: find it before any power"
            if not high
            else "a part that should join the two is open"
        )
    if subject.kind == subjects.BETWEEN and any(place.kind == B_PLUS for place in subject.places):
        dry = bench.circuit.dry_rectifier_on(reading.date or "now")
        way = f", or the leads lie so that {dry.part} conducts" if dry else ""
        return (
            "a resistor, choke or field in the way is open"
            if high
            else f"a {words.filter_capacitor} leaks or has not charged, a bypass is shorted{way}"
        )
    if subject.kind == subjects.BETWEEN:
        return "a part in the way is open or has drifted" if high else "a capacitor leaks, or more lies beside it"
    if subject.kind == subjects.EARTH_WIRE:
        return f"the {words.earth} wire has a bad joint"
    return "it is open, or nearly" if high else "turns are shorted, or something lies beside it"
