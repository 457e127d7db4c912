"""What the readers of a line make of words, each as one short text: how the rows of ``lines_read.txt`` are written.

    python tests/lines_shown.py --write

writes what stands behind each ``=>`` anew, after a change that was meant to move some: look at the difference. A new
row is what stands before it.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Callable
from pathlib import Path

from pydantic_core import InitErrorDetails

from benchleaf.record import line_found, private_names, settled, several
from benchleaf.record.before_after import BEFORE_AFTER, sided
from benchleaf.record.ends_of_each import ends_of_each
from benchleaf.record.forms import Form, Mistake
from benchleaf.record.items_of_each import items_of_each
from benchleaf.record.line_values import value_at, words_of
from benchleaf.record.manner import Manner
from benchleaf.record.numerals import IllegibleError, clean, read_numeral
from benchleaf.record.quantities import AmbiguousQuantity
from benchleaf.record.sections.before_power import read_before_power
from benchleaf.record.sections.log import LogEntry
from benchleaf.record.sections.parts import COMPONENT_FORM, Part
from benchleaf.record.sections.worked_hours import (
    lone_clock,
    minutes_behind,
    time_by_clock,
    time_in_words,
    with_each_sitting,
)
from benchleaf.record.spoken import spoken_at
from benchleaf.record.text import Entries, Listing, Text
from rewordings_shown import REWORDED, of_part, told

READ = Path(__file__).with_name("record") / "lines_read.txt"
PART = Part.FORM or Form()
KINDS = ("voltage", "power", "resistance", "frequency", "duration")


def spoken(text: str) -> str:
    item = of_part(text)
    found = spoken_at(item, words_of(item, strokes=False), 0, lambda _: False)
    if found is None:
        return "-"
    ends = (" + " if found.joined else ", ").join(map(str, found.places))
    return f"{found.words} | {ends} | {found.job or ''}".rstrip()


def value(letters: str, text: str) -> str:
    item = of_part(text, letters, american=letters != "VC")
    values = COMPONENT_FORM.values | {"part": "part", "date": "date"}
    words = words_of(item, strokes=True)
    found = (value_at(item, words, index, values) for index in range(len(words)))
    return ", ".join(f"{f.words} {f.kind}{f' in {f.unit}' if f.unit else ''}" if f else "-" for f in found)


def words(strokes: str, text: str) -> str:
    return " | ".join(text[slice(*word)] for word in words_of(text, strokes=strokes == "strokes"))


def numeral(text: str) -> str:
    """Signs that nobody would see stand by their number, ``\\u200b``."""
    try:
        found = read_numeral(clean(re.sub(r"\\u(\w{4})", lambda sign: chr(int(sign[1], 16)), text)), 0)
    except IllegibleError as error:
        return error.remedy
    if found is None:
        return "-"
    number, end = found
    grouped = f" or {number.grouped:f}{' by a comma' if number.comma else ''}" if number.grouped is not None else ""
    coded = f" or {number.with_e} by an E" if number.with_e is not None else ""
    return f"{number.value:f}{grouped}{coded}{' as a fraction' if number.fraction else ''}, {end} characters"


def both_sides(times: str, text: str) -> str:
    found = sided(of_part(text, ""), BEFORE_AFTER, KINDS, float(times))
    said = [f"{key} = {told(value)}" for key, value in found.values.items()]
    said += [f"behind: {tail}" for tail in found.tails] + [f"left: {found.rest}"] * (found.rest is not None)
    said += [f"asked: {mistake.text} | {mistake.found} | {mistake.remedy}" for mistake in found.mistakes]
    return " | ".join(said + ["twice"] * found.twice)


def sections(letters: str, text: str) -> str:
    item = of_part(text, letters, american=letters != "VC")
    end = several.several_at(item, 0)
    if end is None:
        return "-"
    each = several.sections_of(item.cut(0, end))
    return ", ".join(f"{one}{f' {volts}' if volts else ''}" for one, volts in each) + f" | {text[end:]}".rstrip()


def of_each(letters: str, text: str) -> str:
    return told(several.said_of_each(of_part(text, letters)))


def ends(letters: str, text: str) -> str:
    found = ends_of_each(of_part(text, letters))
    if found is None:
        return "-"
    listed = "listed " if found.listed else ""
    return f"{listed}{', '.join(f'{a} + {b}' for a, b in found.ends)} | {found.said} | {found.line}".rstrip()


def section_items(letters: str, text: str) -> str:
    found = items_of_each(of_part(text, letters))
    if found is None:
        return "-"
    return " | ".join([*(f"{key} = {item}" for key, item in found.sections.items()), str(found.rest)]).rstrip()


def settled_as(letters: str, text: str) -> str:
    manner = Manner(part=letters.removesuffix("!"), american="!" not in letters, millions="!" in letters)
    try:
        meant, remark = settled.settled(text, ("capacitance", "resistance", "voltage"), manner)
    except AmbiguousQuantity as doubt:
        return f"asked: {doubt}"
    return f"{meant} ({remark})" if remark else meant


def beside(measured: str, marked: str) -> str:
    one_size = settled.of_one_size(of_part(measured, ""), of_part(marked, ""))
    alike = settled.alike_without_units(measured, marked)
    close = settled.within_times(measured, marked, 10.0)
    said = {"of one size": one_size, "alike": alike, "within ten times": close}
    return "; ".join(["in " + (settled.unit_beside(measured, marked) or "-"), *(name for name in said if said[name])])


def doubt(letters: str, marked: str, measured: str) -> str:
    found = settled.doubt_of(of_part(marked, letters), of_part(measured, letters) if measured else None)
    return " | ".join(found) if found else "-"


def found(letters: str, text: str) -> str:
    """What an item of a part's line says by itself."""
    item = of_part(text, letters)
    spans = words_of(item, strokes=False)
    says = {
        "gone": line_found.said_gone(item),
        "stays": line_found.stays(item),
        "ohms of a winding": line_found.ohms_of_winding(item, spans),
        "ohms of halves": line_found.ohms_of_halves(item),
        "what it matches": line_found.says_what_it_matches(item, spans, PART),
        "reads on": line_found.reads_on(item, spans, PART),
    }
    mistake = line_found.half_joined(item, spans, PART)
    asked = [f"asked: {mistake.text} | {mistake.found} | {mistake.remedy}"] if mistake else []
    return "; ".join([name for name in says if says[name]] + asked)


