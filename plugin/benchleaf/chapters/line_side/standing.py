"""A line side drawn standing: cord, plug, load, what lies from B- to chassis, the parts within reach."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .diagram import Diagram, DrawnSymbol, SymbolRow, TouchPart, clipped
from .drawing_grid import (
    ACROSS_Y,
    BLADE_Y,
    BUS_Y,
    CHASSIS_X,
    CHASSIS_Y,
    EARTH_X,
    FIRST_CHAIN_X,
    FIRST_PART_X,
    FUSE_Y,
    HOT_X,
    LINE_STEP,
    LOAD_Y,
    PLUG_X,
    REACH_Y,
    RETURN_X,
    SLOT,
    SWITCH_Y,
)
from .wording import part_words

if TYPE_CHECKING:
    from ...drawing.schematic import Point, Side, Sketch, State, Symbol
    from ...words import Words


_SYMBOLS: dict[str, Symbol] = {
    "resistor": "resistor",
    "capacitor": "capacitor",
    "inductor": "inductor",
    "fuse": "fuse",
    "switch": "switch",
    "closed switch": "closed switch",
}


def draw_line_side(sheet: Sketch, diagram: Diagram, words: Words, keyed: bool = True) -> float:
    """The whole diagram, with a key to its line styles unless told otherwise; how far right the chassis reaches."""
    _cord(sheet, diagram, words)
    _load(sheet, diagram, words)
    end = max(_b_minus(sheet, diagram, words), _parts(sheet, diagram, words), _line_to_chassis(sheet, diagram))
    _chassis(sheet, diagram, words, end)
    if keyed:
        used = ["hot", "return", "chassis", *(["earth"] if diagram.earthed else [])]
        said = {"hot": f"{words.line}, {words.hot} side", "return": f"{words.line}, return side", "earth": words.earth}
        sheet.key((EARTH_X, REACH_Y - 1.6 - LINE_STEP * (diagram.most_names - 1)), used, said)
    return end


def _cord(sheet: Sketch, diagram: Diagram, words: Words) -> None:
    """Plug, hot lead down the right, return lead down the left, with the fuse and the switch in either."""
    _plug(sheet, diagram)
    sheet.text((HOT_X, -0.4), f"{words.hot} lead", side="right")
    sheet.text((RETURN_X, -1.6), "return lead", side="left")
    hot = [(PLUG_X, BLADE_Y), (HOT_X, BLADE_Y)]
    back = [(PLUG_X, -BLADE_Y), (RETURN_X, -BLADE_Y)]
    _lead(sheet, hot, "hot", (diagram.hot_fuse, diagram.hot_switch))
    _lead(sheet, back, "return", (diagram.return_fuse, diagram.return_switch))


def _plug(sheet: Sketch, diagram: Diagram) -> None:
    """The plug with its blades to the left; dashed and struck through, or heavy, where it was changed."""
    plug = diagram.plug
    changed = () if plug.state == "kept" else (plug.state,)
    sheet.text((PLUG_X / 2, 1.15), *plug.labels, *changed, side="above")
    if plug.state == "kept":
        sheet.plug((0.0, 0.0), polarised=diagram.polarised, earthed=diagram.earth_by_plug)
        return
    low = 0.19 if diagram.polarised else 0.1
    _box(sheet, (0.0, -1.15), (PLUG_X, 1.15), plug.state)
    _box(sheet, (-0.6, BLADE_Y - 0.1), (0.0, BLADE_Y + 0.1), plug.state)
    _box(sheet, (-0.6, -BLADE_Y - low), (0.0, -BLADE_Y + low), plug.state)
    if diagram.earth_by_plug:
        _box(sheet, (-0.75, -0.1), (0.0, 0.1), plug.state)
    if plug.state == "removed":
        sheet.strike((PLUG_X / 2, 0.0))


def _box(sheet: Sketch, low: Point, high: Point, state: State) -> None:
    (left, bottom), (right, top) = low, high
    sheet.wire((left, bottom), (right, bottom), (right, top), (left, top), (left, bottom), state=state)


def _lead(
    sheet: Sketch, start: list[Point], conductor: str, drawn: tuple[DrawnSymbol | None, DrawnSymbol | None]
) -> None:
    """A lead from the plug down to the set: one line, broken by its fuse and its switch."""
    path = list(start)
    x = start[-1][0]
    for part, (top, bottom) in zip(drawn, (FUSE_Y, SWITCH_Y), strict=True):
        if part is None:
            continue
        sheet.wire(*path, (x, top), conductor=conductor)
        side: Side = "right" if conductor == "hot" and part.kind == "fuse" else "left"
        sheet.part(_SYMBOLS[part.kind], (x, top), (x, bottom), *part.labels, state=part.state, side=side)
        path = [(x, bottom)]
    sheet.wire(*path, (x, LOAD_Y), conductor=conductor)


def _load(sheet: Sketch, diagram: Diagram, words: Words) -> None:
    """The set between the leads, and the capacitor across the line."""
    for row in diagram.across[:1]:
        if row is not None:
            _across(sheet, row[0])
    if not diagram.double_wound:
        side: Side = "below" if diagram.across else "above"
        symbol: Symbol = "inductor" if diagram.autotransformer else "resistor"
        label = "autotransformer" if diagram.autotransformer else f"heaters and {words.b_plus}"
        sheet.part(symbol, (RETURN_X, LOAD_Y), (HOT_X, LOAD_Y), label, side=side)
        return
    sheet.part("inductor", (RETURN_X, LOAD_Y), (HOT_X, LOAD_Y))
    left, right, core, winding = 2.4, 3.8, LOAD_Y - 0.3, LOAD_Y - 0.75
    sheet.wire((left, core), (right, core))
    sheet.wire((left, core - 0.09), (right, core - 0.09))
    sheet.part("inductor", (left, winding), (right, winding), "double-wound", "transformer", side="below")


def _across(sheet: Sketch, drawn: DrawnSymbol) -> None:
    if drawn.kind in _SYMBOLS:
        sheet.junction((RETURN_X, ACROSS_Y))
        sheet.junction((HOT_X, ACROSS_Y))
        place = ((RETURN_X, ACROSS_Y), (HOT_X, ACROSS_Y))
        sheet.part(_SYMBOLS[drawn.kind], *place, " ".join(drawn.labels), state=drawn.state, side="below")


def _b_minus(sheet: Sketch, diagram: Diagram, words: Words) -> float:
    """B- and what joins it to the chassis; how far to the right that reaches."""
    if diagram.double_wound:
        return RETURN_X
    sheet.wire((RETURN_X, LOAD_Y), (RETURN_X, BUS_Y), conductor="return")
    places = [FIRST_CHAIN_X + SLOT * slot for slot in range(len(diagram.b_minus))]
    taken = [(x, row) for x, row in zip(places, diagram.b_minus, strict=True) if row is not None]
    reach = [x for x, _ in taken] + [RETURN_X]
    sheet.wire((min(reach), BUS_Y), (max(reach), BUS_Y), conductor="return")
    sheet.text((min(reach), BUS_Y), words.b_minus, side="left")
    for x, row in taken:
        _chain(sheet, row, x, BUS_Y, CHASSIS_Y)
    if not taken:
        sheet.text((RETURN_X, (BUS_Y + CHASSIS_Y) / 2), "nothing between", f"{words.b_minus} and chassis", side="right")
    return max([*places, RETURN_X])


def _chain(sheet: Sketch, row: SymbolRow, x: float, top: float, bottom: float, label: Side = "right") -> None:
    """Components in series, one under the other."""
    if top > bottom:
        sheet.junction((x, top))
    step = (bottom - top) / len(row)
    for place, drawn in enumerate(row):
        ends = ((x, top + place * step), (x, top + (place + 1) * step))
        labels = drawn.labels if len(row) < 3 else drawn.labels[:1]
        if drawn.kind == "wire":
            sheet.wire(*ends, state=drawn.state)
            changed = () if drawn.state == "kept" else (drawn.state,)
            if drawn.state == "removed":
                sheet.strike((x, (ends[0][1] + ends[1][1]) / 2))
            sheet.text((x, (ends[0][1] + ends[1][1]) / 2), *labels, *changed, side=label, gap=0.5)
        else:
            sheet.part(_SYMBOLS[drawn.kind], *ends, *labels, state=drawn.state, side=label)


def _line_to_chassis(sheet: Sketch, diagram: Diagram) -> float:
    """Capacitors from either lead to the chassis, of several on one lead the first; how far right they stand."""
    reach = RETURN_X
    sides: tuple[tuple[tuple[SymbolRow | None, ...], float, str, Side], ...] = (
        (diagram.return_to_chassis, RETURN_X, "return", "left"),
        (diagram.hot_to_chassis, HOT_X, "hot", "right"),
    )
    for rows, lead, conductor, label in sides:
        taken = [row for row in rows if row is not None]
        if not taken:
            continue
        x = lead if diagram.double_wound else HOT_X + SLOT
        sheet.wire((lead, LOAD_Y), (lead, BUS_Y), (x, BUS_Y), conductor=conductor)
        _chain(sheet, taken[0], x, BUS_Y, CHASSIS_Y, label)
        reach = max(reach, x)
    return reach


def _parts(sheet: Sketch, diagram: Diagram, words: Words) -> float:
    """The touchable parts under the chassis; how far to the right they reach."""
    x = FIRST_PART_X
    for part in diagram.parts:
        if part is None:
            x += SLOT
            continue
        x = _part(sheet, part, x, words)
    return max(x - SLOT, CHASSIS_X)


def _part(sheet: Sketch, part: TouchPart, x: float, words: Words) -> float:
    """Touchable parts at one point with what lies before it; the place of the next."""
    names = [clipped(part_words(name, words)) for name in part.names]
    rows = part.barrier[:2]
    if not rows:
        sheet.wire((x, CHASSIS_Y), (x, REACH_Y), conductor="chassis")
    for place, row in enumerate(rows):
        at = x + place * SLOT
        _chain(sheet, row, at, CHASSIS_Y, REACH_Y)
        if place:
            sheet.wire((x, REACH_Y), (at, REACH_Y))
    sheet.terminal((x, REACH_Y - 0.09), *names, side="below")
    return x + SLOT * max(1, len(rows))


def _chassis(sheet: Sketch, diagram: Diagram, words: Words, end: float) -> None:
    """The chassis as a rail, its symbol, and its earth wire where it has one."""
    sheet.wire((CHASSIS_X, CHASSIS_Y), (max(end, HOT_X), CHASSIS_Y), conductor="chassis")
    reach = ("chassis,", "within reach") if diagram.chassis_touchable else ("chassis",)
    sheet.chassis((CHASSIS_X, CHASSIS_Y), *reach)
    if not diagram.earthed:
        return
    sheet.wire((CHASSIS_X, CHASSIS_Y), (EARTH_X, CHASSIS_Y), conductor="earth", state=diagram.earth_state)
    label = (f"{words.earth} wire", *(() if diagram.earth_state == "kept" else (diagram.earth_state,)))
    if diagram.earth_by_plug:
        points = ((0.9, 0.0), (1.25, 0.0), (1.25, -1.25), (EARTH_X, -1.25), (EARTH_X, CHASSIS_Y))
        sheet.wire(*points, conductor="earth", state=diagram.earth_state)
        sheet.text((EARTH_X, BUS_Y + 0.9), *label, side="right")
    else:
        sheet.earth((EARTH_X, CHASSIS_Y), *label)
