"""Results as written: what was measured before and after the work."""

import dataclasses
import re
from collections.abc import Mapping
from typing import Any, Self

from pydantic import model_validator
from pydantic_core import InitErrorDetails

from ..before_after import BEFORE_AFTER, Sided, sided
from ..forms import Mistake
from ..line_items import body_and_remark, items
from ..line_values import value_at, words_of
from ..most_entries import MOST_OF_RESULT, too_long_a_line
from ..problems import quoted
from ..section import Section, form, from_mistake
from ..settled import unit_beside, within_times
from ..text import Entries, Listing, Text
from ..values import ANY_KINDS, AnyValue, Resistance, Wording
from .by_band import by_band
from .curve import Curve, parted
from .result_words import in_its_words

_SIDES = {**BEFORE_AFTER, "was": "before", "now": "after", "sheet": "sheet"}
_HEADS = ("for", "into", "at", "standard", "note")
_HEAD = re.compile(rf"(?:({'|'.join(_HEADS)})\s*:?\s+|@\s*(?=[.\d]))", re.I)
_LOAD = re.compile(r"(?:a\s+)?(?P<load>[.\d][\d.,]*\s?(?:k(?:ohms?|Ω)?|ohms?|Ω|R)?)(?:\s+load)?(?=\s|$)", re.I)
_BEHIND = re.compile(r"\s(?=into\s+(?:an?\s+)?[.\d])", re.I)
_FOR_BEHIND = re.compile(r"\s(?=into\s+(?:an?\s+)?[.\d]|for\s+[.\d])", re.I)
_AT_BEHIND = re.compile(r"\s(?=into\s+(?:an?\s+)?[.\d]|(?:at\s+|@\s*)[.\d])", re.I)
_OHMS_OF_A_LOAD = re.compile(r"[.\d][\d.,]*\s?k?(?:ohms?|Ω)(?=\s|\Z)", re.I)
_A_TONE = re.compile(r"[.\d][\d.,]*\s?(?:k?Hz|kc|c/?s|cps|c|cy|cycles?|~)", re.I)
"""A tone by itself behind what was read: ``1.9 W into 5 ohm, 400 Hz``."""
_DISTORTION = re.compile(
    r"\(?(?P<said>[.\d][\d.,]*\s?%"
    r"(?:\s*(?P<word>THD|t\.h\.d\.|(?:total )?(?:harmonic )?distortion|dist\.?|klirr\w*))?)\)?",
    re.I,
)
"""How far what came out was distorted, behind watts with no word for it: ``1.1 W, 10 %``."""
_OVER_A_LOAD = re.compile(r"(?:over|across|on)\s+(?=(?:an?\s+)?[.\d][\d.,]*\s?k?(?:ohms?|Ω))", re.I)
_TO_NOISE = re.compile(r"\d[\d.,]*\s?dB\s+(?:s\s?/\s?n|\(?s\+n\)?/n|sinad|signal|quieting|noise).*", re.I)
"""What a sensitivity was read for: ``26 dB S/N``."""
"""Behind what it was for, or how far off, the load or the place: ``for 50 mW at 1 MHz``, ``at 10 % into 3.2 ohms``."""
_NUMBER_OF_A_SIDE = re.compile(r"\d\S*\s+(?:\S+\s+)?(?:before|after|now)\b|\b(?:before|after|was|now)\s+[.\d]", re.I)
_NO_VALUE = re.compile(rf"(?:{'|'.join(_SIDES)})\b[\s:]*(?=[^\s:])(?![^\W\d])", re.I)
"""A side with something behind it that is neither a value nor words: it is asked."""
_WAS_BARE = re.compile(
    r"(?<!\S)(?P<side>was|now)\s+(?P<number>(?:\d+(?:[.,]\d+)?|[.]\d+))(?=\s*(?:,(?!\d)|;|$)|\s+(?:for|into|at)\s)",
    re.I,
)
_MOST_MENDED = 30.0
"""Times that the work changes what a set is measured by; the next unit is a thousand times off (common practice)."""
_UNIT = re.compile(r"[^\d\s.,<>~+-]\S*\Z")
_BY_ITSELF = re.compile(r"[-+~<>]?\s?[.\d][.,\d]*\Z")


