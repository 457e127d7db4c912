"""From an original, which may be anything at all, to pictures that may be published.

A published picture is upright, in sRGB, no wider than a page needs, and holds nothing but its pixels: where a photo
was taken, with which camera and by whom stays with the original. A record may come from a stranger, so whatever is
wrong with a file or with the path written to it comes back as a `PhotoProblem`, never as an exception.
"""

from __future__ import annotations

import contextlib
import io
import os
import re
import threading
import unicodedata
import warnings
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from benchleaf.cache import Cache, as_json, content_key
from benchleaf.chapters.photos.originals import (
    MOST_BYTES,
    MOST_PIXELS,
    MOST_SCANS,
    PhotoProblem,
    broken,
    format_of,
    inside,
    scans_of,
    too_large,
    unfit,
    unfit_size,
)
from benchleaf.kept import read_as
from benchleaf.set_files import UNREADABLE, Refusal, opened

if TYPE_CHECKING:
    from PIL.Image import Image

__all__ = ["PhotoProblem", "Picture", "Variant", "inside", "publishable"]

VERSION = "1"
"""Goes up when the same original would give different bytes."""

WIDTHS = (480, 960, 1600)
"""Pixels: a phone, a column of text on a fine screen, the whole width."""

MOST_HEIGHT = 4800
"""Pixels, of a published picture: keeps a strip ten pixels wide from growing past what WebP can hold (16383)."""
_ENTRIES, _FILES = "pictures", "photos"
_FILTERS = threading.Lock()
"""`warnings.catch_warnings` changes the filters of the whole interpreter: two threads inside it would leave them
changed for good."""

Format = Literal["webp", "jpeg"]
_SUFFIXES: dict[Format, str] = {"webp": ".webp", "jpeg": ".jpg"}


@dataclass(frozen=True)
class Variant:
    """One published file. Its content lies at `path` in the cache, or in `data` where there is no cache."""

    format: Format
    width: int
    height: int
    name: str
    digest: str
    path: Path | None
    data: bytes | None

    def content(self) -> bytes:
        """The file's bytes. Raises OSError if the cache has lost the file since."""
        if self.data is not None:
            return self.data
        assert self.path is not None
        return self.path.read_bytes()


@dataclass(frozen=True)
class Picture:
    """A picture to publish: the original's size in pixels, upright, and its variants, WebP first, narrow to wide."""

    width: int
    height: int
    variants: tuple[Variant, ...]
    cache_keys: tuple[str, ...]
    """What `Cache.prune` must be told to keep."""


def publishable(path: Path, folder: Path, cache: Cache) -> Picture | PhotoProblem:
    """The picture at `path` in the set's `folder` made ready to publish, or why it cannot be.

    JPEG, PNG, WebP and GIF (its first image) are told by their content. Up to 40 MB and 60 megapixels. The same
    original gives the same bytes each time.
    """
    with opened(path, folder) as original:
        if isinstance(original, Refusal):
            return unfit(original)
        problem = unfit_size(os.fstat(original).st_size)
        if problem is not None:
            return problem
        stem = _stem(path.name)
        digest = cache.digest(original, Path(os.path.realpath(path)))
        known = None if digest is None else _remembered(cache, _entry_key(digest), stem)
        if known is not None:
            return known
        try:
            with os.fdopen(original, "rb", closefd=False) as file:
                file.seek(0)
                content = file.read(MOST_BYTES + 1)
        except OSError:
            return unfit(UNREADABLE)
    return _kept(_made(content), _entry_key(content_key(content)), stem, cache)


def _kept(made: _Made | PhotoProblem, key: str, stem: str, cache: Cache) -> Picture | PhotoProblem:
    if isinstance(made, PhotoProblem):
        cache.put(_ENTRIES, key, as_json(asdict(_Remembered(problem=made))))
        return made
    variants = tuple(_variant(file, stem, cache) for file in made.files)
    if all(variant.path is not None for variant in variants):
        files = tuple((v.format, v.width, v.height, v.digest) for v in variants)
        cache.put(_ENTRIES, key, as_json(asdict(_Remembered(size=(made.width, made.height), files=files))))
    return Picture(made.width, made.height, variants, (key, *(variant.digest for variant in variants)))


