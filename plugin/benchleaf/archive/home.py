"""Pieces of the archive that a site's own pages place: ``[[last finished]]`` on a line of its own, and so on."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

from ..record.part_types import PAPER_TYPES, POLARISED_TYPES
from ..record.problems import did_you_mean, one_of, quoted
from ..words import DIALECTS
from ..words.decimal_sign import decimals_behind
from .cards import Card
from .index import MOST_CARDS, carded_of
from .lists_across import lists_across
from .part_counts import Looked, from_dict, tally

if TYPE_CHECKING:
    from ..pages.set_page import Choices, SetPage

_LINE = re.compile(r" {0,3}\[\[([^\[\]\n]{1,80})\]\][ \t]*")
_FENCE = re.compile(r" {0,3}(`{3,}|~{3,})")
_LAST, _ON_BENCH, _FOUND = 3, 6, 3
"""Sets and lines shown at most by each piece."""


@dataclass(frozen=True)
class PlacedPieces:
    """A page's Markdown with a comment in place of each run of pieces, the HTML that takes its place, and warnings."""

    markdown: str
    html: Mapping[str, str] = field(default_factory=dict)
    warnings: tuple[str, ...] = ()


@dataclass(frozen=True)
class Home:
    """The archive as a page of the site's own shows it.

    ``at`` is the way from the site's root to the index, ``left_out`` names pages of the archive that are not made.
    """

    pages: Sequence[SetPage]
    choices: Choices
    at: str
    left_out: frozenset[str] = frozenset()

    @cached_property
    def _carded(self) -> list[tuple[Card, Mapping[str, Any]]]:
        return carded_of([page for page in self.pages if _fits(page, self.choices)], self.choices)

    def placed(self, markdown: str, file: str, to_root: str, *, above: int = 0, others: bool = False) -> PlacedPieces:
        """The pieces of one page put in.

        ``to_root`` leads from the page to the site's root. ``above`` is the number of lines of the file that stand
        before ``markdown``. ``others`` says that double brackets may mean something else on this site, so that an
        unknown name is no slip.
        """
        if "[[" not in markdown:
            return PlacedPieces(markdown)
        runs, warnings = _runs(markdown.split("\n"), file, above, others)
        html = {f"<!-- benchleaf piece {n} -->": self._html(run.names, to_root) for n, run in enumerate(runs)}
        lines: list[str | None] = list(markdown.split("\n"))
        for mark, run in zip(html, runs, strict=True):
            lines[run.first] = f"\n{mark}\n"
            lines[run.first + 1 : run.last + 1] = [None] * (run.last - run.first)
        return PlacedPieces("\n".join(line for line in lines if line is not None), html, tuple(warnings))

    def _html(self, names: Sequence[str], to_root: str) -> str:
        from ..pages import rendering

        up = f"{to_root}{self.at}"
        with decimals_behind(self.choices.decimal_sign):
            pieces = [(name, _PIECES[name](self, up)) for name in names]
        return rendering.render("home.html.j2", pieces=pieces, index=self._index(up))

    def _index(self, up: str, query: str = "") -> str:
        return (up if self.choices.directory_urls else f"{up}index.html") + query or "./"

    def _place(self, up: str, name: str) -> str:
        """Where a list across sets is: on its page, or on the index."""
        if len(self._carded) > MOST_CARDS:
            return up + self.choices.address(name)
        return f"{self._index(up)}#{name}"

    def last_finished(self, up: str) -> dict[str, Any]:
        """The sets that were finished last, latest first."""
        done = [card for card, _ in self._carded if card.state == "finished"]
        done.sort(key=lambda card: card.finished or card.dated, reverse=True)
        return {"cards": [card.seen_from(up) for card in done[:_LAST]]}

    def on_the_bench(self, up: str) -> dict[str, Any]:
        """What is being worked on, and what each set waits for."""
        open_ = [card for card, _ in self._carded if card.state == "on the bench"]
        open_.sort(key=lambda card: card.dated, reverse=True)
        more = len(open_) - _ON_BENCH
        query = f"?state={quote('on the bench')}"
        return {
            "cards": [card.seen_from(up) for card in open_[:_ON_BENCH]],
            "more": (self._index(up, query), f"{more} more on the bench") if more > 0 else None,
        }

    def found_in_these_sets(self, up: str) -> dict[str, Any]:
        """How many of the old parts that were measured were out, for the sorts with the most of them."""
        looked = [from_dict(one) for _, raw in self._carded for one in raw.get("looked_at", ())]
        counted = (tally(name, [one for one in looked if belongs(one)]) for name, belongs in _SORTS)
        found = sorted((one for one in counted if one.looked), key=lambda one: -one.out)[:_FOUND]
        more = None if "old-parts" in self.left_out else (self._place(up, "old-parts"), "What old parts were like")
        lines = [f"{one.out} of {one.looked} {one.name}" for one in found]
        lines[:1] = [f"{first} measured were out of tolerance or over their limits" for first in lines[:1]]
        return {"lines": lines, "more": more}

    def look_up(self, up: str) -> dict[str, Any]:
        """The ways into the archive."""
        across = lists_across(self._carded, DIALECTS[self.choices.dialect])
        apart = self.left_out | {"old-parts", "to-order"}
        ways = [(self._place(up, one.name), one.short) for one in across if one.name not in apart]
        return {"ways": [(self._index(up), "Every set"), *ways]}


