"""Lines typed at the bench put into a record's bytes one after the other, and what is told of each."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from pathlib import Path

from ..build.follow import LookedOver, look_over
from ..build.own_table import OwnFiles
from ..record import read_record
from ..record.accustom import accustom
from ..record.adding.growing import NoRoomError
from ..record.adding.open_record import Addition, AskedError, OpenRecord
from ..record.adding.typed_line import addition_of, lines_apart
from ..record.adding.typed_rows import TypedRow
from ..record.adding.ways_in import WayIn, ways_in
from ..record.dashes import undashed
from ..record.manner import Manner
from ..record.model import Record
from ..record.named_by_type import named_by_type
from ..record.own_tubes import read_own_table
from ..record.private import marked
from ..record.problems import quoted
from ..record.reader import decode, read_tree
from ..record.text import Entries, Listing, Text
from ..record.trade_words import NOW


@dataclass(frozen=True)
class OfSet:
    """A set's ``folder``, the name of its record as it is told, its club's ``table`` and the manner of its ``site``."""

    folder: Path
    file: str
    table: OwnFiles
    site: Manner


@dataclass
class AddedLines:
    """A record's ``data`` with what was added so far, what is ``told`` of it, and what is ``refused`` and why."""

    of: OfSet
    data: bytes
    told: list[str] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)
    standing: int = 0

    def add(self, rows: Iterable[TypedRow], day: datetime.date) -> None:
        """Put the rows in. One that cannot be is refused, and the others go on as if it had not been there."""
        broken = self._broken()
        if broken:
            self.refused = [
                *broken,
                f"{self.of.file}: put that right first: until then it is not sure where a line goes",
            ]
            return
        looked = self._looked_over(self.data)
        self.standing = len(looked.problems)
        for row in rows:
            for one in self._apart(row, day):
                looked = self._add(one, day, looked)

    def _apart(self, row: TypedRow, day: datetime.date) -> list[TypedRow]:
        """A row as one for each of its places; itself where that is asked, which is told when it is added."""
        try:
            return [replace(row, said=said) for said in lines_apart(row.said, self._opened(row, day))]
        except AskedError:
            return [row]

    def _add(self, row: TypedRow, day: datetime.date, before: LookedOver) -> LookedOver:
        try:
            into = self._opened(row, day)
            addition = addition_of(row.said, into)
            way, after = self._way(addition, into, before)
        except AskedError as error:
            self.refused.append(f"{row.where}: {error}")
            return before
        except _RefusedError as error:
            self.refused += [f"{row.where}: {quoted(row.said, 80)} would be, in the file:", *error.args]
            return before
        known = {remark.said for remark in before.remarks}
        self.data = way.data
        self.told.append(f"{self.of.file}:{way.line}: {addition.about}: {row.said}")
        self.told += [f"{self.of.file}:{way.line}: remark: {remark}" for remark in addition.remarks]
        self.told += [str(remark) for remark in after.remarks if remark.said not in known]
        return after

    def _opened(self, row: TypedRow, day: datetime.date) -> OpenRecord:
        record, _ = read_record(self.data, self.of.file, self.of.site)
        tree, _ = read_tree(decode(self.data, self.of.file)[0], self.of.file)
        if record is None or tree is None:
            raise AskedError("a record of which nothing can be read", "one that is read", "“benchleaf check” says why")
        if self.of.table:
            record = record.read_with(read_own_table(self.of.table)[0])
        dashed = [str(name) for name, value in tree.items() if isinstance(value, Listing)]
        undashed(tree, Record, self.of.file)
        named_by_type(tree)
        for name in dashed:
            if isinstance(tree[Text(name)], Entries):
                found = f"{quoted(name)} with its lines behind dashes"
                raise AskedError(found, "lines without them", "take each “- ” away, which changes nothing else")
        accustom(tree, self.of.site)
        manner = next(iter(tree)).manner
        return OpenRecord(tree, record, manner, day, row.section, row.run, row.written_out)

    def _way(self, addition: Addition, into: OpenRecord, before: LookedOver) -> tuple[WayIn, LookedOver]:
        """The first way in that is right and raises no problem. Raises AskedError or _RefusedError."""
        told: list[str] = []
        line, extends, whole = None, False, ""
        try:
            for way in ways_in(self.data, self.of.file, addition, into, self.of.site):
                after = self._looked_over(way.data)
                new = way.new_among(after.each, before.each, self.of.file)
                if way.holds and not new:
                    return way, after
                whole = whole or (way.whole_line if way.extends and not new else "")
                told = told or [str(problem) for problem in new]
                line, extends = (way.line, way.extends) if line is None else (line, extends)
        except NoRoomError as error:
            line = error.line + 1
        if told:
            raise _RefusedError(*told, *([f"or change line {line} of {self.of.file} itself"] if extends else []))
        if whole and _replaces_kept(addition, into):
            found = f"a new part where line {line} has the old one as kept (“ok”, “good” and “keep” say so)"
            remedy = f"where it was replaced, make line {line} of {self.of.file}: {whole}"
            raise AskedError(found, "one of the two", remedy)
        found = f"what cannot be put behind what line {line} has already"
        raise AskedError(found, "a line that says one thing more", f"change line {line} of {self.of.file} itself")

    def _looked_over(self, data: bytes) -> LookedOver:
        return look_over(data, self.of.folder, self.of.file, self.of.table, self.of.site)

    def _broken(self) -> list[str]:
        """What is broken in the notation of the file; of a line that may be private nothing is quoted."""
        text, problems = decode(self.data, self.of.file)
        _, slips = read_tree(text, self.of.file) if text or not problems else (None, [])
        return [str(problem.public()) for problem in marked((*problems, *slips), text, self.of.file)]


def _replaces_kept(addition: Addition, into: OpenRecord) -> bool:
    """Whether a line fits a new part where the record keeps the old one."""
    if addition.section != "parts" or not isinstance(addition.added, dict):
        return False
    ((name, said),) = addition.added.items()
    there = into.record.parts.get(Text(name))
    begins = isinstance(said, str) and any(said.casefold().startswith(f"{word} ".casefold()) for word in ("now", *NOW))
    return begins and there is not None and str(there.state or "") == "keep"


class _RefusedError(Exception):
    """What the record's check says of a line, were it in the file."""
