"""An amplifying stage drawn from the record's own parts: lying, the common below, what feeds it above."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain
from textwrap import wrap
from typing import TYPE_CHECKING

from ...drawing.figure import shown_at_least
from ...drawing.labels import EM_PER_LETTER
from ...drawing.schematic import FONT_SIZE, SCALE, Point, Side, State, Symbol, TubeLeads, sketch
from ...record.units import say
from .stage_parts import Around, StagePart, StageParts

if TYPE_CHECKING:
    from ...drawing import Figure

_UNIT = 36.0
_LETTER = EM_PER_LETTER * FONT_SIZE / _UNIT
_LONGEST = 18
"""Letters of a line of words beside a part: what is longer is cut."""
_COMMON, _LOW, _PLATE, _TOP = 0.0, 1.7, 5.1, 6.8
"""Heights: the common, the upper ends of what lies to it, the plate's node, the rails."""
_ENVELOPE = 4.6
_TO_TUBE, _SHORTEST, _SERIES, _STEP, _MARGIN, _PLATES = 1.4, 1.8, 1.6, 1.4, 0.35, 0.3
_MOST_OTHERS = 3
_BROADEST_NAME, _BROADEST_READING = 14, 8
"""Letters of a line: the stage's name below its envelope, a reading on the lead of a grid."""
_LEAST_LETTER = 9
"""CSS pixels of the words where a drawing is shown at its least width."""


def stage_figure(stage: StageParts, name: str) -> Figure:
    """The drawing of one stage."""
    made = _Drawing(stage)
    made.draw()
    title = f"{stage.name} {stage.type}"
    figure = made.sheet.figure(name=name, title=title, description=description(stage))
    return shown_at_least(figure, figure.width / SCALE * _LEAST_LETTER / FONT_SIZE)


def description(stage: StageParts) -> str:
    """What the drawing shows, in words."""
    told = [_electrode_in_words(each, stage.common) for each in stage.electrodes]
    return "; ".join(said for said in (*told, stage.leak.text if stage.leak else "") if said)


def _electrode_in_words(each: Around, common: str) -> str:
    read = f": {', '.join(each.read)}" if each.read else ""
    on = f", on {each.on}" if each.on else ""
    parts = [f"{part.name} {', '.join(part.words)} to {part.far or common}".replace("  ", " ") for part in each.parts]
    if not (read or on or parts):
        return ""
    return f"{each.name}{f' ({each.pins})' if each.pins else ''}{read}{on}{'; ' if parts else ''}{'; '.join(parts)}"


