"""What one set waits for: each part to get, with the value made today, its rating, its sort, and whose set it is."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from ..record.part_types import FOIL_TYPES

if TYPE_CHECKING:
    from ..chapters.examine import Examined
    from ..chapters.parts.findings import PartFindings
    from ..circuit.pieces import Seen
    from ..electrics.pairs import Made

LINE_SIDE = "line side"
CLASS = "class "
FUSIBLE, FLAMEPROOF = "fusible", "flameproof"
_PLAIN_RESISTORS = frozenset({"carbon composition", "carbon film", "carbon", "metal film", "resistor"})
"""Kinds that stand for one another where nothing else is asked (common practice, no source)."""
_ON_THE_LINE = frozenset({"line", "neutral"})
_FUSIBLE = re.compile(r"\bfusible|\bfusing", re.I)
_FLAMEPROOF = re.compile(r"\b(?:flame|fire)[ -]?(?:proof|retard)", re.I)


@dataclass(frozen=True, slots=True)
class WantedPart:
    """One part that an open set waits for. ``volts`` and ``watts`` are what its place asks for, None if not known.

    ``value`` is one that is made today wherever one lies inside the old part's tolerance, ``others`` are further ones
    that do; ``old`` is the old part's. ``single`` is False where none does. ``pair`` are two that come nearer than the
    one, joined ``how``: ``series`` or ``parallel``; empty where one is as good. ``paired``: this is one of them.
    """

    set: str
    part: str
    value: float
    unit: str
    sort: str
    volts: float | None = None
    watts: float | None = None
    member: str = ""
    old: float | None = None
    others: tuple[float, ...] = ()
    single: bool = True
    pair: tuple[float, ...] = ()
    how: str = ""
    paired: bool = False


def wanted(examined: Examined, title: str = "", member: str = "") -> tuple[WantedPart, ...]:
    """What one set waits for: parts to do, and old electrolytics better replaced. None for a finished set.

    A part that is on order, or tested and not yet fitted, is not wanted again.
    """
    from ..chapters.parts import verdicts

    parts, record = examined.findings["parts"], examined.record
    if parts is None or str(record.state or "") == "finished":
        return ()
    name = title or f"{record.maker} {record.model}"
    rows = (row for row in parts.to_do() if verdicts.new_one_wanted(row))
    return tuple(made for row in rows if (made := _wanted(row, examined, name, member)))


def _wanted(row: PartFindings, examined: Examined, set_name: str, member: str) -> WantedPart | None:
    piece = row.piece
    model = piece.now or piece.was or piece.sheet
    if model is None or not model.value or model.value < 0 or model.unit not in ("F", "ohm", "H"):
        return None
    sort = _sort(row, model, on_line=_on_line(row, examined))
    found = None if piece.now else row.substitute
    pair: Made | None = found.pair if found else None
    return WantedPart(
        set=set_name,
        part=row.name,
        value=found.one.total if found and found.one else model.value,
        unit=model.unit,
        sort=sort,
        volts=_volts(row) if model.unit == "F" and not sort.startswith(CLASS) else None,
        watts=_watts(row) if model.unit == "ohm" else None,
        member=member,
        old=None if piece.now else model.value,
        others=found.others if found else (),
        single=found is None or found.one is not None,
        pair=pair.values if pair else (),
        how=pair.how if pair else "",
    )


def _written(row: PartFindings) -> tuple[Seen, ...]:
    """The sheet's, the old and the new part, as far as they are written."""
    return tuple(seen for seen in (row.piece.sheet, row.piece.was, row.piece.now) if seen)


def _volts(row: PartFindings) -> float | None:
    """The highest of what the sheet and the parts are rated for and of what the place sees; DC only."""
    rated = (seen.volts for seen in _written(row) if not seen.volts_mark)
    return max((volts for volts in (*rated, row.sees_volts) if volts is not None), default=None)


def _watts(row: PartFindings) -> float | None:
    """The highest of what the sheet and the parts are rated for and of twice the heat in the place."""
    rated = (seen.watts for seen in _written(row))
    needed = row.heat.needed_watts if row.heat else None
    return max((watts for watts in (*rated, needed) if watts is not None), default=None)


def _on_line(row: PartFindings, examined: Examined) -> bool:
    """Whether a part stands on the line side, or between it and what a hand reaches."""
    from ..circuit.elements import ends_of

    circuit = examined.bench.circuit
    ends = ends_of(row.piece, circuit.places)
    kinds = {end.kind for end in ends or ()}
    line = _ON_THE_LINE | {"AC", "socket"} if circuit.grounding.b_minus_on_line else _ON_THE_LINE
    return row.group == LINE_SIDE or bool(kinds & line)


def _sort(row: PartFindings, model: Seen, *, on_line: bool) -> str:
    """What serves: the class its place or the old part has, what burns as it did, or what stands for the kind today."""
    if row.kind == "capacitor" and (safety := _class(row)):
        return f"{CLASS}{safety}"
    said = " ".join(f"{seen.type} {seen.note} {seen.condition}" for seen in _written(row)) + f" {row.piece.job}"
    kind = model.type.casefold() or {"capacitor": "capacitor", "resistor": "resistor"}.get(row.kind, "part")
    if row.kind == "resistor" and _FUSIBLE.search(said):
        kind = FUSIBLE
    elif row.kind == "resistor" and _FLAMEPROOF.search(said):
        kind = FLAMEPROOF
    kind = "film" if kind in FOIL_TYPES else "resistor" if kind in _PLAIN_RESISTORS else kind
    return f"{kind}, {LINE_SIDE}" if on_line else kind


def _class(row: PartFindings) -> str:
    """The class of capacitor for its place, or that of the part where it is the higher; empty where neither has one."""
    from ..chapters.parts.judging import class_enough

    written = next((seen.safety_class for seen in reversed(_written(row)) if seen.safety_class), "")
    needed = row.class_needed or ""
    return written if not needed or (written and class_enough(needed, written)) else needed


def as_dict(one: WantedPart) -> dict[str, Any]:
    """Plain data, to be kept with a set's card."""
    kept = {name: getattr(one, name) for name in WantedPart.__slots__}
    return {name: list(value) if isinstance(value, tuple) else value for name, value in kept.items()}


def from_dict(data: Mapping[str, Any]) -> WantedPart:
    """What ``as_dict`` wrote."""
    read: dict[str, Any] = {name: tuple(v) if isinstance(v, list) else v for name, v in data.items()}
    return WantedPart(**read)
