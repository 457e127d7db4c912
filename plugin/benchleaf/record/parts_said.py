"""A part's line with what the bench leaves out of it: commas before dates, the word for what was measured."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from pydantic_core import InitErrorDetails, PydanticCustomError

from .line_found import said_gone
from .line_items import items
from .line_values import TRANSFORMERS, kind_of_part
from .no_fuse import without_fuse
from .problems import quoted
from .text import Entries, Text
from .trade_words import CONDITIONS, NOW
from .written_days import looks_like_a_date

_DAY = re.compile(
    r"(?<=[^\s,;])\s+(?:on\s+|am\s+|op\s+)?(?P<day>\d{1,2}(?P<s>[/.-])\d{1,2}(?P=s)(?:\d{4}|['’]?\d{2})|\d{1,2}/\d{1,2}-\d{4}|\d{4}-\d{2}-\d{2})(?=\s*(?:[,;(]|\Z))",
    re.I,
)
"""A day at the end of an item, with no comma before it: ``630 V 15/4/2024``."""
_IN_WORDS = re.compile(
    r"(?<=[^\s,;])\s+(?:on|am|op|at)\s+(?P<day>\d{1,2}\.?\s+[^\W\d]{3,9}\.?\s+\d{4}|[^\W\d]{3,9}\.?\s+\d{1,2},?\s+\d{4})"
    r"(?=\s*(?:[,;(]|\Z))",
    re.I,
)
"""The same with its month in words: ``op 3 maart 2025``."""
_FOUND = re.compile(r"(?:(?<=^)|(?<=, ))found\s+(?=[<>~]?\.?\d)", re.I)
_TO_THE_NEXT = re.compile(r"(?<=plate|anode|.grid|creen|thode)\s?[-–→]\s?(?=[VB]\d{1,2}\b|chassis\b|HT\b|B[+-])", re.I)
"""A dash between two places with no blanks beside it: ``V3 plate-V4 grid``."""
_AVC = re.compile(r"\bA\.\s?V\.\s?C\.?(?!\w)", re.I)
_LEAKED_ON = re.compile(r"\bleak(?:s|ed|ing)\s+(?P<value>[<>~]?\.?\d[\d.,]*\s?\w+)\s+on\s+(?=\d+\s?V)", re.I)
_ISOLATION = re.compile(r"(?:(?<=^)|(?<=, ))isolation(?:\s+resistance)?\s+(?=[<>~]?\s?\.?\d)", re.I)
"""Before the ohms that a capacitor leaks through, as Danes and Germans call them."""
_SUBBED = re.compile(r"(?:(?<=^)|(?<=, ))subbed\s+(?=\.?\d)", re.I)
_AT_ITS_VOLTS = re.compile(
    rf"(?:^|(?<=,\s))(?P<value>(?:(?:was|now|original|{'|'.join(map(re.escape, NOW))})\s+)?"
    r"(?:\d+(?:[.,]\d+)?|\.\d+)(?:\s?[^\W\d]{1,3})?)\s?@\s?(?P<volts>\d{2,4})(?:\s?V\w*)?(?=\s*(?:,|;|\Z|\s[a-z]))",
    re.I,
)
"""A capacitor, the old or the new one, and its working volts: ``0.01 @ 600``, ``now .1 @ 630``."""
_SHORT_AND_OHMS = re.compile(
    r"\b(?:measured|meas\.?|reads?|tested)\s+(?:a\s+)?(?:dead\s+)?short(?:ed)?,?\s+(?=[<>~]?[.\d][\d.,]*\s?(?:ohms?|Ω))",
    re.I,
)
"""What a shorted capacitor measured: ``measured short 12 ohms``."""
_GONE_BEHIND = re.compile(r"(?<=[FVWkKMΩfdms\d])\s+(?=gone\s*(?:,|;|\Z))")
"""Before that a part is there no more: ``10 nF gone``."""
_ACROSS_A_PART = re.compile(
    r"(?:,\s*|(?<=[\w.])(?<!\bjob)\s+)(?P<said>(?:(?:bypass|filter|suppressor|tone|spark|buffer|damping)\s+)?"
    r"across\s+[A-Z]{1,3}\d{1,3}[a-z]?)(?=\s*(?:,|;|\Z))",
    re.I,
)
"""That a part lies across another of the list: ``across R8``."""
_OF_SEVERAL_AT = re.compile(
    r"(?<![\w.])(?P<value>\d{1,3}(?:[-/+]\d{1,3}){1,3})\s?(?P<unit>[µu]f|mfd?)\s?@\s?(?P<volts>\d{2,4})(?!\w|\s?V)",
    re.I,
)
"""One can with several and their working volts: ``16-8 mfd @150``."""
_FOUND_SO = frozenset(
    {"bad", "leaky", "shorted", "open", "dried out", "drifted", "high ESR", "worn", "noisy", "cracked"}
)
"""What an old part was replaced for."""
_GONE_ON = re.compile(
    r"(?:^|(?<=[,;] ))(?P<gone>removed|taken out|cut out|left out)\s+(?:on\s+)?(?P<day>[^,;]{5,30}?)(?=\s*(?:[,;]|\Z))",
    re.I,
)
"""The day behind the word that a part is there no more."""
_HOLDS_A_NUMBER = re.compile(r"(?<![\w+-])\.?\d")
_OPENS_A_DAY = re.compile(r"(?:fitted|ordered|tested|checked|date|of|since|until|from|before|after|by)\Z", re.I)
_WITH = re.compile(
    r"\b(?P<word>re-?capped|replaced|subbed|swapped|changed|restuffed|renewed)\s+w/?\s+(?=\.?\d|new\b)", re.I
)
_REPLC = re.compile(r"(?<![\w.])(?:replc|rplc|repl(?='?d))'?d?(?![\w'])\.?", re.I)
"""“Replaced” as it is written short: ``replc w/ .022``, ``rplcd``."""
_CHANGED_FOR = re.compile(
    r"^(?:changed|swapped|exchanged)\s+(?:[A-Z]{1,3}\d{1,3}[a-z]?\s*,\s*)?(?P<old>\S.*?)\s*,?\s+for\s+(?:an?\s+)?(?P<new>\.?\d.*)$",
    re.I,
)
"""The old one and the new one in one sentence: ``changed C12, a wax one .02 uF, for 22 nF``."""
_WHICH_MEASURED = re.compile(r"\b(?:which|that)\s+(?=(?:measured|reads?|tested)\b)", re.I)
_VLOSS = re.compile(r",?\s*\b(?P<loss>v[- ]?loss\s*[:=]?\s*\.?\d[\d.,]*\s?%?)", re.I)
"""What a component tester shows beside the capacitance, and no line has a place for."""
_TEMPERATURE_CLASS = re.compile(r",?\s*\b(?P<class>(?:85|105|125)\s?°?\s?C)\b(?=\s*(?:,|;|\Z|\w))", re.I)
_WELL = re.compile(r"\b(?P<how>good|ok|fine|normal)\s+(?P<what>ESR|leakage)\b(?!\s*[:=]?\s*\.?\d)", re.I)
_IT = r"(?:tap|switch|sw)"
_WITH_IT = re.compile(
    rf",?\s+(?:with|w/?)\s+(?:an?\s+)?(?P<it>{_IT}(?:\s*(?:and|&|\+)\s*(?:an?\s+)?{_IT})?)(?=\s*(?:,|;|\Z))", re.I
)
"""What a control has besides, with nothing said of where."""
_OFF_BY = re.compile(
    r"(?:^|(?<=,))\s*(?P<off>(?:about\s+|~)?[+-]?\d{1,3}\s?%\s+(?:high|low|up|down|over|under|off))\b", re.I
)
"""How far it was off, which is no tolerance."""
_ALL_THE_SAME = re.compile(r"(?<!,)\s+(?:but|so|then)\s+(?=(?:changed|replaced|now)\b)", re.I)
_FROM_PLACE = re.compile(r"(?<=[\dVWµFΩsmk])\s+(?=(?:insulated|isolated|clear|kept clear|stood off) from\s)", re.I)
_DROP = re.compile(
    r"(?:^|(?<=,))\s*(?P<said>(?:forward |voltage )?drops?\s+(?:of\s+|about\s+)?\.?\d(?:[^,;]|,\d)*?"
    r"|(?:about\s+|~)?\.?\d[\d.,]*\s?V(?:olts?)?\s+(?:forward |voltage )?drop\b[^,;]*?)"
    r"(?=\s*(?:,|;|\Z)|\s+(?:now|replaced|changed)\b)",
    re.I,
)
"""What a rectifier drops, which is none of its ratings."""
_DIODE_AND_OHMS = re.compile(
    r"(?P<now>\b(?:now|replaced with|->)\s+)"
    r"(?P<said>[12]N\d{2,4}[A-Z]?\s*(?:\+|and|&|with|,)\s*(?:an?\s+)?[.\d][\d.,]*\s?(?:k\d*|ohms?|Ω|R)\b)",
    re.I,
)
"""A diode and the resistor that was put in series with it: ``now 1N4007 + 220 ohm``."""
_FUSES = frozenset({"F", "FS", "FU", "SI"})
_IN_ONE_WORD = re.compile(r"\b(?P<job>lade|sieb|(?:k|c)athoden)-?(?:elko|elektrolyt\w*)\b", re.I)
"""What a capacitor does and its kind in one German word: ``Ladeelko``."""
_SILICON = re.compile(
    rf"(?P<now>(?:\b(?:now|{'|'.join(map(re.escape, NOW))})\s+|(?:->|=>|→)\s*)(?:an?\s+|new\s+)?)"
    r"(?P<said>(?:(?:\d{1,2}|two|four)\s?(?:x\s?|×\s?)?)?(?:1N[2-5]\d{3}|BY\d{3}|UF400\d)\w?\b)",
    re.I,
)
"""A rectifier's new one by the type number of a silicon diode: ``now 4x 1N4007``."""
_JOINED_CLASS = re.compile(r"(?<![\w.])(?P<value>0?\.\d{2,4})(?P<class>[XY][12])(?!\w)", re.I)
_OF_THE_LINE = re.compile(r"\bv(?:olts?)?\.?\s?ac\b|\bline\b|\bmains\b", re.I)
"""A capacitor's class right behind its value, on the line: ``.047x2 275 VAC``."""
_CONTACT = re.compile(
    r"(?P<said>(?:(?:meas\w*|reads?)\s+)?[.\d][\d.,]*\s?ohms?)"
    r"\s+(?=(?:on|at|across)\s+[^,;]*\b(?:pole|contacts?|side|half)\b)",
    re.I,
)
"""The ohms of a switch before where they were read: ``measured 1.9 ohm on A pole``."""
_CLEANED_NOW = re.compile(r"(?P<cleaned>\bcleaned\b[^;]*?,\s+)(?=now\s+[.\d][\d.,]*\s?ohms?(?:\s*(?:,|;|\Z)))", re.I)
"""What a switch that was cleaned reads now, which is no new part."""
_MEASURED_AND_INSULATION = re.compile(
    r"(?P<value>\b(?:measured|reads?)\s+\.?\d[\d.,]*\s?(?:[µu]F|mfd|nF|n|pF|mmf)),?\s+(?P<ohms>\d[\d.,]*\s?(?:M|meg\w*))(?=\s*(?:,|;|\Z))",
    re.I,
)
"""What a capacitor measured and, right behind it, the ohms that it leaks through: ``measured .068 mfd 11M``."""
_BECAUSE = re.compile(r"\s*,?\s*\b(?P<why>because\b|as the\b|since the\b|weil\b|omdat\b)\s*", re.I)
_NEW_ONE = re.compile(r"\bnow (?:an? )?(?:new(?: one)?|another|good one|neu)(?=\s*(?:,|;|\Z))", re.I)
_THEN = re.compile(
    r"\b(?:leak(?:s|ed|ing|age)?)\s+(?P<first>[<>~]?\.?\d[^,;]*?),\s*(?P<word>reformed|formiert|re-formed),?\s+"
    r"(?:then|now|after(?:wards)?)\s+(?P<then>[<>~]?\.?\d[\d.,]*\s?[mµu]?A(?:\s+at\s+\d[\d.,]*\s?V)?)",
    re.I,
)
"""What an electrolytic leaked before and behind its reforming."""

