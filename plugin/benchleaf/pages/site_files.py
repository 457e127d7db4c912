"""What every page of a site shares: the style, the script, and what is laid over the theme."""

from __future__ import annotations

from pathlib import Path

_HERE = Path(__file__).parent
THEME = _HERE / "theme"
"""Templates that stand in for the theme's own of the same name."""

ASSETS = "assets/benchleaf"
_FILES = ("benchleaf.css", "archive.js")


def asset_files() -> list[tuple[str, str]]:
    """The style and the script, each with its path in the site."""
    return [(f"{ASSETS}/{name}", (_HERE / "assets" / name).read_text(encoding="utf-8")) for name in _FILES]
