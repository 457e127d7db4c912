"""Where the links of a page lead that is published as a plain file: to another of these pages, or astray."""

from __future__ import annotations

import posixpath
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

from ..pages.rendering import link_targets
from .site import Placed

_INDEX = "index.md"


@dataclass(frozen=True)
class Addresses:
    """The addresses of all pages, by source, and all that is ``known`` to be published.

    ``own_pages`` is the folder of a site's own pages, where it has some.
    """

    by_source: Mapping[str, str]
    known: Collection[str]
    own_pages: Path | None
    directory_urls: bool

    @classmethod
    def of(
        cls,
        pages: Collection[Placed],
        *,
        directory_urls: bool,
        own_pages: Path | None = None,
        beside: Collection[str] = (),
    ) -> Addresses:
        """The addresses that ``pages`` and the files beside them have, those of ``beside`` among them."""
        by_source = {placed.uri: address_of(placed.uri, directory_urls=directory_urls) for placed in pages}
        files = {*beside, *(path for placed in pages for path, _ in placed.files)}
        known = files | {address.rstrip("/") for address in by_source.values()}
        return cls(by_source, known, own_pages, directory_urls)

    def of_links(self, placed: Placed) -> tuple[dict[str, str], list[str]]:
        """The address of each link that is written otherwise, and the links of the page that lead astray."""
        here = self.by_source[placed.uri]
        found: dict[str, str] = {}
        astray = []
        for link in placed.page.links:
            source, url, fragment = link_targets(link, placed.uri, here)
            below = self.by_source.get(posixpath.normpath(f"{source}/{_INDEX}"))
            target = self.by_source.get(source) or below or self._of_own_page(source)
            if target is not None:
                found[link] = _way(here, target) + (f"#{fragment}" if fragment else "")
            elif url.removeprefix(".") not in self.known and not self._is_own(url):
                astray.append(link)
        return found, astray

    def _of_own_page(self, source: str) -> str | None:
        """The address of a page of the site's own, as generators give it one."""
        if not source.endswith(".md") or not self._is_own(source):
            return None
        return address_of(source, directory_urls=self.directory_urls)

    def _is_own(self, path: str) -> bool:
        return self.own_pages is not None and not path.startswith("..") and (self.own_pages / path).is_file()


def address_of(uri: str, *, directory_urls: bool) -> str:
    """The address of a page from the site's root; that of a folder ends in a slash, and the root's is empty."""
    if not directory_urls:
        return uri.removesuffix(".md") + ".html"
    return uri.removesuffix(_INDEX) if f"/{uri}".endswith(f"/{_INDEX}") else uri.removesuffix(".md") + "/"


def _way(here: str, target: str) -> str:
    """The relative way from one address to another, as a part of a link."""
    way = quote(posixpath.relpath(f"/{target}", posixpath.dirname(f"/{here}")))
    return f"{way}/" if target.endswith("/") or not target else way