_GONE_FOR_GOOD = re.compile(r"\b(?:removed|taken out|cut out|left out|gone)\b", re.I)
_NOT_AGAIN = re.compile(r",\s*(?=(?:not|never) (?:replaced|refitted|renewed)\s*(?:,|;|\Z))", re.I)
_MAINS_TAPS = re.compile(r"(?<![\w.])(?P<taps>\d{3}(?:/\d{3}){1,4}(?:\s?V)?)(?=\s*(?:,|;|\Z))", re.I)
"""The taps of a transformer's primary: ``200/220/240``."""
_WINDING = re.compile(
    r"(?:(?<=^)|(?<=, ))(?P<winding>\d{1,3}(?:\.\d+)?\s?V(?:olts?)?\s+\d*\.?\d+\s?A(?:mps?)?)(?=\s*(?:,|;|\Z))", re.I
)
"""One of a transformer's heater windings: ``6.3 V 2.5 A``."""
_TWO_HALVES = re.compile(
    r"(?<=, )(?P<halves>\d[\d.]*\s*(?:\+|&|and)\s*\d[\d.]*\s?(?:ohms?|Ω|R))(?=\s*(?:,|;|\Z))", re.I
)
"""The ohms of both halves of a winding, ``148 + 155 ohm``, behind those of another."""
_IN_OHMS = re.compile(r"\d\s?(?:ohms?|Ω|R)(?!\w)", re.I)
_SPEAKERS = frozenset({"SPK", "SP", "LS", "SPKR"})
_SIZE = re.compile(
    r"(?P<size>(?<![\w.])\d{1,2}(?:[ -]\d/\d|\.\d)?\s?(?:[\"″”]|in\.?(?!\w)|inch(?:es)?)[^,;\d]*)(?=\d|,|;|\Z)", re.I
)
_COIL = re.compile(r"(?<!\w)(?:voice coil|speech coil|v\.?c\.?)\s*:?\s+(?=\.?\d)", re.I)
_RECTIFIERS = frozenset({"SR", "D", "BR", "GL", "GR", "CR", "MR", "SEL", "REC"})
_WAVES = re.compile(r"\s*\b(?P<waves>(?:half|full)[- ]wave)\b(?=\s+\.?\d)", re.I)
_SWITCHES = frozenset({"S", "SW"})
_BEGINS_AS_CAPACITOR = re.compile(
    r"0?[.]\d+(?:\s*/\s*\d|\s+\d+\s?(?:v|wv)|\s+[xy][1-4]\b|\s+(?:paper|film|ceramic|mica|(?:from |on )?each)\b)", re.I
)


