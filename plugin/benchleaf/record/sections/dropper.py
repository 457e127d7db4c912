"""What drops the rest of the line's voltage, as written: a resistor with or without taps, a cord, a ballast …"""

import math
import re
from collections.abc import Mapping
from typing import Annotated, Any, Self

from pydantic import model_validator
from pydantic_core import InitErrorDetails

from ...tubes.ballast_code import BALLAST_CODE
from ..editor_schema import TEXT_SCHEMA
from ..forms import Form
from ..problems import quoted
from ..quantities import Quantity
from ..section import Section, form, refused
from ..several import ROW_OF_OHMS, ohms_in_a_row
from ..text import Entries, Text
from ..trade_words import NOW
from ..values import Capacitance, Current, Length, Power, Reads, Resistance, Voltage, Wording, as_text, choice, read_as

_NUMBERED = r"(?:first|second|third|fourth|fifth|top|upper|middle|bottom|lower|last|\d(?:st|nd|rd|th))"
_OPEN_SECTION = re.compile(
    rf"(?<=,)\s*(?P<said>(?:the\s+)?(?P<which>{_NUMBERED}\s+(?:section|part)|(?:section|part)\s+\w{{1,6}}|"
    r"[\d.,]{1,6}\s?k?(?:\s?ohms?|\s?Ω)?\s+(?:section|part))\s+(?:is\s+|was\s+|reads?\s+|measured\s+|measures\s+|"
    r"found\s+|gone\s+|burnt\s+|burned\s+)?(?:open|O/?C|OL|inf(?:inite)?|∞))(?=\s*(?:[,;]|$))",
    re.I,
)
"""``middle section open``, ``section 2 measured open``, ``200 ohm section gone open``."""
DROPPER_KINDS = ("resistor", "resistance cord", "ballast", "capacitor", "diode", "barretter")
_DROPPER_VALUES = {
    "resistance": "ohms",
    "power": "watts",
    "capacitance": "farads",
    "voltage": "volts",
    "current": "amps",
    "length": "length",
}
_DROPPER_HEADS = ("kind", "ohms", "watts", "farads", "volts", "amps", "length", "measured", "type", "note")


class NewDropper(Section):
    """What was fitted in a dropper's place: ``resistor 165 ohm 50 W``."""

    FORM = form(_DROPPER_HEADS, values=_DROPPER_VALUES, words=dict.fromkeys(DROPPER_KINDS, "kind"), remark="note")

    kind: choice(*DROPPER_KINDS)  # type: ignore[valid-type]

    @classmethod
    def required(cls) -> list[str]:
        """None: beside its ohms its kind may be left out."""
        return []

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """A dropper of which nothing but its ohms is said is a resistor; ``K55B`` is the type of a ballast."""
        table = super()._table(data, errors)
        if not isinstance(table, Entries):
            return table
        note = table.get(Text("note"))
        code = BALLAST_CODE.match(note) if isinstance(note, Text) and Text("type") not in table else None
        if code and isinstance(note, Text) and note[code.end() :][:1] in ("", ","):
            table[Text("type", note.place)] = Text(code[0], note.place)
            table.setdefault(Text("kind", note.place), Text("ballast", note.place))
            rest = note[code.end() :].lstrip(", ")
            table[Text("note", note.place)] = Text(rest, note.place, single=False)
            if not rest:
                del table[Text("note")]
        if Text("kind") not in table and Text("ohms") in table:
            table[Text("kind", table.place)] = Text("resistor", table.place)
        return table

    ohms: Resistance | None = None
    watts: Power | None = None
    farads: Capacitance | None = None
    volts: Voltage | None = None
    amps: Current | None = None
    length: Length | None = None
    measured: Resistance | None = None
    type: Wording | None = None
    note: Wording | None = None


class Dropper(NewDropper):
    """``resistor 170 ohm 30 W``, ``resistance cord 170 ohm 6 ft``, ``diode``, ``ballast 49 V``, ``ballast K55B``.

    A ``barretter`` has the range of volts and the current it holds: ``barretter 95-165 V 0.3 A``. ``shared`` is the
    part of it that the rectifier's current flows through too, ``drain`` that direct current. One with taps has its
    ``sections`` from the line on, ``150+200+420 ohm``, and ``rectifier at`` tap 2 is behind the first two of them;
    ``open section`` is the one that was found open: ``middle section open``.
    ``now`` is what stands in its place after the work.
    """

    FORM = form(
        [*_DROPPER_HEADS, "shared", "drain", "sections", "open section", "rectifier at", "now"],
        values=_DROPPER_VALUES,
        words=dict.fromkeys(DROPPER_KINDS, "kind"),
        groups={"now": NewDropper.FORM or Form()},
        synonyms={**dict.fromkeys(NOW, "now"), **dict.fromkeys(("rectifier from", "rectifier on"), "rectifier at")},
        remark="note",
    )

    shared: Resistance | None = None
    drain: Current | None = None
    sections: Annotated[tuple[Quantity, ...], Reads(lambda value: _read_row(value), TEXT_SCHEMA)] = ()
    open_section: Wording | None = None
    rectifier_at: Wording | None = None
    now: NewDropper | None = None

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """``150+200+420 ohm`` is a dropper with taps, whose sections add up to its ohms."""
        if isinstance(data, Text) and (found := _OPEN_SECTION.search(data)):
            which = data.cut(*found.span("which")) if found["which"] else data.cut(*found.span("said"))
            rest = data.taken_as(f"{data[: found.start('said')]}measured open{data[found.end() :]}")
            table = cls._table(rest, errors)
            return table and {**table, Text("open section", which.place): which}
        row = ROW_OF_OHMS.search(data) if isinstance(data, Text) else None
        if row is None:
            return super()._table(data, errors)
        written = data.cut(*row.span())
        whole = f"{_summed(written):<{len(written)}}"
        table = super()._table(data.taken_as(f"{data[: row.start()]}{whole}{data[row.end() :]}"), errors)
        return table and {**table, Text("sections", written.place): written}

    @model_validator(mode="after")
    def _shared_up_to_the_rectifier(self) -> Self:
        """The ohms before the tap that feeds the rectifier are shared."""
        if self.rectifier_at is None or self.shared is not None:
            return self
        tap = re.search(r"\d", self.rectifier_at)
        number = int(tap[0]) if tap else 0
        if not 1 <= number <= len(self.sections):
            expected = "the number of a tap, counted from the line, such as “rectifier at tap 2”"
            remedy = "" if self.sections else "write the sections too: “150+200+420 ohm”"
            raise refused(quoted(self.rectifier_at), expected, remedy, at=self.rectifier_at)
        ohms = math.fsum(section.si or 0.0 for section in self.sections[:number])
        shared = read_as(Text(f"{ohms:g} ohm", self.rectifier_at.place, single=False), "resistance")
        object.__setattr__(self, "shared", shared)
        return self


def _summed(row: Text) -> str:
    return f"{math.fsum(section.si or 0.0 for section in _read_row(row)):g} ohm"


def _read_row(value: Any) -> tuple[Quantity, ...]:
    """Resistances in a row with a plus between: ``150+200+420 ohm``."""
    if isinstance(value, list | tuple):
        return tuple(read_as(one, "resistance") for one in value)
    return tuple(read_as(one, "resistance") for one in ohms_in_a_row(as_text(value)))
