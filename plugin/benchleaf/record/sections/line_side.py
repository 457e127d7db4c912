"""The line side as written: everything between the wall plug and the parts a hand can touch, before and after."""

import dataclasses
import re
from collections.abc import Iterator, Mapping
from contextlib import suppress
from typing import Annotated, Any

from pydantic import Field, ValidationError
from pydantic_core import InitErrorDetails, PydanticCustomError

from ..editor_schema import TEXT_SCHEMA, offered, one_or_more
from ..line_values import PART_NAME
from ..parts_said import as_capacitor
from ..piecemeal import kept_without
from ..problems import did_you_mean, one_of, quoted
from ..section import Section, collected, form, refused
from ..spelling import meant
from ..text import Text
from ..values import (
    Current,
    Power,
    Reads,
    Resistance,
    Voltage,
    Wording,
    as_text,
    choice,
    schema_of,
)
from .british_plug import EARTH_ABSENT, fuse_of_the_plug, in_the_live_lead, in_the_plug, with_its_plug
from .fuse_words import FUSE_NAMED, FUSE_PLACES, IN_A_HOLDER, LEADS, LIVE_WIRE, QUICK, SLOW, SPEEDS, no_fuse_left
from .line_measured import LineSideMeasurement
from .line_side_words import PLUGS, SWITCH_LEADS, line_side_of, read_plug, read_switch, same_as_before, timer_apart
from .measured_words import with_ways_told
from .parts import COMPONENT_FORM, Component, components_of
from .touchable_words import (
    TOUCHABLE_PARTS,
    each_socket,
    not_computed,
    opening_part,
    out_of_reach,
    part_named,
    whole_items,
)

PlugKind = Annotated[Text, Reads(read_plug, offered(PLUGS))]
Switch = Annotated[Text, Reads(read_switch, offered((*SWITCH_LEADS, "none")))]


def _read_speed(value: Any) -> Text:
    """How quick a fuse is by any of the trade's words; its code letters are T and F (IEC 60127)."""
    text = as_text(value)
    said = SPEEDS.get(text.casefold())
    return text.read_as(said) if said and text.casefold() not in ("slow", "quick", "fast", "time-lag") else text


_WHERE = re.compile(
    r"(?<=live|.hot|lead)\s+(?P<said>(?:on|at|under|inside|by) the (?!plug)[a-z ]+)(?=\s*(?:,|;|\Z))", re.I
)
"""Where in the set a fuse sits, behind the lead that it breaks."""


_BARE_AMPERES = re.compile(r"(?:\d?[.,]\d{1,3}|[1-5])(?=\s+(?:slo\w*|slow|time|anti|quick|fast|in\b))", re.I)
"""What a fuse is rated for with no unit: ``1.5 slo-blo in hot``."""


