"""Parts as written: what the sheet says, what was in the set, what is in it now, and where it sits."""

from collections.abc import Iterable
from typing import Annotated, Any, TypeVar

from pydantic import ValidationError
from pydantic_core import PydanticCustomError

from ..forms import Form, Mistake
from ..line_form import listed, read_line
from ..section import Section, collected, described, form, refused
from ..text import Text
from ..values import (
    TEXT_SCHEMA,
    Current,
    Date,
    Inductance,
    Length,
    Name,
    PartValue,
    Power,
    Ratio,
    Reads,
    Resistance,
    Voltage,
    Wording,
    as_text,
    choice,
    one_or_more,
    schema_of,
)

CAPACITOR_TYPES = (
    "paper", "wax paper", "paper in oil", "metallised paper", "moulded paper", "film", "polyester", "polypropylene",
    "mica", "silver mica", "ceramic", "electrolytic", "tantalum", "air", "trimmer",
)  # fmt: skip
RESISTOR_TYPES = (
    "carbon composition", "carbon film", "metal film", "metal oxide", "wirewound", "carbon", "fusible", "potentiometer",
)  # fmt: skip
OTHER_TYPES = ("selenium", "silicon", "choke", "coil", "transformer", "couplate")
SAFETY_CLASSES = ("X1", "X2", "X3", "Y1", "Y2", "Y3", "Y4")
POLARISED_TYPES = ("electrolytic", "tantalum")
PAPER_TYPES = ("paper", "wax paper", "paper in oil", "metallised paper", "moulded paper")
FILM_TYPES = ("film", "polyester", "polypropylene")
FOIL_TYPES = (*PAPER_TYPES, *FILM_TYPES)
UNPOLARISED_TYPES = (*FOIL_TYPES, "mica", "silver mica", "ceramic", "air", "trimmer")

AnyComponent = TypeVar("AnyComponent", bound="Component")


class Leakage(Section):
    """``38 uA at 200 V``."""

    FORM = form(["current", "ohms", "at"], values={"current": "current", "resistance": "ohms"})

    current: Current | None = None
    ohms: Resistance | None = None
    at: Voltage | None = None


class Component(Section):
    """One component: ``0.01 uF 400 V paper, measured 13.6 nF, leakage 38 uA at 200 V``."""

    FORM = form(
        [
            "value",
            "volts",
            "surge rating",
            "watts",
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
        },
        words={
            **dict.fromkeys((*CAPACITOR_TYPES, *RESISTOR_TYPES, *OTHER_TYPES), "type"),
            **dict.fromkeys(SAFETY_CLASSES, "class"),
            "NOS": "condition",
            "new": "condition",
            "used": "condition",
            "open": "condition",
            "shorted": "condition",
            "none": "condition",
        },
        groups={"leakage": Leakage.FORM or Form()},
        begins=("capacitance", "resistance", "inductance"),
        skipped=frozenset({"and", "&", "+", "with"}),
        remark="note",
    )

    value: PartValue | None = None
    volts: Voltage | None = None
    surge_rating: Voltage | None = None
    watts: Power | None = None
    tolerance: Ratio | None = None
    type: Wording | None = None
    class_: Wording | None = None
    condition: Wording | None = None
    measured: PartValue | None = None
    leakage: Leakage | None = None
    ESR: Resistance | None = None
    ESL: Inductance | None = None
    leads: Length | None = None
    marked: Wording | None = None
    restuffed: Wording | None = None
    note: Wording | None = None

    @property
    def kind(self) -> str:
        """What sort of part the value's unit makes it: ``capacitor``, ``resistor``, ``inductor``, or ""."""
        unit = self.value.unit if self.value else self.measured.unit if self.measured else ""
        return {"F": "capacitor", "ohm": "resistor", "H": "inductor"}.get(unit, "")


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
    if errors:
        raise collected(errors)
    return tuple(found)


Components = Annotated[tuple[Component, ...], Reads(read_components, one_or_more(schema_of(Component)))]


def _read_between(value: Any) -> tuple[Text, ...]:
    names = [as_text(v) for v in value] if isinstance(value, list | tuple) else listed(as_text(value))
    if len(names) != 2 or len({" ".join(name.split()).casefold() for name in names}) != 2:
        raise refused(described(value), "two different places, such as “V3 plate and B+2”", at=value)
    return tuple(names)


Between = Annotated[
    tuple[Text, ...],
    Reads(
        _read_between, {"anyOf": [TEXT_SCHEMA, {"type": "array", "items": TEXT_SCHEMA, "minItems": 2, "maxItems": 2}]}
    ),
]

_PART_WORDS = {"keep": "state", "to do": "state", "reform": "state", "kept": "state"}
_PART_HEADS = [
    "job", "between", "sheet", "was", "now", "outside foil", "positive", "ordered", "tested", "fitted", "checked",
    "why", "original", "note", "sections",
]  # fmt: skip
PartState = choice("keep", "to do", "reform", synonyms={"kept": "keep"})
COMPONENT_FORM = Component.FORM or Form()


class PartSection(Section):
    """One section of a can: ``was 40 uF 150 V electrolytic, ESR 9 ohm, between B+1 and B-``."""

    FORM = form(
        ["job", "between", "sheet", "was", "now", "positive", "why", "note"],
        groups={"was": COMPONENT_FORM, "now": COMPONENT_FORM, "sheet": COMPONENT_FORM},
        words=_PART_WORDS,
        implied="was",
        remark="note",
    )

    job: Wording | None = None
    between: Between | None = None
    sheet: Components = ()
    was: Components = ()
    now: Components = ()
    positive: Wording | None = None
    state: PartState | None = None  # type: ignore[valid-type]
    why: Wording | None = None
    note: Wording | None = None


class Part(Section):
    """One part of the set and its life on the bench."""

    FORM = form(
        _PART_HEADS,
        groups={"was": COMPONENT_FORM, "now": COMPONENT_FORM, "sheet": COMPONENT_FORM},
        words=_PART_WORDS,
        implied="was",
        remark="note",
    )
    SYNONYMS = {"reason": "why", "role": "job", "found": "was", "fitted with": "now", "notes": "note"}

    state: PartState | None = None  # type: ignore[valid-type]
    job: Wording | None = None
    between: Between | None = None
    sheet: Components = ()
    was: Components = ()
    now: Components = ()
    sections: dict[Name, PartSection] = {}
    outside_foil: Wording | None = None
    positive: Wording | None = None
    ordered: Date | None = None
    tested: Date | None = None
    fitted: Date | None = None
    checked: Date | None = None
    why: Wording | None = None
    original: Wording | None = None
    note: Wording | None = None
