"""What of a site's files must not be published as it lies: all that belongs, or may belong, to a set.

The rule. A folder with a record in it, by whatever spelling, is private with all that lies below it. Of the folder of
the sets only pages (Markdown) are the site's own: those lying in it and in the folders on the way to a set, but no
``story.md`` or numbered part of a story, and none of the folder with the club's tube table. That folder, and the files
of its stock and its words, are private and nothing is told of them. A file elsewhere that a link joins to either is
private too.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from ..record.inputs import RECORD_FILE
from ..record.problems import one_of, quoted
from ..record.story_files import STORY_FILE, STORY_FOLDER, is_story_file
from .beside_sets import STOCK, WORDS
from .found_sets import FoundSets, is_record_name
from .own_table import FOLDER as TABLE_FOLDER
from .paths import folded, in_words, joined
from .whereabouts import DEFAULT, SetsFolder

PAGES = (".md", ".markdown", ".mdown", ".mkdn", ".mkd")
"""The endings of pages, as the generators have them; any other file is copied as it is."""
_SYSTEMS_OWN = ("thumbs.db", "desktop.ini", ".ds_store")
_NAMED = 3


@dataclass(frozen=True)
class SiteFile:
    """A file that a generator means to publish, or only knows of (``published`` False).

    ``uri`` is its path in the site, ``path`` where it lies. ``of_docs`` is False for what a theme brings along.
    """

    uri: str
    path: str
    of_docs: bool = True
    published: bool = True


@dataclass(frozen=True)
class Private:
    """The files to be taken off, by ``uri``, and what the writer is told about them."""

    uris: frozenset[str]
    warnings: tuple[str, ...]


@dataclass(frozen=True)
class _Reason:
    """Why a file is private: because of ``folder``, which is ``what``."""

    what: str
    folder: str


_SET, _TOLD, _RECORD, _SHARED, _LOOSE, _LINK = "set", "told", "record", "shared", "loose", "link"
_TABLE, _PAGE = "table", "page"


@dataclass(frozen=True)
class _Site:
    """What the rule asks. ``records`` are the names of records by folder; ``ways`` the folders on the way to a set."""

    docs: Path
    sets: SetsFolder
    records: Mapping[str, list[str]]
    grounds: frozenset[str]
    addresses: frozenset[str]
    ways: frozenset[str]
    kept: Collection[str]
    holds_record: Callable[[Path], bool]


def private_files(
    files: Iterable[SiteFile], docs: Path, sets: SetsFolder, found: FoundSets, kept: Collection[str] = ()
) -> Private:
    """The files among ``files`` that are private. ``kept`` are paths that the site's configuration names as its own."""
    listed = list(files)
    site = _site(listed, docs, sets, found, kept)
    private = [(file, reason) for file in listed if (reason := _reason(file, site))]
    by_reason: dict[_Reason, list[str]] = {}
    for file, reason in private:
        if file.published and file.uri.rpartition("/")[2].casefold() not in _SYSTEMS_OWN:
            by_reason.setdefault(reason, []).append(file.uri)
    told = (_told(reason, uris, site) for reason, uris in sorted(by_reason.items(), key=lambda r: r[0].folder))
    return Private(frozenset(file.uri for file, _ in private), tuple(text for text in told if text))


def _site(listed: Collection[SiteFile], docs: Path, sets: SetsFolder, found: FoundSets, kept: Collection[str]) -> _Site:
    records: dict[str, list[str]] = {}
    for file in listed:
        folder, _, name = file.uri.rpartition("/")
        if is_record_name(name):
            records.setdefault(folder, []).append(name)
    addresses = frozenset(sets.address(folder) for folder in found.sets)
    ways = frozenset(above for address in addresses for above in _above(address))
    grounds = sets.grounds | (frozenset() if found.sets else _likely(listed, records, sets))
    real = Path(os.path.realpath(docs))
    return _Site(real, sets, records, grounds, addresses, ways | grounds, kept, cache(_holds_record))


