"""What the site around a folder says of itself: its configuration, and the options of this plugin in it."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from ..build.beside_sets import words_beside
from ..build.paths import real_path
from ..build.whereabouts import CONFIGURATIONS, DEFAULT, sets_folder
from ..record.manner import AMERICAN_SITE, SLASH_DATES, Manner
from ..words import AMERICAN, BRITISH

if TYPE_CHECKING:
    from ..build.cache import Cache
    from ..build.whereabouts import SetsFolder
    from ..pages.set_page import Choices

_MOST_BYTES = 1_000_000


def site_above(folder: Path) -> tuple[Path, Mapping[str, object]] | None:
    """The configuration of the site that a folder lies in, and what it says; None where there is none to be read."""
    return _site_in(Path(os.path.abspath(folder)).parents)


def site_at(folder: Path) -> tuple[Path, Mapping[str, object]] | None:
    """The configuration of the site whose own folder this is, and what it says; None where there is none to be read."""
    return _site_in([Path(os.path.abspath(folder))])


def _site_in(folders: Iterable[Path]) -> tuple[Path, Mapping[str, object]] | None:
    file = next((f / name for f in folders for name in CONFIGURATIONS if is_file(f / name)), None)
    settings = _settings(file) if file else None
    return None if file is None or settings is None else (file, settings)


def is_file(path: Path) -> bool:
    """Whether a file lies at ``path``; False also for a name that no disk can hold."""
    try:
        return path.is_file()
    except (OSError, ValueError):
        return False


def options_in(settings: Mapping[str, object]) -> Mapping[str, object] | None:
    """The options of this plugin, as a list or a mapping of plugins has it; None where it is not among them."""
    plugins = settings.get("plugins")
    for entry in plugins if isinstance(plugins, list) else [plugins]:
        if entry == "benchleaf":
            return {}
        if isinstance(entry, dict) and "benchleaf" in entry:
            options = entry["benchleaf"]
            return options if isinstance(options, dict) else {}
    return None


def manner_of_site(folder: Path) -> Manner:
    """How the records of the site around a set's folder are read, with the words beside them; as a site with no options
    does where there is none.
    """
    return replace(_manner_of_options(folder), own_words=words_beside(folder)[0])


def _manner_of_options(folder: Path) -> Manner:
    found = site_above(folder)
    options = options_in(found[1]) if found else None
    if not options:
        return AMERICAN_SITE
    slash_dates = str(options.get("slash_dates") or "")
    american = options.get("dialect", AMERICAN.dialect) == AMERICAN.dialect
    return Manner(american=american, slash_dates=slash_dates if slash_dates in SLASH_DATES else "")


def dialect_of_site(folder: Path) -> str:
    """What the site around a folder speaks; American where it does not say."""
    return AMERICAN.dialect if _manner_of_options(folder).american else BRITISH.dialect


def choices_of_site(folder: Path) -> Choices:
    """The choices of a page of the site around a folder, as far as they say how its records are read."""
    from ..pages.set_page import Choices

    manner = manner_of_site(folder)
    return Choices(dialect=dialect_of_site(folder), slash_dates=manner.slash_dates, own_words=manner.own_words)


def cache_of_site(folder: Path) -> Cache:
    """Where the site around a folder keeps what it has made; nowhere, before its first build or where it keeps nothing.

    A command leaves nothing behind in a project that no build has left anything in.
    """
    from ..build.cache import Cache
    from ..build.project_cache import cache_folder, project_cache

    found = site_above(folder)
    options = options_in(found[1]) if found else None
    if found is None or options is None or options.get("cache") is False:
        return Cache(None)
    project = found[0].parent
    return project_cache(project)[0] if cache_folder(project).is_dir() else Cache(None)


def sets_around(folder: Path) -> Path | None:
    """The folder of the sets of the site that a folder lies in, or that it is; None where there is none to be told."""
    found = _site_in([Path(os.path.abspath(folder)), *Path(os.path.abspath(folder)).parents])
    sets = _sets_of(*found) if found else None
    return None if sets is None or sets.fault else sets.path


def kept_back(folder: Path) -> bool:
    """Whether the site around a set does not publish it: a draft, or one that it excludes."""
    import pathspec

    found = site_above(folder)
    sets = _sets_of(*found) if found else None
    home = Path(os.path.abspath(folder))
    if found is None or sets is None or sets.fault or not home.is_relative_to(sets.path) or home == sets.path:
        return False
    patterns = [str(found[1].get(option) or "").splitlines() for option in ("draft_docs", "exclude_docs")]
    uris = [f"{sets.address(home)}/{name}" for name in ("index.md", "record.yml")]
    rules = [pathspec.GitIgnoreSpec.from_lines(lines) for lines in patterns if lines]
    return any(rule.match_file(uri) for rule in rules for uri in uris)


def _sets_of(file: Path, settings: Mapping[str, object]) -> SetsFolder | None:
    options = options_in(settings)
    docs = file.parent / str(settings.get("docs_dir") or "docs")
    return None if options is None else sets_folder(str(options.get("sets", DEFAULT)), docs, file.parent)


def name_of_set(folder: Path, root: Path) -> str:
    """A set's folder as it is called below that of all sets, which its site tells, or else below ``root``."""
    home, found = Path(os.path.abspath(folder)), site_above(folder)
    sets = _sets_of(*found) if found else None
    if sets is not None and not sets.fault and home != sets.path and home.is_relative_to(sets.path):
        return sets.name(home)
    below = os.path.relpath(folder, root)
    return real_path(folder).name if below in (".", "..") else Path(below).as_posix()


def _settings(file: Path) -> Mapping[str, object] | None:
    """The configuration as far as plain YAML goes; a tag of the generator's own reads as nothing."""
    try:
        with file.open("rb") as stream:
            return _read(stream.read(_MOST_BYTES))
    except OSError:
        return None


@lru_cache(maxsize=8)
def _read(data: bytes) -> Mapping[str, object] | None:
    """What a configuration says. It is asked twice for every record that a command looks at."""
    import yaml

    class Plain(getattr(yaml, "CSafeLoader", yaml.SafeLoader)):  # type: ignore[misc]  # libyaml's, where it is there
        pass

    Plain.add_multi_constructor("", lambda loader, tag, node: None)
    try:
        read = yaml.load(data, Plain)
    except (ValueError, RecursionError, yaml.YAMLError):
        return None
    return read if isinstance(read, dict) else None
