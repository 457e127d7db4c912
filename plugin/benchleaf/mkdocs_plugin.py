"""The adapter to MkDocs: it translates, and does nothing else. The only file that imports mkdocs."""

from __future__ import annotations

import posixpath
import sys
from dataclasses import replace
from html import escape
from pathlib import Path
from typing import Any

import click
from mkdocs.config import config_options as c
from mkdocs.config.base import Config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.plugins import BasePlugin, event_priority, get_plugin_logger
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.pages import Page
from mkdocs.structure.toc import AnchorLink, TableOfContents

from .build import build_all, build_archive, find_sets
from .cache import Cache
from .dialect import DIALECTS
from .electrics.limits import LIMITS
from .pages import link_targets, with_addresses
from .record.problems import did_you_mean, one_of, quoted
from .set_page import Choices, OutFile, SetPage
from .site import ASSETS, asset_files

log = get_plugin_logger("benchleaf")

_BEGIN, _END = "<!-- benchleaf page -->", "<!-- /benchleaf page -->"


class Options(Config):  # type: ignore[no-untyped-call]  # MkDocs leaves __init_subclass__ untyped
    """The options of the plugin; none is needed."""

    sets = c.Type(str, default="sets")
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
            config.theme.dirs.insert(1 if config.theme.custom_dir else 0, str(Path(__file__).parent / "theme"))
        return config

    @event_priority(50)
    def on_files(self, files: Files, config: MkDocsConfig) -> Files:
        root = Path(config.docs_dir) / self.config.sets
        if not root.resolve().is_relative_to(Path(config.docs_dir).resolve()):
            raise PluginError(f"benchleaf: the folder of sets ({self.config.sets}) must lie inside {config.docs_dir}")
        folders = find_sets(root)
        where = Path(config.config_file_path).parent if config.config_file_path else Path()
        self.cache = Cache(where / ".cache" / "benchleaf" if self.config.cache else None)
        quiet = not sys.stderr.isatty()
        with click.progressbar(
            length=len(folders), label="Records", show_pos=True, file=sys.stderr, hidden=quiet
        ) as bar:
            made = build_all(folders, self.choices, self.cache, bar.update)
        _take_off(files, [posixpath.join(self.config.sets, folder.name) for folder in folders])
        for folder, page in zip(folders, made, strict=True):
            self._add_set(files, config, folder.name, page)
        self._add_archive(files, config, made)
        for name, text in asset_files():
            _put(files, File.generated(config, name, content=text))
        return files

    def _add_set(self, files: Files, config: MkDocsConfig, name: str, page: SetPage) -> None:
        for told in (*page.problems, *page.failures):
            log.warning(str(told))
        below = posixpath.join(self.config.sets, name)
        source = f"{below}/index.md"
        self.pages[source] = page
        file = File.generated(config, source, content="", inclusion=InclusionLevel.NOT_IN_NAV)
        file.edit_uri = f"{below}/record.yml"
        _put(files, file)
        for out in page.files:
            _put(files, _generated(config, f"{below}/{out.path}", out))

    def _add_archive(self, files: Files, config: MkDocsConfig, made: list[SetPage]) -> None:
        """The index of all sets, unless the site has a page of its own in that place."""
        source = f"{self.config.sets}/index.md"
        if made and files.get_file_from_path(source) is None:
            up = "../" * (self.config.sets.strip("/").count("/") + 1)
            self.pages[source] = build_archive(made, self.choices, self.cache, up)
            for failure in self.pages[source].failures:
                log.warning(failure)
            _put(files, File.generated(config, source, content=""))

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


def _take_off(files: Files, folders: list[str]) -> None:
    """Take the sets' own files off the list: originals, stories and records would be published as they are."""
    own = tuple(f"{folder}/" for folder in folders)
    for file in [f for f in files if f.src_uri.startswith(own)]:
        files.remove(file)


def _put(files: Files, file: File) -> None:
    existing = files.get_file_from_path(file.src_uri)
    if existing is not None:
        files.remove(existing)
    files.append(file)


def _generated(config: MkDocsConfig, source: str, out: OutFile) -> File:
    if out.source is not None:
        return File.generated(config, source, abs_src_path=out.source, inclusion=InclusionLevel.NOT_IN_NAV)
    content = out.text if out.text is not None else out.data
    return File.generated(config, source, content=content or "", inclusion=InclusionLevel.NOT_IN_NAV)


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
