"""What follows: the findings of the chapter worked out."""

from __future__ import annotations

from collections.abc import Iterator

from ...record.sections.line_up import FittedTube, TestedTube
from ...report.anchors import tube_anchor
from ...report.typed import typed
from ...tubes import Tube, find, say_electrode
from ..bench import Bench
from .findings import Exchange, Known, KnownRow, LineUpFindings, Place, Side

_LARGER = 0.02
"""Heater ratings further apart than this are of different heaters: tables round to the last figure they print."""


def examine(bench: Bench) -> LineUpFindings | None:
    """The line-up; None where the record names no tube."""
    record = bench.record
    if not record.tubes and not record.changed_tubes:
        return None
    places = tuple(_place(str(name), tube, bench.tubes.get(str(name))) for name, tube in record.tubes.items())
    types = {tube.type: tube for tube in bench.tubes.values() if tube.asked_as != "described"}
    return LineUpFindings(
        tubes=places,
        changed=tuple(_exchange(str(name), bench) for name in record.changed_tubes),
        not_in_table=tuple(p.tube for p in places if not p.known),
        known=tuple(Known(t.type, tuple(_rows(t, bench)), _notes(t)) for t in types.values()),
    )


def _place(name: str, fitted: FittedTube, tube: Tube | None) -> Place:
    own = fitted.heater
    described = tube is not None and tube.asked_as == "described"
    in_table = tube if tube is not None and not described else None
    heater = (own.volts.si, own.amps.si) if own else (tube.heater.volts, tube.heater.amps) if tube else (None, None)
    return Place(
        tube=name,
        type=str(fitted.type),
        table_type=in_table.type if in_table else None,
        related=in_table.asked_as if in_table and in_table.type != fitted.type else "",
        known=in_table is not None,
        job=str(fitted.job or (tube.role if tube else "") or ""),
        job_from_table=not fitted.job,
        base=tube.base if tube else None,
        heater_volts=heater[0],
        heater_amps=heater[1],
        from_record=own is not None,
        note=str(fitted.note or ""),
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
        was=_side(changed.was),
        now=_side(changed.now),
        why=str(changed.why or ""),
        date=changed.date.isoformat() if changed.date else "",
        note=str(changed.note or ""),
        listed=fitted is not None,
        remarks=tuple(_differences(name, changed.was, changed.now, fitted, bench)),
    )


def _side(tested: TestedTube | None) -> Side | None:
    if tested is None:
        return None
    emission = tested.emission
    return Side(
        type=str(tested.type),
        emission=emission.si if emission else None,
        in_table=find(str(tested.type)) is not None,
        note=str(tested.note or ""),
        emission_typed=typed(emission),
    )


def _differences(
    name: str, was: TestedTube | None, now: TestedTube | None, fitted: FittedTube | None, bench: Bench
) -> Iterator[str]:
    """How the tube that went in differs from the one that came out, and from the one that is listed."""
    old, new = (find(str(side.type)) if side else None for side in (was, now))
    if old and new and old.type != new.type:
        volts, amps = old.heater.volts / new.heater.volts, old.heater.amps / new.heater.amps
        if max(abs(volts - 1), abs(amps - 1)) > _LARGER:
            yield f"the {new.type} has another heater than the {old.type}"
        if old.base and new.base and old.base != new.base:
            yield f"the {new.type} has another base than the {old.type}"
    listed = find(str(fitted.type)) if fitted else None
    if now and fitted and (listed.type if listed else str(fitted.type)) != (new.type if new else str(now.type)):
        yield f"the list of {bench.words.tubes} has a {fitted.type} there and not a {now.type}"


def _rows(tube: Tube, bench: Bench) -> Iterator[KnownRow]:
    heater = tube.heater
    yield KnownRow("Heater volts", heater.source, heater.volts, "V")
    yield KnownRow("Heater current", heater.source, heater.amps, "A")
    if heater.parallel_volts and heater.parallel_amps:
        yield KnownRow("Heater volts, halves side by side", heater.source, heater.parallel_volts, "V")
        yield KnownRow("Heater current, halves side by side", heater.source, heater.parallel_amps, "A")
    if heater.tap_volts:
        tap = "; ".join(source.title for source in heater.tap_sources)
        yield KnownRow("Pilot lamp tap, no lamp", tap, heater.tap_volts, "V")
    identity = "; ".join(source.title for source in tube.identity_sources)
    for what, text in (("Role", tube.role), ("Base", tube.base), ("Top cap", "yes" if tube.top_cap else "")):
        if text:
            yield KnownRow(what, identity, text=text)
    if tube.pin_rows:
        yield KnownRow("Pins", tube.pin_source, text=_pins(tube, bench))
    yield from _ratings(tube, bench)
    if tube.equivalents:
        names = ", ".join(other.name for other in tube.equivalents)
        sources = "; ".join(dict.fromkeys(other.source.title for other in tube.equivalents))
        yield KnownRow("Other names", sources, text=names)


def _pins(tube: Tube, bench: Bench) -> str:
    dialect = "british" if bench.words.plate == "anode" else "us"
    said = (
        (row.pin, say_electrode(row.electrode, tube.role, dialect, direct=tube.heater.direct))  # type: ignore[arg-type]
        for row in tube.pin_rows
    )
    return ", ".join(f"{pin} {word}" for pin, word in said)


def _ratings(tube: Tube, bench: Bench) -> Iterator[KnownRow]:
    plate, screen = bench.words.plate, bench.words.screen
    for maxima in (tube.maxima, *tube.other_maxima):
        where = f", {maxima.section}" if maxima.section else ""
        for what, rated, unit in (
            (f"Most {plate} volts", maxima.plate_volts, "V"),
            (f"Most {plate} dissipation", maxima.plate_watts, "W"),
            (f"Most {screen} volts", maxima.screen_volts, "V"),
            (f"Most {screen} dissipation", maxima.screen_watts, "W"),
            ("Most cathode current", maxima.cathode_amps, "A"),
        ):
            if rated:
                system = f" ({rated.system})" if rated.system else ""
                yield KnownRow(f"{what}{where}{system}", rated.source.title, rated.value, unit)
        for limit in maxima.dc:
            condition = f", {limit.condition}" if limit.condition else ""
            yield KnownRow(f"Most direct current{where}{condition}", limit.source.title, limit.amps, "A")
    for point in tube.typical:
        where = "".join(f", {text}" for text in (point.section, point.use) if text)
        for what, value, unit in (
            (f"{plate} volts", point.plate_volts, "V"),
            (f"{screen} volts", point.screen_volts, "V"),
            ("grid volts", point.grid_volts, "V"),
            (f"{plate} current", point.plate_amps, "A"),
            (f"{screen} current", point.screen_amps, "A"),
            ("cathode resistor", point.cathode_ohms, "ohm"),
            ("load", point.load_ohms, "ohm"),
        ):
            if value is not None:
                yield KnownRow(f"Typical {what}{where}", point.source.title, value, unit)


def _notes(tube: Tube) -> tuple[str, ...]:
    pins = (f"Pin {row.pin}: {row.note}" for row in tube.pin_rows if row.note)
    return tuple(text for text in (tube.disagreement, tube.notes, *pins) if text)