class Result(Section):
    """``before 900 uV, after 140 uV, for 50 mW``, also ``900 uV before``; a value alone is the one after the work.

    ``into`` is the load, ``at`` the place of the dial, the distortion or how far off, ``standard`` how it was done.
    A line of points, ``50 Hz -9 dB, 400 Hz 0 dB, …``, is a ``curve``.
    """

    FORM = form(["before", "after", "for", "sheet", "note"], rest="note", remark="note")
    SYNONYMS = {"points": "curve", "curve after": "curve", "load": "into"}

    before: AnyValue | None = None
    after: AnyValue | None = None
    sheet: AnyValue | None = None
    for_: Wording | None = None
    into: Resistance | None = None
    at: Wording | None = None
    standard: Wording | None = None
    curve: Curve = ()
    curve_before: Curve = ()
    note: Wording | None = None

    @model_validator(mode="after")
    def _range_told(self) -> Self:
        """Two ends with nothing else are a range after the work; the writer is told, as both sides are said so too."""
        after = self.after
        if after and after.qualifier == "range" and self.before is None and not after.remark:
            told = "taken as a range after the work; for before and after write “from … to …”"
            object.__setattr__(self, "after", dataclasses.replace(after, remark=told))
        return self

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """Values with their side before or behind them; words behind a value, or in its place, are the note."""
        if not isinstance(data, Text):
            return super()._table(_with_curves(data), errors)
        if len(data) > MOST_OF_RESULT:
            errors.append(from_mistake(Mistake(data, *too_long_a_line(len(data), MOST_OF_RESULT))))
            return None
        (body,), remark = body_and_remark(data.taken_as(in_its_words(data)), None)
        if _STATIONS.match(body):
            table = Entries(data.place, data)
            table[Text("note", data.place)] = data.taken_as(str(data), f"kept as a note: {data}")
            return table
        body = _at_each_setting(body)
        if (line := _of_points(body)) is not None:
            table = Entries(data.place, data)
            table.update(line)
            return _noted(table, remark)
        body, unclear = _in_unit_beside(body)
        if unclear:
            errors.append(from_mistake(unclear))
        found = sided(body, _SIDES, ANY_KINDS, _MOST_MENDED)
        if found.twice or not _alone(found) or any(_NO_VALUE.match(piece) for piece in found.left):
            if not found.values:
                errors += [from_mistake(mistake) for mistake in found.mistakes]
            return _told(super()._table(data, errors))
        errors += [from_mistake(mistake) for mistake in found.mistakes]
        table = Entries(data.place, data)
        table.update({Text(key, value.place): value for key, value in found.values.items()})
        for piece in (*found.tails, *found.left):
            _add(table, piece)
        return _noted(table, remark)


_OF_WATTS = re.compile(r"\bwatts\b", re.I)
_WATTS_ALONE = re.compile(r"\d[\d.]*(?=\s*(?:,|;|\Z|\s(?:at|@|from|on)\s))", re.I)
_STATIONS = re.compile(r"\d{2,4}(?:,\s+\d{2,4})+(?=\s*(?:,|;|\Z|\s[^\W\d]{2}))")
"""Several numbers with no unit: the stations that were heard."""
_LEVEL = r"[.\d][\d.,]*\s?[mµu]?V(?:/m)?"
_AT_SEVERAL = re.compile(
    rf"(?P<level>{_LEVEL})\s+(?:at|@)\s+(?P<dial>\d+)\s?(?P<unit>kc|khz|mc|mhz)(?P<tail>\s+for\s+[^,;]*)?"
    rf"(?P<others>(?:,\s+(?:at\s+)?\d+\s+{_LEVEL})+)",
    re.I,
)
_OTHER = re.compile(rf"(?P<dial>\d+)\s+(?P<level>{_LEVEL})", re.I)


