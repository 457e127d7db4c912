"""What drops the rest of the line's voltage, as written: a resistor with or without taps, a cord, a ballast …"""

import math
import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Annotated, Any, Self

from pydantic import model_validator
from pydantic_core import InitErrorDetails

from ...tubes.ballast_code import BALLAST_CODE
from ..editor_schema import TEXT_SCHEMA
from ..forms import Form
from ..line_values import BARE_NUMBER
from ..problems import quoted
from ..quantities import Quantity
from ..section import Section, form, refused
from ..several import ROW_OF_OHMS, ohms_in_a_row
from ..text import Entries, Text
from ..trade_words import MEASURED, NOW
from ..values import (
    Capacitance,
    Current,
    Length,
    Power,
    Reads,
    Resistance,
    Voltage,
    Wording,
    as_text,
    choice,
    read_as,
)
from .dropper_said import old_first, open_between

_NUMBERED = r"(?:first|second|third|fourth|fifth|top|upper|middle|bottom|lower|last|\d(?:st|nd|rd|th))"
_OPEN_SECTION = re.compile(
    rf"(?<=,)\s*(?P<said>(?:the\s+)?(?P<which>{_NUMBERED}\s+(?:section|part)|(?:section|part)\s+\w{{1,6}}|"
    r"[\d.,]{1,6}\s?k?(?:\s?ohms?|\s?Ω)?\s+(?:section|part))\s+(?:is\s+|was\s+|reads?\s+|measured\s+|measures\s+|"
    r"found\s+|gone\s+|burnt\s+|burned\s+)?(?:open|O/?C|OL|inf(?:inite)?|∞))(?=\s*(?:[,;]|$))",
    re.I,
)
"""``middle section open``, ``section 2 measured open``, ``200 ohm section gone open``."""
_OHMS_OR_OPEN = r"(?:\d+(?:\.\d+)?(?:\s?ohms?|\s?Ω)?|O/?C|OL|open|inf(?:inite)?|∞)"
_EACH_READ = re.compile(
    rf",?\s+(?:measured|meas|reads?)\s+(?P<row>{_OHMS_OR_OPEN}(?:(?:,\s|,?\sand\s){_OHMS_OR_OPEN})+)(?=\s*(?:[,;]|$))",
    re.I,
)
"""``measured 148, 152, o/c, 131``: what each section measured."""
_ACROSS = re.compile(r"\b(?:across|over|bridging)\s+(?:the|it|that|section)\b", re.I)
_ACROSS_BEHIND = re.compile(
    r"(?<=\w)(?P<said>\s+(?:now\s+)?(?:across|over|bridging)\s+(?:the|it|that|section)\b[^,;]*)", re.I
)
"""Said behind the new one's ohms and watts: ``now 100 ohm 10 W across the open one``."""
_FAR_TOO_FEW = 1 / 3
"""Of the ohms of all sections: so few are those of one that was put across the open one, or a slip."""
_ORDINALS = ("first", "second", "third", "fourth", "fifth")
_WHICH = (
    {word: n for n, word in enumerate(_ORDINALS)}
    | {"top": 0, "upper": 0}
    | {f"{n + 1}{end}": n for n in range(len(_ORDINALS)) for end in ("", "st", "nd", "rd", "th")}
)
_COMMA = re.compile(r",?\sand\s|,\s")
_NO_PATH = re.compile(r"O/?C|OL|open|inf(?:inite)?|∞", re.I)
_WHOLE = (0.7, 1.4)
"""How far what was measured of all sections may be from their sum: further off it was one of them (common practice)."""
DROPPER_KINDS = ("resistor", "resistance cord", "ballast", "capacitor", "diode", "barretter")
_DROPPER_VALUES = {
    "resistance": "ohms",
    "power": "watts",
    "capacitance": "farads",
    "voltage": "volts",
    "current": "amps",
    "length": "length",
}
_DROPPER_HEADS = ("kind", "ohms", "watts", "farads", "volts", "amps", "length", "measured", "type", "note")