def as_said(line: Text) -> Text:
    """The line with each of those habits in the form that its grammar has."""
    line = line.taken_as(_REPLC.sub("replaced", line)) if _REPLC.search(line) else line
    said = _WHICH_MEASURED.sub("", _CHANGED_FOR.sub(r"was \g<old>, now \g<new>", line))
    said = _DAY.sub(_with_comma, said)
    said = _IN_WORDS.sub(_with_comma, said)
    said = _TO_THE_NEXT.sub(" to ", _WITH.sub(r"replaced with ", said))
    said = _FOUND.sub("measured ", _SUBBED.sub("replaced with ", said))
    said = _AT_ITS_VOLTS.sub(r"\g<value> \g<volts> V", said) if line.manner.part == "C" else said
    said = _GONE_ON.sub(_gone_and_day, _GONE_BEHIND.sub(", ", said))
    said = _ACROSS_A_PART.sub(r", job \g<said>", said)
    said = _OF_SEVERAL_AT.sub(r"\g<value> \g<unit> \g<volts> V", said) if line.manner.part == "C" else said
    said = _ALL_THE_SAME.sub(", ", said)
    said = _NOT_AGAIN.sub(", note ", said) if _GONE_FOR_GOOD.search(said) else said
    if line.manner.part in TRANSFORMERS:
        said = _TWO_HALVES.sub(_as_note_behind_ohms, said)
        said = _WINDING.sub(r"note \g<winding>", _MAINS_TAPS.sub(r"note taps \g<taps>", said))
    said = _of_a_speaker(said) if line.manner.part in _SPEAKERS else said
    said = _NEW_ONE.sub("replaced", said)
    said = _WITH_IT.sub(r", note with \g<it>", said)
    said = _OFF_BY.sub(r" note \g<off>", said)
    said = _FROM_PLACE.sub(", note ", said)
    said = _drop_last(said)
    said = _DIODE_AND_OHMS.sub(_as_its_note, said)
    if line.manner.part in _RECTIFIERS:
        said = _SILICON.sub(r"\g<now>silicon \g<said>", _notes_behind(said, _WAVES, "waves"))
    if line.manner.part in _FUSES:
        said = without_fuse(said)
    if line.manner.part in _SWITCHES:
        said = _CLEANED_NOW.sub(r"\g<cleaned>note ", _CONTACT.sub(r"\g<said>, note ", said))
    said = _BECAUSE.sub(r", why \g<why> ", said) if " why " not in said and "because" in said.casefold() else said
    if kind_of_part(line.manner.part) == "capacitance":
        said = _IN_ONE_WORD.sub(r"\g<job> elko", said)
        said = _SHORT_AND_OHMS.sub("shorted, measured ", _ISOLATION.sub("insulation ", said))
        said = _LEAKED_ON.sub(r"leaks \g<value> at ", _AVC.sub("AVC", said))
        said = _MEASURED_AND_INSULATION.sub(r"\g<value>, insulation \g<ohms>", said)
        said = _THEN.sub(r"leaks \g<then>, \g<word>, note leaked \g<first> then \g<then>", said)
        if _OF_THE_LINE.search(said):
            said = _JOINED_CLASS.sub(r"\g<value> \g<class>", said)
        said = _WELL.sub(r"note \g<how> \g<what>", said)
        said = _notes_behind(said, _VLOSS, "loss")
        said = _notes_behind(said, _TEMPERATURE_CLASS, "class")
    return line.taken_as(said) if said != line else line


