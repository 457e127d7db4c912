"""Parts as written: what the sheet says, what was in the set, what is in it now, and where it sits."""

import re
from collections.abc import Iterable, Mapping
from functools import cache
from typing import Annotated, Any, TypeVar

from pydantic import ValidationError, model_validator
from pydantic_core import InitErrorDetails, PydanticCustomError

from ..clauses import clauses_parted
from ..days_of_sections import day_of_sections
from ..editor_schema import TEXT_SCHEMA, one_or_more
from ..ends_of_each import ends_of_each, has_as_many, with_ends
from ..forms import Form, Mistake
from ..items_of_each import items_of_each
from ..joined_values import joined_into_one
from ..kind_of_part import KIND_BY_UNIT, read_condition, read_type
from ..line_form import read_line
from ..line_items import listed
from ..part_types import CAPACITOR_TYPES, FUSE_SPEEDS, OTHER_TYPES, RESISTOR_TYPES, TAPERS
from ..parts_said import as_said, gone_as_none, with_verdict_of_the_old, without_doubtful_fate
from ..piecemeal import is_piecemeal, kept_without
from ..said_in_full import said_in_full
from ..section import Section, collected, described, form, refused
from ..settled import doubt_of
from ..several import as_sections, said_of_each
from ..text import Entries, Text
from ..trade_words import CONDITIONS, GOOD, MEASURED, NOW, TYPES
from ..units_beside import in_units, now_in_units, of_a_cathode, of_a_coil
from ..values import (
    Current,
    Date,
    Inductance,
    Length,
    Name,
    OhmsRead,
    PartValue,
    Power,
    Ratio,
    Reads,
    ReadsBefore,
    Voltage,
    Wording,
    as_text,
    choice,
    schema_of,
)
from ..whole_words import reason_apart, with_names_as_note, words_of_form
from .hung import Taps, hung, pins_joined, pins_of_line, published_pins, side_by_its_electrode
from .leaked import Leakage

SAFETY_CLASSES = ("X1", "X2", "X3", "Y1", "Y2", "Y3", "Y4")
BOTH_CLASSES = tuple(f"{x}/{y}" for x in SAFETY_CLASSES[:3] for y in SAFETY_CLASSES[3:])
"""A capacitor may be approved for the line and for the hand: ``X1/Y2``."""

AnyComponent = TypeVar("AnyComponent", bound="Component")

_LEFT_OUT = frozenset({"capacitor", "capacitors", "resistor", "condenser", "cap", "caps", "can", "cans", "@"})


class Component(Section):
    """One component: ``0.01 uF 400 V paper, measured 13.6 nF, leakage 38 uA at 200 V``."""

    EMPTY_TOO = True
    FORM = form(
        [
            "value",
            "volts",
            "surge rating",
            "watts",
            "amps",
            "tolerance",
            "type",
            "class",
            "measured",
            "leakage",
            "ESR",
            "ESL",
            "leads",
            "marked",
            "restuffed",
            "note",
        ],
        values={
            "capacitance": "value",
            "resistance": "value",
            "inductance": "value",
            "voltage": "volts",
            "power": "watts",
            "ratio": "tolerance",
            "frequency": "note",
        },
        words={
            **dict.fromkeys(CONDITIONS, "condition"),
            **dict.fromkeys((*CAPACITOR_TYPES, *RESISTOR_TYPES, *OTHER_TYPES, *TYPES), "type"),
            **dict.fromkeys((*SAFETY_CLASSES, *BOTH_CLASSES), "class"),
            **dict.fromkeys((*FUSE_SPEEDS, *TAPERS), "note"),
        },
        synonyms={
            **dict.fromkeys(MEASURED, "measured"),
            **dict.fromkeys(("insulation", "insulation resistance"), "leakage"),
        },
        gathers=("condition", "type"),
        behind=dict.fromkeys(("capacitance", "resistance", "inductance"), "measured"),
        valued={
            "measured": ("capacitance", "resistance", "inductance"),
            "surge rating": ("voltage",),
            "amps": ("current",),
            "ESR": ("resistance",),
            "ESL": ("inductance",),
            "leads": ("length",),
        },
        strokes=True,
        groups={"leakage": Leakage.FORM or Form()},
        implied="leakage",
        begins=("capacitance", "resistance", "inductance"),
        skipped=frozenset({"and", "&", "+", "with", "y", "und", "en"}),
        ignored=_LEFT_OUT,
        remark="note",
    )

    value: PartValue | None = None
    volts: Voltage | None = None
    surge_rating: Voltage | None = None
    watts: Power | None = None
    amps: Current | None = None
    tolerance: Ratio | None = None
    type: Annotated[Text, Reads(read_type, TEXT_SCHEMA)] | None = None
    class_: Wording | None = None
    condition: Annotated[Text, Reads(read_condition, TEXT_SCHEMA)] | None = None
    measured: PartValue | None = None
    leakage: Leakage | None = None
    ESR: OhmsRead | None = None
    ESL: Inductance | None = None
    leads: Length | None = None
    marked: Wording | None = None
    restuffed: Wording | None = None
    note: Wording | None = None

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """What was measured and has no unit is of the unit of the value beside it, where it is of its size."""
        table = super()._table(data, errors)
        measured, value = (table.get(Text(key)) for key in ("measured", "value")) if table else (None, None)
        if table and (doubt := doubt_of(value, measured)):
            errors.append({"type": refused(*doubt, at=value), "loc": (), "input": value})
            return {key: entry for key, entry in table.items() if key not in ("value", "measured")}
        return in_units(table) if isinstance(table, Entries) else table

    @property
    def kind(self) -> str:
        """What sort of part the value's unit makes it: ``capacitor``, ``resistor``, ``inductor``, or ""."""
        unit = self.value.unit if self.value else self.measured.unit if self.measured else ""
        return KIND_BY_UNIT.get(unit, "")