def first_piece(markdown: str) -> tuple[int, str] | None:
    """The first line of a page, counted from 1, on which a piece is placed, and its name; None without one."""
    runs, _ = _runs(markdown.split("\n"), "", 0, others=True)
    return (runs[0].first + 1, runs[0].names[0]) if runs else None


def _fits(page: SetPage, choices: Choices) -> bool:
    """Whether a set has a card that can be shown; of one that has not, the index tells."""
    try:
        lists_across(carded_of([page], choices), DIALECTS[choices.dialect])
    except Exception:
        return False
    return True


_PIECES: Mapping[str, Callable[[Home, str], dict[str, Any]]] = {
    "last finished": Home.last_finished,
    "on the bench": Home.on_the_bench,
    "found in these sets": Home.found_in_these_sets,
    "look up": Home.look_up,
}
PIECES = tuple(_PIECES)
"""The names of the pieces."""
_SORTS: tuple[tuple[str, Callable[[Looked], bool]], ...] = (
    ("paper capacitors", lambda one: one.kind in PAPER_TYPES),
    ("electrolytics", lambda one: one.kind in POLARISED_TYPES),
    ("other capacitors", lambda one: one.unit == "F" and one.kind not in (*PAPER_TYPES, *POLARISED_TYPES)),
    ("resistors", lambda one: one.unit == "ohm"),
)


@dataclass(frozen=True, slots=True)
class _Run:
    """Pieces that stand one below the other with nothing but blank lines between; lines count from 0."""

    first: int
    last: int
    names: tuple[str, ...]


def _runs(lines: Sequence[str], file: str, above: int, others: bool) -> tuple[list[_Run], list[str]]:
    runs: list[_Run] = []
    warnings: list[str] = []
    fence, joined = "", False
    for at, line in enumerate(lines):
        mark = _FENCE.match(line)
        if mark and not fence:
            fence = mark[1]
        elif fence and mark and mark[1].startswith(fence) and not line.strip().strip(fence[0]):
            fence = ""
            joined = False
            continue
        piece = None if fence else _LINE.fullmatch(line)
        name = " ".join(piece[1].casefold().split()) if piece else ""
        if name in _PIECES:
            if joined:
                runs[-1] = _Run(runs[-1].first, at, (*runs[-1].names, name))
            else:
                runs.append(_Run(at, at, (name,)))
            joined = True
        elif line.strip():
            joined = False
            near = did_you_mean(name, PIECES) if piece else ""
            if piece and (near or not others):
                expected = f"the name of a piece: {one_of(PIECES)}"
                place = f"{file}:{above + at + 1}:{line.index('[') + 1}"
                told = f"{place}: found {quoted(line.strip())}; expected {expected}"
                warnings.append(f"{told}; {near}" if near else told)
    return runs, warnings
