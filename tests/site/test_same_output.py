"""The same site, to the byte, whatever the clock says, however many workers make it, whatever a folder lists first."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import benchleaf
from sites import EPOCH, SMALL_RECORD, build, contents, write_site

_HOOK = """
import glob, os, time
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
    return config
"""
_NAMES = ("one", "Two", "three", "four")


def _built(folder: Path, *, turned: bool, days: int, workers: int) -> dict[str, bytes]:
    records = {name: SMALL_RECORD.replace("Trial", name) for name in _NAMES}
    site = write_site(folder, records, "hooks: [hook.py]\n")
    for name in _NAMES:
        (site / "docs/sets" / name / "story").mkdir()
        for part in ("1-first.md", "02-then.md", "10-last.md"):
            (site / "docs/sets" / name / "story" / part).write_text(f"## {part}\n\nHow {name} went.\n")
    (site / "hook.py").write_text(_HOOK.format(turned=turned, days=days, workers=workers))
    result = build(site, "--strict", SOURCE_DATE_EPOCH=EPOCH, PYTHONHASHSEED=str(days % 7))  # in a process of its own
    assert result.returncode == 0, result.stderr
    listed = sorted(_NAMES, reverse=turned)
    assert f"order {listed}" in result.stdout
    return contents(site / "site")


@pytest.fixture(scope="module")
def usual(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    return _built(tmp_path_factory.mktemp("usual"), turned=False, days=0, workers=0)


@pytest.mark.parametrize(
    ("turned", "days", "workers"),
    [(True, 9_000, 3), (False, -4_000, 1)],
    ids=["another order of files, another year, three workers", "one worker in a year to come"],
)
def test_the_site_is_the_same(turned: bool, days: int, workers: int, usual: dict[str, bytes], tmp_path: Path) -> None:
    other = _built(tmp_path, turned=turned, days=days, workers=workers)
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
