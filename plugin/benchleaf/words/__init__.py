"""The trade's words, one CSV file a dialect. A page speaks the dialect its site chooses; one more file is one more."""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

_PAGE = "page"
"""What a row of a file is of where a page says its word; any other row is of a profile of electrodes."""

_OF_RECORD = {
    "B-": "b_minus",
    "B+": "b_plus",
    "line": "line",
    "hot": "hot",
    "earth": "earth",
    "earthed": "earthed",
    "aerial": "aerial",
    "tube": "tube",
    "tubes": "tubes",
    "plate": "plate",
    "plates": "plates",
    "anode": "plate",
    "filter": "filter",
    "filter capacitors": "filter_capacitors",
    "cord": "cord",
    "resistance cord": "resistance_cord",
    "grub screws": "set_screws",
    "remote-cutoff": "remote_cutoff",
    "polarised": "polarised",
}
"""The words that records are written in and tables keyed by, each with the name of what a page says for it."""

_LONGEST_FIRST = sorted(_OF_RECORD, key=len, reverse=True)
_IN_MESSAGE = re.compile(r"(?<![\w.-])(?<!under )(?:tubes?|plates?|cord)(?![\w:.-])")
_IN_EXAMPLE = re.compile(r"(?<![\w.-])(?:plates?(?![\w:.-])|B\+(?P<rail>\d)(?!\d)|(?P<hot>hot lead)(?!\w))")
"""What the examples of messages hold, of which a record reads every dialect's word."""
_TERM = re.compile("|".join(rf"(?<!\w){re.escape(term)}(?!\w)" for term in _LONGEST_FIRST))


@dataclass(frozen=True, slots=True)
class Words:
    """The words of one dialect: those of a page by name, and those of electrodes by profile and short key.

    ``rail`` is a rail of B+ with its number in place of ``{}``. ``filter_capacitors`` are all that hold the charge of
    the supply, ``reservoir`` the one at the rectifier.
    """

    dialect: str
    electrodes: Mapping[tuple[str, str], str] = field(repr=False, hash=False)
    tube: str
    tubes: str
    plate: str
    plates: str
    screen: str
    b_plus: str
    rail: str
    b_minus: str
    earth: str
    earthed: str
    aerial: str
    line: str
    hot: str
    cord: str
    resistance_cord: str
    wall_plug: str
    outlet: str
    filter: str
    filter_capacitor: str
    filter_capacitors: str
    reservoir: str
    set_screws: str
    residual_current: str
    remote_cutoff: str
    polarised: str
    colour: str
    slash_dates: str

    def on_a_battery(self) -> Words:
        """The words of a set that no line feeds: what is said of the line's volts and current is its battery's."""
        return replace(self, line="battery")

    def by_name(self) -> dict[str, str]:
        """What a page says, each by its name."""
        return {name: getattr(self, name) for name in self.__slots__ if name not in ("dialect", "electrodes")}

    def of_key(self, key: str) -> str:
        """How a page says what has its name in the record's keys (``B- to chassis``); never for a writer's own text."""
        return _TERM.sub(self._said, key)

    def of_message(self, told: str) -> str:
        """A message to a writer in the dialect; what it quotes stays, and so does what a record names so."""
        pieces = re.split("(“[^”]*”)", told)
        return "".join(piece if piece[:1] == "“" else _IN_MESSAGE.sub(self._said, piece) for piece in pieces)

    def of_example(self, told: str) -> str:
        """What a writer is shown to write in a message, quoted there, in words of the dialect that a record may use."""
        pieces = re.split("(“[^”]*”)", told)
        return "".join(_IN_EXAMPLE.sub(self._shown, piece) if piece[:1] == "“" else piece for piece in pieces)

    def _shown(self, term: re.Match[str]) -> str:
        if term["rail"]:
            return self.rail.format(term["rail"])
        return f"{self.hot} lead" if term["hot"] else self._said(term)

    def _said(self, term: re.Match[str]) -> str:
        return str(getattr(self, _OF_RECORD[term[0]]))

    def heading(self, key: str) -> str:
        """The same with a capital."""
        said = self.of_key(key)
        return said[:1].upper() + said[1:]


def read_words(dialect: str) -> Words:
    """The words of one file of this package. Raises TypeError where the file lacks one, or has one that nobody says."""
    with Path(__file__).with_name(f"{dialect}.csv").open(encoding="utf-8", newline="") as file:
        rows = [(row["of"], row["key"], row["word"]) for row in csv.DictReader(file)]
    electrodes = {(of, key): word for of, key, word in rows if of != _PAGE}
    return Words(dialect, electrodes, **{key: word for of, key, word in rows if of == _PAGE})


DIALECTS = {file.stem: read_words(file.stem) for file in sorted(Path(__file__).parent.glob("*.csv"))}
"""Every dialect by its name, which is that of its file."""

AMERICAN = DIALECTS["american"]
"""What is spoken where nothing is chosen."""

BRITISH = DIALECTS["british"]
