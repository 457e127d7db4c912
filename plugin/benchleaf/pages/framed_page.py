"""A page of a site that has no generator: our own frame around it, and the text that its search looks through."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from dataclasses import dataclass
from html import unescape

from .set_page import SetPage, WorkingPage
from .site_files import ASSETS, STYLE

TEXTS = f"{ASSETS}/search-texts.js"
"""The texts of all pages as a script: a page opened from a disk may load a script, but no other file."""
_SECTION = re.compile(r'(?:<h2 id="(?P<id>[^"]+)">(?P<heading>.*?)</h2>)?<p>(?P<text>.*?)</p>', re.S)


@dataclass(frozen=True)
class Frame:
    """What the frame of every page of a site shows. ``index`` leads from the site's root to the index of all sets.

    ``ways`` lead from there to the site's own pages, each with its title.
    """

    site: str
    index: str
    ways: tuple[tuple[str, str], ...] = ()

    def around(self, title: str, description: str, html: str, to_root: str) -> str:
        """A whole page; ``to_root`` leads from it to the site's root."""
        from . import rendering

        return rendering.render(
            "frame.html.j2",
            site=self.site,
            index=self.index,
            ways=self.ways,
            title=title,
            description=description,
            html=html,
            to_root=to_root,
            style=STYLE,
            assets=ASSETS,
            texts=TEXTS,
        )


def texts_script(pages: Iterable[tuple[str, SetPage | WorkingPage]]) -> str:
    """What the search looks through, from pages with their addresses: ``site-search.js`` reads it by position."""
    rows = [[address, page.title, _sections(page.search)] for address, page in pages if page.search]
    return f"window.benchleafTexts = {json.dumps(rows, separators=(',', ':'))};\n"


def _sections(search: str) -> list[list[str]]:
    """The prepared text of a page in pieces: id, heading and text of each."""
    named = (tuple(unescape(one or "") for one in found.groups()) for found in _SECTION.finditer(search))
    return [list(piece) for piece in named if any(piece)]
