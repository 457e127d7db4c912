"""The store of things made once. Expected values are common practice, no source, unless a comment names one."""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.build.cache import Cache, as_json, content_key
from benchleaf.build.fingerprint import LIBRARIES, versions
from sites import SECRET, kept_in
from tools.lowest_versions import lowest

KEY = Cache.key("sheet", "1")
SOON = 3_000_000_000  # nanoseconds: past the two seconds in which a time stamp is not trusted


def later(nanoseconds: int = SOON) -> int:
    return time.time_ns() + nanoseconds


def entries(folder: Path) -> list[Path]:
    return sorted(p for p in folder.rglob("*") if p.is_file() and p.parent != folder)


def test_the_fingerprint_knows_every_library_that_shapes_a_page(monkeypatch: pytest.MonkeyPatch) -> None:
    """All that the package asks for but the generator and its theme, where the key lies, and what only commands use."""
    asked = {line.partition("==")[0] for line in lowest()}
    assert asked - {"mkdocs", "mkdocs-material", "platformdirs", "shtab", "packaging"} <= set(LIBRARIES)
    assert [line.partition(" ")[0] for line in versions()[1:]] == list(LIBRARIES)
    monkeypatch.setattr("importlib.metadata.version", lambda name: "0")
    assert versions()[1:] == [f"{library} 0" for library in LIBRARIES]


def test_what_was_put_is_got(tmp_path: Path) -> None:
    cache = kept_in(tmp_path / "cache")
    cache.put("figures", KEY, b"<svg/>\n\0")
    assert cache.get("figures", KEY) == b"<svg/>\n\0"
    assert cache.get("findings", KEY) is None
    assert cache.get("figures", Cache.key("sheet", "2")) is None


def test_an_empty_entry_is_an_entry(tmp_path: Path) -> None:
    cache = kept_in(tmp_path)
    cache.put("figures", KEY, b"")
    assert cache.get("figures", KEY) == b""


parts = st.lists(st.one_of(st.text(), st.binary()), max_size=5)


@given(parts, parts)
def test_keys_are_equal_only_for_equal_parts(one: list[bytes | str], other: list[bytes | str]) -> None:
    same = [(type(part), part) for part in one] == [(type(part), part) for part in other]
    assert (Cache.key(*one) == Cache.key(*other)) is same


def test_parts_of_a_key_do_not_run_together() -> None:
    keys = {Cache.key("ab", "c"), Cache.key("a", "bc"), Cache.key("abc"), Cache.key(b"abc"), Cache.key("abc", "")}
    assert len(keys) == 5


@pytest.mark.handbook
def test_a_file_is_named_by_blake2b_of_its_content(tmp_path: Path) -> None:
    # BLAKE2b-256 of nothing, as in the reference implementation's test vectors (keyless, 32 bytes).
    nothing = "0e5751c026e543b2e8ab2eb06099daa1d1e5df47778f7787faab45cdf12fe3a8"
    place = kept_in(tmp_path).put_file("photos", b"", ".jpg")
    assert place is not None
    assert place.name == f"{nothing}.jpg"


