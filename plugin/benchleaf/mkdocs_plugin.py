"""The adapter to MkDocs: it translates, and does nothing else. The only file that imports mkdocs."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from concurrent.futures import Executor
from dataclasses import replace
from html import escape
from pathlib import Path
from typing import Any

from jinja2 import Environment
from mkdocs.config import config_options as c
from mkdocs.config.base import Config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.livereload import LiveReloadServer
from mkdocs.plugins import BasePlugin, CombinedEvent, event_priority, get_plugin_logger
from mkdocs.structure.files import File, Files, InclusionLevel, set_exclusions
from mkdocs.structure.nav import Navigation, Section
from mkdocs.structure.pages import Page
from mkdocs.structure.toc import AnchorLink, TableOfContents

from .archive.home import Home
from .archive.page_heads import Heads
from .build.garbage import search_seldom
from .build.private_files import SiteFile
from .build.site import Generator, Level, Placed, site_of
from .build.whereabouts import DEFAULT, SetsFolder
from .electrics.limits import LIMITS
from .mkdocs_side.configuration import edit_path, language, named_files, with_nearest, written_site_url
from .mkdocs_side.frames import Frames
from .mkdocs_side.languages import keep_back, put_back
from .mkdocs_side.left_out import left_in, still_there, who_leaves_out
from .mkdocs_side.minified import put_again, spare
from .mkdocs_side.navigation import names_sets
from .mkdocs_side.opened_photos import with_viewer
from .mkdocs_side.progress_bar import ProgressBar
from .mkdocs_side.record_dates import leave_out_of_feeds, leave_out_of_git, let_in_again, prepare_feeds, put_dates
from .mkdocs_side.tags import put_tags
from .mkdocs_side.titles import put_html, put_text
from .mkdocs_side.whole_print import add_records, put_whole
from .pages.rendering import in_language, link_targets, with_addresses
from .pages.set_page import Choices, OutFile, SetPage, WorkingPage
from .pages.site_files import STYLE, THEME, asset_files
from .record.manner import SLASH_DATES
from .words import DIALECTS
from .words.decimal_sign import SIGNS

log = get_plugin_logger("benchleaf")

_CHOSEN = ("dialect", "decimal_sign", "slash_dates", "touch_limit", "publish_private", "how_it_works")
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
    joined = c.ListOfItems(c.Type(str), default=[])
    theme_overrides = c.Type(bool, default=True)
    cache = c.Type(bool, default=True)

    def validate(self) -> tuple[Any, Any]:
        """MkDocs' own validation, with the nearest known option named where one is unknown."""
        failed, warnings = super().validate()
        return failed, with_nearest(warnings, [name for name, _ in self._schema])


