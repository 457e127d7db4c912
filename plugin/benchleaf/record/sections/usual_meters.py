"""What a kind of meter usually loads a circuit with, where a record names the kind and no ohms."""

from __future__ import annotations

import re

_KINDS = (
    ("VTVM", 11e6, re.compile(r"\b(?:vtvm|vvm|(?:vacuum[- ]tube|valve|electronic) volt ?meter)\b", re.I)),
    ("digital meter", 10e6, re.compile(r"\b(?:dmm|dvm|digital (?:multi|volt)?[- ]?meter|digital)\b", re.I)),
)
"""A megohm in the probe before ten in the meter; ten on all ranges of direct volts. Common practice, no source."""


def usual_input(words: str) -> tuple[str, float] | None:
    """The kind of meter that words name and the ohms of its input; None where they name none whose ohms are usual."""
    return next(((kind, ohms) for kind, ohms, said in _KINDS if said.search(words)), None)
