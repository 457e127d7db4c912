"""A tube's socket seen from below, by template: each pin at its position, with what is written beside it.

Labels stand in a column on either side, with a line to their pin, so that they are readable on a phone whatever the
base. What is off is marked by shape and by word, and in the text's own colour.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from typing import TYPE_CHECKING

from benchleaf.drawing.figure import Figure
from benchleaf.tubes.tube import TOP_CAP

if TYPE_CHECKING:
    from benchleaf.tubes.sockets import PinPosition, Socket

__all__ = ["PinLabel", "socket_chart"]

_WIDTH, _RADIUS, _PIN, _LINE, _GAP = 304.0, 40.0, 8.5, 13.0, 5.0
_EDGE = 12.0
_LETTERS = 18
_BOLD = 7.0
"""How wide a letter in bold is taken to be."""
_HEAD = int((_WIDTH / 2 - _RADIUS - _EDGE - 4) / _BOLD)
"""Letters of an electrode that stand beside the socket without touching it; a longer one takes two lines."""
_MIDDLE = 'text-anchor="middle" fill="currentColor"'


@dataclass(frozen=True, slots=True)
class PinLabel:
    """What stands beside a pin: the electrode, then what was read and what is expected; ``off`` is the word for it."""

    pin: int | str
    electrode: str
    lines: tuple[str, ...] = ()
    off: str = ""

    @property
    def head(self) -> tuple[str, ...]:
        """Pin and electrode, in two lines where one would reach into the socket."""
        said = f"{self.pin} {self.electrode}" if self.pin != TOP_CAP else f"cap {self.electrode}"
        first, space, rest = said[: _HEAD + 1].rpartition(" ")
        if len(said) <= _HEAD or self.pin == TOP_CAP or not space or first == str(self.pin):
            return (_cut(said),)
        return first, _cut(rest + said[_HEAD + 1 :])

    @property
    def texts(self) -> tuple[str, ...]:
        return (*self.head, *(_cut(text) for text in (*self.lines, *((self.off,) if self.off else ()))))

    @property
    def height(self) -> float:
        return len(self.texts) * _LINE + _GAP


def socket_chart(socket: Socket, labels: Sequence[PinLabel], *, name: str, title: str) -> Figure:
    """The chart of one tube. Pins without a label are drawn empty; a label for ``top cap`` stands at the middle."""
    by_pin = {label.pin: label for label in labels}
    left = [p for p in socket.pins if _x(p) < -0.01 or (abs(_x(p)) <= 0.01 and _y(p) > 0 and p.radius)]
    right = [p for p in socket.pins if p not in left]
    # An axis pin goes where there is more room.
    columns = _balanced(left, right)
    cap = by_pin.get(TOP_CAP)
    heights = [sum(by_pin[p.pin].height for p in column if p.pin in by_pin) for column in columns]
    height = max(2 * (_RADIUS + _PIN + 22), *heights) + (cap.height + 4 if cap else 0) + 4
    middle = (_WIDTH / 2, (height - (cap.height + 4 if cap else 0)) / 2)
    drawn = [_outline(socket, middle)]
    for side, column in zip((-1, 1), columns, strict=True):
        drawn.append(_column(side, column, by_pin, middle))
    drawn += [_pin(position, by_pin.get(position.pin), middle) for position in socket.pins]
    if cap:
        drawn.append(_cap(cap, middle, height))
    described = "; ".join(_said(label) for label in labels)
    description = f"Seen from below. {described}." if described else "Seen from below."
    svg = (
        f'<svg class="benchleaf-drawing bl-fine" xmlns="http://www.w3.org/2000/svg" '
        f'viewBox="0 0 {_WIDTH:g} {height:g}" width="{_WIDTH:g}" height="{height:g}" role="img" '
        f'aria-labelledby="{name}-t {name}-d">'
        f'<title id="{name}-t">{escape(title)}</title><desc id="{name}-d">{escape(description)}</desc>'
        f"{''.join(drawn)}</svg>"
    )
    return Figure(name, title, description, svg, _WIDTH, height)


def _balanced(left: list[PinPosition], right: list[PinPosition]) -> tuple[list[PinPosition], list[PinPosition]]:
    """Two columns from top to bottom; a pin on the middle axis goes to the shorter one."""
    axis = [p for p in (*left, *right) if abs(_x(p)) <= 0.01]
    columns = [p for p in left if p not in axis], [p for p in right if p not in axis]
    for position in axis:
        min(columns, key=len).append(position)
    return sorted(columns[0], key=_y), sorted(columns[1], key=_y)


def _x(position: PinPosition) -> float:
    return position.radius * math.sin(math.radians(position.degrees))


def _y(position: PinPosition) -> float:
    return -position.radius * math.cos(math.radians(position.degrees))


def _at(position: PinPosition, middle: tuple[float, float]) -> tuple[float, float]:
    return middle[0] + _RADIUS * _x(position), middle[1] + _RADIUS * _y(position)


def _outline(socket: Socket, middle: tuple[float, float]) -> str:
    x, y = middle
    edge = _RADIUS + _EDGE
    parts = [f'<circle cx="{x:g}" cy="{y:g}" r="{edge:g}" fill="none" stroke="currentColor" stroke-opacity=".6"/>']
    if socket.locator == "key":
        parts.append(
            f'<circle cx="{x:g}" cy="{y:g}" r="12" fill="none" stroke="currentColor"/>'
            f'<path d="M{x - 4:g} {y + 11:g}v6h8v-6" fill="none" stroke="currentColor"/>'
        )
    elif socket.locator == "boss":
        parts.append(f'<path d="M{x - 5:g} {y + edge:g}v6h10v-6" fill="none" stroke="currentColor"/>')
    parts.append(f'<text x="{x:g}" y="{y - edge - 5:g}" {_MIDDLE} font-size="11">from below</text>')
    return "".join(parts)


def _pin(position: PinPosition, label: PinLabel | None, middle: tuple[float, float]) -> str:
    x, y = _at(position, middle)
    size = _PIN + (2 if position.large else 0)
    if label and label.off:
        # A square with a heavy edge: the shape says that it is off, in print too.
        shape = (
            f'<rect x="{x - size:.1f}" y="{y - size:.1f}" width="{2 * size:g}" height="{2 * size:g}" '
            'fill="none" stroke="currentColor" stroke-width="3"/>'
        )
    else:
        shape = (
            f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{size:g}" fill="none" stroke="currentColor" '
            f'stroke-width="{2 if position.large else 1}"/>'
        )
    number = f'<text x="{x:.1f}" y="{y + 3.8:.1f}" {_MIDDLE} font-size="11">{position.pin}</text>'
    return shape + number


def _column(
    side: int, column: Sequence[PinPosition], by_pin: dict[int | str, PinLabel], middle: tuple[float, float]
) -> str:
    """Labels from top to bottom, each as near to its pin's height as its neighbours allow."""
    shown = [(p, by_pin[p.pin]) for p in column if p.pin in by_pin]
    if not shown:
        return ""
    total = sum(label.height for _, label in shown)
    top = max(2.0, middle[1] - total / 2)
    bottom = 2 * middle[1] - 2
    drawn = []
    rest = total
    for position, label in shown:
        wanted = _at(position, middle)[1] - label.height / 2
        start = min(max(top, wanted), bottom - rest)
        drawn.append(_label(side, position, label, start, middle))
        top, rest = start + label.height, rest - label.height
    return "".join(drawn)