class NewDropper(Section):
    """What was fitted in a dropper's place: ``resistor 165 ohm 50 W``."""

    FORM = form(
        _DROPPER_HEADS,
        values=_DROPPER_VALUES,
        words={**dict.fromkeys(DROPPER_KINDS, "kind"), **dict.fromkeys(("motor run", "motor-run"), "type")},
        synonyms=dict.fromkeys(MEASURED, "measured"),
        remark="note",
    )

    kind: choice(*DROPPER_KINDS)  # type: ignore[valid-type]

    @classmethod
    def required(cls) -> list[str]:
        """None: beside its ohms its kind may be left out."""
        return []

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """A dropper of which nothing but its ohms is said is a resistor; ``K55B`` is the type of a ballast.

        One of microfarads is a capacitor; what bleeds it is its note.
        """
        if isinstance(data, Text):
            data = open_between(data)
        table = super()._table(data, errors)
        if not isinstance(table, Entries):
            return table
        measured = table.get(Text("measured"))
        if isinstance(measured, Text) and BARE_NUMBER.match(measured):
            table[Text("measured")] = measured.in_unit("ohm")
        note = table.get(Text("note"))
        if isinstance(note, Text) and _BLEEDS.fullmatch(f" with {note}"):
            note = table[Text("note")] = note.taken_as(str(note), f"kept as a note: {note}")
        code = BALLAST_CODE.match(note) if isinstance(note, Text) and Text("type") not in table else None
        if code and isinstance(note, Text) and note[code.end() :][:1] in ("", ","):
            table[Text("type", note.place)] = Text(code[0], note.place)
            table.setdefault(Text("kind", note.place), Text("ballast", note.place))
            rest = note[code.end() :].lstrip(", ")
            table[Text("note", note.place)] = Text(rest, note.place, single=False)
            if not rest:
                del table[Text("note")]
        for key, kind in (("ohms", "resistor"), ("farads", "capacitor")):
            if Text("kind") not in table and Text(key) in table:
                table[Text("kind", table.place)] = Text(kind, table.place)
        return table

    ohms: Resistance | None = None
    watts: Power | None = None
    farads: Capacitance | None = None
    volts: Voltage | None = None
    amps: Current | None = None
    length: Length | None = None
    measured: Resistance | None = None
    type: Wording | None = None
    note: Wording | None = None


_ITSELF = re.compile(r"^(?:mains |line )?dropper\b,?\s+(?:(?:with |of )?\d sections\b,?\s+)?", re.I)
"""What a line calls it before its ohms; the sections are counted in them."""
_IN_A_ROW = re.compile(
    r"^(?P<first>[^\W\d][\w ]*?)\s+(?P<one>\d[\d.]*)\s?ohms?\s*(?:&|and|\+)\s*"
    r"(?P<second>ballast|resistor|(?:res\w* )?cord|dropper)\s+(?P<other>\d[\d.]*)\s?ohms?(?=\s*(?:,|;|\Z))",
    re.I,
)
"""Two droppers one behind the other, ``cord 135 ohms & ballast 25 ohms``: sections of one."""


def _as_sections(found: re.Match[str]) -> str:
    """Both with their ohms in a row; what they are is a note."""
    cord = "resistance cord " if "cord" in found["first"].casefold() else ""
    return f"{cord}{found['one']}+{found['other']} ohms, note {found['first']} and {found['second']}"


_BLEEDS = re.compile(
    r",?\s+(?:w/|with)\s?(?:an?\s+)?(?P<said>[.\d][\d.,]*\s?\w*\s+bleed(?:er)?)(?=\s*(?:,|;|\Z))", re.I
)
"""The resistor across a capacitor that empties it, behind it: ``9 mfd with 470k bleed``."""
_PLUSES_READ = re.compile(
    r"\b(?P<word>measured|meas\.?|reads?)\s+(?P<row>(?:\d[\d.]*|open|o/c|OL)(?:\s*(?:\+|&)\s*(?:\d[\d.]*|open|o/c|OL))+)(?=\s*(?:,|;|$))",
    re.I,
)


_NOW = re.compile(r"\bnow\b", re.I)
_WATTS = re.compile(r"\d\s?(?:W|watts?)\s*\Z", re.I)


