"""Markings drawn as the part looks, with the word for each colour: bands, body-end-dot, mica dots."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from ...electrics.colours import COLOURS, NONE

_LINE = 'stroke="currentColor" stroke-width="1"'
_LETTER = 6.4


def bands(colours: Sequence[str], words: str) -> str:
    """A resistor with its bands; the words of the colours stand below, each at the end of its pointer."""
    step = max(34.0, *(len(c) * _LETTER + 8 for c in colours))
    width = step * len(colours) + 24
    body = (
        f'<path d="M2 16H{width - 2:g}" stroke="currentColor" stroke-width="2"/>'
        f'<rect x="10" y="4" width="{width - 20:g}" height="24" rx="8" fill="#d8c3a0" {_LINE}/>'
    )
    for number, name in enumerate(colours):
        middle = 12 + step * (number + 0.5)
        body += f'<rect x="{middle - 5:g}" y="4" width="10" height="24" fill="{COLOURS[name].paint}" {_LINE}/>'
        body += _word(middle, name)
    return _svg(width, 48, words, body)


def body_end_dot(colours: Sequence[str], words: str) -> str:
    """A resistor painted all over: body, end, dot, other end. ``none`` has the body’s own colour."""
    first, end, dot, other = (COLOURS[c] for c in colours)
    ends = [c if c.name != NONE else first for c in (end, other)]
    width = 290
    drawn = (
        f'<path d="M2 16H{width - 2}" stroke="currentColor" stroke-width="2"/>'
        f'<rect x="12" y="4" width="{width - 24}" height="24" fill="{first.paint}" {_LINE}/>'
        f'<rect x="12" y="4" width="34" height="24" fill="{ends[1].paint}" {_LINE}/>'
        f'<rect x="{width - 46}" y="4" width="34" height="24" fill="{ends[0].paint}" {_LINE}/>'
        f'<circle cx="180" cy="16" r="6" fill="{dot.paint}" {_LINE}/>'
    )
    labels = ((29, other.name), (100, f"body {first.name}"), (180, f"dot {dot.name}"))
    drawn += "".join(_word(x, text) for x, text in labels if text != NONE)
    drawn += _word(width - 1, f"end {end.name}", anchor="end")
    return _svg(width, 48, words, drawn)


def mica_dots(colours: Sequence[str], words: str) -> str:
    """A moulded mica capacitor with six dots, the arrow to the right; words above and below."""
    step, width = 62.0, 62.0 * 3 + 16
    drawn = f'<rect x="6" y="16" width="{width - 12:g}" height="46" rx="5" fill="#6b4a33" {_LINE}/>'
    for number, name in enumerate(colours):
        x, upper = 8 + step * (number % 3 + 0.5), number < 3
        y = 28 if upper else 50
        drawn += f'<circle cx="{x:g}" cy="{y}" r="8" fill="{COLOURS[name].paint}" {_LINE}/>'
        drawn += _word(x, name, 11 if upper else 76)
    drawn += f'<path d="M{width - 26:g} 39h12m-4 -4l4 4l-4 4" fill="none" stroke="#fff" stroke-width="1.5"/>'
    return _svg(width, 82, words, drawn)


def _word(x: float, text: str, y: float = 42, anchor: str = "middle") -> str:
    return f'<text x="{x:g}" y="{y:g}" text-anchor="{anchor}" font-size="11" fill="currentColor">{escape(text)}</text>'


def _svg(width: float, height: float, words: str, drawn: str) -> str:
    return (
        f'<svg class="benchleaf-marking" viewBox="0 0 {width:g} {height:g}" width="{width:g}" height="{height:g}" '
        f'role="img" aria-label="{escape(words)}">{drawn}</svg>'
    )
