"""In brief: what a reader wants first, gathered from all chapters. What was wrong, what was done, what remains."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..chapters.parts.verdicts import still_to_handle
from ..circuit.rectifier_feed import plates_fed
from ..circuit.work import OPEN_STATES
from ..report.anchors import part_anchor
from ..report.digest import MOST_LINES, Compared
from ..report.sentence import Sentence
from ..report.verdict import Verdict
from ..words import Words
from .leaves import Leaf

if TYPE_CHECKING:
    from ..chapters.examine import Examined
    from ..chapters.parts.findings import PartsFindings
    from ..circuit.circuit import Circuit
    from ..record.sections.heaters import HeaterSupply

_FAULTS = "faults"
MOST_FIGURES = 4


@dataclass(frozen=True)
class Lines:
    """One of the three lists: its lines, the chapter of each, and how many more the chapters hold."""

    lines: tuple[tuple[str, Sentence], ...]
    more: int = 0


@dataclass(frozen=True)
class InBrief:
    """The figures and the three lists at the top of a record; ``absent`` is what the record does not have."""

    figures: tuple[tuple[str, Compared], ...]
    wrong: Lines
    done: Lines
    remains: Lines
    absent: tuple[str, ...]

    @property
    def was_computed(self) -> bool:
        """Whether the lists and figures rest on anything: of an empty record nothing is said to be in order."""
        return bool(self.figures or self.wrong.lines or self.done.lines or not self.absent)

    def tells_all(self, folder: str, leaf: Leaf) -> bool:
        """Whether everything that a chapter gave to the lists is shown in them."""
        given = leaf.digest.brief
        shown = {id(item) for pairs in (self.figures, self.wrong.lines, self.done.lines) for _, item in pairs}
        return all(id(item) in shown for item in (*given.compared, *given.wrong, *given.done))


def in_brief(leaves: Mapping[str, Leaf], examined: Examined) -> InBrief:
    """What the chapters have to say in brief, the most telling figures and the worst of what remains first.

    Of a set without faults in its record, what was wrong is what stands out as put right.
    """
    figures = sorted(
        ((folder, each) for folder, leaf in leaves.items() for each in leaf.digest.brief.compared),
        key=lambda pair: pair[1].rank,
    )
    remains = sorted(_of(leaves, "remains"), key=lambda pair: -pair[1].verdict.rank)
    return InBrief(
        tuple(figures[:MOST_FIGURES]),
        _lines(_wrong(leaves) if _FAULTS in leaves else _put_right(examined)),
        _lines(_of(leaves, "done")),
        _lines(iter(remains)),
        tuple(not_measured(examined.bench.circuit, examined.bench.words)),
    )


def _of(leaves: Mapping[str, Leaf], name: str) -> Iterator[tuple[str, Sentence]]:
    for folder, leaf in leaves.items():
        for sentence in getattr(leaf.digest.brief, name):
            yield folder, sentence


def _wrong(leaves: Mapping[str, Leaf]) -> Iterator[tuple[str, Sentence]]:
    """What was wrong: the faults that the writer tells, then what other chapters found of the set as it was."""
    return iter(sorted(_of(leaves, "wrong"), key=lambda pair: pair[0] != _FAULTS))


def _put_right(examined: Examined) -> Iterator[tuple[str, Sentence]]:
    return (("", sentence) for sentence in examined.standouts() if sentence.verdict is Verdict.PUT_RIGHT)


def _lines(found: Iterator[tuple[str, Sentence]]) -> Lines:
    all_of = tuple(found)
    return Lines(all_of[:MOST_LINES], max(0, len(all_of) - MOST_LINES))


def open_findings(leaves: Mapping[str, Leaf]) -> Lines:
    """What is still to be done on a set on the bench, worst first."""
    found = sorted(_of(leaves, "remains"), key=lambda pair: -pair[1].verdict.rank)
    return Lines(tuple(found[: 2 * MOST_LINES]), max(0, len(found) - 2 * MOST_LINES))


def not_measured(circuit: Circuit, words: Words) -> list[str]:
    """What a reader would look for and this record does not have; not what may stand in a line that was lost."""
    record, mains = circuit.record, circuit.mains.from_line
    supply, line_side = record.heaters, record.line_side
    # Behind two windings an earth wire to the chassis says what it is joined to.
    answered = record.chassis is not None or (circuit.mains.double_wound and circuit.grounding.earthed)
    absent = (
        ("tubes", not record.tubes, f"the {words.tubes}"),
        ("line", record.line is None and mains, f"the nominal {words.line} voltage"),
        ("power", record.power is None, "how the set is powered"),
        ("chassis", not answered and mains, f"whether the chassis is connected to the {words.line}"),
        ("readings", not record.readings, "voltage readings"),
        ("heaters", supply is not None and not _heaters_read(circuit, supply), "measured heater voltages"),
        ("parts", bool(record.tubes) and not record.parts, "parts looked at"),
        ("line side", line_side is None and mains, f"the {words.line} side"),
        ("line side", line_side is not None and not line_side.measured, "measured touch current or insulation"),
    )
    return [text for section, missing, text in absent if missing and not record.lost.touches(section)]


def _heaters_read(circuit: Circuit, supply: HeaterSupply) -> bool:
    """Whether heater volts were measured, at the tubes or at the winding that feeds them."""
    of_heaters = (winding for winding in supply.windings.values() if not plates_fed(circuit, winding))
    return supply.measured is not None or any(winding.measured for winding in of_heaters)


@dataclass(frozen=True)
class PartsLeft:
    """Parts on which work is left: the ``work``, and each part with the id of its row."""

    work: str
    parts: tuple[tuple[str, str], ...]


def parts_left(examined: Examined) -> list[PartsLeft]:
    """The parts still to be handled, by what is to be done, in the order of work."""
    found: PartsFindings | None = examined.findings["parts"]
    if found is None:
        return []
    checked = {str(name) for name, part in examined.record.parts.items() if part.checked}
    left: dict[str, dict[str, str]] = {}
    for _, rows in found.groups():
        for row in rows:
            if row.state in OPEN_STATES:
                left.setdefault(row.state, {})[row.part] = part_anchor(row.part)
            elif still_to_handle(row.state, checked=row.part in checked):
                left.setdefault("to check", {})[row.part] = part_anchor(row.part)
    for name in found.progress.unchecked:
        left.setdefault("new, to check", {})[name] = part_anchor(name)
    return [PartsLeft(work, tuple(parts.items())) for work, parts in left.items()]
