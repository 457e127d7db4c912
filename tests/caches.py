"""What the tests of the cache share."""

from __future__ import annotations

import time
from pathlib import Path

from benchleaf.build.cache import Cache

KEY = Cache.key("sheet", "1")


SOON = 3_000_000_000  # nanoseconds: past the two seconds in which a time stamp is not trusted


def later(nanoseconds: int = SOON) -> int:
    return time.time_ns() + nanoseconds


def entries(folder: Path) -> list[Path]:
    return sorted(p for p in folder.rglob("*") if p.is_file() and p.parent != folder)
