"""The work log as written."""

import re
from collections.abc import Mapping
from typing import Any

from pydantic_core import InitErrorDetails

from ..forms import Mistake
from ..line_items import items
from ..problems import quoted
from ..section import Section, form, from_mistake
from ..text import Entries, Text
from ..values import Date, Duration, Wording
from ..written_days import opening_day
from .worked_hours import (
    IN_ALL,
    RAN_FOR,
    FromTo,
    from_its_first_day,
    lone_clock,
    minutes_behind,
    out_of_brackets,
    time_by_clock,
    time_in_words,
)

_HOURS_BEHIND = re.compile(
    r"(?P<did>.*?(?P<last>[^\W\d]+)[^\w]*)\s(?P<time>[\d.,½¼¾]+\s?(?:h|hrs?|hours?|mins?|minutes?))\.?", re.I | re.S
)
_HOURS_AND_MINUTES = re.compile(r"(?P<hours>\d{1,2})\s?[hu]\s?(?P<minutes>[0-5]\d)(?=[\s,;]|$)", re.I)
_HOURS_ELSEWHERE = re.compile(r"(?P<hours>\d[\d.,]*)\s?(?:u|uur|uren|std|stunden?)\.?(?=[\s,;]|$)", re.I)
"""Hours as a Dutch or German bench writes them: ``2 u``, ``1,5 Std.``."""
_HOURS_OF_THE_DAY = re.compile(
    r"(?P<did>(?:(?:in the|this|that|de|am|at|'s|’s) )?"
    r"(?:morning|forenoon|afternoon|evening|night|morgens?|middags?|avonds?|abends?|nachmittags?|vormittags?|nachts?))"
    r"[,:]?\s+(?P<time>[\d.,½¼¾]+\s?(?:h|hrs?|hours?|u|uur|uren|std|stunden?|mins?|minutes?|minuten))\.?(?=[,;]|\s|\Z)",
    re.I,
)
"""The time of the day before the hours: ``in the evening 2 h, aligned``."""
_HOURS_IN_WORDS = re.compile(
    r"(?:(?:an?|de|een|einen?|the)\s+)?(?:half|halve|halber|halben|whole|full|hele|ganzer|ganzen)\s+(?:(?:an?|the|de)\s+)?"
    r"(?:day|dag|tag|morning|afternoon|evening|night|ochtend|middag|avond|abend|nacht)(?=[\s,;.]|\Z)"
    r"|(?:a|an|one|two|three|a couple of|couple of|few|a few|een|twee|drie|ein|zwei|drei)\s+"
    r"(?:days?|dag(?:en)?|tage?|mornings?|afternoons?|evenings?|avonden?|abende?|hours?|uren|stunden)(?=[\s,;.]|\Z)",
    re.I,
)
"""How long in words that say no hours: ``half a day``."""
_HOURS_WITHIN = re.compile(
    r"(?P<before>\S+)\s+(?P<time>[\d.,½¼¾]+\s?(?:h|hrs?|hours?|u|uur|uren|std|stunden?))\b", re.I
)
_NOT_OF_WORK = re.compile(
    r"for|after|on|in|within|under|over|every|each|about|until|by|than|last|next|another|further"
    r"|play\w*|runs?|ran|running|soak\w*|burn\w*|warm\w*",
    re.I,
)
"""Words behind which hours are not those of the work: ``left on for 3 h``, ``played 8 h``."""

