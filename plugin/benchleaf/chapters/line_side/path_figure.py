"""The worst state drawn: the current from the live conductor to the hand as one heavy line through the diagram."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from .barriers import Barrier
from .described import DescribedState
from .diagram import Diagram, DrawnSymbol, diagrams
from .drawing_grid import (
    BLADE_Y,
    BUS_Y,
    CHASSIS_X,
    CHASSIS_Y,
    FIRST_CHAIN_X,
    FIRST_PART_X,
    FUSE_Y,
    HOT_X,
    LOAD_Y,
    PLUG_X,
    REACH_Y,
    RETURN_X,
    SLOT,
)
from .fuse_place import goes_either_way
from .path import CurrentPath, Stretch, chain_of, path_words
from .topology import B_MINUS, CHASSIS, HOT, HOT_LEAD, IN_SET, RETURN_LEAD
from .wording import fault_or_nothing, milliamps, part_words, position_words

if TYPE_CHECKING:
    from ...drawing import Figure
    from ...drawing.schematic import Point, Sketch
    from ...words import Words

ROUND_LEFT, ROUND_RIGHT, ROUND_LABELS = -1.9, 1.3, 2.9
"""How far outside the leads a fault is drawn: a place on the left, a distance from what stands on the right, and that
distance where it also passes the words beside the hot lead."""

_KINDS = ("wire", "resistor", "inductor", "capacitor")


def diagram_of(path: CurrentPath, described: DescribedState, words: Words) -> Diagram:
    """The state's drawing with the touched part alone, its switch as it stands."""
    diagram = next(iter(diagrams(None, described, words).values()))
    closed, touched = path.state.switch == "on", path.state.part
    return replace(
        diagram,
        hot_switch=_switch(diagram.hot_switch, closed),
        return_switch=_switch(diagram.return_switch, closed),
        parts=tuple(replace(part, names=(touched,)) for part in diagram.parts if part and touched in part.names),
    )


def _switch(drawn: DrawnSymbol | None, closed: bool) -> DrawnSymbol | None:
    return replace(drawn, kind="closed switch") if drawn and closed else drawn


def draw_path(sheet: Sketch, path: CurrentPath, described: DescribedState, end: float, words: Words) -> None:
    """Lay the current's way over a drawing of the line side, and put the person at its end."""
    rail = max(end, HOT_X)
    passes_words = any(s.strap and {s.start, s.end} & {HOT_LEAD, IN_SET} for s in path.stretches)
    right = rail + (ROUND_LABELS if passes_words else ROUND_RIGHT)
    place = right + 1.3
    if passes_words:
        sheet.wire((rail, CHASSIS_Y), (right, CHASSIS_Y), conductor="chassis")
    for points in _lines(path, described, right, rail):
        sheet.current(*points)
    on_chassis = next(p.node for p in path.wiring.parts if p.name == path.state.part) == CHASSIS
    touched: Point = (
        (right if passes_words else rail, CHASSIS_Y) if on_chassis else (FIRST_PART_X + 0.09, REACH_Y - 0.09)
    )
    if not on_chassis:
        sheet.current(touched, (place, touched[1]))
    else:
        sheet.current(touched, (place, CHASSIS_Y))
    foot = touched[1] - 2.2
    sheet.part("resistor", (place, touched[1]), (place, foot), "a person:", f"{_amount(path)}", side="right")
    sheet.current((place, touched[1]), (place, touched[1] - 0.55))
    sheet.current((place, foot + 0.55), (place, foot))
    sheet.earth((place, foot), words.earth)


def _amount(path: CurrentPath) -> str:
    return f"{milliamps(path.state.touch_amps_rms)}"


def _lines(path: CurrentPath, described: DescribedState, right: float, rail: float) -> Iterator[tuple[Point, ...]]:
    for stretch in path.stretches:
        yield from _line(stretch, path, described, right, rail)


