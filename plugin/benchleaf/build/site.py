"""A site's sets for any generator: which are built, which of its own files go, and what comes in their place.

A generator says what it found and how far it lets each address in; what it then has to do is data.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace
from enum import IntEnum
from pathlib import Path
from typing import TypeVar
from urllib.parse import quote

from ..archive import sets_file
from ..archive.home import Home
from ..archive.index import JOINED
from ..archive.same_chassis import with_same_chassis
from ..archive.stock import InDrawer
from ..archive.told_apart import with_names_told_apart
from ..pages.set_page import Choices, OutFile, SetPage, WorkingPage
from ..pages.site_files import ASSETS, ASSETS_MARK
from ..record.inputs import RECORD_FILE
from .all_sets import build_all, build_archive
from .beside_sets import drawer_of, words_of
from .cache import Cache
from .found_sets import FoundSets, find_sets
from .joined_files import joined_files
from .joined_kept import JoinedSites
from .own_table import table_problems
from .paths import in_words, joined
from .private_files import SiteFile, private_files
from .project_cache import project_cache
from .taken_names import assets_in_the_way, in_the_index_way, taken_names
from .whereabouts import SetsFolder, nothing_found, page_in_the_way, sets_folder

_ByName = TypeVar("_ByName")


class Level(IntEnum):
    """How far an address is let in: not at all, as a draft that only the writer sees, or for everybody."""

    EXCLUDED = 0
    DRAFT = 1
    PUBLIC = 2


@dataclass(frozen=True)
class Generator:
    """What a generator says of the site it builds.

    ``docs`` is the folder of its pages, ``project`` that of its configuration, ``site`` where it writes. ``listed`` are
    the files it means to publish, ``named`` those that its configuration names, ``addresses`` the public ones by where
    they are published. ``levels`` tells how far it lets paths in, ``address`` where the page of a path is published.
    ``site_url`` is where the site is on the web and ``site_name`` what it is called, empty where it does not say.
    ``joined`` are the files, or folders of files, of other archives, counted from ``project``.
    ``excludes`` names what keeps paths out.
    """

    docs: Path
    project: Path
    site: Path
    listed: Collection[SiteFile]
    named: Collection[str]
    addresses: Mapping[str, str]
    levels: Callable[[Collection[str]], Mapping[str, Level]]
    address: Callable[[str], str]
    drafts_shown: bool = False
    site_url: str = ""
    site_name: str = ""
    excludes: str = "exclude_docs"
    joined: Sequence[str] = ()


@dataclass(frozen=True)
class Placed:
    """A page at its path in the site.

    ``source`` is the file it is made from, for pages across sets their folder; ``edit`` the way to it from ``docs``.
    """

    uri: str
    page: SetPage | WorkingPage
    level: Level
    source: str
    edit: str | None = None
    files: tuple[tuple[str, OutFile], ...] = ()


@dataclass(frozen=True)
class Site:
    """What the generator has to do: take off ``private`` files, put in ``pages`` and ``files``, pass on what is said.

    ``home`` fills the pieces of the archive that the site's own pages place.
    """

    sets: SetsFolder
    private: frozenset[str]
    pages: tuple[Placed, ...]
    warnings: tuple[str, ...]
    remarks: tuple[str, ...]
    home: Home
    files: tuple[tuple[str, OutFile], ...] = ()


def site_of(
    written: str,
    keep: bool,
    choices: Choices,
    generator: Generator,
    done: Callable[[int, int], None],
    executor: Executor | None = None,
) -> Site:
    """The sets that the option ``written`` leads to, built. ``done`` is called with the pages finished and all pages.

    ``keep`` says whether pages may be kept for the next build. ``executor`` makes the pages, if one is given.
    """
    sets = sets_folder(written, generator.docs, generator.project, generator.site)
    if generator.site_url:
        choices = replace(choices, sets_url=f"{joined(generator.site_url.rstrip('/'), quote(sets.published))}/")
    own_words, unfit_words = words_of(sets)
    choices = replace(choices, own_words=own_words)
    found = FoundSets() if sets.fault else find_sets(sets.path, sets.shown)
    cache, why = project_cache(generator.project) if keep else (Cache(None), "")
    levels = _levels({folder: sets.address(folder) for folder in found.sets}, generator)
    least = Level.DRAFT if generator.drafts_shown else Level.PUBLIC
    private = private_files(generator.listed, generator.docs, sets, found, generator.named)
    index_uri = joined(sets.published, "index.md")
    files = {generator.address(index_uri), *(at for at, of in generator.addresses.items() if of not in private.uris)}
    unplaced = in_the_index_way(sets, levels, files)
    built = {folder: level for folder, level in levels.items() if level >= least and folder not in unplaced}
    kept = with_names_told_apart(
        build_all(list(built), choices, cache, lambda count: done(count, len(built)), sets, executor)
    )
    public = [page for page, level in zip(kept, built.values(), strict=True) if level is Level.PUBLIC]
    made = with_same_chassis(kept, public, choices)
    placed = [_placed(folder, page, built[folder], sets) for folder, page in zip(built, made, strict=True)]
    workings = [
        w for folder, page in zip(built, made, strict=True) for w in _workings(folder, page, built[folder], sets)
    ]
    in_the_way = [
        (one.uri, page_in_the_way(sets, folder, other))
        for folder, one in zip(built, placed, strict=True)
        if (other := _other(one.uri, private.uris, generator)) is not None
    ]
    others = JoinedSites(joined_files(generator.joined, generator.project), cache)
    names = taken_names(sets, built, sum(page.card is not None for page in public), joined=others.any)
    drawer, not_read = drawer_of(sets)
    index = _index(public, choices, cache, index_uri, names, private.uris, generator, sets.path, drawer)
    warnings = [*_of_found(sets, found, levels, generator), *private.warnings, *(told for _, told in in_the_way)]
    warnings += [str(told) for told in (*table_problems(sets), *unfit_words, *not_read)] + list(others.told)
    warnings += [told for folder, told in unplaced.items() if levels[folder] >= least] + [*names.values()]
    warnings += assets_in_the_way(generator.addresses)
    for page in (*made, *(one.page for one in index if isinstance(one.page, SetPage))):
        warnings += [str(told) for told in (*page.problems, *page.failures)]
    taken = {_other(uri, private.uris, generator) or "" for uri, _ in in_the_way}
    remarks = ([f"every page is made anew, and nothing is kept for the next build: {why}"] if why else []) + [
        *_left_out(sets, levels, least, generator.excludes),
        *(remark for page in made for remark in page.remarks),
    ]
    home = Home(
        [_without_files(page) for page in public],
        choices,
        f"{sets.published}/" if sets.published else "",
        frozenset(names),
    )
    data = _data(public, choices, sets, names, generator)
    beside, scripts = _joined(others, data, choices, index_uri, generator, sets.path, names)
    beside = [one for one in beside if _other(one.uri, private.uris, generator) is None]
    index = [_leading_on(one, choices, joined=bool(beside)) for one in index]
    pages = (*placed, *workings, *index, *beside)
    return Site(sets, private.uris | taken, pages, tuple(warnings), tuple(remarks), home, (*data, *scripts))


def _leading_on(one: Placed, choices: Choices, *, joined: bool) -> Placed:
    """The index with its way to the joined archives; any other page as it is."""
    from ..archive.joined import leading_on

    if not isinstance(one.page, SetPage):
        return one
    return replace(one, page=replace(one.page, html=leading_on(one.page.html, choices, joined=joined)))


def _joined(
    others: JoinedSites,
    data: Sequence[tuple[str, OutFile]],
    choices: Choices,
    uri: str,
    generator: Generator,
    source: Path,
    left_out: Collection[str],
) -> tuple[list[Placed], tuple[tuple[str, OutFile], ...]]:
    """The pages across archives, below the index, and the scripts that their search looks through."""
    if not others.any or JOINED in left_out:
        return [], ()
    below, to_root = uri.removesuffix("index.md"), "../" * uri.count("/")
    own = (data[0][1].text or "") if data else ""
    pages, scripts = others.pages(own, generator.site_name or "This archive", choices, to_root)
    placed = [Placed(f"{below}{one.name}/index.md", one, Level.PUBLIC, str(source)) for one in pages]
    return placed, tuple((f"{below}{out.path}", out) for out in scripts)


def _data(
    pages: Sequence[SetPage], choices: Choices, sets: SetsFolder, left_out: Collection[str], generator: Generator
) -> tuple[tuple[str, OutFile], ...]:
    """The sets as data for other programs, beside the index and whoever wrote that."""
    if not pages or sets_file.FILE in left_out:
        return ()
    below = f"{sets.published}/" if sets.published else ""
    of_site = sets_file.OfSite(generator.site_name, generator.site_url, below)
    return ((f"{below}{sets_file.FILE}", OutFile(sets_file.FILE, sets_file.sets_file(pages, choices, of_site))),)


def _levels(addresses: Mapping[_ByName, str], generator: Generator) -> dict[_ByName, Level]:
    """How far each is let in: its page and its record both count."""
    paths = {named: (f"{address}/{RECORD_FILE}", f"{address}/index.md") for named, address in addresses.items()}
    known = generator.levels([path for both in paths.values() for path in both])
    return {named: min(known[path] for path in both) for named, both in paths.items()}


def _placed(folder: Path, page: SetPage, level: Level, sets: SetsFolder) -> Placed:
    below = sets.address(folder)
    files = tuple(_styled(f"{below}/{out.path}", out) for out in page.files)
    return Placed(f"{below}/index.md", _without_files(page), level, _source(folder), _edit(folder, sets), files)


def _without_files(page: SetPage) -> SetPage:
    """The page without its files, which stand beside it where it is placed: no site holds them twice."""
    return replace(page, files=())


def _styled(uri: str, out: OutFile) -> tuple[str, OutFile]:
    """A file at its path in the site, with the way to the site's style and script where its head asks for them."""
    if out.text is None or not out.path.endswith(".html"):
        return uri, out
    head, end, body = out.text.partition("</head>")
    way = "../" * uri.count("/") + ASSETS
    return uri, replace(out, text=head.replace(f'="{ASSETS_MARK}/', f'="{way}/') + end + body)


