"""What every page of a site shares: the style, the script, and what is laid over the theme."""

from __future__ import annotations

from pathlib import Path

_HERE = Path(__file__).parent
THEME = _HERE / "theme"
"""Templates that stand in for the theme's own of the same name."""

ASSETS = "assets/benchleaf"
STYLE = f"{ASSETS}/benchleaf.css"
_SHEETS = ("ground", "marks", "working", "record", "archive", "phone", "paper")
"""The pieces of the style, in the order in which the later ones overrule the earlier."""


def asset_files() -> list[tuple[str, str]]:
    """The style and the script, each with its path in the site."""
    style = "\n".join(_text(f"{name}.css") for name in _SHEETS)
    return [(STYLE, style), (f"{ASSETS}/archive.js", _text("archive.js"))]


def _text(name: str) -> str:
    return (_HERE / "assets" / name).read_text(encoding="utf-8")
