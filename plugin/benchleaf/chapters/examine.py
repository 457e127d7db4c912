"""From a record to everything that follows from it, chapter by chapter."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from importlib.util import find_spec
from typing import TYPE_CHECKING, Any

from ..record.mapping import as_mapping
from ..report.findings import as_json
from ..report.sentence import Sentence
from .bench import Bench
from .order import CHAPTERS, Chapter

if TYPE_CHECKING:
    from ..drawing import Figure
    from ..record.model import Record
    from ..report.digest import Digest, Shown

RECORD_JSON_VERSION = 1


@dataclass(frozen=True)
class Examined:
    """A record with its findings by chapter folder (None where the record says nothing on the subject)."""

    bench: Bench
    findings: Mapping[str, Any]

    @property
    def record(self) -> Record:
        """What the restorer wrote."""
        return self.bench.record

    def standouts(self) -> list[Sentence]:
        """What stands out in all chapters, worst first, in the chapters' order where equally bad."""
        found = [sentence for chapter in CHAPTERS for sentence in self.standouts_of(chapter)]
        return sorted(found, key=lambda s: -s.severity)

    def standouts_of(self, chapter: Chapter) -> list[Sentence]:
        """What stands out in one chapter."""
        findings = self.findings[chapter.folder]
        if findings is None:
            return []
        told: list[Sentence] = _module(chapter, "say").standouts(findings, self.bench)
        return told


def examine(bench: Bench) -> Examined:
    """All chapters' findings. A chapter is examined after those whose findings it needs."""
    findings: dict[str, Any] = {}
    waiting = list(CHAPTERS)
    while waiting:
        ready = next(c for c in waiting if all(need in findings for need in c.needs))
        given = {need: findings[need] for need in ready.needs}
        findings[ready.folder] = _module(ready, "examine").examine(bench, **given)
        waiting.remove(ready)
    return Examined(bench, findings)


def said(examined: Examined, chapter: Chapter) -> Any:
    """A chapter's statements for its page; None where its template still words the findings itself."""
    say = getattr(_module(chapter, "say"), "said", None)
    return say(examined.findings[chapter.folder], examined.bench) if say else None


def digest(examined: Examined, chapter: Chapter) -> Digest | None:
    """A chapter in short, by its own ``digest`` or from its plain page; None where the record says nothing on it."""
    from ..report.digest import of_plain_page

    findings = examined.findings[chapter.folder]
    if findings is None:
        return None
    if not _has(chapter, "digest"):
        found = _module(chapter, "say").standouts(findings, examined.bench)
        return of_plain_page(said(examined, chapter), tuple(found))
    made: Digest = _module(chapter, "digest").digest(findings, examined.bench)
    return made


def drawn_from(examined: Examined, chapter: Chapter) -> Any:
    """What a chapter's figures are drawn from: its findings, less what its ``figures.drawn_from`` leaves out.

    None where it draws nothing or the record says nothing on the subject.
    """
    findings = examined.findings[chapter.folder]
    if findings is None or not _has(chapter, "figures"):
        return None
    reduced = getattr(_module(chapter, "figures"), "drawn_from", None)
    return reduced(findings) if reduced else findings


def draw(examined: Examined, chapter: Chapter) -> tuple[Figure, ...]:
    """A chapter's figures; none where it draws nothing or the record says nothing on the subject."""
    shown = drawn_from(examined, chapter)
    if shown is None:
        return ()
    drawn: tuple[Figure, ...] = _module(chapter, "figures").draw(shown, examined.bench)
    return drawn


def placeable(examined: Examined) -> Mapping[str, tuple[str, Shown]]:
    """The figures that a story may place by themselves, by their names there, each with its chapter's folder."""
    found: dict[str, tuple[str, Shown]] = {}
    for chapter in CHAPTERS:
        findings = examined.findings[chapter.folder]
        if findings is None or not _has(chapter, "figures"):
            continue
        names = getattr(_module(chapter, "figures"), "placeable", None)
        found |= {name: (chapter.folder, shown) for name, shown in names(findings).items()} if names else {}
    return found


def as_record_json(examined: Examined) -> dict[str, Any]:
    """The machine-readable record: what was written and what follows, in SI, with a version and units in the keys."""
    findings = {folder: as_json(found) for folder, found in examined.findings.items() if found is not None}
    aside = examined.record.line_side_set_aside
    return {
        "format": "benchleaf-record",
        "version": RECORD_JSON_VERSION,
        "record": as_mapping(examined.record) | ({"line_side": as_mapping(aside)} if aside else {}),
        **({"incomplete": ["line_side"]} if aside else {}),
        **({"not_understood": list(examined.record.lost.lines)} if examined.record.lost.lines else {}),
        "findings": findings,
        "stands_out": [
            {"verdict": s.verdict.word, "severity": s.severity, "text": s.text, "anchor": s.anchor}
            for s in examined.standouts()
        ],
    }


@cache
def _has(chapter: Chapter, name: str) -> bool:
    return find_spec(f"{__package__}.{chapter.folder}.{name}") is not None


def _module(chapter: Chapter, name: str) -> Any:
    return import_module(f"{__package__}.{chapter.folder}.{name}")
