"""A handed-on set put on the disk: all of it in a folder of its own, or nothing."""

from __future__ import annotations

import os
import secrets
import shutil
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from ...record.encoding import decode
from ...record.problems import quoted
from ...record.story_files import STORY_FOLDER, is_story_file
from ..photos.originals import PhotoProblem, format_of
from .container import PICTURES, Pack, UnfitPackError
from .manifest import RECORD


class NotPutError(Exception):
    """A set cannot be put where it was to be; the text says why. Nothing was left there."""


def files_of_set(pack: Pack) -> Mapping[str, bytes]:
    """The files of a set's folder, each of a kind that belongs there by its name and by what it holds.

    Raises UnfitPackError.
    """
    for path, content in pack.of_set.items():
        if told := _foreign(path, content):
            raise UnfitPackError(told)
    return pack.of_set


def _foreign(path: str, content: bytes) -> str:
    """Why a file has no place in a set's folder; empty where it has one."""
    name, folded = path.rpartition("/")[2], path.casefold()
    if folded.endswith(PICTURES):
        return f"{quoted(path, 60)}, which is no picture" if isinstance(format_of(content), PhotoProblem) else ""
    story = ("/" not in path and is_story_file(name)) or (
        folded.startswith(f"{STORY_FOLDER}/") and folded.endswith(".md")
    )
    if path != RECORD and not story and not folded.endswith(".csv"):
        return f"{quoted(path, 60)}, which is no file of a set"
    if b"\0" in content or decode(content, "")[1]:
        return f"{quoted(path, 60)}, which is no plain text"
    return ""


def put_set(files: Mapping[str, bytes], target: Path) -> None:
    """Write the files into the new folder ``target``, made beside it under another name and then renamed.

    Raises NotPutError; a folder or file that is there already is never touched.
    """
    if os.path.lexists(target):
        raise NotPutError(f"{target}: is there already; nothing was changed")
    beside = target.parent / f".{target.name}.{secrets.token_hex(6)}.unpacking"
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        beside.mkdir()
        try:
            _write(files, beside)
            if os.path.lexists(target):  # a folder without anything in it would be replaced
                raise NotPutError(f"{target}: is there already; nothing was changed")
            beside.rename(target)
        except BaseException:
            with suppress(OSError):
                shutil.rmtree(beside)
            raise
    except (OSError, ValueError) as error:
        told = getattr(error, "strerror", None) or error
        raise NotPutError(f"{target}: cannot be written: {told}; nothing was changed") from None


def _write(files: Mapping[str, bytes], folder: Path) -> None:
    for path, content in files.items():
        file = folder / path
        file.parent.mkdir(parents=True, exist_ok=True)
        with file.open("xb") as stream:
            stream.write(content)
