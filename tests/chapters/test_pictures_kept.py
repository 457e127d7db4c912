"""A picture in the cache."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image

from benchleaf.build.photos import pictures
from benchleaf.build.photos.pictures import PhotoProblem, publishable
from photographs import BLUE, NO_CACHE, published, quarters, saved
from sites import kept_in


# The cache
def test_the_same_original_gives_the_same_bytes_with_and_without_a_cache(tmp_path: Path) -> None:
    path = saved(tmp_path / "Dial, 2nd try!.JPG", quarters((1200, 900)))
    cache = kept_in(tmp_path / "c")
    bare, kept, again = (published(path, used) for used in (NO_CACHE, cache, cache))
    assert [v.content() for v in bare.variants] == [v.content() for v in kept.variants]
    assert kept == again
    assert [v.name for v in bare.variants] == [v.name for v in kept.variants]
    assert [v.path is None for v in bare.variants] == [True] * 6
    assert [v.data is None for v in kept.variants] == [True] * 6
    first = bare.variants[0]
    assert first.name == f"dial-2nd-try-480-{first.digest[:16]}.webp"


@pytest.mark.parametrize(
    ("name", "stem"),
    [
        ("Übersicht.jpg", "ubersicht"),
        ("../../x.jpg", "x"),
        ("日本.jpg", "picture"),
        (".jpg", "picture"),
        ("a" * 90 + ".jpg", "a" * 40),
    ],
)
def test_published_names_are_plain(tmp_path: Path, name: str, stem: str) -> None:
    path = saved(tmp_path / name, quarters((100, 80)), format="JPEG")
    assert published(path).variants[0].name.startswith(f"{stem}-100-")


def test_an_original_is_worked_on_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    cache = kept_in(tmp_path / "cache")
    path = saved(tmp_path / "a.jpg", quarters())
    (tmp_path / "cut.jpg").write_bytes(path.read_bytes()[:700])
    picture, problem = publishable(path, path.parent, cache), publishable(tmp_path / "cut.jpg", tmp_path, cache)

    def never(*_: object) -> None:
        raise AssertionError("decoded again")

    monkeypatch.setattr(pictures, "prepared", never)
    assert publishable(path, path.parent, cache) == picture
    assert publishable(tmp_path / "cut.jpg", tmp_path, cache) == problem
    assert isinstance(problem, PhotoProblem)


@pytest.mark.parametrize("damaged", [None, b"", b"x" * 9])
def test_a_published_file_lost_or_damaged_in_the_cache_is_made_again(tmp_path: Path, damaged: bytes | None) -> None:
    cache = kept_in(tmp_path / "cache")
    path = saved(tmp_path / "a.jpg", quarters())
    picture = published(path, cache)
    lost = picture.variants[1].path
    assert lost is not None
    whole = lost.read_bytes()
    lost.unlink()
    if damaged is not None:
        lost.write_bytes(damaged)
    assert published(path, cache) == picture
    assert lost.read_bytes() == whole


@pytest.mark.parametrize("entry", [b"null", b"[]", b"{}", b"no json", b'{"files":[],"size":1}', b'{"problem":{"x":1}}'])
def test_an_entry_of_another_shape_is_made_again(tmp_path: Path, entry: bytes) -> None:
    cache = kept_in(tmp_path / "cache")
    path = saved(tmp_path / "a.jpg", quarters())
    picture = published(path, cache)
    cache.put("pictures", picture.cache_keys[0], entry)
    assert published(path, cache) == picture


def test_a_changed_original_is_seen_at_once(tmp_path: Path) -> None:
    cache = kept_in(tmp_path / "cache")
    path = saved(tmp_path / "a.png", quarters())
    before = published(path, cache)
    saved(path, Image.new("RGB", (640, 480), BLUE))
    assert published(path, cache) != before


def test_pruning_with_the_keys_of_a_picture_keeps_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    cache = kept_in(tmp_path / "cache")
    path = saved(tmp_path / "a.jpg", quarters())
    picture = published(path, cache)
    published(saved(tmp_path / "b.png", Image.new("RGB", (640, 480), BLUE)), cache)
    cache.prune(picture.cache_keys, older_than_days=-1)
    monkeypatch.setattr(pictures, "prepared", None)
    assert publishable(path, path.parent, cache) == picture
    with pytest.raises(TypeError):
        publishable(tmp_path / "b.png", tmp_path, cache)
