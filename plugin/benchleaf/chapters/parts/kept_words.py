"""The parts that stay as they were, in one paragraph: what is off first, and what nobody measured last."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from ...record.line_values import WOUND
from ...report.amount import Amount
from ...report.sentence import Judged, Link, Phrase, listed
from .component_words import component, measured
from .opened_row import off_as_found

if TYPE_CHECKING:
    from .findings import PartFindings, PartsFindings

STAYS = ("kept", "reformed", "looked at")
"""States of a part that is still the one that was found."""
MOST_NAMED = 24


def staying(findings: PartsFindings, anchor: str) -> Phrase:
    """``Kept (marked, measured): C4 220 pF, 224 pF; …``; ``anchor`` leads to those that there is no room for."""
    rows = [row for _, rows in findings.groups() for row in rows]
    said = [sentence for state in STAYS if (sentence := _of(state, [r for r in rows if r.state == state], anchor))]
    return listed(said, " ")


def _of(state: str, rows: Sequence[PartFindings], anchor: str) -> Phrase:
    read = [row for row in rows if measured(row.piece.was)]
    read.sort(key=lambda row: off_as_found(row) is None)
    wound = [row for row in rows if not measured(row.piece.was) and _by_its_wire(row)]
    unread = [row.name for row in rows if not measured(row.piece.was) and not _by_its_wire(row)]
    told = []
    if read:
        holds = all(row.was_in_tolerance or row.was_in_assumed for row in read)
        assumed = any(row.assumed_tolerance for row in read)
        within = f", all within {'written or assumed ' if assumed else ''}tolerance" if holds else ""
        told.append((f"{state.capitalize()}{within} (marked, measured): ", *listed(_named(read), "; "), "."))
    if wound:
        named = ((f"{row.name} ", *component(row.piece.was)) for row in wound[:MOST_NAMED])
        told.append((f"{state.capitalize()}, ohms of wire: ", *listed(named, "; "), *_more(len(wound), anchor), "."))
    if unread:
        names = ", ".join(unread[:MOST_NAMED])
        told.append((f"{state.capitalize()}, not measured: {names}", *_more(len(unread), anchor), "."))
    if len(read) > MOST_NAMED:
        told[0] = (*told[0][:-1], *_more(len(read), anchor), ".")
    return listed(told, " ")


def _by_its_wire(row: PartFindings) -> bool:
    """Whether the ohms of a winding or coil are written: it wears none, so that they are what a meter read."""
    was, letters = row.piece.was, re.match(r"[A-Z]+", row.name)
    return was is not None and was.unit == "ohm" and was.value is not None and bool(letters and letters[0] in WOUND)


def _named(read: Sequence[PartFindings]) -> Iterator[Phrase]:
    for row in read[:MOST_NAMED]:
        marked = row.piece.nominal[0]
        nominal = (Amount(marked, row.piece.was.unit if row.piece.was else ""),) if marked else component(row.piece.was)
        words: Phrase = (f"{row.name} ", *nominal, ", ", *measured(row.piece.was))
        off = off_as_found(row)
        yield (Judged(off.verdict, words),) if off else words


def _more(count: int, anchor: str) -> Phrase:
    return (" and ", Link(f"{count - MOST_NAMED} more", anchor)) if count > MOST_NAMED else ()
