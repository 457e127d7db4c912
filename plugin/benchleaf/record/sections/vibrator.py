"""The vibrator of a set on an accumulator, as written."""

import re
from collections.abc import Mapping
from typing import Any, Self

from pydantic import model_validator
from pydantic_core import InitErrorDetails

from ..problems import quoted
from ..section import Section, form, refused
from ..text import Text
from ..values import Frequency, Wording, choice

_SYNCHRONOUS = ("synchronous", "self-rectifying", "self rectifying")
_PLAIN = ("non-synchronous", "non synchronous", "nonsynchronous", "asynchronous", "interrupter", "non sync", "non-sync")
_PINS = re.compile(r"(?<![\w.])(?P<pins>[3-9])[- ]?(?:pins?|prongs?)(?: base)?(?!\w)", re.I)
_TYPE = re.compile(r"(?:(?<=,)|^)(?P<gap>\s*)(?P<type>#?\d{3,4}[A-Z]?)(?=\s*(?:,|;|$))", re.I)
_LEAST_HERTZ, _MOST_HERTZ = 30.0, 500.0


class Vibrator(Section):
    """``294, 4 pin, 115 Hz, non-synchronous; points pitted``."""

    FORM = form(
        ["type", "pins", "frequency", "kind", "note"],
        values={"frequency": "frequency"},
        words=dict.fromkeys((*_SYNCHRONOUS, *_PLAIN), "kind"),
        remark="note",
    )

    type: Wording | None = None
    pins: Wording | None = None
    frequency: Frequency | None = None
    kind: (
        choice(  # type: ignore[valid-type]
            "synchronous",
            "non-synchronous",
            synonyms={
                **dict.fromkeys(_SYNCHRONOUS[1:], _SYNCHRONOUS[0]),
                **dict.fromkeys(_PLAIN[1:], _PLAIN[0]),
            },
        )
        | None
    ) = None
    note: Wording | None = None

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """``4 pin`` are its pins, a number by itself is its type."""
        if isinstance(data, Text):
            data = data.taken_as(_TYPE.sub(r"\g<gap>type \g<type>", _PINS.sub(r"pins \g<pins>", data)))
        return super()._table(data, errors)

    @model_validator(mode="after")
    def _at_a_frequency_of_reeds(self) -> Self:
        hertz = self.frequency.si if self.frequency else None
        if self.frequency is not None and (hertz is None or not _LEAST_HERTZ <= hertz <= _MOST_HERTZ):
            expected = f"how often its reed swings, from {_LEAST_HERTZ:g} to {_MOST_HERTZ:g} Hz"
            raise refused(quoted(self.frequency.written), expected, "115 Hz is usual", at=self.frequency)
        return self
