"""What was measured of the culprits of a fault, and which values of its text the record has as readings."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from ...circuit.pieces import CONDITION_READ
from ...electrics.colours import UNMARKED_TOLERANCE
from ...record.quantities import QuantityError, read_quantity
from ...record.sections.list_names import measured_runs
from .findings import TrailEvidence, TrailStep

if TYPE_CHECKING:
    from ...circuit.listed import Listed
    from ...circuit.pieces import Seen
    from ..bench import Bench

_VALUE = re.compile(r"\d[\d.,]*\s?[A-Za-zµΩ]+")
_KINDS = {"ohm": "resistance", "A": "current", "F": "capacitance", "1": "ratio"}
_SAME = 0.005


def evidence(bench: Bench, steps: Iterable[TrailStep]) -> Iterator[TrailEvidence]:
    """One figure for each part and tube that the cause names, or what was found where no cause was written.

    What the text itself says already is left out.
    """
    by_name = {step.name: step for step in steps}
    naming = by_name.get("cause") or by_name.get("found")
    said = " ".join(step.text for step in by_name.values())
    names = dict.fromkeys(piece.text for piece in naming.linked if piece.anchor) if naming else {}
    for name in names:
        one = _of_part(name, bench.circuit.parts.get(name, ())) or _of_tube(name, bench)
        if one is not None and not (one.word in said if one.word else _is_in(one, said)):
            yield one


def _is_in(one: TrailEvidence, said: str) -> bool:
    """Whether a text has the value itself, however it is written: ``C14, 10 meg at 100 V``."""
    for found in _VALUE.finditer(said):
        try:
            value = read_quantity(found[0], _KINDS.get(one.unit, "resistance")).si
        except QuantityError:
            continue
        if value and one.value and abs(value / one.value - 1) < _SAME:
            return True
    return False


def _of_part(name: str, listed: Iterable[Listed]) -> TrailEvidence | None:
    """The most telling figure of the old components: leakage, a break, ESR, a value."""
    found = [one.piece.was for one in listed if one.piece.was is not None]
    told = [each for seen in found for each in _figures(name, seen)]
    order = ("leakage", "condition", "ESR", "measured")
    return min(told, key=lambda one: order.index(one.what), default=None)


def _figures(name: str, seen: Seen) -> Iterator[TrailEvidence]:
    if seen.leakage_amps is not None:
        yield TrailEvidence(name, "leakage", seen.leakage_amps, "A", seen.leakage_volts)
    elif seen.leakage_ohms is not None:
        yield TrailEvidence(name, "leakage", seen.leakage_ohms, "ohm", seen.leakage_volts)
    if word := CONDITION_READ.get(seen.measured_bound) or (
        seen.condition if seen.condition in ("open", "shorted") else ""
    ):
        yield TrailEvidence(name, "condition", word=word)
    if seen.esr_ohms is not None:
        yield TrailEvidence(name, "ESR", seen.esr_ohms, "ohm")
    if seen.measured is not None and seen.measured_bound == "exact" and not _as_marked(seen):
        yield TrailEvidence(name, "measured", seen.measured, seen.unit)


def _as_marked(seen: Seen) -> bool:
    """Whether a part measured what it should: its value then says nothing of what was wrong with it."""
    if not seen.value or seen.measured is None:
        return False
    off, own = seen.measured / seen.value - 1, seen.tolerance
    return own.holds(off) if own else abs(off) <= UNMARKED_TOLERANCE


def _of_tube(name: str, bench: Bench) -> TrailEvidence | None:
    changed = next((c for place, c in bench.record.changed_tubes.items() if str(place) == name), None)
    emission = changed.was.emission if changed and changed.was else None
    if emission is None or emission.si is None:
        return None
    return TrailEvidence(name, "emission", emission.si, "1")


def read_values(bench: Bench) -> tuple[tuple[float, str], ...]:
    """Every value that the record has as a reading of its own: voltages, and what was measured of parts."""
    runs = measured_runs(bench.record.readings).values()
    volts = [(p.value.si, p.value.unit) for run in runs for points in run.points.values() for p in points if p.value]
    pieces = [one.piece for entry in bench.circuit.parts.values() for one in entry]
    seen = [component for piece in pieces for component in (piece.was, piece.now) if component]
    parts = [(s.measured, s.unit) for s in seen] + [(s.leakage_amps, "A") for s in seen]
    known = ((si, unit) for si, unit in (*volts, *parts) if si is not None)
    return tuple(sorted(set(known)))
