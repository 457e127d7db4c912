"""The trade's words, one CSV file a dialect. A page speaks the dialect its site chooses; one more file is one more."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

_PAGE = "page"
"""What a row of a file is of where a page says its word; any other row is of a profile of electrodes."""


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
