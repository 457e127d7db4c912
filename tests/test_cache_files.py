"""What the cache remembers of photos, and what it lets go."""

from __future__ import annotations

import hashlib
import os
import time
from pathlib import Path

import pytest

from benchleaf.build.cache import MOST_ENTRY, MOST_HASHED, Cache, as_json, content_key
from caches import KEY, entries, later
from sites import SECRET, kept_in


# Digests
@pytest.fixture
def reads(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Grows by one each time a file is really hashed."""
    counted: list[int] = []
    real = hashlib.file_digest

    def counting(*args: object) -> object:
        counted.append(1)
        return real(*args)  # type: ignore[arg-type]

    monkeypatch.setattr(hashlib, "file_digest", counting)
    return counted


def test_an_unchanged_photo_is_not_hashed_again(tmp_path: Path, reads: list[int]) -> None:
    photo = tmp_path / "dial.jpg"
    photo.write_bytes(b"one")
    cache = Cache(tmp_path / "cache", SECRET, clock=later)
    assert [cache.file_digest(photo) for _ in range(3)] == [content_key(b"one")] * 3
    assert len(reads) == 1


def test_a_photo_changed_within_two_seconds_is_hashed_each_time(tmp_path: Path, reads: list[int]) -> None:
    photo = tmp_path / "dial.jpg"
    photo.write_bytes(b"one")
    cache = Cache(tmp_path / "cache", SECRET, clock=lambda: photo.stat().st_mtime_ns + 1_900_000_000)
    assert [cache.file_digest(photo) for _ in range(3)] == [content_key(b"one")] * 3
    assert len(reads) == 3


def test_a_photo_dated_in_the_future_is_hashed_each_time(tmp_path: Path, reads: list[int]) -> None:
    photo = tmp_path / "dial.jpg"
    photo.write_bytes(b"one")
    os.utime(photo, (time.time() + 86_400,) * 2)
    cache = Cache(tmp_path / "cache", SECRET, clock=later)
    assert [cache.file_digest(photo) for _ in range(2)] == [content_key(b"one")] * 2
    assert len(reads) == 2


def test_another_photo_of_the_same_size_and_date_is_noticed(tmp_path: Path) -> None:
    photo = tmp_path / "dial.jpg"
    photo.write_bytes(b"one")
    os.utime(photo, ns=(10**18, 10**18))
    cache = Cache(tmp_path / "cache", SECRET, clock=later)
    assert cache.file_digest(photo) == content_key(b"one")
    time.sleep(0.02)  # longer than a tick of the kernel's clock
    photo.write_bytes(b"two")
    os.utime(photo, ns=(10**18, 10**18))
    assert cache.file_digest(photo) == content_key(b"two")


def test_a_damaged_memory_of_a_digest_is_not_believed(tmp_path: Path, reads: list[int]) -> None:
    photo = tmp_path / "dial.jpg"
    photo.write_bytes(b"one")
    cache = Cache(tmp_path / "cache", SECRET, clock=later)
    cache.file_digest(photo)
    (memory,) = entries(tmp_path / "cache")
    memory.write_bytes(memory.read_bytes().replace(content_key(b"one").encode(), b"0" * 64))
    assert cache.file_digest(photo) == content_key(b"one")
    assert len(reads) == 2


def test_what_only_claims_to_be_large_is_not_read(tmp_path: Path, reads: list[int]) -> None:
    """A file with a hole takes no room and was read for minutes, in each build, before it was refused for its size."""
    cache = Cache(tmp_path / "cache", SECRET, clock=later)
    (photo := tmp_path / "dial.jpg").touch()
    found = []
    for size in (MOST_HASHED + 1, MOST_HASHED + 1, MOST_HASHED + 2):
        os.truncate(photo, size)
        found.append(cache.file_digest(photo))
    assert found[0] == found[1] != found[2]
    assert reads == []
    cache.put("figures", Cache.key("a"), b"x")
    (entry,) = entries(tmp_path / "cache")
    os.truncate(entry, MOST_ENTRY + 1)
    assert cache.get("figures", Cache.key("a")) is None
    cache.put("figures", Cache.key("a"), b"x")
    assert cache.get("figures", Cache.key("a")) == b"x"


def test_what_is_no_readable_file_has_no_digest(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")  # reading it would wait for ever
    (tmp_path / "loop").symlink_to("loop")
    cache = kept_in(tmp_path / "cache")
    places = [tmp_path, tmp_path / "pipe", tmp_path / "loop", tmp_path / "none", Path("null\0"), Path("/dev/null")]
    assert [cache.file_digest(place) for place in places] == [None] * 6


# Pruning
def test_only_what_is_old_and_unused_goes(tmp_path: Path) -> None:
    cache = kept_in(tmp_path)
    old_used, old_unused, young_unused = (Cache.key(name) for name in ("a", "b", "c"))
    for key in (old_used, old_unused, young_unused):
        cache.put("figures", key, b"x")
    picture = cache.put_file("photos", b"picture", ".webp")
    for entry in entries(tmp_path):
        if entry.name != young_unused:
            os.utime(entry, (time.time() - 31 * 86_400,) * 2)
    assert cache.prune({old_used, content_key(b"picture")}, older_than_days=30) == 1
    assert cache.get("figures", old_used) == b"x"
    assert cache.get("figures", old_unused) is None
    assert cache.get("figures", young_unused) == b"x"
    assert picture is not None
    assert picture.exists()
    assert cache.prune({old_used}, older_than_days=30) == 1
    assert not picture.exists()


def test_pruning_touches_nothing_that_is_not_of_the_cache(tmp_path: Path) -> None:
    folder, elsewhere = tmp_path / "cache", tmp_path / "elsewhere"
    cache = kept_in(folder)
    cache.put("figures", KEY, b"x")
    elsewhere.mkdir()
    strangers = [folder / "notes.txt", folder / "figures" / "notes.txt", folder / "figures" / KEY[:2] / "a.jpg"]
    strangers.append(elsewhere / KEY)
    for stranger in strangers:
        stranger.write_text("mine")
    (folder / "linked").symlink_to(tmp_path)
    (folder / "figures" / "zz").symlink_to(elsewhere)
    cut_short = folder / "figures" / KEY[:2] / f"{KEY}.0123456789abcdef.part"
    cut_short.write_bytes(b"half")
    assert cache.prune([], older_than_days=-1) == 2
    assert not cut_short.exists()
    assert [stranger.read_text() for stranger in strangers] == ["mine"] * 4


def test_json_for_a_key_does_not_depend_on_the_order_of_writing() -> None:
    assert as_json({"b": 1, "a": "µF"}) == as_json({"a": "µF", "b": 1}) == '{"a":"µF","b":1}'.encode()


def test_the_cache_unpickles_nothing() -> None:
    import benchleaf.build.cache

    assert "pickle" not in Path(benchleaf.build.cache.__file__).read_text("utf-8")