@pytest.mark.parametrize(
    "damage",
    [
        lambda content: content[:-1],
        lambda content: content[: len(content) // 2],
        lambda content: b"",
        lambda content: content + b"x",
        lambda content: content.replace(b"nominal", b"Nominal"),
        lambda content: b"\xff" * 100,
        lambda content: content.partition(b"\n")[2],
        lambda content: content.replace(b"cache-2", b"cache-1"),
    ],
)
def test_a_damaged_entry_is_missing_and_made_again(tmp_path: Path, damage: object) -> None:
    cache = kept_in(tmp_path)
    cache.put("findings", KEY, b'{"line": "nominal"}')
    (entry,) = entries(tmp_path)
    entry.write_bytes(damage(entry.read_bytes()))  # type: ignore[operator]
    assert cache.get("findings", KEY) is None
    cache.put("findings", KEY, b"again")
    assert cache.get("findings", KEY) == b"again"


def test_an_entry_copied_under_another_name_is_missing(tmp_path: Path) -> None:
    cache = kept_in(tmp_path)
    other = Cache.key("sheet", "2")
    cache.put("findings", KEY, b"of one set")
    (entry,) = entries(tmp_path)
    foreign = tmp_path / "findings" / other[:2] / other
    foreign.parent.mkdir(exist_ok=True)
    shutil.copy(entry, foreign)
    assert cache.get("findings", KEY) == b"of one set"
    assert cache.get("findings", other) is None


@pytest.mark.parametrize("kind", ["", "../up", "Figures", "a/b", "fig\n"])
def test_a_kind_that_would_leave_the_folder_is_a_mistake_of_the_program(tmp_path: Path, kind: str) -> None:
    with pytest.raises(ValueError, match="not a kind"):
        kept_in(tmp_path).get(kind, KEY)


@pytest.mark.parametrize("key", ["", "..", "../../etc/passwd", "A" * 64, "0" * 63, "0" * 64 + "\n"])
def test_a_key_that_is_none_is_a_mistake_of_the_program(tmp_path: Path, key: str) -> None:
    with pytest.raises(ValueError, match="not a kind"):
        kept_in(tmp_path).put("figures", key, b"")


# What came from elsewhere


def test_what_another_key_made_is_missing_and_made_again(tmp_path: Path) -> None:
    ours, theirs = kept_in(tmp_path), kept_in(tmp_path, b"another user's")
    theirs.put("figures", KEY, b"<script>")
    assert theirs.get("figures", KEY) == b"<script>"
    assert ours.get("figures", KEY) is None
    ours.put("figures", KEY, b"<svg/>")
    assert ours.get("figures", KEY) == b"<svg/>"


def test_an_entry_is_known_by_a_keyed_hash(tmp_path: Path) -> None:
    # BLAKE2b with a key, RFC 7693: kind, key and content go in, so that none can be exchanged.
    kept_in(tmp_path).put("figures", KEY, b"x")
    (entry,) = entries(tmp_path)
    head = entry.read_bytes().partition(b"\n")[0].split(b" ")
    keyed = hashlib.blake2b(b"figures/" + KEY.encode() + b"/x", digest_size=32, key=SECRET)
    assert head == [b"benchleaf-cache-2", keyed.hexdigest().encode()]


def test_without_a_key_nothing_is_kept_and_nothing_touched(tmp_path: Path) -> None:
    kept_in(tmp_path / "cache").put("figures", KEY, b"x")
    cache = Cache(tmp_path / "cache")
    assert cache.get("figures", KEY) is None
    cache.put("figures", Cache.key("other"), b"x")
    assert cache.put_file("photos", b"x", ".jpg") is None
    assert cache.prune([], -1) == 0
    assert len(entries(tmp_path / "cache")) == 1


def planted(tmp_path: Path, part: str) -> tuple[Path, Path]:
    """A cache with one entry and one file, one part of it replaced by a link; the folder, and where the link leads."""
    folder, outside = tmp_path / "project" / ".cache" / "benchleaf", tmp_path / "outside"
    kept_in(folder).put("figures", KEY, b"x")
    kept_in(folder).put_file("photos", b"RIFF", ".webp")
    shelf = folder / "figures" / KEY[:2]
    place = {".cache": folder.parent, "folder": folder, "kind": shelf.parent, "shelf": shelf}[part]
    place.rename(outside)
    place.symlink_to(outside)
    return folder, outside


@pytest.mark.parametrize("part", [".cache", "folder", "kind", "shelf"])
def test_a_link_in_place_of_a_folder_is_followed_neither_for_reading_nor_for_writing(tmp_path: Path, part: str) -> None:
    folder, outside = planted(tmp_path, part)
    before = {p: p.read_bytes() for p in outside.rglob("*") if p.is_file()}
    cache = kept_in(folder)
    assert cache.get("figures", KEY) is None
    cache.put("figures", KEY, b"new")
    assert cache.get("figures", KEY) is None
    assert cache.prune([], -1) == (0 if part in (".cache", "folder") else 1)  # the photo, where it is no link's
    assert {p: p.read_bytes() for p in outside.rglob("*") if p.is_file()} == before


def test_a_link_to_an_empty_place_is_not_made_a_folder(tmp_path: Path) -> None:
    for name in (".cache", "project"):
        (tmp_path / name).mkdir()
    (tmp_path / "project" / ".cache").symlink_to(tmp_path / "nowhere")
    (tmp_path / ".cache" / "benchleaf").symlink_to(tmp_path / "nowhere")
    for folder in (tmp_path / "project" / ".cache" / "benchleaf", tmp_path / ".cache" / "benchleaf"):
        kept_in(folder).put("figures", KEY, b"x")
        assert kept_in(folder).put_file("photos", b"x", ".jpg") is None
    assert not (tmp_path / "nowhere").exists()


@pytest.mark.parametrize("name", ["CACHEDIR.TAG", ".gitignore"])
def test_a_mark_of_the_folder_is_not_written_through_a_link(tmp_path: Path, name: str) -> None:
    (tmp_path / "cache").mkdir()
    (tmp_path / "cache" / name).symlink_to(tmp_path / "outside")
    cache = kept_in(tmp_path / "cache")
    cache.put("figures", KEY, b"x")
    assert cache.get("figures", KEY) == b"x"
    assert not (tmp_path / "outside").exists()


@pytest.mark.parametrize("how", ["link", "hard link", "pipe", "folder"])
def test_an_entry_that_is_no_ordinary_file_is_missing_and_made_again(tmp_path: Path, how: str) -> None:
    cache = kept_in(tmp_path / "cache")
    cache.put("figures", KEY, b"x")
    place, photo = *entries(tmp_path / "cache"), cache.put_file("photos", b"RIFF", ".webp")
    assert photo is not None
    for entry in (place, photo):
        outside = tmp_path / entry.name
        entry.rename(outside)
        if how == "link":
            entry.symlink_to(outside)
        elif how == "hard link":
            entry.hardlink_to(outside)
        elif how == "pipe":
            os.mkfifo(entry)
        else:
            entry.mkdir()
    before = (tmp_path / place.name).read_bytes()
    assert cache.get("figures", KEY) is None
    assert cache.path("photos", content_key(b"RIFF"), ".webp") is None
    cache.put("figures", KEY, b"new")
    cache.put_file("photos", b"RIFF", ".webp")
    assert (cache.get("figures", KEY) == b"new") is (how != "folder")
    assert (cache.path("photos", content_key(b"RIFF"), ".webp") == photo) is (how != "folder")
    assert (tmp_path / place.name).read_bytes() == before


def test_a_file_is_found_by_its_name_and_by_nothing_else(tmp_path: Path) -> None:
    cache = kept_in(tmp_path / "cache")
    place = cache.put_file("photos", b"RIFF", ".webp")
    assert place is not None
    name = cache.name(place)
    assert name == f"photos/{content_key(b'RIFF')}.webp"
    assert cache.file(name) == place
    (tmp_path / "secret").write_bytes(b"RIFF")
    for other in (tmp_path / "secret", place.parent, Path("/etc/hostname"), tmp_path / "photos" / "ab" / place.name):
        assert cache.name(other) is None
    for other_name in ("", str(place), "../" + name, name + "/", name.upper(), "photos/../" + name, "figures/" + KEY):
        assert cache.file(other_name) is None


# Without a cache


def unusable(tmp_path: Path) -> list[Path]:
    """A file where the folder should be; a folder that cannot be made; a name no disk can hold."""
    (tmp_path / "file").write_bytes(b"")
    return [tmp_path / "file", tmp_path / "file" / "below", tmp_path / ("x" * 300), tmp_path / "null\0byte"]


def test_without_a_folder_nothing_is_kept_and_nothing_fails(tmp_path: Path) -> None:
    source = tmp_path / "source"
    source.write_bytes(b"photo")
    for folder in [None, *unusable(tmp_path)]:
        cache = kept_in(folder)
        cache.put("figures", KEY, b"x")
        assert cache.get("figures", KEY) is None
        assert cache.put_file("photos", b"x", ".jpg") is None
        assert cache.path("photos", KEY, ".jpg") is None
        assert cache.file_digest(source) == content_key(b"photo")
        assert cache.prune([], 0) == 0


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
