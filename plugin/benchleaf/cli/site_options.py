"""What the site around a folder says of itself: its configuration, and the options of this plugin in it."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from ..build.whereabouts import CONFIGURATIONS
from ..record.manner import AMERICAN_SITE, SLASH_DATES, Manner
from ..words import AMERICAN, BRITISH

if TYPE_CHECKING:
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
    """How the records of the site around a folder are read; that of a site with no options where there is none."""
    found = site_above(folder)
    options = options_in(found[1]) if found else None
    if not options:
        return AMERICAN_SITE
    slash_dates = str(options.get("slash_dates") or "")
    american = options.get("dialect", AMERICAN.dialect) == AMERICAN.dialect
    return Manner(american=american, slash_dates=slash_dates if slash_dates in SLASH_DATES else "")


def dialect_of_site(folder: Path) -> str:
    """What the site around a folder speaks; American where it does not say."""
    return AMERICAN.dialect if manner_of_site(folder).american else BRITISH.dialect


def choices_of_site(folder: Path) -> Choices:
    """The choices of a page of the site around a folder, as far as they say how its records are read."""
    from ..pages.set_page import Choices

    return Choices(dialect=dialect_of_site(folder), slash_dates=manner_of_site(folder).slash_dates)


def name_of_set(folder: Path, root: Path) -> str:
    """A set's folder as it is called below that of all sets, which its site tells, or else below ``root``."""
    from ..build.whereabouts import DEFAULT, sets_folder

    home, found = Path(os.path.abspath(folder)), site_above(folder)
    options = options_in(found[1]) if found else None
    if found is not None and options is not None:
        docs = found[0].parent / str(found[1].get("docs_dir") or "docs")
        sets = sets_folder(str(options.get("sets", DEFAULT)), docs, found[0].parent)
        if not sets.fault and home != sets.path and home.is_relative_to(sets.path):
            return sets.name(home)
    below = os.path.relpath(folder, root)
    return folder.resolve().name if below in (".", "..") else Path(below).as_posix()


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
