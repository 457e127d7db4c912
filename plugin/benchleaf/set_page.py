"""What is made of one set: its page, the files beside it, and the choices of the site it is made for."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any

from .cache import Cache
from .kept import read_as
from .record.problems import Problem
from .set_files import is_below

RECORD_FILE = "record.yml"


@dataclass(frozen=True)
class Choices:
    """What a site chooses for all its sets; each field is an option of the plugin of the same name."""

    dialect: str = "american"
    touch_limit: str = "IEC 60065"
    publish_private: bool = False
    permalinks: bool = False
    directory_urls: bool = True


@dataclass(frozen=True)
class OutFile:
    """A file published beside a set's page: its path below the set's folder, and its text, or where its bytes lie.

    ``data`` holds the bytes themselves where there is no cache they could lie in.
    """

    path: str
    text: str | None = None
    source: str | None = None
    data: bytes | None = None


@dataclass(frozen=True)
class SetPage:
    """One finished page and all that belongs to it.

    ``html`` is the page, ``search`` what the search index is given in its place. ``card`` is what the archive's index
    shows of the set, None for a record that could not be read. ``links`` are addresses of other files of the site that
    the page uses. ``depends`` holds other files that went in, with their hashes.
    """

    folder: str
    title: str
    description: str
    html: str
    search: str
    entries: tuple[tuple[int, str, str], ...]
    anchors: tuple[str, ...]
    links: tuple[str, ...] = ()
    files: tuple[OutFile, ...] = ()
    card: dict[str, Any] | None = None
    problems: tuple[Problem, ...] = ()
    updated: str | None = None
    depends: tuple[tuple[str, str | None], ...] = ()
    cache_keys: tuple[str, ...] = ()

    def to_json(self, cache: Cache) -> bytes:
        """The page as ``cache`` keeps it, its files by their names there.

        Raises ValueError where a file lies neither in the page nor in the cache.
        """
        named = replace(self, files=tuple(_named(file, cache) for file in self.files))
        return json.dumps(asdict(named), ensure_ascii=False).encode()

    @classmethod
    def from_json(cls, stored: bytes, cache: Cache) -> SetPage:
        """The page as ``cache`` has kept it. Raises ValueError for anything else.

        Also for a file that the cache has lost, or that would be published outside the set's folder.
        """
        page = read_as(cls, stored)
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
