"""What was found of parts across the archive: how many of each kind were out, and how far, by value and by age."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from statistics import median
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from ..chapters.examine import Examined
    from ..chapters.parts.findings import PartFindings

LEAST_FOR_PERCENT = 10
"""Fewer than these give counts only."""


@dataclass(frozen=True, slots=True)
class Looked:
    """One old part that was measured: its kind and value, whether it was out, how far, and the year of its set.

    ``out`` is of its tolerance, written or assumed, or of its limits of leakage and ESR; None where that was not told.
    """

    kind: str
    value: float | None
    unit: str
    out: bool | None
    drift: float | None
    leaky: bool | None
    year: int | None


@dataclass(frozen=True, slots=True)
class Tally:
    """One group. ``share`` is a ratio, None for fewer than ten; drifts are ratios, over those that were measured."""

    name: str
    looked: int
    out: int
    leaky: int
    share: float | None
    drifts: int
    drift_low: float | None
    drift_middle: float | None
    drift_high: float | None


@dataclass(frozen=True, slots=True)
class AcrossParts:
    """All tallies: by kind, and for each kind by value and by the decade its set was made in."""

    by_kind: tuple[Tally, ...]
    by_value: Mapping[str, tuple[Tally, ...]]
    by_age: Mapping[str, tuple[Tally, ...]]


def looked_at(examined: Examined) -> tuple[Looked, ...]:
    """The old parts of one set that were measured."""
    parts = examined.findings["parts"]
    year = re.search(r"\b(19\d\d)\b", str(examined.record.year or ""))
    made = int(year[1]) if year else None
    return tuple(one for row in (parts.rows() if parts else ()) if (one := _looked(row, made)))


def _looked(row: PartFindings, year: int | None) -> Looked | None:
    from ..chapters.parts import verdicts

    old = row.piece.was
    if old is None or not (old.measured_bound or old.leakage_typed or row.was_in_tolerance is not None):
        return None
    kind = old.type.casefold() or {"capacitor": "capacitor, kind not written", "resistor": "resistor"}.get(row.kind, "")
    if not kind:
        return None
    passed, leakage = verdicts.old_part(row), verdicts.found_leakage(row)
    out = any(judged.verdict.is_off for judged in passed) if passed else None
    leaky = leakage.verdict.is_off if leakage else None
    return Looked(kind, row.piece.nominal[0], old.unit, out, row.was_drift, leaky, year)


def across(everything: Iterable[Looked]) -> AcrossParts:
    """The tallies, larger groups first."""
    kinds: dict[str, list[Looked]] = {}
    for one in everything:
        kinds.setdefault(one.kind, []).append(one)
    order = sorted(kinds, key=lambda k: (-len(kinds[k]), k))
    return AcrossParts(
        tuple(tally(kind, kinds[kind]) for kind in order),
        {kind: _grouped(kinds[kind], _size) for kind in order},
        {kind: _grouped(kinds[kind], _decade) for kind in order},
    )


def _grouped(listed: list[Looked], name: Any) -> tuple[Tally, ...]:
    groups: dict[tuple[float, str], list[Looked]] = {}
    for one in listed:
        key = name(one)
        if key is not None:
            groups.setdefault(key, []).append(one)
    return tuple(tally(key[1], groups[key]) for key in sorted(groups))


_STEPS = {
    "F": (
        (1e-9, "under 1 nF"), (1e-8, "1 to 10 nF"), (1e-7, "10 to 100 nF"), (1e-6, "0.1 to 1 µF"),
        (1e9, "1 µF and over"),
    ),
    "ohm": ((1e3, "under 1 kΩ"), (1e5, "1 to 100 kΩ"), (1e6, "0.1 to 1 MΩ"), (1e15, "1 MΩ and over")),
}  # fmt: skip


def _size(one: Looked) -> tuple[float, str] | None:
    if one.value is None:
        return None
    return next(((below, words) for below, words in _STEPS.get(one.unit, ()) if one.value < below), None)


def _decade(one: Looked) -> tuple[float, str] | None:
    return None if one.year is None else (one.year // 10, f"{one.year // 10 * 10}s")


def tally(name: str, listed: list[Looked]) -> Tally:
    """What was found of one group of parts."""
    judged = [one for one in listed if one.out is not None]
    out = sum(bool(one.out) for one in judged)
    drifts = sorted(one.drift for one in listed if one.drift is not None)
    return Tally(
        name,
        len(judged),
        out,
        sum(bool(one.leaky) for one in listed),
        out / len(judged) if len(judged) >= LEAST_FOR_PERCENT else None,
        len(drifts),
        drifts[0] if drifts else None,
        median(drifts) if drifts else None,
        drifts[-1] if drifts else None,
    )


def as_dict(one: Looked) -> dict[str, Any]:
    """Plain data, to be kept with a set's card."""
    return {f: getattr(one, f) for f in Looked.__slots__}


def from_dict(data: Mapping[str, Any]) -> Looked:
    """What ``as_dict`` wrote."""
    return Looked(**data)
