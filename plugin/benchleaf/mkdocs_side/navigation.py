"""Sets in the navigation that the plugin awesome-nav makes: where its files speak of them, and nowhere else."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import PurePosixPath
from typing import Any

_NAVIGATION = "awesome-nav"


def names_sets(files: Any, published: str, plugins: Mapping[str, Any]) -> bool:
    """Whether a navigation file lies in the folder where the sets are ``published``, or names something in there."""
    if _NAVIGATION not in plugins or not published:
        return False
    called = plugins[_NAVIGATION].config.filename
    found = (file for file in files if PurePosixPath(file.src_uri).name == called)
    return any(file.src_uri.startswith(f"{published}/") or f"{published}/" in file.content_string for file in found)
