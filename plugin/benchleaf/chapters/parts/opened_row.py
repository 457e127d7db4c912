"""What a row of the list of changed parts holds when it is opened, and what was off about the old part."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...report.amount import Amount, Origin, bound_words
from ...report.sentence import Judged, Note, Phrase, PhrasePart, Styled, listed
from ...report.verdict import Verdict
from . import verdicts
from .component_words import (
    component,
    leakage,
    leakage_resistance,
    measured,
    of_the_series,
    own_spelling,
    series_resistance,
)
from .dates import days

if TYPE_CHECKING:
    from ...circuit.pieces import Seen
    from ..bench import Bench
    from .findings import PartFindings, PartsFindings

_FULL_TABLE, _LEAKAGE = "parts-found-and-fitted", "parts-leakage"

_Pairs = tuple[tuple[str, Phrase], ...]


def off_as_found(row: PartFindings) -> Judged | None:
    """The worst that was found of the old part, in a few words with its number; None where nothing was."""
    value = verdicts.as_found(row)
    value = value.words[0] if isinstance(value, Styled) and isinstance(value.words[0], Judged) else value
    drift: Phrase = (verdicts.off(row.was_drift),) if row.was_drift is not None else measured(row.piece.was)
    found = (
        (verdicts.found_leakage(row), ("leaky, ", *leakage(row.piece.was)[:1])),
        (verdicts.found_esr(row), series_resistance(row.piece.was, Origin.STATED)),
        (value if isinstance(value, Judged) else None, drift),
    )
    for judged, words in found:
        if judged is not None and judged.verdict.is_off and words:
            return Judged(verdicts.of_the_set(judged.verdict, inside=row.old_is_fitted), words)
    return None


def inside(part: PartFindings, findings: PartsFindings, bench: Bench) -> _Pairs:
    """The pairs of a word and what it stands for; those of a can's sections together."""
    rows = tuple(part.sections.values()) or (part,)
    told: dict[str, list[Phrase]] = {}
    for row in rows:
        for word, said in _of_row(row, findings, bench):
            told.setdefault(word, []).append((f"{row.piece.section} ", *said) if len(rows) > 1 else said)
    pairs = [(word, listed(said, "; ")) for word, said in told.items()]
    return (*pairs, *_of_part(part, bench))


def _of_row(row: PartFindings, findings: PartsFindings, bench: Bench) -> Iterator[tuple[str, Phrase]]:
    piece = row.piece
    if piece.sheet:
        yield "Sheet", (Styled(component(piece.sheet), Origin.PUBLISHED),)
    written = [f"{name} {typed}" for name, typed in _spellings(row) if typed]
    if written:
        yield "Written", (", ".join(written),)
    if piece.was and (found := tuple(_found(row, piece.was, findings))):
        yield "Found", listed(found)
    if piece.now and (fitted := tuple(_fitted(row, piece.now))):
        yield "Fitted", listed(fitted)
    if judged := verdicts.ratings(row, bench.words):
        yield "Ratings", listed(judged, "; ")
    if piece.note:
        yield "Note", (Note(piece.note),)


def _spellings(row: PartFindings) -> tuple[tuple[str, str], ...]:
    piece = row.piece
    return ("sheet", own_spelling(piece.sheet)), ("was", own_spelling(piece.was)), ("now", own_spelling(piece.now))


def _found(row: PartFindings, old: Seen, findings: PartsFindings) -> Iterator[Phrase]:
    if read := measured(old):
        drift: Phrase = (", ", verdicts.off(row.was_drift), " of its value") if row.was_drift is not None else ()
        yield (*read, *drift)
        yield (_against_tolerance(row),)
    if told := leakage(old):
        yield ("leakage ", *told, *_ohms(row, old, findings))
    if told := series_resistance(old, Origin.MEASURED):
        yield told
    if old.note:
        yield (Note(old.note),)


def _against_tolerance(row: PartFindings) -> Judged | Styled:
    """What its tolerance makes of the old part; hollow where that is no longer in the set."""
    judged = verdicts.as_found(row)
    inner = judged.words[0] if isinstance(judged, Styled) else judged
    if not isinstance(inner, Judged):
        return judged
    of_the_set = Judged(verdicts.of_the_set(inner.verdict, inside=row.old_is_fitted), inner.words, inner.beside)
    return Styled((of_the_set,), judged.style) if isinstance(judged, Styled) else of_the_set


def _ohms(row: PartFindings, old: Seen, findings: PartsFindings) -> Phrase:
    """What the leakage comes to in ohms, and the volts that it put on the next grid, with what was read there."""
    if old.leakage_ohms is None:
        return ()
    coupling = any(row is other for other, *_ in findings.coupling())
    ohms: list[PhrasePart] = [" = ", leakage_resistance(old, _LEAKAGE if coupling else _FULL_TABLE)]
    grid = row.was_on_grid
    if coupling and grid is not None and grid.volts is not None:
        bound = bound_words(grid.volts_bound)
        volts = Amount(grid.volts, "V", Origin.COMPUTED, bound=bound, signed=True, anchor=_LEAKAGE)
        would = "put" if grid.read_volts is not None and not grid.read_otherwise else "would put"
        ohms += [f", which {would} ", volts, f" on {grid.grid}", *verdicts.read_on_the_grid(grid)]
    return tuple(ohms)


def _fitted(row: PartFindings, new: Seen) -> Iterator[Phrase]:
    if read := measured(new):
        drift: Phrase = (", ", verdicts.off(row.now_drift)) if row.now_drift is not None else ()
        yield (*read, *drift)
        judged = verdicts.as_new(row)
        if judged.verdict is not Verdict.UNKNOWN:
            yield (judged,)
    if told := leakage(new):
        yield ("leakage ", *told)
    if told := series_resistance(new, Origin.STATED):
        yield told
    if row.change_of_value:
        yield (verdicts.off(row.change_of_value), " on the value before")
    if new.value is not None:
        yield (of_the_series(f"{new.note} {row.piece.note}", row.preferred_series),)
    if new.restuffed:
        yield ("restuffed" if new.restuffed == "restuffed" else f"restuffed {new.restuffed}",)
    if new.note:
        yield (Note(new.note),)


def _of_part(part: PartFindings, bench: Bench) -> Iterator[tuple[str, Phrase]]:
    written = bench.record.parts[part.name]  # type: ignore[index]
    if written.original:
        yield "Original", (str(written.original),)
    if written.note and not part.piece.note:
        yield "Note", (Note(str(written.note)),)
    yield "When", (days(written) or "not written",)
