"""What a site's configuration says of its own pages, and what their writer is told where they go to no MkDocs."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator, Mapping
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING

from ..build.paths import in_words
from ..record.problems import one_of, quoted
from ..record.set_files import MOST_BYTES, Refusal, read

if TYPE_CHECKING:
    from ..build.own_pages import SiteWays
    from ..build.plain_site import Surroundings
    from ..pages.set_page import OutFile

_DEEPEST = 8


def ways_in(settings: Mapping[str, object]) -> SiteWays:
    """The pages that a configuration of MkDocs names in ``nav``, and its extensions of Markdown."""
    from ..build.own_pages import SiteWays

    named: dict[str, str] = {}
    for title, uri in _named(settings.get("nav"), "", _DEEPEST):
        named.setdefault(uri, title)
    written = settings.get("markdown_extensions")
    entries = [*written] if isinstance(written, list | dict) else []
    names = [str(next(iter(one), "")) if isinstance(one, dict) else str(one) for one in entries]
    return SiteWays(named, tuple(name.removeprefix("markdown.extensions.") for name in names if name))


def _named(written: object, title: str, deep: int) -> Iterator[tuple[str, str]]:
    if isinstance(written, str) and not re.match(r"[a-z]+:|/", written):
        yield title, PurePosixPath(written).as_posix()
    elif isinstance(written, list) and deep:
        for one in written:
            yield from _named(one, "", deep - 1)
    elif isinstance(written, dict) and deep:
        for name, below in written.items():
            yield from _named(below, str(name), deep - 1)


def named_in(settings: Mapping[str, object]) -> tuple[str, ...]:
    """The files that a configuration of MkDocs names as style or script: they are the site's own wherever they lie."""
    written = (settings.get(name) for name in ("extra_css", "extra_javascript"))
    return tuple(str(one) for listed in written if isinstance(listed, list) for one in listed if isinstance(one, str))


def not_read(around: Surroundings) -> list[str]:
    """What the writer is told of extensions of Markdown that a site of its own does not read."""
    from ..pages.own_page import ALWAYS, READ

    known = {*ALWAYS, *READ, "meta"}
    names = [quoted(name) for name in around.ways.extensions if name not in known]
    if not (around.own and names):
        return []
    return [f"remark: your own pages are read without {one_of(names, 'and')}; {one_of(READ, 'and')} are read"]


def _pages_in(folder: Path) -> list[Path]:
    """The pages in a folder; none of one that is not there, or that no disk can hold."""
    try:
        return sorted(folder / name for name in os.listdir(folder) if name.endswith(".md"))
    except (OSError, ValueError):
        return []


def left_as_typed(out: Path, written: Mapping[str, OutFile]) -> list[str]:
    """The writer's own pages in the folder that was written into, whose pieces nobody puts in."""
    from ..archive.home import first_piece

    told = []
    for path in _pages_in(out):
        data = b"" if path.name in written else read(path, out, MOST_BYTES)
        found = None if isinstance(data, Refusal) else first_piece(data.decode("utf-8", errors="replace"))
        if found is not None:
            line, piece = found
            way = "keep your own pages in another folder and name it with --own, and it is put in"
            told.append(f"{in_words(str(path))}:{line}: remark: {quoted(f'[[{piece}]]')} stays as it is typed; {way}")
    return told
