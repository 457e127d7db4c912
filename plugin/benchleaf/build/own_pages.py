"""The pages of a site's own and the files beside them, where no generator reads them, with their pieces put in."""

from __future__ import annotations

import os
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from ..archive.home import Home
from ..pages.markdown_page import inert
from ..pages.own_page import OwnText, own_page
from ..pages.rendering import in_language
from ..pages.set_page import OutFile
from ..pages.site_files import STYLE
from ..record.plain_files import plain_file
from ..record.set_files import MOST_BYTES
from .paths import in_words
from .private_files import PAGES, SiteFile
from .site import Level, Placed

_INDEX = "index.md"


@dataclass(frozen=True)
class SiteWays:
    """What a site's configuration says of its own pages.

    ``named`` are the pages of its navigation, each by its path with its title, empty for one without; ``extensions``
    are the extensions of Markdown that it asks for, by their short names.
    """

    named: Mapping[str, str] = field(default_factory=dict)
    extensions: Collection[str] = ()


@dataclass(frozen=True)
class PagesOfSite:
    """The files of the folder of a site's own pages by their paths in it, as far as everybody may see them."""

    folder: Path
    shown: str
    public: Mapping[str, Path]
    listed: tuple[SiteFile, ...]
    warnings: tuple[str, ...]

    def without(self, private: Collection[str]) -> PagesOfSite:
        """These without what turned out to belong to a set."""
        left = {uri: path for uri, path in self.public.items() if uri not in private}
        return PagesOfSite(self.folder, self.shown, left, self.listed, self.warnings)

    @property
    def pages(self) -> Iterator[str]:
        """The paths of the pages among them."""
        return (uri for uri in self.public if uri.endswith(PAGES))

    @property
    def beside(self) -> dict[str, OutFile]:
        """The files that are no pages, which go out as they lie."""
        return {uri: OutFile(uri, source=str(path)) for uri, path in self.public.items() if not uri.endswith(PAGES)}


def own_files(
    folder: Path, shown: str, out: Path, levels: Callable[[Collection[str]], Mapping[str, Level]]
) -> PagesOfSite:
    """What lies in ``folder``, which the writer knows as ``shown``, but for ``out``, which is written into.

    No link is followed that leads out of the folder, nor one to a folder, and nothing is opened that is no ordinary
    file. ``levels`` says how far the site lets each path in.
    """
    found: dict[str, Path] = {}
    told: list[str] = []
    real, apart = os.path.realpath(folder), os.path.realpath(out)
    for base, folders, names in os.walk(folder):
        way = Path(base).relative_to(folder)
        links = {name for name in folders if (Path(base) / name).is_symlink()}
        folders[:] = sorted(
            name for name in folders if name not in links and os.path.realpath(Path(base) / name) != apart
        )
        for name in sorted({*names, *links}):
            found[(way / name).as_posix()] = Path(base) / name
    known = levels(list(found)) if found else {}
    public: dict[str, Path] = {}
    for uri, path in found.items():
        if known[uri] is not Level.PUBLIC:
            continue
        fault = _fault(path, real)
        if fault:
            told.append(f"{in_words(shown, uri)}: {fault}. It is not published")
        else:
            public[uri] = path
    listed = tuple(SiteFile(uri, str(path), published=uri in public) for uri, path in found.items())
    return PagesOfSite(folder, shown, public, listed, tuple(told))


def _fault(path: Path, root: str) -> str:
    real = Path(os.path.realpath(path))
    if not real.is_relative_to(root):
        return "found a link that leads out of the folder; expected the file itself"
    try:
        with plain_file(real) as opened:
            size = os.fstat(opened).st_size
    except (OSError, ValueError):
        return "found no ordinary file that can be read; expected one"
    if path.name.endswith(PAGES) and size > MOST_BYTES:
        return f"found a page of {size / 1e6:.0f} MB; expected at most {MOST_BYTES / 1e6:.0f} MB"
    return ""


def own_texts(own: PagesOfSite) -> tuple[dict[str, str], list[str]]:
    """The pages' texts by their paths, and what is told of those that are none."""
    texts: dict[str, str] = {}
    told = []
    for uri in own.pages:
        try:
            with plain_file(Path(os.path.realpath(own.public[uri]))) as opened, os.fdopen(os.dup(opened), "rb") as file:
                texts[uri] = file.read(MOST_BYTES).decode("utf-8").replace("\r\n", "\n")
        except UnicodeDecodeError as error:
            found = f"found a byte that is no UTF-8 (number {error.start + 1}); expected a page saved as UTF-8"
            told.append(f"{in_words(own.shown, uri)}: {found}. It is not published")
        except OSError:
            told.append(f"{in_words(own.shown, uri)}: found no file that can be read. It is not published")
    return texts, told


def as_written(
    own: PagesOfSite, home: Home, language: str, url_of: Callable[[str], str]
) -> tuple[dict[str, OutFile], list[str]]:
    """The pages as Markdown with their pieces put in, everything else as it was typed; and what the writer is told."""
    files: dict[str, OutFile] = {}
    texts, told = own_texts(own)
    for uri, text in texts.items():
        to_root = "../" * url_of(uri).count("/")
        whole = OwnText.of(text)
        placed = home.placed(whole.markdown, in_words(own.shown, uri), to_root, above=whole.above)
        told += placed.warnings
        made = placed.markdown
        style = f'<link rel="stylesheet" href="{to_root}{STYLE}">'
        for mark, piece in placed.html.items():
            made = made.replace(mark, f'<div class="bl-page">{style}{inert(in_language(piece, language))}</div>', 1)
        files[uri] = OutFile(uri, text=text[: len(text) - len(whole.markdown)] + made)
    return files, told


def as_pages(
    own: PagesOfSite, home: Home, ways: SiteWays, language: str, url_of: Callable[[str], str]
) -> tuple[list[Placed], list[str]]:
    """The pages as HTML with their pieces put in, and what the writer is told."""
    pages: list[Placed] = []
    texts, told = own_texts(own)
    for uri, text in texts.items():
        whole = OwnText.of(text)
        to_root = "../" * url_of(uri).count("/")
        placed = home.placed(whole.markdown, in_words(own.shown, uri), to_root, above=whole.above)
        told += placed.warnings
        whole = OwnText(whole.said, placed.markdown, whole.above)
        made = own_page(uri, whole, placed.html, ways.named.get(uri, ""), ways.extensions, language)
        pages.append(Placed(uri, made, Level.PUBLIC, str(own.public[uri])))
    return pages, told


def in_navigation(pages: Sequence[Placed], ways: SiteWays) -> list[Placed]:
    """The pages that a site leads to: those of its navigation in that order, or all of them where it has none."""
    by_uri = {one.uri: one for one in pages}
    if ways.named:
        return [by_uri[uri] for uri in ways.named if uri in by_uri]
    return sorted(pages, key=lambda one: (one.uri != _INDEX, one.uri.count("/"), one.uri))
