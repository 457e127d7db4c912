"""Several lines typed or pasted at once: one a row, under the headings that stand above them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from ..reader import read_tree
from ..text import Entries, Text
from .typed_line import section_named

MOST_ROWS = 120
"""As many as a list of readings may hold."""


@dataclass(frozen=True, slots=True)
class TypedRow:
    """One line: ``where`` it was typed, what it says, and the ``section`` and ``run`` that it belongs to.

    ``written_out`` says that a heading above it named the run.
    """

    where: str
    said: str
    section: str = ""
    run: str = ""
    written_out: bool = False


def typed_rows(text: str, file: str) -> Iterator[TypedRow]:
    """The rows of a text, without empty ones and comments.

    A row that ends with a colon is a heading: a section's name, or that of a list of readings, as the lines of a record
    have them; one that stands further in, or in another section, is none. A row may be in quotes as a record's lines
    may be.
    """
    above, depth = TypedRow("", ""), 0
    for number, written in enumerate(text.split("\n"), 1):
        row = written.strip().removeprefix("- ").strip()
        if not row or row.startswith("#"):
            continue
        further_in = len(written) - len(written.lstrip())
        name = _unquoted(row[:-1].strip())
        section = section_named(name)
        if row.endswith(":") and section:
            above = TypedRow("", "", section)
        elif row.endswith(":") and above.section in ("", "readings") and not (above.run and further_in > depth):
            above, depth = TypedRow("", "", "readings", name, written_out=True), further_in
        else:
            yield replace(above, where=f"{file}:{number}", said=_plain(row))


def _unquoted(name: str) -> str:
    read, problems = read_tree(f"x: {name}", "")
    value = next(iter(read.values()), name) if read else name
    return str(value) if name[:1] in "\"'" and isinstance(value, str) and not problems else name


def _plain(row: str) -> str:
    """A row whose name or value is in quotes, without them."""
    if not any(row.startswith(mark) or f": {mark}" in row for mark in "\"'"):
        return row
    read, problems = read_tree(row, "")
    if problems or not isinstance(read, Entries) or len(read) != 1:
        return row
    ((name, value),) = read.items()
    return f"{name}: {value}" if isinstance(value, Text) else row