def _likely(listed: Collection[SiteFile], records: Collection[str], sets: SetsFolder) -> frozenset[str]:
    """Folders that are those of the sets by all appearance, where none are found in the one the option leads to."""
    meant = {folded(DEFAULT), folded(sets.published)}
    named = {above for file in listed for above in _above(file.uri) if folded(above) in meant}
    holding = {folder.rpartition("/")[0] for folder in records}
    return frozenset((named | holding) - {""} - set(records))


def _above(uri: str) -> Iterator[str]:
    """The folders a path lies in, from the outermost; the site's root is not named."""
    parts = uri.split("/")[:-1]
    yield from ("/".join(parts[: n + 1]) for n in range(len(parts)))


def _reason(file: SiteFile, site: _Site) -> _Reason | None:
    """Why a file is private, or None for one that may be published."""
    above = list(_above(file.uri))
    owner = next((folder for folder in above if folder in site.records), None)
    if owner is not None:
        owned = _owned(owner, site)
        return _Reason(_PAGE if owned == _SET and _is_page(file.uri) else owned, owner)
    address = next((folder for folder in above if folder in site.addresses), None)
    if address is not None and site.sets.inside:
        return _Reason(_SET, address)
    if not file.of_docs:
        return _reached(file, site)
    ground = max((g for g in site.grounds if not g or g in above), key=len, default=None)
    if ground is None:
        return _stray(file, site) or _reached(file, site)
    if joined(ground, TABLE_FOLDER) in above:
        return _Reason(_TABLE, joined(ground, TABLE_FOLDER))
    if file.uri in (joined(ground, STOCK), joined(ground, WORDS)):
        return _Reason(_TABLE, file.uri)
    if not _is_own(file, ground, above, site):
        folder = _loose_folder(ground, above, site)
        return _Reason(_SHARED if folder == "" and "" in site.records else _LOOSE, folder)
    return _reached(file, site)


def _owned(folder: str, site: _Site) -> str:
    if site.sets.fault or not site.sets.inside:
        return _RECORD
    if folder in site.addresses:
        return _SET
    below = not site.sets.published or f"{folder}/".startswith(f"{site.sets.published}/")
    return _TOLD if below else _RECORD


def _stray(file: SiteFile, site: _Site) -> _Reason | None:
    """A file beside a record that lies in ``docs_dir`` itself: all but the site's own pages."""
    if "" not in site.records or _is_page(file.uri) or file.uri in site.kept:
        return None
    return _Reason(_SHARED, "")


def _is_own(file: SiteFile, ground: str, above: list[str], site: _Site) -> bool:
    """Whether a file among the sets is one of the site's own pages, or is read by another plugin and not published."""
    if not file.published:
        return True
    if file.uri in site.kept and not is_record_name(file.uri.rpartition("/")[2]):
        return True
    on_the_way = not ground or all(folder in site.ways for folder in above)
    return on_the_way and _is_page(file.uri)


def _is_page(uri: str) -> bool:
    folders, _, name = uri.rpartition("/")
    story = is_story_file(name) or STORY_FOLDER in {folder.casefold() for folder in folders.split("/")}
    return name.endswith(PAGES) and not story


def _loose_folder(ground: str, above: list[str], site: _Site) -> str:
    """The outermost folder among the sets that leads to none, or the last that does."""
    below = [folder for folder in above if folder.startswith(f"{ground}/") or not ground]
    return next((folder for folder in below if folder not in site.ways), below[-1] if below else ground)


def _reached(file: SiteFile, site: _Site) -> _Reason | None:
    """A file that a link brings in from a set's folder, or from the folder of the sets."""
    real = Path(os.path.realpath(file.path))
    if file.of_docs and real == site.docs / file.uri:
        return None
    among = any(not ground or file.uri.startswith(f"{ground}/") for ground in site.grounds)
    from_sets = not among and not site.sets.fault and real.is_relative_to(os.path.realpath(site.sets.path))
    if from_sets or (file.of_docs and _beside_a_record(real, site)):
        return _Reason(_LINK, _linked_at(file, site))
    return None