class _Drawing:
    """One stage as it grows.

    ``low_right`` and ``middle_right`` are how far to the right words and parts reach, low down and beside the tube;
    ``name_right`` how far the stage's name does, between the two, and ``rising`` what goes up to the rails.
    """

    def __init__(self, stage: StageParts) -> None:
        self.stage, self.sheet = stage, sketch()
        self.returns: list[Point] = []
        self.left_out: list[str] = []
        self.low_right = self.middle_right = self.name_right = 0.0
        self.rising = 0.45

    def draw(self) -> None:
        """All of it: tube, cathode, grids to the left, screens and plate to the right, the common below."""
        stage = self.stage
        side_by_side = [*stage.screens, *stage.plates[1:]]
        rows = _rows(stage.grids, side_by_side)
        leads = self.sheet.tube((0.0, _ENVELOPE), len(rows), filament=stage.cathode is None)
        name = f"{stage.name} {stage.type}"[: 2 * _LONGEST]
        lines = wrap(name, _BROADEST_NAME)
        self.sheet.text((0.9, 2.62), *lines)
        self.name_right = 1.1 + _wide(lines)
        self.low_right = leads.cathode[0]
        if stage.cathode:
            self._cathode(stage.cathode, leads)
        self._grids([(leads.left[row], each) for row, each in enumerate(rows) if each in stage.grids])
        for row, each in enumerate(rows):
            if each not in stage.grids:
                self._screen(each, leads.right[row])
        if stage.plates:
            self._plate(stage.plates[0])
        self._common()

    def _cathode(self, each: Around, leads: TubeLeads) -> None:
        x, y = leads.cathode
        self.sheet.wire((x, y), (x, _LOW))
        self._node((x, _LOW), each)
        self.sheet.text((x, 1.9), *each.read, side="left")
        self.low_right = self._down(each.to_common, (x, _LOW), 1)
        self.left_out += [part.name for part in each.others]

    def _grids(self, grids: Sequence[tuple[Point, Around]]) -> None:
        """The lowest first, nearest to the tube; each further one farther to the left."""
        x = 0.0
        for n, (lead, each) in enumerate(grids):
            above = n == len(grids) - 1
            said = (*((each.name,) if len(grids) > 1 and (each.read or each.parts) else ()), *each.read)
            words = [line for one in said for line in wrap(one, _BROADEST_READING)]
            x = min(x - _TO_TUBE - _wide(words) - _MARGIN, -_SHORTEST)
            at = (x, lead[1]) if words or each.parts else (-_SHORTEST, lead[1])
            self.sheet.wire(lead, at)
            middle = at[0] + _MARGIN + _wide(words) / 2
            self.sheet.text((middle, lead[1]), *words, side="above" if above else "below")
            self._node(at, each)
            reach = self._down(each.to_common, at, -1)
            for row, part in enumerate(each.others[:_MOST_OTHERS]):
                reach = min(reach, self._across(part, at, (at[0], lead[1] + row * _STEP), -1, above=above))
            self.left_out += [part.name for part in each.others[_MOST_OTHERS:]]
            self._leak(each, at)
            x = reach

    def _leak(self, each: Around, at: Point) -> None:
        """Beside the leak of a grid that was read positive: the current in it, and which way it flows."""
        leak = self.stage.leak
        if leak is None or leak.part not in [part.name for part in each.to_common]:
            return
        x = at[0] + 0.3
        self.sheet.arrow((x, at[1] - 0.35), (x, _LOW + 0.1))
        when = "" if each.off else "as found"
        self.sheet.text((x, 2.6), say(leak.amps, "A", digits=2), when, side="right")

    def _screen(self, each: Around, lead: Point) -> None:
        down = max(self.name_right + 0.2, self.low_right + _MARGIN + _PLATES) if each.to_common else 0.0
        x = max(self.middle_right + 0.2, down, 1.6)
        at = (x, lead[1])
        self.sheet.wire(lead, at)
        words: tuple[str, ...] = (each.name, *each.read)
        if each.on and not each.parts:
            self.sheet.terminal(at)
            words = (each.on, *words)
        else:
            self._up(each, at, 1)
            self.rising = x + 0.45 + _wide(_cut(each.feeds[0])) if each.feeds else self.rising
        self._node(at, each)
        low = self._down(each.to_common, at, 1)
        self.low_right = low if each.to_common else self.low_right
        self.sheet.text(at, *words, side="right")
        self.left_out += [part.name for part in (*each.feeds[1:], *each.others)]
        reach = x + 0.3 + max(_wide(words), _wide_of(each.feeds))
        self.middle_right = max(self.middle_right, reach)

    def _plate(self, each: Around) -> None:
        at = (0.0, _PLATE)
        self.sheet.wire((0.0, _ENVELOPE), at)
        self._node(at, each)
        self._up(each, at, -1)
        self.sheet.text((0.0, _PLATE), *each.read, side="left")
        x = max(self.low_right, self.middle_right, self.name_right) + _MARGIN
        clear = self.rising + _MARGIN
        for part in each.to_common:
            end = (x, _PLATE)
            self.sheet.wire(at, end)
            self.sheet.junction(end)
            clear, x = x, self._down((part,), end, 1) + _MARGIN
        others = (*each.feeds[1:], *each.others)
        self.left_out += [part.name for part in others[_MOST_OTHERS:]]
        for n, part in enumerate(others[:_MOST_OTHERS]):
            start = (clear if n == 0 else max(clear, x - _MARGIN), _PLATE - n * _STEP)
            self.sheet.wire(at, (start[0], _PLATE), start)
            self._across(part, start, start, 1)

    def _down(self, parts: Sequence[StagePart], at: Point, way: int) -> float:
        """Parts from a node to the common, one beside the other; how far they reach."""
        x, reach = at[0], at[0]
        for n, part in enumerate(parts):
            if n:
                x = reach + way * (_MARGIN + _PLATES)
                self.sheet.wire(at, (x, at[1]))
            self.sheet.wire((x, at[1]), (x, _LOW))
            self._part(part, (x, _LOW), (x, _COMMON), "right" if way > 0 else "left")
            self.returns.append((x, _COMMON))
            reach = x + way * (0.45 + _wide(_cut(part)))
        return reach

    def _up(self, each: Around, at: Point, way: int) -> None:
        """What feeds an electrode, up to its rail."""
        side: Side = "right" if way > 0 else "left"
        if each.on:
            self.sheet.wire(at, (at[0], _TOP))
            self.sheet.terminal((at[0], _TOP), each.on, side="above")
        for part in each.feeds[:1]:
            self.sheet.wire(at, (at[0], _PLATE))
            ends = ((at[0], _PLATE), (at[0], _TOP))
            self._part(part, *(ends if way > 0 else ends[::-1]), side)
            self.sheet.terminal(ends[1], _short(part.far), side="above")

    def _across(self, part: StagePart, node: Point, start: Point, way: int, *, above: bool = True) -> float:
        """A part beside a node, with the place at its far end; how far it reaches."""
        x, y = start
        end = (x + way * max(_SERIES, _wide(_cut(part))), y)
        self.sheet.wire(node, start)
        self._part(part, (x + way * 0.2, y), end, "above" if above else "below")
        self.sheet.wire(start, (x + way * 0.2, y))
        self.sheet.terminal(end)
        far = _short(part.far)
        reach = max(abs(end[0] - x), 0.15 + _wide([far]))
        self.sheet.text((x + way * (reach - _wide([far]) / 2), y), far, side="below" if above else "above", gap=0.25)
        return x + way * reach

    def _part(self, part: StagePart, start: Point, end: Point, side: Side) -> None:
        symbol: Symbol = part.symbol  # type: ignore[assignment]
        state: State = part.state  # type: ignore[assignment]
        self.sheet.part(symbol, start, end, *_cut(part), state=state, side=side)

    def _node(self, at: Point, each: Around) -> None:
        """A dot; an open square where the newest reading is off."""
        if each.off:
            x, y = at
            self.sheet.wire(
                (x - 0.13, y - 0.13),
                (x + 0.13, y - 0.13),
                (x + 0.13, y + 0.13),
                (x - 0.13, y + 0.13),
                (x - 0.13, y - 0.13),
                state="added",
            )
        elif each.parts:
            self.sheet.junction(at)

    def _common(self) -> None:
        """The line that the returns go to; below it the names of parts there was no room for."""
        if self.left_out:
            names = _short(", ".join(dict.fromkeys(self.left_out)))
            self.sheet.text((-_SHORTEST, _COMMON - 0.5), f"not drawn: {names}")
        if not self.returns:
            return
        left, right = min(x for x, _ in self.returns), max(x for x, _ in self.returns)
        self.sheet.wire((left - 0.4, _COMMON), (right + 0.4, _COMMON), conductor="return")
        for at in self.returns:
            self.sheet.junction(at)
        self.sheet.text((right + 0.4, _COMMON), _short(self.stage.common))


def _rows(grids: Sequence[Around], right: Sequence[Around]) -> list[Around]:
    """Grids and what else is drawn as one, from the cathode outwards: screens stand behind the first grid."""
    return [*grids[:1], *right, *grids[1:]]


def _cut(part: StagePart) -> tuple[str, ...]:
    """A part's name and values; a short value stands on the line of the name."""
    words = [_short(word) for word in part.words]
    if len(words) == 1 and len(part.name) + len(words[0]) < _LONGEST - 4:
        return (f"{part.name} {words[0]}",)
    return (_short(part.name), *words)


def _short(word: str) -> str:
    return word if len(word) <= _LONGEST else f"{word[: _LONGEST - 1]}…"


def _wide(words: Sequence[str]) -> float:
    return _LETTER * max(map(len, words), default=0)


def _wide_of(parts: Sequence[StagePart]) -> float:
    return _wide(tuple(chain.from_iterable(_cut(part) for part in parts)))
