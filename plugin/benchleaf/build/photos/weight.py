"""How much memory a picture takes while it is made ready, worked out from its header before anything is decoded."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PIL.Image import Image

MOST_DECODED = 220_000_000
"""Bytes, with those of the file: with the interpreter and what is written, 300 MB for any picture."""

_WEBP = 16
"""Bytes a pixel: its decoder keeps two canvases of four, hands out a third, and Pillow has its own."""
_OPAQUE = {"1": 2, "L": 1, "P": 5, "RGB": 4, "CMYK": 4, "I": 8, "I;16": 8, "I;16B": 8, "I;16L": 8, "RGBA": 8}
"""Bytes a pixel of Pillow's modes: as decoded, and once more where it is turned into another mode or multiplied by what
it lets through before it is made smaller."""
_SEEN_THROUGH = {"L": 9, "P": 9, "RGB": 12}
"""The same with a colour that is seen through."""
_ANY_OTHER = 12


def bytes_taken(image: Image, pixels: int) -> float:
    """Bytes that a picture of so many ``pixels`` takes, opened and not yet loaded, and its ``draft`` asked for.

    Measured on Pillow 12 as the growth of the process, within a tenth or too much.
    """
    if image.format == "WEBP":
        return pixels * _WEBP
    decoded = image.width * image.height * _a_pixel(image)
    return decoded + pixels * _coefficients(image) if image.info.get("progressive") else decoded


def _a_pixel(image: Image) -> int:
    table = _SEEN_THROUGH if "transparency" in image.info else _OPAQUE
    return table.get(image.mode, _ANY_OTHER)


def _coefficients(image: Image) -> float:
    """Bytes a pixel that a progressive JPEG is gathered in: two for each coefficient, fewer where colour is coarser."""
    layers = getattr(image, "layer", ())
    blocks = [across * down for _, across, down, _ in layers]
    finest = max((across for _, across, _, _ in layers), default=1) * max((down for _, _, down, _ in layers), default=1)
    return 2 * sum(blocks) / finest if blocks else 8
