"""A line side drawn lying, small enough to stand beside its other state: leads across, the chassis at the right.

It shows what lies between the line and the chassis. What hangs on the chassis behind parts of its own is for the words
below it and for the standing drawing.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from .diagram import Diagram, DrawnSymbol, SymbolRow
from .drawing_grid import LINE_STEP

if TYPE_CHECKING:
    from ...drawing.schematic import Point, Side, Sketch, Symbol
    from ...words import Words

HOT_Y, RETURN_Y = 1.2, -1.2
ROW_STEP, STRUCK = 1.3, 0.2
PLUG_WIDTH, PLUG_HALF, BLADE = 0.45, 1.5, 0.5
FUSE_X, SWITCH_X = (0.75, 1.75), (2.7, 3.6)
ACROSS_X, SET_X, BUS_X, RAIL_X = 4.35, 5.1, 5.45, 8.0
PART_X = (5.6, 7.65)
MOST_ROWS = 3
"""Chains to the chassis that are drawn: the standing drawing has them all."""

_SYMBOLS: dict[str, Symbol] = {
    "resistor": "resistor",
    "capacitor": "capacitor",
    "inductor": "inductor",
    "fuse": "fuse",
    "switch": "switch",
}


def draw_lying(sheet: Sketch, diagram: Diagram, words: Words) -> None:
    """The whole drawing. A part's state stands beside it unless all parts share one."""
    told = not shares_one_state(diagram)
    _plug(sheet, diagram, told)
    _lead(sheet, HOT_Y, "hot", (diagram.hot_fuse, diagram.hot_switch), "above", told, words)
    _lead(sheet, RETURN_Y, "return", (diagram.return_fuse, diagram.return_switch), "below", told, words)
    _set(sheet, diagram, told)
    lowest = _chains(sheet, diagram, told, words)
    _chassis(sheet, diagram, words, lowest)


def shares_one_state(diagram: Diagram) -> bool:
    """Whether every part of the drawing was removed, or every part added."""
    states = {drawn.state for drawn in drawn_in(diagram)}
    return len(states) == 1 and states != {"kept"}


def drawn_in(diagram: Diagram) -> Iterator[DrawnSymbol]:
    """Every symbol between plug and chassis."""
    yield diagram.plug
    for drawn in (diagram.hot_fuse, diagram.return_fuse, diagram.hot_switch, diagram.return_switch):
        if drawn is not None:
            yield drawn
    for row in (*diagram.across, *diagram.b_minus, *diagram.hot_to_chassis, *diagram.return_to_chassis):
        yield from row or ()


def _plug(sheet: Sketch, diagram: Diagram, told: bool) -> None:
    plug = diagram.plug
    outlines: list[list[Point]] = [_box(0.0, -PLUG_HALF, PLUG_WIDTH, PLUG_HALF)]
    wide = 0.19 if diagram.polarised else 0.1
    outlines += [_box(-BLADE, y - half, 0.0, y + half) for y, half in ((HOT_Y, 0.1), (RETURN_Y, wide))]
    outlines += [_box(-BLADE - 0.1, -0.1, 0.0, 0.1)] if diagram.earth_by_plug else []
    for outline in outlines:
        sheet.wire(*outline, state=plug.state)
    if plug.state == "removed":
        sheet.strike((PLUG_WIDTH / 2, 0.0))
    marks = (plug.state,) if told and plug.state != "kept" else ()
    sheet.text((PLUG_WIDTH, 0.0), *plug.labels, *marks, side="right")


def _box(left: float, low: float, right: float, high: float) -> list[Point]:
    return [(left, low), (right, low), (right, high), (left, high), (left, low)]


def _lead(
    sheet: Sketch,
    y: float,
    conductor: str,
    drawn: tuple[DrawnSymbol | None, DrawnSymbol | None],
    side: Side,
    told: bool,
    words: Words,
) -> None:
    """A lead from the plug to the set, broken by its fuse and its switch."""
    path: list[Point] = [(PLUG_WIDTH, y)]
    for part, (left, right) in zip(drawn, (FUSE_X, SWITCH_X), strict=True):
        if part is None:
            continue
        sheet.wire(*path, (left, y), conductor=conductor)
        sheet.part(_SYMBOLS[part.kind], (left, y), (right, y), *part.labels, state=part.state, side=side, told=told)
        path = [(right, y)]
    sheet.wire(*path, (SET_X, y), conductor=conductor)
    if drawn == (None, None):
        sheet.text((FUSE_X[0] + 0.5, y), words.of_key(conductor), side=side)


