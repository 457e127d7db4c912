"""How long a line of the log says the work took: in words, by the clock, and several times in one line."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import Annotated, Any

from ..editor_schema import TEXT_SCHEMA
from ..forms import Mistake
from ..line_items import items
from ..problems import quoted
from ..section import refused
from ..text import Entries, Listing, Text
from ..times_in_words import TIME_IN_WORDS, minutes_in_words
from ..values import Reads, as_text
from ..written_days import lacks_its_year, looks_like_a_date, opening_day

IN_ALL = re.compile(r"(?:total|in all|in total|altogether|all told|all in|totaal|insgesamt|gesamt)\b", re.I)
_UNIT = r"(?:h|hrs?|hours?|mins?|minutes?)"
_NUMBER = r"(?:(?:\d{1,2}[ -])?\d{1,2}/\d{1,2}|[\d.,½¼¾]+)"
_TIME = rf"(?:about |ca\.? |approx\.? |~ ?)?{_NUMBER}\s?{_UNIT}\.?(?:\s?\d{{1,2}}\s?(?:mins?|minutes?|m)?\b)?"
RAN_FOR = (
    r"(?:(?:(?:of\s+)?(?:test|trial|soak)\s+)?"
    r"(?:run|burn-in|(?:of\s+)?(?:playing|running|played|ran)(?!\s+(?:with|up|down|in)\b))"
    r"|(?:on\s+)?soak(?:[ -]test(?:ed|ing)?)?(?!\s+(?:in|of)\b))"
)
"""Behind hours that the set ran, which are no labour: ``6 hrs playing``, ``4 hr soak``."""
_BEGINS = re.compile(rf"{_TIME}(?=[\s,;]|$)(?!\s+{RAN_FOR}(?!\w))", re.I)
_ENDS = re.compile(rf"\D.*\s{_TIME}", re.I | re.S)
_ROUGHLY = re.compile(r"(?:about|around|roughly|approx\.?|approximately|ca\.?|circa)\s+(?=\d|an?\s|half)", re.I)
_AND = re.compile(r"\s+(?:and|&|,)\s+", re.I)
_MOST_WORDS_OF_A_DAY = 3
_HOUR = r"(?P<h{0}>[01]?\d|2[0-4])"
_MINUTES = r"(?:[:.h](?P<m{0}>[0-5]\d)h?)?"
_HALF = r"(?:\s?(?P<x{0}>[ap])\.?m\.?)?"
_CLOCK = re.compile(
    "(?:from )?" + (_HOUR + _MINUTES + _HALF).format("1") + r"\s?(?:-|–|to|until|till)\s?"
    + (_HOUR + _MINUTES + _HALF).format("2") + r"(?:\s?(?:o'clock|h))?(?=[\s,;]|$)",
    re.I,
)  # fmt: skip
_BELOW_ZERO = re.compile(rf"[-−]\s?[\d.,½¼¾]+\s?{_UNIT}(?=[\s,;.]|$)", re.I)
_MINUTES_BEHIND = re.compile(r"[0-5]\d(?=[\s,;]|\Z)")
_SINGLE_CLOCK = re.compile(r"\d{1,2}:[0-5]\d(?=[\s,;]|$)")
_DAY_MINUTES, _LATEST_PAST_MIDNIGHT = 24 * 60, 8 * 60
"""A sitting that ends before it begins went past midnight where it is no longer than this (common practice)."""


def with_each_sitting(table: Mapping[Any, Any] | None) -> Mapping[Any, Any] | None:
    """A record whose log has a line for each time of a line that has several: ``2 h aligned, 30 min readings``."""
    if not isinstance(table, Entries):
        return table
    name = next((key for key in table if key.casefold() == "log"), None)
    log = table[name] if name is not None else None
    if name is None or not isinstance(log, Listing):
        return table
    rows = Listing(log.place)
    for row in _below_their_days(_with_its_sum(log)):
        rows += _parted(row)
    parted = Entries(table.place, table.line)
    parted.update({**table, name: rows})
    parted.empty, parted.whole = table.empty, table.whole
    return parted


_DAYS = re.compile(
    r"(?P<first>\d{1,2})\s?[-–]\s?(?P<last>\d{1,2}(?P<rest>(?P<sign>[/.-])\d{1,2}(?P=sign)['’]?\d{2,4}))(?=\s*(?:[,:;]|\s|\Z))",
    re.ASCII,
)
"""Several days of one month: ``6-8/11/23``."""
_HOURS_SAID = re.compile(rf"(?<![\w.,-]){_TIME}(?=[\s,;.]|$)", re.I)
_LAST_HOURS = re.compile(r".*(?P<hours>(?<![\w.,])\d{1,3}(?:[.,]\d+)?\s?(?:h|hrs?|hours?))\.?\s*", re.I | re.S)
_LEAST_SITTINGS = 3


def from_its_first_day(line: Text) -> tuple[Text, str]:
    """A line of several days of one month as of the first, the last in its words; and what is told of it."""
    days = _DAYS.match(line)
    if days is None or int(days["first"]) >= int(re.split(r"\D", days["last"])[0]):
        return line, ""
    first = f"{days['first']}{days['rest']}"
    behind = line[days.end() :].strip()
    told = f"{quoted(days[0])} read as its first day, the last is kept in the text"
    return line.taken_as(f"{first}{behind if behind[:1] in ',:;' else f', {behind}'}, to {days['last']}"), told


def _with_its_sum(log: Listing) -> Listing:
    """A log whose last line ends in the hours of all the others together, which are no sitting's own."""
    last = log[-1] if log else None
    found = _LAST_HOURS.fullmatch(last) if isinstance(last, Text) else None
    hours = [_hours_of(row) for row in log[:-1] if isinstance(row, Text)]
    times = [one for one in hours if one]
    if found is None or not isinstance(last, Text) or len(times) < _LEAST_SITTINGS or IN_ALL.search(last):
        return log
    if abs(sum(times) - (_hours_of(Text(found["hours"])) or 0)) > 1e-6:
        return log
    told = f"{quoted(found['hours'])} are those of all other lines together, and are kept in the text"
    whole = Listing(log.place)
    whole += [*log[:-1], last.taken_as(f"{last.rstrip(' .')} in all", told)]
    return whole


