"""One original's bytes to the bytes of its variants: decoded within bounds, upright, in sRGB, and bare."""

from __future__ import annotations

import contextlib
import io
import threading
import warnings
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from importlib import import_module
from typing import TYPE_CHECKING, TypeVar

from ...report.picture import Format
from .bare import is_bare
from .originals import (
    MOST_BYTES,
    MOST_PIXELS,
    MOST_SCANS,
    PhotoProblem,
    broken,
    format_of,
    scans_of,
    too_heavy,
    too_large,
)
from .weight import MOST_DECODED, bytes_taken

if TYPE_CHECKING:
    from PIL.Image import Image

_Made = TypeVar("_Made")

VERSION = "2"
"""Goes up when the same original would give different bytes."""

WIDTHS = (480, 960, 1600)
"""Pixels: a phone, a column of text on a fine screen, the whole width."""

MOST_HEIGHT = 4800
"""Pixels, of a published picture: keeps a strip ten pixels wide from growing past what WebP can hold (16383)."""

_FILTERS = threading.Lock()
"""`warnings.catch_warnings` changes the filters of the whole interpreter: two threads inside it would leave them
changed for good."""


@dataclass(frozen=True)
class Encoded:
    """One variant as it is published; width and height in pixels."""

    format: Format
    width: int
    height: int
    content: bytes


@dataclass(frozen=True)
class Prepared:
    """All variants of an original, WebP first, narrow to wide; width and height are the upright original's."""

    width: int
    height: int
    files: tuple[Encoded, ...]


def prepared(content: bytes) -> Prepared | PhotoProblem:
    """The variants of the picture in `content`, or why it cannot be published."""
    return _made(content, lambda original, _: Prepared(original.width, original.height, tuple(_files(original))))


def bare_copy(content: bytes) -> bytes | PhotoProblem:
    """The picture in `content` in its own format, no wider than a page needs, upright, in sRGB, and nothing with it.

    One that is so already is left as it is, so that a copy of a copy is no worse. Or why it is no such picture.
    """

    def made(original: _Original, format: str) -> bytes:
        upright = _upright(original, _sizes(original.width, original.height)[-1])
        fits = upright.size == (original.width, original.height) and is_bare(content, format)
        return content if fits else _written(upright, format)

    return _made(content, made)


def _made(content: bytes, make: Callable[[_Original, str], _Made]) -> _Made | PhotoProblem:
    """What is made of the picture in `content`, or why nothing can be."""
    from PIL.Image import DecompressionBombError

    if len(content) > MOST_BYTES:
        return too_large(f"a file of more than {MOST_BYTES // 1_000_000} MB")
    format = format_of(content)
    if isinstance(format, PhotoProblem):
        return format
    if format == "JPEG" and (scans := scans_of(content)) > MOST_SCANS:
        return too_large(f"a JPEG of {scans} scans")
    try:
        with _FILTERS, warnings.catch_warnings():
            warnings.simplefilter("ignore")
            original = _decoded(content, format)
        return original if isinstance(original, PhotoProblem) else make(original, format)
    except DecompressionBombError:
        return too_large(f"a picture of more than {MOST_PIXELS // 1_000_000} megapixels")
    except MemoryError:
        return too_large("a picture too large for this computer's memory")
    except Exception:  # a damaged file makes Pillow raise some ten kinds, SyntaxError and struct.error among them
        return broken(format)


@dataclass(frozen=True)
class _Original:
    """Pixels as they were stored, perhaps already reduced by the decoder; width and height are those of the upright
    original."""

    pixels: Image
    width: int
    height: int
    orientation: int
    profile: bytes | None


def _decoded(content: bytes, format: str) -> _Original | PhotoProblem:
    from PIL import Image

    import_module("PIL.WebPImagePlugin")  # else it is looked for among fifty formats, each of them loaded
    image = Image.open(io.BytesIO(content), formats=(format,))
    width, height = image.size
    if width * height > MOST_PIXELS:
        return too_large(f"a picture of {width} × {height} pixels ({width * height / 1e6:.0f} megapixels)")
    orientation = _orientation(image)
    profile = image.info.get("icc_profile")
    if orientation in _ON_ITS_SIDE:
        width, height = height, width
    image.draft(None, _stored(_sizes(width, height)[-1], orientation))
    takes = len(content) + bytes_taken(image, width * height)
    if takes > MOST_DECODED:
        return too_heavy(f"a {format} of {width} × {height} pixels", takes)
    image.load()
    return _Original(image, width, height, orientation, profile if isinstance(profile, bytes) else None)


_ON_ITS_SIDE = (5, 6, 7, 8)


