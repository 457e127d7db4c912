"""The adapter to MkDocs: it translates, and does nothing else. The only file that imports mkdocs."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from dataclasses import replace
from html import escape
from pathlib import Path
from typing import Any, TypeVar

import click
from mkdocs.config import config_options as c
from mkdocs.config.base import Config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.livereload import LiveReloadServer
from mkdocs.plugins import BasePlugin, event_priority, get_plugin_logger
from mkdocs.structure.files import File, Files, InclusionLevel, set_exclusions
from mkdocs.structure.pages import Page
from mkdocs.structure.toc import AnchorLink, TableOfContents

from .build.all_sets import build_all, build_archive
from .build.cache import Cache
from .build.found_sets import Found, find_sets
from .build.machine_key import machine_key
from .build.paths import in_words, joined
from .build.private_files import Listed, private_files
from .build.whereabouts import DEFAULT, SetsFolder, nothing_found, page_in_the_way, sets_folder
from .electrics.limits import LIMITS
from .pages.rendering import link_targets, with_addresses
from .pages.set_page import Choices, OutFile, SetPage
from .pages.site_files import ASSETS, THEME, asset_files
from .record.inputs import RECORD_FILE
from .record.problems import did_you_mean, one_of, quoted
from .report.dialect import DIALECTS

log = get_plugin_logger("benchleaf")

_Named = TypeVar("_Named")
_BEGIN, _END = "<!-- benchleaf page -->", "<!-- /benchleaf page -->"


class Options(Config):  # type: ignore[no-untyped-call]  # MkDocs leaves __init_subclass__ untyped
    """The options of the plugin; none is needed."""

    sets = c.Type(str, default=DEFAULT)
    dialect = c.Choice(tuple(DIALECTS), default="american")
    touch_limit = c.Choice(tuple(LIMITS), default="IEC 60065")
    publish_private = c.Type(bool, default=False)
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

    pages: dict[str, SetPage]
    cache: Cache
    sets: SetsFolder
    drafts_shown = False

    def on_startup(self, *, command: str, dirty: bool) -> None:
        self.drafts_shown = command == "serve"

    def on_serve(self, server: LiveReloadServer, **given: Any) -> LiveReloadServer:
        if not self.sets.fault and not self.sets.inside:
            server.watch(str(self.sets.path))
        return server

    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        self.pages = {}
        toc = config.mdx_configs.get("toc") or {}
        self.choices = Choices(
            dialect=self.config.dialect,
            touch_limit=self.config.touch_limit,
            publish_private=self.config.publish_private,
            permalinks=bool(toc.get("permalink")),
            directory_urls=config.use_directory_urls,
        )
        config.extra_css.insert(0, f"{ASSETS}/benchleaf.css")
        if self.config.theme_overrides and config.theme.name == "material":
            config.theme.dirs.insert(1 if config.theme.custom_dir else 0, str(THEME))
        return config

    @event_priority(50)
    def on_files(self, files: Files, config: MkDocsConfig) -> Files:
        project = Path(config.config_file_path).parent if config.config_file_path else Path()
        docs = Path(config.docs_dir)
        self.sets = sets_folder(self.config.sets, docs, project, Path(config.site_dir))
        self.cache = self._cache(project)
        found = Found() if self.sets.fault else find_sets(self.sets.path, self.sets.shown)
        published = self._published(config, found)
        _take_off(files, config, self.sets, found)
        made = self._made([folder for folder, _ in published])
        in_the_way = {file.dest_uri: file for file in files if _is_public(file.inclusion)}
        for (folder, level), page in zip(published, made, strict=True):
            self._add_set(files, config, folder, page, level, in_the_way)
        shown = [page for (_, level), page in zip(published, made, strict=True) if _is_public(level)]
        self._add_archive(files, config, shown)
        for name, text in asset_files():
            _put(files, File.generated(config, name, content=text))
        return files

    def _published(self, config: MkDocsConfig, found: Found) -> list[tuple[Path, InclusionLevel]]:
        """The sets to build, drafts among them where they are shown."""
        levels = _levels(config, {folder: self.sets.address(folder) for folder in found.sets})
        least = InclusionLevel.DRAFT if self.drafts_shown else InclusionLevel.NOT_IN_NAV
        self._tell(config, found, levels, least)
        return [(folder, level) for folder, level in levels.items() if level.value >= least.value]

    def _tell(
        self, config: MkDocsConfig, found: Found, levels: Mapping[Path, InclusionLevel], least: InclusionLevel
    ) -> None:
        """What is left out, and why; a warning where nobody has asked for it."""
        for level, option in ((InclusionLevel.EXCLUDED, "exclude_docs"), (InclusionLevel.DRAFT, "draft_docs")):
            left_out = [
                in_words(self.sets.label(f)) for f, at in levels.items() if at is level and at.value < least.value
            ]
            if left_out:
                log.info(f"not built, as {option} says: {', '.join(left_out)}")
        notices = _levels(config, {notice: joined(self.sets.published, notice.path) for notice in found.notices})
        for notice, level in notices.items():
            if level is not InclusionLevel.EXCLUDED:
                log.warning(notice.told)
        kept_out = sum(level is InclusionLevel.EXCLUDED for level in levels.values())
        if self.sets.fault or kept_out == len(levels):
            log.warning(self.sets.fault or nothing_found(self.sets, kept_out=kept_out))

    def _made(self, folders: list[Path]) -> list[SetPage]:
        quiet = not sys.stderr.isatty()
        with click.progressbar(
            length=len(folders), label="Records", show_pos=True, file=sys.stderr, hidden=quiet
        ) as bar:
            return build_all(folders, self.choices, self.cache, bar.update, self.sets)

    def _cache(self, project: Path) -> Cache:
        """Where finished pages are kept; nowhere, and said so, without a key of this user's own to know them by."""
        if not self.config.cache:
            return Cache(None)
        key = machine_key(project)
        if key.secret is None:
            log.info(f"every page is made anew, and nothing is kept for the next build: {key.why}")
        return Cache(project / ".cache" / "benchleaf", key.secret)

    def _add_set(
        self,
        files: Files,
        config: MkDocsConfig,
        folder: Path,
        page: SetPage,
        level: InclusionLevel,
        in_the_way: Mapping[str, File],
    ) -> None:
        for told in (*page.problems, *page.failures):
            log.warning(str(told))
        below = self.sets.address(folder)
        level = InclusionLevel.NOT_IN_NAV if _is_public(level) else level
        file = File.generated(config, f"{below}/index.md", content="", inclusion=level)
        if self.sets.from_docs is not None:
            file.edit_uri = joined(self.sets.from_docs, self.sets.name(folder), RECORD_FILE)
        other = in_the_way.get(file.dest_uri)
        if other is not None:
            log.warning(page_in_the_way(self.sets, folder, other.src_uri))
            files.remove(other)
        self.pages[file.src_uri] = page
        _put(files, file)
        for out in page.files:
            _put(files, _generated(config, f"{below}/{out.path}", out, level))

    def _add_archive(self, files: Files, config: MkDocsConfig, made: list[SetPage]) -> None:
        """The index of all sets, unless the site has a page of its own in that place."""
        file = File.generated(config, joined(self.sets.published, "index.md"), content="")
        if made and not any(f.dest_uri == file.dest_uri and _is_public(f.inclusion) for f in files):
            up = "../" * len(file.src_uri.split("/")[:-1])
            self.pages[file.src_uri] = build_archive(made, self.choices, self.cache, up)
            for failure in self.pages[file.src_uri].failures:
                log.warning(failure)
            _put(files, file)

    def on_page_content(self, html: str, page: Page, config: MkDocsConfig, files: Files) -> str:
        made = self.pages.get(page.file.src_uri)
        if made is None:
            return html
        made = _linked(made, page, files)
        self.pages[page.file.src_uri] = made
        # Material puts out meta.title as it is, but unescapes page.title; other themes know page.title only.
        page.title = page.meta["title"] = escape(made.title)
        page.meta["description"] = escape(made.description)
        page.toc = _contents(made)
        page.present_anchor_ids = set(made.anchors)
        if made.updated:
            page.update_date = made.updated
        if not _is_public(page.file.inclusion):
            page.meta["search"] = {"exclude": True}
            return f"{_BEGIN}<h1>{escape(made.title)}</h1>{_END}"
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


