"""What a capacitor leaked, as written: a current, or the ohms of its insulation, and the volts it was read at."""

import dataclasses
import re
from collections.abc import Mapping
from contextlib import suppress
from typing import Any, Self

from pydantic import model_validator
from pydantic_core import InitErrorDetails

from ..problems import quoted
from ..quantities import AmbiguousQuantity, QuantityError, read_quantity
from ..section import Section, form
from ..text import Text
from ..units import say
from ..values import Current, Resistance, VoltsRead

_WHY = "nobody has so few thousand ohms of insulation"
_LEAST_OHMS = 1e3
"""Fewer are those of a wire or a winding. Common practice, no source."""
_IN_M = re.compile(r"(?P<number>[<>≤≥~]?\s?[.\d][.,\d]*)\s?M(?P<ohms>[\s-]?ohms?)?", re.I)


def insulation_in_m(said: Text) -> Text | None:
    """``45 M`` and ``80 M-ohm`` of what leaks as megohms, with the remark that they are; None for any other text."""
    found = _IN_M.fullmatch(said)
    if found is None or ("m" in said and not found["ohms"]):
        return None
    ohms = said.taken_as(f"{' '.join(found['number'].split())} megohm")
    return ohms.in_unit("megohm", f"read for {quoted(said)}: {_WHY}")


def few_ohms(said: Text) -> bool:
    """Whether ohms are so few that they can be no insulation: ``0.08 ohm``."""
    with suppress(AmbiguousQuantity, QuantityError):
        return (read_quantity(str(said), "resistance").si or 0.0) < _LEAST_OHMS
    return False


class Leakage(Section):
    """``38 uA at 200 V``."""

    FORM = form(
        ["current", "ohms", "at"],
        values={"current": "current", "resistance": "ohms"},
        synonyms={"@": "at"},
        valued={"at": ("voltage",)},
        needs=("current", "ohms"),
    )

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """“0.5 M” behind a leakage is no current of any size, and of ohms a million each."""
        table = super()._table(data, errors)
        said = table.get(Text("current")) if table else None
        ohms = insulation_in_m(said) if isinstance(said, Text) else None
        if not (table and ohms and isinstance(said, Text)):
            return table
        kept = {key: value for key, value in table.items() if value is not said}
        return {**kept, Text("ohms", said.place): ohms}

    current: Current | None = None
    ohms: Resistance | None = None
    at: VoltsRead | None = None

    @model_validator(mode="after")
    def _ohms_said_as_a_current(self) -> Self:
        """Ohms at a test voltage are insulation resistance; the writer is told the current that it comes to."""
        ohms, at = self.ohms, self.at
        if ohms and ohms.si and at and at.si and not self.current:
            told = f"is insulation resistance: {say(abs(at.si) / ohms.si, 'A')} at {at.written}".replace("\u202f", " ")
            remark = f"{ohms.remark}; it {told}" if ohms.remark else told
            object.__setattr__(self, "ohms", dataclasses.replace(ohms, remark=remark))
        return self