def read_components(value: Any) -> tuple[Component, ...]:
    """One or more components from a line, a mapping, or a list of either."""
    return components_of(value, Component)


def components_of(value: Any, sort: type[AnyComponent]) -> tuple[AnyComponent, ...]:
    """Components of one sort (a plain one, or one of the line side) from a line, a mapping, or a list of either."""
    if isinstance(value, sort):
        return (value,)
    if isinstance(value, dict):
        return (sort.model_validate(value),)
    errors: list[ValidationError | PydanticCustomError | Mistake] = []
    found: list[AnyComponent] = []
    if isinstance(value, list | tuple):
        entries: Iterable[Any] = value
    else:
        entries, mistakes = read_line(as_text(value), sort.FORM or Form())
        errors += mistakes
    for entry in entries:
        try:
            found += components_of(entry, sort)
        except (ValidationError, PydanticCustomError) as error:
            errors.append(error)
    if errors and not (found and kept_without(errors)):
        raise collected(errors)
    return tuple(found)


Components = Annotated[tuple[Component, ...], Reads(read_components, one_or_more(schema_of(Component)))]


def _parted(name: Text) -> list[tuple[int, int | None]]:
    """Where the two places stand of ``V3 plate to V4 grid``; the whole where nothing parts them."""
    joints = list(_BETWEEN_JOINT.finditer(name))
    return [(0, joints[0].start()), (joints[0].end(), None)] if len(joints) == 1 else [(0, None)]


def _read_between(value: Any) -> tuple[Text, ...]:
    names = [as_text(v) for v in value] if isinstance(value, list | tuple) else listed(as_text(value))
    if len(names) == 1:
        names = [names[0].cut(*span) for span in _parted(names[0])]
    if len(names) != 2 or len({" ".join(name.split()).casefold() for name in names}) != 2:
        raise refused(described(value), "two different places, such as “V3 plate and B+2”", at=value)
    return tuple(names)


Between = Annotated[tuple[Text, ...], Reads(_read_between, one_or_more(TEXT_SCHEMA))]

_BETWEEN_JOINT = re.compile(r"\s+(?:to|–|-)\s+", re.I)
_OLD = ("was", "sheet")
_STATES = {
    "kept": "keep",
    **dict.fromkeys(("to be ordered", "to order", "to be replaced", "to replace", "still to do"), "to do"),
    **dict.fromkeys(("to be reformed", "to reform"), "reform"),
}
_STATES |= {f"state {word}": _STATES.get(word, word) for word in ("keep", "to do", "reform", "reformed", *_STATES)}
_PART_WORDS = dict.fromkeys(("keep", "to do", "reform", *_STATES), "state")
_PART_HEADS = [
    "job", "between", "sheet", "was", "now", "outside foil", "positive", "ordered", "tested", "fitted", "checked",
    "why", "original", "note", "sections", "taps", "pins",
]  # fmt: skip
PartState = choice("keep", "to do", "reform", "reformed", synonyms=_STATES)
COMPONENT_FORM = Component.FORM or Form()