def _label(side: int, position: PinPosition, label: PinLabel, top: float, middle: tuple[float, float]) -> str:
    x = 2.0 if side < 0 else _WIDTH - 2
    anchor = "start" if side < 0 else "end"
    lines = []
    for n, text in enumerate(label.texts):
        is_head = n < len(label.head)
        weight = ' font-weight="700"' if is_head or text == _cut(label.off) else ""
        y = top + (n + 1) * _LINE - 2
        lines.append(
            f'<text x="{x:g}" y="{y:.1f}" text-anchor="{anchor}" font-size="11" '
            f'fill="currentColor"{weight}>{escape(text)}</text>'
        )
    px, py = _at(position, middle)
    first = len(label.texts[0]) * _BOLD
    widest = min(first, middle[0] - _RADIUS - _EDGE - 8)
    from_x, from_y = x - side * (widest + 3), top + _LINE / 2 + 2
    long = math.hypot(px - from_x, py - from_y) or 1.0
    share = 1 - (_PIN + (5 if label.off else 2)) / long
    leader = f"M{from_x:.1f} {from_y:.1f}L{from_x + share * (px - from_x):.1f} {from_y + share * (py - from_y):.1f}"
    return f'<path d="{leader}" fill="none" stroke="currentColor" stroke-opacity=".4"/>' + "".join(lines)


def _cap(cap: PinLabel, middle: tuple[float, float], height: float) -> str:
    """The cap at the top of the bulb, in words under the chart."""
    y = height - cap.height
    text = ", ".join(cap.texts)
    weight = ' font-weight="700"' if cap.off else ""
    return f'<text x="{middle[0]:g}" y="{y + _LINE - 2:.1f}" {_MIDDLE} font-size="11"{weight}>{escape(text)}</text>'


def _said(label: PinLabel) -> str:
    return " ".join(
        (f"{'pin ' if label.pin != TOP_CAP else ''}{label.pin} {label.electrode}", *label.lines, label.off)
    ).strip()


def _cut(text: str) -> str:
    return text if len(text) <= _LETTERS else text[: _LETTERS - 1] + "…"
