"""The version of what makes a page, for the keys of the cache."""

from __future__ import annotations

import sys
from functools import cache
from pathlib import Path

from .cache import key

LIBRARIES = (
    "eseries",
    "jinja2",
    "markdown",
    "markupsafe",
    "matplotlib",
    "nh3",
    "numpy",
    "pillow",
    "pydantic",
    "pydantic-core",
    "pyyaml",
    "schemdraw",
    "scipy",
    "segno",
    "uncertainties",
)
"""What reads a record, computes, draws or writes a page: another version of it may make another page."""


@cache
def fingerprint() -> str:
    """A hash of all that makes a page: this package's own files and the versions of what draws with it."""
    package = Path(__file__).parents[1]
    parts: list[str | bytes] = [*versions()]
    for path in sorted(package.rglob("*")):
        if path.is_file() and path.suffix in (".py", ".j2", ".csv", ".txt"):
            parts += [path.relative_to(package).as_posix(), path.read_bytes()]
    return key(*parts)


def versions() -> list[str]:
    """Python and each library with its version; its name alone where it is not installed as a distribution."""
    from importlib.metadata import PackageNotFoundError, version

    found = [f"{sys.version_info[:2]}"]
    for library in LIBRARIES:
        try:
            found.append(f"{library} {version(library)}")
        except PackageNotFoundError:
            found.append(library)
    return found
