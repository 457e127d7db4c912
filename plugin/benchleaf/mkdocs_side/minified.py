"""Style and scripts of ours that the plugin minify is told to make smaller: it renames them, and pages ask for them."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from pathlib import Path
from typing import Any

_MINIFY = "minify"


def spare(plugins: Mapping[str, Any], ours: Collection[str]) -> str:
    """Take ``ours`` off the plugin's lists where it would look for each among the documents, and fail; what to tell."""
    if _MINIFY not in plugins or not plugins[_MINIFY].config["cache_safe"]:
        return ""
    options, spared = plugins[_MINIFY].config, []
    for name in ("css_files", "js_files"):
        listed = options[name] or []
        listed = listed if isinstance(listed, list) else [listed]
        spared += [file for file in listed if file in ours]
        options[name] = [file for file in listed if file not in ours]
    return f"the plugin minify cannot take {', '.join(spared)} with “cache_safe”; left as it is" if spared else ""


def put_again(plugins: Mapping[str, Any], site: Path, assets: Iterable[tuple[str, str]]) -> None:
    """Publish ``assets`` under their own names too where the plugin has renamed them."""
    for name, text in assets if _MINIFY in plugins else ():
        if not (site / name).exists():
            (site / name).write_text(text, encoding="utf-8")