def _as_note_behind_ohms(halves: re.Match[str]) -> str:
    """Both halves as a note where ohms stand before them: those are of another winding."""
    before = _IN_OHMS.search(halves.string[: halves.start()])
    return f"note {halves['halves']}" if before else halves[0]


def _of_a_speaker(said: str) -> str:
    """A speaker's line with its size as its note, and the ohms of its coil as measured where others stand before."""
    coil = _COIL.search(said)
    if coil:
        before = _IN_OHMS.search(said[: coil.start()])
        said = f"{said[: coil.start()]}{'measured ' if before else ''}{said[coil.end() :]}"
    size = _SIZE.search(said)
    if size is None:
        return said
    rest = re.sub(r",\s*(?=,)", "", f"{said[: size.start()]}{said[size.end() :]}").strip(" ,")
    return f"{rest}, note {size['size'].strip()}"


def _drop_last(said: str) -> str:
    """The line with what a rectifier drops as its note, behind the new part that may follow it."""
    drops = [found["said"] for found in _DROP.finditer(said)]
    if not drops:
        return said
    rest = re.sub(r",\s*(?=,|;|\Z)", "", _DROP.sub("", said)).strip()
    return f"{rest},{'' if ' note ' in rest else ' note'} {', '.join(drops)}"


def _as_its_note(found: re.Match[str]) -> str:
    """The diode as what is there now, and both as its note."""
    return f"{found['now']}silicon, note {re.sub(r' *,', ' +', found['said'])}"


