"""The files of other archives that a site joins with its own: read from the disk, never from the web."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from ..record.set_files import Refusal, read
from .paths import in_words

if TYPE_CHECKING:
    from ..archive.other_archives import OtherArchive

MOST_ARCHIVES = 200
DEFAULT = "joined"
"""Where ``benchleaf fetch`` puts them; a site that names nothing joins what is there."""


def other_archives(named: Sequence[str], project: Path) -> tuple[tuple[OtherArchive, ...], tuple[str, ...]]:
    """The archives in files, or folders of them, counted from ``project``, and what is told of those not read."""
    files, told = list(_files(named, project)), []
    archives = []
    for shown, path in files[:MOST_ARCHIVES]:
        found = _read(shown, path)
        if isinstance(found, str):
            told.append(found)
            continue
        archives.append(found)
        if found.left_out:
            told.append(f"{shown}: found {found.left_out} entries that cannot be read as sets; they are left out")
    if len(files) > MOST_ARCHIVES:
        told.append(f"joined: found {len(files)} archives; expected at most {MOST_ARCHIVES}; the last are left out")
    return tuple(archives), tuple(told)


def _files(named: Sequence[str], project: Path) -> Iterator[tuple[str, Path]]:
    """Each file as it is shown, and its path; what is named and is not there comes too, to be told of."""
    for one in named or (DEFAULT,):
        path = project / one
        if path.is_dir():
            yield from ((in_words(one, file.name), file) for file in sorted(path.glob("*.json")))
        elif named:
            yield in_words(one), path


def _read(shown: str, path: Path) -> OtherArchive | str:
    """The archive in a file, or what is told of it."""
    from ..archive.other_archives import MOST_BYTES, UnfitArchiveError, read_archive

    data = read(path, path.parent, MOST_BYTES)
    if isinstance(data, Refusal):
        return f"{shown}: found {data.found}; expected the sets.json of another archive; it is not joined"
    try:
        return read_archive(data, path.stem)
    except UnfitArchiveError as error:
        return f"{shown}: {error}; it is not joined"
