"""Which folders are sets, at any depth below the folder of the sets, and what there only looks like one."""

from __future__ import annotations

import os
import re
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from ..record.inputs import RECORD_FILE
from ..record.problems import quoted
from .paths import folded, in_words, is_text, joined

_ANY_SPELLING = re.compile(r"record\.ya?ml")
_COPY = re.compile(r"record(?: ?\(\d+\))?\.ya?ml(?:[.~ ].*)?")
MOST_PASSED = 20_000
"""Folders looked into that are no set's and lie in none: a home folder has more, the way to a thousand sets fewer."""
_DEPTH = 4
"""So far down records are looked for only to find out which folder the option ``sets`` may have meant."""


@dataclass(frozen=True, order=True)
class Notice:
    """Something below the folder of the sets that is not built. ``path`` is counted from that folder."""

    path: str
    told: str


@dataclass(frozen=True)
class FoundSets:
    """The sets' folders in the order of their paths, and what was not taken for one."""

    sets: tuple[Path, ...] = ()
    notices: tuple[Notice, ...] = ()


def is_record_name(name: str) -> bool:
    """Whether a file holds a record by its name: in any case, as ``.yaml``, or as the copy an editor leaves."""
    return bool(_COPY.fullmatch(_plain(name)))


def find_sets(root: Path, shown: str = "") -> FoundSets:
    """Every folder below ``root`` that holds a ``record.yml``. ``shown`` is what ``root`` is called to the writer.

    Sets may lie at any depth, but not in one another. Linked folders are not followed, hidden ones are passed over. A
    record that is a link makes a set all the same: where it must not be read, its page says why.
    """
    sets: list[Path] = []
    notices: list[Notice] = []
    waiting = [(root, "", "")]
    passed = 0
    while waiting:
        folder, below, inside = waiting.pop()
        listing = _listed(folder)
        passed += not (inside or listing.has_record)
        if passed > MOST_PASSED:
            notices.append(Notice("", _endless(shown)))
            break
        if listing.has_record and below and not inside:
            sets.append(folder)
            inside = below
        elif listing.has_record:
            notices.append(Notice(joined(below, RECORD_FILE), _misplaced(shown, below, inside)))
        notices += _odd(listing, shown, below, inside)
        waiting += ((folder / name, joined(below, name), inside) for name in listing.folders if is_text(name))
    sets.sort(key=lambda path: path.relative_to(root).parts)
    notices += _alike([path.relative_to(root).as_posix() for path in sets], shown)
    return FoundSets(tuple(sets), tuple(sorted(notices)))


def holds_record(folder: Path) -> bool:
    """Whether a record lies in or a few folders below ``folder``."""
    for place, folders, files in os.walk(folder):
        if any(is_record_name(name) for name in files):
            return True
        deep = len(Path(place).relative_to(folder).parts) >= _DEPTH
        folders[:] = [] if deep else sorted(name for name in folders if not name.startswith("."))
    return False


def _plain(name: str) -> str:
    return unicodedata.normalize("NFKC", name).casefold().strip()


@dataclass(frozen=True)
class _Listing:
    """What lies in one folder, by name; hidden folders are left out.

    ``has_record`` says that something has a record's name, whether it can be read or not.
    """

    files: tuple[str, ...] = ()
    folders: tuple[str, ...] = ()
    linked_files: tuple[str, ...] = ()
    linked_folders: tuple[str, ...] = ()
    fault: str = ""
    has_record: bool = False


def _listed(folder: Path) -> _Listing:
    try:
        with os.scandir(folder) as entries:
            listed = sorted(entries, key=lambda e: e.name)
    except OSError as error:
        return _Listing(fault=error.strerror or "no reason given")
    links = [e for e in listed if e.is_symlink()]
    plain = [e for e in listed if not e.is_symlink()]
    return _Listing(
        files=tuple(e.name for e in plain if e.is_file()),
        folders=tuple(e.name for e in plain if e.is_dir() and not e.name.startswith(".")),
        linked_files=tuple(e.name for e in links if not os.path.isdir(e.path)),
        linked_folders=tuple(e.name for e in links if os.path.isdir(e.path)),
        has_record=any(e.name == RECORD_FILE for e in listed),
    )


def _endless(shown: str) -> str:
    found = f"found more than {MOST_PASSED:,} folders without a record; expected a folder of sets"
    return f"{in_words(shown) or 'docs_dir'}: {found}; name one further in. What lies beyond them is not looked at"


def _misplaced(shown: str, below: str, inside: str) -> str:
    """A record in another set, or in the folder of the sets itself."""
    file = in_words(shown, below, RECORD_FILE)
    if inside:
        found = f"found a record inside the set {in_words(shown, inside)}; expected no set in another one"
        remedy = f"move the folder beside it, or take {in_words(shown, inside, RECORD_FILE)} away"
        return f"{file}: {found}; {remedy}. This one is not built, and nothing in it is published"
    found = "found a record in the folder of the sets itself; expected a folder for each set"
    remedy = f"move it to {in_words(shown, 'my-set', RECORD_FILE)}"
    return f"{file}: {found}; {remedy}. It is not built, and of the folder only the sets in it are published"


def _odd(listing: _Listing, shown: str, below: str, inside: str) -> Iterator[Notice]:
    """Records by a name that is not read, links in a set's or a record's place, folders that cannot be read."""
    if listing.fault:
        told = f"found a folder that cannot be read ({listing.fault}); expected one that can; mend its permissions"
        yield Notice(below, f"{in_words(shown, below)}: {told}")
    for name in listing.folders:
        if not is_text(name):
            told = "found a folder whose name is not written in UTF-8; expected one that is; rename it"
            yield Notice(below, f"{in_words(shown, below, name)}: {told}. Nothing in it is built or published")
    for name in listing.files:
        told = _misspelt(name, listing.has_record)
        if told:
            yield Notice(joined(below, name), f"{in_words(shown, below, name)}: {told}")
    for name in listing.linked_files:
        if is_record_name(name) and name != RECORD_FILE:
            yield Notice(joined(below, name), _linked(in_words(shown, below, name), "file"))
    for name in () if inside else listing.linked_folders:
        yield Notice(joined(below, name), _linked(in_words(shown, below, name), "folder"))


def _misspelt(name: str, has_record: bool) -> str:
    if name == RECORD_FILE or not is_record_name(name):
        return ""
    if not has_record:
        remedy = "rename it. The folder is not built, and nothing in it is published"
        return f"found {quoted(name)}; expected {quoted(RECORD_FILE)}; {remedy}"
    if _ANY_SPELLING.fullmatch(_plain(name)):
        return (
            f"found a second record; expected one in a folder; only {quoted(RECORD_FILE)} is read; move this one away"
        )
    return ""


def _linked(path: str, what: str) -> str:
    remedy = f"links are not followed here; put the {what} itself in its place"
    return f"{path}: found a link; expected a {what}; {remedy}. Nothing of it is built or published"


def _alike(names: Sequence[str], shown: str) -> Iterator[Notice]:
    """Sets that have one address on a disk or a host that takes upper and lower case for the same."""
    first: dict[str, str] = {}
    for name in names:
        other = first.setdefault(folded(name), name)
        if other != name:
            told = (
                f"found the address of another set, {in_words(shown, other)}, but for upper and lower case or accents"
            )
            remedy = "expected names that differ in more; rename one of the folders"
            yield Notice(name, f"{in_words(shown, name)}: {told}; {remedy}")
