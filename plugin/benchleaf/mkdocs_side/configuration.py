"""What is asked of MkDocs' configuration, without importing MkDocs."""

from __future__ import annotations

import warnings
from collections.abc import Iterable, Sequence
from typing import Any
from urllib.parse import quote

from ..record.problems import did_you_mean, one_of, quoted


def with_nearest(told: Iterable[tuple[str, str]], known: Sequence[str]) -> list[tuple[str, str]]:
    """MkDocs' warnings of options, each of an option that is not ``known`` with the one that is nearest to it."""
    return [
        (key, f"found the option {quoted(key)}; expected {one_of(known)}; {did_you_mean(key, known)}".rstrip("; "))
        if key not in known
        else (key, message)
        for key, message in told
    ]


def written_site_url(config: Any) -> str:
    """The site's address as its configuration has it: while it is served, MkDocs puts this machine's in its place."""
    with warnings.catch_warnings(action="ignore"):  # MkDocs would tell every reader of a log that it is not used.
        configs = config.user_configs
    written = (one.get("site_url") for one in configs if isinstance(one, dict))
    return next((str(address) for address in written if address), "")


def language(config: Any) -> str:
    """The language of the theme: Material has an option of its own for it, MkDocs' themes have their locale."""
    return str(config.theme.get("language") or config.theme.get("locale") or "")


def named_files(config: Any) -> set[str]:
    """Files that the configuration names: they are the site's own wherever they lie."""
    named = [*config.extra_css, *map(str, config.extra_javascript), *config.extra_templates]
    return {str(name) for name in [*named, config.theme.get("logo"), config.theme.get("favicon")] if name}


def edit_path(path: str, config: Any) -> str:
    """A path as a part of an address, as themes put it into the page unescaped; a template may quote it itself."""
    return path if "!q" in (config.edit_uri_template or "") else quote(path)
