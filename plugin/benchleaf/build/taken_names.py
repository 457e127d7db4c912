"""Sets at addresses that the archive needs for itself: what goes, what stays, and what the writer is told."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from pathlib import Path

from ..archive.index import reserved
from ..pages.site_files import asset_files
from .paths import folded, in_words
from .whereabouts import SetsFolder

INDEX = "index.html"


def in_the_index_way(sets: SetsFolder, folders: Collection[Path], pages: Collection[str]) -> dict[Path, str]:
    """Sets whose pages would need a folder where a page's file is, each with what is told; they are not published.

    ``pages`` are the addresses of the files that the site publishes, that of the index of all sets among them.
    """
    taken = {folded(page) for page in pages}
    found = {}
    for folder in folders:
        steps = sets.address(folder).split("/")
        if any(folded("/".join(steps[: n + 1])) in taken for n in range(len(steps))):
            expected = "expected a name that no page's file has; rename the folder"
            told = f"found a folder where the site has the file of a page; {expected}. The set is not published"
            found[folder] = f"{in_words(sets.label(folder))}: {told}"
    return found


def assets_in_the_way(addresses: Mapping[str, str]) -> list[str]:
    """What is told of a site's own files at the addresses of the style and the scripts; they are not published.

    ``addresses`` has the site's files by where they would be published.
    """
    ours = {folded(name): name for name, _ in asset_files()}
    return [
        f"{in_words(source)}: found a file at the address of one that comes with Benchleaf; expected another name; "
        f"rename it. {ours[folded(at)]} is published without it"
        for at, source in addresses.items()
        if folded(at) in ours
    ]


def taken_names(sets: SetsFolder, folders: Collection[Path], count: int, *, joined: bool = False) -> Mapping[str, str]:
    """The archive's pages whose place a set, or a folder with sets, has, each with what is told; they are not made.

    ``count`` is the number of sets in the index: few of them need no pages beside it. ``joined`` as for
    ``reserved``.
    """
    names = {folded(name): (name, what) for name, what in reserved(count, joined=joined).items() if name != INDEX}
    found: dict[str, str] = {}
    for folder in folders:
        name, what = names.get(folded(sets.name(folder).partition("/")[0]), ("", ""))
        if name and name not in found:
            place = in_words(sets.shown, sets.name(folder).partition("/")[0])
            told = f"found a folder of sets at the address of {what}; expected another name; rename the folder"
            found[name] = f"{place}: {told}. What is in it is published, and the archive goes without"
    return found
