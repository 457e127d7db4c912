"""The same site, to the byte, whatever clock, zone and locale say, by any number of workers, in any order of files."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

import pytest

import benchleaf
from sites import EPOCH, SMALL_RECORD, build, contents, write_site

_HOOK = """
import glob, locale, os, time
from concurrent.futures import ThreadPoolExecutor

_scan, _list = os.scandir, os.listdir


class Turned:
    def __init__(self, path="."):
        with _scan(path) as entries:
            self.entries = iter(sorted(entries, key=lambda entry: entry.name, reverse={turned}))

    def __iter__(self):
        return self.entries

    def __next__(self):
        return next(self.entries)

    def __enter__(self):
        return self

    def __exit__(self, *error):
        pass

    close = __exit__


os.scandir = Turned
os.listdir = lambda path=".": sorted(_list(path), reverse={turned})
_ago = {days} * 86_400
_time, _local, _utc = time.time, time.localtime, time.gmtime
time.time = lambda: _time() - _ago
time.localtime = lambda at=None: _local(time.time() if at is None else at)
time.gmtime = lambda at=None: _utc(time.time() if at is None else at)


def on_config(config):
    if {workers}:
        config.plugins["benchleaf"].executor = ThreadPoolExecutor({workers})
    print("order", [entry.name for entry in os.scandir("docs/sets")])
    print("started", time.timezone, locale.getencoding().lower(), round((_time() - time.time()) / 86_400))
    return config
"""
_NAMES = ("one", "Two", "three", "four")
_ABROAD = {"TZ": "Pacific/Kiritimati", "LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
"""A zone 14 hours ahead and a locale that knows no letter beyond ASCII."""


def _built(
    folder: Path, *, turned: bool, days: int, workers: int, surroundings: Mapping[str, str] | None = None
) -> dict[str, bytes]:
    around = {"TZ": "UTC", "PYTHONHASHSEED": str(days % 7), **(surroundings or {})}
    records = {name: f"{SMALL_RECORD.replace('Trial', name)}called: café no. 5, 0.05 µF\n" for name in _NAMES}
    site = write_site(folder, records, "hooks: [hook.py]\n")
    for name in _NAMES:
        (site / "docs/sets" / name / "story").mkdir()
        for part in ("1-first.md", "02-then.md", "10-last.md"):
            (site / "docs/sets" / name / "story" / part).write_text(f"## {part}\n\nHow {name} went.\n")
    (site / "hook.py").write_text(_HOOK.format(turned=turned, days=days, workers=workers))
    result = build(site, "--strict", SOURCE_DATE_EPOCH=EPOCH, **around)  # in a process of its own
    assert result.returncode == 0, result.stderr
    listed = sorted(_NAMES, reverse=turned)
    assert f"order {listed}" in result.stdout
    zone, encoding = (-14 * 3_600, "ansi_x3.4-1968") if surroundings else (0, "utf-8")
    assert f"started {zone} {encoding} {days}\n" in result.stdout
    return contents(site / "site")


@pytest.fixture(scope="module")
def usual(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    return _built(tmp_path_factory.mktemp("usual"), turned=False, days=0, workers=0)


@pytest.mark.parametrize(
    ("turned", "days", "workers", "surroundings"),
    [(True, 9_000, 3, None), (False, -4_000, 1, _ABROAD)],
    ids=["another order of files, another year, three workers", "one worker in a year to come, abroad"],
)
def test_the_site_is_the_same(
    turned: bool,
    days: int,
    workers: int,
    surroundings: dict[str, str] | None,
    usual: dict[str, bytes],
    tmp_path: Path,
) -> None:
    other = _built(tmp_path, turned=turned, days=days, workers=workers, surroundings=surroundings)
    assert sorted(other) == sorted(usual)
    assert [name for name in usual if usual[name] != other[name]] == []
    assert len([name for name in usual if name.endswith("index.html")]) > len(_NAMES)


def test_nothing_that_makes_a_page_asks_what_day_it_is() -> None:
    asks = re.compile(r"\.today\(|\.now\(|utcnow|time\.(?:time|localtime|gmtime|ctime|strftime)\b|time_ns")
    package = Path(benchleaf.__file__).parent
    asking = [
        file.relative_to(package).as_posix()
        for file in sorted(package.rglob("*.py"))
        if asks.search(file.read_text(encoding="utf-8"))
    ]
    assert asking == ["build/cache.py", "cli/add.py"], "the age of what is kept, and the day of a line that is added"
