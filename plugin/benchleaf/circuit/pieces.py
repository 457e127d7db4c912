"""A part taken apart: what each of its components says of itself, in SI, and which new one stands for which old one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ..record.kind_of_part import KIND_BY_UNIT
from ..record.quantities import Quantity
from ..record.sections.parts import Component, Part, PartSection
from .leakage import bound_of, leakage_ohms, leakage_typed

_ROUNDING = 1e-9
_NO_NUMBER = {"open": "open", "short": "short", "overrange": "over range"}
CONDITION_READ = {"open": "open", "short": "shorted"}
"""The condition of a part by what a meter showed in place of a value."""


@dataclass(frozen=True, slots=True)
class Tolerance:
    """How far a value may be off, as ratios of the nominal value: ±20 % is -0.2 and 0.2."""

    low: float
    high: float

    def holds(self, drift: float) -> bool:
        """Whether a drift lies inside, its ends included."""
        return self.low - _ROUNDING <= drift <= self.high + _ROUNDING


@dataclass(frozen=True, slots=True)
class Seen:
    """What is written of one component.

    ``value`` and ``measured`` are in ``unit`` (F, ohm, H), as are ``value_range`` and ``measured_range``, the ends of
    what was written as a range. ``measured_bound`` is ``exact``, ``at least``, ``at most``, ``open``, ``short``,
    ``over range`` or empty; the first three serve ``leakage_bound`` too. ``volts_mark`` is ``ac`` for an AC rating.
    ``surge_volts`` is the rating for the seconds after switching on. ``typed`` is the component as the writer has it,
    without what was measured.
    """

    typed: str = ""
    value: float | None = None
    unit: str = ""
    value_typed: str = ""
    volts: float | None = None
    volts_mark: str = ""
    surge_volts: float | None = None
    watts: float | None = None
    amps: float | None = None
    tolerance: Tolerance | None = None
    type: str = ""
    safety_class: str = ""
    condition: str = ""
    measured: float | None = None
    measured_bound: str = ""
    measured_typed: str = ""
    leakage_ohms: float | None = None
    leakage_bound: str = ""
    leakage_amps: float | None = None
    leakage_volts: float | None = None
    leakage_typed: str = ""
    esr_ohms: float | None = None
    esl_henries: float | None = None
    leads_metres: float | None = None
    marked: str = ""
    restuffed: str = ""
    note: str = ""
    value_range: tuple[float, float] | None = None
    measured_range: tuple[float, float] | None = None

    @property
    def kind(self) -> str:
        """``capacitor``, ``resistor``, ``inductor`` or empty, by the unit."""
        return KIND_BY_UNIT.get(self.unit, "")

    @property
    def line(self) -> str:
        """All of it as a line of a record, which reads the same again."""
        heads = (
            ("measured", self.measured_typed),
            ("leakage", self.leakage_typed),
            ("marked", self.marked),
            ("restuffed", self.restuffed),
        )
        return ", ".join([*([self.typed] if self.typed else []), *(f"{head} {text}" for head, text in heads if text)])

    @property
    def is_there(self) -> bool:
        """False for ``none``: nothing was, or is now, in this place."""
        return self.condition.casefold() != "none"

    def drift(self, nominal: float | None) -> float | None:
        """Measured against nominal value as a ratio; None without both, or where the meter gave a bound only."""
        if self.measured is None or self.measured_bound != "exact" or not nominal:
            return None
        return self.measured / nominal - 1

    def within(self, band: Tolerance | None, nominal: float | None) -> bool | None:
        """Whether the measured value lies in the band; None where that cannot be told."""
        if band is None:
            return None
        if self.measured_bound in ("open", "short") or self.condition.casefold() in ("open", "shorted"):
            return False
        if self.measured is None or not nominal:
            return None
        drift = self.measured / nominal - 1
        if self.measured_bound == "exact":
            return band.holds(drift)
        beyond = drift > band.high if self.measured_bound == "at least" else drift < band.low
        return False if beyond else None


@dataclass(frozen=True, slots=True)
class Piece:
    """One component's place in the set: what the sheet says, what was there, what is there now.

    ``section`` is its name inside the part, empty for a part of one component. ``paired`` is False where the record
    does not say which new component stands for which old one. ``ends_by_job`` is true where its ends follow from what
    it does, and are not written; ``joined_to_first`` are places that are one point with the first of them then.
    """

    section: str = ""
    job: str = ""
    ends: tuple[str, str] | None = None
    ends_by_job: bool = False
    joined_to_first: tuple[str, ...] = ()
    sheet: Seen | None = None
    was: Seen | None = None
    now: Seen | None = None
    state: str = ""
    positive: str = ""
    outside_foil: str = ""
    paired: bool = True
    why: str = ""
    note: str = ""

    @property
    def newest(self) -> Seen | None:
        """The newest component that is written of, be it fitted yet or not."""
        return self.now or self.was or self.sheet

    @property
    def nominal(self) -> tuple[float | None, Tolerance | None]:
        """The value the old component should have and its tolerance: its own marking, or else the sheet's."""
        for seen in (self.was, self.sheet):
            if seen and seen.value is not None:
                return seen.value, seen.tolerance
        return None, None


