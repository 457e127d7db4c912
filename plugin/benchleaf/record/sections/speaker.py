"""The speaker and its output transformer as written."""

import re
from collections.abc import Mapping
from typing import Any

from pydantic_core import InitErrorDetails

from ..line_values import BARE_NUMBER
from ..section import Section, form
from ..text import Text
from ..values import Length, Resistance, Wording, quantity

_BEFORE_ITS_WORD = re.compile(
    r"(?P<value>[.\d][\d.,]*\s?(?:k|ohms?|kohms?|Ω)?)\s+(?P<word>voice coil|field(?: coil| winding)?)(?=,|;|\s*$)", re.I
)

_OVAL = re.compile(
    r"(?:\bsize\s+)?(?P<both>[.\d][\d.,/]*\s?(?:[x×*]|by)\s?[.\d][\d.,/]*\s?(?:in(?:ch(?:es)?)?\b\.?|cm\b|mm\b|\")(?:\s+oval\b)?)",
    re.I,
)
_MAGNETS = (
    "permanent magnet",
    "permag",
    "pm",
    "p.m.",
    "m.c.",
    "moving coil",
    "dynamic",
    "electrodynamic",
    "moving iron",
)
_WARM = re.compile(r"(?P<before>\bfield\b.*,\s*)(?=[.\d][\d.,]*\s?(?:k|ohms?|kohms?|Ω)?\s+(?:warm|hot)\b)", re.I)
"""Before a second value of the field's winding, taken when the set had run."""
_WARMTH = re.compile(r"(?<=[\dΩsm])\s+(?=(?:cold|hot|warm|(?:at|@)\s+\d+\s?°)\b|(?:at|@)\s+\d+\s?°)", re.I)
_FIELD_ALONE = re.compile(r"(?<![\dΩ])(?P<before>\s+|^)(?P<said>field(?: coil| winding)?)(?=\s*(?:,|;|\Z))", re.I)
"""That the magnet is wound, with no ohms beside it."""
_NOTED = "\u2060"
"""What stands in a line for the two lengths of an oval speaker while the rest of it is read."""


class Speaker(Section):
    """``3.2 ohm, voice coil 2.7 ohm, ratio 45:1; cone sealed at the edge``; ``field`` is the winding of its magnet."""

    FORM = form(
        ["impedance", "voice coil", "field", "size", "ratio", "note"],
        values={"resistance": "impedance", "length": "size", "turns ratio": "ratio"},
        synonyms=dict.fromkeys(("field coil", "field winding"), "field")
        | dict.fromkeys(("VC", "V.C.", "Re", "Rdc", "speech coil"), "voice coil"),
        words=dict.fromkeys(_MAGNETS, "note"),
        skipped=frozenset({"output", "transformer", "speaker", "ø", _NOTED}),
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
        """``1800 ohm field`` is the field's resistance, as ``field 1800 ohm`` is; an oval's two lengths are a note."""
        if not isinstance(data, Text):
            return super()._table(data, errors)
        body, mark, remark = data.partition(";")
        body = _WARMTH.sub(", note ", _WARM.sub(r"\g<before>note ", body))
        data = data.taken_as(f"{body}{mark}{remark}")
        if not _BEFORE_ITS_WORD.search(data):
            data = data.taken_as(_FIELD_ALONE.sub(r"\g<before>note \g<said>", data))
        oval = _OVAL.search(data)
        if oval:
            data = data.taken_as(f"{data[: oval.start()]}{_NOTED:<{len(oval[0])}}{data[oval.end() :]}")
        table = super()._table(data.taken_as(_BEFORE_ITS_WORD.sub(r"\g<word> \g<value>", data)), errors)
        table = _in_ohms(table)
        if table is None or oval is None:
            return table
        both = Text(oval["both"], data.at(oval.start("both"))).taken_as(oval["both"], f"kept as a note: {oval['both']}")
        note = table.get(Text("note"))
        return {**table, Text("note", both.place): both.and_then(note) if isinstance(note, Text) else both}


def _in_ohms(table: Mapping[Any, Any] | None) -> Mapping[Any, Any] | None:
    """A speaker whose coils have ohms where no unit stands beside them."""
    for key in ("voice coil", "field"):
        said = table.get(Text(key)) if table else None
        if table and isinstance(said, Text) and BARE_NUMBER.match(said):
            table = {**table, Text(key, said.place): said.in_unit("ohm", "read as ohms")}
    return table
