"""Cabinet and mechanics in sentences and tables."""

from __future__ import annotations

from ...report.amount import Amount, Origin
from ...report.plain_page import PlainPage
from ...report.sentence import Bare, Link, Phrase, Sentence
from ...report.table import NUMBER, Cell, Column, Row, RowGroup, Table, cell
from ...report.verdict import Verdict
from ..bench import Bench
from .examine import FittingFound, MechanicsFindings

ANCHOR = "mechanics"
_WORKING: tuple[Phrase, ...] = (
    ("Knob turns: half of the drum’s diameter over the shaft’s, as a gang turns by half and the cord does not slip.",),
    ("Cord wound: π times the diameter times the turns, of each stop that has both.",),
)


def standouts(findings: MechanicsFindings, bench: Bench) -> list[Sentence]:
    """Nothing: what was found here was put right or is told as it is."""
    return []


def said(findings: MechanicsFindings, bench: Bench) -> PlainPage:
    """The chapter's page."""
    tables = (*_of_fittings(findings), *_of_cord(findings))
    return PlainPage(_conclusion(findings), tables, "", _WORKING if findings.stops else ())


def _conclusion(findings: MechanicsFindings) -> Sentence:
    told = []
    if findings.fittings:
        told.append(f"{', '.join(one.name for one in findings.fittings)}: as found and as left.")
    if findings.stops:
        told.append(f"The dial cord passes {' – '.join(stop.kind for stop in findings.stops)}.")
    if findings.knob_turns_ratio is not None:
        told.append(f"About {Bare(findings.knob_turns_ratio).text} turns of the knob move it from end to end.")
    return Sentence(Verdict.PLAIN, " ".join(told), ANCHOR)


def _of_fittings(findings: MechanicsFindings) -> tuple[Table, ...]:
    if not findings.fittings:
        return ()
    columns = (Column("What"), Column("Found"), Column("Done"))
    rows = tuple(Row(cell(one.name), (cell(one.found), _done(one))) for one in findings.fittings)
    return (Table("Cabinet and mechanics", "Cabinet and mechanics, as found and as left", columns, (RowGroup(rows),)),)


def _done(one: FittingFound) -> Cell:
    said = "; ".join(filter(None, (one.did, one.material and f"with {one.material}", one.note)))
    lines: list[Phrase] = [(said,)] if said else []
    lines += [(Link("pictures", "photos"),)] if one.pictured else []
    return Cell(tuple(lines))


def _of_cord(findings: MechanicsFindings) -> tuple[Table, ...]:
    if not findings.stops:
        return ()
    columns = (Column("Stop"), Column("As written"), Column("Diameter", NUMBER), Column("Turns", NUMBER))
    rows = tuple(
        Row(
            cell(f"{number} {stop.kind}"),
            (
                cell(stop.said),
                cell(Amount(stop.metres, "m")) if stop.metres else cell(),
                cell(Bare(stop.times_round)) if stop.times_round else cell(),
            ),
        )
        for number, stop in enumerate(findings.stops, 1)
    )
    wound = findings.wound_metres
    caption = "The dial cord from stop to stop"
    if wound is not None:
        caption += f"; {Amount(wound, 'm', Origin.COMPUTED, digits=2).text} of it are wound round them"
    return (Table("Dial cord", caption, columns, (RowGroup(rows),)),)