def _orientation(image: Image) -> int:
    """The EXIF tag 0x0112, 1 to 8; 1 (as stored) where it is missing or makes no sense."""
    with contextlib.suppress(Exception):  # EXIF is as hostile as the rest, but pixels without it can be shown
        orientation = image.getexif().get(0x0112)
        if isinstance(orientation, int) and 1 <= orientation <= 8:
            return orientation
    return 1


def _stored(size: tuple[int, int], orientation: int) -> tuple[int, int]:
    return (size[1], size[0]) if orientation in _ON_ITS_SIDE else size


def _sizes(width: int, height: int) -> list[tuple[int, int]]:
    """Sizes to publish, narrow to wide, none larger than the original: `WIDTHS`, and the original's own width where
    that is narrower than the widest and a good step above the next (a fifth; less is not worth a file)."""
    widths = [step for step in WIDTHS if step <= width]
    if width < WIDTHS[-1] and (not widths or width >= 1.2 * widths[-1]):
        widths.append(width)
    sizes: dict[tuple[int, int], None] = {}
    for step in widths:
        scale = min(step / width, MOST_HEIGHT / height)
        sizes[max(1, round(width * scale)), max(1, round(height * scale))] = None
    return list(sizes)


def _files(original: _Original) -> Iterator[Encoded]:
    sizes = _sizes(original.width, original.height)
    widest = _upright(original, sizes[-1])
    steps = [widest if size == widest.size else _reduced(widest, size) for size in sizes]
    formats: tuple[Format, ...] = ("webp", "jpeg")
    for format in formats:
        for step in steps:
            yield Encoded(format, step.width, step.height, _written(step, format.upper()))


_HOW: Mapping[str, Mapping[str, int | bool]] = {
    # Method 4 takes 2.6 times as long for a file smaller by a twenty-fifth, and 0.0015 more of structural similarity.
    "WEBP": {"quality": 78, "method": 2},
    "JPEG": {"quality": 80, "optimize": True, "progressive": True},
    "PNG": {"optimize": True},
    "GIF": {},
}


def _written(image: Image, format: str) -> bytes:
    """The file of a picture, in one of the formats by Pillow's names."""
    from PIL import Image as Images

    bare = Images.new(image.mode, image.size)  # a new picture: nothing can have come along with the pixels
    bare.paste(image)
    written = io.BytesIO()
    bare.save(written, format, **_HOW[format])
    return written.getvalue()


def _upright(original: _Original, size: tuple[int, int]) -> Image:
    """The original at `size`, turned as it was held, in 8-bit sRGB or grey, on white."""
    from PIL.Image import Transpose

    turns = {
        2: Transpose.FLIP_LEFT_RIGHT,
        3: Transpose.ROTATE_180,
        4: Transpose.FLIP_TOP_BOTTOM,
        5: Transpose.TRANSPOSE,
        6: Transpose.ROTATE_270,
        7: Transpose.TRANSVERSE,
        8: Transpose.ROTATE_90,
    }
    image = _reduced(_eight_bits(original.pixels), _stored(size, original.orientation))
    if original.orientation in turns:
        image = image.transpose(turns[original.orientation])
    return _in_srgb(_on_white(image), original.profile)


def _reduced(image: Image, size: tuple[int, int]) -> Image:
    from PIL.Image import Resampling

    return image.resize(size, Resampling.LANCZOS, reducing_gap=3.0)


def _eight_bits(image: Image) -> Image:
    """Any of Pillow's modes as L, RGB, RGBA or CMYK."""
    if image.mode.startswith("I"):
        return image.convert("I").point(lambda level: level * (255 / 65535)).convert("L")
    if "transparency" in image.info or image.mode in ("LA", "La", "PA", "RGBa"):
        return image.convert("RGBA")
    if image.mode == "1":
        return image.convert("L")
    return image if image.mode in ("L", "RGB", "RGBA", "CMYK") else image.convert("RGB")


def _on_white(image: Image) -> Image:
    from PIL import Image as Images

    if image.mode != "RGBA":
        return image
    paper = Images.new("RGBA", image.size, "white")
    paper.alpha_composite(image)
    return paper.convert("RGB")


def _in_srgb(image: Image, profile: bytes | None) -> Image:
    """Colours as the profile means them; without one, or with one that cannot be read, they are taken as sRGB."""
    from PIL import ImageCms

    if profile is not None:
        with contextlib.suppress(ImageCms.PyCMSError, OSError, ValueError, TypeError):
            source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            target = ImageCms.createProfile("sRGB")
            converted = ImageCms.profileToProfile(image, source, ImageCms.ImageCmsProfile(target), outputMode="RGB")
            if converted is not None:
                return converted
    return image.convert("RGB") if image.mode == "CMYK" else image
