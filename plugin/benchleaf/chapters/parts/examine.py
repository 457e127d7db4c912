"""What follows from the parts as written: their state, drift, leakage, ratings, polarity, and how far the work is."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from ...circuit.elements import ends_of
from ...circuit.listed import Listed
from ...circuit.pieces import Piece
from ...circuit.work import DONE_STATES, NEW_PART_FITTED, OPEN_STATES
from ...report.anchors import part_anchor
from . import judging
from .buffer import buffer
from .effects import effect
from .findings import PartFindings, PartsFindings, Progress
from .held import heat, held
from .old_and_new_markings import read_markings, worn_markings
from .on_grid import on_grid
from .reform_or_replace import held_its_voltage, reformed
from .substitutes import Substitute, substitute
from .supply_peak import SupplyPeak, latest_volts, sees_supply, supply_peak

if TYPE_CHECKING:
    from ...record.model import Record
    from ...record.sections.parts import Part
    from ..bench import Bench


_WINDING = re.compile(r"(L|T|CH)\s*\d", re.I)
_OPENNESS = (*OPEN_STATES, "looked at", *DONE_STATES)


def examine(bench: Bench) -> PartsFindings | None:
    """What follows from the record's parts; None where it has none."""
    record = bench.record
    if not record.parts:
        return None
    supply = supply_peak(bench)
    parts: dict[str, PartFindings] = {}
    anchors: set[str] = set()
    for name, part in record.parts.items():
        found = _part(str(name), part, bench, supply)
        parts[str(name)] = _anchored(found, anchors)
    parts = _with_reforming(record, parts)
    rows = [row for part in parts.values() for row in part.sections.values() or (part,)]
    return PartsFindings(parts, _progress(record, parts), supply, (read_markings(rows), worn_markings(rows)))


def _with_reforming(record: Record, parts: dict[str, PartFindings]) -> dict[str, PartFindings]:
    judged = {found.name: found for found in reformed(record, parts)}

    def give(row: PartFindings) -> PartFindings:
        if row.sections:
            sections = {key: give(section) for key, section in row.sections.items()}
            return replace(row, state=_least_done(sections.values()), sections=sections)
        found = judged.get(row.name)
        if found and row.state in ("to do", "reform") and held_its_voltage(found, row):
            return replace(row, state="reformed", reformed=found, substitute=None)
        return replace(row, reformed=found)

    return {name: give(part) for name, part in parts.items()}


def _part(
    name: str,
    part: Part,
    bench: Bench,
    supply: SupplyPeak,
) -> PartFindings:
    judged = []
    for listed in bench.circuit.parts[name]:
        ends = ends_of(listed.piece, bench.circuit.places)
        bare = PartFindings(listed.state, name=listed.name, part=name, listed=listed)
        found = _judged(bare, ends, supply, bench)
        judged.append(_with_neighbours(found, listed, ends, bench))
    if len(judged) == 1 and not part.sections:
        return judged[0]
    kinds = {j.kind for j in judged}
    return PartFindings(
        _least_done(judged),
        kind=kinds.pop() if len(kinds) == 1 else "",
        sections={j.piece.section: j for j in judged},
        name=name,
        part=name,
        group=min((j.group for j in judged), key=judging.GROUPS.index),
    )


def _least_done(rows: Iterable[PartFindings]) -> str:
    """A can is as far as that of its sections on which most is left."""
    return min((row.state for row in rows), key=_OPENNESS.index)


