"""A handed-on set taken in: whatever the file may be, all of a set is written or nothing, and nothing elsewhere."""

from __future__ import annotations

import io
import json
import os
import random
import stat
import warnings
import zipfile
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

from benchleaf.build.packed import container
from benchleaf.build.packed.container import Pack, UnfitPackError, read_pack, written
from benchleaf.build.packed.manifest import MANIFEST, Manifest, sum_of
from benchleaf.build.packed.portable_names import twice, unfit_path
from benchleaf.build.packed.unpacking import NotPutError, put_set
from benchleaf.cli import main
from photographs import quarters
from sites import SMALL_RECORD


def _jpeg() -> bytes:
    made = io.BytesIO()
    quarters().save(made, "JPEG")
    return made.getvalue()


FILES = {
    "set/record.yml": f"{SMALL_RECORD}photos:\n  dial: photos/dial.jpg\n".encode(),
    "set/story.md": b"How it went.\n",
    "set/photos/dial.jpg": _jpeg(),
    "data/record.json": b'{"format": "benchleaf-record"}\n',
}
Change = Callable[[zipfile.ZipFile], None]


def manifest(of: Mapping[str, bytes], **changed: Any) -> bytes:
    sums = {path: sum_of(data) for path, data in of.items()}
    said = Manifest("trial", "a", "b", "american", "", "", False, {}, sums)
    return json.dumps({**json.loads(said.as_json()), **changed}).encode()


