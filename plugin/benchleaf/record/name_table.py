"""Every name of a record in one sentence, with a line as it may be typed: ``names.csv``.

The editor's schema and the page of all names are made from it. A row without a name is of the section itself; names of
a section are also those of the sections that are made from it.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from .section import Section

_NUMBER = re.compile(r"-?(?:0|[1-9]\d*)(?:\.\d+)?")


@dataclass(frozen=True)
class NameRow:
    """What a name means, and an ``example`` as lines of a record, the name included."""

    says: str
    example: str

    @property
    def value(self) -> Any:
        """What stands behind the name in the example: text, a number, a list or a mapping."""
        import yaml

        written = yaml.load(self.example, yaml.BaseLoader)
        return _typed(written[0] if isinstance(written, list) else next(iter(written.values())))


class NameTable:
    """The rows by section and name."""

    def __init__(self, rows: Mapping[tuple[str, str], NameRow]) -> None:
        self.rows = rows

    def of(self, section: type[Section], name: str = "") -> NameRow:
        """The row of a section's name, or of the section itself. Raises KeyError where there is none."""
        owners = (owner.__name__ for owner in section.__mro__)
        return self.rows[next(((o, name) for o in owners if (o, name) in self.rows), (section.__name__, name))]

    def of_definition(self, section: str) -> NameRow:
        """The row of a section by the name of its class. Raises KeyError where there is none."""
        return self.rows[section, ""]


def name_table() -> NameTable:
    """The table that comes with the package."""
    with Path(__file__).with_name("names.csv").open(encoding="utf-8", newline="") as file:
        rows = {(row["section"], row["name"]): NameRow(row["says"], row["example"]) for row in csv.DictReader(file)}
    return NameTable(rows)


def _typed(node: Any) -> Any:
    """A value as a JSON document has it: plain numbers as numbers."""
    if isinstance(node, dict):
        return {key: _typed(value) for key, value in node.items()}
    if isinstance(node, list):
        return [_typed(value) for value in node]
    if not _NUMBER.fullmatch(node):
        return node
    return float(node) if "." in node else int(node)
