"""What is made of one set: its page, the files beside it, and the choices of the site it is made for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from ..record.manner import Manner
from ..record.problems import Problem
from ..words import AMERICAN


@dataclass(frozen=True)
class Choices:
    """What a site chooses for all its sets; the first fields are options of the plugin of the same names.

    ``sets_url`` is the address of the folder of all sets on the web, empty where the site does not say where it is;
    ``slash_dates`` is ``month first``, ``day first`` or empty; ``own_words`` lie beside the sets.
    """

    dialect: str = "american"
    touch_limit: str = "IEC 60065"
    publish_private: bool = False
    permalinks: bool = False
    directory_urls: bool = True
    sets_url: str = ""
    decimal_sign: str = "point"
    slash_dates: str = ""
    how_it_works: bool = True
    own_words: tuple[tuple[str, str], ...] = ()

    @property
    def manner(self) -> Manner:
        """How the site's records are read where two readers read otherwise."""
        american = self.dialect == AMERICAN.dialect
        return Manner(american=american, slash_dates=self.slash_dates, own_words=self.own_words)

    def address(self, folder: str) -> str:
        """A page in a ``folder`` below the set's, from the record; the record itself where it is empty."""
        below = f"{folder}/" if folder else ""
        return (below or "./") if self.directory_urls else f"{below}index.html"

    def index(self, name: str) -> str:
        """The index of all sets from the record of the set in the folder ``name`` below that of the sets."""
        return "../" * (name.count("/") + 1) + ("" if self.directory_urls else "index.html")


@dataclass(frozen=True)
class OutFile:
    """A file published beside a set's page: its path below the set's folder, and its text, or where its bytes lie.

    ``data`` holds the bytes themselves where there is no cache they could lie in.
    """

    path: str
    text: str | None = None
    source: str | None = None
    data: bytes | None = None


@dataclass(frozen=True)
class WorkingPage:
    """A page in the folder ``name`` below a set's, with a chapter in full; or below the index of all sets.

    ``search`` is what the search index is given, empty for nothing: to a chapter visitors are led from the record.
    ``wide`` asks for the room of the theme's contents list, which such a page does without.
    """

    name: str
    title: str
    description: str
    html: str
    entries: tuple[tuple[int, str, str], ...]
    anchors: tuple[str, ...]
    links: tuple[str, ...] = ()
    search: str = ""
    updated: str | None = None
    wide: bool = False

    @staticmethod
    def at(name: str, choices: Choices) -> str:
        """The address of such a page from the record."""
        return choices.address(name)

    def address(self, choices: Choices) -> str:
        """Its own address from the record."""
        return self.at(self.name, choices)


@dataclass(frozen=True)
class SetPage:
    """One finished page and all that belongs to it.

    ``html`` is the page, ``search`` what the search index is given in its place. ``card`` is what the archive's index
    shows of the set, None for a record that could not be read. ``links`` are addresses of other files of the site that
    the page uses. ``workings`` are the set's other pages. ``unread`` are the lines
    of the record that were not understood. ``depends`` holds other files that went in, with their
    hashes. ``failures`` names each set that could not be worked out, ``remarks`` how
    its lines were taken, both for the log. ``wide`` as for a ``WorkingPage``.
    """

    folder: str
    title: str
    description: str
    html: str
    search: str
    entries: tuple[tuple[int, str, str], ...]
    anchors: tuple[str, ...]
    links: tuple[str, ...] = ()
    files: tuple[OutFile, ...] = ()
    workings: tuple[WorkingPage, ...] = ()
    card: dict[str, Any] | None = None
    problems: tuple[Problem, ...] = ()
    unread: tuple[int, ...] = ()
    updated: str | None = None
    depends: tuple[tuple[str, str | None], ...] = ()
    cache_keys: tuple[str, ...] = ()
    failures: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()
    wide: bool = False

    @property
    def tags(self) -> tuple[str, ...]:
        """Maker, kind and decade of a set, as far as they are known."""
        card = self.card or {}
        year = card.get("year")
        return tuple(
            str(one) for one in (card.get("maker"), card.get("kind"), f"{year // 10}0s" if year else "") if one
        )
