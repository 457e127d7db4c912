"""The key that binds a cache to its user and machine; it lies outside every project.

A cache can come with a project: in a repository, an archive, a copied folder. An entry in it could hold anything, so
only entries made with this user's own key are read. The key is 32 random bytes in the user's configuration folder, made
once. Without one that can be trusted nothing is kept, and a build is only slower.
"""

from __future__ import annotations

import contextlib
import os
import re
import secrets
import stat
from dataclasses import dataclass, field
from pathlib import Path

from ..record.plain_files import NOT_FOLLOWED, plain_file

_FILE = "cache.key"
_WRITTEN = re.compile(rb"([0-9a-f]{64})\n?")


@dataclass(frozen=True)
class MachineKey:
    """The key's 32 bytes; None where there is none to trust, and then ``why``, in words for the site's owner."""

    secret: bytes | None = field(repr=False)
    why: str = ""


def machine_key(project: Path) -> MachineKey:
    """This user's key, made where there is none yet. ``project`` is the folder in which it must not lie.

    Any number of processes may ask at once: they get the same key. A process that works for this one is handed the
    bytes and does not ask.
    """
    from platformdirs import user_config_path

    place = user_config_path("benchleaf", appauthor=False) / _FILE
    if not place.is_absolute():
        return MachineKey(None, "this user has no configuration folder")
    if _lies_in(place, project):
        return MachineKey(None, f"the key {place} lies inside the project, so that it could have come with it")
    try:
        if not os.path.lexists(place):
            _make(place)
        return _read(place)
    except (OSError, ValueError) as error:
        return MachineKey(None, f"the key {place} cannot be made or read: {getattr(error, 'strerror', None) or error}")


def _lies_in(place: Path, project: Path) -> bool:
    return Path(os.path.realpath(place)).is_relative_to(os.path.realpath(project))


def _read(place: Path) -> MachineKey:
    with plain_file(place) as descriptor:
        status = os.fstat(descriptor)
        # Who else may read the key may make entries, who else owns it has made it. Windows keeps both elsewhere.
        if hasattr(os, "geteuid"):
            if status.st_uid != os.geteuid():
                return MachineKey(None, f"the key {place} belongs to another user")
            if stat.S_IMODE(status.st_mode) & 0o077:
                return MachineKey(None, f"others may read the key {place}; delete it, and a new one is made")
        written = _WRITTEN.fullmatch(os.read(descriptor, 100))
    if written is None:
        return MachineKey(None, f"the key {place} is none; delete it, and a new one is made")
    return MachineKey(bytes.fromhex(written[1].decode("ascii")))


def _make(place: Path) -> None:
    """Write a new key beside its place and link it in, unless another process was first. Raises OSError."""
    place.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    unfinished = place.with_name(f"{_FILE}.{secrets.token_hex(8)}.part")
    descriptor = os.open(unfinished, os.O_WRONLY | os.O_CREAT | os.O_EXCL | NOT_FOLLOWED, 0o600)
    try:
        try:
            os.write(descriptor, secrets.token_hex(32).encode("ascii") + b"\n")
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
        _put_in_place(unfinished, place)
    finally:
        with contextlib.suppress(OSError):
            unfinished.unlink()


def _put_in_place(unfinished: Path, place: Path) -> None:
    """Give the finished key its name where that is still free; the key that is read is the one that lies there."""
    try:
        os.link(unfinished, place)
    except FileExistsError:
        return
    except OSError:
        # A disk without hard links: the last of two writers wins, and what the first has kept is made again.
        os.replace(unfinished, place)
