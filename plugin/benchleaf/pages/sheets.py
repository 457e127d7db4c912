"""What is printed: the sheet for the bench before the work, and the card that stays inside the cabinet after it.

Both are whole documents that need no other file.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from ..chapters.alignment.for_the_bench import alignment_sheet
from ..chapters.alignment.page_said import generator_caution
from ..chapters.parts.verdicts import still_to_handle
from ..chapters.power_up.cold_checks import to_measure
from ..circuit.in_place import in_place
from ..record.values import string_members
from ..report.anchors import part_anchor
from ..report.typed import as_printed, say_barrier
from ..words import Words
from .site_files import ASSETS_MARK
from .to_read import to_read

if TYPE_CHECKING:
    from ..chapters.bench import Bench
    from ..chapters.examine import Examined
    from ..circuit.circuit import Circuit
    from ..circuit.line_side import Time
    from ..circuit.listed import Listed
    from ..record.model import Record
    from ..record.sections.line_side import Fuse, LineSideState

MANY_TUBES = 8
"""With more than this many, the card sets its line-up smaller."""


@dataclass(frozen=True)
class SheetTube:
    """A tube on a sheet; heater in volts and amperes, None where not known."""

    position: str
    type: str
    job: str
    heater_volts: float | None
    heater_amps: float | None
    base: str


@dataclass(frozen=True)
class SheetPart:
    """A part still to be dealt with or to be checked."""

    name: str
    anchor: str
    job: str
    value: str
    between: str
    state: str


def bench_sheet(examined: Examined) -> str:
    """The sheet to print before the work and to write on, as one HTML document."""
    from . import front_matter, rendering
    from .cautions import cautions

    record, words = examined.record, examined.bench.words
    return rendering.render(
        "bench_sheet.html.j2",
        title=front_matter.title(record),
        assets=ASSETS_MARK,
        words=words,
        facts=front_matter.facts_at_the_bench(record, words),
        cautions=cautions(examined.bench.circuit, words),
        tubes=_tubes(examined, words),
        heaters=_heater_lines(record, words),
        parts=_parts(examined),
        to_read=to_read(examined),
        steps=_line_side_steps(examined),
        cold=_cold_checks(examined),
        align=alignment_sheet(examined.findings["alignment"], examined.bench),
        generator=generator_caution(examined.findings["alignment"], words),
    )


def _cold_checks(examined: Examined) -> list[str]:
    """What an ohmmeter should show before power, a line for each reading, beyond the steps of the line side."""
    found = examined.findings
    checks = to_measure(examined.bench, found["heaters"], found["line_side"])
    return [f"{check.of}: {check.said}" for check in checks]


def cabinet_card(examined: Examined, at: str = "") -> str:
    """The card of 100 by 150 mm that stays inside the cabinet, as one HTML document of one page.

    ``at`` is the address of the set's record, which it leads to by a QR code; empty where that is not known.
    """
    from . import cabinet_card, front_matter, rendering
    from .cautions import cautions

    record, words = examined.record, examined.bench.words
    tubes = _tubes(examined, words)
    return rendering.render(
        "cabinet_card.html.j2",
        title=front_matter.title(record),
        assets=ASSETS_MARK,
        record=record,
        words=words,
        fed_by=front_matter.fed_by(record, words),
        from_line=examined.bench.circuit.mains.from_line or examined.bench.circuit.grounding.contradicted,
        line=front_matter.nominal_line(record),
        selector=str(record.heaters.mains_selector or "") if record.heaters else "",
        caution=next((block.title for block in cautions(examined.bench.circuit, words)), ""),
        tubes=tubes,
        many=len(tubes) > MANY_TUBES,
        line_side=list(_line_side_lines(examined.bench.circuit, words)),
        changed=cabinet_card.changed(examined),
        lamp=cabinet_card.lamp(examined),
        original=cabinet_card.left_original(examined),
        at=at,
        code=cabinet_card.square_code(at) if at else "",
        fuse=_fuse(record.line_side.after.fuse if record.line_side and record.line_side.after else None, words),
        dated=record.finished.isoformat() if record.finished else front_matter.last_date(record) or "",
    )


def _tubes(examined: Examined, words: Words) -> list[SheetTube]:
    """The line-up with what the table, or the record itself, says of each tube."""
    lines = []
    for position, fitted in examined.record.tubes.items():
        tube = examined.bench.tubes.get(str(position))
        own = fitted.heater
        volts, amps = (own.volts.si, own.amps.si) if own else (None, None)
        if tube and not own:
            volts, amps = tube.heater.volts, tube.heater.amps
        job = fitted.job or (words.of_key(tube.role or "") if tube else "")
        base = fitted.base or (tube.base if tube else None) or ""
        lines.append(SheetTube(str(position), str(fitted.type), str(job), volts, amps, str(base)))
    return lines


def _heater_lines(record: Record, words: Words) -> list[tuple[str, str]]:
    """The order of the string, the lamp, the dropper and the windings, as written."""
    supply = record.heaters
    if supply is None:
        return []
    lines: list[tuple[str, str]] = []
    if supply.order:
        lines.append((f"Order from the {words.line} end to {words.b_minus}", ", ".join(string_members(supply.order))))
    if lamp := supply.pilot_lamp:
        place = f"across {lamp.across}" if lamp.across else lamp.place
        lines.append(("Pilot lamp", _joined(lamp.type, lamp.volts, lamp.amps, place, lamp.note)))
    if dropper := supply.dropper:
        for head, one in (("Dropper", dropper), ("Dropper now", dropper.now)):
            if one is not None:
                rest = (one.ohms, one.watts, one.farads, one.volts, one.type, one.note)
                lines.append((head, _joined(words.of_key(one.kind or ""), *rest)))
    for name, winding in supply.windings.items():
        feeds = f"feeds {winding.feeds}" if winding.feeds else None
        lines.append((f"Winding {name}", _joined(winding.volts, winding.amps, feeds, winding.note)))
    return lines


def _joined(*pieces: Any) -> str:
    """The pieces that were written, quantities as typed, with commas."""
    return ", ".join(str(getattr(piece, "written", piece)) for piece in pieces if piece)


def _parts(examined: Examined) -> list[SheetPart]:
    """Parts to do, to reform, or not yet checked, in the order of work; each section of a can by itself."""
    found = examined.findings["parts"]
    if found is None:
        return []
    order = dict.fromkeys(row.part for _, rows in found.groups() for row in rows)
    record, listed = examined.record, examined.bench.circuit.parts
    return [
        _part_line(one, examined.bench)
        for name in order
        for one in listed[name]
        if still_to_handle(
            found[name].sections.get(one.piece.section, found[name]).state,
            checked=record.parts[name].checked is not None,
        )
    ]


def _part_line(listed: Listed, bench: Bench) -> SheetPart:
    """A component as it is in the set now."""
    piece = listed.piece
    typed_now = in_place(listed, "now").seen.typed
    between = " and ".join(bench.circuit.places.said(end, bench.words) for end in piece.ends or ())
    return SheetPart(listed.name, part_anchor(listed.part), piece.job, typed_now, between, piece.state or "to check")


def _line_side_steps(examined: Examined) -> list[str]:
    """What to do between plug and hand: the steps computed from before and after, or what to look at and measure first.

    The general list is common practice, no source.
    """
    mains, words = examined.bench.circuit.mains, examined.bench.words
    if not mains.from_line:
        return []
    line_side = examined.findings["line_side"]
    if line_side is not None and line_side.steps:
        from ..chapters.line_side.steps import for_the_bench

        return for_the_bench(line_side.steps, words, either_way=line_side.either_way)
    steps = [
        f"{words.wall_plug.capitalize()}, {words.cord} and its anchorage looked at; {words.cord} replaced if hard, "
        "cut or spliced",
        "Which lead the switch breaks, and where the fuse sits, traced and written down",
        f"Every capacitor from the {words.line} to the chassis, from {words.b_minus} to the chassis and to the "
        f"{words.aerial} and "
        f"{words.earth} sockets found; its class and voltage read",
        f"Resistance from each pin of the {words.wall_plug} to the chassis, switch on and off",
        f"Insulation from {words.line} to chassis at 500 V",
        f"Knobs, {words.set_screws}, back and shafts: what a finger or a screwdriver can reach",
        "Touch current through 1500 Ω and 0.15 µF, plug both ways, switch on and off, with a second person in the room",
    ]
    if not mains.double_wound:
        steps.insert(3, f"The resistor across the {words.b_minus} to chassis capacitor measured")
    return steps


def _line_side_lines(circuit: Circuit, words: Words) -> Iterator[tuple[str, str]]:
    """What the card says of the line side after the work; what was changed stands first."""
    sides = circuit.record.line_side
    if sides is None or sides.after is None:
        return
    before = _said_of(sides.before, circuit, "before", words) if sides.before else {}
    after = _said_of(sides.after, circuit, "after", words)
    changed = [name for name in after if before and before.get(name) != after[name]]
    for name in [*changed, *(n for n in after if n not in changed)]:
        yield name, after[name]


def _said_of(state: LineSideState, circuit: Circuit, time: Time, words: Words) -> Mapping[str, str]:
    said = (
        ("Plug", _joined(words.of_key(state.plug or ""), state.cord)),
        (f"{words.b_minus} to chassis", say_barrier(state.b_minus_to_chassis, circuit, time)),
        (f"Across the {words.line}", say_barrier(state.across_the_line, circuit, time)),
        (f"{words.line.capitalize()} to chassis", say_barrier(state.line_to_chassis, circuit, time)),
        ("Switch", words.of_key(state.switch or "")),
        (f"{words.earth.capitalize()} lead", str(state.earth_lead or "")),
    )
    return {name: text for name, text in said if text}


def _fuse(fuse: Fuse | None, words: Words) -> str:
    if fuse is None:
        return ""
    if fuse.none:
        return "none"
    said = " ".join(
        as_printed(str(getattr(piece, "written", piece))) for piece in (fuse.amps, fuse.speed, fuse.volts) if piece
    )
    return f"{said} in {words.of_key(fuse.in_)}" if fuse.in_ and said else said
