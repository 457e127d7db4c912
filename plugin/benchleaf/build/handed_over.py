"""Files put into a folder that is not ours alone: all of them or none, and none over one that somebody else wrote.

A list in the folder names what was written there. A second run replaces those files, takes away the ones that are no
more, and touches nothing else. Each file is written beside its place and moved there, so that none is ever half there.
"""

from __future__ import annotations

import filecmp
import json
import os
import shutil
from collections.abc import Collection, Iterator, Mapping
from contextlib import suppress
from pathlib import Path, PurePosixPath

from ..pages.set_page import OutFile
from ..record.set_files import MISSING, Refusal, read
from .paths import real_path

LIST = ".benchleaf-pages.json"
"""The list of what was written, in the folder itself."""
_FORMAT, _VERSION = "benchleaf-pages", 1
_MOST_BYTES = 50_000_000
_BESIDE = ".benchleaf-pages.part"


class NotHandedOverError(Exception):
    """Nothing was changed; the text says why, in one line."""


def hand_over(out: Path, files: Mapping[str, OutFile], sets: Path) -> int:
    """Put ``files`` by their paths into ``out``, which is made where it is not there; returns how many have changed.

    ``sets`` is the folder of the sets: nothing is written into it. Raises NotHandedOverError.
    """
    try:
        before = _written_before(out)
        _refuse_what_is_in_the_way(out, {*files, *before}, before, sets)
        there = os.path.lexists(out)
        beside = out / _BESIDE if there else out.parent / f"{_BESIDE}-{out.name}"
        beside.parent.mkdir(parents=True, exist_ok=True)
        beside.mkdir()
        try:
            for path, file in files.items():
                _write(beside / path, file)
            _write_list(beside / LIST, files)
            return _move_in(out, beside, files, before) if there else _move(out, beside, files)
        finally:
            shutil.rmtree(beside, ignore_errors=True)
    except (OSError, ValueError) as error:
        if isinstance(error, FileExistsError) and Path(error.filename or "").name.startswith(_BESIDE):
            told = "found what another run is writing, or has left behind; expected one run at a time; take it away"
            raise NotHandedOverError(f"{error.filename}: {told}") from None
        reason = getattr(error, "strerror", None) or "no name for a file"
        raise NotHandedOverError(f"{getattr(error, 'filename', None) or out}: cannot be written: {reason}") from None


def _written_before(out: Path) -> frozenset[str]:
    """What the list in the folder names; nothing where there is none. Raises NotHandedOverError where it is no list."""
    data = read(out / LIST, out, _MOST_BYTES)
    if data is MISSING:
        return frozenset()
    found: object = None
    with suppress(ValueError, RecursionError):
        found = None if isinstance(data, Refusal) else json.loads(data)
    names = found.get("files") if isinstance(found, dict) and found.get("format") == _FORMAT else None
    if not isinstance(names, list) or not all(isinstance(name, str) and _is_below(name) for name in names):
        expected = "expected the list that “benchleaf pages” writes; take it away, or name another folder"
        raise NotHandedOverError(f"{out / LIST}: found something else; {expected}")
    return frozenset(names)


def _is_below(name: str) -> bool:
    parts = PurePosixPath(name).parts
    plain = bool(parts) and name == "/".join(parts) and "\\" not in name
    return plain and not {"..", "/", ".git"} & {part.casefold() for part in parts}


def _refuse_what_is_in_the_way(out: Path, paths: Collection[str], before: Collection[str], sets: Path) -> None:
    real_sets = real_path(sets)
    for path in sorted(paths):
        target = out / path
        above = out
        for part in PurePosixPath(path).parts[:-1]:
            above = above / part
            if os.path.lexists(above) and (above.is_symlink() or not above.is_dir()):
                raise NotHandedOverError(f"{above}: found a file or a link; expected a folder, or nothing")
        if real_path(target).is_relative_to(real_sets):
            raise NotHandedOverError(f"{target}: would lie among the sets; expected a folder outside {sets}")
        if os.path.lexists(target) and (path not in before or target.is_symlink() or not target.is_file()):
            found = "is there and was not written by “benchleaf pages”"
            raise NotHandedOverError(f"{target}: {found}; move it, or name another folder")


def _write(target: Path, file: OutFile) -> None:
    target.parent.mkdir(parents=True, exist_ok=True)
    if file.source is not None:
        shutil.copyfile(file.source, target)
    elif file.data is not None:
        target.write_bytes(file.data)
    else:
        target.write_bytes((file.text or "").encode("utf-8", errors="replace"))


def _write_list(target: Path, paths: Collection[str]) -> None:
    listed = {"format": _FORMAT, "version": _VERSION, "files": sorted(paths)}
    target.write_text(json.dumps(listed, ensure_ascii=False, indent=0) + "\n", encoding="utf-8")


def _move(out: Path, beside: Path, files: Collection[str]) -> int:
    """The whole folder at once, since there is none yet."""
    os.rename(beside, out)
    return len(files)


def _move_in(out: Path, beside: Path, files: Collection[str], before: Collection[str]) -> int:
    """File by file; meanwhile the list names old and new, so that a run that is stopped loses none of them."""
    last = beside / LIST
    both = beside / f"{LIST}.both"
    _write_list(both, {*files, *before})
    os.replace(both, out / LIST)
    changed = [path for path in files if not _is_the_same(beside / path, out / path)]
    for path in changed:
        (out / path).parent.mkdir(parents=True, exist_ok=True)
        os.replace(beside / path, out / path)
    gone = [path for path in before if path not in files]
    for path in gone:
        (out / path).unlink(missing_ok=True)
    for folder in sorted({above for path in gone for above in _folders(path)}, reverse=True):
        with suppress(OSError):
            (out / folder).rmdir()
    os.replace(last, out / LIST)
    return len(changed) + len(gone)


def _folders(path: str) -> Iterator[str]:
    """The folders around a file, counted from ``out``."""
    yield from (above.as_posix() for above in PurePosixPath(path).parents if above.as_posix() != ".")


def _is_the_same(one: Path, other: Path) -> bool:
    return other.is_file() and filecmp.cmp(one, other, shallow=False)
