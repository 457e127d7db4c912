"""Heater strings that more than one test file works out."""

from __future__ import annotations

import makers
from benchleaf.chapters.heaters.findings import HeatersFindings

AMERICAN_FIVE = {"V1": "12BE6", "V2": "12BA6", "V3": "12AV6", "V4": "50C5", "V5": "35W4"}


EUROPEAN_FIVE = {"V1": "UCH42", "V2": "UF41", "V3": "UBC41", "V4": "UL41", "V5": "UY41"}


def found(text: str) -> HeatersFindings:
    return makers.found("heaters", text)


def series(line: str, tubes: dict[str, str], heaters: str = "") -> str:
    rows = "".join(f"  {place}: {type_}\n" for place, type_ in tubes.items())
    section = "heaters:\n" + makers.rows(heaters) if heaters else ""
    return f"line: {line}\npower: series string\ntubes:\n{rows}{section}"
