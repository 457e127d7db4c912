"""Judgements on one piece that need only what is written of it: state, ratings, polarity, class, preferred value."""

from __future__ import annotations

import re

from ...circuit.pieces import Piece, Seen, Tolerance
from ...circuit.places import COMMON, FED_FROM_B_PLUS, Place, Places
from ...electrics.safety_capacitors import bridges_to_a_hand, is_of_class_y
from ...record.part_types import FOIL_TYPES, POLARISED_TYPES, UNPOLARISED_TYPES

Ends = tuple[Place, Place]

ASSUMED_BAND = Tolerance(-0.2, 0.2)
"""Where no tolerance is written: no fourth band means ±20 % (IEC 60062); for capacitors common practice, no source."""

ASSUMED_ELECTROLYTIC_BAND = Tolerance(-0.2, 0.5)
"""Electrolytics were made with more rather than less (from memory)."""


GROUPS = ("line side", "filter", "coupling", "bypass", "tuned", "other capacitors", "resistors", "others")
"""The order of work: what stands between the line and a hand first, then what can take other parts along."""

_JOBS = (
    ("line side", re.compile(r"\bline\b|mains|across the line|interference|suppress|b- to chassis", re.I)),
    ("coupling", re.compile(r"coupling", re.I)),
    ("bypass", re.compile(r"\b(IF|RF|AVC|AGC|tone|diode)\W+filter", re.I)),
    ("filter", re.compile(r"filter|reservoir|smoothing", re.I)),
    ("bypass", re.compile(r"bypass|decoupling|avc|agc|tone|screen|cathode", re.I)),
    ("tuned", re.compile(r"tun|trim|padder|padding|\bIF\b|oscillator|resonat", re.I)),
)
_SERIES = ("E6", "E12", "E24", "E48", "E96", "E192")


def group_of(piece: Piece, ends: Ends | None, kind: str, *, couples: bool, b_minus_on_line: bool) -> str:
    """Which group of the order of work a part belongs to: by its ends, or else by its job."""
    fitted = piece.newest
    if barrier(ends, b_minus_on_line=b_minus_on_line) or (fitted and fitted.safety_class):
        return "line side"
    if kind == "resistor":
        return "resistors"
    if kind != "capacitor":
        return "others"
    if couples:
        return "coupling"
    if ends and "B+" in (ends[0].kind, ends[1].kind) and {ends[0].kind, ends[1].kind} & COMMON:
        return "filter"
    for group, pattern in _JOBS:
        if pattern.search(piece.job):
            return group
    if ends and {ends[0].kind, ends[1].kind} & COMMON:
        return "bypass"
    return (
        "tuned"
        if fitted and fitted.type.casefold() in ("mica", "silver mica", "trimmer", "air")
        else "other capacitors"
    )


def bar_name(anchor: str, which: str) -> str:
    """The name of the drift bar of one row; ``which`` is ``found`` or ``new``."""
    return f"parts-bar-{anchor}-{which}"


def assumed_band(old: Seen | None, nominal: float | None, band: Tolerance | None) -> Tolerance | None:
    """The band the page assumes for an old part without a written tolerance; None where nothing was measured."""
    if band is not None or old is None or not old.measured_bound or not (nominal or old.measured is None):
        return None
    return ASSUMED_ELECTROLYTIC_BAND if old.type.casefold() in POLARISED_TYPES else ASSUMED_BAND


def lower_rating(piece: Piece, *, of: str) -> bool | None:
    """Whether the new part is rated lower than the sheet's or the old part's ``volts`` or ``watts``; None if unknown.

    An AC rating is not compared with a DC rating.
    """
    new = getattr(piece.now, of) if piece.now else None
    old = [
        rating
        for s in (piece.sheet, piece.was)
        if s and piece.now and s.volts_mark == piece.now.volts_mark and (rating := getattr(s, of)) is not None
    ]
    return new < max(old) if new is not None and old else None


def barrier(ends: Ends | None, *, b_minus_on_line: bool, earthed: bool = False) -> str:
    """The class of capacitor for a place (IEC 60384-14): ``X`` across the line, ``Y1`` from it to what a hand reaches,
    ``Y`` from it to a chassis with an earth wire. Empty elsewhere.

    Where no transformer parts the set from the line, B- and the rectifier's plate count as the line.
    """
    if ends is None:
        return ""
    kinds = {ends[0].kind, ends[1].kind}
    if kinds & ({"line", "neutral", "B-"} if b_minus_on_line else {"line", "neutral"}) and kinds & {
        "chassis",
        "socket",
    }:
        return "Y" if earthed and not b_minus_on_line and "chassis" in kinds else "Y1"
    if kinds in ({"line", "neutral"}, {"line"}) or (b_minus_on_line and kinds in ({"line", "B-"}, {"AC", "B-"})):
        return "X"
    return ""


def class_enough(needed: str, written: str) -> bool | None:
    """Whether a capacitor alone has the class its place needs; class Y may stand across the line. None if none is."""
    if not needed:
        return None
    if needed == "Y1":
        return bridges_to_a_hand((written,))
    return is_of_class_y(written) or (needed == "X" and written[:1] == "X")


def polarity(piece: Piece, ends: Ends | None, places: Places) -> str:
    """``written``, ``implied`` (by where it sits), ``missing``, ``reversed``, ``misplaced`` or empty.

    Misplaced is a positive end on a part that has no polarity. Reversed is what is written with its positive end at B-
    or chassis, its other end at B+, a plate or a screen.
    """
    fitted = piece.newest
    kind = fitted.type.casefold() if fitted else ""
    positive = _positive_end(ends)
    if kind in UNPOLARISED_TYPES:
        return "misplaced" if piece.positive else ""
    if piece.positive:
        low = ends and positive is not None and ends[1 - positive]
        return "reversed" if low and places.read(piece.positive) == low else "written"
    if kind not in POLARISED_TYPES:
        return ""
    return "implied" if positive is not None else "missing"


def _positive_end(ends: Ends | None) -> int | None:
    """Which end must be the positive one, where the circuit leaves no doubt."""
    if ends is None:
        return None
    high = FED_FROM_B_PLUS | {"cathode"}
    sides = [i for i in (0, 1) if ends[i].kind in high and ends[1 - i].kind in COMMON]
    return sides[0] if len(sides) == 1 else None


def outside_foil(piece: Piece) -> str:
    """``written``, ``missing`` for a new wound capacitor without it, or empty."""
    if piece.outside_foil:
        return "written"
    return "missing" if piece.now and piece.now.type.casefold() in FOIL_TYPES and not piece.now.safety_class else ""


def preferred_series(value: float | None) -> str | None:
    """The first series of IEC 60063, from E6 up, that holds a value; None for a value of no series."""
    from ...electrics.preferred import is_preferred

    if not value or value < 0:
        return None
    return next((series for series in _SERIES if is_preferred(value, series)), None)
