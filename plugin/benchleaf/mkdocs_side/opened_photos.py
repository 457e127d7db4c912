"""Photos of a set that open in the viewer of the plugin glightbox, which never sees the finished page."""

from __future__ import annotations

import re
from collections.abc import Mapping
from html import escape
from typing import Any

_VIEWER = "glightbox"
_PHOTO = re.compile(r'(?:<a href="(?P<whole>[^"]*)">)?(?P<picture><picture>.*?</picture>)', re.S)
_WIDTHS = re.compile(r'<img [^>]*\bsrcset="([^"]*)"')


def with_viewer(html: str, plugins: Mapping[str, Any]) -> str:
    """The page with its photos as the viewer opens them; as it is where there is none, or only for chosen pictures."""
    viewer = plugins.get(_VIEWER)
    if viewer is None or viewer.config["manual"]:
        return html
    wishes = {
        "data-type": "image",
        "data-width": viewer.config["width"],
        "data-height": viewer.config["height"],
        "data-desc-position": viewer.config["caption_position"],
    }
    said = "".join(f' {name}="{escape(str(value))}"' for name, value in wishes.items())

    def opened(photo: re.Match[str]) -> str:
        if photo["whole"] is not None:
            return f'<a class="glightbox" href="{photo["whole"]}"{said}>{photo["picture"]}'
        if html.rfind("<a ", 0, photo.start()) > html.rfind("</a>", 0, photo.start()):
            return photo[0]  # It leads elsewhere already.
        return f'<a class="glightbox" href="{_widest(photo["picture"])}"{said}>{photo["picture"]}</a>'

    return _PHOTO.sub(opened, html)


def _widest(picture: str) -> str:
    """The address of the widest of a picture's files that every browser shows; they are listed from narrow to wide."""
    listed = _WIDTHS.search(picture)
    return listed[1].rpartition(", ")[2].partition(" ")[0] if listed else ""