class Dropper(NewDropper):
    """``resistor 170 ohm 30 W``, ``resistance cord 170 ohm 6 ft``, ``diode``, ``ballast 49 V``, ``ballast K55B``.

    A ``barretter`` has the range of volts and the current it holds: ``barretter 95-165 V 0.3 A``. ``shared`` is the
    part of it that the rectifier's current flows through too, ``drain`` that direct current. One with taps has its
    ``sections`` from the line on, ``150+200+420 ohm``, and ``rectifier at`` tap 2 is behind the first two of them;
    ``open section`` is the one that was found open: ``middle section open``.
    ``now`` is what stands in its place after the work.
    """

    FORM = form(
        [*_DROPPER_HEADS, "shared", "drain", "sections", "open section", "rectifier at", "now"],
        values=_DROPPER_VALUES,
        words=dict.fromkeys(DROPPER_KINDS, "kind"),
        groups={"now": NewDropper.FORM or Form()},
        synonyms={
            **dict.fromkeys(NOW, "now"),
            **dict.fromkeys(MEASURED, "measured"),
            **dict.fromkeys(("rectifier from", "rectifier on"), "rectifier at"),
        },
        remark="note",
    )

    shared: Resistance | None = None
    drain: Current | None = None
    sections: Annotated[tuple[Quantity, ...], Reads(lambda value: _read_row(value), TEXT_SCHEMA)] = ()
    open_section: Wording | None = None
    rectifier_at: Wording | None = None
    now: NewDropper | None = None

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """``150+200+420 ohm`` is a dropper with taps, whose sections add up to its ohms."""
        if isinstance(data, Text) and (found := _OPEN_SECTION.search(data)):
            which = data.cut(*found.span("which")) if found["which"] else data.cut(*found.span("said"))
            rest = data.taken_as(f"{data[: found.start('said')]}measured open{data[found.end() :]}")
            table = cls._table(rest, errors)
            return table and {**table, Text("open section", which.place): which}
        if isinstance(data, Text):
            data = old_first(data)
            data = data.taken_as(_IN_A_ROW.sub(_as_sections, data))
            data = data.taken_as(_BLEEDS.sub(r", note \g<said>", data))
            new = _NOW.search(data)
            across = _ACROSS_BEHIND.search(data, new.end()) if new else None
            if across and _WATTS.search(data[: across.start()]):
                data = data.taken_as(f"{data[: across.start()]}, note{data[across.start() :]}")
            data = data.taken_as(_PLUSES_READ.sub(_with_commas, _ITSELF.sub("", data)))
        row = ROW_OF_OHMS.search(data) if isinstance(data, Text) else None
        if row is None:
            return super()._table(data, errors)
        sections = ohms_in_a_row(data.cut(*row.span()))
        each = _EACH_READ.search(data, row.end())
        if each and len(_COMMA.split(each["row"])) == len(sections):
            table = cls._table(data.taken_as(f"{data[: each.start()]}{data[each.end() :]}"), errors)
            return table and _with_each(table, data.cut(*each.span("row")))
        written = data.cut(*row.span())
        whole = f"{_summed(written):<{len(written)}}"
        table = super()._table(data.taken_as(f"{data[: row.start()]}{whole}{data[row.end() :]}"), errors)
        return table and {**table, Text("sections", written.place): written}

    @model_validator(mode="after")
    def _bridged(self) -> Self:
        """A new resistor across the section that was open stands in its place: ``now 200 ohm across the open one``."""
        now = self.now
        if not (now and now.ohms and now.ohms.si and len(self.sections) > 1):
            return self
        if not (now.note and _ACROSS.search(now.note)):
            whole = math.fsum(section.si or 0.0 for section in self.sections)
            if self.open_section and now.kind == "resistor" and now.ohms.si < _FAR_TOO_FEW * whole:
                found = f"{quoted(f'now {now.ohms.written}')} of a dropper of {whole:g} ohm with one section open"
                remedy = f"write “now {now.ohms.written} across the open one” if the rest of it is still in use"
                raise refused(found, "the ohms of all that drops now", remedy, at=now.ohms)
            return self
        said = " ".join(
            one.written if isinstance(one, Quantity) else one for one in (now.ohms, now.watts, now.note) if one
        )
        ohms = [section.si or 0.0 for section in self.sections]
        index = _section_named(self.open_section or "", len(ohms))
        if index is None:
            expected = "the ohms that the whole dropper has with it, or which section it lies across"
            remedy = "write “section 2 open” before it, or “now” and all of the ohms"
            raise refused(quoted(said), expected, remedy, at=now.ohms)
        whole = math.fsum(ohms) - ohms[index] + now.ohms.si
        told = f"{quoted(said)} read as in place of section {index + 1}: {whole:g} ohm in all"
        object.__setattr__(now, "ohms", replace(now.ohms, si=whole, written=f"{whole:g} ohm", remark=told))
        object.__setattr__(now, "watts", None)
        object.__setattr__(now, "note", now.note.taken_as(said))
        return self

    @model_validator(mode="after")
    def _measured_in_whole(self) -> Self:
        """What was measured is of all sections together; what may be of one of them is asked."""
        read = self.measured.si if self.measured else None
        if self.measured is not None and read and len(self.sections) > 1:
            whole = math.fsum(section.si or 0.0 for section in self.sections)
            if not _WHOLE[0] * whole <= read <= _WHOLE[1] * whole:
                one = quoted(f"measured {self.measured.written}")
                expected = f"what all sections measured, near {whole:g} ohm, or each of them"
                remedy = "write what each measured, such as “measured 148, 152, open”, or the rest behind “note”"
                raise refused(f"{one} of {len(self.sections)} sections", expected, remedy, at=self.measured)
        return self

    @model_validator(mode="after")
    def _shared_up_to_the_rectifier(self) -> Self:
        """The ohms before the tap that feeds the rectifier are shared."""
        if self.rectifier_at is None or self.shared is not None:
            return self
        tap = re.search(r"\d", self.rectifier_at)
        number = int(tap[0]) if tap else 0
        if not 1 <= number <= len(self.sections):
            expected = "the number of a tap, counted from the line, such as “rectifier at tap 2”"
            remedy = "" if self.sections else "write the sections too: “150+200+420 ohm”"
            raise refused(quoted(self.rectifier_at), expected, remedy, at=self.rectifier_at)
        ohms = math.fsum(section.si or 0.0 for section in self.sections[:number])
        shared = read_as(Text(f"{ohms:g} ohm", self.rectifier_at.place, single=False), "resistance")
        object.__setattr__(self, "shared", shared)
        return self


