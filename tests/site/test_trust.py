"""A whole site that came from a stranger: its links and its cache, under MkDocs itself."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from sites import EPOCH, SMALL_RECORD, build, contents, photographed, write_site

SECRET_TEXT = "maker: Nobody-may-read-this\nmodel: secret\n"


@pytest.fixture
def site(tmp_path: Path) -> Path:
    """A site of a set with photos and figures, and one without photos."""
    made = write_site(tmp_path / "project", {"small": SMALL_RECORD})
    photographed(made / "docs" / "sets" / "photographed")
    return made


def built(site: Path, configuration: Path, *arguments: str) -> dict[str, bytes]:
    result = build(site, *arguments, SOURCE_DATE_EPOCH=EPOCH, XDG_CONFIG_HOME=str(configuration))
    assert result.returncode == 0, result.stderr
    return contents(site / "site")


def test_a_cache_that_came_with_a_project_only_takes_longer(site: Path, tmp_path: Path) -> None:
    cold = built(site, tmp_path / "theirs", "--strict")
    cache = site / ".cache" / "benchleaf"
    before = {p: p.read_bytes() for p in (cache / "page").rglob("*") if p.is_file()}
    assert len(before) == 2
    shutil.copytree(tmp_path / "theirs", site / "configuration")  # and their key came along
    for entry in before:
        content = entry.read_bytes()
        entry.write_bytes(content.replace(b"<h1", b"<script>alert(1)</script><h1"))
    assert built(site, tmp_path / "ours", "--strict") == cold
    assert all(p.read_bytes() != content for p, content in before.items())
    assert built(site, tmp_path / "ours", "--strict") == cold


def test_without_a_place_for_the_key_every_build_is_cold_and_says_so_once(site: Path, tmp_path: Path) -> None:
    kept = built(site, tmp_path / "ours", "--strict")
    shutil.rmtree(site / ".cache")
    (tmp_path / "file").write_text("where the configuration would be")
    result = build(site, "--strict", SOURCE_DATE_EPOCH=EPOCH, XDG_CONFIG_HOME=str(tmp_path / "file"))
    assert result.returncode == 0, result.stderr
    assert result.stderr.count("nothing is kept for the next build") == 1
    assert str(tmp_path / "file") in result.stderr
    assert contents(site / "site") == kept
    assert not (site / ".cache").exists()


def test_a_cache_that_is_switched_off_makes_no_key(site: Path, tmp_path: Path) -> None:
    config = (site / "mkdocs.yml").read_text().replace("benchleaf]", "{benchleaf: {cache: false}}]")
    (site / "mkdocs.yml").write_text(config)
    built(site, tmp_path / "ours", "--strict")
    assert not (tmp_path / "ours" / "benchleaf").exists()
    assert not (site / ".cache").exists()


@pytest.mark.parametrize("name", [".cache", ".cache/benchleaf"])
def test_nothing_is_written_through_a_link_that_came_with_a_project(name: str, site: Path, tmp_path: Path) -> None:
    (tmp_path / "outside" / "benchleaf").mkdir(parents=True)
    (site / name).parent.mkdir(exist_ok=True)
    (site / name).symlink_to(tmp_path / "outside")
    built(site, tmp_path / "ours", "--strict")
    assert [p for p in (tmp_path / "outside").rglob("*") if p.is_file()] == []


def test_no_file_from_outside_a_set_is_published(tmp_path: Path) -> None:
    lines = "photos:\n  dial: photos/p.jpg\nreadings:\n  a: table r.csv\n"
    names = ("linked", "neighbour", "dangling", "circle", "named")
    site = write_site(tmp_path / "project", {name: SMALL_RECORD + lines * (name == "named") for name in names})
    sets, outside = site / "docs/sets", tmp_path / "outside"
    outside.mkdir()
    for name in ("record.yml", "p.jpg", "r.csv", "story.md"):
        (outside / name).write_text(SECRET_TEXT)
    targets = {"linked": outside / "record.yml", "dangling": "none.yml", "circle": "record.yml"}
    for name, target in {**targets, "neighbour": "../named/record.yml"}.items():
        (sets / name / "record.yml").unlink()
        (sets / name / "record.yml").symlink_to(target)
    (sets / "named" / "photos").symlink_to(outside)
    for name in ("r.csv", "story.md"):
        (sets / "named" / name).symlink_to(outside / name)
    result = build(site, XDG_CONFIG_HOME=str(tmp_path / "ours"))
    assert result.returncode == 0, result.stderr
    published = contents(site / "site")
    assert [name for name, data in published.items() if b"Nobody-may-read" in data or b"/outside" in data] == []
    for name in ("linked", "neighbour", "dangling", "circle"):
        page = published[f"sets/{name}/index.html"].decode()
        assert "the record cannot be read" in page
        assert "put the file itself in place of the link" in page
        assert f"sets/{name}/record.yml:1:1: found a link" in result.stderr
        assert f"sets/{name}/record.yml" not in published
    assert result.stderr.count("a link to somewhere outside the set") == 5
    assert "Testwell Trial" in published["sets/named/index.html"].decode()
    assert build(site, "--strict", XDG_CONFIG_HOME=str(tmp_path / "ours")).returncode == 1
