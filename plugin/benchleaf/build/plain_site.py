"""A site's sets as files for any generator, or as a small site of their own: the adapter beside that of MkDocs."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

from ..archive.home import PIECES
from ..archive.page_heads import Heads
from ..pages.framed_page import TEXTS, Frame, texts_script
from ..pages.markdown_page import markdown_page
from ..pages.rendering import in_language, render, with_addresses
from ..pages.set_page import Choices, OutFile, SetPage, WorkingPage
from ..pages.site_files import asset_files, frame_files
from .plain_links import Addresses
from .site import Generator, Level, Placed, Site, site_of

_INDEX, _FRONT = "index.md", "index.html"


@dataclass(frozen=True)
class Surroundings:
    """What is said of the site that the sets belong to.

    ``project`` is the folder of its configuration, ``docs`` that of its own pages. ``excluded`` and ``drafts`` are the
    patterns of ``exclude_docs`` and ``draft_docs``. ``site_url`` is where it is on the web, ``name`` what it is called,
    ``language`` that of its writers; each is empty where nobody says. ``keep`` says whether pages may be kept.
    ``joined`` are the files of other archives, counted from ``project``.
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


@dataclass(frozen=True)
class PlainFiles:
    """The files by their paths, and what the writer is told; ``failed`` where a set could not be worked out."""

    files: Mapping[str, OutFile]
    warnings: tuple[str, ...]
    remarks: tuple[str, ...]
    failed: bool


def plain_site(sets: Path, around: Surroundings, choices: Choices, out: Path) -> Site:
    """The sets in the folder ``sets``, built: as the plugin builds them for a site that has nothing else."""
    generator = Generator(
        docs=around.docs,
        project=around.project,
        site=out,
        listed=(),
        named=(),
        addresses={},
        levels=lambda uris: _levels(uris, around),
        address=_address,
        site_url=around.site_url,
        site_name=around.name,
        joined=around.joined,
    )
    return site_of(str(sets.absolute()), around.keep, choices, generator, lambda count, whole: None)


def as_markdown(site: Site, around: Surroundings, index_name: str) -> PlainFiles:
    """Markdown with front matter, the page of a folder called ``index_name``, with the style, scripts and downloads."""

    def made(placed: Placed, html: str) -> tuple[str, str]:
        text = markdown_page(placed.page, html, "../" * placed.uri.count("/"))
        return placed.uri.removesuffix(_INDEX) + f"{index_name}.md", text

    addresses = Addresses.of(site.pages, directory_urls=True, own_pages=around.docs)
    return _put_together(site, around, addresses, made, dict(asset_files()))


def as_site(site: Site, around: Surroundings) -> PlainFiles:
    """Whole pages in a frame of our own, with a front page and a search; addresses name files, as on a disk."""
    index = next((one for one in site.pages if one.uri == _index_of(site)), None)
    frame = Frame(around.name or "Restoration records", quote(_address(index.uri)) if index else "")
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
    return _put_together(site, around, Addresses.of(site.pages, directory_urls=False), made, texts)


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
