"""The whole way for one set, from its folder to a finished page with its downloads; and for all sets of an archive."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor, ProcessPoolExecutor, as_completed
from dataclasses import asdict
from multiprocessing import get_context
from pathlib import Path

from ..pages.set_page import Choices, SetPage
from ..record.inputs import Inputs
from .cache import Cache, key
from .files import digest
from .fingerprint import fingerprint
from .kept_page import keep, kept
from .one_set import make_page, read_inputs
from .whereabouts import SetsFolder

_PAGE, _ARCHIVE = "page", "archive"
_FEW = 2
"""Up to this many sets are built in this process: starting others would take longer."""
_KEPT_DAYS = 60
"""What no page has used for so long goes from the cache."""


def build_set(folder: Path, choices: Choices, cache: Cache, sets: SetsFolder | None = None) -> SetPage:
    """The page of one set: from the cache where nothing that went in has changed, made anew otherwise.

    ``sets`` names the set, by its way from there; without it a set is called after its folder and the one around it.
    """
    inputs = read_inputs(folder, sets)
    page = _kept(inputs, choices, cache)
    if page is None:
        page = make_page(inputs, choices, cache)
        if not any(file.data for file in page.files):
            cache.put(_PAGE, _page_key(inputs, choices), keep(page, cache))
    return page


def build_all(
    folders: Sequence[Path],
    choices: Choices,
    cache: Cache,
    done: Callable[[int], None] = lambda count: None,
    sets: SetsFolder | None = None,
) -> list[SetPage]:
    """All sets' pages in the order of ``folders``; those to be made are shared among the machine's cores.

    ``done`` is called with the number of pages each time some are finished.
    """
    inputs = {folder: read_inputs(folder, sets) for folder in folders}
    pages = {folder: page for folder in folders if (page := _kept(inputs[folder], choices, cache))}
    done(len(pages))
    missing = [folder for folder in folders if folder not in pages]
    if len(missing) <= _FEW:
        for folder in missing:
            pages[folder] = build_set(folder, choices, cache, sets)
            done(1)
    else:
        with _executor(len(missing)) as executor:
            for folder, page in _made(executor, missing, choices, cache, sets):
                pages[folder] = page
                done(1)
    if missing:
        used = {_page_key(inputs[folder], choices) for folder in folders}
        cache.prune(used.union(*(page.cache_keys for page in pages.values())), _KEPT_DAYS)
    return [pages[folder] for folder in folders]


def build_archive(pages: Sequence[SetPage], choices: Choices, cache: Cache, to_root: str) -> SetPage:
    """The index of all sets, from the cache where no set has changed on it. ``to_root`` leads to the site's root."""
    cards = json.dumps([(page.folder, page.title, page.card) for page in pages])
    archive_key = key(fingerprint(), json.dumps(asdict(choices), sort_keys=True), to_root, cards)
    page = _stored(cache.get(_ARCHIVE, archive_key), cache)
    if page is None:
        from ..archive.page import archive_page

        page = archive_page(pages, choices, to_root=to_root)
        cache.put(_ARCHIVE, archive_key, keep(page, cache))
    return page


def _made(
    executor: Executor, folders: Sequence[Path], choices: Choices, cache: Cache, sets: SetsFolder | None
) -> Iterator[tuple[Path, SetPage]]:
    waiting = {executor.submit(build_set, folder, choices, cache, sets): folder for folder in folders}
    for future in as_completed(waiting):
        yield waiting[future], future.result()


def _executor(count: int) -> Executor:
    # Spawned, not forked: the site generator's live server runs threads, and a fork beside threads can hang.
    from os import cpu_count

    return ProcessPoolExecutor(min(count, cpu_count() or 1), mp_context=get_context("spawn"))


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
