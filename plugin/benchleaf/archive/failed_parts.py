"""What failed in a set: each part that was found out of order, by the job it had there, and how it failed."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from ..record.sections.faults import RULED_OUT
from ..report.amount import Origin
from ..report.anchors import part_anchor, tube_anchor, with_links
from ..report.sentence import text_of

if TYPE_CHECKING:
    from ..chapters.examine import Examined
    from ..chapters.parts.findings import PartFindings
    from ..circuit.network import Network
    from ..circuit.pieces import Seen
    from ..words import Words

SHORTED, OPEN, LEAKED, ESR, OUT, NAMED = HOWS = (
    "shorted", "open", "leaked", "ESR too high", "out of tolerance", "named as the cause",
)  # fmt: skip
"""How a part failed, what can be worst first. ``NAMED``: nothing measured, but a fault's cause names it."""
TUBE = "tube"
"""The kind of a tube, whatever the site calls it."""
_OF_ONE_SET = re.compile(r"\s+(?:of|for|at|to|from|in)\s+[A-Z]{1,2}\d+\w?$")
"""A part or tube that a job names: ``filament shunt of V3`` is a filament shunt in every set."""
_BOUNDS = {"short": SHORTED, "shorted": SHORTED, "open": OPEN}
_RESISTORS = {"plate": "{plate} load", "screen": "{screen} feed", "cathode": "cathode resistor", "grid": "grid leak"}
"""A resistor's job by the electrode it hangs on, where the record writes none."""


_ROLES = {"AVC": "AVC filter"}
"""What a capacitor bypasses as the trade calls its job, where the word for its consequence is another."""


@dataclass(frozen=True, slots=True)
class Failed:
    """One part that failed. ``job`` is what it did, ``how`` one of this module's words, ``typed`` what was fitted.

    ``kind`` is the sort of part: ``paper``, ``resistor``, ``tube``.
    """

    job: str
    how: str
    name: str
    typed: str
    anchor: str
    kind: str = ""


def failed(examined: Examined) -> tuple[Failed, ...]:
    """The parts and tubes of one set that failed: as measured, or as the cause of a fault names them."""
    measured = tuple(_measured(examined))
    known = {one.anchor for one in measured}
    causes = " ; ".join(str(fault.cause) for fault in examined.record.faults if fault.cause)
    return (*measured, *(one for one in _named(examined, causes, NAMED) if one.anchor not in known))


def ruled_out(examined: Examined) -> tuple[Failed, ...]:
    """The parts and tubes that were suspected of a fault and were not its cause; ``typed`` is the fault's complaint."""
    found = [
        replace(one, typed=str(fault.complaint or fault.found or ""))
        for fault in examined.record.faults
        for one in _named(examined, " ; ".join(map(str, fault.ruled_out)), RULED_OUT)
    ]
    return tuple(dict.fromkeys(found))


def _measured(examined: Examined) -> Iterator[Failed]:
    parts = examined.findings["parts"]
    for row in parts.rows() if parts else ():
        how = _how(row)
        if how:
            yield _of(row, how, examined)


def _how(row: PartFindings) -> str:
    """How the old part failed; empty where it did not, or nobody looked."""
    from ..chapters.parts import verdicts

    old = row.piece.was
    if old is None:
        return ""
    stated = _BOUNDS.get(old.condition.casefold()) or _BOUNDS.get(old.measured_bound)
    if stated:
        return stated
    for judged, word in ((verdicts.found_leakage(row), LEAKED), (verdicts.found_esr(row), ESR)):
        if judged is not None and judged.verdict.is_off:
            return word
    return OUT if any(judged.verdict.is_off for judged in verdicts.old_part(row)) else ""


def _named(examined: Examined, text: str, how: str) -> Iterator[Failed]:
    """The parts and tubes that a text of the faults names, each once."""
    parts, record, words = examined.findings["parts"], examined.record, examined.bench.words
    rows = {row.name: row for row in (parts.rows() if parts else ())}
    anchors = {str(name): part_anchor(name) for name in rows} | {str(t): tube_anchor(t) for t in record.tubes}
    for name in dict.fromkeys(piece.text for piece in with_links(text, anchors) if piece.anchor):
        if name in rows:
            yield _of(rows[name], how, examined)
            continue
        tube = examined.bench.tubes.get(name)
        role = str(next(t for p, t in record.tubes.items() if str(p) == name).job or (tube.role if tube else "") or "")
        yield Failed(_with_word(role, words), how, name, tube.type if tube else "", tube_anchor(name), TUBE)


def _with_word(role: str, words: Words) -> str:
    """``output tube``; the word alone where no role is known."""
    return role if role.endswith(("rectifier", words.tube)) else f"{role} {words.tube}".strip()


def _of(row: PartFindings, how: str, examined: Examined) -> Failed:
    dry = examined.bench.circuit.dry_rectifier_on("before")
    job = job_of(row, examined.bench.circuit.network, examined.bench.words, dry.part if dry else "")
    old = row.piece.was
    return Failed(job, how, row.name, _said(old), row.anchor, (old.type if old else "") or row.kind)


def _said(old: Seen | None) -> str:
    """The old part as the trade prints it, whatever spelling its record has."""
    from ..chapters.parts.component_words import component, series_resistance

    if old is None:
        return ""
    esr = series_resistance(old, Origin.STATED)
    return text_of((*component(old), *((" ", *esr) if esr else ())))


def job_of(row: PartFindings, network: Network, words: Words, dry_rectifier: str = "") -> str:
    """What a part does, in words that are the same for every set.

    A coupling capacitor is told by the grid behind it, any other part by its written job, else by where it lies;
    ``dry_rectifier`` is the part that rectifies without a tube, which may have no other name than its type.
    """
    from ..chapters.parts.effects import role_of

    coupling = network.coupling(row.name)
    if coupling is not None:
        stage = next((s for s in network.stages if coupling.grid in s.grids), None)
        output = stage is not None and any(plate.swings for plate in stage.plates)
        return "output coupling" if output else "coupling"
    if row.piece.job:
        return _OF_ONE_SET.sub("", row.piece.job)
    if row.name == dry_rectifier:
        return "rectifier"
    element = next((e for e in network.elements if e.name == row.name), None)
    at = {end.electrode for end in element.ends} if element else set()
    if row.kind == "resistor":
        found = next((said for electrode, said in _RESISTORS.items() if electrode in at), "resistor")
        return found.format(plate=words.plate, screen=words.screen)
    role = role_of(row.piece, element.ends, network) if element is not None and row.kind == "capacitor" else ""
    return _ROLES.get(role, role) or {"filter": "filter", "bypass": "bypass", "tuned": "tuning"}.get(
        row.group, row.kind or "part"
    )


def as_dict(one: Failed) -> dict[str, Any]:
    """Plain data, to be kept with a set's card."""
    return {f: getattr(one, f) for f in Failed.__slots__}


def from_dict(data: dict[str, Any]) -> Failed:
    """What ``as_dict`` wrote."""
    return Failed(**data)