class Fuse(Section):
    """``0.5 A slow 250 V UL in hot lead``, ``22 ohm 2 W fusible resistor in hot lead``, or ``none``."""

    FORM = form(
        ["amps", "ohms", "watts", "speed", "in", "volts", "rule", "plug fuse", "note"],
        values={"current": "amps", "voltage": "volts", "resistance": "ohms", "power": "watts"},
        words={
            **dict.fromkeys((*SLOW, *QUICK), "speed"),
            **dict.fromkeys((*FUSE_PLACES, *LEADS), "in"),
            **dict.fromkeys(("none", "no", "no fuse", "not fused", "unfused", "without fuse"), "none"),
            "fusible resistor": "speed",
            **dict.fromkeys(("glass", "ceramic", "5x20", "5x20 mm", "6.3x32", "in plug", "20 mm"), "note"),
            "UL": "rule",
            "IEC": "rule",
        },
        remark="note",
        strict=True,
        skipped=frozenset({"fuse", "in", "the", "inline", "in-line"}),
    )

    amps: Current | None = None
    ohms: Resistance | None = None
    watts: Power | None = None
    speed: Annotated[Text, Reads(_read_speed, TEXT_SCHEMA)] | None = None
    in_: choice(*FUSE_PLACES, synonyms=LEADS) | None = None  # type: ignore[valid-type]
    volts: Voltage | None = None
    rule: choice("UL", "IEC") | None = None  # type: ignore[valid-type]
    plug_fuse: Current | None = None
    none: Wording | None = None
    note: Wording | None = None

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """A fuse that something lies across is none: ``bridged with silver paper``; ``F1 in hot lead`` is a part's."""
        if isinstance(data, Text) and (named := FUSE_NAMED.match(data)):
            table = super()._table(data.cut(named.end()), errors) if named.end() < len(data) else {}
            name = data.cut(*named.span("name")).taken_as(f"{named['name']} of the parts list")
            before = table.get(Text("note")) if table else None
            note = name.and_then(before) if isinstance(before, Text) else name
            return None if table is None else {**table, Text("note", name.place): note}
        if isinstance(data, Text):
            data = data.taken_as(LIVE_WIRE.sub(r"\1 lead", _WHERE.sub(r", note \g<said>", data)))
        if isinstance(data, Text) and (bare := _BARE_AMPERES.match(data)):
            table = cls._table(data.taken_as(f"{bare[0]} A{data[bare.end() :]}"), errors)
            amps = table.get(Text("amps")) if table else None
            told = f"{quoted(bare[0])} read as amperes"
            return (
                {**table, Text("amps"): amps.taken_as(str(amps), told)} if table and isinstance(amps, Text) else table
            )
        if isinstance(data, Text) and (both := fuse_of_the_plug(data)):
            plug_fuse, own = both
            table = super()._table(own, errors)
            return table and {**table, Text("plug fuse", plug_fuse.place): plug_fuse}
        if isinstance(data, Text) and (plug := in_the_plug(data)):
            rest = " ".join(filter(None, (part.strip(" ,") for part in data.split(str(plug), 1))))
            table = super()._table(data.taken_as(rest), errors)
            return table and {Text("in", plug.place): in_the_live_lead(plug), **table}
        if isinstance(data, Text) and (holder := IN_A_HOLDER.search(data)):
            data = data.taken_as(f"{data[: holder.start()].rstrip(' ,')}, note {data[holder.start() :].strip()}")
        if not (isinstance(data, Text) and no_fuse_left(data)):
            return super()._table(data, errors)
        note = data.taken_as(str(data), f"“{data}” read as no fuse")
        return {Text("none", data.place): data.cut(0).taken_as("none"), Text("note", data.place): note}


WIRE_WORDS = ("wire", "wired", "direct", "strap")
"""Words for what is a wire and no component."""


_LEADS_OF_A_PART = ("hot lead", "B- lead", "return lead", "both leads", "each lead")
_ON_EACH = frozenset(
    f"{before}{each}{of}"
    for before in ("", "from ", "on ", "one from ", "one on ", "one ")
    for each in ("each side", "each lead", "each leg", "both sides")
    for of in ("", " of the line", " of line", " of the mains")
)
"""That a part hangs on each of the two leads of the cord, of which there are then two."""
_TWO_ALIKE = re.compile(
    r"(?:2|two)\s?[x×]?\s?(?P<value>[.\d].*?),?\s+one\s+(?:from\s+|on\s+)?each (?:side|lead|leg)"
    r"(?: of the line| of the mains)?",
    re.I,
)


_SIDE_BY_SIDE = re.compile(r"\s*,?\s+(?:both\s+)?in parallel(?=\s*(?:,|;|\Z))", re.I)
"""That parts stand beside each other, as all do that are not said to be in series."""


def _read_lead(value: Any) -> Text:
    text = as_text(value)
    return text.read_as("each lead") if " ".join(text.casefold().split()) in _ON_EACH - {"each lead"} else text