def _hours_of(row: Text) -> float | None:
    """The hours that a line says first; None where it says none that are plain."""
    for said in _HOURS_SAID.finditer(row):
        number = re.fullmatch(r"(?P<number>\d+(?:[.,]\d+)?|[.,]\d+)\s?(?P<unit>[a-z]+)\.?", said[0], re.I)
        if number:
            size = float(number["number"].replace(",", "."))
            return size / 60 if number["unit"].casefold().startswith("min") else size
    return None


def _below_their_days(log: Listing) -> Iterator[Any]:
    """The rows of a log, each of those below a day by itself, ``- 2026-03-01`` or ``- 2026-03-01:``, under that day."""
    day: Text | None = None
    rows = [_with_its_colon(row) for row in log]
    for row, next_row in zip(rows, [*rows[1:], None], strict=False):
        if isinstance(row, Text) and _is_a_day(row) and isinstance(next_row, Text) and not _opens_with_a_day(next_row):
            day = row
        elif isinstance(row, Text) and day is not None and not _opens_with_a_day(row):
            yield day.and_then(row)
        elif isinstance(row, Entries) and len(row) == 1 and not row.empty and (said := _listed_below(row)):
            day = None
            yield from said
        else:
            day = None
            yield row


_HOURS_IN_BRACKETS = re.compile(
    r"\s*,?\s*\((?P<time>(?:about |ca\.? |~)?[\d.,½¼¾]+\s?(?:h|hrs?|hours?|mins?|minutes?|u|uur|uren|std|stunden?))\)"
    r"(?=\s*(?P<more>[,;]|\Z)?)",
    re.I,
)


_OF_WORK = re.compile(
    r"(?P<time>\d\s?(?:h|hrs?|hours?|mins?|minutes?))['’]?\s+(?:of\s+)?work(?=\s*(?:[,;.:]|\Z))"
    r"|(?P<whole>\d\s?hours)['’](?=\s*(?:[,;.:]|\Z))",
    re.I,
)
_RUN_TOGETHER = re.compile(
    r"(?<![\w.:-])(?P<hours>[1-9])(?:h(?=\d)|\s?h\s(?=\d\d\s*(?:[,;.]|\Z)))(?P<minutes>[0-5]\d)(?![\w:])"
    r"(?!\s*(?:-|–|to\b|until\b|till\b))",
    re.I,
)
"""Hours and minutes with no unit: ``1h30``, ``1 h 30`` at the end of an item."""


def out_of_brackets(line: Text) -> Text:
    """A line whose hours stand in no brackets, with no word for the work behind them: ``replaced C7 (2 h)``."""
    worked = _OF_WORK.sub(lambda hours: hours["time"] or hours["whole"], line)
    worked = _RUN_TOGETHER.sub(r"\g<hours> h \g<minutes> min", worked)
    line = line.taken_as(worked) if worked != line else line
    said = _HOURS_IN_BRACKETS.sub(lambda hours: f", {hours['time']}{',' if hours['more'] is None else ''}", line)
    return line.taken_as(said.removeprefix(", ")) if said != line else line


