"""The file itself: a zip with fixed dates, written byte for byte the same, and read as what a stranger wrote.

A zip can be meant to do harm: names that lead elsewhere, links and devices, a few bytes that become gigabytes, entries
that lie over each other, a directory without end. So nothing is taken out of one before all of it is known: its
directory is bounded before it is read, each entry is an ordinary file of a portable name, and no more is unpacked of
any than it announces. What is no handed-on set is refused whole.
"""

from __future__ import annotations

import io
import stat
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import IO

from ...record.encoding import MAX_BYTES as MOST_TEXT
from ...record.problems import quoted
from .manifest import MANIFEST, RECORD, SET, Manifest, UnfitManifestError, read_manifest, sum_of
from .portable_names import twice, unfit_path

MOST_FILES = 400
MOST_BYTES = 200_000_000
"""Of the file, and of all that is in it."""
MOST_DATA = 30_000_000
"""Bytes of one file of data."""
MOST_PICTURE = 40_000_000
_MOST_DIRECTORY = 300_000
_MOST_TIMES = 300
"""How many times its size in the zip a file may have. A ``record.json`` has about ten."""
_ANY_TIMES = 100_000
"""Bytes that a file may have however often that is its size in the zip."""
_DAY = (1980, 1, 1, 0, 0, 0)
_END, _END_BYTES, _ZIP64 = b"PK\5\6", 22, b"PK\6\7"
_EXPECTED = "a file that “benchleaf pack” made"
PICTURES = (".jpg", ".jpeg", ".png", ".webp", ".gif")
_BROKEN = (zipfile.BadZipFile, zlib.error, EOFError, OSError, ValueError, KeyError, RuntimeError)
"""What ``zipfile`` raises at a broken file, a method of compression it lacks, and at one under a password."""


@dataclass(frozen=True)
class Pack:
    """A handed-on set: what is said of it, and its files by their path in the file, the manifest left out."""

    manifest: Manifest
    files: Mapping[str, bytes] = field(repr=False)

    @property
    def of_set(self) -> dict[str, bytes]:
        """The files of the set's folder by their path in it."""
        return {path.removeprefix(SET): data for path, data in self.files.items() if path.startswith(SET)}


class UnfitPackError(Exception):
    """Why a file is no handed-on set, or none that is taken in: what was found, and what was expected."""

    def __init__(self, found: str, expected: str = _EXPECTED) -> None:
        super().__init__(f"found {found}; expected {expected}")
        self.found = found


def written(pack: Pack) -> bytes:
    """The bytes of the file. The same pack gives the same bytes.

    Raises UnfitPackError where it would not be taken in again.
    """
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as zip_:
        for path, content in [(MANIFEST, pack.manifest.as_json()), *sorted(pack.files.items())]:
            entry = zipfile.ZipInfo(path, _DAY)
            entry.create_system = 3  # Unix, on every system: the file is the same wherever it is made
            entry.external_attr = (stat.S_IFREG | 0o644) << 16
            stored = path.casefold().endswith(PICTURES)
            zip_.writestr(entry, content, zipfile.ZIP_STORED if stored else zipfile.ZIP_DEFLATED, 9)
    data = made.getvalue()
    read_pack(io.BytesIO(data))
    return data


def read_pack(stream: IO[bytes]) -> Pack:
    """The set in a file that may hold anything at all. Raises UnfitPackError."""
    try:
        _bounded(stream)
        with zipfile.ZipFile(stream) as zip_:
            entries = [entry for entry in zip_.infolist() if not _is_folder(entry)]
            _looked_over(entries)
            files = dict(_unpacked(zip_, entries))
    except _BROKEN:
        raise UnfitPackError("a zip that is broken, or not of this kind") from None
    try:
        manifest = read_manifest(files.pop(MANIFEST))
    except UnfitManifestError as error:
        raise UnfitPackError(str(error)) from None
    _as_announced(manifest, files)
    return Pack(manifest, files)