def _with_comma(found: re.Match[str]) -> str:
    before = found.string[: found.start()]
    if _OPENS_A_DAY.search(before) or not looks_like_a_date(found["day"]):
        return found[0]
    return f", {found['day']}"


def _gone_and_day(found: re.Match[str]) -> str:
    return f"{found['gone']}, {found['day']}" if looks_like_a_date(found["day"]) else found[0]


def _notes_behind(line: str, pattern: re.Pattern[str], name: str) -> str:
    """A line in which what was found stands as a note of its own item, behind all else of it."""
    pieces = []
    for item in items(Text(line)):
        found = [match[name] for match in pattern.finditer(item)]
        left = pattern.sub("", item).strip(" ,")
        pieces += [left, *(f"note {one}" for one in found)] if found else [str(item)]
    return ", ".join(filter(None, pieces))


def gone_as_none(table: Any) -> Any:
    """A part whose ``now`` says that it was left out, ``now: cut out, made from separate parts``: nothing is there now.

    Of one with parts inside, each of those is gone.
    """
    key = next((key for key in table or () if str(key).casefold() == "now"), None)
    said = table[key] if key is not None else None
    first = next(items(said)) if isinstance(said, Text) else None
    none = first is not None and (said_gone(first) or first.casefold() in ("none", "nothing"))
    if not none or key is None or not isinstance(said, Text) or first is None:
        return table
    name = next((key for key in table if str(key).casefold() == "note"), Text("note", said.place))
    inner = next((table[key] for key in table if str(key).casefold() in ("sections", "inside")), None)
    if isinstance(inner, Entries):
        for one in inner:
            line = inner[one]
            inner[one] = line.and_then(said.taken_as("removed")) if isinstance(line, Text) else line
        del table[key]
    else:
        table[key] = said.taken_as("none", f"{quoted(first)} read as “now none”")
    note = said.taken_as(str(said), f"kept as a note: {said}")
    before = table.get(name)
    if len(first) < len(said) or isinstance(inner, Entries):
        table[name] = before.and_then(note) if isinstance(before, Text) else note
    return table