def _with_its_colon(row: Any) -> Any:
    """A line with a colon and a blank in it, which YAML takes for a name and its value, as the line it is."""
    if not isinstance(row, Entries) or len(row) != 1 or row.empty:
        return row
    ((key, said),) = row.items()
    if isinstance(said, Text) and _is_a_day(key) and (plain := out_of_brackets(said)) is not said:
        return _under(key, plain, row)
    line = isinstance(said, Text) and _opens_with_a_day(key) and not _is_a_day(key)
    return key.taken_as(f"{key}: {said}") if line else row


def _listed_below(row: Entries) -> list[Any]:
    """What stands in a list below a day that is a name; nothing for any other row."""
    ((key, said),) = row.items()
    if not (isinstance(said, Listing) and said and _is_a_day(key) and all(isinstance(one, Text) for one in said)):
        return []
    return [_under(key, one, row) for one in said]


def _is_a_day(text: str) -> bool:
    return looks_like_a_date(text) or lacks_its_year(text)


def _opens_with_a_day(line: Text) -> bool:
    return bool(opening_day(line, with_year=True)) or _is_a_day(next(items(line)))


def _parted(row: Any) -> list[Any]:
    if isinstance(row, Entries) and len(row) == 1 and not row.empty:
        (key, line), *_ = row.items()
        pieces = list(_pieces(line)) if isinstance(line, Text) and looks_like_a_date(key) else []
        return [_under(key, piece, row) for piece in pieces] or [row]
    if not isinstance(row, Text):
        return [row]
    first = next(items(row))
    end = len(first) if looks_like_a_date(first) else opening_day(row, with_year=True)
    behind = re.match(r"\s*[,:;]?\s*", row[end:]) if end else None
    if behind is None:
        return list(_pieces(row)) or [row]
    day = row.cut(0, end)
    rest = row.cut(end + behind.end())
    for item in list(items(rest))[1:]:
        if next_day := _day_of_its_own(item):
            start = rest.find(str(item))
            said = f"{next_day}, {rest[start + len(next_day) :].lstrip(' ,:')}"
            line = rest.cut(start).taken_as(said, f"read as a line of its own, of {next_day}")
            return [*_parted(day.and_then(rest.cut(0, len(rest[:start].rstrip(" ,"))))), *_parted(line)]
    return [day.and_then(piece) for piece in _pieces(rest)] or [row]


def _day_of_its_own(item: Text) -> str:
    """The day, with its year or its month by name, that an item of a line begins with; empty for none."""
    words = [word.end() for word in re.finditer(r"\S+", item)][:_MOST_WORDS_OF_A_DAY]
    named = [end for end in words if lacks_its_year(item[:end]) and any(map(str.isalpha, item[:end]))]
    ends = [end for end in words if looks_like_a_date(item[:end])] or named
    return item[: ends[-1]] if ends and ends[-1] < len(item) else ""


def _under(key: Text, piece: Text, row: Entries) -> Entries:
    table = Entries(row.place)
    table[key] = piece
    table.whole = row.whole
    return table


def _pieces(line: Text) -> Iterator[Text]:
    """A line cut into what each of its times is said of; nothing where it has one time, or may be cut in two ways."""
    parts = [piece for item in items(line) for piece in _joined_by_and(item)]
    by = parts.pop(0) if parts[0].casefold().startswith("by ") else None
    begin = [n for n, part in enumerate(parts) if _BEGINS.match(part)]
    end = [n for n, part in enumerate(parts) if not _BEGINS.match(part) and _ENDS.fullmatch(part)]
    if len(begin) > 1 and not end and begin[0] == 0:
        bounds = [*begin, len(parts)]
    elif len(end) > 1 and not begin and end[-1] == len(parts) - 1:
        bounds = [0, *(n + 1 for n in end)]
    else:
        return
    said = f"read as {len(bounds) - 1} lines of one day"
    for first, last in pairwise(bounds):
        whole = parts[first]
        for part in parts[first + 1 : last]:
            whole = whole.and_then(part)
        whole = by.and_then(whole) if by is not None else whole
        yield whole.taken_as(str(whole), said if first == 0 else "")


