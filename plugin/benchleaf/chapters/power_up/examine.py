"""What follows: the findings of the chapter worked out."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from ...circuit.powered_steps import before_step, near_line, not_running, read_amps
from ...circuit.rectifier_feed import rectifiers_of
from ...record.figures import to_figures
from ...record.model import Record
from ...record.quantities import Quantity
from ...record.sections.power_up import PowerUp, PowerUpStep, Reforming
from ...record.units import say
from ...report.anchors import part_anchor, with_links
from ...report.typed import typed
from ..bench import Bench
from ..line_side.line_and_load import nameplate_watts
from .cold_checks import cold_checks
from .doubts import doubts_of, of_reforming
from .expected import line_curve
from .findings import (
    ExpectedLine,
    LampInSeries,
    LineCurve,
    LinePoint,
    PowerUpFindings,
    RaisedLine,
    RaisedStep,
    ReformedPart,
    ReformingStep,
    SoakTest,
)
from .limiting import limits_of
from .series_lamp import behind, lamp_of, was_out
from .soaking import soak_test

if TYPE_CHECKING:
    from ..heaters.findings import HeatersFindings
    from ..line_side.findings import LineSideFindings
    from ..parts.findings import PartsFindings


_READ_AT = re.compile(r"(?<![\w.])(?P<at>(?:B ?\+|H\.?T\.?(?: ?\+)?) ?\d{0,2}(?: [A-Z]{2,})?)\s+(?=[+−-]?\d)", re.I)
"""A rail with what was read at it."""


def examine(
    bench: Bench,
    parts: PartsFindings | None = None,
    heaters: HeatersFindings | None = None,
    line_side: LineSideFindings | None = None,
) -> PowerUpFindings | None:
    """Cold checks, sessions and reforming; None where none was written."""
    record = bench.record
    if not record.power_up and not record.reforming and not record.before_power:
        return None
    steps = [
        step for session in record.power_up for step in (*session.steps, *([session.soak] if session.soak else ()))
    ]
    lines = [volts for step in steps if (volts := si(step.line))]
    curve = line_curve(bench, parts, heaters, lines) if lines else None
    in_string = heaters is not None and heaters.arrangement in ("series", "mixed")
    sessions = tuple(_sessions(bench, curve, in_string=in_string))
    nominal = curve.nominal if curve else None
    return PowerUpFindings(
        sessions=sessions,
        reforming=tuple(_reformed(str(name), part, record) for name, part in record.reforming.items()),
        hangs_on_line=bench.circuit.grounding.chassis_on_line,
        expected=tuple(step.expected for session in sessions for step in session.steps if step.expected),
        watts=to_figures(nominal.watts, 2) if nominal else None,
        nameplate_watts=nameplate_watts(record),
        volt_amperes=_volt_amperes(bench, nominal),
        before_power=cold_checks(bench, heaters, line_side) if record.before_power else (),
        curve=curve,
        in_string=in_string,
        live=bench.circuit.grounding.live,
    )


def _volt_amperes(bench: Bench, nominal: LinePoint | None) -> float | None:
    """Volts times amperes of the last step of the whole set near the nominal line, with no lamp in series."""
    if nominal is None:
        return None
    full = nominal.line.line_volts
    for volts, amps, why_not in read_amps(bench.record, tuple(rectifiers_of(bench.circuit))):
        if not why_not and near_line(volts, full):
            return to_figures(volts * amps)
    return None


def si(quantity: Quantity | None) -> float | None:
    """A quantity's value in SI, None where there is none."""
    return quantity.si if quantity else None


def _curve_of(session: PowerUp, step: PowerUpStep, curve: LineCurve | None, bench: Bench) -> LineCurve | None:
    """What a step is held to: nothing where the rectifier or the tubes were out."""
    without = not_running(session, step, tuple(rectifiers_of(bench.circuit)))
    return None if without in ("no rectifier", "no tubes") else curve


def _step(step: PowerUpStep, curve: LineCurve | None, lamp: LampInSeries | None, bench: Bench) -> RaisedStep:
    expected, set_volts = _expected(si(step.line), curve, lamp)
    warm = curve.share_at(set_volts if lamp is not None else si(step.line)) if curve else None
    return RaisedStep(
        line_volts=si(step.line),
        line_amps=si(step.amps),
        after_seconds=si(step.after),
        read=in_page_words(str(step.read or ""), bench),
        note=str(step.note or ""),
        verdict=expected.verdict(si(step.amps), _last_digit(step.amps)) if expected else "",
        set_volts=set_volts,
        heaters_of_rated=warm,
        clock=str(step.clock or ""),
        line=typed(step.line),
        amps=typed(step.amps),
        after=typed(step.after),
        expected=expected,
    )


