"""The picture of a link to a set without a photo: maker, model and year over its tubes in a row, as a PNG.

Its letters are those of DejaVu, which matplotlib brings along: whoever shows a link has no font of the page's.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from importlib.util import find_spec
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PIL.ImageDraw import ImageDraw
    from PIL.ImageFont import FreeTypeFont

WIDTH, HEIGHT = 1200, 630
"""Pixels: 1.91 to 1, as the Open Graph protocol's users show a large picture (common practice, no source)."""

_GROUND, _INK, _SOFT = 255, 0, 76
"""Steps of a ramp from ink to paper."""
_PAPER_RGB, _INK_RGB = (0xF6, 0xF3, 0xEC), (0x1B, 0x1A, 0x18)
_RAMP = tuple(zip(_INK_RGB, _PAPER_RGB, strict=True))
_EDGE, _BASE = 80, 520
_SERIF, _SANS = "DejaVuSerif-Bold.ttf", "DejaVuSans.ttf"
_LARGEST, _SMALLEST, _LABELS = 104, 40, (30, 14)
_MOST_TUBES, _WIDEST_TUBE, _MOST_LETTERS = 12, 72, 200


def link_picture(maker: str, model: str, year: str, tubes: Sequence[str]) -> bytes:
    """The PNG, the same bytes for the same words; more than twelve tubes are told by their number behind the row."""
    from PIL import Image, ImageDraw

    sheet = Image.new("L", (WIDTH, HEIGHT), _GROUND)
    pen = ImageDraw.Draw(sheet)
    _line(pen, maker, 84, _SANS, 48, _SOFT)
    _line(pen, model, 150, _SERIF, _LARGEST, _INK)
    _line(pen, year, 284, _SANS, 48, _SOFT)
    pen.line((_EDGE, _BASE, WIDTH - _EDGE, _BASE), fill=_INK, width=4)
    _row(pen, tubes)
    sheet.putpalette([ink + (paper - ink) * step // 255 for step in range(256) for ink, paper in _RAMP])
    out = BytesIO()
    sheet.save(out, "PNG")
    return out.getvalue()


def _line(pen: ImageDraw, words: str, top: int, face: str, size: int, colour: int) -> None:
    """Words in one line from the left edge."""
    words, font = _fitted(pen, words, face, (size, _SMALLEST), WIDTH - 2 * _EDGE)
    pen.text((_EDGE, top), words, colour, font)


def _fitted(pen: ImageDraw, words: str, face: str, sizes: tuple[int, int], room: float) -> tuple[str, FreeTypeFont]:
    """Words as large as there is room for, between two sizes; what is longer even when small is cut."""
    size, smallest = sizes
    words = " ".join("".join(letter if letter.isprintable() else " " for letter in words[:_MOST_LETTERS]).split())
    while size > smallest and pen.textlength(words, _font(face, size)) > room:
        size -= 2
    while len(words) > 2 and pen.textlength(words, _font(face, size)) > room:
        words = f"{words[:-2]}…"
    return words, _font(face, size)


def _row(pen: ImageDraw, tubes: Sequence[str]) -> None:
    """The tubes standing in a row, each with its type below it."""
    shown = tubes[:_MOST_TUBES]
    if not shown:
        return
    step = (WIDTH - 2 * _EDGE) / max(len(shown), 6)
    wide = min(_WIDEST_TUBE, step * 0.62)
    for n, type_ in enumerate(shown):
        _tube(pen, _EDGE + step * n, wide)
        words, font = _fitted(pen, type_, _SANS, _LABELS, step - 8)
        pen.text((_EDGE + step * n, _BASE + 18), words, _INK, font)
    if len(tubes) > len(shown):
        pen.text((_EDGE, _BASE + 58), f"and {len(tubes) - len(shown)} more", _SOFT, _font(_SANS, 24))


def _tube(pen: ImageDraw, left: float, wide: float) -> None:
    """A glass tube on its base: the envelope, the plate inside it, and the base."""
    high, foot = wide * 1.75, wide * 0.3
    top, right = _BASE - high - foot, left + wide
    pen.rounded_rectangle((left, top, right, _BASE - foot), wide / 2, outline=_INK, width=4)
    inset = wide * 0.3
    pen.rectangle((left + inset, top + wide * 0.55, right - inset, _BASE - foot - wide * 0.25), outline=_SOFT, width=3)
    pen.rectangle((left + wide * 0.12, _BASE - foot, right - wide * 0.12, _BASE), fill=_INK)


@lru_cache(maxsize=32)
def _font(face: str, size: int) -> FreeTypeFont:
    from PIL import ImageFont

    found = find_spec("matplotlib")  # its files alone: the library itself is not loaded
    (root,) = found.submodule_search_locations if found and found.submodule_search_locations else ("",)
    file = Path(root) / "mpl-data" / "fonts" / "ttf" / face
    return ImageFont.truetype(file, size, layout_engine=ImageFont.Layout.BASIC)