def zipped(
    of: Mapping[str, bytes], *, list_all: bool = True, said: bytes = b"", change: Change | None = None, **changed: Any
) -> bytes:
    """A file as ``pack`` makes it, of any files, with anything said of them; ``change`` adds entries as it likes."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as zip_:
        zip_.writestr(MANIFEST, said or manifest(of if list_all else FILES, **changed))
        for path, data in of.items():
            zip_.writestr(path, data, zipfile.ZIP_STORED if data == FILES["set/story.md"] else None)
        if change:
            change(zip_)
    return made.getvalue()


def entry(path: str, data: bytes = b"x", mode: int = stat.S_IFREG | 0o644, **more: Any) -> Change:
    def change(zip_: zipfile.ZipFile) -> None:
        info = zipfile.ZipInfo(path)
        info.create_system, info.external_attr = 3, mode << 16
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of a name a second time, which is meant
            zip_.writestr(info, data, **more)

    return change


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    (home := tmp_path / "home").mkdir()
    monkeypatch.chdir(home)
    return home


def on_disk(folder: Path) -> list[str]:
    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*"))


def test_a_set_is_put_into_its_folder(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    Path("given.zip").write_bytes(zipped(FILES))
    assert main(["unpack", "given.zip"]) == 0
    told = capsys.readouterr()
    assert (told.out, told.err.splitlines()[0]) == ("", "trial: written, 3 files")
    assert on_disk(here / "trial") == ["photos", "photos/dial.jpg", "record.yml", "story.md"]
    assert (here / "trial/record.yml").stat().st_mode & 0o777 == 0o666 & ~_umask()
    assert main(["unpack", "given.zip"]) == 2
    assert (
        capsys.readouterr().err == "trial: is there already; nothing was changed; write “--into” and another folder\n"
    )
    assert main(["unpack", "given.zip", "--into", "sets/other"]) == 0
    assert (here / "sets/other/record.yml").read_bytes() == FILES["set/record.yml"]
    for way in (Path.mkdir, Path.touch, lambda path: path.symlink_to("nowhere")):
        way(there := here / "there")
        assert main(["unpack", "given.zip", "--into", "there"]) == 2
        there.rmdir() if there.is_dir() else there.unlink()
    assert [name for name in os.listdir(here) if name.startswith(".")] == []


def _umask() -> int:
    os.umask(now := os.umask(0))
    return now


def test_a_set_comes_among_those_of_the_site(here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    Path("radios").mkdir()
    Path("mkdocs.yml").write_text("site_name: a\nplugins:\n  - benchleaf:\n      sets: ../radios\n")
    Path("given.zip").write_bytes(zipped(FILES))
    assert main(["unpack", "given.zip"]) == 0
    assert (here / "radios/trial/record.yml").exists()
    (here / "radios/member").mkdir()
    monkeypatch.chdir(here / "radios/member")
    assert main(["unpack", "../../given.zip"]) == 0
    assert (here / "radios/member/trial/record.yml").exists()


def test_a_slip_in_it_is_told_where_it_lies(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    Path("given.zip").write_bytes(zipped({"set/record.yml": b"maker: a\nmodel: b\nyeer: 1\n"}))
    assert main(["unpack", "given.zip"]) == 1
    assert "trial/record.yml:3:1: yeer: found the unknown name “yeer”" in capsys.readouterr().err
    assert Path("trial/record.yml").exists()


BOMB = {**FILES, "set/readings.csv": b"0" * 900_000}
HOSTILE: dict[str, bytes] = {
    "no zip": b"maker: a\nmodel: b\n",
    "nothing": b"",
    "cut short": zipped(FILES)[:-30],
    "added to": zipped(FILES) + b"more",
    "broken inside": zipped(FILES).replace(b"How it went", b"How it sent", 1),
    "another zip": zipped(FILES).replace(MANIFEST.encode(), b"benchleaf-sit.json"),
    "no json": zipped(FILES, said=b'["format"'),
    "json without end": zipped(FILES, said=b"[" * 100_000),
    "a number for it": zipped(FILES, said=b"7"),
    "another format": zipped(FILES, format="benchleaf-record"),
    "a later version": zipped(FILES, version=2),
    "a version that is no number": zipped(FILES, version=True),
    "a name that leads out": zipped(FILES, name="../trial"),
    "a name that is a number": zipped(FILES, name=7),
    "no name": zipped(FILES, name=""),
    "a hidden name": zipped(FILES, name=".git"),
    "a device for a name": zipped(FILES, name="NUL"),
    "the tube table of all sets": zipped({**FILES, "set/types.csv": b"type\n"}, name="tube-table"),
    "the tube table in capitals": zipped(FILES, name="Tube-Table"),
    "the words of all sets": zipped(FILES, name="words.csv"),
    "the drawer of all sets": zipped(FILES, name="stock.csv"),
    "a record for a folder": zipped(FILES, name="record.yml"),
    "no list": zipped(FILES, files=None),
    "a dialect of its own": zipped(FILES, dialect="pirate"),
    "no record": zipped({"set/story.md": b"a\n"}),
    "a record changed since": zipped({**FILES, "set/record.yml": b"maker: c\n"}, list_all=False),
    "a file that is not listed": zipped({**FILES, "set/readings.csv": b"x"}, list_all=False),
    "a file that is listed only": zipped({}, list_all=False),
    "the way out": zipped({**FILES, "set/../../out.csv": b"x"}),
    "a path from the top": zipped({**FILES, "/set/out.csv": b"x"}),
    "a drive": zipped({**FILES, "C:/out.csv": b"x"}),
    "a backslash": zipped({**FILES, "set/..\\out.csv": b"x"}),
    "a device": zipped({**FILES, "set/con.csv": b"x"}),
    "a device in a folder": zipped({**FILES, "set/com1.x/a.csv": b"x"}),
    "a point at the end": zipped({**FILES, "set/a.csv.": b"x"}),
    "a hidden file": zipped({**FILES, "set/.htaccess": b"x"}),
    "a name without end": zipped({**FILES, f"set/{'a' * 150}.csv": b"x"}),
    "a path without end": zipped({**FILES, f"set/{'a/' * 30}b.csv": b"x"}),
    "a sign that turns text": zipped({**FILES, "set/a\u202ecsv.md": b"x"}),
    "capitals alone": zipped({**FILES, "set/Record.yml": b"x"}),
    "one letter in two ways": zipped({**FILES, "set/\xe9.csv": b"x", "set/e\u0301.csv": b"x"}),
    "a file that is a folder too": zipped({**FILES, "set/a.csv": b"x", "set/a.csv/b.csv": b"x"}),
    "a link": zipped(FILES, change=entry("set/a.csv", b"/etc/passwd", stat.S_IFLNK | 0o777)),
    "a device file": zipped(FILES, change=entry("set/a.csv", b"", stat.S_IFCHR | 0o666)),
    "a pipe": zipped(FILES, change=entry("set/a.csv", b"", stat.S_IFIFO | 0o666)),
    "the record twice": zipped(FILES, change=entry("set/record.yml")),
    "a bomb": zipped(BOMB),
    "too large a text": zipped({**FILES, "set/readings.csv": random.Random(1).randbytes(1_100_000)}),
    "many files": zipped({**FILES, **{f"set/{n}.csv": b"x" for n in range(500)}}),
    "a program": zipped({**FILES, "set/setup.exe": b"MZ"}),
    "a page": zipped({**FILES, "set/index.html": b"<p>"}),
    "a zip in it": zipped({**FILES, "set/story-2.md": zipped(FILES)}),
    "a zip for a picture": zipped({**FILES, "set/photos/a.jpg": zipped(FILES)}),
    "a picture for a story": zipped({**FILES, "set/story.md": FILES["set/photos/dial.jpg"]}),
    "a drawing": zipped({**FILES, "set/photos/a.png": b"<svg xmlns='http://www.w3.org/2000/svg'/>"}),
    "another compression": zipped(FILES, change=entry("set/a.csv", b"x" * 100, compress_type=zipfile.ZIP_LZMA)),
    "a password": zipped(FILES).replace(b"PK\1\2\x14\x03\x14\0\0\0", b"PK\1\2\x14\x03\x14\0\1\0", 1),
}  # fmt: skip


@pytest.mark.parametrize("kind", HOSTILE)
def test_what_is_no_set_leaves_nothing_behind(kind: str, here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    Path("given.zip").write_bytes(HOSTILE[kind])
    assert main(["unpack", "given.zip"]) == 1
    told = capsys.readouterr()
    assert told.out == ""
    assert len(told.err.splitlines()) == 1
    assert told.err.startswith("given.zip: found ")
    assert told.err.endswith("; nothing was written\n")
    assert on_disk(here.parent) == ["home", "home/given.zip"]
    assert main(["start-from", "given.zip", "another"]) == 1
    assert on_disk(here.parent) == ["home", "home/given.zip"]


def test_a_directory_without_end_is_not_read(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = bytearray(zipped(FILES))
    monkeypatch.setattr(zipfile, "ZipFile", None)
    for place, count in ((10, b"\xff\xff"), (12, b"\xff\xff\xff\x7f")):
        large = bytes(whole[: len(whole) - 22 + place]) + count + bytes(whole[len(whole) - 22 + place + len(count) :])
        with pytest.raises(UnfitPackError, match="more than 400 files"):
            read_pack(io.BytesIO(large))


def test_a_file_that_the_disk_does_not_give_is_told() -> None:
    class Torn(io.BytesIO):
        def read(self, size: int | None = -1) -> bytes:
            raise OSError(5, "Input/output error")

    with pytest.raises(UnfitPackError, match="found a zip that is broken"):
        read_pack(Torn(zipped(FILES)))


def test_any_byte_may_be_wrong() -> None:
    whole, chance = zipped(FILES), random.Random(3)
    for _ in range(300):
        spoiled = bytearray(whole)
        for _ in range(chance.choice((1, 1, 3, 20))):
            spoiled[chance.randrange(len(whole))] = chance.randrange(256)
        try:
            pack = read_pack(io.BytesIO(bytes(spoiled)))
        except UnfitPackError:
            continue
        assert all(FILES[path] == data for path, data in pack.files.items())


def test_more_than_fits_is_never_unpacked(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(container, "MOST_BYTES", 900)
    with pytest.raises(UnfitPackError, match="found a file too large"):
        read_pack(io.BytesIO(zipped(FILES)))
    small = {"set/record.yml": b"a" * 800, "set/a.csv": b"a" * 800}
    with pytest.raises(UnfitPackError, match="more than it may unpack to"):
        read_pack(io.BytesIO(zipped(small)))


def test_folders_that_other_programs_put_in_are_passed_over() -> None:
    assert read_pack(io.BytesIO(zipped(FILES, change=entry("set/photos/", b"", stat.S_IFDIR | 0o755)))).files == FILES


def test_what_was_made_is_read_before_it_is_handed_on() -> None:
    with pytest.raises(UnfitPackError, match="device on Windows"):
        written(Pack(Manifest("a", "b", "c", "american", "", "", False, {}, {}), {"set/nul.csv": b""}))


def test_a_set_that_cannot_be_written_leaves_nothing(here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(NotPutError, match="cannot be written"):
        put_set({"a" * 300: b""}, here / "trial")
    opened = Path.open

    def full(path: Path, *how: Any) -> Any:
        if path.name == "story.md":
            raise OSError(28, "No space left on device")
        return opened(path, *how)

    monkeypatch.setattr(Path, "open", full)
    with pytest.raises(NotPutError, match=r"trial: cannot be written: No space left on device; nothing was changed"):
        put_set({"record.yml": b"", "story.md": b""}, here / "trial")
    assert on_disk(here) == []


@pytest.mark.parametrize("fit", ["record.yml", "photos/Ä 1.jpg", "a/b/c.csv", "console.csv", "nul1.csv", "com.csv"])
def test_names_that_every_system_holds(fit: str) -> None:
    assert unfit_path(fit) == ""


UNFIT = ["", "a//b", "a/", "/a", "./a", "a/..", "a:b", "a?", 'a"', "a|b", "a*", "<a", "LPT9.txt", "aux", "Con .x"]
UNFIT += ["com¹.csv", "a\nb", "a\0", "a\u200bb", " a", "a ", "...", "\ud800"]


@pytest.mark.parametrize("unfit", UNFIT)
def test_names_that_some_system_does_not_hold(unfit: str) -> None:
    assert unfit_path(unfit) != ""


def test_names_that_are_one_on_some_system() -> None:
    assert twice(["a/b", "a/c", "b"]) == ""
    assert (twice(["a/b", "A/B"]), twice(["a", "a/b"]), twice(["a/b", "A"])) == ("A/B", "a/b", "A")
    assert (twice(["ß", "SS"]), twice(["ﬁ.csv", "fi.csv"])) == ("SS", "fi.csv")


def test_a_file_that_is_not_there_or_no_file(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    os.mkfifo("pipe.zip")
    Path("folder.zip").mkdir()
    for name, found in (
        ("no.zip", "no such file"),
        ("pipe.zip", "something that is no ordinary file"),
        ("folder.zip", "a folder"),
    ):
        assert main(["unpack", name]) == 2
        assert capsys.readouterr().err == f"{name}: found {found}; expected a file that “benchleaf pack” made\n"
