"""Circuit drawings: symbols of IEC 60617, one line width, and marks for what was taken out and what was put in.

Places are given in units of the drawing, x to the right and y upwards; a two-terminal symbol is drawn between two of
them. What was removed is dashed, struck through and says so; what was added is heavy and says so.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Literal

from benchleaf.drawing.figure import Figure
from benchleaf.drawing.svg import clean_svg, view_box

State = Literal["kept", "removed", "added"]
Side = Literal["left", "right", "above", "below"]
Symbol = Literal["resistor", "capacitor", "fuse", "switch", "closed switch", "inductor", "lamp", "diode"]
Point = tuple[float, float]

FONT_SIZE = 10.5
"""Of all words in a drawing, in units of the view box (36 to a unit of the drawing)."""

LINE_WIDTH = 1.4
HEAVY_WIDTH = 3.2
CURRENT_WIDTH = 4.6
SHORTEST_WITH_ARROW = 1.4
TUBE_SCALE = 1.25
SCALE = 1.3
"""CSS pixels to a unit of the view box at natural size: words come out at about 14 pixels."""

_LINE_STEP = 0.36
_DASHED = "5,3"


@dataclass(frozen=True, slots=True)
class Conductor:
    """How a kind of conductor is drawn, and the word that says what it is."""

    word: str
    width: float
    dashes: str | None


CONDUCTORS = {
    "wire": Conductor("wire", LINE_WIDTH, None),
    "hot": Conductor("line, hot side", 2.2, None),
    "return": Conductor("line, return side", LINE_WIDTH, None),
    "chassis": Conductor("chassis", LINE_WIDTH, "12,3,2,3"),
    "earth": Conductor("earth", LINE_WIDTH, "2,3"),
}
"""Line styles of conductors. Plain dashes belong to what was removed and to nothing else."""


@dataclass(frozen=True, slots=True)
class Plug:
    """Where the wires of a drawn plug begin."""

    upper: Point
    lower: Point
    earth: Point | None


@dataclass(frozen=True, slots=True)
class TubeLeads:
    """Where the leads of a drawn tube begin: its cathode, and its grids from the cathode outwards on either side."""

    cathode: Point
    left: tuple[Point, ...]
    right: tuple[Point, ...]


def schemdraw_text(words: str) -> str:
    """Words for the drawing library, which reads XML and a kind of TeX in them: made to come out as they are."""
    flat = " ".join("".join(letter if letter.isprintable() else " " for letter in words).split())
    return flat.replace("&", "&amp;").replace("<", "&lt;").replace("$", "&#36;")


class Sketch:
    """A circuit being drawn. It draws at once what it is told and gives the SVG at the end."""

    def __init__(self) -> None:
        import schemdraw
        from schemdraw import elements

        self._elements: Any = elements
        self._drawing: Any = schemdraw.Drawing(canvas="svg", show=False)
        self._drawing.config(fontsize=FONT_SIZE, lw=LINE_WIDTH, unit=2, margin=0.15, color="black")

    def _lines(self, *paths: Sequence[Point], width: float = LINE_WIDTH, dashes: str | None = None) -> None:
        from schemdraw.segments import Segment

        element = self._elements.Element().at((0, 0)).theta(0)
        style: Any = dashes or "-"  # its SVG takes dash lengths too, which its types do not say
        for path in paths:
            element.segments.append(Segment(list(path), lw=width, ls=style))
        self._drawing.add(element)

    def _circle(self, at: Point, radius: float, *, filled: bool, width: float = LINE_WIDTH) -> None:
        from schemdraw.segments import SegmentCircle

        element = self._elements.Element().at((0, 0)).theta(0)
        element.segments.append(SegmentCircle(at, radius, lw=width, fill="black" if filled else "none"))
        self._drawing.add(element)

    def wire(self, *points: Point, conductor: str = "wire", state: State = "kept") -> None:
        """Draw a wire through the points, in the line style of its kind of conductor (a key of ``CONDUCTORS``)."""
        style = CONDUCTORS[conductor]
        if state == "removed":
            self._lines(points, dashes=_DASHED)
        elif state == "added":
            self._lines(points, width=max(HEAVY_WIDTH, style.width))
        else:
            self._lines(points, width=style.width, dashes=style.dashes)

    def junction(self, at: Point) -> None:
        """A dot where wires join."""
        self._circle(at, 0.06, filled=True)

    def text(self, at: Point, *lines: str, side: Side = "right", gap: float = 0.18) -> None:
        """Write lines of words beside a point. ``gap`` is the distance from it, in units of the drawing."""
        from schemdraw.segments import SegmentText

        align: Literal["left", "right", "center"] = "center"
        if side in ("left", "right"):
            align = "left" if side == "right" else "right"
        x = at[0] + {"right": gap, "left": -gap}.get(side, 0.0)
        tall = _LINE_STEP * (len(lines) - 1)
        top = at[1] + {"above": gap + tall + 0.15, "below": -gap - 0.15}.get(side, tall / 2)
        element = self._elements.Element().at((0, 0)).theta(0)
        for row, words in enumerate(lines):
            place = (x, top - row * _LINE_STEP)
            if words.strip():
                text = SegmentText(
                    place, schemdraw_text(words), align=(align, "center"), fontsize=FONT_SIZE, rotation=0
                )
                element.segments.append(text)
        self._drawing.add(element)

    def part(
        self,
        symbol: Symbol,
        start: Point,
        end: Point,
        *lines: str,
        state: State = "kept",
        side: Side = "right",
        told: bool = True,
    ) -> None:
        """Draw a two-terminal part between two points, its name and values beside it.

        The words "removed" or "added" are written under the lines, so that the state never hangs on the line alone;
        not where they are ``told`` elsewhere of the whole drawing.
        """
        element = self._symbol(symbol).at(start).to(end)
        if state == "removed":
            element.linestyle(_DASHED)
        elif state == "added":
            element.linewidth(HEAVY_WIDTH)
        self._drawing.add(element)
        middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
        if state == "removed":
            self.strike(middle)
        words = [*lines, state] if told and state != "kept" else list(lines)
        self.text(middle, *words, side=side, gap=0.6 if state == "removed" else 0.42)

    def _symbol(self, symbol: Symbol) -> Any:
        """The library's symbol, chosen one by one: its default resistor is not that of IEC 60617.

        A fuse is the rectangle with the conductor through it (IEC 60617, from memory), which the library has under
        another name.
        """
        chosen = {
            "resistor": self._elements.ResistorIEC,
            "capacitor": self._elements.Capacitor,
            "fuse": self._elements.FuseIEEE,
            "inductor": self._elements.Inductor2,
            "lamp": self._elements.Lamp,
            "diode": self._elements.Diode,
        }
        if symbol in ("switch", "closed switch"):
            return self._elements.Switch(nc=symbol == "closed switch", contacts=True)
        return chosen[symbol]()

    def strike(self, middle: Point, reach: float = 0.34) -> None:
        """Two slanted strokes through a part that was taken out."""
        x, y = middle
        strokes = [[(x - reach + shift, y - reach), (x + reach + shift, y + reach)] for shift in (-0.09, 0.09)]
        self._lines(*strokes)

    def chassis(self, at: Point, *lines: str) -> None:
        """The chassis symbol (three slanted strokes) under a point."""
        x, y = at
        bar = y - 0.3
        feet = [[(x + dx, bar), (x + dx - 0.16, bar - 0.26)] for dx in (-0.28, 0.0, 0.28)]
        self._lines([at, (x, bar)], [(x - 0.28, bar), (x + 0.28, bar)], *feet)
        self.text((x, bar - 0.3), *lines, side="below", gap=0.1)

    def earth(self, at: Point, *lines: str) -> None:
        """The earth symbol (three bars growing shorter) under a point."""
        x, y = at
        bars = [
            [(x - half, y - 0.3 - drop), (x + half, y - 0.3 - drop)]
            for half, drop in ((0.32, 0), (0.2, 0.12), (0.08, 0.24))
        ]
        self._lines([at, (x, y - 0.3)], *bars)
        self.text((x, y - 0.6), *lines, side="below", gap=0.1)

    def terminal(self, at: Point, *lines: str, side: Side = "right") -> None:
        """An open circle: a socket or a part that a hand can touch."""
        self._circle(at, 0.09, filled=False)
        self.text(at, *lines, side=side, gap=0.25)

    def plug(self, at: Point, *lines: str, polarised: bool = False, earthed: bool = False) -> Plug:
        """A wall plug with its blades to the left and its wires to the right; ``at`` is the middle of its left face.

        A polarised plug has one blade wider than the other: the lower, which goes to the neutral slot. The word stands
        in the lines, since a blade drawn wider is easily missed.
        """
        x, y = at
        half = 1.15
        body = [(x, y - half), (x + 0.9, y - half), (x + 0.9, y + half), (x, y + half), (x, y - half)]
        blades = [((x - 0.6, y + 0.7), 0.1), ((x - 0.6, y - 0.7), 0.19 if polarised else 0.1)]
        outlines = [_box(corner, 0.6, height) for corner, height in blades]
        if earthed:
            outlines.append(_box((x - 0.75, y), 0.75, 0.1))
        self._lines(body, *outlines)
        self.text((x + 0.45, y - half), *lines, side="below")
        earth = (x + 0.9, y) if earthed else None
        return Plug((x + 0.9, y + 0.7), (x + 0.9, y - 0.7), earth)

    def current(self, *points: Point) -> None:
        """The way of a current through the points: a line heavier than any conductor, an arrow in each long stretch."""
        from schemdraw.segments import SegmentPoly

        self._lines(points, width=CURRENT_WIDTH)
        element = self._elements.Element().at((0, 0)).theta(0)
        for arrow in filter(None, (_arrow(a, b) for a, b in pairwise(points))):
            element.segments.append(SegmentPoly(arrow, fill="black", lw=1))
        if element.segments:
            self._drawing.add(element)

    def arrow(self, start: Point, end: Point) -> None:
        """A thin arrow beside a conductor: which way a current flows."""
        from schemdraw.segments import SegmentPoly

        self._lines([start, end])
        element = self._elements.Element().at((0, 0)).theta(0)
        element.segments.append(SegmentPoly(_arrow_head(start, end), fill="black", lw=1))
        self._drawing.add(element)

    def tube(self, plate: Point, grids: int, *, filament: bool = False) -> TubeLeads:
        """A tube by the point where its plate's lead enters the envelope; ``grids`` from none up.

        ``filament`` draws one that has no cathode of its own.
        """
        style = "none" if filament else "heated"
        element = self._elements.VacuumTube(cathode=style, grids=grids, heater=filament)
        placed = self._drawing.add(element.scale(TUBE_SCALE).theta(0).at(plate).anchor("anode"))
        at = {name: (float(point[0]), float(point[1])) for name, point in placed.absanchors.items()}
        names = ["grid"] if grids == 1 else [f"grid_{n}" for n in range(grids, 0, -1)]
        right = tuple(at[f"{name}_R" if grids == 1 else f"{name}R"] for name in names)
        return TubeLeads(at["heat1" if filament else "cathode_R"], tuple(at[name] for name in names), right)

    def key(self, at: Point, conductors: Sequence[str], words: Mapping[str, str] | None = None) -> None:
        """A key to the line styles used, one under the other, from a point downwards; ``words`` for other names."""
        x, y = at
        for row, name in enumerate(conductors):
            style = CONDUCTORS[name]
            level = y - row * 0.42
            self._lines([(x, level), (x + 1.1, level)], width=style.width, dashes=style.dashes)
            self.text((x + 1.1, level), (words or {}).get(name, style.word))

    def figure(self, *, name: str, title: str, description: str) -> Figure:
        """The finished figure. ``name`` begins its ids."""
        raw = self._drawing.get_imagedata("svg").decode("utf-8")
        svg = clean_svg(raw, prefix=name, title=title, description=description, scale=SCALE)
        _, _, width, height = view_box(svg)
        return Figure(name, title, description, svg, round(width * SCALE), round(height * SCALE))


def sketch() -> Sketch:
    """An empty sheet to draw a circuit on."""
    return Sketch()


def _arrow_head(start: Point, end: Point, size: float = 0.2) -> list[Point]:
    """A triangle that ends at ``end``."""
    length = math.dist(start, end)
    ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    back, half = (end[0] - size * ux, end[1] - size * uy), size / 2.5
    return [end, (back[0] - half * uy, back[1] + half * ux), (back[0] + half * uy, back[1] - half * ux)]


def _arrow(start: Point, end: Point, size: float = 0.22) -> list[Point] | None:
    """A triangle beyond the middle of a stretch, clear of a part there; None where the stretch is too short for one."""
    (x, y), (dx, dy) = start, (end[0] - start[0], end[1] - start[1])
    length = math.hypot(dx, dy)
    if length < SHORTEST_WITH_ARROW:
        return None
    ux, uy = dx / length, dy / length
    mx, my = x + 0.75 * dx, y + 0.75 * dy
    return [
        (mx + ux * size, my + uy * size),
        (mx - ux * size - uy * size, my - uy * size + ux * size),
        (mx - ux * size + uy * size, my - uy * size - ux * size),
    ]


def _box(left_middle: Point, width: float, half_height: float) -> list[Point]:
    x, y = left_middle
    low, high, right = y - half_height, y + half_height, x + width
    return [(x, low), (right, low), (right, high), (x, high), (x, low)]