def _line(
    stretch: Stretch, path: CurrentPath, described: DescribedState, right: float, rail: float
) -> Iterator[tuple[Point, ...]]:
    ends = {stretch.start, stretch.end}
    points: tuple[Point, ...] | None = None
    if ends == {HOT, HOT_LEAD}:
        points = ((PLUG_X, BLADE_Y), (HOT_X, BLADE_Y), (HOT_X, FUSE_Y[0]))
    elif ends == {HOT, RETURN_LEAD}:
        points = ((PLUG_X, -BLADE_Y), (RETURN_X, -BLADE_Y), (RETURN_X, FUSE_Y[0]))
    elif ends == {HOT_LEAD, IN_SET}:
        points = ((HOT_X, FUSE_Y[0]), (HOT_X, LOAD_Y))
    elif ends == {RETURN_LEAD, B_MINUS}:
        points = ((RETURN_X, FUSE_Y[0]), (RETURN_X, LOAD_Y))
    elif ends == {IN_SET, B_MINUS}:
        points = ((HOT_X, LOAD_Y), (RETURN_X, LOAD_Y))
    elif stretch.strap:
        points = (*_strap(ends, right), *(_along_the_chassis(path, ends, right, rail) if CHASSIS in ends else ()))
    elif ends == {B_MINUS, CHASSIS}:
        x = _slot_x(stretch, path, described.wiring.b_minus, path.wiring.b_minus)
        points = ((RETURN_X, LOAD_Y), (RETURN_X, BUS_Y), (x, BUS_Y), (x, CHASSIS_Y), *_to_the_rail(path, rail))
    elif CHASSIS in ends and ends & {HOT_LEAD, IN_SET, RETURN_LEAD, B_MINUS}:
        points = _line_to_chassis(ends, described, path, rail)
    elif CHASSIS in ends:
        points = ((FIRST_PART_X, CHASSIS_Y), (FIRST_PART_X, REACH_Y))
    if points:
        yield points


def _to_the_rail(path: CurrentPath, rail: float) -> tuple[Point, ...]:
    """Along the chassis to where it is left again."""
    on_chassis = next(p.node for p in path.wiring.parts if p.name == path.state.part) == CHASSIS
    return ((rail if on_chassis else FIRST_PART_X, CHASSIS_Y),)


def _along_the_chassis(path: CurrentPath, ends: set[str], right: float, rail: float) -> tuple[Point, ...]:
    """From where a fault meets the chassis to where it is left again."""
    ((x, y),) = _to_the_rail(path, rail)
    return ((right, y),) if ends & {HOT_LEAD, IN_SET} and x == rail else ((x, y),)


def _slot_x(stretch: Stretch, path: CurrentPath, drawn: Barrier, found: Barrier) -> float:
    """Where the chain of a stretch stands: chains are drawn in the order of their kinds."""
    number = chain_of(stretch, found, path.wiring.hertz)
    order = sorted(range(len(drawn)), key=lambda n: _KINDS.index(drawn[n][0].kind))
    return FIRST_CHAIN_X + SLOT * (order.index(number) if number in order else 0)


def _strap(ends: set[str], right: float) -> tuple[Point, ...]:
    """A fault as a line of its own, round the outside of the drawing."""
    if HOT_LEAD in ends:
        return ((HOT_X, FUSE_Y[0] + 0.4), (right, FUSE_Y[0] + 0.4), (right, CHASSIS_Y))
    if RETURN_LEAD in ends:
        return (
            (RETURN_X, FUSE_Y[0] + 0.2),
            (ROUND_LEFT, FUSE_Y[0] + 0.2),
            (ROUND_LEFT, CHASSIS_Y),
            (CHASSIS_X, CHASSIS_Y),
        )
    level = LOAD_Y - 0.65
    foot = CHASSIS_Y if CHASSIS in ends else REACH_Y - 0.09
    goal = CHASSIS_X if CHASSIS in ends else FIRST_PART_X - 0.09
    if IN_SET in ends:
        return ((HOT_X, LOAD_Y), (right, LOAD_Y), (right, foot), (goal, foot))
    return ((RETURN_X, LOAD_Y), (RETURN_X, level), (ROUND_LEFT, level), (ROUND_LEFT, foot), (goal, foot))


def _line_to_chassis(ends: set[str], described: DescribedState, path: CurrentPath, rail: float) -> tuple[Point, ...]:
    lead = HOT_X if ends & {HOT_LEAD, IN_SET} else RETURN_X
    x = lead if described.wiring.double_wound else HOT_X + SLOT
    return ((lead, FUSE_Y[0]), (lead, BUS_Y), (x, BUS_Y), (x, CHASSIS_Y), *_to_the_rail(path, rail))


def path_title(path: CurrentPath, words: Words) -> str:
    """Title of the drawing."""
    state = path.state
    return f"The touch current of the {part_words(state.part, words)}: {fault_or_nothing(state, words)}"


def path_description(path: CurrentPath, described: DescribedState, words: Words) -> str:
    """The drawing in words."""
    position = position_words(path.state, either_way=goes_either_way(described))
    return (
        f"Worst state that was computed: {fault_or_nothing(path.state, words)}, {position}. "
        f"The heavy line: {path_words(path, words)}; {milliamps(path.state.touch_amps_rms)} RMS."
    )


def figure_of(path: CurrentPath, described: DescribedState, words: Words) -> Figure:
    """The whole figure."""
    from ...drawing.schematic import sketch
    from .standing import draw_line_side

    sheet = sketch()
    end = draw_line_side(sheet, diagram_of(path, described, words), words, keyed=False)
    draw_path(sheet, path, described, end, words)
    return sheet.figure(
        name="line-side-path", title=path_title(path, words), description=path_description(path, described, words)
    )
