"""A cache that came from elsewhere, or was written into, changes nothing but the time a build takes."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from benchleaf.build import all_sets as build_module
from benchleaf.build.all_sets import build_all, build_archive, build_set
from benchleaf.build.cache import Cache
from benchleaf.pages.set_page import Choices, SetPage
from sites import kept_in, photographed

SCRIPT = "<script>alert(1)</script>"


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, SetPage]:
    """A set with photos, its page, and beside it the cache in which both are kept."""
    top = tmp_path_factory.mktemp("project")
    folder = photographed(top / "sets" / "one")
    page = build_set(folder, Choices(), kept_in(top / "cache"))
    assert page.problems == ()
    assert any(file.source for file in page.files)
    return folder, page


@pytest.fixture
def copy(made: tuple[Path, SetPage], tmp_path: Path) -> tuple[Path, Path, SetPage]:
    """The set and its cache in another place, and the page as it must come out there."""
    folder, page = made
    shutil.copytree(folder.parents[1], tmp_path / "project")
    cache = tmp_path / "project" / "cache"
    old, new = str(folder.parents[1] / "cache"), str(cache)
    files = tuple(replace(f, source=f.source.replace(old, new) if f.source else None) for f in page.files)
    return tmp_path / "project" / "sets" / folder.name, cache, replace(page, files=files)


def published(page: SetPage) -> dict[str, bytes]:
    """All that is published of a set, to the byte."""
    files = {
        f.path: Path(f.source).read_bytes() if f.source else f.text.encode() if f.text is not None else f.data or b""
        for f in page.files
    }
    return {"": page.html.encode(), "search": page.search.encode(), **files}


def entries(cache: Path, kind: str) -> list[Path]:
    found = [p for p in (cache / kind).rglob("*") if p.is_file()]
    assert found
    return found


def test_a_cache_moved_along_on_its_own_machine_is_used(
    copy: tuple[Path, Path, SetPage], monkeypatch: pytest.MonkeyPatch
) -> None:
    folder, cache, expected = copy
    monkeypatch.setattr(build_module, "make_page", None)
    assert build_set(folder, Choices(), kept_in(cache)) == expected


def test_a_cache_of_another_machine_gives_the_same_site(copy: tuple[Path, Path, SetPage]) -> None:
    folder, cache, expected = copy
    before = {kind: {p: p.read_bytes() for p in entries(cache, kind)} for kind in ("page", "figure", "pictures")}
    page = build_set(folder, Choices(), kept_in(cache, b"of another machine"))
    assert page == expected
    assert published(page) == published(expected)
    for kind, was in before.items():
        assert all(path.read_bytes() != content for path, content in was.items()), f"{kind}: an entry was believed"


def with_script(content: bytes) -> bytes:
    return content.replace(b"<svg", SCRIPT.encode() + b"<svg").replace(b"<h1", SCRIPT.encode() + b"<h1")


SPOILS: dict[str, Callable[[bytes], bytes]] = {
    "a script": with_script,
    "cut short": lambda content: content[: len(content) // 2],
    "empty": lambda content: b"",
    "no JSON": lambda content: content.partition(b"\n")[0] + b"\n}{",
    "no text": lambda content: b"\xff\0" * 200,
    "a pickle": lambda content: b"\x80\x04cos\nsystem\n(S'exit 1'\ntR.",
}


@pytest.mark.parametrize("spoil", SPOILS.values(), ids=SPOILS)
def test_an_entry_written_into_changes_nothing(
    spoil: Callable[[bytes], bytes], copy: tuple[Path, Path, SetPage]
) -> None:
    folder, cache, expected = copy
    for kind in ("page", "figure", "pictures", "photos", "digests"):
        for entry in entries(cache, kind) if (cache / kind).is_dir() else []:
            entry.write_bytes(spoil(entry.read_bytes()) + (b"x" if kind == "photos" else b""))
    page = build_set(folder, Choices(), kept_in(cache))
    assert page == expected
    assert published(page) == published(expected)


@pytest.mark.parametrize("kind", ["page", "figure"])
def test_a_script_under_another_key_changes_nothing(kind: str, copy: tuple[Path, Path, SetPage]) -> None:
    folder, cache, expected = copy
    if kind == "figure":
        shutil.rmtree(cache / "page")
    theirs, ours = kept_in(cache, b"a stranger's"), kept_in(cache)
    for entry in entries(cache, kind):
        content = ours.get(kind, entry.name)
        assert content is not None
        theirs.put(kind, entry.name, with_script(content))
    page = build_set(folder, Choices(), ours)
    assert page == expected
    assert SCRIPT not in page.html


# An entry of the right key and the wrong shape: nothing is believed because of who wrote it alone.


def with_file(**changes: Any) -> Callable[[dict[str, Any]], None]:
    def change(page: dict[str, Any]) -> None:
        photo = next(file for file in page["files"] if file["source"])
        photo |= changes

    return change


SHAPES: dict[str, Callable[[dict[str, Any]], object]] = {
    "a path upwards": with_file(path="../../index.html"),
    "a path within upwards": with_file(path="photos/../../x.html"),
    "an absolute path": with_file(path="/srv/x.html"),
    "a path on a drive": with_file(path="C:/x.html"),
    "a path with backslashes": with_file(path="..\\x.html"),
    "an empty path": with_file(path=""),
    "a source of the system": with_file(source="/etc/hostname"),
    "a source upwards": with_file(source="photos/../../../sets/x/record.yml"),
    "a source that is an entry": with_file(source="page/" + "0" * 64),
    "a source that is none": with_file(source="photos/" + "0" * 64 + ".webp"),
    "neither text nor source": with_file(source=None),
    "text and source": with_file(text="x"),
    "bytes": with_file(source=None, data="x"),
    "a number for a title": lambda page: page.update(title=5),
    "no title": lambda page: page.pop("title"),
    "text for a list": lambda page: page.update(links="index.html"),
    "an entry of two": lambda page: page.update(entries=[[2, "x"]]),
    "a problem of another kind": lambda page: page.update(problems=[{"file": "x"}]),
    "a card that is none": lambda page: page.update(card=[1]),
    "another set's page": lambda page: page.update(folder="../.."),
    "a digest of the system": lambda page: page.update(depends=[["../../../../../../etc/hostname", "0"]]),
}


@pytest.mark.parametrize("change", SHAPES.values(), ids=SHAPES)
def test_a_page_of_another_shape_is_made_again(
    change: Callable[[dict[str, Any]], object], copy: tuple[Path, Path, SetPage]
) -> None:
    folder, cache, expected = copy
    (entry,) = entries(cache, "page")
    stored = json.loads(kept_in(cache).get("page", entry.name) or b"")
    change(stored)
    kept_in(cache).put("page", entry.name, json.dumps(stored).encode())
    assert build_set(folder, Choices(), kept_in(cache)) == expected


def test_a_source_that_is_a_file_of_this_machine_is_not_published(copy: tuple[Path, Path, SetPage]) -> None:
    folder, cache, expected = copy
    secret = folder.parents[1] / "hostname"
    secret.write_text("a machine's own business")
    (entry,) = entries(cache, "page")
    for source in (str(secret), "../hostname", f"photos/../../{secret.name}"):
        stored = json.loads(kept_in(cache).get("page", entry.name) or b"")
        with_file(source=source)(stored)
        kept_in(cache).put("page", entry.name, json.dumps(stored).encode())
        page = build_set(folder, Choices(), kept_in(cache))
        assert page == expected
        assert secret.read_bytes() not in published(page).values()


@pytest.mark.parametrize("figure", [b"null", b"[]x", b"{}", b'[{"name": 1}]', b'[{"svg": "<script>"}]'])
def test_a_figure_of_another_shape_is_drawn_again(figure: bytes, copy: tuple[Path, Path, SetPage]) -> None:
    folder, cache, expected = copy
    shutil.rmtree(cache / "page")
    for entry in entries(cache, "figure"):
        kept_in(cache).put("figure", entry.name, figure)
    assert build_set(folder, Choices(), kept_in(cache)) == expected


def test_an_index_written_into_is_made_again(copy: tuple[Path, Path, SetPage]) -> None:
    folder, cache, _ = copy
    pages = build_all([folder], Choices(), kept_in(cache))
    first = build_archive(pages, Choices(), kept_in(cache), "../")
    (entry,) = entries(cache, "archive")
    stored = kept_in(cache).get("archive", entry.name)
    assert stored is not None
    kept_in(cache, b"a stranger's").put("archive", entry.name, with_script(stored))
    assert build_archive(pages, Choices(), kept_in(cache), "../") == first
    kept_in(cache).put("archive", entry.name, stored[:-20])
    assert build_archive(pages, Choices(), kept_in(cache), "../") == first


def test_a_photo_exchanged_in_the_cache_is_made_again(copy: tuple[Path, Path, SetPage]) -> None:
    folder, cache, expected = copy
    photos = [Path(file.source) for file in expected.files if file.source]
    contents = {photo: photo.read_bytes() for photo in photos}
    photos[0].write_bytes(contents[photos[1]])
    photos[1].unlink()
    photos[1].symlink_to(photos[2])
    assert build_set(folder, Choices(), kept_in(cache)) == expected
    assert {photo: photo.read_bytes() for photo in photos} == contents
    assert not photos[1].is_symlink()


def test_a_page_is_the_same_without_a_key(copy: tuple[Path, Path, SetPage]) -> None:
    folder, cache, expected = copy
    page = build_set(folder, Choices(), Cache(cache))
    assert published(page) == published(expected)
