"""Projects of generators that take no plugins: there the sets' pages have to be written out."""

from __future__ import annotations

import os
from pathlib import Path

from ..build.whereabouts import CONFIGURATIONS
from .site_options import is_file

_ALWAYS = {"zensical.toml": "Zensical"}
"""Configurations that are read in place of one of MkDocs, with the generator that reads them."""
_ALONE = {
    "hugo.toml": "Hugo",
    "hugo.yaml": "Hugo",
    "hugo.yml": "Hugo",
    "hugo.json": "Hugo",
    "_config.yml": "Jekyll",
    "conf.py": "Sphinx",
    "pelicanconf.py": "Pelican",
    "eleventy.config.js": "Eleventy",
    "eleventy.config.mjs": "Eleventy",
    ".eleventy.js": "Eleventy",
}
"""Configurations that say who builds the site only where none of MkDocs lies beside them."""


def takes_no_plugins(folder: Path) -> str:
    """What the writer of the records in ``folder`` is told where the site around builds without plugins; else empty."""
    for above in Path(os.path.abspath(folder)).parents:
        mkdocs = any(is_file(above / name) for name in CONFIGURATIONS)
        known = _ALWAYS if mkdocs else _ALWAYS | _ALONE
        for name, generator in known.items():
            if is_file(above / name):
                return _told(above / name, generator)
        if mkdocs or (above / ".git").exists():
            return ""
    return ""


def _told(file: Path, generator: str) -> str:
    command = "benchleaf pages pages --from sets" + (" --for hugo" if generator == "Hugo" else "")
    found = f"{generator} takes no plugins, so that it leaves the sets out"
    return f"{os.path.relpath(file)}: remark: {found}; “{command}” writes their pages for it"
