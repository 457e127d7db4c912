"""Where a site's sets lie on the disk, where their pages are published, and how their files are named to the writer."""

from __future__ import annotations

import os
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from ..record.problems import did_you_mean, one_of, quoted
from .found_sets import holds_record
from .paths import folded, in_words, joined, real_path

CONFIGURATIONS = ("mkdocs.yml", "mkdocs.yaml", "properdocs.yml", "properdocs.yaml")
"""What a site's configuration is called; it lies in the project's own folder."""
DEFAULT = "sets"
"""The option as it is where nobody writes it; also the address of sets that lie outside ``docs_dir``."""


@dataclass(frozen=True)
class SetsFolder:
    """The folder of the sets.

    ``published`` is the address of its index below the site's root, empty for the root itself. ``shown`` is its path as
    the writer sees it: counted from ``docs_dir``, or from the configuration file for a folder outside. ``from_docs`` is
    the way there from ``docs_dir``, None where it leaves the project. ``grounds`` are the folders in ``docs_dir`` that
    the rule for sets holds for. ``docs_shown`` is what stands before paths in ``docs_dir`` where sets lie outside it.
    ``fault`` says what is wrong with the option; there are no sets then.
    """

    path: Path
    published: str
    shown: str
    from_docs: str | None
    grounds: frozenset[str]
    docs_shown: str = ""
    fault: str = ""

    @property
    def inside(self) -> bool:
        """Whether the folder lies in ``docs_dir``."""
        return self.from_docs == self.published

    def name(self, folder: Path) -> str:
        """A set's folder below this one: ``north-branch/minuet``."""
        return folder.relative_to(self.path).as_posix()

    def label(self, folder: Path) -> str:
        """A set's folder as the writer is told of it: ``sets/north-branch/minuet``."""
        return in_words(self.shown, self.name(folder))

    def address(self, folder: Path) -> str:
        """Where a set's page is published, without a slash at its end."""
        return joined(self.published, self.name(folder))


def sets_folder(written: str, docs: Path, project: Path, site: Path | None = None) -> SetsFolder:
    """The folder that the option ``sets`` leads to, counted from ``docs``.

    ``project`` holds the configuration file. ``site`` is where the site is built: no sets are looked for there.
    """
    docs, project = Path(os.path.abspath(docs)), Path(os.path.abspath(project))
    path = _spelled(Path(os.path.normpath(docs / _with_slashes(written, docs))), docs)
    fault, below = _fault(written, path, docs, project, site), _below(path, docs)
    if below is not None:
        real = _below(real_path(path), real_path(docs)) or below
        return SetsFolder(path, below, below, below, frozenset({below, real}), fault=fault)
    shown, docs_shown = _below(path, project) or path.name, _below(docs, project) or docs.name
    return SetsFolder(path, DEFAULT, shown, _way(path, docs, project), frozenset({DEFAULT}), docs_shown, fault)


def nothing_found(sets: SetsFolder, *, kept_out: int) -> str:
    """What the writer is told of a folder without a set that could be built."""
    shown = quoted(in_words(sets.shown) or "docs_dir")
    if kept_out:
        return (
            f"{shown}: found {kept_out} set{'s'[: kept_out > 1]}, all kept out by exclude_docs; expected one to build"
        )
    expected = (
        "expected a folder with a record.yml for each set; start one with “benchleaf new”, or mend the option “sets”"
    )
    return f"the option “sets”: found no set in {shown}; {expected}"


def page_in_the_way(sets: SetsFolder, folder: Path, page: str) -> str:
    """What the writer is told of a page of the site at a set's address."""
    found = f"found a page at the address of the set {sets.label(folder)}"
    return (
        f"{in_words(sets.docs_shown, page)}: {found}; expected one page there; rename one of them. It is not published"
    )


def _with_slashes(written: str, docs: Path) -> str:
    """The option with the slashes of every system, unless a folder has a backslash in its name."""
    return written if (docs / written).exists() else written.replace("\\", "/")


def _spelled(path: Path, docs: Path) -> Path:
    """The path as the disk spells it: a generator lists files so, and compares them letter by letter."""
    base = docs if path.is_relative_to(docs) else path.parent
    for part in path.relative_to(base).parts:
        base = base / _entry(base, part)
    return base


def _entry(folder: Path, name: str) -> str:
    try:
        names = os.listdir(folder)
    except OSError:
        return name
    if name in names:
        return name
    composed = unicodedata.normalize("NFC", name)
    alike = [n for n in names if unicodedata.normalize("NFC", n) == composed]
    alike = alike or [n for n in names if folded(n) == folded(name) and _same(folder / n, folder / name)]
    return alike[0] if len(alike) == 1 else name


def _same(one: Path, other: Path) -> bool:
    try:
        return os.path.samefile(one, other)
    except OSError:
        return False


def _below(path: Path, folder: Path) -> str | None:
    """The way from ``folder`` to a path in it, empty for itself; None for a path outside."""
    for inner, outer in ((path, folder), (real_path(path), real_path(folder))):
        if inner.is_relative_to(outer):
            return inner.relative_to(outer).as_posix().removeprefix(".")
    return None


def _way(path: Path, docs: Path, project: Path) -> str | None:
    """The way from ``docs`` to a folder outside, as long as it stays in the project or the repository around it."""
    above = [project, *project.parents]
    around = next((folder for folder in above if (folder / ".git").exists()), project)
    return Path(os.path.relpath(path, docs)).as_posix() if path.is_relative_to(around) else None


def _fault(written: str, path: Path, docs: Path, project: Path, site: Path | None) -> str:
    option = f"the option “sets”: found {quoted(written)}"
    if path.is_dir():
        around = real_path(path) != real_path(docs) and real_path(docs).is_relative_to(real_path(path))
        return (
            f"{option}, which holds docs_dir; expected a folder for the sets alone, such as “../sets”" if around else ""
        )
    what = "which is a file" if path.is_file() else "which leads to no folder"
    expected = "expected the folder of the sets, counted from docs_dir"
    return f"{option}, {what}; {expected}; {_remedy(written, docs, project, site)}"


def _remedy(written: str, docs: Path, project: Path, site: Path | None) -> str:
    """The folder that was meant: where records lie, else the one with the nearest name."""
    near = {
        Path(os.path.relpath(folder, docs)).as_posix(): folder
        for base in (docs, project)
        for folder in _folders(base)
        if folder != docs and folder != site
    }
    holding = [way for way, folder in near.items() if holds_record(folder)]
    if holding:
        return f"records lie in {one_of(map(quoted, holding), 'and')}; write “sets: {holding[0]}”"
    return did_you_mean(written, near) or "start one with “benchleaf new sets/my-first-set” and write “sets: ../sets”"


def _folders(base: Path) -> Iterator[Path]:
    try:
        entries = sorted(base.iterdir())
    except OSError:
        return
    yield from (e for e in entries if not e.name.startswith(".") and e.is_dir() and not e.is_symlink())
