"""The ``sets.json`` of other sites, read as what a stranger wrote: bounded, of one known shape, and never trusted.

What does not fit is left out and counted, or the file is refused as a whole. Of addresses only ``http`` and ``https``
are taken, and the way to a set must stay below its own site's.
"""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Annotated, Any
from urllib.parse import quote, urlsplit

from pydantic import BaseModel, ConfigDict, Field, TypeAdapter, ValidationError
from pydantic.functional_validators import AfterValidator

from .sets_file import FORMAT, VERSION

MOST_BYTES = 30_000_000
MOST_SETS = 20_000
"""Sets of one archive that are read."""
_LONGEST, _LONGEST_ADDRESS = 600, 1000
_MOST_IN_SET = 200
_MOST_PIECES = 4_000_000
"""Commas and opening brackets of a file: an archive of so many sets has a third, and a list of nothing else takes
thirty times its bytes of memory."""
MOST_OF_SET, MOST_PRINTED = 60_000, 100_000_000
"""Characters that the pages across archives may have of one set and of one archive: a set has two or three thousand."""
_AROUND_A_LINK = 120
"""Characters of HTML around a set's title and address in a list."""
_PLAIN_WAY = re.compile(r"[A-Za-z0-9._~!$&'()*+,;=@%/-]*")
_HOST = re.compile(r"[A-Za-z0-9.-]+|\[[0-9A-Fa-f:.]+\]")


class UnfitArchiveError(Exception):
    """Why a file is no archive's: what was found, and what was expected."""


def _plain(text: str) -> str:
    """A text on one line, cut where it is too long, without signs that cannot be seen or that turn others about."""
    kept = "".join(" " if unicodedata.category(sign)[0] in "CZ" else sign for sign in text[: 4 * _LONGEST])
    return " ".join(kept.split())[:_LONGEST]


_Text = Annotated[str, AfterValidator(_plain)]
_Written = Annotated[str | None, AfterValidator(lambda text: _plain(text or ""))]
_NamedText = Annotated[_Text, AfterValidator(lambda text: _filled(text))]


def _filled(text: str) -> str:
    if not text:
        raise ValueError("nothing to be seen in it")
    return text


class _Strict(BaseModel):
    model_config = ConfigDict(strict=True, frozen=True, extra="ignore")


class ForeignFault(_Strict):
    """What was complained of, and what it was; empty where it is not told."""

    complaint: _Written = None
    cause: _Written = None


class ForeignFailed(_Strict):
    """A part or tube that failed: its job, how, its name in the set and what it was."""

    job: _NamedText
    verdict: _NamedText
    part: _Written = None
    was: _Written = None


class ForeignSet(_Strict):
    """A set of an archive. ``way`` leads to its page below the site's address, ``address`` is the whole; or empty."""

    id: _NamedText
    address: str = ""
    way: str = ""
    title: _NamedText
    made: _Written = None
    member: _Written = None
    kind: _Written = None
    state: _Written = None
    summary: _Written = None
    tubes: Annotated[list[_NamedText], Field(max_length=_MOST_IN_SET)] = []
    faults: Annotated[list[ForeignFault], Field(max_length=_MOST_IN_SET)] = []
    failed: Annotated[list[ForeignFailed], Field(max_length=_MOST_IN_SET)] = []


@dataclass(frozen=True)
class OtherArchive:
    """An archive by the ``name`` it is called by. ``site`` is its address, empty where nobody says.

    ``left_out`` counts the entries that are no sets, come twice, say too much, or are too many.
    """

    name: str
    site: str
    dialect: str
    sets: tuple[ForeignSet, ...]
    left_out: int = 0


NO_SETS = OtherArchive("", "", "", ())


