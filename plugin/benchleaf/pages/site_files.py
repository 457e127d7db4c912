"""What every page of a site shares: the style, the script, and what is laid over the theme."""

from __future__ import annotations

from pathlib import Path

_HERE = Path(__file__).parent
THEME = _HERE / "theme"
"""Templates that stand in for the theme's own of the same name."""

ASSETS = "assets/benchleaf"
STYLE = f"{ASSETS}/benchleaf.css"
ASSETS_MARK = "@assets@"
"""What stands in a file by itself for the way to the folder of these, until the file's place in the site is known."""
_SHEETS = ("ground", "marks", "working", "record", "archive", "phone", "paper")
"""The pieces of the style, in the order in which the later ones overrule the earlier."""


def asset_files() -> list[tuple[str, str]]:
    """The style and the scripts, each with its path in the site; sheets and the pad have a style of their own."""
    style = "\n".join(_text(f"{name}.css") for name in _SHEETS)
    own = (
        "bench-sheet.css",
        "cabinet-card.css",
        "bench-pad.css",
        "bench-pad.js",
        "bench-cold.js",
        "archive.js",
        "joined.js",
    )
    return [(STYLE, style), *((f"{ASSETS}/{name}", _text(name)) for name in own)]


def frame_files() -> list[tuple[str, str]]:
    """What a site without a generator has beside these: the style of its frame and its search."""
    return [(f"{ASSETS}/{name}", _text(name)) for name in ("site.css", "site-search.js")]


def _text(name: str) -> str:
    return (_HERE / "assets" / name).read_text(encoding="utf-8")
