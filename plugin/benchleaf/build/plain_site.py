"""A site's sets as files for any generator, or as a small site of their own: the adapter beside that of MkDocs."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from urllib.parse import quote

from ..archive.home import PIECES
from ..archive.page_heads import Heads
from ..pages.framed_page import TEXTS, Frame, texts_script
from ..pages.markdown_page import markdown_page
from ..pages.rendering import in_language, render, with_addresses
from ..pages.set_page import Choices, OutFile, SetPage, WorkingPage
from ..pages.site_files import asset_files, frame_files
from .own_pages import PagesOfSite, SiteWays, as_pages, as_written, in_navigation, own_files
from .paths import in_words
from .plain_links import Addresses, address_of
from .site import Generator, Level, Placed, Site, site_of

_INDEX, _FRONT = "index.md", "index.html"
_MOST_WAYS = 60
"""Pages of the site's own that a page leads to at its end."""


@dataclass(frozen=True)
class Surroundings:
    """What is said of the site that the sets belong to.

    ``project`` is the folder of its configuration, ``docs`` that of its own pages. ``excluded`` and ``drafts`` are the
    patterns of ``exclude_docs`` and ``draft_docs``. ``site_url`` is where it is on the web, ``name`` what it is called,
    ``language`` that of its writers; each is empty where nobody says. ``keep`` says whether pages may be kept.
    ``joined`` are the files of other archives, counted from ``project``. ``own`` says whether the pages in ``docs``
    are taken along, ``shown`` how that folder is called, ``ways`` what is known of them; ``named`` are the files that
    the configuration names.
    """

    project: Path
    docs: Path
    excluded: str = ""
    drafts: str = ""
    site_url: str = ""
    name: str = ""
    language: str = ""
    keep: bool = True
    joined: tuple[str, ...] = ()
    own: bool = False
    shown: str = ""
    ways: SiteWays = field(default_factory=SiteWays)
    named: tuple[str, ...] = ()


@dataclass(frozen=True)
class WithOwn:
    """A site with the files of its own that go along, none where they are not asked for."""

    site: Site
    own: PagesOfSite | None = None


@dataclass(frozen=True)
class PlainFiles:
    """The files by their paths, and what the writer is told; ``failed`` where a set could not be worked out."""

    files: Mapping[str, OutFile]
    warnings: tuple[str, ...]
    remarks: tuple[str, ...]
    failed: bool


def plain_site(sets: Path, around: Surroundings, choices: Choices, out: Path) -> WithOwn:
    """The sets in the folder ``sets``, built: as the plugin builds them for a site that has these pages of its own."""
    own = None
    if around.own:
        own = own_files(around.docs, around.shown, out, lambda uris: _levels(uris, around))
    generator = Generator(
        docs=around.docs,
        project=around.project,
        site=out,
        listed=own.listed if own else (),
        named=around.named,
        addresses={_address(uri): uri for uri in own.pages} if own else {},
        levels=lambda uris: _levels(uris, around),
        address=_address,
        site_url=around.site_url,
        site_name=around.name,
        joined=around.joined,
    )
    site = site_of(str(sets.absolute()), around.keep, choices, generator, lambda count, whole: None)
    return WithOwn(site, own.without(site.private) if own else None)


def as_markdown(taken: WithOwn, around: Surroundings, index_name: str) -> PlainFiles:
    """Markdown with front matter, the page of a folder called ``index_name``, with the style, scripts and downloads."""
    site, own = taken.site, taken.own

    def made(placed: Placed, html: str) -> tuple[str, str]:
        text = markdown_page(placed.page, html, "../" * placed.uri.count("/"))
        return placed.uri.removesuffix(_INDEX) + f"{index_name}.md", text

    addresses = Addresses.of(site.pages, directory_urls=True, own_pages=around.docs)
    plain = _put_together(site, around, addresses, made, dict(asset_files()))
    if own is None:
        return plain
    texts, told = as_written(own, site.home, around.language, lambda uri: address_of(uri, directory_urls=True))
    files = {_called(uri, index_name, own): out for uri, out in {**own.beside, **texts}.items()}
    return _with_own(plain, files, own, told)


def _called(uri: str, index_name: str, own: PagesOfSite) -> str:
    """The path of a page of the site's own, that of a folder under the name that the generator has for it."""
    if not f"/{uri}".endswith(f"/{_INDEX}"):
        return uri
    called = uri.removesuffix(_INDEX) + f"{index_name}.md"
    return uri if called in own.public else called


def _with_own(plain: PlainFiles, files: Mapping[str, OutFile], own: PagesOfSite, told: list[str]) -> PlainFiles:
    """The files with those of the site's own; where both have one, it is ours, and that is told."""
    found = "found a file where Benchleaf puts one of its own; rename it. It is not published"
    twice = [f"{in_words(own.shown, path)}: {found}" for path in files if path in plain.files]
    warnings = (*own.warnings, *told, *twice, *plain.warnings)
    return replace(plain, files={**files, **plain.files}, warnings=warnings)


