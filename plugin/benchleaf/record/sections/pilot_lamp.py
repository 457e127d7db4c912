"""A dial lamp as written: by its number, several alike, where it hangs."""

import re
from collections.abc import Mapping
from typing import Annotated, Any, Self

from pydantic import model_validator
from pydantic_core import InitErrorDetails

from ...tubes.lamps import lamp
from ..editor_schema import TEXT_SCHEMA
from ..problems import quoted
from ..section import Section, form, refused
from ..text import Text
from ..values import Current, Reads, Voltage, Wording, as_text
from .order_said import at_its_tap


def _read_across(value: Any) -> Text:
    """``V5 tap`` of ``the 35Z5 tap``: without the article, and the tube by its position."""
    text = as_text(value)
    text = text.cut(4) if text.casefold().startswith("the ") else text
    words = [text.manner.position(word) or word for word in text.split()]
    return text.taken_as(" ".join(words)) if words != text.split() else text


class PilotLamp(Section):
    """``47 across V5 tap``, ``47 in series``, or a lamp with its own figures: ``screw cap, 6.3 V 0.3 A, in series``."""

    FORM = form(
        ["type", "across", "volts", "amps", "note"],
        values={"voltage": "volts", "current": "amps"},
        words={"in series": "place", "in the string": "place"},
        first=("type",),
        remark="note",
    )

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """The tap that it lies at may be said in passing: ``#47 on the 35W4 tap``; ``two 6.3 V`` are two lamps."""
        data = data.taken_as(_NUMBER_SAID.sub("", data)) if isinstance(data, Text) else data
        data = data.taken_as(_RATED.sub("lamp ", data)) if isinstance(data, Text) else data
        data = data.taken_as(_COUNTED_VALUE.sub(r"\g<count> lamp\g<gap>", data)) if isinstance(data, Text) else data
        return super()._table(at_its_tap(data) if isinstance(data, Text) else data, errors)

    type: Annotated[Text, Reads(lambda value: _read_lamp(value), TEXT_SCHEMA)] = Text("lamp")
    across: Annotated[Text, Reads(_read_across, TEXT_SCHEMA)] | None = None
    place: Wording | None = None
    volts: Voltage | None = None
    amps: Current | None = None
    note: Wording | None = None

    @model_validator(mode="after")
    def _of_its_own_volts(self) -> Self:
        """Volts beside a lamp's number that it is not made for were read at it, or are another lamp's."""
        known = lamp(_NUMBER_OF_SEVERAL.sub("", self.type)) if self.volts else None
        if self.volts and self.volts.si and known and abs(self.volts.si / known.volts - 1) > _OFF:
            found = f"{quoted(self.volts.written)} of a lamp {known.number}"
            expected = f"{known.volts:g} V, which that lamp is made for"
            remedy = f"write what was read at it below “measured:”, as “lamp: {self.volts.written}”"
            raise refused(found, expected, remedy, at=self.volts)
        return self


_NUMBER_OF_SEVERAL = re.compile(r"^\d\s*[x×]\s*")
_OFF = 0.08
"""How far volts beside a lamp's number may be from its own: 6.3 V for one of 6.2 V. Common practice, no source."""
_SEVERAL = re.compile(
    r"(?P<count>two|three|four|[2-6])(?:\s*[x×]\s*|\s+(?:-\s+)?(?:no\.?\s+)?|\s?-\s(?:no\.?\s+)?)#?(?P<lamp>[^x×\s].*)?",
    re.I,
)
_NUMBER_SAID = re.compile(r"\b(?:numbers?|type)\s+(?=\d{2,4}[A-Z]?(?!\w))", re.I)
"""A word for the sign before a lamp's number: ``two number 47``."""
_COUNTED_VALUE = re.compile(
    r"^(?P<count>two|three|four|[2-6](?=\s?(?:stk|pcs|st|nos?)\b))(?P<gap>\s+)(?:(?:stk|pcs|st|nos?)\b\.?\s+)?(?=[.\d][\d.,]*\s?(?:V|volts?|m?A|W)\b)",
    re.I,
)
"""How many lamps, before what each is rated for."""
_RATED = re.compile(r"^(?=[.\d][\d.,]*\s?V(?:olts?)?,?\s+[.\d][\d.,]*\s?m?A\b)", re.I)
"""Before what a lamp without a number is rated for, whatever is said behind it: ``6.5 V 0.3 A MES``."""
_COUNTED = re.compile(r"\d\s*[x×]\s*[^x×\s]", re.I)
_COUNTS = {"two": "2", "three": "3", "four": "4"}


def _read_lamp(value: Any) -> Text:
    """A lamp's type; of several alike with their number in front: ``two #46`` is ``2 x 46``."""
    text = as_text(value)
    several = _SEVERAL.fullmatch(text)
    if several is None or _COUNTED.match(text):
        return text
    count = several["count"].casefold()
    return text.taken_as(f"{_COUNTS.get(count, count)} x {several['lamp'] or 'lamp'}")
