"""The adapter to MkDocs: it translates, and does nothing else. The only file that imports mkdocs."""

from __future__ import annotations

import sys
from collections.abc import Collection, Mapping
from concurrent.futures import Executor
from dataclasses import replace
from html import escape
from pathlib import Path
from typing import Any
from urllib.parse import quote

import click
from mkdocs.config import config_options as c
from mkdocs.config.base import Config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.livereload import LiveReloadServer
from mkdocs.plugins import BasePlugin, event_priority, get_plugin_logger
from mkdocs.structure.files import File, Files, InclusionLevel, set_exclusions
from mkdocs.structure.pages import Page
from mkdocs.structure.toc import AnchorLink, TableOfContents

from .archive.home import Home
from .build.garbage import search_seldom
from .build.private_files import SiteFile
from .build.site import Generator, Level, Placed, site_of
from .build.whereabouts import DEFAULT, SetsFolder
from .electrics.limits import LIMITS
from .pages.rendering import in_language, link_targets, with_addresses
from .pages.set_page import Choices, OutFile, SetPage, WorkingPage
from .pages.site_files import STYLE, THEME, asset_files
from .record.manner import SLASH_DATES
from .record.problems import did_you_mean, one_of, quoted
from .words import DIALECTS
from .words.decimal_sign import SIGNS

log = get_plugin_logger("benchleaf")

_BEGIN, _END = "<!-- benchleaf page -->", "<!-- /benchleaf page -->"


class Options(Config):  # type: ignore[no-untyped-call]  # MkDocs leaves __init_subclass__ untyped
    """The options of the plugin; none is needed."""

    sets = c.Type(str, default=DEFAULT)
    dialect = c.Choice(tuple(DIALECTS), default="american")
    decimal_sign = c.Choice(tuple(SIGNS), default="point")
    touch_limit = c.Choice(tuple(LIMITS), default="IEC 60065")
    slash_dates = c.Choice(("", *SLASH_DATES), default="")
    publish_private = c.Type(bool, default=False)
    how_it_works = c.Type(bool, default=True)
    theme_overrides = c.Type(bool, default=True)
    cache = c.Type(bool, default=True)

    def validate(self) -> tuple[Any, Any]:
        """MkDocs' own validation, with the nearest known option named where one is unknown."""
        failed, warnings = super().validate()
        known = [name for name, _ in self._schema]
        told = [
            (key, f"found the option {quoted(key)}; expected {one_of(known)}; {did_you_mean(key, known)}".rstrip("; "))
            if key not in known
            else (key, message)
            for key, message in warnings
        ]
        return failed, told