def _section_named(said: str, count: int) -> int | None:
    """Which of so many sections a word means, from 0: ``second section``, ``section 2``, ``last section``."""
    word = (
        said.casefold()
        .removesuffix("section")
        .removesuffix("part")
        .removeprefix("section")
        .removeprefix("part")
        .strip()
    )
    index = count - 1 if word in ("last", "bottom", "lower") else _WHICH.get(word)
    return index if index is not None and 0 <= index < count else None


def _with_each(table: Mapping[Any, Any], row: Text) -> Mapping[Any, Any]:
    """A dropper of which every section was measured: their sum, or that one is open; each stands in its note."""
    read = [_NO_PATH.fullmatch(one) is None for one in _COMMA.split(row)]
    ohms = [one.strip() for one, path in zip(_COMMA.split(row), read, strict=True) if path]
    whole = "open" if not all(read) else f"{math.fsum(float(one.rstrip(' ohmsΩ')) for one in ohms):g} ohm"
    note = row.taken_as(f"sections measured {row}", f"{quoted(row)} read as what each section measured")
    before = table.get(Text("note"))
    found = {
        **table,
        Text("measured", row.place): row.taken_as(whole),
        Text("note", row.place): note.and_then(before) if isinstance(before, Text) else note,
    }
    if read.count(False) == 1:
        found[Text("open section", row.place)] = row.taken_as(f"section {read.index(False) + 1}")
    return found


def _with_commas(read: re.Match[str]) -> str:
    """What each section measured, ``397 + 148 + o/c``, with commas between."""
    row = re.sub(r"\s*[+&]\s*", ", ", read["row"])
    return f"{read['word']} {re.sub('o/c', 'open', row, flags=re.I)}"


def _summed(row: Text) -> str:
    return f"{math.fsum(section.si or 0.0 for section in _read_row(row)):g} ohm"


def _read_row(value: Any) -> tuple[Quantity, ...]:
    """Resistances in a row with a plus between: ``150+200+420 ohm``."""
    if isinstance(value, list | tuple):
        return tuple(read_as(one, "resistance") for one in value)
    return tuple(read_as(one, "resistance") for one in ohms_in_a_row(as_text(value)))