def _beside_a_record(real: Path, site: _Site) -> bool:
    """Whether some folder around a file holds a record; those around ``docs_dir`` are not asked."""
    for folder in real.parents:
        if site.docs.is_relative_to(folder):
            return False
        if site.holds_record(folder):
            return True
    return False


def _holds_record(folder: Path) -> bool:
    try:
        return any(is_record_name(name) for name in os.listdir(folder))
    except OSError:
        return False


def _linked_at(file: SiteFile, site: _Site) -> str:
    """The outermost part of the way to a file that is a link."""
    return next((part for part in _above(file.uri) if (site.docs / part).is_symlink()), file.uri)


def _told(reason: _Reason, uris: list[str], site: _Site) -> str:
    """What the writer is told of files that were taken off for one reason; nothing where ``find_sets`` tells it."""
    all_told = {_RECORD: _told_record, _SHARED: _told_shared, _LOOSE: _told_loose, _LINK: _told_link, _PAGE: _told_page}
    tell = all_told.get(reason.what)
    return tell(reason.folder, uris, site) if tell else ""


def _told_record(folder: str, uris: list[str], site: _Site) -> str:
    names, shown = site.records[folder], in_words(site.sets.docs_shown, folder)
    rename = "" if RECORD_FILE in names else f" and call its record {quoted(RECORD_FILE)}"
    remedy = "mend the option “sets” first" if site.sets.fault else f"move the folder there{rename}"
    found = f"found a record outside the folder of the sets; expected it in {_home(site)}; {remedy}"
    return f"{joined(shown, in_words(names[0]))}: {found}. Nothing in {shown} is published"


def _told_shared(folder: str, uris: list[str], site: _Site) -> str:
    shown = in_words(site.sets.docs_shown, folder, site.records[folder][0])
    found = f"found a record among the site's own pages; expected it in a folder for each set, in {_home(site)}"
    return f"{shown}: {found}; move there what belongs to it. Not published: {_named(uris)}"


def _told_loose(folder: str, uris: list[str], site: _Site) -> str:
    shown = in_words(site.sets.docs_shown, folder) or "docs_dir"
    found = f"found {_named(uris)} and no {quoted(RECORD_FILE)}; expected sets, and pages on the way to them"
    remedy = "write a record there, or move what is the site's own out of the folder of the sets"
    if site.sets.fault:
        remedy = "mend the option “sets” first"
    elif not site.sets.published:
        remedy = "give the sets a folder of their own, in place of docs_dir itself"
    return f"{shown}: {found}; {remedy}. {'They are' if len(uris) > 1 else 'It is'} not published"


def _told_page(folder: str, uris: list[str], site: _Site) -> str:
    shown = in_words(site.sets.docs_shown, folder)
    story, parts = quoted(STORY_FILE), quoted(STORY_FOLDER)
    found = f"found {_named(uris)} in a set's folder; expected its text in {story} or the folder {parts}"
    remedy = "put it there, or move what is a page of the site's own out of the set's folder"
    return f"{shown}: {found}; {remedy}. {'They are' if len(uris) > 1 else 'It is'} not published"


def _told_link(link: str, uris: list[str], site: _Site) -> str:
    shown = in_words(site.sets.docs_shown, link)
    found = "found a link to what belongs to a set; expected the site's own files; take it away"
    return f"{shown}: {found}. Not published: {_named(uris)}"


def _home(site: _Site) -> str:
    return quoted(site.sets.shown or "docs_dir")


def _named(uris: list[str]) -> str:
    said = [quoted(in_words(uri)) for uri in sorted(uris)[:_NAMED]]
    more = len(uris) - len(said)
    return one_of([*said, f"{more} more"] if more else said, "and")