_RAN = re.compile(
    rf"(?P<time>\d[\d.,]*\s?(?:h|hrs?|hours?|mins?|minutes?))\s+(?P<ran>{RAN_FOR})(?!\w)",
    re.I,
)
"""How long the set ran, with its word behind: no time of the work."""
_SECONDS = re.compile(r"(?<![\w.,])\d{1,3}(?:\s?s|\s?secs?|\s?seconds?)(?![\w:])", re.I)
"""Seconds, which no work is counted in; two figures and an s are as often tubes of one type: ``45s 61 57``."""
ALL_TOLD = re.compile(
    rf"(?:(?:about|some|ca\.?)\s+)?(?:{IN_ALL.pattern}[:,]?\s+(?:about\s+)?[\d.,½]+\s?(?:h|hrs?|hours?|u|uur|uren|std)\b"
    rf"|[\d.,½]+\s?(?:h|hrs?|hours?|u|uur|uren|std)\s+{IN_ALL.pattern})",
    re.I,
)
"""The hours of all sittings together."""
_TOTAL = re.compile(rf"(?<=\s){ALL_TOLD.pattern}", re.I)
_DONE_BEFORE = re.compile(r"[^\W\d]{2}[\s,.;]*\Z")
_NO_PERSON = re.compile(
    r"(?:itself|themselves|hand|eye|ear|accident|chance|mistake|then|now|noon|lunch|evening|means|far)\b", re.I
)
_DASH = re.compile(r"[-–—]+\s+(?=\S)")
_DAY_ALONE = re.compile(
    r"(?P<day>(?P<a>\d{1,2})/(?P<b>\d{1,2}))(?:\s+[-–—]+)?\s+"
    r"(?!(?:inch\w*|in\b|\"|mm|cm|h\b|hrs?\b|hours?|mins?\b|minutes?|days?|W\b|watts?|A\b|amps?|ohms?|meg\w*|V\b|volts?"
    r"|[µu]F|mfd|turns?|nuts?|bolts?|screws?|drill\w*|drive|spanners?|wrench|holes?|dowels?|way|of\b|full|scale|oz|pints?|cups?|lbs?|the\b|an?\b|x\b|by\b|x\d))(?=[^\W\d])",
    re.I,
)
"""A day without its year before what was done, ``3/14 opened her up``; ``3/4 inch`` and ``1/2 h`` are none."""


class LogEntry(Section):
    """``2026-03-01, 3 h, replaced the paper capacitors one at a time``."""

    FORM = form(["by"], values={"date": "date", "duration": "time"}, rest="did")

    date: Date | None = None
    time: Duration | None = None
    clock: FromTo | None = None
    by: Wording | None = None
    did: Wording | None = None

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """Hours that end what was done are how long it took: ``recapped 3h``; ``1h30`` before it is too.

        So are those between two times of the clock, and those said in words.
        """
        several = ""
        if isinstance(data, Text):
            data, several = from_its_first_day(_hours_in_items(data))
            said = _SECONDS.sub(_no_time_of_work, _RAN.sub(_no_time_of_work, data))
            data = data.taken_as(_TOTAL.sub(_no_sitting, said))
        table = _total_told(_said_again(super()._table(data, errors)))
        if isinstance(table, Entries) and several and isinstance(days := table.get(Text("did")), Text):
            table[Text("did")] = days.taken_as(str(days), several)
        if isinstance(table, Entries):
            _nobody(table)
            _day_apart(table)
            _total_apart(table)
        if isinstance(table, Entries) and not _by_clock(table, errors):
            return table
        did = table.get(Text("did")) if isinstance(table, Entries) and Text("time") not in table else None
        if not isinstance(table, Entries) or not isinstance(did, Text):
            return table
        if all_told := ALL_TOLD.match(did):
            told = f"{quoted(all_told[0])} kept in the text: the log adds up its own"
            table[Text("did")] = did if did.remarks else did.taken_as(str(did), told)
            return table
        if in_words := time_in_words(did):
            time, rest = in_words
            table[Text("time", time.place)] = time
            _put(table, rest)
            return table
        if ends := _ending_in_words(did):
            table[Text("time", ends[0].place)], table[Text("did")] = ends
            return table
        if begins := _HOURS_AND_MINUTES.match(did) or _HOURS_ELSEWHERE.match(did):
            time, rest = did.cut(0, begins.end()), did.cut(begins.end())
            minutes = begins.groupdict().get("minutes")
            table[Text("time", time.place)] = time.taken_as(
                f"{begins['hours']} h" + (f" {minutes} min" if minutes else "")
            )
            _put(table, rest.cut(1) if rest[:1] in (",", ";") else rest)
            return table
        if of_day := _HOURS_OF_THE_DAY.match(did):
            time, rest = did.cut(*of_day.span("time")), did.cut(of_day.end())
            rest = rest.cut(1) if rest[:1] in (",", ";") else rest
            table[Text("time", time.place)] = _in_hours(time)
            when = did.cut(*of_day.span("did"))
            when = when.taken_as(str(when), f"{quoted(time)} read as how long it took")
            table[Text("did")] = when.and_then(rest) if rest else when
            return table
        found = _HOURS_BEHIND.fullmatch(did)
        if found is None or _NOT_OF_WORK.fullmatch(found["last"]) or IN_ALL.fullmatch(found["did"].strip(" ,:")):
            table[Text("did")] = _hours_kept(lone_clock(did))
            return table
        time, rest = did.cut(*found.span("time")), did.cut(0, found.end("did"))
        table[Text("time", time.place)] = time
        table[Text("did", rest.place)] = rest.taken_as(rest.rstrip(" ,;"), f"“{time}” read as how long it took")
        return table