def _at_each_setting(body: Text) -> Text:
    """``18 uV at 1000 kc for 50 mW, 600 30 uV`` as points of a curve, all in the unit of the first setting."""
    found = _AT_SEVERAL.fullmatch(body)
    if found is None:
        return body
    unit = found["unit"]
    points = [f"{found['dial']} {unit} {found['level']}"]
    points += [f"{one['dial']} {unit} {one['level']}" for one in _OTHER.finditer(found["others"])]
    return body.taken_as(", ".join([*points, *([found["tail"].strip()] if found["tail"] else [])]))


def _in_unit_beside(body: Text) -> tuple[Text, Mistake | None]:
    """A line in which a number behind ``was`` or ``now`` has the unit of the other; asked where it is of another size.

    What is asked is taken out of the line: ``350 uV, was 800`` is plain, and of ``350 uV/m, was 18000`` the second may
    have been read on another range.
    """
    bare = list(_WAS_BARE.finditer(body))
    other = _first_value(body)
    if len(bare) != 1 or other is None:
        return body, None
    found = bare[0]
    number = body.cut(*found.span("number"))
    named = _UNIT.search(other)
    near = within_times(number, other, _MOST_MENDED)
    if unit := unit_beside(number, other) or (named[0] if named and near else ""):
        return body.taken_as(f"{body[: found.end()]} {unit}{body[found.end() :]}"), None
    whole = f"{found['side']} {number} {named[0]}" if named else ""
    remedy = f"write {quoted(whole)}, if that is meant" if whole else "write its unit"
    left = body.taken_as(f"{body[: found.start()].rstrip(' ,')}{body[found.end() :]}".lstrip(" ,"))
    return left, Mistake(number, quoted(found[0].strip()), "a value with its unit", remedy)


def _first_value(body: Text) -> Text | None:
    """The first value with its unit in a line."""
    for item in items(body):
        words = words_of(item, strokes=False)
        for index in range(len(words)):
            if value := value_at(item, words, index, dict.fromkeys(ANY_KINDS, "value")):
                return item.cut(words[index][0], words[index + value.words - 1][1])
    return None


def read_results(value: Any) -> Any:
    """Results by their names; one line of words for all of them is how the set plays."""
    if isinstance(value, Entries):
        for name, said in value.items():
            if isinstance(said, Text) and _OF_WATTS.search(name) and (watts := _WATTS_ALONE.match(said)):
                told = f"{quoted(watts[0])} read as watts, as its name says"
                value[name] = said.taken_as(f"{watts[0]} W{said[watts.end() :]}", told)
        return by_band(value)
    if not isinstance(value, Text) or len(value.split()) < 2:
        return value
    table = Entries(value.place, value)
    heard = Entries(value.place, value)
    heard[Text("note", value.place)] = value.taken_as(value, f"“{value}” kept as what was heard")
    table[Text("listening", value.place)] = heard
    return table


def _told(table: Mapping[Any, Any] | None) -> Mapping[Any, Any] | None:
    """A result whose note has numbers of a side in it that are no values says so: ``2200 uV/m before``."""
    note = table.get(Text("note")) if table else None
    if table is None or not isinstance(note, Text) or note.remarks or not _NUMBER_OF_A_SIDE.search(note):
        return table
    return {**table, Text("note", note.place): note.taken_as(str(note), f"kept as a note: {note}")}


def _noted(table: Entries, remark: Text | None) -> Entries:
    """A result with the remark at the end of its line behind its note."""
    if remark:
        note = table.get(Text("note"))
        table[Text("note", remark.place)] = remark if note is None else note.and_then(remark)
    return table


def _of_points(body: Text) -> Entries | None:
    """A line of points with what stands beside them; None for any other."""
    points, words = parted(body)
    if not points:
        return None
    table = Entries(body.place)
    listed = Listing(body.place)
    listed += points
    table[Text("curve", body.place)] = listed
    for piece in filter(None, words):
        _add(table, piece)
    return table


