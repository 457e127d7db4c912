"""A cache that is read only, full, or shared by processes."""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path

import pytest

from benchleaf.build.cache import Cache, content_key
from caches import KEY, entries, later
from sites import SECRET, kept_in

READ_ONLY = """
import os, sys
from pathlib import Path
from benchleaf.build.cache import Cache
folder, key, other = Path(sys.argv[1]), sys.argv[2], sys.argv[3]
if os.geteuid() == 0:
    os.setgid(65534)
    os.setuid(65534)
assert not os.access(folder, os.W_OK)
cache = Cache(folder, bytes.fromhex(sys.argv[4]))
cache.put("figures", other, b"x")
print(cache.get("figures", key), cache.get("figures", other), cache.put_file("photos", b"x", ".jpg"),
      cache.prune([], -1))
"""


def test_a_read_only_cache_is_read_and_not_written() -> None:
    # Not in tmp_path: its parents are closed to other users, and root may write anywhere, so another user it is.
    folder = Path(os.path.realpath(subprocess.check_output(["mktemp", "-d"], text=True).strip()))
    try:
        cache = kept_in(folder)
        cache.put("figures", KEY, b"kept")
        for place in [folder, *folder.rglob("*")]:
            place.chmod(0o555 if place.is_dir() else 0o444)
        argv = [sys.executable, "-c", READ_ONLY, str(folder), KEY, Cache.key("other"), SECRET.hex()]
        seen = subprocess.run(argv, capture_output=True, text=True, check=False)
        assert (seen.stdout, seen.stderr) == ("b'kept' None None 0\n", "")
    finally:
        for place in [folder, *(p for p in folder.rglob("*") if p.is_dir())]:
            place.chmod(0o755)
        shutil.rmtree(folder)


# Writing
def test_a_write_that_fails_leaves_neither_half_an_entry_nor_rubbish(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    cache = kept_in(tmp_path)
    cache.put("figures", KEY, b"old")
    with monkeypatch.context() as patch:
        patch.setattr(os, "replace", full)
        cache.put("figures", KEY, b"new")
    assert cache.get("figures", KEY) == b"old"
    assert len(entries(tmp_path)) == 1


def write_and_read(folder: Path, writer: int) -> int:
    """How often what was read was neither missing nor whole."""
    cache, torn = kept_in(folder), 0
    for turn in range(60):
        key = Cache.key(str(turn % 3))
        cache.put("figures", key, bytes([writer]) * 50_000)
        read = cache.get("figures", key)
        torn += read is None or len(read) != 50_000 or len(set(read)) != 1
        place = cache.put_file("photos", b"%d" % (turn % 3) * 50_000, ".jpg")
        torn += place is None or cache.path("photos", content_key(b"%d" % (turn % 3) * 50_000), ".jpg") != place
    return torn


def test_four_processes_writing_the_same_entries_never_show_half_of_one(tmp_path: Path) -> None:
    with ProcessPoolExecutor(4, mp_context=get_context("spawn")) as pool:
        torn = list(pool.map(write_and_read, [tmp_path] * 4, range(4)))
    assert torn == [0, 0, 0, 0]
    assert not list(tmp_path.rglob("*.part"))


def test_files_may_be_read_by_everybody_the_umask_lets(tmp_path: Path) -> None:
    # A published picture is copied with its permissions by some generators: 0600 would be unreadable to the server.
    umask = os.umask(0o022)
    try:
        place = kept_in(tmp_path).put_file("photos", b"x", ".jpg")
    finally:
        os.umask(umask)
    assert place is not None
    assert place.stat().st_mode & 0o777 == 0o644


@pytest.mark.handbook
def test_backups_and_git_leave_the_folder_alone(tmp_path: Path) -> None:
    # The signature is that of the Cache Directory Tagging Specification, section 1: MD5 of ".IsCacheDirectory".
    kept_in(tmp_path / "cache").put("figures", KEY, b"x")
    signature = "Signature: " + hashlib.md5(b".IsCacheDirectory", usedforsecurity=False).hexdigest()
    assert (tmp_path / "cache" / "CACHEDIR.TAG").read_text("ascii").startswith(signature)
    assert (tmp_path / "cache" / ".gitignore").read_text("ascii") == "*\n"


# Files for a site generator
def test_a_file_holds_nothing_but_its_content(tmp_path: Path) -> None:
    cache = kept_in(tmp_path)
    place = cache.put_file("photos", b"RIFF", ".webp")
    assert place is not None
    assert place.read_bytes() == b"RIFF"
    assert cache.path("photos", content_key(b"RIFF"), ".webp") == place


@pytest.mark.parametrize("damaged", [b"", b"RIF", b"RIFG", b"RIFFF"])
def test_a_damaged_file_is_missing_and_made_again(tmp_path: Path, damaged: bytes) -> None:
    cache = Cache(tmp_path, SECRET, clock=later)
    place = cache.put_file("photos", b"RIFF", ".webp")
    assert place is not None
    assert cache.path("photos", content_key(b"RIFF"), ".webp") == place
    place.write_bytes(damaged)
    assert cache.path("photos", content_key(b"RIFF"), ".webp") is None
    cache.put_file("photos", b"RIFF", ".webp")
    assert cache.path("photos", content_key(b"RIFF"), ".webp") == place
