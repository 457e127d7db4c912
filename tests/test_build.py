"""From a set's folder to its page, without a site generator."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from benchleaf.build.all_sets import build_all, build_set
from benchleaf.build.cache import Cache
from benchleaf.build.found_sets import find_sets
from benchleaf.build.kept_page import kept
from benchleaf.pages.set_page import Choices, SetPage
from sites import DEMO, SMALL_RECORD, kept_in, photographed


def _sets(folder: Path, *names: str) -> list[Path]:
    for name in names:
        (folder / name).mkdir()
        (folder / name / "record.yml").write_text(SMALL_RECORD.replace("Trial", name))
    return list(find_sets(folder).sets)


def test_only_folders_with_a_record_are_sets_and_links_are_passed_over(tmp_path: Path) -> None:
    (tmp_path / "sets" / "empty").mkdir(parents=True)
    outside = tmp_path / "outside"
    outside.mkdir()
    (outside / "record.yml").write_text(SMALL_RECORD)
    (tmp_path / "sets" / "link").symlink_to(outside)
    (one,) = _sets(tmp_path / "sets", "one")
    assert one.name == "one"
    assert find_sets(tmp_path / "nowhere").sets == ()


def test_pages_come_in_the_order_of_their_folders_however_they_are_made(tmp_path: Path) -> None:
    (tmp_path / "sets").mkdir()
    folders = _sets(tmp_path / "sets", "c", "a", "b")
    counted: list[int] = []
    pages = build_all(folders, Choices(), kept_in(tmp_path / "cache"), counted.append)
    assert [page.folder for page in pages] == ["a", "b", "c"]
    assert sum(counted) == 3
    again = build_all(folders, Choices(), kept_in(tmp_path / "cache"), counted.append)
    assert again == pages


@pytest.fixture(scope="module")
def demos_first(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Cache, SetPage]:
    """The demo's first set with its cache and its page."""
    folder, cache = DEMO / "sets" / "larkfield-minuet-5", kept_in(tmp_path_factory.mktemp("cache"))
    return folder, cache, build_set(folder, Choices(), cache)


def test_a_page_is_the_same_from_the_cache(demos_first: tuple[Path, Cache, SetPage]) -> None:
    folder, cache, first = demos_first
    assert build_set(folder, Choices(), cache) == first
    assert first.problems == ()


def test_a_page_is_the_same_without_a_cache(tmp_path: Path) -> None:
    """Of a small set; the demo's sets are built twice in ``site/test_builds.py``."""
    folder = photographed(tmp_path / "one")
    first, bare = (build_set(folder, Choices(), cache) for cache in (kept_in(tmp_path / "cache"), Cache(None)))
    assert (bare.html, bare.search, bare.entries) == (first.html, first.search, first.entries)
    assert [f.path for f in bare.files] == [f.path for f in first.files]
    assert first.problems == ()


def test_a_changed_photo_makes_the_page_again(tmp_path: Path) -> None:
    folder = photographed(tmp_path / "one")
    cache = kept_in(tmp_path / "cache")
    first = build_set(folder, Choices(), cache)
    shutil.copy(folder / "photos" / "dial.jpg", folder / "photos" / "front.jpg")
    second = build_set(folder, Choices(), cache)
    assert {f.path for f in second.files} != {f.path for f in first.files}


def test_the_record_of_a_page_follows_the_contract(demos_first: tuple[Path, Cache, SetPage]) -> None:
    _, _, page = demos_first
    (text,) = (file.text for file in page.files if file.path == "record.json")
    assert text is not None
    data = json.loads(text, parse_constant=lambda name: pytest.fail(f"{name} in record.json"))
    assert (data["format"], data["version"]) == ("benchleaf-record", 1)
    assert "serial" not in data["record"]
    assert "owner" not in data["record"]
    findings = data["findings"]
    # The heaters' rated sum, the string's current and what is left on 117 V are those of the contract's own example.
    assert findings["heaters"]["rated_sum_volts"] == pytest.approx(122.8)
    assert findings["heaters"]["rated_current_amps"] == pytest.approx(0.15)
    assert findings["heaters"]["dropper"] is None
    assert {"line_volts", "current_amps", "tubes"} <= set(findings["heaters"]["running"][0])
    row = findings["readings"]["rows"][0]
    assert {"run", "tube", "electrode", "expected_volts", "adjusted_volts", "measured_volts", "deviation"} <= set(row)
    assert findings["parts"]["C7"]["was_drift"] == pytest.approx(0.36)
    assert findings["parts"]["C7"]["now_drift"] == pytest.approx(-0.004)
    assert findings["parts"]["C7"]["was_in_tolerance"] is None
    line_side = findings["line_side"]
    assert (line_side["limit_amps"], line_side["limit_kind"]) == (0.0007, "peak")
    state = line_side["after"]["states"][0]
    assert {
        "plug",
        "switch",
        "fault",
        "part",
        "no_load_volts",
        "touch_amps_rms",
        "touch_amps_peak",
        "over_limit",
    } <= set(state)
    assert state["plug"] in ("right", "reversed")
    assert state["switch"] in ("on", "off")


def test_a_stored_page_that_is_none_is_refused() -> None:
    with pytest.raises(ValueError, match="title"):
        kept(b'{"folder": "x"}', Cache(None))