class BenchleafPlugin(BasePlugin[Options]):  # type: ignore[no-untyped-call]  # as above
    """Records in, pages out."""

    pages: dict[str, SetPage | WorkingPage]
    pieces: dict[str, Mapping[str, str]]
    heads: Heads
    placed: dict[str, File]
    sources: dict[str, str]
    language_way: str
    """What stands before the paths of the pages of one language, as ``de/``; empty in a site of one."""
    home: Home
    frames: Frames
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
        self.pages, self.pieces, self.placed, self.sources = {}, {}, {}, {}
        prepare_feeds(config.plugins)
        if told := spare(config.plugins, [name for name, _ in asset_files()]):
            log.warning(told)
        config.extra_css.insert(0, STYLE)
        if self.config.theme_overrides and config.theme.name == "material":
            config.theme.dirs.insert(1 if config.theme.custom_dir else 0, str(THEME))
        return config

    def _choices(self, config: MkDocsConfig) -> Choices:
        """What the site chooses; asked for late, as the plugin offline changes the addresses."""
        return Choices(
            **{name: self.config[name] for name in _CHOSEN},
            permalinks=bool((config.mdx_configs.get("toc") or {}).get("permalink")),
            directory_urls=config.use_directory_urls,
        )

    @event_priority(50)
    def _put_sets(self, files: Files, config: MkDocsConfig) -> Files:
        choices = self._choices(config)
        with ProgressBar() as progress:
            generator, options = self._generator(files, config), self.config
            site = site_of(options.sets, options.cache, choices, generator, progress.done, self.executor)
        self.sets, self.home = site.sets, site.home
        for remark in site.remarks:
            log.info(remark)
        for warning in site.warnings:
            log.warning(warning)
        for uri in site.private:
            _take_off(files, uri)
        in_navigation = names_sets(files, site.sets.published, config.plugins)
        for placed in site.pages:
            self._put_page(files, config, placed, in_navigation)
        for uri, out in site.files:
            self._put(files, _generated(config, uri, out, InclusionLevel.NOT_IN_NAV))
        for name, text in asset_files():
            self._put(files, File.generated(config, name, content=text))
        public = frozenset(placed.uri for placed in site.pages if placed.level is Level.PUBLIC)
        leave_out_of_git(self.pages, config.plugins)
        self.heads = Heads(dict(self.pages), public, choices, config.site_name)
        return files

    @event_priority(-99)
    def _before_languages(self, files: Files, config: MkDocsConfig) -> Files:
        self.placed, told = still_there(files, self.placed)
        if told:
            log.warning(told)
        keep_back(files, self.placed, config.docs_dir, config.plugins)
        return files

    @event_priority(-101)
    def _after_languages(self, files: Files, config: MkDocsConfig) -> Files:
        self.language_way = put_back(files, self.placed, self.sources, config.plugins)
        return files

    on_files = CombinedEvent(_put_sets, _before_languages, _after_languages)

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
            named=named_files(config),
            addresses={f.dest_uri: f.src_uri for f in files if _level(f) is Level.PUBLIC},
            levels=lambda uris: _levels(config, uris),
            address=lambda uri: File.generated(config, uri, content="").dest_uri,
            drafts_shown=self.drafts_shown,
            site_url=written_site_url(config),
            site_name=config.site_name,
            excludes=who_leaves_out(config.plugins),
            joined=self.config.joined,
        )

    def _put_page(self, files: Files, config: MkDocsConfig, placed: Placed, in_navigation: bool) -> None:
        level = InclusionLevel.DRAFT if placed.level is Level.DRAFT else InclusionLevel.NOT_IN_NAV
        listed = isinstance(placed.page, SetPage) and (in_navigation or not placed.page.folder)
        own = InclusionLevel.UNDEFINED if listed and placed.level is Level.PUBLIC else level
        file = File.generated(config, placed.uri, content="", inclusion=own)
        # Other plugins ask where a page comes from; what it holds is never read from there.
        file.abs_src_path = self.sources[file.src_uri] = placed.source
        if placed.edit is not None:
            file.edit_uri = edit_path(placed.edit, config)
        self.pages[file.src_uri] = placed.page
        self._put(files, file)
        for uri, out in placed.files:
            self._put(files, _generated(config, uri, out, level))

    def _put(self, files: Files, file: File) -> None:
        _take_off(files, file.src_uri)
        files.append(file)
        self.placed[file.src_uri] = file

    def on_page_read_source(self, *, page: Page, config: MkDocsConfig) -> str | None:
        return "" if page.file.src_uri in self.pages else None

    def on_page_markdown(self, markdown: str, page: Page, config: MkDocsConfig, files: Files) -> str:
        if (made := self.pages.get(page.file.src_uri)) is not None:
            if isinstance(made, SetPage):
                put_tags(page.meta, made, config.plugins)
            return markdown
        before, text, _ = page.file.content_string.partition(markdown)
        above = before.count("\n") if text else 0
        to_root = "../" * page.url.removeprefix(self.language_way).count("/")
        others = "wikilinks" in config.markdown_extensions
        placed = self.home.placed(markdown, page.file.src_uri, to_root, above=above, others=others)
        self.pieces[page.file.src_uri] = placed.html
        for warning in placed.warnings:
            log.warning(warning)
        return placed.markdown

    def _with_pieces(self, html: str, source: str) -> str:
        """A page of the site's own with its pieces: not before, so that no other plugin reads their text as its own."""
        for mark, piece in self.pieces.get(source, {}).items():
            if mark not in html:
                log.warning(f"{source}: another plugin has taken a piece of the archive off this page")
            html = html.replace(mark, piece, 1)
        return html

    def _fill(self, html: str, page: Page, config: MkDocsConfig, files: Files) -> str:
        if (made := self.pages.get(page.file.src_uri)) is None:
            return self._with_pieces(html, page.file.src_uri)
        ours = in_language(_linked(made, page, files), language(config))
        made = self.pages[page.file.src_uri] = replace(made, html=ours)
        put_text(page, made)
        page.meta["hide"] = ["navigation", "toc"] if made.wide else ["navigation"]
        page.toc = _contents(made)
        page.present_anchor_ids = set(made.anchors)
        day = self.heads.day(page.file.src_uri)
        page.update_date = day or page.update_date
        put_dates(page.meta, day, getattr(page.file, "locale", None), config.plugins)
        if isinstance(made, WorkingPage) or not made.folder:
            leave_out_of_feeds(page.meta, config.plugins)
        searched = _level(page.file) is Level.PUBLIC and made.search
        page.meta["search"] = {"boost": 8} if searched else {"exclude": True}  # before a page that lists all types
        return html

    @event_priority(-100)
    def _stand_in(self, html: str, page: Page, config: MkDocsConfig, files: Files) -> str:
        """What the search is given in place of the page, after every plugin that works on the HTML of pages."""
        if (made := self.pages.get(page.file.src_uri)) is None:
            if self.pieces.get(page.file.src_uri):
                put_whole(config.plugins, page, html)
            return html
        put_whole(config.plugins, page, made.html)
        let_in_again(page.meta)
        searched = made.search if "boost" in page.meta["search"] else f"<h1>{escape(made.title)}</h1>"
        return f"{_BEGIN}{searched}{_END}"

    on_page_content = CombinedEvent(_fill, _stand_in)

    @event_priority(-100)
    def on_env(self, env: Environment, config: MkDocsConfig, files: Files) -> Environment:
        shown = {uri: file.page for uri in self.pages if (file := files.get_file_from_path(uri)) and file.page}
        for uri, page in shown.items():
            put_html(page, self.pages[uri])
        records = [shown[uri] for uri in self.heads.sets if uri in shown]
        add_records(config.plugins, records, lambda children: Section("Records", children))
        self.frames = Frames(config, env, shown, self.heads)
        return env

    @event_priority(100)
    def _text_for_search(self, context: Any, page: Page, config: MkDocsConfig, nav: Navigation) -> Any:
        if made := self.pages.get(page.file.src_uri):
            put_text(page, made)
        return context

    @event_priority(-100)
    def _html_for_theme(self, context: Any, page: Page, config: MkDocsConfig, nav: Navigation) -> Any:
        if made := self.pages.get(page.file.src_uri):
            put_html(page, made)
            self.frames.fill(context, page, nav, _BEGIN + _END)
        return context

    on_page_context = CombinedEvent(_text_for_search, _html_for_theme)

    @event_priority(100)
    def on_post_page(self, output: str, page: Page, config: MkDocsConfig) -> str:
        if (made := self.pages.get(page.file.src_uri)) is None:
            return output
        before, begin, rest = output.partition(_BEGIN)
        _, end, after = rest.partition(_END)
        if not (begin and end):
            log.warning(f"{page.file.src_uri}: another plugin has changed this page, so that its chapters are missing")
            return output
        self.frames.learn(page, before, after)
        headed = self.heads.with_head(before, page.file.src_uri, page.canonical_url or "")
        of_index = isinstance(made, SetPage) and not made.folder
        return headed + (made.html if of_index else with_viewer(made.html, config.plugins)) + after

    @event_priority(-100)
    def on_post_build(self, config: MkDocsConfig) -> None:
        put_again(config.plugins, Path(config.site_dir), asset_files())


def _level(file: File) -> Level:
    """How far a file is let in. By value: another generator has its own levels."""
    value, draft = file.inclusion.value, InclusionLevel.DRAFT.value
    return Level.PUBLIC if value > draft else Level.DRAFT if value == draft else Level.EXCLUDED


def _levels(config: MkDocsConfig, uris: Collection[str]) -> dict[str, Level]:
    """How far ``exclude_docs``, ``draft_docs`` and the plugin exclude let paths in."""
    files = {uri: File.generated(config, uri, content="") for uri in uris}
    set_exclusions(files.values(), config)
    left = left_in(Files(files.values()), config, config.plugins)
    return {uri: _level(file) if uri in left else Level.EXCLUDED for uri, file in files.items()}


def _take_off(files: Files, uri: str) -> None:
    file = files.get_file_from_path(uri)
    if file is not None:
        files.remove(file)


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
