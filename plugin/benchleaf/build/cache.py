"""A content-addressed store: what was made once from the same things by the same version is not made again.

Two shapes of entry lie in it.

*Entries* (`put`, `get`) are bytes of ours, text or JSON. A line with a keyed checksum over kind, key and content stands
before them, so that an entry that was cut short, damaged, copied under another name, or made by anyone who has not this
user's key reads as missing.

*Files* (`put_file`, `path`) are copied from disk by a site generator and must therefore hold nothing but their own
content. Such a file is named after the hash of that content. A second file with the checksum beside it could fall out
of step with it (two writers, one half of a copied cache); a name cannot, and like pictures are stored once. Whoever
asks for a file has its hash from an entry.

A cache may come with a project, so no link in it is followed: not for reading, and above all not for writing.

Nothing here raises because of a disk: a folder that is missing, full or read-only works as no cache at all.
"""

from __future__ import annotations

import contextlib
import hashlib
import hmac
import json
import os
import re
import secrets
import time
from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from ..record.plain_files import is_plain_folder, plain_file

_FORM = b"benchleaf-cache-2"
_KIND = re.compile(r"[a-z][a-z0-9-]{0,39}")
_KEY = re.compile(r"[0-9a-f]{64}")
_SUFFIX = re.compile(r"(\.[a-z0-9]{1,8})?")
_STORED = re.compile(r"([0-9a-f]{64})(?:\.[a-z0-9]{1,8})?")
_NAME = re.compile(r"([a-z][a-z0-9-]{0,39})/([0-9a-f]{64})((?:\.[a-z0-9]{1,8})?)")
_UNFINISHED = ".part"
_DIGESTS = "digests"
_RACY_NS = 2_000_000_000
"""A file changed this shortly before it was hashed may change again without its time stamp showing it: file systems
keep times in steps of up to two seconds (FAT). The same rule as git's for its index."""

MOST_ENTRY = 256_000_000
"""Bytes of an entry: a page has less than a megabyte, the pages across archives a few hundred. What is larger was not
written here, or is made each time."""
MOST_HASHED = 100_000_000
"""Bytes of a file that is hashed: none that is read is so large, and a few bytes of disk may claim to be terabytes."""

_TAG = "Signature: 8a477f597d28d172789f06886806bc55\n# A cache of benchleaf; it may be deleted at any time.\n"


def key(*parts: bytes | str) -> str:
    """The key of what is made from `parts`: 64 hexadecimal digits.

    Give everything the result depends on, the version of what makes it included. Each part goes in with its kind and
    length, so that ("ab", "c") and ("a", "bc"), or "1" and b"1", are different keys.
    """
    total = hashlib.blake2b(digest_size=32)
    for part in parts:
        mark, content = (b"s", part.encode("utf-8", "surrogatepass")) if isinstance(part, str) else (b"b", part)
        total.update(b"%s%d:" % (mark, len(content)))
        total.update(content)
    return total.hexdigest()


def content_key(content: bytes) -> str:
    """The hash of one file's content, as `Cache.file_digest` gives it and `Cache.put_file` names files by it."""
    return hashlib.blake2b(content, digest_size=32).hexdigest()