def _set(sheet: Sketch, diagram: Diagram, told: bool) -> None:
    """The set between the leads, and the first part across the line."""
    for row in diagram.across[:1]:
        if row is not None and row[0].kind in _SYMBOLS:
            first = row[0]
            sheet.junction((ACROSS_X, HOT_Y))
            sheet.junction((ACROSS_X, RETURN_Y))
            ends: tuple[Point, Point] = ((ACROSS_X, HOT_Y), (ACROSS_X, RETURN_Y))
            sheet.part(_SYMBOLS[first.kind], *ends, *first.labels, state=first.state, side="left", told=told)
    if diagram.double_wound:
        sheet.part("inductor", (SET_X, RETURN_Y), (SET_X, HOT_Y))
        for shift in (0.3, 0.39):
            sheet.wire((SET_X + shift, 0.7), (SET_X + shift, -0.7))
        above, below = any(diagram.hot_to_chassis), any((*diagram.b_minus, *diagram.return_to_chassis))
        sheet.text((SET_X + 0.4, -0.7 if above and not below else -0.45), "double-wound", "transformer", side="right")
        return
    symbol: Symbol = "inductor" if diagram.autotransformer else "resistor"
    label = ("auto-", "transformer") if diagram.autotransformer else ("the set",)
    sheet.part(symbol, (SET_X, HOT_Y), (SET_X, RETURN_Y), *label, side="right")


def _chains(sheet: Sketch, diagram: Diagram, told: bool, words: Words) -> float:
    """What joins the leads to the chassis, one row under the other; how far down they reach."""
    for row in [row for row in diagram.hot_to_chassis if row is not None][:1]:
        sheet.wire((SET_X, HOT_Y), (PART_X[0], HOT_Y), conductor="hot")
        _chain(sheet, row, HOT_Y, told, side="below")
    rows = [row for row in (*diagram.b_minus, *diagram.return_to_chassis) if row is not None][:MOST_ROWS]
    step = _step(rows[:-1], told)
    levels = [RETURN_Y - step * number for number in range(max(1, len(rows)))]
    if not diagram.double_wound:
        sheet.junction((SET_X, RETURN_Y))
        sheet.text((SET_X, RETURN_Y), words.b_minus, side="below")
    if not rows:
        if not diagram.double_wound:
            sheet.text((SET_X, RETURN_Y), "nothing between", f"{words.b_minus} and chassis", side="right", gap=0.5)
        return RETURN_Y
    sheet.wire((SET_X, RETURN_Y), (BUS_X, RETURN_Y), (BUS_X, levels[-1]), conductor="return")
    for row, y in zip(rows, levels, strict=True):
        sheet.wire((BUS_X, y), (PART_X[0], y), conductor="return")
        _chain(sheet, row, y, told, side="below")
    return levels[-1]


def _step(rows: list[SymbolRow], told: bool) -> float:
    """How far apart rows stand that have others below them: as far as the words below them ask for."""
    drawn = [symbol for row in rows for symbol in row]
    lines = max((len(d.labels) + (told and d.state != "kept") for d in drawn), default=1)
    return ROW_STEP + LINE_STEP * (lines - 1) + STRUCK * any(d.state == "removed" for d in drawn)


def _chain(sheet: Sketch, row: SymbolRow, y: float, told: bool, side: Side) -> None:
    """Components in series from the lead to the chassis."""
    left, right = PART_X
    step = (right - left) / len(row)
    for number, drawn in enumerate(row):
        ends: tuple[Point, Point] = ((left + number * step, y), (left + (number + 1) * step, y))
        labels = drawn.labels if len(row) == 1 else drawn.labels[:1]
        if drawn.kind in _SYMBOLS:
            sheet.part(_SYMBOLS[drawn.kind], *ends, *labels, state=drawn.state, side=side, told=told)
        else:
            sheet.wire(*ends, state=drawn.state)
            sheet.text(((ends[0][0] + ends[1][0]) / 2, y), *labels, side=side)
    sheet.wire((right, y), (RAIL_X, y))


def _chassis(sheet: Sketch, diagram: Diagram, words: Words, lowest: float) -> None:
    """The chassis as a rail, with its earth wire where it has one."""
    top = HOT_Y if any(row is not None for row in diagram.hot_to_chassis) else 0.5
    sheet.wire((RAIL_X, top), (RAIL_X, lowest - 0.5), conductor="chassis")
    reach = ("chassis,", "within reach") if diagram.chassis_touchable else ("chassis",)
    sheet.text((RAIL_X + 0.3, top + 0.4 + 0.18 * len(reach)), *reach, side="left", gap=0.0)
    if diagram.earthed:
        marks = () if diagram.earth_state == "kept" else (diagram.earth_state,)
        sheet.earth((RAIL_X, lowest - 0.5), f"{words.earth} wire", *marks)
