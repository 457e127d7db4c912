"""The component that is in the set at one time: which one, what it is, and how that is known."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from ..record.kind_of_part import DECISIVE, KIND_BY_UNIT
from ..record.sections.reading_lists import day_of, is_after_work, is_as_found
from .listed import Listed
from .pieces import CONDITION_READ, Piece, Seen, Tolerance
from .work import NEW_PART_FITTED

if TYPE_CHECKING:
    from ..record.sections.readings import Run


@dataclass(frozen=True, slots=True)
class AsFound:
    """A time that is said to be before the work: its day where one is written."""

    day: datetime.date | None = None


When = datetime.date | AsFound | Literal["before", "after", "now"] | None
"""A day; the set as it was found on a day; before the work; after all of it, what is on order too; as the set stands
now; a day that is not known."""

UNTOLD = "the record does not say which came first, the reading or the new part; the new part is assumed"

MOST_LATER = (
    "the record has no day for the new part; most parts that have one came after the reading; the old is assumed"
)

ALIKE = 0.1
"""Two values nearer than half a step of E12 (IEC 60063) are one part, typed or measured another way."""

_ROUNDING = 1e-9
_NOTHING = Seen()


@dataclass(frozen=True, slots=True)
class InPlace:
    """What is in one component's place at one time.

    ``value`` is in ``unit`` (F, ohm, H); None where it is not known as a number, and for what is open, shorted or not
    there (``condition``: ``open``, ``shorted``, ``none`` or empty). ``how`` it is known: ``measured``, ``marked``,
    ``from the sheet``, ``assumed`` (nothing is written of the old component: it is taken for one like the new) or
    empty. ``low`` and ``high`` are what bounds the value where a meter or a range gave a bound only, None on the side
    that has none; both are the value where it is known. ``nominal`` is what it should have, by its marking or else the
    sheet. ``which`` names the component written (``sheet``, ``was``, ``now``, or empty), ``seen`` holds what is written
    of it. ``remark`` says what was taken for granted of the time.
    """

    seen: Seen = _NOTHING
    which: str = ""
    value: float | None = None
    unit: str = ""
    how: str = ""
    low: float | None = None
    high: float | None = None
    nominal: float | None = None
    tolerance: Tolerance | None = None
    condition: str = ""
    remark: str = ""

    @property
    def kind(self) -> str:
        """``capacitor``, ``resistor``, ``inductor`` or empty, by the unit."""
        return KIND_BY_UNIT.get(self.unit, "")

    @property
    def is_there(self) -> bool:
        return self.condition != "none"

    @property
    def esr_ohms(self) -> float | None:
        return self.seen.esr_ohms

    @property
    def leakage_ohms(self) -> float | None:
        return self.seen.leakage_ohms

    @property
    def leakage_bound(self) -> str:
        """``exact``, ``at least``, ``at most`` or empty, of ``leakage_ohms``."""
        return self.seen.leakage_bound

    def insulates(self, ohms: float) -> bool:
        """Whether its leakage was measured and is surely no more than that of ``ohms``."""
        if self.seen.leakage_ohms is None:
            return self.seen.leakage_amps == 0 and bool(self.seen.leakage_volts)
        return self.seen.leakage_bound in ("exact", "at least") and self.seen.leakage_ohms >= ohms


def when_read(name: str, run: Run) -> When:
    """When a list of readings was taken: as found by its name, else its day, else after the work by its name."""
    day = day_of(name, run)
    if is_as_found(name):
        return AsFound(day)
    return "now" if day is None and is_after_work(name) else day


def in_place(entry: Listed, when: When) -> InPlace:
    """The component in a place of the parts list at one time.

    The new one holds from the day it was fitted. A part that is only ordered or tested is not in the set, but for
    ``after``.
    """
    found: InPlace | None = entry.in_place.get(when)
    if found is None:
        found = entry.in_place[when] = _in_place(entry, when)
    return found


def _in_place(entry: Listed, when: When) -> InPlace:
    piece = entry.piece
    new, remark = _new_is_in(entry, when)
    if not new:
        return InPlace(condition="none") if entry.took_place else replace(_old(piece), remark=remark)
    if piece.now is None:
        return InPlace(condition="none", remark=remark)
    found = of_component(piece.now, "now", piece.sheet)
    return replace(found, remark=remark) if remark else found


def _new_is_in(entry: Listed, when: When) -> tuple[bool, str]:
    """Whether the new component (or nothing, where the old one went with others) is in, and what was assumed."""
    replaced = entry.piece.now is not None or entry.gone_with
    if not replaced or when == "before":
        return False, ""
    if when == "after":
        return True, ""
    if entry.state not in NEW_PART_FITTED and entry.state != "removed" and not entry.gone_with:
        return False, ""
    if when == "now":
        return True, ""
    if isinstance(when, AsFound):
        return _before_then(entry, when.day), ""
    return _on_a_day(entry, when if isinstance(when, datetime.date) else None)


def _before_then(entry: Listed, day: datetime.date | None) -> bool:
    """Whether a new component was in before a list that was read as found: only where it was fitted on a day before.

    Of one without a day, and without a word of what was there before it, nothing says that it was not.
    """
    fitted = entry.fitted or entry.checked or entry.known_by
    if fitted is None and entry.piece.was is None and entry.piece.sheet is None and not entry.took_place:
        return True
    return day is not None and fitted is not None and fitted < day


def _on_a_day(entry: Listed, day: datetime.date | None) -> tuple[bool, str]:
    if day is not None:
        if entry.fitted is not None:
            return day >= entry.fitted, ""
        if entry.checked is not None and day >= entry.checked:
            return True, ""
        waited = [when for when in (entry.ordered, entry.tested) if when is not None]
        if waited and day < max(waited):
            return False, ""
        if entry.known_by is not None:
            return day >= entry.known_by, ""
        if entry.in_by is not None and day >= entry.in_by:
            return True, ""
        if entry.half_in_by is not None and day < entry.half_in_by and entry.piece.was is not None:
            return False, MOST_LATER
    return True, UNTOLD if entry.piece.was is not None else ""


def _old(piece: Piece) -> InPlace:
    """What was there before the work: as written of it, as the sheet has it, or else one like the new."""
    if piece.was is not None:
        return of_component(piece.was, "was", piece.sheet)
    if piece.sheet is not None:
        return of_component(piece.sheet, "sheet", None)
    if piece.now is None:
        return InPlace()
    like = piece.now
    value = like.value if like.value is not None or like.measured_bound != "exact" else like.measured
    return InPlace(
        value=value,
        unit=like.unit,
        how="assumed" if value is not None else "",
        low=value,
        high=value,
        nominal=value,
        tolerance=like.tolerance,
    )


def of_component(seen: Seen, which: str, sheet: Seen | None) -> InPlace:
    """A component as it is: measured where that gave a number, else as it is marked, else as ``sheet`` has it.

    A bound that the nominal value keeps says nothing against that value; one that it breaks leaves the bound alone.
    """
    unit = seen.unit or (sheet.unit if sheet else "")
    of_sheet = sheet.value if sheet and sheet.unit == unit else None
    nominal = seen.value if seen.value is not None else of_sheet
    tolerance = seen.tolerance or (sheet.tolerance if sheet and seen.value is None else None)

    def made(
        value: float | None = None,
        how: str = "",
        low: float | None = None,
        high: float | None = None,
        condition: str = "",
    ) -> InPlace:
        return InPlace(
            seen=seen,
            which=which,
            unit=unit,
            nominal=nominal,
            tolerance=tolerance,
            value=value,
            how=how,
            low=low,
            high=high,
            condition=condition,
        )

    condition = condition_of(seen)
    if condition:
        return made(condition=condition, how="measured" if condition != "none" else "")
    if seen.measured_typed and (found := _measured(nominal, seen)):
        return made(*found)
    if nominal is None:
        low, high = seen.value_range or (None, None)
        return made(low=low, high=high, how="marked" if seen.value_range else "")
    how = "from the sheet" if seen.value is None or which == "sheet" else "marked"
    return made(nominal, how, nominal, nominal)


def alike(one: InPlace, other: InPlace) -> bool:
    """Whether the values of two components, marked or measured, are about the same."""
    return one.kind == other.kind and any(
        abs(a / b - 1) <= ALIKE for a in (one.value, one.nominal) for b in (other.value, other.nominal) if a and b
    )


def condition_of(seen: Seen) -> str:
    """``open``, ``shorted``, ``none`` or empty: by the word written, or by what the meter showed."""
    word = seen.condition.casefold()
    return word if word in DECISIVE else CONDITION_READ.get(seen.measured_bound, "")


def _measured(nominal: float | None, seen: Seen) -> tuple[float | None, str, float | None, float | None] | None:
    """What a component measured: value, how it is known, and bounds; None where that says nothing of its value."""
    value, bound = seen.measured, seen.measured_bound
    if value is not None and bound == "exact":
        return value, "measured", value, value
    if value is not None and bound in ("at least", "at most"):
        low, high = (value, None) if bound == "at least" else (0.0, value)
        return None if _keeps(nominal, low, high) else (None, "measured", low, high)
    if seen.measured_range is not None:
        return None, "measured", *seen.measured_range
    return (None, "measured", None, None) if bound == "over range" else None


def _keeps(nominal: float | None, low: float, high: float | None) -> bool:
    if nominal is None:
        return False
    return nominal >= low * (1 - _ROUNDING) and (high is None or nominal <= high * (1 + _ROUNDING))
