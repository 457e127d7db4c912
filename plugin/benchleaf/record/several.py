"""One part with several of a kind, written as one value: ``20-20 MFD``, ``2 x 50 µF``, ``7000+8000 ohm``."""

from __future__ import annotations

import re

from .line_values import MOST_SURGE, kind_of_part, words_of
from .spoken import place_at
from .text import Entries, Listing, Text

_UNIT = r"(?:uf|µf|μf|mfd|mf|ufd|mfds|microfarads?)"
_BELOW_ONE = r"0?\.\d{1,4}"
_NUMBER = rf"(?:\d{{1,4}}(?:[.,]\d{{1,3}})?|{_BELOW_ONE})"
_TIMES = re.compile(rf"([2-5])\s?(?:[x×*]|of)\s?({_NUMBER})\s?({_UNIT})(?!\w)", re.I)
_ROW = re.compile(rf"({_NUMBER}(?:\s?[-+–/]\s?{_NUMBER}){{1,4}})\s?({_UNIT})(?!\w)", re.I)
_OF_PAPER = re.compile(
    rf"(?P<row>{_BELOW_ONE}(?:-{_BELOW_ONE}(?:-{_BELOW_ONE}){{1,3}}|(?:\+{_BELOW_ONE}){{1,4}}))(?![\w.+/-]|\s?{_UNIT}(?!\w))",
    re.I,
)
"""A can of paper sections without their unit: ``.1-.1-.25``. Two with a dash may be a value and its volts."""
_VOLTS = re.compile(r"\s*(?:(?:at|@)\s*)?(\d{1,4}(?:\s?[-+–/]\s?\d{1,4}){1,4})\s?(V|VDC|WVDC|volts?)(?!\w)", re.I)
"""The working volts of each section, behind the values."""
_OHM = r"\d{1,6}(?:[.,]\d{1,2})?\s?k?"
ROW_OF_OHMS = re.compile(
    rf"({_OHM}(?:(?:\s?\+\s?{_OHM}){{1,7}}|(?:\s?[-–/]\s?{_OHM}){{2,7}}))(?:\s?(ohms?|Ω)|(?<=k))(?!\w)", re.I
)
"""A resistor with taps: two sections need a plus between them, as 470/480 ohm and 10-12 ohm may be anything."""
_APART = re.compile(r"\s?[-+–/]\s?")
_OF_VOLTS = re.compile(r"(?P<row>\b\d{1,3}(?:[-+/]\d{1,3}){1,3})\s(?P<at>at|@)\s(?=\d{2,3}\s?v(?:olts?|dc)?\b)", re.I)
_READ = r"(?:\d+(?:\.\d+)?|\.\d+|open|OL|O/C|shorted)"
_AT_A_STROKE = re.compile(
    r"(?P<row>\b\d{1,3}(?:[-+]\d{1,3}){1,3})\s?/\s?(?P<volts>25|50|150|160|200|250|300|350|385|400|450|475|500|525)(?![\d/])(?:\s?(?:V|wv|volts?)\b)?",
    re.I,
)
"""A can's values and the working volts of all, with no unit: ``40-20/150``."""
_EACH_READ = re.compile(
    rf"\b(?P<word>measured|meas\.?|reads?)\s+(?P<row>{_READ}(?:,\s{_READ})*(?:,?\s(?:and|&)\s{_READ}|,\s{_READ}))(?=\s*(?:,|;|$)|"
    r"\s?(?:uf|µf|mfd|ohms?|Ω)\b)",
    re.I,
)
_CANDOHM = re.compile(r"\bcandohm\b:?,?\s+(?P<row>\d[\d.]*k?(?:,\s\d[\d.]*k?){1,6})(?=\s?(?:ohms?|Ω)\b)", re.I)
_BETWEEN_READ = re.compile(r",?\s+(?:and\s|&\s)?")
_LEAST_AT_A_STROKE = 4
"""Microfarads below which numbers with a stroke between may be a fraction: ``1/2 uF``."""
SECTION_LETTERS = "abcdefgh"
LEAST_TAPS = 3
"""Places of a row of sections: both ends, and one tap at least."""
JOINING = frozenset({"to", "-", "–"})
SECTIONS_REMEDY = "write “sections:” below it, and below that a line for each: “a: 20 uF 150 V, ESR 9 ohm”"


