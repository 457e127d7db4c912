"""How a meter loads a circuit where a record names its kind or its model and no ohms."""

from __future__ import annotations

import re
from typing import NamedTuple

from ..units import say


class UsualMeter(NamedTuple):
    """A meter by what it is called: the ``ohms`` of its input on all ranges, or those ``per_volt`` of its range."""

    called: str
    ohms: float
    per_volt: bool
    source: str

    @property
    def said(self) -> str:
        """How a page or a message names what was taken."""
        return f"{say(self.ohms, 'ohm')}{' per volt' if self.per_volt else ''}, usual for {self.called}"


_COMMON, _MEMORY = "common practice, no source", "from memory"
_USUAL = (
    (UsualMeter("the AVO 8", 20e3, True, _MEMORY), r"avo(?:meter)?(?:\s+(?:model|mk\.?|mark))?\s*8"),
    (UsualMeter("the Simpson 260", 20e3, True, _MEMORY), r"simpson\s*260"),
    (
        UsualMeter("a VTVM", 11e6, False, _COMMON),
        r"vtvm|vvm|(?:vacuum[- ]tube|valve|electronic) volt ?meter",
    ),
    (UsualMeter("a digital meter", 10e6, False, _COMMON), r"dmm|dvm|digital (?:multi|volt)?[- ]?meter|digital"),
)
"""Moving-coil meters that a bench knows by their number; a megohm in the probe before ten in the meter; ten on all
ranges of direct volts."""
_PATTERNS = tuple((meter, re.compile(rf"\b(?:{said})\b", re.I)) for meter, said in _USUAL)


def usual_meter(words: str) -> UsualMeter | None:
    """The meter that words name; None where they name none whose ohms are usual."""
    return next((meter for meter, said in _PATTERNS if said.search(words)), None)
