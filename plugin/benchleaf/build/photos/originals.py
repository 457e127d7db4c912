"""An original picture as it lies in a set's folder: where the record says it is, and whether it can be one at all.

Looked at here is what can be told without decoding anything. A record may come from a stranger, so all of it may be
meant to do harm: a path that leads elsewhere, a named pipe, a film called `dial.jpg`.
"""

from __future__ import annotations

import difflib
import os
import re
import unicodedata
from dataclasses import dataclass
from pathlib import Path

from ...record.problems import quoted
from ...record.set_files import MISSING, OUTSIDE, Refusal, located

MOST_BYTES = 40_000_000
MOST_PIXELS = 60_000_000
MOST_SCANS = 60
"""Passes over a progressive JPEG. Encoders write about ten; each costs as much as a whole baseline picture."""


@dataclass(frozen=True)
class PhotoProblem:
    """Why a picture cannot be published, in words for the one who wrote the record. Not escaped."""

    found: str
    expected: str
    remedy: str
    nearest: str | None = None
    """The path that was probably meant, relative to the set's folder."""


def inside(folder: Path, written: str) -> Path | PhotoProblem:
    """The file that the path `written` names within the set's `folder`, or why it names none.

    Paths use forward slashes and are compared letter for letter, as they will be on the server, also where the
    writer's own disk does not tell `Dial.JPG` from `dial.jpg`.
    """
    refused = _refused_path(written)
    if refused is not None:
        return refused
    here = folder
    for step in steps(written):
        name = _name_in(here, step)
        if name is None:
            return _missing(folder, written)
        here = here / name
        if located(here, folder) is OUTSIDE:  # before the next step tells what there is
            return PhotoProblem(f"{quoted(written, 80)}, {OUTSIDE.found}", OUTSIDE.expected, OUTSIDE.remedy)
    found = located(here, folder)
    if found is MISSING:
        return _missing(folder, written)
    if isinstance(found, Refusal):
        return unfit(found)
    try:
        return unfit_size(os.path.getsize(found)) or here
    except OSError:
        return _missing(folder, written)


def steps(written: str) -> tuple[str, ...]:
    """The names a path with forward slashes leads through."""
    return tuple(step for step in written.strip().split("/") if step not in ("", "."))


def _refused_path(written: str) -> PhotoProblem | None:
    wanted = "a path within the set's folder, as in `photos/dial.jpg`"
    table = (
        (r"\s*\Z", "no path at all", "name the picture"),
        (r"(?s).*[\x00-\x1f\x7f]", "control characters in a path", "type the path again"),
        (r"(?s).{400}", "a path of more than 400 characters", "use a shorter name"),
        (r"(?i)\s*[a-z]:", "a drive letter", "copy the picture into the folder `photos`"),
        (r"(?i)\s*([a-z][a-z0-9+.-]+:|//)", "an address", "pictures are not fetched: copy it into `photos`"),
        (r".*\\", "a backslash", "write forward slashes, on Windows too"),
        (r"\s*[/~]", "a path from the top of a disk", "write it from the set's folder on"),
        (r"(.*/)?\s*\.\.\s*(/|\Z)", "`..` in a path", "copy the picture into the set's own folder `photos`"),
    )
    for pattern, found, remedy in table:
        if re.match(pattern, written):
            return PhotoProblem(f"{quoted(written, 80)}: {found}" if written.strip() else found, wanted, remedy)
    return None


def _name_in(folder: Path, step: str) -> str | None:
    """The name in `folder` that is `step`, though a disk may spell its accents another way."""
    try:
        names = os.listdir(folder)
    except OSError:
        return None
    if step in names:
        return step
    same = unicodedata.normalize("NFC", step)
    return next((name for name in sorted(names) if unicodedata.normalize("NFC", name) == same), None)


def _missing(folder: Path, written: str) -> PhotoProblem:
    nearest = _nearest(folder, written.strip())
    remedy = "look at the spelling" if nearest is None else f"did you mean {nearest}?"
    return PhotoProblem(f"no file {quoted(written, 80)}", "the path of a picture in the set's folder", remedy, nearest)


