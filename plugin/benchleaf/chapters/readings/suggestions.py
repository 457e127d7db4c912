"""What readings suggest: the rules of ``rules.csv`` held against each tube and rail, the fullest pattern first."""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from .comparison import ComparedRun
from .evidence import Evidence, evidence_of
from .judging import OUTSIDE
from .patterns import holds

if TYPE_CHECKING:
    from ..bench import Bench

SOURCES = {
    "practice": "common practice, no source",
    "valveradio": "valveradio.co.uk, page on audio stages and their common faults",
}
MOST_CAUSES = 3
"""Causes named for one run. More than three are no help in deciding what to measure next."""


@dataclass(frozen=True, slots=True)
class Suggestion:
    """A likely cause for one tube's readings in one run, and the measurement that would settle it.

    ``present`` is the share of the rule's pattern that the readings show. ``settled`` says that a later run finds these
    readings in order. ``part`` is the suspect where the record names it.
    """

    tube: str
    cause: str
    next: str
    source: str
    run: str
    rule: str
    part: str | None = None
    settled: bool = False
    present: float = 1.0


@dataclass(frozen=True, slots=True)
class Rule:
    """A pattern, its cause and the next measurement. The texts take ``{part}``, ``{plate}`` and ``{tube}``.

    All of ``must`` is present. What ``may`` be present raises the rule's rank, and speaks against it where a reading
    shows otherwise. ``part`` says where the suspect stands in the circuit, ``otherwise`` what it is called where the
    parts list has none. ``fault`` is the change of a solved stage that makes this pattern (see the tests).
    """

    name: str
    must: tuple[str, ...]
    may: tuple[str, ...]
    cause: str
    next: str
    part: str
    otherwise: str
    source: str
    fault: str

    def present(self, evidence: Evidence) -> float | None:
        """The share of the pattern that is present, 0 to 1; None where the rule does not fit."""
        if not all(holds(atom, evidence) for atom in self.must):
            return None
        told = [holds(atom, evidence) for atom in self.may]
        if False in told:
            return None
        return (len(self.must) + told.count(True)) / (len(self.must) + len(told))


@cache
def rules() -> tuple[Rule, ...]:
    """All rules, in the order in which they stand where several fit alike."""
    with (Path(__file__).parent / "rules.csv").open(encoding="utf-8", newline="") as file:
        return tuple(_rule(row) for row in csv.DictReader(file))


def _rule(row: Mapping[str, str]) -> Rule:
    must, may = (tuple(filter(None, map(str.strip, row[key].split(";")))) for key in ("must", "may"))
    source = SOURCES[row["source"]]
    return Rule(
        name=row["name"],
        must=must,
        may=may,
        cause=row["cause"],
        next=row["next"],
        part=row["part"],
        otherwise=row["otherwise"],
        source=source,
        fault=row["fault"],
    )


def _resistor(kind: str) -> Callable[[Evidence], str | None]:
    def named(evidence: Evidence) -> str | None:
        part = evidence.resistor(kind)
        return part.part if part else None

    return named


_PARTS: Mapping[str, Callable[[Evidence], str | None]] = {
    "": lambda evidence: None,
    "coupling": lambda evidence: evidence.coupling.element.name if evidence.coupling else None,
    "coupling from here": lambda evidence: evidence.coupling_onward.element.name if evidence.coupling_onward else None,
    **{f"{kind} resistor": _resistor(kind) for kind in ("plate", "screen", "cathode", "grid", "rail", "osc plate")},
    "plate bypass": lambda evidence: evidence.bypass("plate"),
    "screen bypass": lambda evidence: evidence.bypass("screen"),
    "cathode bypass": lambda evidence: evidence.bypass("cathode"),
    "rail capacitor": lambda evidence: evidence.bypass("rail"),
}


def suggestions(found: Sequence[ComparedRun], bench: Bench) -> tuple[Suggestion, ...]:
    """The causes that each run's readings suggest, at most three for a run, the runs in their order."""
    raised = [_of_run(one, bench) for one in found]
    told = []
    for n, of_run in enumerate(raised):
        for suggestion in of_run:
            settled = _settled(suggestion, found[n], list(zip(found, raised, strict=True))[n + 1 :])
            told.append(replace(suggestion, settled=settled))
    return tuple(told)


def _of_run(one: ComparedRun, bench: Bench) -> list[Suggestion]:
    """The run's causes: every tube's likeliest before any tube's second, and the fullest pattern first."""
    ranked: list[tuple[int, float, int, Suggestion]] = []
    for n, evidence in enumerate(evidence_of(one, bench)):
        fitting = [(share, rule) for rule in rules() if (share := rule.present(evidence)) is not None]
        fitting.sort(key=lambda pair: -pair[0])
        ranked += [
            (place, -share, n, _told(rule, evidence, bench, share)) for place, (share, rule) in enumerate(fitting)
        ]
    ranked.sort(key=lambda entry: entry[:3])
    chosen = ranked[:MOST_CAUSES]
    return [suggestion for _, _, _, suggestion in sorted(chosen, key=lambda entry: (entry[2], entry[0]))]


def _told(rule: Rule, evidence: Evidence, bench: Bench, share: float) -> Suggestion:
    words = {"plate": bench.words.plate, "tube": bench.words.tube}
    part = _PARTS[rule.part](evidence)
    words["part"] = part or rule.otherwise.format(**words)
    cause, then = rule.cause.format(**words), rule.next.format(**words)
    return Suggestion(evidence.tube, cause, then, rule.source, evidence.run, rule.name, part, present=share)


def _settled(
    suggestion: Suggestion, found: ComparedRun, later: Iterable[tuple[ComparedRun, Sequence[Suggestion]]]
) -> bool:
    """Whether a later run reads every place that was off in this one, finds it in order and has no such suggestion."""
    off = {row.spot.identity for row in found.rows if row.tube == suggestion.tube and row.verdict in OUTSIDE}
    for one, raised in later:
        read = {r.spot.identity: r for r in one.rows if r.tube == suggestion.tube and r.measured_qualifier}
        again = any((s.tube, s.rule) == (suggestion.tube, suggestion.rule) for s in raised)
        if read and off <= read.keys() and not again and all(read[place].verdict not in OUTSIDE for place in off):
            return True
    return False