def _joined_by_and(item: Text) -> list[Text]:
    """``speaker 2 h and veneer 1 h`` as two; any other item as it is."""
    joints = [m for m in _AND.finditer(item) if _ENDS.fullmatch(item[: m.start()]) and _ENDS.fullmatch(item[m.end() :])]
    return [item.cut(0, joints[0].start()), item.cut(joints[0].end())] if len(joints) == 1 else [item]


def time_in_words(did: Text) -> tuple[Text, Text] | None:
    """The time that a text begins with in words, or with “about”, and the rest: ``half an hour, cleaned``."""
    roughly = _ROUGHLY.match(did)
    start = roughly.end() if roughly else 0
    about = "about " if roughly else ""
    if found := TIME_IN_WORDS.match(did, start):
        minutes = minutes_in_words(found)
        time = did.cut(0, found.end())
        return time.taken_as(f"{about}{minutes} min", f"{quoted(time)} read as {minutes} min"), _rest(did, found.end())
    found = _BEGINS.match(did, start) if roughly else None
    if found is None:
        return None
    return did.cut(0, found.end()).taken_as(f"{about}{found[0]}"), _rest(did, found.end())


def time_by_clock(did: Text) -> tuple[Text, int, Text] | Mistake | None:
    """The hours of the clock that a text begins with, the minutes between, and the rest; None where it has none.

    A Mistake where they end before they begin, or are below zero. Nine to eleven without a sign of the clock is a range
    of something else.
    """
    if below := _BELOW_ZERO.match(did):
        return Mistake(did.cut(0, below.end()), quoted(below[0]), "a time above zero", "leave out the minus")
    found = _CLOCK.match(did)
    if found is None or not (found["m1"] or found["m2"] or found["x1"] or found["x2"]):
        return None
    span = did.cut(0, found.end())
    first, last = _of_day(found, "1"), _of_day(found, "2")
    minutes = last - first
    if minutes <= 0 and minutes + _DAY_MINUTES <= _LATEST_PAST_MIDNIGHT:
        minutes += _DAY_MINUTES
        span = span.taken_as(str(span), f"{quoted(span)} read as past midnight")
    if minutes <= 0:
        remedy = "write the later time behind, or how long it took, such as “2 h 30 min”"
        return Mistake(span, f"{quoted(span)}, which ends before it begins", "a beginning and a later end", remedy)
    clock = f"{first // 60}:{first % 60:02}-{last // 60}:{last % 60:02}"
    return span.taken_as(clock), minutes, _rest(did, found.end())


def _of_day(found: re.Match[str], n: str) -> int:
    """Minutes of the day; an hour without a.m. or p.m. has that of the other where one has."""
    half = (found[f"x{n}"] or "").casefold()
    hour = int(found[f"h{n}"])
    if half:
        hour = hour % 12 + (12 if half == "p" else 0)
    elif n == "1" and (found["x2"] or "").casefold() == "p" and hour < 12 and hour + 12 <= int(found["h2"]) % 12 + 12:
        hour += 12
    return 60 * hour + int(found[f"m{n}"] or 0)


def _read_clock(value: Any) -> Text:
    text = as_text(value)
    found = time_by_clock(text)
    if isinstance(found, Mistake):
        raise refused(found.found, found.expected, found.remedy, at=text)
    if found is None or found[2]:
        raise refused(quoted(text), "two times of the clock, such as “10:00-12:30”", at=text)
    return found[0]


FromTo = Annotated[Text, Reads(_read_clock, TEXT_SCHEMA)]
"""From when to when, as two times of the clock."""


def minutes_behind(time: Text, did: Text) -> str:
    """The minutes without a unit that stand straight behind whole hours, as in ``1 h 30 cleaned``; empty for none."""
    found = _MINUTES_BEHIND.match(did)
    adjoining = time.single and time.at(len(time) + 1) == did.place
    return found[0] if found and adjoining and re.fullmatch(r"\d+\s?(?:h|hrs?|hours?)", time, re.I) else ""


def lone_clock(did: Text) -> Text:
    """A text that begins with a time of the clock, which says no hours of work, with a remark on what would.

    Several times are a course of things, which nobody means for hours.
    """
    found = _SINGLE_CLOCK.match(did)
    if found is None or len(_SINGLE_CLOCK.findall(did)) > 1:
        return did
    hours, minutes = map(int, found[0].split(":"))
    long = f"{hours} h {minutes} min" if minutes else f"{hours} h"
    return did.taken_as(str(did), f"{quoted(found[0])} kept in the text: for how long write “{long}”, or “from-to”")


def _rest(did: Text, end: int) -> Text:
    rest = did.cut(end)
    return rest.cut(1) if rest[:1] in (",", ";", ":") else rest