def _expected(
    line_volts: float | None, curve: LineCurve | None, lamp: LampInSeries | None
) -> tuple[ExpectedLine | None, float | None]:
    """What a step should draw, and what a lamp in series leaves for the set."""
    if curve is None or line_volts is None:
        return None, None
    if lamp is not None:
        return behind(lamp, curve, line_volts) or (None, None)
    point = curve.at(line_volts)
    return (point.line if point else None), None


def in_page_words(read: str, bench: Bench) -> str:
    """What was read beside the line, each place in the words of the page: of ``HT1 142 V`` an American one says B+1."""
    return _READ_AT.sub(lambda one: f"{bench.circuit.places.said(one['at'], bench.words)} ", read)


def _last_digit(quantity: Quantity | None) -> float:
    """What one in the last digit of a reading is worth: 0.01 of ``0.24 A``."""
    number = re.search(r"\d+(?:[.,](\d+))?", quantity.written) if quantity else None
    if number is None or not quantity or not quantity.si:
        return 0.0
    typed_number = float(number[0].replace(",", "."))
    return quantity.si / typed_number * 10.0 ** -len(number[1] or "") if typed_number else 0.0


def _sessions(bench: Bench, curve: LineCurve | None, *, in_string: bool) -> Iterator[RaisedLine]:
    """Every session; what a thing before the set does is said at the first that names it."""
    told: list[str] = []
    for session in bench.record.power_up:
        raised = _session(session, curve, bench, told, in_string=in_string)
        told += raised.limits
        yield raised


def _session(
    session: PowerUp, curve: LineCurve | None, bench: Bench, told: list[str], *, in_string: bool
) -> RaisedLine:
    using = str(session.with_ or "")
    lamp = lamp_of(using, curve.nominal_volts) if curve else None
    full = curve.nominal_volts if curve else None
    lamps = [lamp_of(before_step(session, step), full) for step in session.steps]
    read = ((si(step.line), si(step.amps)) for step in session.steps)
    out = [was_out(one, *at) if one else None for one, at in zip(lamps, read, strict=True)]
    steps = tuple(
        _step(step, _curve_of(session, step, curve, bench), None if most else one, bench)
        for step, one, most in zip(session.steps, lamps, out, strict=True)
    )
    limits = limits_of(using, bench, session.date, in_string=in_string, lamp=lamp is not None) if using else ()
    return RaisedLine(
        date=session.date.isoformat() if session.date else "",
        using=using,
        steps=steps,
        highest_line_volts=max((s.line_volts for s in steps if s.line_volts is not None), default=None),
        note=str(session.note or ""),
        lamp=lamp,
        soak=_soak(session, curve, lamp),
        doubts=(*doubts_of(session, bench), *_without_the_lamp(steps, out)),
        limits=tuple(line for line in limits if line not in told),
    )


def _without_the_lamp(steps: Sequence[RaisedStep], out: Sequence[float | None]) -> Iterator[str]:
    """Steps whose current no lamp that is named can have passed; ``out`` has what it would let through at most."""
    for number, (step, most) in enumerate(zip(steps, out, strict=True), 1):
        if most is not None:
            yield (
                f"Step {number} drew {say(step.line_amps, 'A')}, more than the lamp lets through with the set a dead "
                f"short, {say(most, 'A')}: it was not in the line there, and the step is judged without it."
            )


def _soak(session: PowerUp, curve: LineCurve | None, lamp: LampInSeries | None) -> SoakTest | None:
    """A soak is judged as a step is; a lamp that is still in series too."""
    soak = session.soak
    if soak is None:
        return None
    expected, _ = _expected(si(soak.line), curve, lamp)
    verdict = expected.verdict(si(soak.amps), _last_digit(soak.amps)) if expected else ""
    return soak_test(soak, expected, verdict)


def _reformed(name: str, part: Reforming, record: Record) -> ReformedPart:
    steps = tuple(
        ReformingStep(
            after_seconds=si(entry.after),
            amps=si(entry.current),
            at_volts=si(entry.at),
            note=str(entry.note or ""),
            after=typed(entry.after),
            current=typed(entry.current),
            at=typed(entry.at),
        )
        for entry in part.log
    )
    currents = [step.amps for step in steps if step.amps is not None]
    return ReformedPart(
        part=name,
        to=str(part.to or ""),
        date=part.date.isoformat() if part.date else "",
        steps=steps,
        of_first=currents[-1] / currents[0] if len(currents) > 1 and currents[0] > 0 else None,
        note=str(part.note or ""),
        doubts=of_reforming(part),
        linked=with_links(name, {str(n): part_anchor(n) for n in record.parts}),
    )
