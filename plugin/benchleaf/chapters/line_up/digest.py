"""The chapter in short: what sits in each position; within the heaters only what was exchanged."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...report.amount import Amount, Origin
from ...report.digest import Brief, Compared, Digest, remaining
from ...report.sentence import Judged, Phrase, PhrasePart, Sentence, Styled, listed
from ...report.table import Column, Row, RowGroup, Table, cell
from ...report.verdict import Verdict
from .say import standouts

if TYPE_CHECKING:
    from ..bench import Bench
    from .findings import Exchange, ExchangedTube, LineUpFindings, TubePosition

MOST_ROWS = 12
_EMISSION = 60
"""The rank of an exchanged tube's emission among the figures at the top of the record."""


def digest(findings: LineUpFindings, bench: Bench) -> Digest:
    """The line-up as a table for a record that has no heaters to tell it with."""
    words = bench.words
    left_out = len(findings.tubes) - MOST_ROWS
    return Digest(
        _conclusion(findings, bench),
        table=_table(findings.tubes[:MOST_ROWS], bench) if findings.tubes else None,
        after=(f"And {left_out} more on the page of the {words.tubes}.",) if left_out > 0 else (),
        small=listed([_exchanged(exchange) for exchange in findings.changed], " "),
        working=f"Heaters, bases, and what the table knows of these {words.tubes}",
        brief=Brief(
            compared=tuple(_compared(findings)),
            done=tuple(_done(findings, bench)),
            remains=remaining(tuple(standouts(findings, bench))),
        ),
    )


def _conclusion(findings: LineUpFindings, bench: Bench) -> Phrase:
    count = len(findings.tubes)
    if not count:
        return ("No line-up is written.",)
    tubes = bench.words.tube if count == 1 else bench.words.tubes
    said: list[PhrasePart] = [f"{count} {tubes}", f", {len(findings.changed)} exchanged" if findings.changed else ""]
    if findings.not_in_table:
        said += ["; ", Judged(Verdict.UNKNOWN, (f"not in the table: {', '.join(findings.not_in_table)}",))]
    return (*said, ".")


def _table(places: tuple[TubePosition, ...], bench: Bench) -> Table:
    columns = (Column("Place"), Column("Type"), Column("Job"))
    rows = tuple(Row(cell(place.tube), (cell(*_type(place)), cell(*_job(place)))) for place in places)
    return Table("Line-up", f"The {bench.words.tubes} and their jobs", columns, (RowGroup(rows),))


def _type(place: TubePosition) -> Phrase:
    unknown: Phrase = () if place.known else (" ", Judged(Verdict.UNKNOWN, ("not in the table",)))
    return (place.type, *unknown)


def _job(place: TubePosition) -> Phrase:
    if not place.job:
        return ()
    return (Styled((place.job,), Origin.PUBLISHED),) if place.job_from_table else (place.job,)


def _exchanged(exchange: Exchange) -> Phrase:
    """``V4 exchanged 2026-03-03: 50C5 at 61 % emission (crackled), now 50C5 at 102 %.``; why is said of the old one."""
    said: list[PhrasePart] = [f"{exchange.tube} exchanged{f' {exchange.date}' if exchange.date else ''}"]
    why: Phrase = (f" ({exchange.why})",) if exchange.why else ()
    sides: list[Phrase] = [(*_side(exchange.was), *why)] if exchange.was else []
    sides += [("now ", *_side(exchange.now))] if exchange.now else []
    said += [": ", *listed(sides)] if sides else []
    said += () if exchange.was else why
    for remark in exchange.remarks:
        said += ["; ", Judged(Verdict.WATCH, (remark,))]
    return (*said, ".")


def _side(side: ExchangedTube) -> Phrase:
    if side.emission is None:
        return (side.type,)
    return side.type, " at ", _emission(side), " emission"


def _emission(side: ExchangedTube) -> Amount:
    return Amount(side.emission, "1", Origin.MEASURED)


def _compared(findings: LineUpFindings) -> Iterator[Compared]:
    for exchange in findings.changed:
        was, now = exchange.was, exchange.now
        if was and now and was.emission is not None and now.emission is not None:
            kinds = was.type if was.type == now.type else f"{was.type}, now {now.type}"
            label = f"Emission of {exchange.tube}, {kinds}"
            yield Compared(_EMISSION, label, (_emission(was),), (_emission(now),), ("exchanged",))


def _done(findings: LineUpFindings, bench: Bench) -> Iterator[Sentence]:
    tubes = [exchange.tube for exchange in findings.changed]
    if tubes:
        words = bench.words.tube if len(tubes) == 1 else bench.words.tubes
        names = tubes[0] if len(tubes) == 1 else f"{', '.join(tubes[:-1])} and {tubes[-1]}"
        yield Sentence(Verdict.PLAIN, f"{len(tubes)} {words} exchanged: {names}.", "tubes-changed")