class BarrierPart(Component):
    """A component of the line side: ``4.7 nF Y2 and 4.7 nF Y2 in series``, ``10 nF paper hot lead``, ``wire``.

    Components stand in parallel; one that says ``in series`` is in series with the one before it. ``lead`` is the lead
    of the cord a capacitor from line to chassis hangs on. ``part`` names one of the parts list, which says what it is.
    """

    FORM = dataclasses.replace(
        COMPONENT_FORM,
        values={**COMPONENT_FORM.values, "part": "part"},
        begins=(*COMPONENT_FORM.begins, "part"),
        ignored=COMPONENT_FORM.ignored | {"on", "the"},
        strict=True,
        words={
            **COMPONENT_FORM.words,
            "in series": "joint",
            **dict.fromkeys(WIRE_WORDS, "condition"),
            **dict.fromkeys((*_LEADS_OF_A_PART, *_ON_EACH), "lead"),
        },
    )

    EMPTY_TOO = False

    part: Wording | None = None
    joint: Wording | None = None
    lead: Annotated[Text, Reads(_read_lead, TEXT_SCHEMA)] | None = None


def _read_barrier(value: Any) -> tuple[BarrierPart, ...]:
    """The components between two places, from a line, a mapping, or a list of either."""
    if isinstance(value, Text) and (two := _TWO_ALIKE.fullmatch(value)):
        value = value.taken_as(f"{two['value']} each lead", f"{quoted(value)} read as one on each lead")
    value = value.taken_as(_SIDE_BY_SIDE.sub("", value)) if isinstance(value, Text) else value
    return components_of(as_capacitor(value), BarrierPart)


BarrierParts = Annotated[tuple[BarrierPart, ...], Reads(_read_barrier, one_or_more(schema_of(BarrierPart)))]


class TouchablePart(Section):
    """A part a hand can reach, and what lies between it and the chassis: ``aerial socket through 500 pF Y1``."""

    LINED = True

    name: Wording
    through: BarrierParts = ()
    route: Wording | None = None


_COMPONENT = re.compile(rf"[.\d]|{PART_NAME.pattern}", re.I)
"""How a component begins, where words may stand instead of one: by its value or by the name of a part."""
_NO_EARTH = re.compile(rf"\s*{EARTH_ABSENT}\b", re.I)
_THROUGH_SAID = re.compile(r"\s+(?:through|thru|thro'?|behind|via)\s+", re.I)
_A_PART = re.compile(rf"\b{PART_NAME.pattern}", re.I)
_THROUGH = re.compile(rf"\b(?:through|thru|thro'?|via|behind)\s+(?={_COMPONENT.pattern})", re.I)


def _read_touchable(value: Any) -> tuple[TouchablePart | Text, ...]:
    """Touchable parts; an item that names none of them is a remark (``nylon knob screws fitted``)."""
    if isinstance(value, dict):
        return (TouchablePart.model_validate(value),)
    found: list[TouchablePart | Text] = []
    errors: list[PydanticCustomError | ValidationError] = []
    listed = value if isinstance(value, list | tuple) else [as_text(value)]
    for entry in (one for row in listed for one in (whole_items(row) if isinstance(row, Text) else [row])):
        try:
            if isinstance(entry, Text):
                found += [_one_touchable(one) for one in each_socket(entry)]
            else:
                found += _read_touchable(entry)
        except (PydanticCustomError, ValidationError) as error:
            errors.append(error)
    if errors and not (found and kept_without(errors)):
        raise collected(errors)
    return tuple(found)