def _take_off(files: Files, config: MkDocsConfig, sets: SetsFolder, found: Found) -> None:
    """Take off the list what belongs to sets: originals, stories and records would be published as they are."""
    of_docs = {f.src_uri for f in files if f.src_dir == config.docs_dir}
    listed = [
        Listed(f.src_uri, f.abs_src_path, f.src_uri in of_docs, f.inclusion.value >= InclusionLevel.DRAFT.value)
        for f in files
        if f.abs_src_path is not None and f.generated_by is None
    ]
    private = private_files(listed, Path(config.docs_dir), sets, found, _own_files(config))
    for uri in private.uris:
        file = files.get_file_from_path(uri)
        if file is not None:
            files.remove(file)
    for warning in private.warnings:
        log.warning(warning)


def _is_public(level: InclusionLevel) -> bool:
    """Whether a file at this level is part of the built site. By value: another generator has its own levels."""
    return bool(level.value > InclusionLevel.DRAFT.value)


def _own_files(config: MkDocsConfig) -> set[str]:
    """Files that the configuration names: they are the site's own wherever they lie."""
    named = [*config.extra_css, *map(str, config.extra_javascript), *config.extra_templates]
    return {str(name) for name in [*named, config.theme.get("logo"), config.theme.get("favicon")] if name}


def _levels(config: MkDocsConfig, addresses: Mapping[_Named, str]) -> dict[_Named, InclusionLevel]:
    """How far ``exclude_docs`` and ``draft_docs`` let each in: its page and its record both count."""
    names = {named: (f"{address}/{RECORD_FILE}", f"{address}/index.md") for named, address in addresses.items()}
    files = {uri: File.generated(config, uri, content="") for uris in names.values() for uri in uris}
    set_exclusions(files.values(), config)
    return {
        named: min((files[uri].inclusion for uri in uris), key=lambda level: level.value)
        for named, uris in names.items()
    }


def _put(files: Files, file: File) -> None:
    existing = files.get_file_from_path(file.src_uri)
    if existing is not None:
        files.remove(existing)
    files.append(file)


def _generated(config: MkDocsConfig, source: str, out: OutFile, level: InclusionLevel) -> File:
    if out.source is not None:
        return File.generated(config, source, abs_src_path=out.source, inclusion=level)
    content = out.text if out.text is not None else out.data
    return File.generated(config, source, content=content or "", inclusion=level)


def _linked(made: SetPage, page: Page, files: Files) -> SetPage:
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
    return replace(made, html=with_addresses(made.html, found))


def _contents(made: SetPage) -> TableOfContents:
    top = AnchorLink(escape(made.title), made.anchors[0] if made.anchors else "top", 1)
    for level, id, title in made.entries:
        under = top.children[-1].children if level == 3 and top.children else top.children
        under.append(AnchorLink(escape(title), id, level))
    return TableOfContents([top])
