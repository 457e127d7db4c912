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

    A row that ends with a colon is a heading: a section's name, that of a list of readings, or further in that of a
    tube of the list, as the lines of a record have them; in another section it is none. A row may be in quotes as a
    record's lines may be.
    """
    above, depth = TypedRow("", ""), 0
    tube, tubes_depth = "", 0
    for number, written in enumerate(text.split("\n"), 1):
        row = written.strip().removeprefix("- ").strip()
        if not row or row.startswith("#"):
            continue
        further_in = len(written) - len(written.lstrip())
        tube = tube if further_in > tubes_depth else ""
        heading = _unquoted(row[:-1].strip()) if row.endswith(":") else ""
        if heading and section_named(heading):
            above = TypedRow("", "", section_named(heading))
        elif heading and above.run and further_in > depth:
            tube, tubes_depth = heading, further_in
        elif heading and above.section in ("", "readings"):
            above, depth = TypedRow("", "", "readings", heading, written_out=True), further_in
        else:
            said = f"{tube}: {_plain(row).replace(': ', ' ', 1)}" if tube else _plain(row)
            yield replace(above, where=f"{file}:{number}", said=said)


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
