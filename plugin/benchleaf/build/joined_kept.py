"""The pages across archives, kept from build to build by all that went in.

There is one entry for each cache, which the next one takes the place of: it is as large as the archives are, and a word
changed in any set makes another.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from functools import cached_property

from ..pages.set_page import Choices, OutFile, SetPage, WorkingPage
from .cache import Cache, key
from .fingerprint import fingerprint
from .joined_files import JoinedFiles
from .kept import read_as
from .kept_page import keep, kept

_KIND = "joined"


@dataclass(frozen=True)
class _Head:
    """What an entry was made of, and what the files came to: ``files`` is their key, ``whole`` that of the pages."""

    files: str
    any: bool
    told: tuple[str, ...]
    whole: str


@dataclass(frozen=True)
class JoinedSites:
    """Other archives, of which nothing is read where the ``cache`` has what comes of them."""

    found: JoinedFiles
    cache: Cache

    @property
    def any(self) -> bool:
        """Whether there is an archive to be joined."""
        return self._kept[0].any if self._kept else bool(self.found.archives)

    @property
    def told(self) -> Sequence[str]:
        """What the writer is told of files that cannot be read."""
        return self._kept[0].told if self._kept else self.found.told

    def pages(
        self, own: str, name: str, choices: Choices, to_root: str
    ) -> tuple[Sequence[WorkingPage], Sequence[OutFile]]:
        """The pages below the index, and the scripts of their search.

        ``own`` is this site's own ``sets.json``, empty for none; ``name`` is what it is called.
        """
        chosen = json.dumps(asdict(choices), sort_keys=True)
        whole = key(self._of_files, own, name, chosen, to_root)
        page = self._page(whole)
        if page is None:
            page = _made(self.found, own, name, choices, to_root)
            head = _Head(self._of_files, self.any, tuple(self.told), whole)
            text = json.dumps(asdict(head)).encode()
            self.cache.put(_KIND, key(_KIND), text + b"\n" + keep(page, self.cache))
        return page.workings, page.files

    def _page(self, whole: str) -> SetPage | None:
        if self._kept is None or self._kept[0].whole != whole:
            return None
        try:
            return kept(self._kept[1], self.cache)
        except ValueError:
            return None

    @cached_property
    def _of_files(self) -> str:
        return key(fingerprint(), *self.found.parts())

    @cached_property
    def _kept(self) -> tuple[_Head, bytes] | None:
        """The entry and its head, as far as it was made of these files by this version."""
        entry = self.cache.get(_KIND, key(_KIND)) if self.found.found else None
        head, _, rest = (entry or b"").partition(b"\n")
        try:
            read = read_as(_Head, head)
        except ValueError:
            return None
        return (read, rest) if read.files == self._of_files else None


def _made(found: JoinedFiles, own: str, name: str, choices: Choices, to_root: str) -> SetPage:
    """The pages and scripts, as those of a page that has nothing else."""
    from ..archive.joined import joined_pages
    from ..archive.other_archives import NO_SETS, read_archive

    of_own = replace(read_archive(own.encode(), "") if own else NO_SETS, name=name)
    pages, scripts = joined_pages(of_own, found.archives, choices, to_root)
    return SetPage("", "", "", "", "", (), (), files=tuple(scripts), workings=tuple(pages))