class BenchleafPlugin(BasePlugin[Options]):  # type: ignore[no-untyped-call]  # as above
    """Records in, pages out."""

    pages: dict[str, SetPage | WorkingPage]
    pieces: dict[str, Mapping[str, str]]
    home: Home
    sets: SetsFolder
    drafts_shown = False
    executor: Executor | None = None
    """What makes the sets' pages; None for the machine's own cores. A hook of the site may set it."""

    def on_startup(self, *, command: str, dirty: bool) -> None:
        self.drafts_shown = command == "serve"
        search_seldom()

    def on_serve(self, server: LiveReloadServer, **given: Any) -> LiveReloadServer:
        if not self.sets.fault and not self.sets.inside:
            server.watch(str(self.sets.path))
        return server

    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        self.pages, self.pieces = {}, {}
        toc = config.mdx_configs.get("toc") or {}
        self.choices = Choices(
            dialect=self.config.dialect,
            decimal_sign=self.config.decimal_sign,
            slash_dates=self.config.slash_dates,
            touch_limit=self.config.touch_limit,
            publish_private=self.config.publish_private,
            how_it_works=self.config.how_it_works,
            permalinks=bool(toc.get("permalink")),
            directory_urls=config.use_directory_urls,
        )
        config.extra_css.insert(0, STYLE)
        if self.config.theme_overrides and config.theme.name == "material":
            config.theme.dirs.insert(1 if config.theme.custom_dir else 0, str(THEME))
        return config

    @event_priority(50)
    def on_files(self, files: Files, config: MkDocsConfig) -> Files:
        with _Progress() as progress:
            generator, options = self._generator(files, config), self.config
            site = site_of(options.sets, options.cache, self.choices, generator, progress.done, self.executor)
        self.sets, self.home = site.sets, site.home
        for remark in site.remarks:
            log.info(remark)
        for warning in site.warnings:
            log.warning(warning)
        for uri in site.private:
            _take_off(files, uri)
        for placed in site.pages:
            self._put_page(files, config, placed)
        for uri, out in site.files:
            _put(files, _generated(config, uri, out, InclusionLevel.NOT_IN_NAV))
        for name, text in asset_files():
            _put(files, File.generated(config, name, content=text))
        return files

    def _generator(self, files: Files, config: MkDocsConfig) -> Generator:
        own = [f for f in files if f.abs_src_path is not None and f.generated_by is None]
        of_docs = {f.src_uri for f in own if f.src_dir == config.docs_dir}
        return Generator(
            docs=Path(config.docs_dir),
            project=Path(config.config_file_path).parent if config.config_file_path else Path(),
            site=Path(config.site_dir),
            listed=[
                SiteFile(f.src_uri, f.abs_src_path or "", f.src_uri in of_docs, _level(f) is not Level.EXCLUDED)
                for f in own
            ],
            named=_named(config),
            addresses={f.dest_uri: f.src_uri for f in files if _level(f) is Level.PUBLIC},
            levels=lambda uris: _levels(config, uris),
            address=lambda uri: File.generated(config, uri, content="").dest_uri,
            drafts_shown=self.drafts_shown,
            site_url=_written_site_url(config),
            site_name=config.site_name,
        )

    def _put_page(self, files: Files, config: MkDocsConfig, placed: Placed) -> None:
        index = isinstance(placed.page, SetPage) and not placed.page.folder
        level = InclusionLevel.DRAFT if placed.level is Level.DRAFT else InclusionLevel.NOT_IN_NAV
        file = File.generated(config, placed.uri, content="", inclusion=InclusionLevel.UNDEFINED if index else level)
        if placed.edit is not None:
            file.edit_uri = _edit_uri(placed.edit, config)
        self.pages[file.src_uri] = placed.page
        _put(files, file)
        for uri, out in placed.files:
            _put(files, _generated(config, uri, out, level))

    def on_page_markdown(self, markdown: str, page: Page, config: MkDocsConfig, files: Files) -> str:
        if page.file.src_uri in self.pages:
            return markdown
        before, text, _ = page.file.content_string.partition(markdown)
        above = before.count("\n") if text else 0
        to_root, others = "../" * page.url.count("/"), "wikilinks" in config.markdown_extensions
        placed = self.home.placed(markdown, page.file.src_uri, to_root, above=above, others=others)
        self.pieces[page.file.src_uri] = placed.html
        for warning in placed.warnings:
            log.warning(warning)
        return placed.markdown

    def _with_pieces(self, html: str, source: str) -> str:
        """A page of the site's own with its pieces: not before, so that no other plugin reads their text as its own."""
        for mark, piece in self.pieces.pop(source, {}).items():
            if mark not in html:
                log.warning(f"{source}: another plugin has taken a piece of the archive off this page")
            html = html.replace(mark, piece, 1)
        return html

    def on_page_content(self, html: str, page: Page, config: MkDocsConfig, files: Files) -> str:
        made = self.pages.get(page.file.src_uri)
        if made is None:
            return self._with_pieces(html, page.file.src_uri)
        ours = in_language(_linked(made, page, files), _language(config))
        made = self.pages[page.file.src_uri] = replace(made, html=ours)
        # Material puts out meta.title as it is, but unescapes page.title; other themes know page.title only.
        page.title = page.meta["title"] = escape(made.title)
        page.meta["description"] = escape(made.description)
        page.meta["hide"] = ["navigation", "toc"] if made.wide else ["navigation"]
        page.toc = _contents(made)
        page.present_anchor_ids = set(made.anchors)
        if made.updated:
            page.update_date = made.updated
        if _level(page.file) is not Level.PUBLIC or not made.search:
            page.meta["search"] = {"exclude": True}
            return f"{_BEGIN}<h1>{escape(made.title)}</h1>{_END}"
        page.meta["search"] = {"boost": 2}
        return f"{_BEGIN}{made.search}{_END}"

    @event_priority(100)
    def on_post_page(self, output: str, page: Page, config: MkDocsConfig) -> str:
        made = self.pages.get(page.file.src_uri)
        if made is None:
            return output
        before, begin, rest = output.partition(_BEGIN)
        _, end, after = rest.partition(_END)
        if not (begin and end):
            log.warning(f"{page.file.src_uri}: another plugin has changed this page, so that its chapters are missing")
            return output
        return before + made.html + after