_JOINED = "\u2060"
"""Stands for the blank in a time that is none of the work, while its line is read: nobody types it."""


_DASH_BEHIND_A_DAY = re.compile(r"\s+[-–—]\s+(?=\S)")


def _hours_in_items(line: Text) -> Text:
    """A line whose hours stand in no brackets, and with a comma for the dash behind its day: ``14.3.2025 - (2 h)``."""
    said = out_of_brackets(line)
    end = opening_day(line, with_year=True)
    if end and (dash := _DASH_BEHIND_A_DAY.match(said, end)):
        said = said.taken_as(f"{said[:end]}, {said[dash.end() :]}")
    return said


def _ending_in_words(did: Text) -> tuple[Text, Text] | None:
    """The time that the last of several items is in words, ``first go, an hour and a half``, and what was done."""
    *done, last = items(did)
    in_words = time_in_words(last) if done and not last.remarks else None
    if in_words is None or in_words[1]:
        return None
    return in_words[0], did.cut(0, len(did) - len(last)).cut(0, len(did[: len(did) - len(last)].rstrip(" ,")))


def _no_time_of_work(ran: re.Match[str]) -> str:
    return f"{_JOINED}{ran[0].replace(' ', _JOINED)}"


def _no_sitting(total: re.Match[str]) -> str:
    """Hours in all behind what was done, where those of the day may stand before them."""
    return _no_time_of_work(total) if _DONE_BEFORE.search(total.string, 0, total.start()) else total[0]


def _said_again(table: Mapping[Any, Any] | None) -> Mapping[Any, Any] | None:
    """What was done, with the blanks that were typed."""
    did = table.get(Text("did")) if isinstance(table, Entries) else None
    if isinstance(table, Entries) and isinstance(did, Text) and _JOINED in did:
        said = did.replace(f" {_JOINED}", " ").removeprefix(_JOINED).replace(_JOINED, " ")
        table[Text("did")] = did.taken_as(said)
    return table


def _total_told(table: Mapping[Any, Any] | None) -> Mapping[Any, Any] | None:
    """What was done, with the remark that hours in all stay in its words."""
    did = table.get(Text("did")) if isinstance(table, Entries) else None
    total = re.search(rf"(?:(?<=\W)|\A){ALL_TOLD.pattern}", did, re.I) if isinstance(did, Text) else None
    if isinstance(table, Entries) and isinstance(did, Text) and total:
        told = f"{quoted(total[0])} kept in the text: the log adds up its own"
        table[Text("did")] = did.taken_as(str(did), told)
    return table


