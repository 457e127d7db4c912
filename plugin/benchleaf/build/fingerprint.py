"""The version of what makes a page, for the keys of the cache."""

from __future__ import annotations

import sys
from functools import cache
from pathlib import Path

from .cache import key


@cache
def fingerprint() -> str:
    """A hash of all that makes a page: this package's own files and the versions of what draws with it."""
    from importlib.metadata import PackageNotFoundError, version

    package = Path(__file__).parents[1]
    parts: list[str | bytes] = [f"{sys.version_info[:2]}"]
    for path in sorted(package.rglob("*")):
        if path.is_file() and path.suffix in (".py", ".j2", ".csv", ".txt"):
            parts += [path.relative_to(package).as_posix(), path.read_bytes()]
    for library in ("schemdraw", "matplotlib", "pillow", "pint", "markdown", "nh3", "scipy", "eseries"):
        try:
            parts.append(version(library))
        except PackageNotFoundError:
            parts.append(library)
    return key(*parts)
