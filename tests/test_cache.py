"""The cache: what was put is got, damaged entries are missing, links are not followed."""

from __future__ import annotations

import hashlib
import os
import shutil
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.build.cache import Cache, content_key
from benchleaf.build.fingerprint import LIBRARIES, versions
from caches import KEY, entries
from sites import SECRET, kept_in
from tools.lowest_versions import lowest


def test_the_fingerprint_knows_every_library_that_shapes_a_page(monkeypatch: pytest.MonkeyPatch) -> None:
    """All that the package asks for but the generator and its theme, where the key lies, and what only commands use."""
    asked = {line.partition("==")[0] for line in lowest()}
    assert asked - {"mkdocs", "mkdocs-material", "platformdirs", "shtab", "packaging", "pathspec"} <= set(LIBRARIES)
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
