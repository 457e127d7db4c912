"""Text, tables and lists of a record that know where they were written."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from .manner import AS_WRITTEN, Manner

LineColumn = tuple[int, int]
"""Line and column, both counted from 1."""

NOWHERE: LineColumn = (1, 1)


class Text(str):
    """A piece of the writer's text with the place it begins at.

    ``single`` says that it stands on one line as typed, so that a place inside it can be counted. ``manner`` is how it
    may be taken, ``remarks`` what the writer is told of how it was, each with its place. ``typed`` is the line as
    it was typed, where this was reworded: what stands in both once has its place there.
    """

    place: LineColumn
    single: bool
    typed: Text | None = None
    manner: Manner = AS_WRITTEN
    remarks: tuple[tuple[LineColumn, str], ...] = ()

    def __new__(cls, value: str, place: LineColumn = NOWHERE, *, single: bool = True) -> Text:
        text = super().__new__(cls, value)
        text.place = place
        text.single = single
        return text

    def at(self, index: int) -> LineColumn:
        """The place of the character at ``index``; of the beginning where the text runs over several lines."""
        return (self.place[0], self.place[1] + index) if self.single else self.place

    def cut(self, start: int, end: int | None = None) -> Text:
        """The part from ``start`` to ``end`` without blanks around it, with its own place."""
        part = self[start:end]
        inner = part.strip()
        if self.typed is not None and inner and (found := _only(inner, self.typed)) is not None:
            return Text(inner, self.typed.at(found)).like(self)
        return Text(inner, self.at(start + len(part) - len(part.lstrip())), single=self.single).like(self)

    def like(self, other: object) -> Text:
        """Itself, to be taken as ``other`` is."""
        manner = getattr(other, "manner", AS_WRITTEN)
        if manner is not AS_WRITTEN:
            self.manner = manner
        return self

    def in_unit(self, unit: str, remark: str = "") -> Text:
        """The same with the unit that a number without one has; ``remark`` says how it is read, ``read as …``."""
        text = Text(str(self), self.place, single=self.single)
        text.manner = replace(self.manner, unit=unit, unit_remark=remark)
        text.remarks = self.remarks
        return text

    def and_then(self, other: Text) -> Text:
        """Itself and what was written further on, with a comma between."""
        adjoining = self.single and self.at(len(self) + 2) == other.place
        joined = Text(f"{self}, {other}", self.place, single=adjoining).like(self)
        joined.remarks = (*self.remarks, *other.remarks)
        return joined

    def read_as(self, meant: str) -> Text:
        """The trade's word for it, and the remark where that is another than was written."""
        same = " ".join(self.split()).casefold() == meant.casefold()
        return self.taken_as(meant, "" if same else f"“{self}” read as “{meant}”")

    def taken_as(self, meant: str, remark: str = "") -> Text:
        """What is meant by it, at its place; ``remark`` is told to the writer."""
        text = Text(meant, self.place, single=self.single and len(meant) == len(self)).like(self)
        text.typed = (self if self.single else self.typed) if not text.single else None
        text.remarks = (*self.remarks, (self.place, remark)) if remark else self.remarks
        return text


def _only(piece: str, line: Text) -> int | None:
    """Where a piece stands in a line as whole words, if it does so once."""
    if line.count(piece) != 1:
        return None
    start = line.find(piece)
    around = (line[start - 1 : start] + piece[0], piece[-1] + line[start + len(piece) : start + len(piece) + 1])
    return None if any(pair.isalnum() and len(pair) > 1 for pair in around) else start


class Entries(dict[Text, Any]):
    """Names and values, in the order written.

    ``line`` is the line that it was read from, if it was one. ``empty`` holds the names that stand there without a
    value. ``whole`` is False where the reader had to leave lines out, so that what is missing may have been written.
    ``given`` are the keys that were put there because something else says them: once taken out, they stay out.
    """

    def __init__(self, place: LineColumn = NOWHERE, line: Text | None = None) -> None:
        super().__init__()
        self.place = place
        self.line = line
        self.empty: list[Text] = []
        self.whole = True
        self.given: set[str] = set()


class Listing(list[Any]):
    """A list, in the order written."""

    def __init__(self, place: LineColumn = NOWHERE) -> None:
        super().__init__()
        self.place = place


def line_column_of(value: object) -> LineColumn | None:
    """Where a value was written, or None for a value that did not come from a record's text."""
    place = getattr(value, "place", None)
    return place if isinstance(place, tuple) else None