def behind(text: str) -> str:
    """What stands behind the value in square brackets."""
    start, end = text.index("["), text.index("]") - 1
    line = of_part(text.replace("[", "").replace("]", ""))
    one = line.cut(start, end)
    says = {
        "found": line_found.found_behind(one, line),
        "built together": line_found.built_together(line, one),
        "new behind": line_found.new_behind(one, of_part(line.partition(",")[0]), line),
    }
    return "; ".join(name for name in says if says[name])


def measured(count: str, text: str) -> str:
    return ", ".join(line_found.measured_of_each(of_part(text), int(count)))


def in_row(text: str) -> str:
    rows = several.values_in_a_row(text)
    return " | ".join(f"{text[start:end]} ({start} to {end}): {', '.join(values)}" for start, end, values in rows)


def possible(kind: str, text: str) -> str:
    return " / ".join(settled.possible(text.split(" / "), kind))


def minutes(text: str) -> str:
    """The minutes behind the two words that a line begins with."""
    line = of_part(text, "")
    (start, _), (_, end), (behind, _), *_ = words_of(line, strokes=False)
    return minutes_behind(line.cut(start, end), line.cut(behind))


def in_words(text: str) -> str:
    found = time_in_words(Text(text))
    return f"{told(found[0])} | {found[1]}".rstrip() if found else "-"


