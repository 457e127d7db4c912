"""A finished page as the cache keeps it, and as it comes back from there: checked, or not at all."""

from __future__ import annotations

import json
from dataclasses import asdict, replace
from pathlib import Path

from ..pages.set_page import OutFile, SetPage
from ..record.set_files import is_below
from .cache import Cache
from .kept import read_as


def keep(page: SetPage, cache: Cache) -> bytes:
    """The page as ``cache`` keeps it, its files by their names there.

    Raises ValueError where a file lies neither in the page nor in the cache.
    """
    named = replace(page, files=tuple(_named(file, cache) for file in page.files))
    return json.dumps(asdict(named), ensure_ascii=False).encode()


def kept(stored: bytes, cache: Cache) -> SetPage:
    """The page as ``cache`` has kept it. Raises ValueError for anything else.

    Also for a file that the cache has lost, or that would be published outside the set's folder.
    """
    page = read_as(SetPage, stored)
    return replace(page, files=tuple(_found(file, cache) for file in page.files))


def _named(file: OutFile, cache: Cache) -> OutFile:
    if file.source is None:
        if file.text is None:
            raise ValueError(f"{file.path}: its bytes are not in the cache")
        return file
    name = cache.name(Path(file.source))
    if name is None:
        raise ValueError(f"{file.path}: not a file of the cache")
    return replace(file, source=name)


def _found(file: OutFile, cache: Cache) -> OutFile:
    if not is_below(file.path) or file.data is not None or (file.text is None) == (file.source is None):
        raise ValueError("not a file of a set's page")
    if file.source is None:
        return file
    place = cache.file(file.source)
    if place is None:
        raise ValueError(f"{file.path}: not in the cache any more")
    return replace(file, source=str(place))