class _Progress:
    """A bar on a terminal, and nothing anywhere else."""

    def __enter__(self) -> _Progress:
        self._bar = click.progressbar(
            length=1, label="Records", show_pos=True, file=sys.stderr, hidden=not sys.stderr.isatty()
        )
        self._bar.__enter__()
        return self

    def __exit__(self, *raised: Any) -> None:
        self._bar.__exit__(*raised)

    def done(self, count: int, whole: int) -> None:
        """``count`` more of ``whole`` sets are finished."""
        self._bar.length = whole
        self._bar.update(count)


def _level(file: File) -> Level:
    """How far a file is let in. By value: another generator has its own levels."""
    value = file.inclusion.value
    draft = InclusionLevel.DRAFT.value
    return Level.PUBLIC if value > draft else Level.DRAFT if value == draft else Level.EXCLUDED


def _edit_uri(path: str, config: MkDocsConfig) -> str:
    """A path as a part of an address, as themes put it into the page unescaped; a template may quote it itself."""
    return path if "!q" in (config.edit_uri_template or "") else quote(path)


def _written_site_url(config: MkDocsConfig) -> str:
    """The site's address as its configuration has it: while it is served, MkDocs puts this machine's in its place."""
    written = (one.get("site_url") for one in config.user_configs if isinstance(one, dict))
    return next((str(address) for address in written if address), "")


def _language(config: MkDocsConfig) -> str:
    """The language of the theme: Material has an option of its own for it, MkDocs' themes have their locale."""
    return str(config.theme.get("language") or config.theme.get("locale") or "")


def _levels(config: MkDocsConfig, uris: Collection[str]) -> dict[str, Level]:
    """How far ``exclude_docs`` and ``draft_docs`` let paths in."""
    files = {uri: File.generated(config, uri, content="") for uri in uris}
    set_exclusions(files.values(), config)
    return {uri: _level(file) for uri, file in files.items()}


def _named(config: MkDocsConfig) -> set[str]:
    """Files that the configuration names: they are the site's own wherever they lie."""
    named = [*config.extra_css, *map(str, config.extra_javascript), *config.extra_templates]
    return {str(name) for name in [*named, config.theme.get("logo"), config.theme.get("favicon")] if name}


def _take_off(files: Files, uri: str) -> None:
    file = files.get_file_from_path(uri)
    if file is not None:
        files.remove(file)


def _put(files: Files, file: File) -> None:
    _take_off(files, file.src_uri)
    files.append(file)


def _generated(config: MkDocsConfig, source: str, out: OutFile, level: InclusionLevel) -> File:
    if out.source is not None:
        return File.generated(config, source, abs_src_path=out.source, inclusion=level)
    content = out.text if out.text is not None else out.data
    return File.generated(config, source, content=content or "", inclusion=level)


def _linked(made: SetPage | WorkingPage, page: Page, files: Files) -> str:
    """The page with links to other sources turned into addresses; one that leads nowhere is a warning, as in MkDocs."""
    page.links_to_anchors = {}
    found: dict[str, str] = {}
    for link in made.links:
        source, url, fragment = link_targets(link, page.file.src_uri, page.file.url)
        file = files.get_file_from_path(source) or next((f for f in files if f.url.rstrip("/") == url), None)
        if file is None:
            log.warning(f"{page.file.src_uri}: the link “{link}” leads to no file of this site")
            continue
        if fragment:
            page.links_to_anchors.setdefault(file, {})[fragment] = link
        found[link] = file.url_relative_to(page.file) + (f"#{fragment}" if fragment else "")
    return with_addresses(made.html, found)


def _contents(made: SetPage | WorkingPage) -> TableOfContents:
    top = AnchorLink(escape(made.title), made.anchors[0] if made.anchors else "top", 1)
    for level, id, title in made.entries:
        under = top.children[-1].children if level == 3 and top.children else top.children
        under.append(AnchorLink(escape(title), id, level))
    return TableOfContents([top])
