"""What follows: the findings of the chapter worked out."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...circuit.frequencies import AERIAL_Q
from ...circuit.line_watts import nameplate_of
from ...circuit.output_stage import OutputStage, output_stage
from ...electrics.tracking import image_rejection
from ...record.decibels import decibels, ratio
from ...record.figures import to_figures
from ...record.sections.results import Result
from ...report.typed import typed
from ..bench import Bench
from .curves import curve_of
from .findings import BesideTheSet, ComparedResult, ResultsFindings
from .subjects import LINE_POWER, better_way, subject_of, value_in

if TYPE_CHECKING:
    from ..power_up.findings import PowerUpFindings
    from ..readings.findings import ReadingsFindings

_SAME = 0.01


def examine(
    bench: Bench, readings: ReadingsFindings | None = None, power_up: PowerUpFindings | None = None
) -> ResultsFindings | None:
    """The results; None where none was written. ``readings`` have the output stage's operating point, ``power_up`` the
    watts that the set takes by what is computed."""
    record = bench.record
    if not record.results:
        return None
    plate = nameplate_of(record, "power")
    results = tuple(
        _compared(str(name), result, plate) for name, result in record.results.items() if not _is_curve(result)
    )
    drawn = (curve_of(str(name), result, n) for n, (name, result) in enumerate(record.results.items(), 1))
    curves = tuple(curve for curve in drawn if curve)
    stage = output_stage(bench.circuit, readings.operating) if readings else None
    measured = _power(results)
    return ResultsFindings(
        results,
        sum(bool(r.direction) for r in results) + sum(bool(curve.before and curve.points) for curve in curves),
        curves,
        (*_beside(results, stage, bench), *_draws(results, plate, power_up.watts if power_up else None)),
        stage if measured is not None else None,
    )


def _is_curve(result: Result) -> bool:
    return bool(result.curve or result.curve_before) and not (result.before or result.after or result.sheet)


def _draws(results: tuple[ComparedResult, ...], plate: float | None, computed: float | None) -> Iterator[BesideTheSet]:
    """Watts that were read of the line, beside what is computed of the set and beside its nameplate."""
    for result in results:
        if result.subject == LINE_POWER and result.after:
            if computed:
                yield BesideTheSet(result.name, "draws", result.after, computed, "W")
            if plate:
                yield BesideTheSet(result.name, "nameplate", result.after, plate, "W")


def _compared(name: str, result: Result, plate: float | None) -> ComparedResult:
    found = ratio(result.before, result.after)
    units = {quantity.unit for quantity in (result.before, result.after, result.sheet) if quantity}
    unit = units.pop() if len(units) == 1 else ""
    change = decibels(result.before, result.after)
    direction = "" if found is None else "unchanged" if abs(found - 1) < _SAME else "higher" if found > 1 else "lower"
    if unit == "dB" and change is not None:
        direction = "unchanged" if change == 0 else "higher" if change > 0 else "lower"
    subject = subject_of(name, result, plate)
    way = better_way(subject, unit)
    return ComparedResult(
        name=name,
        before=result.before.si if result.before else None,
        after=result.after.si if result.after else None,
        sheet=result.sheet.si if result.sheet else None,
        unit=unit,
        ratio=found,
        change_db=change,
        direction=direction,
        better=direction == way if way and direction in ("higher", "lower") else None,
        for_=str(result.for_ or ""),
        note=str(result.note or ""),
        subject=subject,
        load_ohms=result.into.si if result.into and result.into.si and result.into.si > 0 else None,
        at=str(result.at or ""),
        standard=str(result.standard or ""),
        before_typed=typed(result.before),
        after_typed=typed(result.after),
        sheet_typed=typed(result.sheet),
        load_typed=typed(result.into),
    )


def _power(results: tuple[ComparedResult, ...]) -> tuple[ComparedResult, float] | None:
    """The result that has the output power after the work, and its watts: written, or of volts across a load."""
    for result in results:
        if result.subject != "power" or not result.after or result.after <= 0:
            continue
        if result.unit == "W":
            return result, result.after
        if result.unit == "V" and result.load_ohms:
            return result, result.after**2 / result.load_ohms
    return None


def _beside(results: tuple[ComparedResult, ...], stage: OutputStage | None, bench: Bench) -> Iterator[BesideTheSet]:
    """Each result that the set itself has a figure for, with that figure."""
    power = _power(results)
    if power and stage:
        yield BesideTheSet(power[0].name, "limit", to_figures(power[1]), stage.watts, "W")
    for result in results:
        if result.subject == "image":
            yield from _image(result, bench)
        elif result.subject == "hum" and power:
            yield from _hum(result, power, bench)


def _image(result: ComparedResult, bench: Bench) -> Iterator[BesideTheSet]:
    """The image ratio of one tuned circuit at the frequency that the result was read at."""
    hertz = next((v.si for text in (result.at, result.name) if (v := value_in(text, "frequency"))), None)
    between = [q.si for q in (bench.record.IF, bench.record.second_if) if q and q.si and q.si > 0]
    if not hertz or not between:
        return
    own = min(between) if hertz < 40e6 else max(between)
    measured = result.after
    if measured is not None and result.unit != "dB":
        measured = None
    yield BesideTheSet(result.name, "image", measured, to_figures(image_rejection(hertz, own, AERIAL_Q)), "dB", hertz)


def _hum(result: ComparedResult, power: tuple[ComparedResult, float], bench: Bench) -> Iterator[BesideTheSet]:
    """How far hum in volts across the speaker is below the output power across the same load."""
    speaker = bench.record.speaker
    own = speaker.impedance.si if speaker and speaker.impedance else None
    ohms = result.load_ohms or power[0].load_ohms or own
    if result.unit == "V" and result.after and result.after > 0 and ohms and ohms > 0:
        across = math.sqrt(power[1] * ohms)
        yield BesideTheSet(result.name, "hum", None, to_figures(20 * math.log10(result.after / across)), "dB")
