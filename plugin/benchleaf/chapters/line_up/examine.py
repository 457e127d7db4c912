"""What follows: the findings of the chapter worked out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from ...record.quantities import Quantity
from ...record.sections.line_up import FittedTube, TestedTube
from ...record.units import say
from ...report.anchors import tube_anchor
from ...report.typed import typed
from ...tubes import DirectCurrentLimit, Rated, TableSource, Tube, Typical, grade, say_electrode
from ...tubes.grade import ValueGrade
from ...tubes.rectifiers import rectifier_figures
from ...words import Words
from ...words.decimal_sign import with_decimal_sign
from ..bench import Bench
from .findings import Exchange, ExchangedTube, Known, KnownRow, LineUpFindings, TubePosition

_LARGER = 0.02
"""Heater ratings further apart than this are of different heaters: tables round to the last figure they print."""


def examine(bench: Bench) -> LineUpFindings | None:
    """The line-up; None where the record names no tube."""
    record = bench.record
    if not record.tubes and not record.changed_tubes:
        return None
    positions = tuple(
        _position(str(name), tube, bench.tubes.get(str(name)), bench.words) for name, tube in record.tubes.items()
    )
    types = {tube.type: tube for tube in bench.tubes.values() if tube.asked_as != "described"}
    return LineUpFindings(
        tubes=positions,
        changed=tuple(_exchange(str(name), bench) for name in record.changed_tubes),
        not_in_table=tuple(p.tube for p in positions if not p.known),
        known=tuple(Known(t.type, tuple(_rows(t, bench)), _notes(t)) for t in types.values()),
    )


def _position(name: str, fitted: FittedTube, tube: Tube | None, words: Words) -> TubePosition:
    own = fitted.heater
    described = tube is not None and tube.asked_as == "described"
    in_table = tube if tube is not None and not described else None
    heater = (own.volts.si, own.amps.si) if own else (tube.heater.volts, tube.heater.amps) if tube else (None, None)
    return TubePosition(
        tube=name,
        type=str(fitted.type),
        table_type=in_table.type if in_table else None,
        related=in_table.asked_as if in_table and in_table.type != fitted.type else "",
        known=in_table is not None,
        job=str(fitted.job or (words.of_key(tube.role or "") if tube else "")),
        job_from_table=not fitted.job,
        base=tube.base if tube else None,
        heater_volts=heater[0],
        heater_amps=heater[1],
        from_record=own is not None,
        note=", ".join(filter(None, (_tested(fitted.emission), str(fitted.note or "")))),
        anchor=tube_anchor(name),
        own_heater=(typed(own.volts), typed(own.amps)) if own else None,
        own_base=str(fitted.base or ""),
        own_pins=tuple(map(str, fitted.pins or ())),
    )


def _exchange(name: str, bench: Bench) -> Exchange:
    record = bench.record
    changed = record.changed_tubes[name]  # type: ignore[index]
    fitted = record.tubes.get(name)  # type: ignore[call-overload]
    return Exchange(
        tube=name,
        was=_side(changed.was, bench),
        now=_side(changed.now, bench),
        why=str(changed.why or ""),
        date=changed.date.isoformat() if changed.date else "",
        note=_bare(changed.note),
        listed=fitted is not None,
        remarks=tuple(_differences(name, changed.was, changed.now, fitted, bench)),
    )


def _side(tested: TestedTube | None, bench: Bench) -> ExchangedTube | None:
    if tested is None:
        return None
    emission = tested.emission
    return ExchangedTube(
        type=str(tested.type),
        emission=emission.si if emission else None,
        in_table=bench.tube(tested.type) is not None,
        note=_bare(tested.note),
        emission_typed=typed(emission),
    )


def _differences(
    name: str, was: TestedTube | None, now: TestedTube | None, fitted: FittedTube | None, bench: Bench
) -> Iterator[str]:
    """How the tube that went in differs from the one that came out, and from the one that is listed."""
    old, new = (bench.tube(side.type) if side else None for side in (was, now))
    if old and new and old.type != new.type:
        volts, amps = old.heater.volts / new.heater.volts, old.heater.amps / new.heater.amps
        if max(abs(volts - 1), abs(amps - 1)) > _LARGER:
            yield f"the {new.type} has another heater than the {old.type}"
        if old.base and new.base and old.base != new.base:
            yield f"the {new.type} has another base than the {old.type}"
    listed = bench.tube(fitted.type) if fitted else None
    if now and fitted and (listed.type if listed else str(fitted.type)) != (new.type if new else str(now.type)):
        yield f"the list of {bench.words.tubes} still names the {fitted.type} there, not the {now.type}"


def _row(
    what: str,
    sources: Iterable[TableSource],
    standing: ValueGrade,
    value: float | None = None,
    unit: str = "",
    text: str = "",
) -> KnownRow:
    return KnownRow(what, grade.said(sources, standing), standing.grade, value, unit, text)


def _rows(tube: Tube, bench: Bench) -> Iterator[KnownRow]:
    yield from _heater(tube)
    identity = tube.identity_sources
    for what, text, standing in (
        ("Role", bench.words.of_key(tube.role or "") or None, grade.plain(identity)),
        ("Base", tube.base, grade.base(tube)),
        ("Top cap", "yes" if tube.top_cap else "", grade.plain(identity)),
    ):
        if text:
            yield _row(what, identity, standing, text=text)
    if tube.pin_rows:
        sources = tuple(source for row in tube.pin_rows for source in row.sources)
        yield _row("Pins", sources, grade.pins(tube), text=_pins(tube, bench))
    yield from _ratings(tube, bench)
    yield from _rectifier(tube, bench)
    yield from _typical(tube, bench)
    if tube.equivalents:
        names = ", ".join(other.name for other in tube.equivalents)
        sources = tuple(other.source for other in tube.equivalents)
        yield _row("Other names", sources, grade.plain(sources), text=names)


def _heater(tube: Tube) -> Iterator[KnownRow]:
    heater, volts, amps = tube.heater, grade.heater_volts(tube), grade.heater_amps(tube)
    yield _row("Heater volts", heater.sources, volts, heater.volts, "V")
    yield _row("Heater current", heater.sources, amps, heater.amps, "A")
    if heater.parallel_volts and heater.parallel_amps:
        yield _row("Heater volts, halves side by side", heater.sources, volts, heater.parallel_volts, "V")
        yield _row("Heater current, halves side by side", heater.sources, amps, heater.parallel_amps, "A")
    if heater.tap_volts:
        tap = grade.plain(heater.tap_sources)
        yield _row("Pilot lamp tap, no lamp", heater.tap_sources, tap, heater.tap_volts, "V")


def _pins(tube: Tube, bench: Bench) -> str:
    said = (
        (row.pin, say_electrode(row.electrode, tube.role, bench.words, direct=tube.heater.direct))
        for row in tube.pin_rows
    )
    return ", ".join(f"{pin} {word}" for pin, word in said)


def _ratings(tube: Tube, bench: Bench) -> Iterator[KnownRow]:
    plate, screen = bench.words.plate, bench.words.screen
    for maxima in (tube.maxima, *tube.other_maxima):
        where = f", {maxima.section}" if maxima.section else ""
        for what, name, unit in (
            (f"Most {plate} volts", "plate_volts", "V"),
            (f"Most {plate} dissipation", "plate_watts", "W"),
            (f"Most {screen} volts", "screen_volts", "V"),
            (f"Most {screen} dissipation", "screen_watts", "W"),
            ("Most cathode current", "cathode_amps", "A"),
        ):
            limit: Rated | None = getattr(maxima, name)
            if limit:
                standing = grade.rated(tube, maxima.section, name, limit)
                said = f"{what}{where}{_condition(limit)}{f' ({limit.system})' if limit.system else ''}"
                yield _row(said, limit.sources, standing, limit.value, unit)
        for direct in maxima.dc:
            standing = grade.direct_current(tube, maxima.section, direct)
            yield _row(f"Most direct current{where}{_condition(direct)}", direct.sources, standing, direct.amps, "A")


def _condition(limit: Rated | DirectCurrentLimit) -> str:
    return f", {limit.condition}" if limit.condition else ""


def _rectifier(tube: Tube, bench: Bench) -> Iterator[KnownRow]:
    figures = rectifier_figures(tube)
    if figures is None:
        return
    plate = bench.words.plate
    for drop in figures.drops:
        said = f"Drop at {say(drop.amps, 'A')} through one {plate}"
        yield _row(said, drop.sources, grade.drop(tube, drop), drop.volts, "V")
    if peak := figures.peak_amps:
        standing = grade.rectifier(tube, "peak_amps", peak)
        yield _row(f"Most peak current, one {plate}", peak.sources, standing, peak.value, "A")
    if inverse := figures.inverse_volts:
        standing = grade.rectifier(tube, "inverse_volts", inverse)
        yield _row("Most peak inverse volts", inverse.sources, standing, inverse.value, "V")
    if reservoir := figures.reservoir_farads:
        standing = grade.rectifier(tube, "reservoir_farads", reservoir)
        yield _row(f"Largest {bench.words.reservoir}", reservoir.sources, standing, reservoir.value, "F")


def _typical(tube: Tube, bench: Bench) -> Iterator[KnownRow]:
    """A row for each operating point: all its figures in one line, parted only where their standing differs."""
    for point in tube.typical:
        where = "".join(f", {text}" for text in (point.section, point.use) if text)
        lines: dict[ValueGrade, list[str]] = {}
        for figure, said in _point_figures(tube, point, bench.words):
            lines.setdefault(grade.point(tube, point, figure), []).append(said)
        for standing, told in lines.items():
            yield _row(f"Typical{where}", point.sources, standing, text=", ".join(told))


def _point_figures(tube: Tube, point: Typical, words: Words) -> Iterator[tuple[str, str]]:
    """Each figure of an operating point by its field, as it is said."""
    for what, figure, unit in (
        (words.plate, "plate_volts", "V"),
        (words.screen, "screen_volts", "V"),
        ("grid", "grid_volts", "V"),
        (words.plate, "plate_amps", "A"),
        (words.screen, "screen_amps", "A"),
        ("cathode resistor", "cathode_ohms", "ohm"),
        ("load", "load_ohms", "ohm"),
        ("gm", "gm_siemens", "S"),
        (f"{words.plate} resistance", "rp_ohms", "ohm"),
    ):
        value: float | None = getattr(point, figure)
        if value is not None:
            yield figure, f"{what} {say(value, unit)}"
    if point.mu is not None:
        factor = f"mu of the {words.screen}" if _is_screened(tube, point) else "mu"
        yield "mu", f"{factor} {with_decimal_sign(f'{point.mu:g}')}"


def _is_screened(tube: Tube, point: Typical) -> bool:
    """Whether the section of a point, or the tube's main section, has a screen grid: of that, then, is its mu."""
    of_section = [section for section in tube.sections if not point.section or section.name == point.section]
    electrodes = of_section[0].electrodes if of_section else ()
    return any(say_electrode(key, tube.role).startswith("screen") for key in electrodes)


def _tested(emission: Quantity | None) -> str:
    """What a tube that stays in its place tested at."""
    return f"emission {emission.written}" if emission else ""


def _bare(note: str | None) -> str:
    """A note without the brackets it was typed in, as a page puts its own around it."""
    text = str(note or "")
    inside = text[1:-1]
    return inside if text[:1] + text[-1:] == "()" and not set("()") & set(inside) else text


def _notes(tube: Tube) -> tuple[str, ...]:
    pins = (f"Pin {row.pin}: {row.note}" for row in tube.pin_rows if row.note)
    return tuple(text for text in (tube.disagreement, tube.notes, *pins) if text)