def seen(component: Component) -> Seen:
    """A component in SI."""
    value, measured, leakage = component.value, component.measured, component.leakage
    ohms, bound = leakage_ohms(leakage)
    return Seen(
        typed=_typed(component),
        value=value.si if value else None,
        unit=_unit(value, measured),
        value_typed=value.written if value else "",
        volts=component.volts.si if component.volts else None,
        volts_mark=component.volts.mark if component.volts and component.volts.mark != "dc" else "",
        surge_volts=component.surge_rating.si if component.surge_rating else None,
        watts=component.watts.si if component.watts else None,
        amps=component.amps.si if component.amps else None,
        tolerance=tolerance(component),
        type=str(component.type or ""),
        safety_class=str(component.class_ or "").upper(),
        condition=str(component.condition or "") or CONDITION_READ.get(value.qualifier if value else "", ""),
        measured=measured.si if measured and _same_unit(value, measured) else None,
        measured_bound=_measured_bound(value, measured),
        measured_typed=measured.written if measured else "",
        leakage_ohms=ohms,
        leakage_bound=bound,
        leakage_amps=leakage.current.si if leakage and leakage.current else None,
        leakage_volts=leakage.at.si if leakage and leakage.at else None,
        leakage_typed=leakage_typed(leakage),
        esr_ohms=component.ESR.si if component.ESR else None,
        esl_henries=component.ESL.si if component.ESL else None,
        leads_metres=component.leads.si if component.leads else None,
        marked=str(component.marked or ""),
        restuffed=str(component.restuffed or ""),
        note=str(component.note or ""),
        value_range=_range(value),
        measured_range=_range(measured) if measured and _same_unit(value, measured) else None,
    )


def _range(quantity: Quantity | None) -> tuple[float, float] | None:
    if quantity is None or quantity.qualifier != "range" or quantity.low is None or quantity.high is None:
        return None
    return quantity.low, quantity.high


def tolerance(component: Component) -> Tolerance | None:
    """The tolerance as written, beside the value (``20 %``) or in it (``470 kohm ±20 %``)."""
    written, value = component.tolerance, component.value
    if written and written.si is not None:
        return Tolerance(-abs(written.si), abs(written.si))
    if written and written.low is not None and written.high is not None:
        return Tolerance(written.low, written.high)
    if value and value.qualifier == "tolerance" and value.si and value.low is not None and value.high is not None:
        return Tolerance(value.low / value.si - 1, value.high / value.si - 1)
    return None


def _typed(component: Component) -> str:
    words: list[str] = []
    for entry in (component.value, component.volts, component.tolerance, component.watts):
        words += [entry.written] if entry else []
    words += [str(w) for w in (component.type, component.class_, component.condition) if w]
    for label, entry in (
        ("amps", component.amps),
        ("surge rating", component.surge_rating),
        ("ESR", component.ESR),
        ("ESL", component.ESL),
        ("leads", component.leads),
    ):
        words += [f"{label} {entry.written}"] if entry else []
    return " ".join(words)


def _unit(value: Quantity | None, measured: Quantity | None) -> str:
    """The unit that says what sort of part it is; a meter's ``open`` or ``OL`` says none."""
    if value is not None:
        return value.unit
    return measured.unit if measured and measured.qualifier not in _NO_NUMBER else ""


def _same_unit(value: Quantity | None, measured: Quantity) -> bool:
    return value is None or value.unit == measured.unit


def _measured_bound(value: Quantity | None, measured: Quantity | None) -> str:
    if measured is None:
        return ""
    if measured.qualifier in _NO_NUMBER:
        return _NO_NUMBER[measured.qualifier]
    if measured.si is None or not _same_unit(value, measured):
        return ""
    return bound_of(measured)


def pieces_of(part: Part) -> tuple[Piece, ...]:
    """A part's components in order, old beside new.

    A can's sections and the new components belong together in the order written, where their numbers agree. Where they
    do not, nothing is paired: the record does not say what stands for what.
    """
    if part.sections:
        return _of_sections(part)
    count = max(len(part.sheet), len(part.was), len(part.now))
    if count <= 1:
        return (_piece(part, "", part.sheet[:1], part.was[:1], part.now[:1]),)
    if all(len(listed) in (0, count) for listed in (part.sheet, part.was, part.now)):
        return tuple(
            _piece(part, str(i + 1), part.sheet[i : i + 1], part.was[i : i + 1], part.now[i : i + 1])
            for i in range(count)
        )
    old = part.was or part.sheet
    apart = [_piece(part, str(i), (), (c,), (), paired=False) for i, c in enumerate(old, 1)]
    apart += [_piece(part, str(i), (), (), (c,), paired=False) for i, c in enumerate(part.now, len(old) + 1)]
    return tuple(apart)


def _of_sections(part: Part) -> tuple[Piece, ...]:
    count = len(part.sections)
    pieces = []
    for i, (name, section) in enumerate(part.sections.items()):
        chosen = [
            own[:1] or (common[i : i + 1] if len(common) == count else ())
            for own, common in (
                (section.sheet, part.sheet),
                (section.was, part.was),
                (section.now, part.now),
            )
        ]
        pieces.append(_piece(section, str(name), *chosen, whole=part))
    if part.now and len(part.now) != count:
        pieces += [_piece(part, f"new {i}", (), (), (c,), paired=False) for i, c in enumerate(part.now, 1)]
    return tuple(pieces)


def _piece(
    where: Part | PartSection,
    section: str,
    sheet: Sequence[Component],
    was: Sequence[Component],
    now: Sequence[Component],
    *,
    paired: bool = True,
    whole: Part | None = None,
) -> Piece:
    part = whole or where
    between = where.between or part.between
    first = [seen(listed[0]) if listed else None for listed in (sheet, was, now)]
    return Piece(
        section=section,
        job=str(where.job or part.job or ""),
        ends=(str(between[0]), str(between[1])) if between else None,
        sheet=first[0],
        was=first[1],
        now=first[2],
        state=str(where.state or part.state or ""),
        positive=str(where.positive or part.positive or ""),
        outside_foil=str(part.outside_foil or "") if isinstance(part, Part) else "",
        paired=paired,
        why=str(where.why or ""),
        note=str(where.note or ""),
    )
