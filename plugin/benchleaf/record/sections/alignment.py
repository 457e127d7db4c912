"""Alignment as written."""

import dataclasses
import re
from collections.abc import Callable, Iterator, Mapping
from typing import Annotated, Any

from pydantic import Field
from pydantic_core import InitErrorDetails

from ..before_after import BEFORE_AFTER, sided
from ..dial_read import with_dial_read
from ..forms import Form, Mistake
from ..line_form import read_line
from ..line_items import body_and_remark, items
from ..line_values import value_at, words_of
from ..problems import quoted
from ..section import Section, form, from_mistake
from ..step_frequencies import FOUND_AT, step_parted, with_found_at
from ..text import Entries, Listing, Text
from ..values import AnyValue, Date, DialReading, Frequency, Length, Name, OneOrMore, Voltage, Wording
from ..written_days import looks_like_a_date, opening_day
from .curve import Curve, Response, parted
from .each_step import AS_THE_OTHERS, each_step, in_unit_of_others, with_dial_as_note, with_unit_of_if
from .feed import fed
from .instruments import instruments_apart
from .own_scale import on_its_own_scale

_READ = ("voltage", "current", "power", "ratio", "level")
"""Kinds of what an output or a bias is read in while it is aligned."""
_TUNED = {"frequency": "frequency", "length": "wavelength"}
_METRES = re.compile(r"\d[\d.,]*\s?m(?:et[er]{2}s?)?\b", re.I)


_A_BAND = re.compile(r"[A-Z]{1,3}\d?")
_DIAL_ERROR = re.compile(
    r"\b(?:dial|scale|pointer|calibration)(?: (?:error|off|out))?\s+[-+±−]?\d[^,;]*\sbefore\b", re.I
)
"""How far the dial is off, in kilohertz before and after: ``dial error +20 kHz before, +2 kHz after``."""
_FOR_AN_OUTPUT = re.compile(
    r"for\s+(?:(?:an? |the )?(?:same|standard|fixed|constant)\s+(?:output|reading|power|volume)"
    r"|(?:an?\s+)?(?:output\s+(?:of\s+)?)?\.?\d[\d.,]*\s?[mµu]?(?:W|watts?|V|volts?)(?:\s+(?:AC|RMS|out(?:put)?))?)\.?",
    re.I,
)
"""For which output the generator was set: ``before 1.8 mV, after 0.9 mV for 50 mW``."""
_CURVE_BEHIND = re.compile(r",\s+(?P<key>response before|response after|response|S[- ]curve)\s*:?\s+(?=[-+−.\d])", re.I)


def _with_its_colon(data: Any, is_line: Callable[[Text], bool]) -> Any:
    """A line with a colon and a blank in it, which YAML takes for a name and its value, as the line it is."""
    if not isinstance(data, Entries) or len(data) != 1 or data.empty:
        return data
    ((key, value),) = data.items()
    return key.taken_as(f"{key}: {value}") if isinstance(value, Text) and is_line(key) else data


class AlignmentStep(Section):
    """``1400 kHz, aerial trimmer for maximum, before 0.40 V, after 0.71 V``; ``LW 200 kHz, …`` names the band first.

    ``into V1 grid through 0.1 uF`` and ``meter AVC`` say how it was fed and read, where that is not the session's way.
    ``found at`` is where the circuit was tuned to before, ``dial read`` and ``dial now`` what the dial said. Behind
    ``for 50 mW`` what stands before and after is the generator's level for that output.
    """

    FORM = form(
        ["before", "after", "found at", "dial read", "dial now", "note"], values=_TUNED, rest="adjust", remark="note"
    )
    SYNONYMS = {"dummy aerial": "through", "dummy antenna": "through"}

    frequency: Frequency | None = None
    wavelength: Length | None = None
    adjust: Wording | None = None
    generator: Wording | None = None
    into: Wording | None = None
    through: Wording | None = None
    meter: Wording | None = None
    before: AnyValue | None = None
    after: AnyValue | None = None
    for_: Wording | None = None
    found_at: Frequency | None = None
    dial_read: DialReading | None = None
    dial_now: DialReading | None = None
    note: Wording | None = None

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """The frequency of the first item, what was read before and after, and in the rest what was adjusted."""
        data = _with_its_colon(data, lambda key: _tuned(next(items(key))) is not None)
        if not isinstance(data, Text):
            return super()._table(data, errors)
        of_others = next((said for _, said in data.remarks if said.endswith(AS_THE_OTHERS)), "")
        data, told = with_found_at(step_parted(with_dial_read(with_dial_as_note(with_unit_of_if(data)))))
        (body,), remark = body_and_remark(data, None)
        found = sided(body, BEFORE_AFTER, (*_READ, "frequency") if told or _DIAL_ERROR.search(body) else _READ)
        if of_others and found.values:
            first = min(found.values, key=lambda key: found.values[key].place)
            found.values[first] = found.values[first].taken_as(str(found.values[first]), of_others)
        beside = told and f", {FOUND_AT} " in body
        if told and "before" in found.values and not beside:
            found.values["before"] = found.values["before"].taken_as(str(found.values["before"]), told)
        tuned = _tuned(found.left[0]) if found.left else None
        if found.twice or (tuned is None and not found.values):
            return super()._table(data, errors)
        mistakes = found.mistakes
        table: Entries | Listing = Entries(data.place, data)
        if tuned:
            key, value, around = tuned
            mistakes += [*_of_another_step(found.left[1:])]
            found.left[:1] = around
        signal, found.left = _signal(found.left)
        output = next((piece for piece in (*found.tails, *found.left) if _FOR_AN_OUTPUT.fullmatch(piece)), None)
        if output and found.values:
            found.tails, found.left = ([p for p in ps if p is not output] for ps in (found.tails, found.left))
            signal["for"] = output.cut(len("for"))
        if found.rest:
            table, more = read_line(found.rest, _BEHIND if tuned else cls.FORM or Form())
            mistakes += more
        errors += [from_mistake(mistake) for mistake in mistakes]
        whole = table[0] if isinstance(table, Listing) else table
        if beside and isinstance(at := whole.get(Text(FOUND_AT)), Text):
            whole[Text(FOUND_AT)] = at.taken_as(str(at), told)
        notes = [*found.tails, *([remark] if remark else [])]
        return _with(table, {**found.values, **signal, **({key: value} if tuned else {})}, notes)