def by_clock(text: str) -> str:
    found = time_by_clock(Text(text))
    if isinstance(found, Mistake):
        return f"asked: {found.text} | {found.found} | {found.expected}; {found.remedy}"
    return f"{told(found[0])} | {found[1]} | {found[2]}".rstrip() if found else told(lone_clock(Text(text)))


def sittings(text: str) -> str:
    """Lines of a log, parted by a double stroke."""
    table, log = Entries((1, 1)), Listing((2, 1))
    log += [Text(line, (3 + number, 3)) for number, line in enumerate(text.split(" // "))]
    table[Text("log")] = log
    parted = with_each_sitting(table)
    assert parted is not None
    return " // ".join(told(row) for row in parted["log"])


def _row(row: object) -> str:
    """What a line became: its names and values, or the line itself."""
    if isinstance(row, Entries):
        return ", ".join(f"{key} = {told(value)}" for key, value in row.items())
    return f"“{row}”"


def cold(text: str) -> str:
    """The rows of a list of cold checks, parted by a double stroke."""
    rows = Listing((2, 1))
    rows += [Text(line, (3 + number, 3)) for number, line in enumerate(text.split(" // "))]
    return " // ".join(_row(row) for row in read_before_power(rows))


def cold_named(of: str, text: str) -> str:
    """A cold check whose name is what was measured."""
    table = Entries((2, 1))
    table[Text(of, (3, 3))] = Text(text, (3, 20))
    return " // ".join(_row(row) for row in read_before_power(table))


def log(text: str) -> str:
    """A line of the log."""
    errors: list[InitErrorDetails] = []
    row = LogEntry._table(Text(text, (3, 3)), errors)
    return _row(row) if not errors else f"asked: {errors[0]['type']}"


def private(text: str) -> str:
    """What is private of a line, or may be."""
    names = private_names.Names.of_a_record()
    named = private_names.named_private(text)
    says = {
        "begins with nothing known": private_names.names_nothing(text),
        "begins with no known name": private_names.names_nothing(text, known=True),
        "a name within that no record has": private_names.names_unknown_within(text),
        "holds a private word": private_names.holds_a_private_word(text),
        "one run together": private_names.holds_a_private_word(text, run_together=True),
        "a private name within": private_names.names_private_within(text),
        "one not spoken of": private_names.names_private_within(text, spoken_of=False),
        "ends in one": private_names.ends_in_private_name(text),
        "is one": private_names.private_name(text),
        "begins private": private_names.begins_private(text),
        "may name one": private_names.may_name_private(text, names),
        "has one": private_names.has_private_name(text, names),
        "begins known": private_names.begins_known(text, names),
    }
    return "; ".join([name for name in says if says[name]] + ([f"named “{named['name']}”"] if named else []))


_OF_LINES = (
    spoken,
    value,
    words,
    numeral,
    both_sides,
    sections,
    of_each,
    ends,
    section_items,
    settled_as,
    beside,
    doubt,
)
_OF_PARTS = (found, behind, measured, in_row, possible, minutes, in_words, by_clock, sittings)
_OF_SECTIONS = (cold, cold_named, log, private)
SHOWN: dict[str, Callable[..., str]] = {
    **{reader.__name__: reader for reader in (*_OF_LINES, *_OF_PARTS, *_OF_SECTIONS)},
    **REWORDED,
}


def shown(section: str, row: str) -> str:
    """A row with what its reader makes of it."""
    said = row.partition(" => ")[0].removesuffix(" =>")
    return f"{said} => {SHOWN[section](*said.split(' ; '))}".rstrip()


def write() -> None:
    """Write the rows anew."""
    section, rows = "", []
    for row in READ.read_text(encoding="utf-8").splitlines():
        section = row[3:].partition(":")[0] if row.startswith("== ") else section
        rows.append(shown(section, row) if row and not row.startswith("== ") else row)
    READ.write_text("\n".join(rows) + "\n", encoding="utf-8")


if __name__ == "__main__":
    if sys.argv[1:] != ["--write"]:
        raise SystemExit(__doc__)
    write()