class Several(Listing):
    """The components of one can, in the order written."""

    @classmethod
    def of(cls, tables: Listing) -> Several:
        """Those of a line's tables."""
        can = cls(tables.place)
        can += tables
        return can


def several_at(item: Text, start: int) -> int | None:
    """Where a value of several sections that begins at a character ends; None where none does.

    Microfarads, all of them 1 or more or all below: 3-30 pF is the range of a trimmer. Of a resistor ohms.
    """
    if kind_of_part(item.manner.part) == "resistance" and (ohms := ROW_OF_OHMS.match(item, start)):
        return ohms.end()
    if kind_of_part(item.manner.part) == "capacitance" and (can := _AT_A_STROKE.match(item, start)):
        row = [int(number) for number in _APART.split(can["row"])]
        is_a_range = len(row) == 2 and "-" in can["row"] and row[0] < row[1]
        return can.end() if min(row) >= _LEAST_AT_A_STROKE and not is_a_range else None
    of_capacitor = kind_of_part(item.manner.part) == "capacitance"
    if of_capacitor and item.manner.american and (paper := _OF_PAPER.match(item, start)):
        return paper.end()
    match = _TIMES.match(item, start) or _ROW.match(item, start)
    numbers = _APART.split(match[2] if match.re is _TIMES else match[1]) if match else []
    least = _LEAST_AT_A_STROKE if match and "/" in match[0] else 1
    sizes = [float(number.replace(",", ".")) for number in numbers]
    below = match is not None and of_capacitor and "/" not in match[0] and all(size < 1 for size in sizes)
    if match is None or not (below or all(size >= least for size in sizes)):
        return None
    volts = _VOLTS.match(item, match.end())
    sections = int(match[1]) if match.re is _TIMES else len(numbers)
    return volts.end() if volts and _of_each(volts[1], sections) else match.end()


def _of_each(row: str, sections: int) -> bool:
    """Whether a row of volts has one for each section; two of which the second is a little more are 350/385 V."""
    volts = [float(number) for number in _APART.split(row)]
    has_a_surge = len(volts) == 2 and volts[0] < volts[1] <= MOST_SURGE * volts[0]
    return len(volts) == sections and not has_a_surge


def sections_of(value: Text) -> list[tuple[Text, Text | None]]:
    """The value of each section, and its working volts where each has its own."""
    if can := _AT_A_STROKE.fullmatch(value):
        of_all = value.taken_as(f"{can['volts']} V")
        return [
            (value.taken_as(number).in_unit("uF", "read as microfarads"), of_all) for number in _APART.split(can["row"])
        ]
    if paper := _OF_PAPER.fullmatch(value):
        numbers = _APART.split(paper["row"])
        return [(value.taken_as(number).in_unit("uF", "read as microfarads"), None) for number in numbers]
    match = _TIMES.match(value) or _ROW.match(value)
    if match is None:
        return [(ohms, None) for ohms in ohms_in_a_row(value)]
    numbers = [match[2]] * int(match[1]) if match.re is _TIMES else _APART.split(match[1])
    unit = match[3] if match.re is _TIMES else match[2]
    row = _VOLTS.fullmatch(value, match.end())
    volts = [value.taken_as(f"{number} {row[2]}") for number in _APART.split(row[1])] if row else [None] * len(numbers)
    return [(value.taken_as(f"{number} {unit}"), rating) for number, rating in zip(numbers, volts, strict=True)]


def values_in_a_row(line: str) -> list[tuple[int, int, list[str]]]:
    """Each row of microfarads in a line, ``16+24 mfd`` and ``2 x 22 uF``: where it begins and ends, and its values."""
    found = []
    for row in _ROW.finditer(line):
        found.append((row.start(), row.end(), [f"{number} {row[2]}" for number in _APART.split(row[1])]))
    for times in _TIMES.finditer(line):
        found.append((times.start(), times.end(), [f"{times[2]} {times[3]}"] * int(times[1])))
    return sorted(found)


def ohms_in_a_row(value: Text) -> list[Text]:
    """Each of several resistances written as one value."""
    row = ROW_OF_OHMS.fullmatch(value)
    numbers = [number.strip() for number in _APART.split(row[1])] if row else []
    own_unit = [number if number[-1] in "kK" else f"{number} {row[2]}" for number in numbers if row]
    return [value.taken_as(number) for number in own_unit] or [value]