def read_archive(data: bytes, name: str) -> OtherArchive:
    """The archive in a file's bytes, called ``name`` where it does not say what it is called.

    Raises UnfitArchiveError. The addresses of its sets are whole ones, or empty where the site's is not known.
    """
    told = _json(data)
    if told.get("format") != FORMAT:
        raise UnfitArchiveError(f"found no archive; expected the {FORMAT!r} that a site publishes as sets.json")
    if told.get("version") != VERSION or isinstance(told.get("version"), bool):
        raise UnfitArchiveError(f"found another version; expected {VERSION}; a newer Benchleaf may be needed")
    entries = told.get("sets")
    if not isinstance(entries, list):
        raise UnfitArchiveError("found no list of sets; expected “sets”")
    site = site_address(told.get("site_url"))
    by_id: dict[str, ForeignSet] = {}
    left = MOST_PRINTED
    for one in _sets(entries[:MOST_SETS], site):
        left -= (printed := _printed(one))
        if left < 0:
            break
        if printed <= MOST_OF_SET:
            by_id.setdefault(one.id, one)
    called, dialect = told.get("name"), told.get("dialect")
    said = _plain(called) if isinstance(called, str) else ""
    speaks = dialect if isinstance(dialect, str) else ""
    return OtherArchive(said or _plain(name), site, speaks, tuple(by_id.values()), len(entries) - len(by_id))


def _json(data: bytes) -> Mapping[str, Any]:
    if len(data) > MOST_BYTES:
        raise UnfitArchiveError(f"found a file of more than {MOST_BYTES // 1_000_000} MB; expected a sets.json")
    if sum(map(data.count, (b",", b"[", b"{"))) > _MOST_PIECES:
        raise UnfitArchiveError("found more entries than any archive has; expected a sets.json")
    try:
        told = json.loads(data)
    except (ValueError, RecursionError):
        raise UnfitArchiveError("found no JSON; expected the sets.json of a site") from None
    if not isinstance(told, dict):
        raise UnfitArchiveError("found no archive; expected the sets.json of a site")
    return told


def _sets(entries: list[Any], site: str) -> Iterator[ForeignSet]:
    adapter = TypeAdapter(ForeignSet)
    for entry in entries:
        try:
            one = adapter.validate_python(entry)
        except (ValidationError, RecursionError):
            continue
        way = way_below(one.address)
        yield one.model_copy(update={"way": way, "address": site + way if site and way else ""})


def _printed(one: ForeignSet) -> int:
    """Characters that the pages across archives have of a set, whose title and address stand in each of their lists."""
    of_failed = (text or "" for part in one.failed for text in (part.job, part.verdict, part.part, part.was))
    of_faults = (text or "" for fault in one.faults for text in (fault.complaint, fault.cause))
    listed = 1 + len(one.tubes) + len(one.failed)
    linked = listed * (len(one.title) + len(one.address) + _AROUND_A_LINK)
    return linked + sum(map(len, (*one.tubes, *of_failed, *of_faults)))


def site_address(written: object) -> str:
    """A site's address with a slash at its end; empty for one that is none, or that a browser could read otherwise."""
    if not isinstance(written, str) or len(written) > _LONGEST_ADDRESS or not written.isascii():
        return ""
    try:
        parts = urlsplit(written)
        port = f":{parts.port}" if parts.port else ""
        host = f"[{parts.hostname}]" if ":" in (parts.hostname or "") else parts.hostname or ""
    except ValueError:
        return ""
    if parts.scheme.lower() not in ("http", "https") or "@" in parts.netloc or not _HOST.fullmatch(host):
        return ""
    if parts.query or parts.fragment or not _PLAIN_WAY.fullmatch(parts.path) or ".." in parts.path:
        return ""
    return f"{parts.scheme.lower()}://{host}{port}{parts.path.rstrip('/')}/"


def way_below(written: str) -> str:
    """The way to a page below its site's address; empty for one that leads elsewhere."""
    try:
        way = written if _PLAIN_WAY.fullmatch(written) else quote(written, safe="._~!$&'()*+,;=@%/-")
    except UnicodeEncodeError:  # half a sign, which JSON may hold and no address
        return ""
    steps = way.replace("%2e", ".").replace("%2E", ".").split("/")
    whole = 0 < len(way) <= _LONGEST_ADDRESS and ":" not in written and "\\" not in written
    return way if whole and ".." not in steps and "" not in steps[:-1] and "?" not in written else ""


def found_at(archive: OtherArchive, data: bytes, address: str) -> OtherArchive:
    """The archive with the site's address worked out from where its file was fetched, where it does not say it."""
    if archive.site:
        return archive
    file = _json(data).get("file")
    root = address.removesuffix(file) if isinstance(file, str) and file and address.endswith(f"/{file}") else ""
    return replace(archive, site=site_address(root)) if root else archive
