"""The whole way for one set, from its folder to a finished page with its downloads; and for all sets of an archive."""

from __future__ import annotations

import json
from collections.abc import Callable, Collection, Iterator, Sequence
from concurrent.futures import Executor
from dataclasses import asdict, replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from ..pages.set_page import Choices, SetPage
from ..record.inputs import Inputs
from ..words.decimal_sign import decimals_behind
from .cache import Cache, key
from .failure import failed_page, told
from .files import digest
from .fingerprint import fingerprint
from .kept_page import keep, kept
from .one_set import make_page, read_inputs
from .processes import shared_out
from .whereabouts import SetsFolder

if TYPE_CHECKING:
    from ..archive.stock import InDrawer

_PAGE, _ARCHIVE = "page", "archive"
_FEW = 2
"""Up to this many sets are built in this process: starting others would take longer."""
_KEPT_DAYS = 60
"""What no page has used for so long goes from the cache."""


def build_set(folder: Path, choices: Choices, cache: Cache, sets: SetsFolder | None = None) -> SetPage:
    """The page of one set: from the cache where nothing that went in has changed, made anew otherwise.

    ``sets`` names the set, by its way from there; without it a set is called after its folder and the one around it.
    Whatever exception arises becomes a page that says so.
    """
    try:
        with decimals_behind(choices.decimal_sign):
            return _built(folder, choices, cache, sets)
    except Exception as error:
        return failed_page(folder, told(error), sets)


def build_all(
    folders: Sequence[Path],
    choices: Choices,
    cache: Cache,
    done: Callable[[int], None] = lambda count: None,
    sets: SetsFolder | None = None,
    executor: Executor | None = None,
) -> list[SetPage]:
    """All sets' pages in the order of ``folders``; those to be made are shared among the machine's cores.

    ``done`` is called with the number of pages each time some are finished. An ``executor`` that is given makes them
    instead: its workers need this package and the same files at the same paths, the cache's among them.
    """
    looked_up = {folder: _looked_up(folder, choices, cache, sets) for folder in folders}
    pages = {folder: page for folder, (_, page) in looked_up.items() if page}
    done(len(pages))
    missing = [folder for folder in folders if folder not in pages]
    for folder, page in _made(missing, choices, cache, sets, executor):
        pages[folder] = page
        done(1)
    if missing:
        used = {page_key for page_key, _ in looked_up.values() if page_key}
        cache.prune(used.union(*(page.cache_keys for page in pages.values())), _KEPT_DAYS)
    return [pages[folder] for folder in folders]


def build_archive(
    pages: Sequence[SetPage],
    choices: Choices,
    cache: Cache,
    to_root: str,
    left_out: Collection[str] = (),
    drawer: Sequence[InDrawer] = (),
) -> SetPage:
    """The index of all sets with the pages beside it, from the cache where no set has changed on them.

    ``to_root`` leads to the site's root; ``left_out`` names pages whose address a set has; ``drawer`` is what need not
    be ordered.

    A set whose card cannot be shown is listed without one and named among the page's ``failures``; where no card by
    itself is to blame, all are.
    """
    try:
        with decimals_behind(choices.decimal_sign):
            return _archive(pages, choices, cache, to_root, left_out, drawer)
    except Exception as error:
        carded = [_with_a_card_that_can_be_shown(page, choices) for page in pages]
        failures = tuple(page.failures[-1] for page, before in zip(carded, pages, strict=True) if page is not before)
        if not failures:
            failures = (f"the index of all sets could not be made: {told(error)}",)
            carded = [replace(page, card=None, failures=failures) for page in pages]
        with decimals_behind(choices.decimal_sign):
            return replace(_archive(carded, choices, Cache(None), to_root, left_out, drawer), failures=failures)


def _archive(
    pages: Sequence[SetPage],
    choices: Choices,
    cache: Cache,
    to_root: str,
    left_out: Collection[str] = (),
    drawer: Sequence[InDrawer] = (),
) -> SetPage:
    cards = json.dumps([(page.folder, page.title, page.card, page.failures) for page in pages])
    chosen = json.dumps(asdict(choices), sort_keys=True)
    archive_key = key(fingerprint(), chosen, to_root, *sorted(left_out), repr(drawer), cards)
    page = _stored(cache.get(_ARCHIVE, archive_key), cache)
    if page is None:
        from ..archive.page import archive_page

        page = archive_page(pages, choices, to_root=to_root, left_out=left_out, drawer=drawer)
        cache.put(_ARCHIVE, archive_key, keep(page, cache))
    return page


def _with_a_card_that_can_be_shown(page: SetPage, choices: Choices) -> SetPage:
    """The page itself, or without its card where an index of that card alone cannot be made."""
    try:
        _archive([page], choices, Cache(None), "")
    except Exception as error:
        why = f"{page.folder}: what the index shows of this set could not be made: {told(error)}"
        return replace(page, card=None, failures=(why,))
    return page


def _built(folder: Path, choices: Choices, cache: Cache, sets: SetsFolder | None) -> SetPage:
    inputs = read_inputs(folder, sets)
    page = _kept(inputs, choices, cache)
    if page is None:
        page = make_page(inputs, choices, cache)
        if not any(file.data for file in page.files):
            cache.put(_PAGE, _page_key(inputs, choices), keep(page, cache))
    return page


def _looked_up(folder: Path, choices: Choices, cache: Cache, sets: SetsFolder | None) -> tuple[str, SetPage | None]:
    """A set's key in the cache, empty where its files cannot be read, and the page that is kept under it."""
    try:
        inputs = read_inputs(folder, sets)
        return _page_key(inputs, choices), _kept(inputs, choices, cache)
    except Exception:
        # Making the page meets the same exception, and tells it.
        return "", None


def _made(
    folders: Sequence[Path], choices: Choices, cache: Cache, sets: SetsFolder | None, executor: Executor | None
) -> Iterator[tuple[Path, SetPage]]:
    """Each set with its page, as they are finished."""
    if len(folders) <= _FEW:
        yield from ((folder, build_set(folder, choices, cache, sets)) for folder in folders)
    else:
        yield from shared_out(folders, partial(build_set, choices=choices, cache=cache, sets=sets), sets, executor)


def _page_key(inputs: Inputs, choices: Choices) -> str:
    return key(fingerprint(), json.dumps(asdict(choices), sort_keys=True), *inputs.parts())


def _kept(inputs: Inputs, choices: Choices, cache: Cache) -> SetPage | None:
    """The page as the cache has it, if all that went into it is unchanged and its pictures are still there."""
    page = _stored(cache.get(_PAGE, _page_key(inputs, choices)), cache)
    if page is None or page.folder != inputs.name:
        return None
    unchanged = all(digest(inputs.folder, path, cache) == known for path, known in page.depends)
    return page if unchanged else None


def _stored(entry: bytes | None, cache: Cache) -> SetPage | None:
    try:
        return None if entry is None else kept(entry, cache)
    except ValueError:
        return None
