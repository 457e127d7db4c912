"""Real sites for the tests: small ones in a temporary folder, and the demo built once."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

from benchleaf.build.cache import Cache
from warm_builds import PATIENCE, forked

REPO = Path(__file__).parents[1]
DEMO = REPO / "site_src"
EPOCH = "1767225600"
"""2026-01-01: the date every reproducible build of the tests carries."""

STARTED_WITH = frozenset({"PYTHONHASHSEED", "LC_ALL", "TZ"})
"""What only a process that is started anew takes up."""

SECRET = bytes(range(32))
"""A key of a cache, as a user has one of their own."""

SMALL_RECORD = """\
maker: Testwell
model: Trial
year: 1950
line: 120 V 60 Hz
power: series string
chassis: line-connected
tubes:
  V1: 12BE6, frequency changer
  V2: 35W4, rectifier
parts:
  C1: to do, 0.05 uF 400 V paper
"""

PHOTOGRAPHED = (
    f"{SMALL_RECORD}photos:\n  front: photos/front.jpg\n  dial: photos/dial.jpg\n  under before: photos/under.jpg\n"
)


def photographed(folder: Path) -> Path:
    """A set with figures and three photos, which takes a moment to make."""
    from PIL import Image

    (folder / "photos").mkdir(parents=True)
    (folder / "record.yml").write_text(PHOTOGRAPHED, encoding="utf-8")
    for shade, name in enumerate(("front", "dial", "under")):
        Image.new("RGB", (64, 48), (90, 60, 50 * shade)).save(folder / "photos" / f"{name}.jpg")
    return folder


def kept_in(folder: Path, secret: bytes = SECRET) -> Cache:
    """A cache in ``folder``."""
    return Cache(folder, secret)


def write_site(folder: Path, records: Mapping[str, str], config: str = "", *, index: str = "# Home\n") -> Path:
    """A site with one set for each record; ``config`` is added to its mkdocs.yml."""
    docs = folder / "docs"
    docs.mkdir(parents=True)
    (docs / "index.md").write_text(index, encoding="utf-8")
    for name, record in records.items():
        (docs / "sets" / name).mkdir(parents=True)
        (docs / "sets" / name / "record.yml").write_text(record, encoding="utf-8")
    plugins = "" if "plugins:" in config else "plugins: [search, benchleaf]\n"
    (folder / "mkdocs.yml").write_text(f"site_name: Trial\n{plugins}{config}", encoding="utf-8")
    return folder


def build(
    folder: Path, *arguments: str, program: str = "mkdocs", **environment: str
) -> subprocess.CompletedProcess[str]:
    """Run the generator in ``folder`` as a person would; the site lies in ``folder/site``."""
    surroundings = {**os.environ, "NO_MKDOCS_2_WARNING": "1", **environment}
    if STARTED_WITH.isdisjoint(environment):
        return forked(program, ["build", *arguments], folder, surroundings)
    return subprocess.run(
        [sys.executable, "-W", "ignore", "-m", program, "build", *arguments],
        cwd=folder,
        env=surroundings,
        capture_output=True,
        text=True,
        check=False,
        timeout=PATIENCE,
    )


def first_five_minutes(page: str) -> str:
    """The commands by which a page leads from nothing to a set in the browser."""
    (listing,) = re.findall(r"```sh\n(mkdir .*?)```", (REPO / page).read_text(encoding="utf-8"), re.S)
    return str(listing)


def contents(site: Path) -> dict[str, bytes]:
    """Every file of a built site."""
    return {p.relative_to(site).as_posix(): p.read_bytes() for p in sorted(site.rglob("*")) if p.is_file()}
