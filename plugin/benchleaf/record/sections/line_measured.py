"""What was measured on the line side, as written: volts or amperes at a part, or an insulation."""

import dataclasses
import math
import re
from collections.abc import Mapping
from contextlib import suppress
from typing import Any, Self

from pydantic import model_validator
from pydantic_core import InitErrorDetails

from ..problems import quoted
from ..quantities import AmbiguousQuantity, QuantityError, read_quantity
from ..section import Section, form, refused
from ..text import Text
from ..units import say
from ..values import Current, Date, Resistance, Voltage, Wording, choice
from .leaked import few_ohms, insulation_in_m
from .line_side_words import HOW_MEASURED
from .measured_words import PLUG_WAYS, as_measured, between_said
from .touchable_words import TOUCHABLE_PARTS

_INSULATION = re.compile(
    r"(?P<insulation>.*?\S)\s+(?P<ohms>(?:[<>≤≥~]|over|above|about)?\s*\d[\d.,]*\s?(?:[kMG]\w*|meg\w*|gig\w*|ohms?|Ω)(?:[\s-]?ohms?)?)"
    r"(?:\s+(?:at|@)\s+(?P<at>\d\S*(?:\s?V\w*)?(?:\s?DC)?))?",
    re.I,
)


class LineSideMeasurement(Section):
    """``2026-03-20, chassis, plug reversed, switch on, 0.31 V across 1500 ohm and 0.15 uF``."""

    FORM = form(
        ["date", "part", "plug", "switch", "volts", "ohms", "amps", "across", "at", "insulation", "note"],
        values={"date": "date", "voltage": "volts", "resistance": "ohms", "current": "amps"},
        words={**dict.fromkeys(TOUCHABLE_PARTS, "part"), **dict.fromkeys(HOW_MEASURED, "note")},
        synonyms={"through": "across", "thru": "across", "@": "at"},
        remark="note",
        strict=True,
    )

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """Of an insulation the volts are those it was measured at, and its ohms may stand behind it without a comma."""
        typed, data = data, as_measured(data) if isinstance(data, Text) else data
        table = super()._table(data, errors)
        ohms, between = (table.get(Text(key)) for key in ("ohms", "insulation")) if table else (None, None)
        if isinstance(ohms, Text) and between is None and few_ohms(ohms):
            of_wire = "under “before power” write “earth pin to chassis”"
            error = refused(
                f"{quoted(ohms)} with nothing that says what it was read of",
                "“insulation” and its places before so many ohms",
                f"{of_wire} before those of an earth wire",
                at=ohms,
            )
            errors.append({"type": error, "loc": (), "input": data})
            return None
        if table is None or not isinstance(data, Text) or not isinstance(between, Text):
            return table
        between = between_said(between, typed)
        parted = {**table, Text("insulation", between.place): between}
        for key in ("volts", "ohms"):
            said = parted.get(Text(key))
            if isinstance(said, Text) and (ohms := insulation_in_m(said)):
                del parted[Text(key)]
                parted[Text("ohms", said.place)] = ohms
        if Text("volts") in parted and Text("at") not in parted:
            parted[Text("at")] = parted.pop(Text("volts"))
        if Text("ohms") not in parted and (found := _INSULATION.fullmatch(between)):
            for key in ("insulation", "ohms", "at"):
                if found[key]:
                    value = between.cut(*found.span(key))
                    value.remarks = between.remarks if key == "insulation" else ()
                    parted[Text(key)] = (key == "ohms" and insulation_in_m(value)) or value
        return parted

    date: Date | None = None
    part: Wording | None = None
    plug: choice("right", "reversed", synonyms=PLUG_WAYS) | None = None  # type: ignore[valid-type]
    switch: choice("on", "off") | None = None  # type: ignore[valid-type]
    volts: Voltage | None = None
    ohms: Resistance | None = None
    amps: Current | None = None
    across: Wording | None = None
    at: Voltage | None = None
    insulation: Wording | None = None
    note: Wording | None = None

    @model_validator(mode="after")
    def _volts_and_amperes_agree(self) -> Self:
        """Volts beside the current through a resistor are those across it; the line's are told apart, others asked."""
        volts, amps = (one.si if one else None for one in (self.volts, self.amps))
        ohms = _ohms_across(self.across)
        if self.insulation is not None or not (volts and amps):
            return self
        if not ohms:
            if self.volts is not None and _LINE_VOLTS[0] <= abs(volts) <= _LINE_VOLTS[1] and self.at is None:
                told = f"{quoted(self.volts.written)} read as the line’s, at which the current was measured"
                object.__setattr__(self, "at", dataclasses.replace(self.volts, remark=told))
                object.__setattr__(self, "volts", None)
            return self
        across = abs(amps) * ohms
        if abs(math.log(abs(volts) / across)) <= math.log(_AGREE):
            return self
        assert self.volts is not None
        if across < abs(volts) and _LINE_VOLTS[0] <= abs(volts) <= _LINE_VOLTS[1] and self.at is None:
            told = f"read as the line’s, at which it was measured: the current makes {say(across, 'V')} across"
            told = f"{told} {self.across}".replace("\u202f", " ")
            object.__setattr__(self, "at", dataclasses.replace(self.volts, remark=told))
            object.__setattr__(self, "volts", None)
            return self
        found = f"{quoted(self.volts.written)} and a current that makes {say(across, 'V')} across {self.across}"
        expected = "volts and a current that go together"
        raise refused(found.replace("\u202f", " "), expected, "delete one of them", at=self.volts)


_OHMS_ACROSS = re.compile(r"[.\d][\d.,]*\s?(?:k\s?(?:ohms?|Ω)?|ohms?|Ω)", re.I)
_AGREE = 1.3
"""Times that volts may be off what the current makes: a resistor's tolerance and two meters (common practice)."""
_LINE_VOLTS = (90.0, 260.0)


def _ohms_across(said: Text | None) -> float | None:
    """The ohms of the resistor that something was read across; None where none is said."""
    found = _OHMS_ACROSS.match(said) if said is not None else None
    with suppress(AmbiguousQuantity, QuantityError):
        return read_quantity(found[0], "resistance").si if found else None
    return None