def _in_hours(time: Text) -> Text:
    """A time in the words of a Dutch or German bench as hours or minutes."""
    return time.taken_as(re.sub(r"(?<=\d)\s?(?:u|uur|uren|std|stunden?)\Z", " h", time, flags=re.I))


def _hours_kept(did: Text) -> Text:
    """What was done, with a remark where it says how long in a way that is no hours of work: ``half a day aligned``."""
    within = next(
        (m for m in _HOURS_WITHIN.finditer(did) if not _NOT_OF_WORK.fullmatch(m["before"].strip(".,;"))), None
    )
    said = within["time"] if within else found[0] if (found := _HOURS_IN_WORDS.match(did)) else ""
    remedy = "for how long it took write the hours first, such as “4 h”"
    return did.taken_as(str(did), f"{quoted(said)} kept in the text: {remedy}") if said and not did.remarks else did


def _nobody(table: Entries) -> None:
    """What is done by nobody, ``by itself``, ``by hand``, is part of what was done."""
    by, did = table.get(Text("by")), table.get(Text("did"))
    if not isinstance(by, Text) or not _NO_PERSON.match(by):
        return
    said = by.taken_as(f"by {by}")
    del table[Text("by")]
    if isinstance(did, Text):
        first, then = (said, did) if by.place < did.place else (did, said)
        del table[Text("did")]
        said = first.and_then(then)
    table[Text("did", said.place)] = said


def _total_apart(table: Entries) -> None:
    """Hours in all, ``31 hours total``, are no sitting of their own: they stay in the words."""
    time, did = table.get(Text("time")), table.get(Text("did"))
    if isinstance(time, Text) and isinstance(did, Text) and IN_ALL.match(did):
        del table[Text("time")]
        said = time.taken_as(f"{time} {did}", f"{quoted(time)} in all kept in the text: the log adds up its own")
        table[Text("did", time.place)] = said


def _day_apart(table: Entries) -> None:
    """Takes a dash away that stands between the day and what was done; a day without its year is one all the same."""
    did = table.get(Text("did"))
    if not isinstance(did, Text):
        return
    if Text("date") not in table and (day := _DAY_ALONE.match(did)) and _can_be_a_day(day):
        table[Text("date", did.place)] = did.cut(0, day.end("day"))
        did = did.cut(day.end())
        _put(table, did)
    if Text("date") in table and (dash := _DASH.match(did)):
        _put(table, did.cut(dash.end()))


def _can_be_a_day(found: re.Match[str]) -> bool:
    """Whether two numbers can be a month and a day, one way or the other."""
    low, high = sorted((int(found["a"]), int(found["b"])))
    return 1 <= low <= 12 and high <= 31


def _by_clock(table: Entries, errors: list[InitErrorDetails]) -> bool:
    """Takes the hours of the clock that what was done begins with; False where they make no sense."""
    did, time, between = table.get(Text("did")), table.get(Text("time")), table.get(Text("clock"))
    if isinstance(between, Text) and isinstance(read := time_by_clock(between), tuple):
        table.setdefault(Text("time", between.place), Text(f"{read[1]} min", between.place, single=False))
    if not isinstance(did, Text):
        return True
    if isinstance(time, Text) and (more := minutes_behind(time, did)):
        table[Text("time", time.place)] = time.taken_as(f"{time} {more} min")
        rest = did.cut(len(more))
        _put(table, rest.cut(1) if rest[:1] in (",", ";") else rest)
        return True
    found = time_by_clock(did)
    if isinstance(found, Mistake):
        errors.append(from_mistake(found))
        return False
    if found is not None:
        clock, minutes, rest = found
        table[Text("clock", clock.place)] = clock
        table.setdefault(Text("time", clock.place), Text(f"{minutes} min", clock.place, single=False))
        _put(table, rest)
    return True


def _put(table: Entries, rest: Text) -> None:
    """What is left of what was done, where anything is."""
    del table[Text("did")]
    if rest:
        table[Text("did", rest.place)] = rest