def _workings(folder: Path, page: SetPage, level: Level, sets: SetsFolder) -> list[Placed]:
    """The set's other pages."""
    below = sets.address(folder)
    source, edit = _source(folder), _edit(folder, sets)
    return [Placed(f"{below}/{one.name}/index.md", one, level, source, edit) for one in page.workings]


def _source(folder: Path) -> str:
    return str(folder / RECORD_FILE)


def _edit(folder: Path, sets: SetsFolder) -> str | None:
    return None if sets.from_docs is None else joined(sets.from_docs, sets.name(folder), RECORD_FILE)


def _other(uri: str, private: Collection[str], generator: Generator) -> str | None:
    """The file of the site's own that would be published where the page at ``uri`` is."""
    other = generator.addresses.get(generator.address(uri))
    return None if other in private else other


def _index(
    pages: Sequence[SetPage],
    choices: Choices,
    cache: Cache,
    uri: str,
    left_out: Collection[str],
    private: Collection[str],
    generator: Generator,
    source: Path,
    drawer: Sequence[InDrawer],
) -> list[Placed]:
    """The index of all sets with the pages beside it, each unless the site has a page of its own in that place."""
    if not pages:
        return []
    from ..archive.in_one_print import prints

    below = uri.removesuffix("index.md")
    page = build_archive(pages, choices, cache, "../" * uri.count("/"), left_out, drawer)
    files = tuple(_styled(f"{below}{out.path}", out) for out in (*page.files, *prints(pages)))
    beside = [Placed(f"{below}{one.name}/index.md", one, Level.PUBLIC, str(source)) for one in page.workings]
    all_of = [Placed(uri, _without_files(page), Level.PUBLIC, str(source), files=files), *beside]
    return [one for one in all_of if _other(one.uri, private, generator) is None]


def _of_found(sets: SetsFolder, found: FoundSets, levels: Mapping[Path, Level], generator: Generator) -> list[str]:
    """What is not built though nobody asked for that, and a folder that holds nothing to build."""
    notices = _levels({notice: joined(sets.published, notice.path) for notice in found.notices}, generator)
    told = [notice.told for notice, level in notices.items() if level is not Level.EXCLUDED]
    kept_out = sum(level is Level.EXCLUDED for level in levels.values())
    nothing = sets.fault or (nothing_found(sets, kept_out=kept_out) if kept_out == len(levels) else "")
    return [*told, *([nothing] if nothing else [])]


def _left_out(sets: SetsFolder, levels: Mapping[Path, Level], least: Level, excludes: str) -> list[str]:
    """What the site's owner keeps out, for the one who looks for it."""
    said = []
    for level, option in ((Level.EXCLUDED, excludes), (Level.DRAFT, "draft_docs")):
        names = [in_words(sets.label(folder)) for folder, at in levels.items() if at is level and at < least]
        said += [f"not built, as {option} says: {', '.join(names)}"] if names else []
    return said
