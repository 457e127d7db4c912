"""The chapter in short: the newest readings, tube by tube, each beside what is expected there."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...report.amount import Origin
from ...report.digest import Brief, Compared, Digest, remaining
from ...report.sentence import Link, Phrase, listed
from ...report.source import Source, Standing
from ...words import Words
from .across import across
from .as_found_load import over_as_found
from .judging import POSITIVE_GRID, tolerance_or_usual
from .say import standouts

if TYPE_CHECKING:
    from ..bench import Bench
    from .findings import ReadingsFindings, RunFindings
    from .rows import ReadingRow

ON_THE_BENCH = "on the bench"
_MOST_NAMES = 3
_MOST_UNREAD = 12
_RANK = 30


def digest(findings: ReadingsFindings, bench: Bench) -> Digest:
    """The newest list of measurements in one table, and what earlier ones found."""
    table, left_out = across(findings, bench, pins=_on_bench(bench))
    return Digest(
        conclusion=_conclusion(findings, bench),
        table=table,
        small=tuple(_small(findings, bench, left_out)),
        working=_working(findings),
        brief=Brief(
            compared=tuple(_compared(findings, bench)),
            wrong=tuple(over_as_found(findings, bench)),
            remains=remaining(tuple(standouts(findings, bench))),
        ),
    )


def _on_bench(bench: Bench) -> bool:
    return str(bench.record.state or "") == ON_THE_BENCH


def _conclusion(findings: ReadingsFindings, bench: Bench) -> Phrase:
    run = findings.latest
    if run is None:
        if not findings.published_only and not findings.resistance:
            worked_out = len(findings.worked_out)
            return (f"Nothing was measured yet; {worked_out} voltages follow from the set’s own circuit.",)
        if not findings.published_only:
            return ("No voltage is in the record; the resistances were read with the power off.",)
        return ("The expected voltages are written; nothing was measured yet.",)
    within, b_plus = _within(run, findings, bench), _b_plus(run, bench.words)
    return (*_grids(run), *within, *b_plus, *_may_be_behind(run, findings), *_earlier(findings))


def _may_be_behind(run: RunFindings, findings: ReadingsFindings) -> Phrase:
    """What trying every fault comes to, where one stands out."""
    causes = findings.causes_of(run.name)
    return (f" {causes.brief}",) if causes and causes.suspect else ()


def _grids(run: RunFindings) -> Phrase:
    grids = run.positive_grids
    if not grids:
        return ()
    are = "is" if len(grids) == 1 else "are"
    return (f"{_names(grids)} {are} positive, and a control grid never should be: that comes first. ",)


def _within(run: RunFindings, findings: ReadingsFindings, bench: Bench) -> Phrase:
    if not run.compared:
        return _without_sheet(run, findings, bench)
    band = _band(findings)
    if run.within == run.compared:
        every = "The one reading" if run.within == 1 else f"All {run.within} readings"
        has, is_ = ("has", "is") if run.within == 1 else ("have", "are")
        head: Phrase = (
            f"{every} that {has} a published value",
            *_sheet(findings, bench),
            f" {is_} within {band} of it",
        )
        return (*head, *_by_meter(run), ".", *_practice(findings))
    unsure = f"; {run.undecided} cannot be told" if run.undecided else ""
    off = [name for name in _off(run) if name not in run.positive_grids]
    named = f": {_names(off)} {'is' if len(off) == 1 else 'are'} off" if off else ""
    told = (
        f"{run.within} of {run.compared} readings are within {band} of the published value",
        *_sheet(findings, bench),
    )
    return (*told, named, unsure, ".", *_practice(findings))


def _without_sheet(run: RunFindings, findings: ReadingsFindings, bench: Bench) -> Phrase:
    """What the readings come to without a published value: whether they lie where the set's own circuit puts them."""
    were, them = ("voltage was", "it") if run.read == 1 else ("voltages were", "them")
    circuit = findings.circuit
    if circuit is None or not circuit.judged:
        return (f"{run.read} {were} read; the record has no expected values to hold {them} against.",)
    outside = [one.at.name(bench.words) for one in circuit.outside]
    apart = "Grids apart, " if circuit.grids_read else ""
    judged = f"{apart}{_judged_by_circuit(circuit.judged, outside)}."
    return (f"{run.read} {were} read. {judged[:1].upper()}{judged[1:]}",)


def _judged_by_circuit(judged: int, outside: list[str]) -> str:
    """How many of those that the set's own circuit can judge lie where it puts them, and which do not."""
    by = "that the set’s own circuit can judge"
    if judged == 1:
        return f"the one {by} {'does not lie' if outside else 'lies'} as it should"
    if not outside:
        return f"all {judged} {by} lie as they should"
    verb = "does" if len(outside) == 1 else "do"
    return f"of the {judged} {by} {_names(outside)} {verb} not lie as {'it' if len(outside) == 1 else 'they'} should"