def _one_touchable(item: Text) -> TouchablePart | Text:
    through = _THROUGH_SAID.search(item)
    name = item.cut(0, through.start()) if through else item
    opens = None if through or part_named(name) else opening_part(item)
    if opens and out_of_reach(item):
        return item
    rest = item.cut(through.end()) if through else opens[1] if opens else None
    name = opens[0] if opens else name
    known = part_named(name)
    near = meant(name, TOUCHABLE_PARTS) if known is None else []
    remedy = f"did you mean {one_of(map(quoted, near))}?" if near else ""
    if known is None and (remedy := remedy or (did_you_mean(name, TOUCHABLE_PARTS) if " " not in name else "")):
        raise refused(quoted(name), f"a touchable part: {one_of(TOUCHABLE_PARTS)}", remedy, at=name)
    if known is None and (rest is None or not _COMPONENT.match(rest)):
        return not_computed(item)
    if rest is not None and not _COMPONENT.match(rest) and (part := _A_PART.search(rest)):
        remedy = f"write {quoted(f'{name} through {part[0]}')} if it lies between"
        raise refused(quoted(item), "a touchable part, and behind “through” what lies between", remedy, at=item)
    data: dict[str, Any] = {"name": name.read_as(known) if known else name}
    if rest is not None:
        told = f"{quoted(item)}: {quoted(rest)} has no value, and counts as a wire"
        by_words = rest if through else rest.taken_as(str(rest), told)
        data |= {"through": rest} if _COMPONENT.match(rest) else {"route": by_words}
    return TouchablePart.model_validate(data)


Touchable = Annotated[
    tuple[TouchablePart | Text, ...],
    Reads(_read_touchable, one_or_more(schema_of(TouchablePart))),
]


class LineSideState(Section):
    """The line side at one time; in one line each item stands under the name that its words belong to."""

    LINED = True

    SYNONYMS = {
        **dict.fromkeys(
            ("B-to chassis", "B- to ground", "B minus to chassis", "B minus to ground", "HT- to chassis"),
            "B- to chassis",
        ),
        "mains to chassis": "line to chassis",
        **dict.fromkeys(("across line", "across mains", "across the mains"), "across the line"),
        **dict.fromkeys(("flex", "mains lead", "line cord", "power cord"), "cord"),
        **dict.fromkeys(("earth", "ground", "earth wire", "ground wire", "ground lead"), "earth lead"),
    }

    plug: PlugKind | None = None
    cord: Wording | None = None
    switch: Switch | None = None
    fuse: Fuse | None = None
    b_minus_to_chassis: BarrierParts = Field(default=(), alias="B- to chassis")
    across_the_line: BarrierParts = ()
    line_to_chassis: BarrierParts = ()
    earth_lead: Wording | None = None
    touchable: Touchable = ()
    note: Wording | None = None

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        if isinstance(data, Text):
            try:
                return with_its_plug(line_side_of(data))
            except PydanticCustomError as error:
                errors.append({"type": error, "loc": (), "input": data})
                return None
        table = super()._table(data, errors)
        return with_its_plug(timer_apart(table)) if table else table

    @property
    def earthed(self) -> bool | None:
        """Whether there is an earth lead; None where nothing is written of it."""
        return None if self.earth_lead is None else not _NO_EARTH.match(self.earth_lead)

    def through_earth_lead(self) -> tuple[BarrierPart, ...]:
        """The components that the earth lead goes ``through``. Raises ValueError where they cannot be read."""
        lead = self.earth_lead
        through = _THROUGH.search(lead) if lead is not None and self.earthed else None
        return _read_barrier(lead.cut(through.end())) if lead is not None and through else ()

    def barriers(self) -> Iterator[tuple[str, tuple[BarrierPart, ...]]]:
        """The components of every place by the key they are written under; those of touchable parts by the part."""
        yield "B- to chassis", self.b_minus_to_chassis
        yield "across the line", self.across_the_line
        yield "line to chassis", self.line_to_chassis
        for part in self.touchable:
            if isinstance(part, TouchablePart):
                yield str(part.name), part.through
        with suppress(ValueError):
            yield "earth lead", self.through_earth_lead()


class LineSide(Section):
    """Section ``line side`` of a record."""

    before: LineSideState | None = None
    after: LineSideState | None = None
    measured: tuple[LineSideMeasurement, ...] = ()
    note: Wording | None = None

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """How the plug stood may be said of the line before."""
        table = with_ways_told(super()._table(data, errors))
        before, after = (table.get(Text(key)) for key in ("before", "after")) if table else (None, None)
        return {**table, Text("after"): same_as_before(before, after)} if table and after is not None else table