def said_of_each(line: Text) -> Text:
    """A part's line in which a can's values stand as they are read: ``50/30 at 150 volts`` in microfarads, and what
    each section measured, ``7100, open, 255``, as one item."""
    if kind_of_part(line.manner.part) == "capacitance" and (bare := _OF_VOLTS.search(line)):
        numbers = [int(number) for number in _APART.split(bare["row"])]
        if min(numbers) >= _LEAST_AT_A_STROKE:
            meant = f"{line[: bare.start('at')]}uF{line[bare.end('at') :]}"
            line = line.taken_as(meant, f"“{bare['row']}” read as microfarads")
    if kind_of_part(line.manner.part) == "resistance" and (row := _CANDOHM.search(line)):
        line = line.taken_as(f"{line[: row.start('row')]}{row['row'].replace(', ', '+')}{line[row.end('row') :]}")
    if chain := _chain(line):
        line = line.taken_as(f"{line[:chain]}taps {line[chain:]}")
    each = _EACH_READ.search(line) if (sections := _sections_in(line)) else None
    if each is None or len(_BETWEEN_READ.split(each["row"])) != sections:
        return line
    return line.taken_as(f"{line[: each.start('row')]}{_BETWEEN_READ.sub('+', each['row'])}{line[each.end() :]}")


def _chain(line: Text) -> int:
    """Where the ends and taps of a resistor begin, three places or more in a row: ``B+1 to B+2 to B-``; 0 for none."""
    if kind_of_part(line.manner.part) != "resistance" or re.search(r"\btaps?\b", line, re.I):
        return 0
    words = words_of(line, strokes=False)
    for index in range(1, len(words)):
        at, places = index, 0
        while at < len(words) and (found := place_at(line, words, at)):
            places += 1
            at += found[0]
            if at >= len(words) or line[slice(*words[at])].casefold() not in JOINING:
                break
            at += 1
        if places >= LEAST_TAPS:
            return words[index][0]
    return 0


def _sections_in(line: Text) -> int:
    """How many sections the first row of values in a part's line has; 0 where it has none."""
    of_resistor = kind_of_part(line.manner.part) == "resistance"
    if row := (ROW_OF_OHMS if of_resistor else _ROW).search(line):
        return len(_APART.split(row[1]))
    times = None if of_resistor else _TIMES.search(line)
    return int(times[1]) if times else 0


def _share_watts(table: Entries, row: Several) -> None:
    """Watts behind a row of ohms are those of the whole resistor: each section has its share, by its ohms."""
    values = [re.match(r"(\d+(?:[.,]\d+)?)\s?(k?)", str(one.get(Text("value"), "")), re.I) for one in row]
    ohms = [float(v[1].replace(",", ".")) * (1000 if v[2] else 1) if v else 0.0 for v in values]
    whole = row[-1].get(Text("watts"))
    number = re.match(r"\d+(?:\.\d+)?(?=\s?W\b)", str(whole), re.I)
    if number is None or not isinstance(whole, Text) or not sum(ohms):
        return
    if kind_of_part(whole.manner.part) != "resistance":
        return
    for one, share in zip(row, ohms, strict=True):
        one[Text("watts", whole.place)] = whole.taken_as(f"{float(number[0]) * share / sum(ohms):.3g} W")
    note = whole.taken_as(f"{whole} for all of it", f"{whole} taken as that of all sections together")
    before = table.get(Text("note"))
    table[Text("note", whole.place)] = note.and_then(before) if isinstance(before, Text) else note


def as_sections(table: Entries, sides: tuple[str, ...]) -> Entries:
    """A part's table in which the side that holds a can of several has become its sections."""
    for side in sides:
        can = table.get(Text(side))
        if isinstance(can, Several) and Text("sections") not in table:
            sections = Entries(can.place)
            _share_watts(table, can)
            for name, component in zip(SECTION_LETTERS, can, strict=False):
                sections[Text(name, can.place)] = Entries(can.place)
                sections[Text(name)][Text(side, can.place)] = component
            del table[Text(side)]
            table[Text("sections", can.place)] = sections
    return table
