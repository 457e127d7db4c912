"""What a record names looked up: in the record itself, and among the files of its folder and the sets beside it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from ..circuit.names import look_over as look_over_names
from ..circuit.place import place
from ..circuit.placeless import placeless_remarks
from ..circuit.tube_jobs.told_jobs import job_remarks
from ..record import read_beside_mistakes, read_record
from ..record.asked_once import asked_once
from ..record.day_remarks import day_remarks
from ..record.encoding import decode
from ..record.lost import block_of
from ..record.manner import AMERICAN_SITE, Manner
from ..record.owner_named import owner_remarks
from ..record.private import marked
from ..record.problems import MOST_TOLD, Problem
from ..record.remarks import Remark, remarks_of
from ..record.slips import Slips
from . import files

if TYPE_CHECKING:
    from ..circuit.circuit import Circuit
    from ..record.model import Record
    from .own_table import OwnFiles


@dataclass(frozen=True)
class References:
    """What the record's names lead to, and the ones that lead nowhere.

    ``circuit`` is that of the record with the readings of its spreadsheets put in. ``photos`` are by the path as
    written, ``neighbours`` (other sets' records) and ``tables`` (spreadsheets) by their name in the record.
    ``missing`` are the files it names that are not there or must not be read.
    """

    circuit: Circuit
    photos: Mapping[str, Path]
    neighbours: Mapping[str, Path]
    tables: Mapping[str, Path]
    missing: tuple[Path, ...]
    problems: tuple[Problem, ...]


@dataclass(frozen=True)
class LookedOver:
    """A record's names followed, as far as it could be read, and every problem of reading and of following.

    ``references`` are None where nothing could be read, ``unread`` the problems for which a line was left out.
    ``remarks`` say how what was read was taken. ``problems`` ask a habit once, ``each`` has it at each of its lines.
    """

    references: References | None
    problems: tuple[Problem, ...]
    unread: tuple[Problem, ...]
    remarks: tuple[Remark, ...] = ()
    each: tuple[Problem, ...] = ()


def look_over(data: bytes, folder: Path, file: str, table: OwnFiles = (), site: Manner = AMERICAN_SITE) -> LookedOver:
    """Read a record and follow its names: every problem in one pass, in the order of the file, each place told once.

    ``table`` are the files of the club's own tube table; what is wrong in them is not told here. ``site`` is what the
    site has settled of how things may be written.
    """
    record, unread = read_record(data, file, site)
    if record is None:
        return LookedOver(None, tuple(asked_once(unread)), tuple(unread), (), tuple(unread))
    if table:
        from ..record.own_tubes import read_own_table

        record = record.read_with(read_own_table(table)[0])
    found = follow(record, folder, file)
    beside = _beside_mistakes(data, record, file, site) if 0 < len(unread) < MOST_TOLD else ()
    told = {(problem.file, problem.line, problem.column) for problem in unread}
    more = [p for p in dict.fromkeys((*found.problems, *beside)) if (p.file, p.line, p.column) not in told]
    own_words = (Remark(file, *word.places[0], "", word.said) for word in record.own_words)
    told_of = (*remarks_of(record, file), *day_remarks(record, file), *job_remarks(record, file), *own_words)
    of_parts = placeless_remarks(found.circuit, file)
    remarks = tuple(sorted((*told_of, *owner_remarks(record, file), *of_parts)))
    each = marked(sorted([*unread, *more])[:MOST_TOLD], decode(data, file)[0], file)
    return LookedOver(found, tuple(asked_once(each)), tuple(unread), remarks, tuple(each))


def _beside_mistakes(data: bytes, record: Record, file: str, site: Manner) -> tuple[Problem, ...]:
    """The names that lead nowhere in lines that were left out of a record for something else in them."""
    whole = None if record.lost.marred else read_beside_mistakes(data, file, site)
    if whole is None:
        return ()
    text = decode(data, file)[0]
    lines = text.split("\n")
    left_out = {n for first in record.lost.lines for n, _ in enumerate(block_of(lines, first), first)}
    slips = Slips(file, replace(record.lost, lines=()))
    look_over_names(whole, slips)
    return tuple(marked([problem for problem in slips.problems() if problem.line in left_out], text, file))


def follow(record: Record, folder: Path, file: str) -> References:
    """Look up every name in the record. ``file`` is the name its problems carry; ``folder`` is the set's own."""
    slips = Slips(file, record.lost)
    record, tables = files.with_tables(record, folder, slips)
    circuit = place(record, slips)
    photos = dict(files.photos(record, folder, slips))
    neighbours = dict(files.neighbours(record, folder, slips))
    return References(circuit, photos, neighbours, tables, slips.missing(), slips.problems())