def _bounded(stream: IO[bytes]) -> None:
    """Look at the end of the file, where the size of its directory stands, before anything reads that."""
    size = stream.seek(0, io.SEEK_END)
    if size > MOST_BYTES:
        raise UnfitPackError("a file too large", f"at most {MOST_BYTES // 1_000_000} MB")
    stream.seek(max(0, size - _END_BYTES - 20))
    before, end = (tail := stream.read())[:-_END_BYTES], tail[-_END_BYTES:]
    if not end.startswith(_END) or end[-2:] != b"\0\0":
        raise UnfitPackError("no zip, or one that was cut short or added to")
    count, directory = int.from_bytes(end[10:12], "little"), int.from_bytes(end[12:16], "little")
    if count > MOST_FILES or directory > _MOST_DIRECTORY or _ZIP64 in before:
        raise UnfitPackError(f"more than {MOST_FILES} files in it")
    stream.seek(0)


def _is_folder(entry: zipfile.ZipInfo) -> bool:
    """Whether an entry is a folder by itself, as some programs add them; one that is called as it should be."""
    return entry.filename.endswith("/") and not entry.file_size and not unfit_path(entry.filename[:-1])


def _looked_over(entries: list[zipfile.ZipInfo]) -> None:
    """Refuse what must not be unpacked, by what the directory says of it."""
    names = [entry.filename for entry in entries]
    if MANIFEST not in names:
        raise UnfitPackError(f"a zip without {MANIFEST}")
    for entry in entries:
        if told := unfit_path(entry.filename) or _unfit(entry):
            raise UnfitPackError(told, f"{_EXPECTED}; nothing of it was taken")
    if double := twice(names):
        raise UnfitPackError(f"{quoted(double, 60)} a second time, on some systems at least")
    if sum(entry.file_size for entry in entries) > MOST_BYTES:
        raise UnfitPackError("more than it may unpack to", f"at most {MOST_BYTES // 1_000_000} MB in all")


def _unfit(entry: zipfile.ZipInfo) -> str:
    name, kind = quoted(entry.filename, 60), stat.S_IFMT(entry.external_attr >> 16)
    if kind not in (0, stat.S_IFREG):
        return f"{name}, which is no ordinary file"
    if entry.flag_bits & 1:
        return f"{name} under a password"
    if entry.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        return f"{name} in an unusual compression"
    if entry.file_size > max(_ANY_TIMES, _MOST_TIMES * entry.compress_size) or entry.file_size > _most(entry.filename):
        return f"{name}, which unpacks to far more than such a file holds"
    return ""


def _most(path: str) -> int:
    """Bytes that a file may have, by its path."""
    if path.startswith(SET) and path.casefold().endswith(PICTURES):
        return MOST_PICTURE
    return MOST_TEXT if path.startswith(SET) else MOST_DATA


def _unpacked(zip_: zipfile.ZipFile, entries: list[zipfile.ZipInfo]) -> Iterator[tuple[str, bytes]]:
    for entry in entries:
        with zip_.open(entry) as stream:
            content = stream.read(entry.file_size + 1)
        if len(content) != entry.file_size:
            raise UnfitPackError(f"{quoted(entry.filename, 60)} of another size than it says")
        yield entry.filename, content


def _as_announced(manifest: Manifest, files: Mapping[str, bytes]) -> None:
    if f"{SET}{RECORD}" not in files:
        raise UnfitPackError(f"a set without its {RECORD}")
    if files.keys() != manifest.files.keys():
        odd = min(files.keys() ^ manifest.files.keys())
        raise UnfitPackError(f"{quoted(odd, 60)}, which is not both in the file and in its list")
    changed = next((path for path, content in files.items() if sum_of(content) != manifest.files[path]), None)
    if changed is not None:
        raise UnfitPackError(f"{quoted(changed, 60)}, which was changed after the set was packed")