def _band(findings: ReadingsFindings) -> str:
    """The tolerance in words; ``tolerance`` where the lists do not state one and the same."""
    bands = {tolerance_or_usual(source.tolerance) for source in findings.sources}
    return f"±{round(100 * bands.pop())}\u202f%" if len(bands) == 1 else "tolerance"


USUAL_TOLERANCE = Source(Standing.PRACTICE, of="A tolerance not stated")


def _practice(findings: ReadingsFindings) -> Phrase:
    return (USUAL_TOLERANCE,) if any(source.tolerance is None for source in findings.sources) else ()


def _sheet(findings: ReadingsFindings, bench: Bench) -> Phrase:
    """Where the published values stand, by what the record says of its papers."""
    first = findings.sources[0]
    if first.kind == "similar":
        return (Source(Standing.READ, f"a similar chassis: {first.of}"),)
    title = next((str(said) for name, said in bench.record.papers.items() if name.casefold() == first.name), "")
    return (Source(Standing.READ, title),) if title else ()


def _by_meter(run: RunFindings) -> Phrase:
    if not run.by_meter:
        return ()
    names = [f"{row.tube} {row.spot.said}" for row in run.loaded if row.agrees_by_meter]
    return (f", {_names(names)} once the two meters are accounted for",)


def _b_plus(run: RunFindings, words: Words) -> Phrase:
    """Whether what is off is so by itself, or only because B+ is."""
    alone = run.outside_at_its_b_plus
    if run.b_plus is None or run.b_plus_verdict not in ("low", "high") or alone is None or alone >= run.outside:
        return ()
    of_them = "none of them is" if alone == 0 else f"only {alone} {'is' if alone == 1 else 'are'}"
    return (f" {words.b_plus} itself is {run.b_plus_verdict}; in proportion to it {of_them} off.",)


def _earlier(findings: ReadingsFindings) -> Phrase:
    """What the first list found off that the newest does not."""
    off = [row for group in findings.together for at in group.places if (row := at.was_off)]
    names = [_place(row) for row in off if row.verdict != POSITIVE_GRID]
    positive = [_place(row) for row in off if row.verdict == POSITIVE_GRID]
    were = "one was" if len(names) == 1 else f"{len(names)} were"
    told = [f"{were} not: {_names(names)}"] if names else []
    told += [f"{_names(positive)} {'was' if len(positive) == 1 else 'were'} positive"] if positive else []
    return (f" As found, {'; '.join(told)}.",) if told else ()


def _place(row: ReadingRow) -> str:
    return f"{row.tube} {row.spot.said}".removesuffix(" rail")


def _off(run: RunFindings) -> list[str]:
    rows = (row for group in run.groups for row in group.rows)
    return [_place(row) for row in rows if row.verdict in ("low", "high", POSITIVE_GRID)]


def _names(names: tuple[str, ...] | list[str]) -> str:
    """A few names in a row; how many there are beyond those."""
    shown = list(names[:_MOST_NAMES])
    if len(names) > _MOST_NAMES:
        return f"{', '.join(shown)} and {len(names) - _MOST_NAMES} more"
    return "".join(str(part) for part in listed([(name,) for name in shown], last=" and "))


def _small(findings: ReadingsFindings, bench: Bench, left_out: int) -> Iterator[str]:
    if left_out:
        yield f"{left_out} more {bench.words.tubes}, all in order, are on the page of the voltages. "
    if findings.latest and findings.not_read_yet and _on_bench(bench):
        names = [place.name(bench.words) for place in findings.not_read_yet]
        more = f" and {len(names) - _MOST_UNREAD} more" if len(names) > _MOST_UNREAD else ""
        yield f"Not read yet: {', '.join(names[:_MOST_UNREAD])}{more}."


def _working(findings: ReadingsFindings) -> str:
    said = ["Pins, sockets"] if findings.bases else ["Pins"]
    said += ["operating points"] if findings.operating else []
    said += [f"all {len(findings.runs)} lists"] if len(findings.runs) > 2 else []
    said += ["both lists"] if len(findings.runs) == 2 else []
    said += ["resistances"] if findings.resistance else []
    return ", ".join(said)


def _compared(findings: ReadingsFindings, bench: Bench) -> Iterator[Compared]:
    """How many readings were within their tolerance as found, and how many are now."""
    judged = [run for run in findings.runs if run.compared]
    if not judged:
        return
    last = judged[-1]
    off = _off(last)
    how: Phrase = (f"off: {_names(off)}",) if off else ()
    of = "of the sheet" if findings.sources[0].kind == "published" else "of a similar chassis"
    before = _counted(judged[0]) if len(judged) > 1 else ()
    yield Compared(_RANK, f"Voltages within {_band(findings)} {of}", before, _counted(last), how)


def _counted(run: RunFindings) -> Phrase:
    return (Link(f"{run.within} of {run.compared}", run.anchor, Origin.COMPUTED),)
