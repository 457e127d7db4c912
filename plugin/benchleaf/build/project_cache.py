"""The cache of a project: the folder in it, and the key that lies outside."""

from __future__ import annotations

from pathlib import Path

from .cache import Cache
from .machine_key import machine_key


def project_cache(project: Path) -> tuple[Cache, str]:
    """Where finished pages are kept; nowhere, and why, without a key of this user's own to know them by."""
    key = machine_key(project)
    return Cache(cache_folder(project), key.secret), "" if key.secret else key.why


def cache_folder(project: Path) -> Path:
    """Where it lies, be it there or not."""
    return project / ".cache" / "benchleaf"
