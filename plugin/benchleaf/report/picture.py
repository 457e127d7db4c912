"""Pictures that may be published, as the build made them ready."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

Format = Literal["webp", "jpeg"]


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
