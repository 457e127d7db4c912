"""A drawn picture for links to a set that has no photo, made once for what stands in it."""

from __future__ import annotations

from dataclasses import replace

from ..drawing.link_picture import HEIGHT, WIDTH, link_picture
from ..pages.set_page import OutFile, SetPage
from .cache import Cache
from .fingerprint import fingerprint

FILE = "link-picture.png"
_ENTRIES = "link-pictures"


def with_link_picture(page: SetPage, year: str, cache: Cache) -> SetPage:
    """The page with a picture beside it where its card has no photo; ``year`` as the record has it."""
    card = page.card
    if card is None or card["picture"] is not None:
        return page
    words = (card["maker"], card["model"], year, *card["tubes"])
    key = cache.key(fingerprint(), *words)
    drawn = cache.get(_ENTRIES, key)
    if drawn is None:
        drawn = link_picture(card["maker"], card["model"], year, card["tubes"])
        cache.put(_ENTRIES, key, drawn)
    place = cache.put_file("photos", drawn, ".png")
    file = OutFile(FILE, source=str(place) if place else None, data=None if place else drawn)
    shown = {"href": FILE, "width": WIDTH, "height": HEIGHT}
    return replace(
        page,
        card=card | {"link_picture": shown},
        files=(*page.files, file),
        cache_keys=(*page.cache_keys, key, *([place.stem] if place else [])),
    )