def _alone(found: Sided) -> bool:
    """Whether a line can be read so; one value without a word is the one after the work.

    Before one that is after the work it is the one before: ``45 mV, now 4 mV``. ``121 V, was 98 V`` has that after.
    """
    first = found.left[0] if found.left else None
    leads = first is not None and all(first.place <= value.place for value in found.values.values())
    if first is None or not leads or {"before", "after"} <= set(found.values):
        return bool(found.values)
    words = words_of(first, strokes=False)
    value = value_at(first, words, 0, dict.fromkeys(ANY_KINDS, "after")) if words else None
    if value is None and not _BY_ITSELF.match(first):
        return bool(found.values)
    end = words[value.words - 1][1] if value else len(first)
    found.put("before" if "after" in found.values else "after", first.cut(0, end))
    found.left[:1] = [rest] if (rest := first.cut(end)) else []
    return True


def _with_curves(data: Any) -> Any:
    """A result's names and values in which ``before`` and ``after`` with points behind them are its curves."""
    if not isinstance(data, Entries):
        return data
    curves = {"before": "curve before", "after": "curve"}
    found = {key: curves[str(key).casefold()] for key, value in data.items() if _has_points(str(key), value, curves)}
    if not found:
        return data
    moved = Entries(data.place, data.line)
    moved.update({Text(found[key], key.place) if key in found else key: value for key, value in data.items()})
    moved.empty, moved.whole = data.empty, data.whole
    return moved


def _has_points(key: str, value: Any, curves: Mapping[str, str]) -> bool:
    points = isinstance(value, list | dict) or (isinstance(value, Text) and bool(parted(value)[0]))
    return key.casefold() in curves and points


def _add(table: Entries, piece: Text) -> None:
    """What stands beside the values: what they are for, the load, where it was read, or the note."""
    head = _HEAD.match(piece)
    key = Text((head[1] or "at").casefold() if head else "note", piece.place)
    if head is None and (into := _BEHIND.search(piece)) and into.start():
        _add(table, piece.cut(into.end()))
        piece = piece.cut(0, into.start())
    if head is None and (load := _OVER_A_LOAD.match(piece)):
        _add(table, piece.taken_as(f"into {piece[load.end() :]}"))
        return
    watts = re.search(r"\d\s?(?:m?W|watts?)\Z", str(table.get(Text("after"), "")), re.I)
    distorted = _DISTORTION.fullmatch(piece) if head is None else None
    if distorted and (watts or distorted["word"]):
        piece = piece.cut(*distorted.span("said"))
        key, head = Text("at", piece.place), re.match("", piece)
    if head is None and _A_TONE.fullmatch(piece):
        key, head = Text("at", piece.place), re.match("", piece)
    if head is None and _TO_NOISE.fullmatch(piece) and Text("for") not in table:
        key, head = Text("for", piece.place), re.match("", piece)
    text = piece.cut(head.end()) if head else piece.taken_as(piece, f"kept as a note: {piece}")
    if key == "at" and _OHMS_OF_A_LOAD.match(text) and Text("into") not in table:
        key = Text("into", piece.place)
    behind = {"for": _AT_BEHIND, "at": _FOR_BEHIND}.get(str(key), _BEHIND)
    if inner := behind.search(text) if head and key != "into" else None:
        _add(table, text.cut(inner.start()))
        text = text.cut(0, inner.start())
    if key == "into":
        load = _LOAD.match(text)
        if load is None:
            key, text = Text("note", piece.place), piece.taken_as(piece, f"kept as a note: {piece}")
        elif rest := text.cut(load.end()):
            _add(table, rest)
            text = text.cut(load.start("load"), load.end("load"))
        else:
            text = text.cut(load.start("load"), load.end("load"))
    before = table.get(key)
    table[key] = text if before is None else before.and_then(text)