def _judged(found: PartFindings, ends: judging.Ends | None, supply: SupplyPeak, bench: Bench) -> PartFindings:
    """The judgements that need the piece, its ends and the supply only."""
    piece, old, new = found.piece, found.piece.was, found.piece.now
    on_line = bench.circuit.grounding.b_minus_on_line
    couples = bench.circuit.network.coupling(found.name) is not None
    kind = next((s.kind for s in (new, old, piece.sheet) if s and s.kind), "")
    kind = "inductor" if kind == "resistor" and _WINDING.match(found.part) else kind
    nominal, band = piece.nominal
    assumed = judging.assumed_band(old, nominal, band)
    inside = found.in_the_set.seen if found.in_the_set else new
    earthed = bench.circuit.grounding.earthed
    needed = judging.barrier(ends, b_minus_on_line=on_line, earthed=earthed) if kind == "capacitor" else ""
    written_class = inside.safety_class if inside else ""
    rated = inside.volts if inside and not inside.volts_mark else None
    sees = supply.volts if kind == "capacitor" and sees_supply(ends, bench.circuit.network) else None
    least = _least_volts(bench, ends, supply) if sees is not None and ends else None
    share = supply.share(ends, bench.circuit.network) if sees is not None and ends else 1.0
    sees = sees and max(sees * share, least or 0.0)
    swings = bool(ends and sees and (ends[0].swings or ends[1].swings))
    enough = rated >= sees if rated is not None and sees is not None else None
    new_value = new.value if new else None
    group = judging.group_of(piece, ends, kind, couples=couples, b_minus_on_line=on_line)
    return replace(
        found,
        kind=kind,
        change_of_value=_change(piece),
        was_drift=old.drift(nominal) if old else None,
        was_tolerance=band,
        was_in_tolerance=old.within(band, nominal) if old else None,
        now_drift=new.drift(new.value) if new else None,
        now_tolerance=new.tolerance if new else None,
        now_in_tolerance=new.within(new.tolerance, new.value) if new else None,
        was_leakage_ohms=old.leakage_ohms if old else None,
        was_leakage_bound=(old.leakage_bound or None) if old else None,
        now_leakage_ohms=new.leakage_ohms if new else None,
        now_leakage_bound=(new.leakage_bound or None) if new else None,
        rated_volts=rated,
        sees_volts=sees,
        sees_bound=("at least" if swings else "exact") if sees is not None else None,
        rating_enough=None if enough and swings else enough,
        surge_volts=inside.surge_volts if inside and sees is not None else None,
        seen_when=(supply.case or None) if sees is not None else None,
        seen_divided=share < 1,
        least_volts=least,
        volts_rating_lower=judging.lower_rating(piece, of="volts"),
        watts_rating_lower=judging.lower_rating(piece, of="watts"),
        preferred_series=judging.preferred_series(new_value),
        safety_class=written_class or None,
        class_needed=needed or None,
        class_enough=judging.class_enough(needed, written_class) if inside else None,
        polarity=judging.polarity(piece, ends, bench.circuit.places) or None,
        outside_foil=judging.outside_foil(piece) or None,
        group=group,
        assumed_tolerance=assumed,
        was_in_assumed=old.within(assumed, nominal) if old else None,
        was_held=held(old, ends) if kind == "capacitor" else None,
        now_held=held(new, ends) if kind == "capacitor" else None,
        between=tuple(bench.circuit.places.said(end, bench.words) for end in piece.ends or ()),
        positive_at=bench.circuit.places.said(piece.positive, bench.words),
        foil_at=bench.circuit.places.said(piece.outside_foil, bench.words),
        substitute=_substitute(piece, kind, group) if found.state in OPEN_STATES and new is None else None,
    )


def _substitute(piece: Piece, kind: str, group: str) -> Substitute | None:
    nominal, band = piece.nominal
    type_ = next((seen.type for seen in (piece.was, piece.sheet) if seen and seen.type), "")
    return substitute(nominal, kind, band, type_, rather_more=group == "filter")


def _least_volts(bench: Bench, ends: judging.Ends, supply: SupplyPeak) -> float | None:
    """Volts across a capacitor fed from B+ while the set plays: as read, or else, on a rail, the least there can be."""
    read = latest_volts(bench, ends)
    if read is not None:
        return abs(read[0] - read[1])
    on_a_rail = any(end.kind == "B+" and not end.tube for end in ends)
    return supply.least_volts if on_a_rail else None


def _with_neighbours(
    found: PartFindings,
    listed: Listed,
    ends: judging.Ends | None,
    bench: Bench,
) -> PartFindings:
    """What needs the part's neighbours and the readings: heat, consequence of a new value, volts on the next grid."""
    old, new = found.piece.was, found.piece.now
    found = replace(
        found,
        heat=heat(bench, listed, ends) if found.kind == "resistor" else None,
        effect=effect(bench, listed, ends) if found.kind == "capacitor" else None,
    )
    if bench.circuit.mains.vibrator:
        found = replace(found, buffer=buffer(found, ends))
    coupling = bench.circuit.network.coupling(found.name)
    if coupling is None or found.kind != "capacitor":
        return found
    return replace(
        found,
        was_on_grid=on_grid(bench, coupling, old, new=False) if old and old.is_there else None,
        now_on_grid=on_grid(bench, coupling, new, new=True) if new and new.is_there else None,
    )


def _change(piece: Piece) -> float | None:
    """The new value against the sheet's, or else against the old part's, as a ratio."""
    old = next((s for s in (piece.sheet, piece.was) if s and s.value), None)
    new = piece.now
    if not new or new.value is None or not old or not old.value or new.unit != old.unit:
        return None
    change = new.value / old.value - 1
    return 0.0 if abs(change) < 1e-9 else change


def _anchored(found: PartFindings, taken: set[str]) -> PartFindings:
    """The part and its sections with ids for their rows, each once on the page."""
    whole = _anchor(found.name, taken)
    sections = {key: replace(row, anchor=_anchor(row.name, taken)) for key, row in found.sections.items()}
    return replace(found, anchor=whole, sections=sections)


def _anchor(name: str, taken: set[str]) -> str:
    stem = part_anchor(name).rstrip("-")
    anchor, number = stem, 2
    while anchor in taken:
        anchor, number = f"{stem}-{number}", number + 1
    taken.add(anchor)
    return anchor


def _progress(record: Record, parts: Mapping[str, PartFindings]) -> Progress:
    states = [part.state for part in parts.values()]
    unchecked = tuple(
        name
        for name, part in parts.items()
        if part.kind == "capacitor" and part.state in NEW_PART_FITTED and record.parts[name].checked is None  # type: ignore[index]
    )
    return Progress(
        total=len(states),
        done=sum(state in DONE_STATES for state in states),
        open=sum(state in OPEN_STATES for state in states),
        looked_at=states.count("looked at"),
        by_state=tuple((state, states.count(state)) for state in _OPENNESS if state in states),
        unchecked=unchecked,
    )