def with_verdict_of_the_old(table: Entries) -> Entries:
    """A part's table whose line ends in how it was found, behind its day or its ends: that is said of the old one.

    ``40 mfd, now 47 mfd, between B+1 and B-, fitted 2026-02-10, dried out``.
    """
    old, new = (table.get(Text(key)) for key in ("was", "now"))
    if not (isinstance(old, list) and isinstance(new, list) and len(old) == len(new) == 1):
        return table
    if not all(isinstance(one, Entries) for one in (*old, *new)):
        return table
    said, value = new[0].get(Text("condition")), new[0].get(Text("value"))
    between = [key.place for key in table if key not in ("was", "now", "sheet")]
    behind = isinstance(said, Text) and isinstance(value, Text)
    if not behind or Text("condition") in old[0] or CONDITIONS.get(said.casefold()) not in _FOUND_SO:
        return table
    if any(value.place < place < said.place for place in between):
        del new[0][Text("condition")]
        old[0][Text("condition")] = said.taken_as(str(said), f"{quoted(said)} read as of the old part")
    return table


def without_doubtful_fate(table: Entries, errors: Iterable[InitErrorDetails]) -> Entries:
    """A part's table without what it was, where a mistake of its line may be what is in its place now.

    So it is neither said to be still in the set nor ordered: ``47k, noow 51k``, ``to do, 47k, 51k``.
    """
    kinds = [error["type"] for error in errors]
    found = [str((kind.context or {}).get("found")) for kind in kinds if isinstance(kind, PydanticCustomError)]
    if not any(map(_HOLDS_A_NUMBER.search, found)) or Text("now") in table:
        return table
    left = Entries(table.place, table.line)
    left.update({key: value for key, value in table.items() if key not in ("was", "state")})
    left.empty, left.whole = table.empty, table.whole
    return left


def as_capacitor(value: Any) -> Any:
    """A text that begins with a number below 1 and volts or a class, ``.0047 Y2``, to be read as a capacitor."""
    value = value.taken_as(_AT_ITS_VOLTS.sub(r"\g<value> \g<volts> V", value)) if isinstance(value, Text) else value
    if not (isinstance(value, Text) and _BEGINS_AS_CAPACITOR.match(value)):
        return value
    text = value.cut(0)
    text.manner = replace(value.manner, part="C")
    return text