def _nearest(folder: Path, written: str) -> str | None:
    """The path that differs in case only; else the file of that name elsewhere; else the most similar spelling."""
    spellings = {path.casefold(): path for path in sorted(_paths(folder), reverse=True)}
    wanted = written.casefold()
    if wanted in spellings:
        return spellings[wanted]
    name = wanted.rpartition("/")[2]
    close = sorted(path for path in spellings if path.rpartition("/")[2] == name)
    close = close or difflib.get_close_matches(wanted, spellings, n=1, cutoff=0.7)
    return spellings[close[0]] if close else None


def _paths(folder: Path, most: int = 1000) -> list[str]:
    paths: list[str] = []
    for here, _, names in os.walk(folder):
        inner = Path(here).relative_to(folder)
        paths.extend((inner / name).as_posix() for name in names)
        if len(paths) >= most:
            break
    return paths[:most]


_WANTED = "a photo: JPEG, PNG, WebP or GIF"

_ACCEPTED = (
    (re.compile(rb"\xff\xd8\xff"), "JPEG"),
    (re.compile(rb"\x89PNG\r\n\x1a\n"), "PNG"),
    (re.compile(rb"RIFF....WEBP", re.DOTALL), "WEBP"),
    (re.compile(rb"GIF8[79]a"), "GIF"),
)
_REFUSED = (
    (re.compile(rb"(?:\xef\xbb\xbf)?\s*<(?:\?xml|!--|!DOCTYPE svg|svg)", re.IGNORECASE), "an SVG drawing or XML"),
    (re.compile(rb"II\*\0|MM\0\*"), "a TIFF or camera raw file"),
    (re.compile(rb"....ftyp(?:hei|hev|mif|msf)", re.DOTALL), "a HEIC photo, as some phones take them"),
    (re.compile(rb"....ftypavi[fs]", re.DOTALL), "an AVIF picture"),
    (re.compile(rb"....ftyp", re.DOTALL), "a film"),
    (re.compile(rb"%PDF-"), "a PDF"),
    (re.compile(rb"BM....\0\0\0\0", re.DOTALL), "a BMP bitmap"),
)
_MARKER = re.compile(rb"\xff([^\x00\xd0-\xd7\xff])", re.DOTALL)


def unfit(refusal: Refusal) -> PhotoProblem:
    """The problem of a picture that is not read."""
    return PhotoProblem(refusal.found, _WANTED, refusal.remedy)


def unfit_size(size: int) -> PhotoProblem | None:
    """Why a file of `size` bytes cannot be a picture that is published; None if it can."""
    if size == 0:
        return PhotoProblem("an empty file", _WANTED, "copy the picture from the camera again")
    if size > MOST_BYTES:
        return too_large(f"a file of {size / 1e6:.0f} MB")
    return None


def too_large(found: str) -> PhotoProblem:
    """The problem of a picture that would take more time or memory than a picture may."""
    most = f"at most {MOST_BYTES // 1_000_000} MB and {MOST_PIXELS // 1_000_000} megapixels"
    return PhotoProblem(found, most, "save a smaller copy and name that")


def too_heavy(found: str, takes: float) -> PhotoProblem:
    """The problem of a picture that takes too many bytes of memory to open."""
    remedy = "save it as an ordinary JPEG, or smaller, and name that"
    return PhotoProblem(f"{found}, which takes {takes / 1e6:.0f} MB to open", "a picture that takes less", remedy)


def broken(format: str) -> PhotoProblem:
    """The problem of a picture that cannot be decoded to its end."""
    return PhotoProblem(f"a {format} that is cut short or damaged", _WANTED, "copy it from the camera again")


def format_of(content: bytes) -> str | PhotoProblem:
    """Pillow's name of the format, by the first bytes and never by the file's name."""
    for pattern, format in _ACCEPTED:
        if pattern.match(content):
            return format
    found = next((name for pattern, name in _REFUSED if pattern.match(content)), "a file that is no picture")
    return PhotoProblem(found, _WANTED, "open it in a picture program and save it as JPEG or PNG")


def scans_of(jpeg: bytes) -> int:
    """How many passes over the picture a JPEG asks for. What follows its end (a phone's film) is not looked at."""
    scans, at = 0, 2
    while found := _MARKER.search(jpeg, at):
        marker, at = found[1][0], found.end()
        if marker == 0xD9:
            break
        scans += marker == 0xDA
        if marker not in (0x01, 0xD8):
            at += int.from_bytes(jpeg[at : at + 2], "big")
    return scans
