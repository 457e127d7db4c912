"""Small bars for tables, as SVG by template: a share of a whole, a deviation within its tolerance.

They are drawn in lines and tints of the text's own colour, so that they read in black and white, and each says in
words what it shows.
"""

from __future__ import annotations

import math
from html import escape

from ..words.decimal_sign import with_decimal_sign

_SHARE_WIDTH = 100
_DEVIATION_WIDTH = 120
_HEIGHT = 12
_MARK_REACH = 20


def share_bar(fraction: float, label: str) -> str:
    """A bar that fills ``fraction`` (0 to 1) of its frame. ``label`` is what a screen reader says, in plain text.

    A fraction outside 0 to 1 is drawn full or empty; the words are the caller's. Raises ValueError for one that is not
    a number.
    """
    _number(fraction)
    filled = min(max(fraction, 0.0), 1.0) * (_SHARE_WIDTH - 2)
    return _bar(
        _SHARE_WIDTH,
        label,
        f'<rect x=".5" y="1.5" width="{_SHARE_WIDTH - 1}" height="{_HEIGHT - 3}" fill="none" stroke="currentColor"/>'
        f'<rect x="1" y="2" width="{_places(filled)}" height="{_HEIGHT - 4}" fill="currentColor" fill-opacity=".65"/>',
    )


def deviation_bar(deviation: float, tolerance: float | None, label: str = "") -> str:
    """Where a value stands to its expected one: a band for the tolerance, a stroke for the deviation.

    Both are fractions of the expected value: 0.05 is five per cent high. The scale ends at twice the tolerance (or at
    ± 40 % without one); a value beyond it is drawn as an arrow at the end. The words, unless given in ``label``, name
    both numbers. Raises ValueError for what is not a number and for a tolerance below zero.
    """
    _number(deviation)
    if tolerance is not None:
        _number(tolerance)
        if tolerance < 0:
            raise ValueError(f"a tolerance is not below zero: {tolerance}")
    end = 2 * tolerance if tolerance else 0.4
    middle, reach = _DEVIATION_WIDTH / 2, _DEVIATION_WIDTH / 2 - 4
    at = middle + reach * min(max(deviation / end, -1.0), 1.0)
    band = _band(middle, reach * tolerance / end) if tolerance else ""
    line = f"M4 {_HEIGHT / 2:g}h{2 * reach:g}M{middle:g} 3v6"
    axis = f'<path d="{line}" fill="none" stroke="currentColor" stroke-opacity=".6"/>'
    return _bar(
        _DEVIATION_WIDTH, label or deviation_words(deviation, tolerance), band + axis + _stroke(at, deviation, end)
    )


def tolerance_mark(deviation: float, tolerance: float) -> str:
    """Where a value stands between the two ends of its tolerance, which are the ends of the line. Both are ratios.

    Its number stands beside it, so that it says nothing to those who hear the page. Raises ValueError for what is not
    a number, for a tolerance that is not above zero, and for a deviation beyond it: that has a word and no mark.
    """
    _number(deviation)
    _number(tolerance)
    if tolerance <= 0 or abs(deviation) > tolerance * (1 + 1e-9):
        raise ValueError(f"no place on a line of ±{tolerance} for {deviation}")
    at = _places(_MARK_REACH * min(max(deviation / tolerance, -1.0), 1.0))
    return (
        f'<svg class="bl-mark" viewBox="{-_MARK_REACH - 2} 0 {2 * _MARK_REACH + 4} 10" aria-hidden="true">'
        f'<path d="M{-_MARK_REACH} 2v6M0 3v4M{_MARK_REACH} 2v6M{-_MARK_REACH} 5h{2 * _MARK_REACH}" '
        f'stroke-opacity=".5"/><path d="M{at} 0v10" stroke-width="3"/></svg>'
    )


def deviation_words(deviation: float, tolerance: float | None) -> str:
    """A deviation in words: ``4 % low, within ± 20 %``. Both are fractions of the expected value."""
    percent = round(abs(deviation) * 100)
    side = "as expected" if percent == 0 else f"{percent} % {'high' if deviation > 0 else 'low'}"
    if tolerance is None:
        return side
    inside = abs(deviation) <= tolerance * (1 + 1e-9)
    return f"{side}, {'within' if inside else 'outside'} ± {with_decimal_sign(f'{tolerance * 100:g}')} %"


def _band(middle: float, half: float) -> str:
    left, width = _places(middle - half), _places(2 * half)
    return (
        f'<rect x="{left}" y="1.5" width="{width}" height="{_HEIGHT - 3}" fill="currentColor" fill-opacity=".15" '
        'stroke="currentColor" stroke-opacity=".6" stroke-dasharray="2 2"/>'
    )


def _stroke(at: float, deviation: float, end: float) -> str:
    if abs(deviation) <= end:
        return f'<rect x="{_places(at - 1.5)}" y="0" width="3" height="{_HEIGHT}" fill="currentColor"/>'
    way = 1 if deviation > 0 else -1
    return f'<path d="M{_places(at + 4 * way)} 6l{-8 * way} -6v12z" fill="currentColor"/>'


def _bar(width: int, label: str, inside: str) -> str:
    return (
        f'<svg class="benchleaf-bar" viewBox="0 0 {width} {_HEIGHT}" width="{width}" height="{_HEIGHT}" role="img" '
        f'aria-label="{escape(label)}">{inside}</svg>'
    )


def _places(number: float) -> str:
    return f"{round(number, 1) + 0.0:g}"


def _number(value: float) -> None:
    if not math.isfinite(value):
        raise ValueError(f"not a number to draw: {value}")
