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
    r"(?P<value>(?<![.\d])[.\d][\d.,]*+\s?(?:k|ohms?|kohms?|Ω)?)\s+"
    r"(?P<word>voice coil|field(?: coil| winding)?)(?=,|;|\s*$)",
    re.I,
)

_OVAL = re.compile(
    r"(?:\bsize\s+)?(?P<both>(?<![.\d])[.\d][\d.,/]*+\s?(?:[x×*]|by)\s?"
    r"[.\d][\d.,/]*+\s?(?:in(?:ch(?:es)?)?\b\.?|cm\b|mm\b|\")(?:\s+oval\b)?)",
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
_WARM = re.compile(r"(?P<before>\bfield\b.*,\s*)(?=[.\d][\d.,]*+\s?(?:k|ohms?|kohms?|Ω)?\s+(?:warm|hot)\b)", re.I)
"""Before a second value of the field's winding, taken when the set had run."""
_WARMTH = re.compile(r"(?<=[\dΩsm])\s+(?=(?:cold|hot|warm|(?:at|@)\s+\d+\s?°)\b|(?:at|@)\s+\d+\s?°)", re.I)
_FIELD_ALONE = re.compile(r"(?<![\dΩ])(?P<before>\s+|^)(?P<said>field(?: coil| winding)?)(?=\s*(?:,|;|\Z))", re.I)
"""That the magnet is wound, with no ohms beside it."""
_MEASURED = re.compile(r"\s*,?\s*\(?(?P<said>(?:measured|meas\.?|reads)\s+[.\d][^(),;]*)\)?(?=\s*(?:,|;|\Z))", re.I)
"""What the winding before it measured, beside what it is marked with."""
_NOMINAL = re.compile(r"(?:3[.,]2|4|8|15|16)\s?(?:ohms?|Ω)?", re.I)
"""What speakers' impedances are rated at (common practice, no source)."""
_COIL = r"(?:voice coil|speech coil|v\.?c\.?)"
_READ = r"(?:d\.?c\.?(?: resistance)?|measured|meas\.?|reads?)"
_COIL_READ = re.compile(rf"\b{_COIL}\s*,?\s*{_READ}\s+(?P<value>\.?\d[\d.,]*)", re.I)
"""A voice coil as an ohmmeter shows it: ``voice coil DC 2.7 ohm``."""
_RATED_AND_READ = re.compile(
    rf"\b{_COIL}\s+(?P<rated>\.?\d[\d.,]*?\s?(?:ohms?|Ω)?)\s*,?\s*\(?{_READ}\s+(?P<read>\.?\d[\d.,]*\s?(?:ohms?|Ω)?)\)?",
    re.I,
)
"""What it is rated at, before what an ohmmeter shows: ``voice coil 3.2 ohm, DC 2.7 ohm``."""
_AS_MEASURED = re.compile(r"\b(?:d\.?c\.?|r\.?dc|re|measured|meas|reads?|cold)(?!\w)", re.I)
_NOTED = "\u2060"
"""What stands in a line for the two lengths of an oval speaker while the rest of it is read."""


class Speaker(Section):
    """``3.2 ohm, voice coil 2.7 ohm, ratio 45:1; cone sealed at the edge``; ``field`` is the winding of its magnet."""

    FORM = form(
        ["impedance", "voice coil", "field", "size", "ratio", "note"],
        values={"resistance": "impedance", "length": "size", "turns ratio": "ratio"},
        synonyms=dict.fromkeys(("field coil", "field winding"), "field")
        | dict.fromkeys(("VC", "V.C.", "Re", "Rdc", "DC", "speech coil"), "voice coil"),
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
        both = _RATED_AND_READ.sub(r"impedance \g<rated>, voice coil \g<read>", body)
        body = both if both != body else _COIL_READ.sub(r"voice coil \g<value>", body)
        told_as_read = body != data.partition(";")[0]
        body = _MEASURED.sub(r", note \g<said>", body)
        body = _WARMTH.sub(", note ", _WARM.sub(r"\g<before>note ", body))
        data = data.taken_as(f"{body}{mark}{remark}")
        if not _BEFORE_ITS_WORD.search(data):
            data = data.taken_as(_FIELD_ALONE.sub(r"\g<before>note \g<said>", data))
        oval = _OVAL.search(data)
        if oval:
            data = data.taken_as(f"{data[: oval.start()]}{_NOTED:<{len(oval[0])}}{data[oval.end() :]}")
        table = super()._table(data.taken_as(_BEFORE_ITS_WORD.sub(r"\g<word> \g<value>", data)), errors)
        table = _in_ohms(table) if told_as_read else _nominal(_in_ohms(table), data)
        if table is None or oval is None:
            return table
        both = Text(oval["both"], data.at(oval.start("both"))).taken_as(oval["both"], f"kept as a note: {oval['both']}")
        note = table.get(Text("note"))
        return {**table, Text("note", both.place): both.and_then(note) if isinstance(note, Text) else both}


def _nominal(table: Mapping[Any, Any] | None, line: Text) -> Mapping[Any, Any] | None:
    """A speaker whose ``VC 3.2 ohm`` is what it is rated at; an ohmmeter shows less, as ``DC`` says."""
    coil = table.get(Text("voice coil")) if table else None
    if not table or not isinstance(coil, Text) or Text("impedance") in table or _AS_MEASURED.search(line):
        return table
    if not _NOMINAL.fullmatch(coil):
        return table
    told = f"read as the impedance that the voice coil is rated at: for its wire write “DC {coil}”"
    left = {key: value for key, value in table.items() if key != "voice coil"}
    return {**left, Text("impedance", coil.place): coil.taken_as(str(coil), told)}


def _in_ohms(table: Mapping[Any, Any] | None) -> Mapping[Any, Any] | None:
    """A speaker whose coils have ohms where no unit stands beside them."""
    for key in ("voice coil", "field"):
        said = table.get(Text(key)) if table else None
        if table and isinstance(said, Text) and BARE_NUMBER.match(said):
            table = {**table, Text(key, said.place): said.in_unit("ohm", "read as ohms")}
    return table
