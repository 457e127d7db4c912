"""What one set waits for: each part to get, with the value made today, its rating, its sort, and whose set it is."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from ..record.kind_of_part import UNIT_BY_KIND
from ..record.line_values import kind_of_part
from ..record.part_types import CAPACITOR_TYPES, FOIL_TYPES, RESISTOR_TYPES

if TYPE_CHECKING:
    from ..chapters.examine import Examined
    from ..chapters.parts.findings import PartFindings
    from ..circuit.pieces import Seen
    from ..electrics.pairs import Made

LINE_SIDE = "line side"
CLASS = "class "
FUSIBLE, FLAMEPROOF, POTENTIOMETER = "fusible", "flameproof", "potentiometer"
_PLAIN_RESISTORS = frozenset({"carbon composition", "carbon film", "carbon", "metal film", "resistor"})
"""Kinds that stand for one another where nothing else is asked (common practice, no source)."""
_ON_THE_LINE = frozenset({"line", "neutral"})
_FUSIBLE = re.compile(r"\bfusible|\bfusing", re.I)
_FLAMEPROOF = re.compile(r"\b(?:flame|fire)[ -]?(?:proof|retard)", re.I)
_LETTERS_OF = re.compile(r"[A-Za-z]*")
_TURNED = re.compile(r"\b(?:volume|tone|gain) control\b|\bpotentiometer\b", re.I)
_TURNED_LETTERS = frozenset({"VR", "RV", "P"})
"""What a resistor that is turned is called where ``R`` stands for one that is not (common practice, no source)."""
_BY_LETTERS = {"capacitance": "capacitor", "resistance": "resistor", "inductance": "inductor"}


@dataclass(frozen=True, slots=True)
class WantedPart:
    """One part that an open set waits for. ``volts`` and ``watts`` are what its place asks for, None if not known.

    ``ac_volts`` are RMS, for a part whose rating is one on alternating current: of a class, or written so.
    ``value`` is one that is made today wherever one lies inside the old part's tolerance, ``others`` are further ones
    that do; ``old`` is the old part's. ``single`` is False where none does. ``pair`` are two that come nearer than the
    one, joined ``how``: ``series`` or ``parallel``; empty where one is as good. ``paired``: this is one of them.
    ``value`` is None where the record tells none; ``unit`` may be empty then.
    """

    set: str
    part: str
    value: float | None
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
    ac_volts: float | None = None


def wanted(examined: Examined, title: str = "", member: str = "") -> tuple[WantedPart, ...]:
    """What one set waits for: parts to do, and old electrolytics better replaced. None for a finished set.

    A part that is on order, or tested and not yet fitted, is not wanted again. One without a value is wanted too.
    """
    from ..chapters.parts import verdicts

    parts, record = examined.findings["parts"], examined.record
    if parts is None or str(record.state or "") == "finished":
        return ()
    name = title or f"{record.maker} {record.model}"
    rows = (row for row in parts.to_do() if verdicts.new_one_wanted(row))
    return tuple(_wanted(row, examined, name, member) for row in rows)


def _wanted(row: PartFindings, examined: Examined, set_name: str, member: str) -> WantedPart:
    piece = row.piece
    told = [seen for seen in (piece.now, piece.was, piece.sheet) if seen]
    model = next((seen for seen in told if seen.value and seen.unit), None) or next(iter(told), None)
    value = model.value if model and model.value and model.value > 0 else None
    kind = _kind(row, model)
    sort = _sort(row, kind, model.type if model else "", on_line=_on_line(row, examined))
    unit = UNIT_BY_KIND.get(kind, "")
    found = None if piece.now or sort.startswith(POTENTIOMETER) else row.substitute
    pair: Made | None = found.pair if found else None
    of_class = sort.startswith(CLASS)
    return WantedPart(
        set=set_name,
        part=row.name,
        value=found.one.total if found and found.one else value,
        unit=unit,
        sort=sort,
        volts=_volts(row) if unit == "F" and not of_class else None,
        watts=_watts(row) if unit == "ohm" else None,
        member=member,
        old=None if piece.now else value,
        others=found.others if found else (),
        single=found is None or found.one is not None,
        pair=pair.values if pair else (),
        how=pair.how if pair else "",
        ac_volts=_ac_volts(row, examined, on_line=of_class) if unit == "F" else None,
    )


def _kind(row: PartFindings, model: Seen | None) -> str:
    """``capacitor``, ``resistor``, ``inductor`` or empty: by its unit, or else by the word or the letters it has."""
    if model and model.unit and row.kind:
        return row.kind
    type_ = model.type.casefold() if model else ""
    if type_ in CAPACITOR_TYPES or type_ in RESISTOR_TYPES:
        return "capacitor" if type_ in CAPACITOR_TYPES else "resistor"
    return row.kind or _BY_LETTERS.get(kind_of_part(_letters(row)), "")


def _letters(row: PartFindings) -> str:
    """The letters that a part's name begins with, in capitals."""
    return _LETTERS_OF.match(row.name)[0].upper()  # type: ignore[index]


def _written(row: PartFindings) -> tuple[Seen, ...]:
    """The sheet's, the old and the new part, as far as they are written."""
    return tuple(seen for seen in (row.piece.sheet, row.piece.was, row.piece.now) if seen)


def _volts(row: PartFindings) -> float | None:
    """The highest of what the sheet and the parts are rated for and of what the place sees; DC only."""
    rated = (seen.volts for seen in _written(row) if not seen.volts_mark)
    return max((volts for volts in (*rated, row.sees_volts) if volts is not None), default=None)


def _ac_volts(row: PartFindings, examined: Examined, *, on_line: bool) -> float | None:
    """Volts RMS: the highest of what is written as a rating on AC and, ``on_line``, of the line at its highest."""
    rated = [seen.volts for seen in _written(row) if seen.volts_mark == "ac"]
    mains = examined.bench.circuit.mains
    line = mains.volts.high if on_line and mains.from_line and mains.volts else None
    return max((volts for volts in (*rated, line) if volts is not None), default=None)


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


def _sort(row: PartFindings, part: str, type_: str, *, on_line: bool) -> str:
    """What serves: the class its place or the old part has, what burns as it did, or what stands for the kind today."""
    if part == "capacitor" and (safety := _class(row)):
        return f"{CLASS}{safety}"
    said = " ".join(f"{seen.type} {seen.note} {seen.condition}" for seen in _written(row)) + f" {row.piece.job}"
    kind_written = type_.casefold()
    kind = kind_written or (part if part in ("capacitor", "resistor") else "")
    if part == "resistor" and _FUSIBLE.search(said):
        kind = FUSIBLE
    elif part == "resistor" and _FLAMEPROOF.search(said):
        kind = FLAMEPROOF
    elif part == "resistor" and (_TURNED.search(said) or (not kind_written and _letters(row) in _TURNED_LETTERS)):
        kind = POTENTIOMETER
    kind = kind or (row.piece.job if not part else "") or "part"
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