@dataclass(frozen=True)
class Cache:
    """A store under `folder`, or none at all: without a folder or a `secret` nothing is kept, everything is missing.

    Holds no state of its own: it can be sent to another process, and any number of processes may share a folder. The
    folder and the one it lies in must be no links. `secret` is the key that entries are made and known by, 64 bytes at
    most. `clock` gives the present in nanoseconds since 1970.
    """

    folder: Path | None
    secret: bytes | None = field(default=None, repr=False)
    clock: Callable[[], int] = time.time_ns

    @staticmethod
    def key(*parts: bytes | str) -> str:
        """See `benchleaf.cache.key`."""
        return key(*parts)

    def get(self, kind: str, key: str) -> bytes | None:
        """The content put under `kind` and `key`, or None where there is none that can be trusted.

        Raises ValueError for a kind or key that is not one (a mistake of the program, never of the disk).
        """
        place = self._place(kind, key, "")
        if place is None or not self._holds(place):
            return None
        try:
            with _entry(place) as descriptor, os.fdopen(descriptor, "rb", closefd=False) as file:
                if os.fstat(descriptor).st_size > MOST_ENTRY:
                    return None
                head, _, content = file.read(MOST_ENTRY).partition(b"\n")
        except (OSError, ValueError):
            return None
        return content if hmac.compare_digest(head, self._head(kind, key, content)) else None

    def put(self, kind: str, key: str, data: bytes) -> None:
        """Keep `data` under `kind` and `key`; silent where that is not possible.

        Raises ValueError for a kind or key that is not one.
        """
        place = self._place(kind, key, "")
        if place is not None:
            self._write(place, self._head(kind, key, data) + b"\n" + data)

    def put_file(self, kind: str, data: bytes, suffix: str) -> Path | None:
        """Keep `data` as a file of its own, named by `content_key(data)`; its path, or None where it cannot be kept.

        Raises ValueError for a kind or suffix (".webp") that is not one.
        """
        place = self._place(kind, content_key(data), suffix)
        if place is None or not self._write(place, data):
            return None
        return place

    def path(self, kind: str, key: str, suffix: str) -> Path | None:
        """The file whose content has the hash `key`, or None where it is missing or holds anything else.

        Raises ValueError for a kind, key or suffix that is not one.
        """
        place = self._place(kind, key, suffix)
        if place is None or not self._holds(place):
            return None
        try:
            with _entry(place) as descriptor:
                return place if self.digest(descriptor, place) == key else None
        except (OSError, ValueError):
            return None

    def name(self, place: Path) -> str | None:
        """The name under which `file` finds the file that `put_file` has put at `place`; None for any other path."""
        parts = _NAME.fullmatch(f"{place.parent.parent.name}/{place.name}")
        return parts[0] if parts and self._place(*parts.groups()) == place else None

    def file(self, name: str) -> Path | None:
        """The file of that `name`, or None where it is missing, holds anything else, or the name is none."""
        parts = _NAME.fullmatch(name)
        return self.path(*parts.groups()) if parts else None

    def digest(self, descriptor: int, path: Path) -> str | None:
        """The hash of the content of the open file at `path`, or None where it cannot be read.

        Remembered by path, size and times of last change, so that unchanged photos are not read again. A file
        changed less than two seconds ago, or in the future, is hashed each time. Of one too large to be hashed it is
        that of its size, since that is why it is not read.
        """
        try:
            before = os.fstat(descriptor)
            if before.st_size > MOST_HASHED:
                return key("too large to be read", str(before.st_size))
            memo = key(os.path.abspath(path))
            remembered, _, digest = (self.get(_DIGESTS, memo) or b"").decode("ascii", "replace").partition(" ")
            if remembered == _signature(before) and _KEY.fullmatch(digest):
                return digest
            with os.fdopen(descriptor, "rb", closefd=False) as content:
                content.seek(0)
                digest = hashlib.file_digest(content, lambda: hashlib.blake2b(digest_size=32)).hexdigest()
            after = os.fstat(descriptor)
        except (OSError, ValueError):
            return None
        settled = self.clock() - max(after.st_mtime_ns, after.st_ctime_ns) >= _RACY_NS
        if settled and _signature(before) == _signature(after):
            self.put(_DIGESTS, memo, f"{_signature(after)} {digest}".encode("ascii"))
        return digest

    def file_digest(self, path: Path) -> str | None:
        """The hash of the content of the ordinary file `path`, as `digest` gives it; None for a link and all else."""
        try:
            with plain_file(path) as descriptor:
                return self.digest(descriptor, path)
        except (OSError, ValueError):
            return None

    def prune(self, used_keys: Collection[str], older_than_days: float) -> int:
        """Delete what is not among `used_keys` and was written more than `older_than_days` days ago.

        Returns how many files went. Remembered digests go by age alone: they are made again by reading a file once.
        Touches nothing that is not named as an entry of this store, and follows no symbolic link.
        """
        oldest = self.clock() - int(older_than_days * 86_400e9)
        return sum(_delete(entry) for entry in self._entries() if _outdated(entry, used_keys, oldest))

    def _place(self, kind: str, key: str, suffix: str) -> Path | None:
        if not (_KIND.fullmatch(kind) and _KEY.fullmatch(key) and _SUFFIX.fullmatch(suffix)):
            raise ValueError(f"not a kind, key and suffix of the cache: {kind!r}, {key!r}, {suffix!r}")
        if self.folder is None or self.secret is None:
            return None
        return self.folder / kind / key[:2] / (key + suffix)

    def _head(self, kind: str, key: str, content: bytes) -> bytes:
        assert self.secret is not None
        check = hashlib.blake2b(digest_size=32, key=self.secret)
        for part in (kind.encode("ascii"), b"/", key.encode("ascii"), b"/", content):
            check.update(part)
        return _FORM + b" " + check.hexdigest().encode("ascii")

    def _holds(self, place: Path) -> bool:
        """Whether the way to `place` leads through folders only; one of them may be a link that came with a project."""
        return all(is_plain_folder(folder) for folder in self._way(place))

    def _way(self, place: Path) -> tuple[Path, ...]:
        assert self.folder is not None
        return self.folder.parent, self.folder, place.parent.parent, place.parent

    def _make_way(self, place: Path) -> None:
        """The folders to `place`, made where they are missing. Raises OSError where one of them is anything else."""
        assert self.folder is not None
        self.folder.parent.mkdir(parents=True, exist_ok=True)
        for folder in self._way(place):
            if is_plain_folder(folder):
                continue
            folder.mkdir(exist_ok=True)
            if not is_plain_folder(folder):
                raise OSError("a link where a folder of the cache would be")
        self._sign()

    def _write(self, place: Path, content: bytes) -> bool:
        """Write beside the place and rename: a reader sees the whole entry or none."""
        unfinished = place.with_name(f"{place.name}.{secrets.token_hex(8)}{_UNFINISHED}")
        try:
            if not self._holds(place):
                self._make_way(place)
            try:
                with unfinished.open("xb") as file:
                    file.write(content)
                os.replace(unfinished, place)
            except BaseException:
                with contextlib.suppress(OSError):
                    unfinished.unlink()
                raise
        except (OSError, ValueError):
            return False
        return True

    def _sign(self) -> None:
        """Mark the folder, so that backup programs (CACHEDIR.TAG) and git leave it alone."""
        assert self.folder is not None
        for name, text in (("CACHEDIR.TAG", _TAG), (".gitignore", "*\n")):
            with contextlib.suppress(FileExistsError), (self.folder / name).open("x", encoding="ascii") as file:
                file.write(text)

    def _entries(self) -> Iterator[os.DirEntry[str]]:
        if self.folder is None or self.secret is None:
            return
        if not (is_plain_folder(self.folder.parent) and is_plain_folder(self.folder)):
            return
        for kind in _folders(self.folder):
            if _KIND.fullmatch(kind.name):
                for shelf in _folders(kind.path):
                    yield from (entry for entry in _listed(shelf.path) if entry.is_file(follow_symlinks=False))