@dataclass(frozen=True)
class _File:
    format: Format
    width: int
    height: int
    content: bytes


@dataclass(frozen=True)
class _Made:
    width: int
    height: int
    files: tuple[_File, ...]


def _entry_key(digest: str) -> str:
    from PIL import __version__ as pillow

    return Cache.key("picture", VERSION, pillow, digest)


@dataclass(frozen=True)
class _Remembered:
    """What came of an original, as the cache keeps it: a problem, or its size and the files (format, size, hash)."""

    problem: PhotoProblem | None = None
    size: tuple[int, int] = (0, 0)
    files: tuple[tuple[Format, int, int, str], ...] = ()


def _remembered(cache: Cache, key: str, stem: str) -> Picture | PhotoProblem | None:
    """What came of this original before, if every file of it is still in the cache and whole."""
    try:
        entry = read_as(_Remembered, cache.get(_ENTRIES, key) or b"null")
        if entry.problem is not None:
            return entry.problem
        variants = []
        for format, width, height, digest in entry.files:
            place = cache.path(_FILES, digest, _SUFFIXES[format])
            if place is None:
                return None
            variants.append(Variant(format, width, height, _name(stem, width, digest, format), digest, place, None))
    except ValueError:
        return None
    if not {"webp", "jpeg"} <= {variant.format for variant in variants}:
        return None
    return Picture(*entry.size, tuple(variants), (key, *(variant.digest for variant in variants)))


def _variant(file: _File, stem: str, cache: Cache) -> Variant:
    place = cache.put_file(_FILES, file.content, _SUFFIXES[file.format])
    digest = content_key(file.content)
    name = _name(stem, file.width, digest, file.format)
    data = file.content if place is None else None
    return Variant(file.format, file.width, file.height, name, digest, place, data)


def _stem(name: str) -> str:
    plain = unicodedata.normalize("NFKD", name.rpartition(".")[0]).encode("ascii", "ignore").decode("ascii")
    return re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-")[:40].strip("-") or "picture"


def _name(stem: str, width: int, digest: str, format: Format) -> str:
    return f"{stem}-{width}-{digest[:16]}{_SUFFIXES[format]}"


# From the original to its variants


def _made(content: bytes) -> _Made | PhotoProblem:
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
        if isinstance(original, PhotoProblem):
            return original
        return _Made(original.width, original.height, tuple(_files(original)))
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

    image = Image.open(io.BytesIO(content), formats=(format,))
    width, height = image.size
    if width * height > MOST_PIXELS:
        return too_large(f"a picture of {width} × {height} pixels ({width * height / 1e6:.0f} megapixels)")
    orientation = _orientation(image)
    profile = image.info.get("icc_profile")
    if orientation in _ON_ITS_SIDE:
        width, height = height, width
    image.draft(None, _stored(_sizes(width, height)[-1], orientation))
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


def _files(original: _Original) -> Iterator[_File]:
    from PIL import Image

    sizes = _sizes(original.width, original.height)
    widest = _upright(original, sizes[-1])
    steps = [widest if size == widest.size else _reduced(widest, size) for size in sizes]
    options: dict[Format, dict[str, int | bool]] = {
        "webp": {"quality": 78, "method": 4},
        "jpeg": {"quality": 80, "optimize": True, "progressive": True},
    }
    for format, how in options.items():
        for step in steps:
            bare = Image.new(step.mode, step.size)  # a new picture: nothing can have come along with the pixels
            bare.paste(step)
            written = io.BytesIO()
            bare.save(written, format.upper(), **how)
            yield _File(format, step.width, step.height, written.getvalue())


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
