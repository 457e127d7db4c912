"""What holds from one build to the next: the same bytes, nothing heavy loaded, only what changed done again."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from sites import DEMO, EPOCH, REPO, SMALL_RECORD, build, contents, write_site

HEAVY = ("matplotlib", "schemdraw", "numpy", "PIL", "scipy", "eseries")
_LOADED = """
import sys
from mkdocs.commands.build import build
from mkdocs.config import load_config
build(load_config("mkdocs.yml", strict=True))
heavy = [name for name in {heavy!r} if name in sys.modules]
print("LOADED", heavy)
"""


@pytest.fixture(scope="module")
def elsewhere(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the demo in another place, built once by a process that was started another way."""
    folder = tmp_path_factory.mktemp("elsewhere") / "demo"
    folder.mkdir()
    shutil.copytree(DEMO, folder / "site_src")
    shutil.copy(REPO / "mkdocs.yml", folder)
    result = build(folder, SOURCE_DATE_EPOCH=EPOCH, PYTHONHASHSEED="77", TZ="Pacific/Auckland", LC_ALL="C.UTF-8")
    assert result.returncode == 0, result.stderr
    return folder


def test_two_builds_are_the_same_to_the_byte(demo_site: Path, elsewhere: Path) -> None:
    a, b = contents(demo_site), contents(elsewhere / "site")
    assert sorted(a) == sorted(b)
    assert [name for name in a if a[name] != b[name]] == []
    again = build(elsewhere, SOURCE_DATE_EPOCH=EPOCH, PYTHONHASHSEED="5")
    assert again.returncode == 0
    remark = "INFO    -  benchleaf: sets/larkfield-minuet-5/record.yml:195:33: changes.C21.add.ESR: remark"
    assert remark in again.stderr
    assert contents(elsewhere / "site") == a


def test_a_build_in_which_nothing_changed_loads_nothing_heavy(elsewhere: Path) -> None:
    result = subprocess.run(
        [sys.executable, "-W", "ignore", "-c", _LOADED.format(heavy=HEAVY)],
        cwd=elsewhere,
        env={**os.environ, "NO_MKDOCS_2_WARNING": "1"},
        capture_output=True,
        text=True,
        check=True,
    )
    assert "LOADED []" in result.stdout, result.stdout


def test_a_changed_record_changes_its_page_and_no_other(tmp_path: Path) -> None:
    site = write_site(tmp_path, {"one": SMALL_RECORD, "two": SMALL_RECORD.replace("Trial", "Other")})
    assert build(site, SOURCE_DATE_EPOCH=EPOCH).returncode == 0
    before = contents(site / "site")
    record = site / "docs/sets/one/record.yml"
    record.write_text(record.read_text().replace("Trial", "Changed"))
    assert build(site, SOURCE_DATE_EPOCH=EPOCH).returncode == 0
    after = contents(site / "site")
    changed = {name for name in after if after[name] != before.get(name)}
    assert "sets/one/index.html" in changed
    assert "sets/two/index.html" not in changed


def test_a_spoiled_cache_entry_is_made_again(tmp_path: Path) -> None:
    site = write_site(tmp_path, {"one": SMALL_RECORD})
    assert build(site, SOURCE_DATE_EPOCH=EPOCH).returncode == 0
    before = contents(site / "site")
    entries = [p for p in (site / ".cache").rglob("*") if p.is_file()]
    assert entries
    for entry in entries:
        entry.write_bytes(entry.read_bytes()[:20] + b"spoiled")
    assert build(site, "--strict", SOURCE_DATE_EPOCH=EPOCH).returncode == 0
    assert contents(site / "site") == before


def test_an_option_changes_the_page_in_spite_of_the_cache(tmp_path: Path) -> None:
    site = write_site(tmp_path, {"one": SMALL_RECORD})
    assert build(site).returncode == 0
    assert "Valves" not in (site / "site/sets/one/index.html").read_text()
    config = (site / "mkdocs.yml").read_text().replace("benchleaf]", "{benchleaf: {dialect: british}}]")
    (site / "mkdocs.yml").write_text(config)
    assert build(site, "--strict").returncode == 0
    assert "Valves" in (site / "site/sets/one/index.html").read_text()
