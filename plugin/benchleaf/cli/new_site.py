"""The files of a whole site with one set in it: configuration, front page, first record, and how it is published."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from importlib.metadata import PackageNotFoundError, distribution
from typing import TYPE_CHECKING

from ..words import DIALECTS
from .starter import in_yaml

if TYPE_CHECKING:
    from importlib.metadata import Distribution

SCHEMA_FILE = "record.schema.json"
"""The file beside the sets by which an editor completes and underlines their records."""
IGNORED = ("site/", ".cache/", ".venv/")
"""What a version control need not keep: all of it is made again."""


def files_of_site(name: str, folder: str, record: str, dialect: str) -> dict[str, str]:
    """Every file by its path in the site's folder.

    ``name`` is what the site is called, ``folder`` that of the first set below ``sets``, ``record`` its record's text,
    ``dialect`` the site's, empty where it is left to the default.
    """
    return {
        "mkdocs.yml": _CONFIGURATION.format(name=in_yaml(name), dialect=_of_dialect(dialect)),
        "docs/index.md": _FRONT_PAGE.format(name=_plain(name)),
        f"sets/{folder}/record.yml": record,
        f"sets/{folder}/story.md": _STORY,
        f"sets/{SCHEMA_FILE}": schema_text(),
        ".gitignore": "".join(f"{line}\n" for line in IGNORED),
        "requirements.txt": "".join(f"{line}\n" for line in pinned("mkdocs-benchleaf")),
        ".github/workflows/publish.yml": _WORKFLOW.replace("PYTHON", f"{sys.version_info[0]}.{sys.version_info[1]}"),
    }


def _of_dialect(dialect: str) -> str:
    """The options of a dialect that was chosen, with the order in which its speakers write dates."""
    return _DIALECT.format(dialect) + _SETTLED.format(DIALECTS[dialect].slash_dates) if dialect else _ASKED


def schema_text() -> str:
    """The JSON Schema of a record as a file."""
    from ..record.schema import record_schema

    return json.dumps(record_schema(), ensure_ascii=False, indent=1) + "\n"


def pinned(package: str) -> list[str]:
    """A package and all that it needs here, each with the version that is installed, in the order of their names."""
    return sorted({f"{one.metadata['Name']}=={one.version}" for one in _needed(package)}, key=str.casefold)


def _needed(package: str) -> Iterator[Distribution]:
    """A package and all that it needs on this machine, as far as it is installed."""
    from packaging.requirements import Requirement

    waiting, seen = [Requirement(package)], set()
    while waiting:
        wanted = waiting.pop()
        extras = frozenset(wanted.extras)
        if (wanted.name.casefold(), extras) in seen:
            continue
        seen.add((wanted.name.casefold(), extras))
        try:
            found = distribution(wanted.name)
        except PackageNotFoundError:
            continue
        yield found
        needs = [Requirement(line) for line in found.requires or ()]
        waiting += [n for n in needs if n.marker is None or any(n.marker.evaluate({"extra": e}) for e in ("", *extras))]


def _plain(name: str) -> str:
    """A name as a heading of Markdown that stands for itself."""
    return "".join(f"\\{sign}" if sign in "\\`*_{}[]<>()#+-.!|&" else sign for sign in " ".join(name.split()))


_CONFIGURATION = """\
site_name: {name}
# The address the site will have. With it, each cabinet card carries a QR code that leads to its page.
# site_url: https://radios.example/
theme:
  name: material
  font: false
  palette:
    - media: "(prefers-color-scheme: light)"
      scheme: default
    - media: "(prefers-color-scheme: dark)"
      scheme: slate
plugins:
  - search
  - benchleaf:
      sets: ../sets
{dialect}markdown_extensions:
  - admonition
  - tables
  - toc:
      permalink: true
"""
_DIALECT = "      dialect: {}\n"
_ASKED = """\
      # Which number of a date such as 3/4/26 is the month. Without it such dates are asked.
      # slash_dates: month first  # or: day first
"""
_SETTLED = """\
      # Which number of a date such as 3/4/26 is the month: month first, or day first.
      slash_dates: {}
"""

_FRONT_PAGE = """\
---
hide:
  - toc
---

# {name}

What was found in each set, what was measured and changed, and what follows from it.

[[last finished]]

[[on the bench]]

[[found in these sets]]

[[look up]]
"""

_STORY = """\
<!--
The story of this set in your own words. What stands between these marks is yours alone and not published; write below.
A line of its own in double brackets, such as [[parts]] or [[voltages]], places what is computed where you want it.
-->
"""

_WORKFLOW = """\
# Builds the site and publishes it whenever the branch “main” changes; “Run workflow” does the same by hand.
# A record with a problem stops it, and what is published already stays as it is.
name: Publish
on:
  push:
    branches: [main]
  workflow_dispatch:
permissions:
  contents: read
  pages: write
  id-token: write
concurrency:
  group: pages
  cancel-in-progress: false
jobs:
  publish:
    runs-on: ubuntu-24.04
    environment:
      name: github-pages
      url: ${{ steps.published.outputs.page_url }}
    steps:
      - uses: actions/checkout@v6.0.2
      - uses: actions/setup-python@v6.2.0
        with:
          python-version: "PYTHON"
      - run: pip install -r requirements.txt
      - run: mkdocs build --strict
      - uses: actions/upload-pages-artifact@v5.0.0
        with:
          path: site
      - uses: actions/deploy-pages@v5.0.0
        id: published
"""
