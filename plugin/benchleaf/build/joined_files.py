"""The files of other archives that a site joins with its own: read from the disk, never from the web."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from ..record.set_files import Refusal, read
from .paths import in_words

if TYPE_CHECKING:
    from ..archive.other_archives import OtherArchive

MOST_ARCHIVES = 200
DEFAULT = "joined"
"""Where ``benchleaf fetch`` puts them; a site that names nothing joins what is there."""


@dataclass(frozen=True)
class JoinedFiles:
    """Files of other archives as they lie: how each is shown, its name, and its bytes or why there are none.

    ``too_many`` is what is told where there are more of them than are read; empty otherwise.
    """

    found: tuple[tuple[str, str, bytes | Refusal], ...]
    too_many: str = ""

    @cached_property
    def _read(self) -> tuple[tuple[OtherArchive, ...], tuple[str, ...]]:
        archives, told = [], []
        for shown, name, data in self.found:
            one = _archive(shown, name, data)
            if isinstance(one, str):
                told.append(one)
                continue
            archives.append(one)
            if one.left_out:
                told.append(f"{shown}: found {one.left_out} entries that cannot be read as sets; they are left out")
        return tuple(archives), (*told, *([self.too_many] if self.too_many else ()))

    @property
    def archives(self) -> tuple[OtherArchive, ...]:
        """The archives that could be read."""
        return self._read[0]

    @property
    def told(self) -> tuple[str, ...]:
        """What is told of those that could not."""
        return self._read[1]

    def parts(self) -> Iterator[bytes | str]:
        """All that the archives and what is told are made of."""
        for shown, name, data in self.found:
            yield from (shown, name, data if isinstance(data, bytes) else data.found)
        yield self.too_many


def joined_files(named: Sequence[str], project: Path) -> JoinedFiles:
    """What lies in the files, or folders of files, that are ``named``, counted from ``project``."""
    from ..archive.other_archives import MOST_BYTES

    files = list(_files(named, project))
    found = ((shown, path.stem, read(path, path.parent, MOST_BYTES)) for shown, path in files[:MOST_ARCHIVES])
    told = f"joined: found {len(files)} archives; expected at most {MOST_ARCHIVES}; the last are left out"
    return JoinedFiles(tuple(found), told if len(files) > MOST_ARCHIVES else "")


def _files(named: Sequence[str], project: Path) -> Iterator[tuple[str, Path]]:
    """Each file as it is shown, and its path; what is named and is not there comes too, to be told of."""
    for one in named or (DEFAULT,):
        path = project / one
        if path.is_dir():
            yield from ((in_words(one, file.name), file) for file in sorted(path.glob("*.json")))
        elif named:
            yield in_words(one), path


def _archive(shown: str, name: str, data: bytes | Refusal) -> OtherArchive | str:
    """The archive in a file, or what is told of it."""
    from ..archive.other_archives import UnfitArchiveError, read_archive

    if isinstance(data, Refusal):
        return f"{shown}: found {data.found}; expected the sets.json of another archive; it is not joined"
    try:
        return read_archive(data, name)
    except UnfitArchiveError as error:
        return f"{shown}: {error}; it is not joined"
