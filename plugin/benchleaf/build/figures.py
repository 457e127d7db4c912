"""A chapter's figures, drawn once for the same findings that they show."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import TYPE_CHECKING

from ..words.decimal_sign import decimal_sign
from .fingerprint import fingerprint
from .kept import read_as

if TYPE_CHECKING:
    from ..chapters.examine import Examined
    from ..chapters.order import Chapter
    from ..drawing import Figure
    from .cache import Cache


def kept_figures(chapter: Chapter, examined: Examined, cache: Cache) -> dict[str, Figure]:
    """A chapter's figures by name, from the cache where what they show has not changed."""
    from ..chapters.examine import draw, drawn_from
    from ..drawing import Figure

    figure_key = cache.key(
        fingerprint(),
        chapter.folder,
        repr(drawn_from(examined, chapter)),
        repr(examined.bench.words),
        decimal_sign(),
    )
    try:
        drawn = read_as(tuple[Figure, ...], cache.get("figure", figure_key) or b"null")
    except ValueError:
        drawn = draw(examined, chapter)
        cache.put("figure", figure_key, json.dumps([asdict(f) for f in drawn], ensure_ascii=False).encode())
    return {figure.name: figure for figure in drawn}
