"""The whole way for one set, from its folder to a finished page with its downloads; and for all sets of an archive."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor, ProcessPoolExecutor, as_completed
from dataclasses import asdict, dataclass, field
from functools import cache as once
from multiprocessing import get_context
from pathlib import Path
from typing import Any

from .cache import Cache, key
from .record.problems import Problem

RECORD_FILE = "record.yml"
_PAGE = "page"
_FEW = 2
"""Up to this many sets are built in this process: starting others would take longer."""


@dataclass(frozen=True)
class Choices:
    """What a site chooses for all its sets; each field is an option of the plugin of the same name."""

    dialect: str = "american"
    touch_limit: str = "IEC 60065"
    publish_private: bool = False
    permalinks: bool = False
    directory_urls: bool = True


@dataclass(frozen=True)
class OutFile:
    """A file published beside a set's page: its path below the set's folder, and its text, or where its bytes lie.

    ``data`` holds the bytes themselves where there is no cache they could lie in.
    """

    path: str
    text: str | None = None
    source: str | None = None
    data: bytes | None = None


@dataclass(frozen=True)
class SetPage:
    """One finished page and all that belongs to it.

    ``html`` is the page, ``search`` what the search index is given in its place. ``card`` is what the archive's index
    shows of the set, None for a record that could not be read. ``links`` are addresses of other files of the site that
    the page uses. ``depends`` holds other files that went in, with their hashes.
    """

    folder: str
    title: str
    description: str
    html: str
    search: str
    entries: tuple[tuple[int, str, str], ...]
    anchors: tuple[str, ...]
    links: tuple[str, ...] = ()
    files: tuple[OutFile, ...] = ()
    card: dict[str, Any] | None = None
    problems: tuple[Problem, ...] = ()
    updated: str | None = None
    depends: tuple[tuple[str, str | None], ...] = ()
    cache_keys: tuple[str, ...] = field(default=())


def find_sets(sets: Path) -> list[Path]:
    """The folders below ``sets`` that hold a record, in order of their names. Links out of the folder are passed over."""
    if not sets.is_dir():
        return []
    return sorted(f for f in sets.iterdir() if f.is_dir() and not f.is_symlink() and (f / RECORD_FILE).is_file())


def build_set(folder: Path, choices: Choices, cache: Cache) -> SetPage:
    """The page of one set: from the cache where nothing that went in has changed, made anew otherwise."""
    from .make import make_page, read_inputs

    inputs = read_inputs(folder)
    page_key = key(fingerprint(), json.dumps(asdict(choices), sort_keys=True), *inputs.parts())
    page = _kept(folder, page_key, cache)
    if page is None:
        page = make_page(inputs, choices, cache)
        if not any(file.data for file in page.files):
            cache.put(_PAGE, page_key, json.dumps(asdict(page), ensure_ascii=False).encode())
    return page


def kept_set(folder: Path, choices: Choices, cache: Cache) -> SetPage | None:
    """The page of one set from the cache, or None where it must be made."""
    from .make import read_inputs

    inputs = read_inputs(folder)
    return _kept(folder, key(fingerprint(), json.dumps(asdict(choices), sort_keys=True), *inputs.parts()), cache)


def build_all(
    folders: Sequence[Path], choices: Choices, cache: Cache, done: Callable[[int], None] = lambda count: None
) -> list[SetPage]:
    """All sets' pages in the order of ``folders``; those to be made are shared among the machine's cores.

    ``done`` is called with the number of pages each time some are finished.
    """
    pages = {folder: page for folder in folders if (page := kept_set(folder, choices, cache))}
    done(len(pages))
    missing = [folder for folder in folders if folder not in pages]
    if len(missing) <= _FEW:
        for folder in missing:
            pages[folder] = build_set(folder, choices, cache)
            done(1)
        return [pages[folder] for folder in folders]
    with _executor(len(missing)) as executor:
        for folder, page in _made(executor, missing, choices, cache):
            pages[folder] = page
            done(1)
    return [pages[folder] for folder in folders]


def _made(
    executor: Executor, folders: Sequence[Path], choices: Choices, cache: Cache
) -> Iterator[tuple[Path, SetPage]]:
    waiting = {executor.submit(build_set, folder, choices, cache): folder for folder in folders}
    for future in as_completed(waiting):
        yield waiting[future], future.result()


def _executor(count: int) -> Executor:
    # Spawned, not forked: the site generator's live server runs threads, and a fork beside threads can hang.
    from os import cpu_count

    return ProcessPoolExecutor(min(count, cpu_count() or 1), mp_context=get_context("spawn"))


def _kept(folder: Path, page_key: str, cache: Cache) -> SetPage | None:
    stored = cache.get(_PAGE, page_key)
    if stored is None:
        return None
    try:
        data = json.loads(stored)
        files = tuple(OutFile(**f) for f in data.pop("files"))
        problems = tuple(Problem(**p) for p in data.pop("problems"))
        for name in ("entries", "anchors", "links", "depends", "cache_keys"):
            data[name] = tuple(tuple(e) if isinstance(e, list) else e for e in data[name])
        page = SetPage(files=files, problems=problems, **data)
    except (ValueError, TypeError, KeyError):
        return None
    if any(cache.file_digest(folder / path) != digest for path, digest in page.depends):
        return None
    return page if all(file.source is None or Path(file.source).is_file() for file in page.files) else None


@once
def fingerprint() -> str:
    """A hash of all that makes a page: this package's own files and the versions of what draws with it."""
    from importlib.metadata import PackageNotFoundError, version

    package = Path(__file__).parent
    parts: list[str | bytes] = [f"{sys.version_info[:2]}"]
    for path in sorted(package.rglob("*")):
        if path.is_file() and path.suffix in (".py", ".j2", ".csv", ".txt"):
            parts += [path.relative_to(package).as_posix(), path.read_bytes()]
    for library in ("schemdraw", "matplotlib", "pillow", "pint", "markdown", "nh3", "scipy", "eseries"):
        try:
            parts.append(version(library))
        except PackageNotFoundError:
            parts.append(library)
    return key(*parts)