def _signal(pieces: list[Text]) -> tuple[dict[str, Text], list[Text]]:
    """How the signal came in and was watched, taken from the items of a step, and the items that are left."""
    found: dict[str, Text] = {}
    left: list[Text] = []
    for piece in pieces:
        said = dict(fed(piece))
        if said and not said.keys() & found.keys():
            found |= said
        else:
            left.append(piece)
    return found, left


_BEHIND = dataclasses.replace(AlignmentStep.FORM or Form(), values={})
"""How a step goes on behind its frequency: another length is no wavelength."""


def _tuned(first: Text) -> tuple[str, Text, list[Text]] | None:
    """The frequency or wavelength in the first item of a step, its key, and the words around it."""
    words = words_of(first, strokes=False)
    for index in range(len(words)):
        value = value_at(first, words, index, _TUNED)
        if value is None or (value.kind == "length" and not _METRES.match(first, words[index][0])):
            continue
        start, end = words[index][0], words[index + value.words - 1][1]
        lead = first.cut(0, start)
        if lead.casefold().endswith(" at"):
            lead = lead.cut(0, len(lead) - 3)
        return value.key, first.cut(start, end), [piece for piece in (lead, first.cut(end)) if piece]
    return None


def _of_another_step(pieces: list[Text]) -> Iterator[Mistake]:
    """Each item that begins with a frequency of its own: it is a step for itself."""
    for piece in pieces:
        words = words_of(piece, strokes=False)
        start = 1 if len(words) > 1 and _A_BAND.fullmatch(piece, *words[0]) else 0
        value = value_at(piece, words, start, {"frequency": "frequency"}) if words else None
        if value is not None:
            at = piece.cut(0, words[start + value.words - 1][1])
            remedy = f"write {quoted(piece)} as a step on a line of its own"
            yield Mistake(at, f"{quoted(at)}, a second frequency", "one frequency in a step", remedy)


def _with(table: Entries | Listing, values: Mapping[str, Text], notes: list[Text]) -> Mapping[Any, Any]:
    """A step's table with what was read apart from the line, and its notes."""
    whole: Entries = table[0] if isinstance(table, Listing) else table
    for key, value in values.items():
        whole[Text(key, value.place)] = value
    for note in notes:
        before = whole.get(Text("note"))
        whole[Text("note", note.place)] = note if before is None else before.and_then(note)
    return whole


class StageLevel(Section):
    """``38 mV, 400 Hz``: the level that gives the same output when it is fed in at one place."""

    FORM = form(["level"], values={"voltage": "level", "frequency": "frequency"}, remark="note")

    level: Voltage
    frequency: Frequency | None = None
    note: Wording | None = None


def _each_apart(table: Mapping[Any, Any] | None, data: Any) -> Mapping[Any, Any] | None:
    """An alignment in one line with each of its steps apart."""
    steps = table.get(Text("steps")) if table and isinstance(data, Text) else None
    return {**table, Text("steps", steps.place): each_step(steps)} if table and isinstance(steps, Text) else table


class Alignment(Section):
    """One alignment: how the generator was fed in, what was read, the steps, and the response as it was swept.

    ``levels`` are those that give the same output, by the place where they are fed in.
    ``response`` has points of frequency and level; ``S-curve`` those of a detector for FM, volts around zero.
    """

    FORM = form(["date", "generator", "meter", "note"], values={"date": "date"}, rest="steps")
    SYNONYMS = {
        "input levels": "levels",
        "response after": "response",
        "sweep": "response",
        "S curve": "S-curve",
        "detector curve": "S-curve",
    }

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """A dated line may end with the points of its response: ``…, cores, response 450 kHz -3 dB, 455 kHz 0 dB``."""
        data = _with_its_colon(
            instruments_apart(data),
            lambda key: bool(opening_day(key, with_year=True)) or looks_like_a_date(next(items(key))),
        )
        curve = _CURVE_BEHIND.search(data) if isinstance(data, Text) else None
        points = data.cut(curve.end()) if curve and isinstance(data, Text) else None
        if curve is None or points is None or not parted(points)[0] or parted(points)[1]:
            table = on_its_own_scale(_each_apart(super()._table(data, errors), data))
            steps = table.get(Text("steps")) if table else None
            return {**table, Text("steps"): in_unit_of_others(steps)} if table and isinstance(steps, Listing) else table
        table = _each_apart(super()._table(data.cut(0, curve.start()), errors), data)
        return None if table is None else {**table, Text(curve["key"], points.place): points}

    date: Date | None = None
    generator: Wording | None = None
    meter: Wording | None = None
    steps: Annotated[tuple[AlignmentStep, ...], OneOrMore] = ()
    levels: dict[Name, StageLevel] = {}
    response: Response = ()
    response_before: Response = ()
    s_curve: Curve = Field(default=(), alias="S-curve")
    note: Wording | None = None