def _kept_as_it_is(part: Any) -> Any:
    """A part that was found in order, and has no new one, is kept."""
    found = {
        word
        for side in _OLD
        for c in getattr(part, side)
        for word in (c.condition or "").casefold().replace("!", "").split(", ")
    }
    if found & GOOD and not part.now and part.state is None:
        object.__setattr__(part, "state", Text("keep"))
    return part


def _form(heads: Iterable[str]) -> Form:
    """The line of a part, or of one section of it."""
    return form(
        heads,
        groups={"was": COMPONENT_FORM, "now": COMPONENT_FORM, "sheet": COMPONENT_FORM},
        words=_PART_WORDS,
        synonyms={**dict.fromkeys(NOW, "now"), "from": "between"},
        implied="was",
        remark="note",
        spoken=True,
        gathers=("job",),
    )


class PartSection(Section):
    """One section of a can: ``was 40 uF 150 V electrolytic, ESR 9 ohm, between B+1 and B-``."""

    FORM = _form(["job", "between", "sheet", "was", "now", "positive", "why", "note"])

    job: Wording | None = None
    between: Between | None = None
    sheet: Components = ()
    was: Components = ()
    now: Components = ()
    positive: Wording | None = None
    state: PartState | None = None  # type: ignore[valid-type]
    why: Wording | None = None
    note: Wording | None = None

    _kept = model_validator(mode="after")(_kept_as_it_is)

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """Inside a couplate ``1 to 3`` are the outer pins that a part lies between."""
        said = as_said(clauses_parted(data)) if isinstance(data, Text) else data
        line, ends = pins_joined(said) if isinstance(said, Text) and said.single else (said, None)
        table = super()._table(line, errors)
        table = now_in_units(table, _OLD) if isinstance(table, Entries) else table
        return {**table, Text("between", ends[0].place): list(ends)} if table is not None and ends else table


class Part(Section):
    """One part of the set and its life on the bench."""

    FORM = _form(_PART_HEADS)
    SYNONYMS = {
        "reason": "why",
        "role": "job",
        "found": "was",
        "fitted with": "now",
        "notes": "note",
        "inside": "sections",
    }

    state: PartState | None = None  # type: ignore[valid-type]
    job: Wording | None = None
    between: Between | None = None
    sheet: Components = ()
    was: Components = ()
    now: Components = ()
    sections: dict[Name, PartSection] = {}
    taps: Taps | None = None
    pins: Annotated[dict[Name, Wording], ReadsBefore(pins_of_line, published_pins)] = {}
    outside_foil: Wording | None = None
    positive: Wording | None = None
    ordered: Date | None = None
    tested: Date | None = None
    fitted: Date | None = None
    checked: Date | None = None
    why: Wording | None = None
    original: Wording | None = None
    note: Wording | None = None

    _kept = model_validator(mode="after")(_kept_as_it_is)
    _hung = model_validator(mode="after")(hung)
    _side = model_validator(mode="after")(side_by_its_electrode)

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """A part with several of a kind in one value has become its sections, each with its own ends."""
        data = clauses_parted(data) if isinstance(data, Text) else data
        apart = items_of_each(data) if isinstance(data, Text) else None
        if apart is not None:
            whole = cls._in_sections(apart.rest, errors) if apart.rest else Entries(apart.rest.place)
            return whole if whole is None else {**whole, Text("sections", apart.rest.place): apart.sections}
        each = ends_of_each(data) if isinstance(data, Text) else None
        if each and isinstance(data, Text):
            told: list[InitErrorDetails] = []
            table = cls._in_sections(each.line, told)
            if isinstance(table, Entries) and (not each.listed or has_as_many(table, each)):
                errors += told
                return with_ends(table, each)
        return cls._in_sections(data, errors)

    @classmethod
    def _in_sections(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        why = None
        if isinstance(data, Text):
            data = said_in_full(joined_into_one(as_said(data)))
            data, why = reason_apart(with_names_as_note(said_of_each(data)), _known_words(cls))
        data = day_of_sections(data) if isinstance(data, Entries) else data
        table = gone_as_none(super()._table(data, errors))
        if why is not None and isinstance(table, Entries):
            table[Text("why", why.place)] = why
        found: Mapping[Any, Any] | None = table
        if isinstance(table, Entries):
            table = with_verdict_of_the_old(without_doubtful_fate(table, errors) if is_piecemeal() else table)
            found = as_sections(now_in_units(of_a_coil(of_a_cathode(table)), _OLD), _OLD)
        return found


@cache
def _known_words(section: type[Section]) -> frozenset[str]:
    return words_of_form(section.FORM)