def as_json(value: object) -> bytes:
    """`value` as the same bytes each time: keys sorted, no spaces. For what goes into a key or an entry."""
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode("utf-8")


@contextlib.contextmanager
def _entry(place: Path) -> Iterator[int]:
    """An open descriptor of a file of the cache. One of several names of a file was not written here."""
    with plain_file(place) as descriptor:
        if os.fstat(descriptor).st_nlink > 1:
            raise OSError("a hard link")
        yield descriptor


def _signature(status: os.stat_result) -> str:
    """Size and times. The change of status is in it because a copy that keeps its old date shows only there."""
    return f"{status.st_size},{status.st_mtime_ns},{status.st_ctime_ns}"


def _listed(folder: Path | str) -> list[os.DirEntry[str]]:
    try:
        with os.scandir(folder) as entries:
            return list(entries)
    except (OSError, ValueError):
        return []


def _folders(folder: Path | str) -> list[os.DirEntry[str]]:
    return [entry for entry in _listed(folder) if entry.is_dir(follow_symlinks=False)]


def _outdated(entry: os.DirEntry[str], used_keys: Collection[str], oldest: int) -> bool:
    stored = _STORED.fullmatch(entry.name)
    if stored is None and not entry.name.endswith(_UNFINISHED):
        return False
    if stored is not None and stored[1] in used_keys:
        return False
    try:
        return entry.stat(follow_symlinks=False).st_mtime_ns < oldest
    except OSError:
        return False


def _delete(entry: os.DirEntry[str]) -> bool:
    try:
        os.unlink(entry.path)
    except OSError:
        return False
    return True
