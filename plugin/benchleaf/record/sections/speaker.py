"""The speaker and its output transformer as written."""

import re
from collections.abc import Mapping
from typing import Any

from pydantic_core import InitErrorDetails

from ..section import Section, form
from ..text import Text
from ..values import Length, Resistance, Wording, quantity

_BEFORE_ITS_WORD = re.compile(
    r"(?P<value>[.\d][\d.,]*\s?(?:k|ohms?|kohms?|Ω)?)\s+(?P<word>voice coil|field(?: coil| winding)?)(?=,|;|\s*$)", re.I
)


class Speaker(Section):
    """``3.2 ohm, voice coil 2.7 ohm, ratio 45:1; cone sealed at the edge``; ``field`` is the winding of its magnet."""

    FORM = form(
        ["impedance", "voice coil", "field", "size", "ratio", "note"],
        values={"resistance": "impedance", "length": "size", "turns ratio": "ratio"},
        synonyms=dict.fromkeys(("field coil", "field winding"), "field"),
        skipped=frozenset({"output", "transformer", "speaker"}),
        remark="note",
    )

    impedance: Resistance | None = None
    voice_coil: Resistance | None = None
    field: Resistance | None = None
    size: Length | None = None
    ratio: quantity("turns ratio") | None = None  # type: ignore[valid-type]
    note: Wording | None = None

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """``1800 ohm field`` is the field's resistance, as ``field 1800 ohm`` is."""
        if isinstance(data, Text):
            data = data.taken_as(_BEFORE_ITS_WORD.sub(r"\g<word> \g<value>", data))
        return super()._table(data, errors)