def as_site(taken: WithOwn, around: Surroundings) -> PlainFiles:
    """Whole pages in a frame of our own, with a front page and a search; addresses name files, as on a disk."""
    site, own = taken.site, taken.own
    of_own, told = as_pages(own, site.home, around.ways, around.language, _address) if own else ([], [])
    index = next((one for one in (*site.pages, *of_own) if one.uri == _index_of(site)), None)
    to_index = quote(_address(index.uri)) if index else ""
    ways = [
        (quote(_address(one.uri)), one.page.title)
        for one in in_navigation(of_own, around.ways)
        if one.uri != _INDEX and one is not index
    ]
    frame = Frame(around.name or "Restoration records", to_index, tuple(ways[:_MOST_WAYS]))
    site = replace(site, pages=(*site.pages, *of_own))
    about = index.page.description if index else f"Records of radio sets: {frame.site}"
    front = WorkingPage("", frame.site, about, _front_page(site, frame), (), ())
    public = frozenset(one.uri for one in site.pages if one.level is Level.PUBLIC) | {_INDEX}
    heads = Heads({_INDEX: front} | {one.uri: one.page for one in site.pages}, public, site.home.choices, frame.site)

    def whole(uri: str, page: SetPage | WorkingPage, html: str) -> str:
        text = frame.around(page.title, page.description, html, "../" * uri.count("/"))
        return heads.with_head(text, uri, _on_the_web(around, uri))

    def made(placed: Placed, html: str) -> tuple[str, str]:
        return _address(placed.uri), whole(placed.uri, placed.page, html)

    texts = {
        **dict(asset_files()),
        **dict(frame_files()),
        TEXTS: texts_script((quote(_address(one.uri)), one.page) for one in site.pages),
    }
    if not any(_address(one.uri) == _FRONT for one in site.pages):
        texts[_FRONT] = whole(_INDEX, front, front.html)
    addresses = Addresses.of(site.pages, directory_urls=False, beside=own.public if own else ())
    plain = _put_together(site, around, addresses, made, texts)
    return _with_own(plain, own.beside, own, told) if own else plain


def _put_together(
    site: Site,
    around: Surroundings,
    addresses: Addresses,
    made: Callable[[Placed, str], tuple[str, str]],
    texts: Mapping[str, str],
) -> PlainFiles:
    files: dict[str, OutFile] = {path: OutFile(path, text=text) for path, text in texts.items()} | dict(site.files)
    astray: list[str] = []
    for placed in site.pages:
        found, lost = addresses.of_links(placed)
        astray += [f"{placed.uri}: the link “{link}” leads to none of these pages" for link in lost]
        path, text = made(placed, in_language(with_addresses(placed.page.html, found), around.language))
        files[path] = OutFile(path, text=text)
        files |= dict(placed.files)
    failed = any(_failures(site))
    return PlainFiles(files, (*site.warnings, *astray), site.remarks, failed)


def _failures(site: Site) -> Iterator[str]:
    for placed in site.pages:
        yield from placed.page.failures if isinstance(placed.page, SetPage) else ()


def _on_the_web(around: Surroundings, uri: str) -> str:
    """The address of a page on the web; empty where the site has none that a browser can follow."""
    if not around.site_url.startswith(("https://", "http://")):
        return ""
    return f"{around.site_url.rstrip('/')}/{quote(_address(uri)) if uri != _INDEX else ''}"


def _front_page(site: Site, frame: Frame) -> str:
    """The front page: every piece of the archive that a page may place."""
    placed = site.home.placed("\n".join(f"[[{name}]]" for name in PIECES), _INDEX, "") if frame.index else None
    return render("front.html.j2", site=frame.site, pieces="".join(placed.html.values()) if placed else "")


def _index_of(site: Site) -> str:
    published = site.sets.published
    return f"{published}/{_INDEX}" if published else _INDEX


def _address(uri: str) -> str:
    """Where the page of a path is published."""
    return uri.removesuffix(".md") + ".html"


def _levels(uris: Collection[str], around: Surroundings) -> Mapping[str, Level]:
    """How far the patterns let paths in, by the rules that MkDocs has for them."""
    from pathspec import GitIgnoreSpec

    excluded = GitIgnoreSpec.from_lines([".*", "/templates/", *around.excluded.splitlines()])
    drafts = GitIgnoreSpec.from_lines(around.drafts.splitlines())
    return {
        uri: Level.EXCLUDED if excluded.match_file(uri) else Level.DRAFT if drafts.match_file(uri) else Level.PUBLIC
        for uri in uris
    }
