"""From an original, which may be anything at all, to pictures that may be published.

A published picture is upright, in sRGB, no wider than a page needs, and holds nothing but its pixels: where a photo
was taken, with which camera and by whom stays with the original. A record may come from a stranger, so whatever is
wrong with a file or with the path written to it comes back as a `PhotoProblem`, never as an exception.
"""

from __future__ import annotations

import os
import re
import unicodedata
from dataclasses import asdict, dataclass
from pathlib import Path

from ...record.set_files import UNREADABLE, Refusal, opened
from ...report.picture import Format, Picture, Variant
from ..cache import Cache, as_json, content_key
from ..kept import read_as
from .originals import MOST_BYTES, PhotoProblem, inside, unfit, unfit_size
from .preparing import VERSION, Encoded, Prepared, prepared

__all__ = ["PhotoProblem", "Picture", "Variant", "inside", "publishable"]

_ENTRIES, _FILES = "pictures", "photos"
_SUFFIXES: dict[Format, str] = {"webp": ".webp", "jpeg": ".jpg"}


def publishable(path: Path, folder: Path, cache: Cache) -> Picture | PhotoProblem:
    """The picture at `path` in the set's `folder` made ready to publish, or why it cannot be.

    JPEG, PNG, WebP and GIF (its first image) are told by their content. Up to 40 MB, 60 megapixels, and what
    ``weight.MOST_DECODED`` lets a picture take in memory. The same original gives the same bytes each time.
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
    return _kept(prepared(content), _entry_key(content_key(content)), stem, cache)


def _kept(made: Prepared | PhotoProblem, key: str, stem: str, cache: Cache) -> Picture | PhotoProblem:
    if isinstance(made, PhotoProblem):
        cache.put(_ENTRIES, key, as_json(asdict(_Remembered(problem=made))))
        return made
    variants = tuple(_variant(file, stem, cache) for file in made.files)
    if all(variant.path is not None for variant in variants):
        files = tuple((v.format, v.width, v.height, v.digest) for v in variants)
        cache.put(_ENTRIES, key, as_json(asdict(_Remembered(size=(made.width, made.height), files=files))))
    return Picture(made.width, made.height, variants, (key, *(variant.digest for variant in variants)))


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


def _variant(file: Encoded, stem: str, cache: Cache) -> Variant:
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
