"""The one rule by which a date is read, wherever it stands."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterable, Mapping

from .manner import DAY_FIRST, MONTH_FIRST, SLASH_DATES

_MONTHS: Mapping[str, int] = {
    name: number
    for number, names in enumerate(
        (
            "january jan januar jänner januari enero janvier ene",
            "february feb februar februari febrero février febr",
            "march mar märz mrz maart mrt marzo mars",
            "april apr avril abril abr",
            "may mai mei mayo",
            "june jun juni junio juin",
            "july jul juli julio juillet",
            "august aug augustus agosto août ago",
            "september sept sep septiembre septembre set",
            "october oct oktober okt octubre octobre",
            "november nov noviembre novembre",
            "december dec dezember dez diciembre décembre dic",
        ),
        1,
    )
    for name in names.split()
}
"""The months in the languages whose sets are repaired most; a word that is none is never taken for one."""

_MONTH = "|".join(sorted(map(re.escape, _MONTHS), key=len, reverse=True))
_SHORT_YEAR = r"['’‘]?\s?\d{2}"
"""A year without its century, with the sign for what was left out or without: ``'24``."""
_YEAR = rf"(?P<y>\d{{4}}|{_SHORT_YEAR})"
_DAY = r"(?P<d>\d{1,2})(?:st|nd|rd|th|\.)?"
_YEAR_FIRST = re.compile(r"(?P<y>\d{4})([-./])(?P<m>\d{1,2})\2(?P<d>\d{1,2})\Z", re.ASCII)
_DOTTED = re.compile(rf"(?P<d>\d{{1,2}})\.\s?(?P<m>\d{{1,2}})\.\s?(?P<y>\d{{4}}|{_SHORT_YEAR})\Z", re.ASCII)
_SLASHED = re.compile(rf"(?P<a>\d{{1,2}})([-/])(?P<b>\d{{1,2}})\2(?P<y>\d{{4}}|{_SHORT_YEAR})\Z", re.ASCII)
_NORDIC = re.compile(rf"(?P<d>\d{{1,2}})/(?P<m>\d{{1,2}})\s?[-–]\s?(?P<y>\d{{4}}|{_SHORT_YEAR})\Z", re.ASCII)
"""Day, stroke, month, hyphen, year, ``14/3-2025``, as Danes and Norwegians write them."""
_BLANK_YEAR = re.compile(r"(?P<a>\d{1,2})/(?P<b>\d{1,2})\s(?P<y>20\d\d)\Z", re.ASCII)
"""A blank before the year, ``15/3 2025``: day and month as between two strokes."""
_THREAD = re.compile(r"[1357]/[248]-\d\d\Z", re.ASCII)
"""A screw by its inches and threads, ``1/4-20``."""
_NAMED = re.compile(
    rf"(?:{_DAY}(?:\s+(?:of|de|den))?[\s-]*(?P<month>{_MONTH})\.?(?:\s+de)?,?[\s-]*{_YEAR}"
    rf"|(?P<month2>{_MONTH})\.?\s*(?P<d2>\d{{1,2}})(?:st|nd|rd|th)?(?:,?\s+|/)(?P<y2>\d{{4}}|{_SHORT_YEAR}))\Z",
    re.I,
)
_MONTH_AND_YEAR = re.compile(rf"(?P<month>{_MONTH})\.?,?\s+(?P<y>(?:19|20)\d\d)", re.I)
_WEEKDAY = re.compile(
    r"(?:mon|tues?|wed(?:nes)?|thur?s?|fri|sat(?:ur)?|sun)(?:day)?\.?\s+(?=[\w'])"
    r"|(?:mo|di|mi|do|fr|sa|so|ma|wo|vr|za|zo)\.?\s+(?=\d)",
    re.I,
)
"""The day of the week before a date says nothing that the date does not."""
_SEVERAL_DAYS = re.compile(
    r"\d{1,2}\s?[-–]\s?\d{1,2}([/.])\d{1,2}\1\d{2,4}\Z|\d{1,2}/\d{1,2}(?:/\d{2,4})?\s?[-–]\s?\d{1,2}/\d{1,2}(?:/\d{2,4})?\Z|\d{1,2}\.(?:\d{1,2}\.)?\s?[-–]\s?\d{1,2}\.\d{1,2}\.(?:\d{2,4})?\Z",
    re.ASCII,
)
_BEGUN_BY_DIGITS = (_YEAR_FIRST, _DOTTED, _SLASHED, _NORDIC, _BLANK_YEAR, _NAMED, _SEVERAL_DAYS)
"""Every form of a date; what begins with a letter can only be the one that names its month."""
_DIGIT = re.compile(r"\d")
_LAST = re.compile(
    r"(?<![,:;])(?<!\b(?:on|of|by))(?<!\b(?:from|till))(?<!\b(?:since|until|after|about))(?<!\bbefore)\s+"
    r"(?P<day>\d{1,4}([-/.])\d{1,2}\2['’]?\d{2,4}|\d{1,2}/\d{1,2}-\d{4})\s*\Z",
    re.ASCII,
)
_ENDS = r"(?=\s*(?:[,:;]|\Z))"
_WITHOUT_YEAR = (
    re.compile(rf"(?P<a>\d{{1,2}})/(?P<b>\d{{1,2}}){_ENDS}", re.ASCII),
    re.compile(r"(?P<d>\d{1,2})\.\s?(?P<m>\d{1,2})\.(?!\s?\d)(?=\s|[,:;]|\Z)", re.ASCII),
    re.compile(rf"{_DAY}\s+(?P<month>{_MONTH})\.?{_ENDS}", re.I),
    re.compile(rf"(?P<month>{_MONTH})\.?\s+(?P<d>\d{{1,2}})(?:st|nd|rd|th)?{_ENDS}", re.I),
)
"""A day and a month alone. With a stroke they end at a comma, a colon or the line's end: ``1/2 h`` is none."""
_BEFORE_WORDS = re.compile(
    r"\d{1,2}/(?!(?:[23468]|16|32|64)\b)\d{1,2}(?=\s+(?!(?:watts?|turns?|inch|inches|hours?|hrs|mins?|minutes?)\b)[^\W\d]{3})",
    re.I,
)
"""A day that a blank parts from what was done; what may be a part of an hour, an inch or a watt is none."""
_BEFORE_YEAR = re.compile(rf"\b(?:{_MONTH})\.?\s+\d{{1,2}}(?:st|nd|rd|th)?\Z", re.I)
_IS_YEAR = re.compile(r"\s*(?:19|20)\d\d\b")
_STARTS = re.compile(rf"\d|(?:{_MONTH})\b", re.I)
_MOST_DAYS, _MOST_MONTHS = 31, 12
_LEAP_YEAR = 2000
_LONGEST = 40
_MOST_WORDS = 4
_MOST_YEARS = 100


ONE_WAY_ONLY = "a date that is read one way only"
"""What is expected where month and day may change places: what a site can settle."""


class UnclearDayError(ValueError):
    """A text that looks like a date and is none, or could be two; ``asked`` says what to write."""

    def __init__(self, expected: str, remedy: str) -> None:
        super().__init__(expected, remedy)
        self.expected = expected
        self.remedy = remedy


def may_start_a_date(text: str, at: int) -> bool:
    """Whether a date may begin at a character of a text."""
    return _STARTS.match(text, at) is not None or _WEEKDAY.match(text, at) is not None


def comma_in_date(text: str, comma: int) -> bool:
    """Whether a comma stands before the year of a date: ``April 19, 2026``."""
    return bool(_IS_YEAR.match(text, comma + 1) and _BEFORE_YEAR.search(text[max(0, comma - _LONGEST) : comma]))


def looks_like_a_date(text: str) -> bool:
    """Whether a text is written as dates are, be it one or not."""
    if not _DIGIT.search(text):
        return False
    flat = _without_weekday(text.strip())
    if len(flat) > _LONGEST or _THREAD.match(flat):
        return False
    return any(form.match(flat) for form in (_BEGUN_BY_DIGITS if flat[:1].isdecimal() else (_NAMED,)))


def _without_weekday(text: str) -> str:
    found = _WEEKDAY.match(text)
    return text[found.end() :] if found else text


def day_at_the_end(text: str) -> re.Match[str] | None:
    """The date in figures that a text ends with, with a blank before it; its ``day`` is the date itself."""
    found = _LAST.search(text)
    return found if found and looks_like_a_date(found["day"]) else None


def lacks_its_year(text: str) -> bool:
    """Whether a text is a day and a month without a year."""
    flat = _without_weekday(" ".join(text.split()))
    found = _month_and_day(flat)
    return found is not None and found.end() == len(flat)


def opening_day(text: str, *, with_year: bool) -> int:
    """Where the day ends that a text begins with, 0 for none; one ``with_year`` too, where a blank ends it."""
    weekday = len(text) - len(_without_weekday(text))
    if found := _month_and_day(text[weekday:]):
        return weekday + found.end()
    if with_year and (found := _BEFORE_WORDS.match(text, weekday)):
        return found.end()
    words = list(re.finditer(r"\S+", text[: 2 * _LONGEST]))[:_MOST_WORDS] if with_year else []
    ends = [word.end() for word in words if looks_like_a_date(text[: word.end()])]
    return ends[-1] if ends else 0


def _month_and_day(text: str) -> re.Match[str] | None:
    found = next((match for form in _WITHOUT_YEAR if (match := form.match(text))), None)
    return None if found and text[found.end() :][:1] == "," and _IS_YEAR.match(text, found.end() + 1) else found


def read_date(
    written: str, slash_dates: str = "", among: tuple[datetime.date, datetime.date] | None = None
) -> datetime.date:
    """The day a text means. Raises UnclearDayError.

    ISO 8601 and a named month say which number is which; dots part day, month and year in this order, and so do a
    stroke and a hyphen behind it (``14/3-2025``); slashes alone and hyphens alone with the year behind them are read
    where only one order makes a date, or by what the site has settled (``slash_dates``). A year of two digits is of
    this century: what a record dates is the work on the set. Without a year it is read where a day and month come once
    from the first to the last day of the record (``among``).
    """
    flat = _without_weekday(" ".join(written.split()))
    if _SEVERAL_DAYS.match(flat):
        last = re.split(r"\s?[-–]\s?", flat)[-1]
        raise UnclearDayError("one day", f"write the first day with its year, and “to {last}” behind it in words")
    if match := _YEAR_FIRST.match(flat) or _DOTTED.match(flat) or _NORDIC.match(flat):
        return _day(_year(match["y"]), int(match["m"]), int(match["d"]))
    if match := _SLASHED.match(flat) or _BLANK_YEAR.match(flat):
        return _slashed(int(match["a"]), int(match["b"]), _year(match["y"]), slash_dates)
    if match := _NAMED.match(flat):
        month = _MONTHS[(match["month"] or match["month2"]).casefold()]
        return _day(_year(match["y"] or match["y2"]), month, int(match["d"] or match["d2"]))
    if lacks_its_year(flat):
        return _in_the_only_year(_month_and_day(flat), slash_dates, among)
    if month_alone := _MONTH_AND_YEAR.fullmatch(flat):
        named = f"{month_alone['y']}-{_MONTHS[month_alone['month'].casefold()]:02}"
        raise UnclearDayError("a day", f"write {named}-… with the day, or {written.strip()} in words behind “note”")
    raise UnclearDayError("a date such as 2026-03-28", "write year, month and day with hyphens")


def _year(written: str) -> int:
    return int(written.lstrip("'’‘ "))


def _in_the_only_year(
    found: re.Match[str] | None, slash_dates: str, among: tuple[datetime.date, datetime.date] | None
) -> datetime.date:
    named = found.groupdict() if found else {}
    # A leap year, so that any day of a month is one; the order of the two is asked as with a year.
    if named.get("a"):
        day = _slashed(int(named["a"]), int(named["b"]), _LEAP_YEAR, slash_dates, year_known=False)
    else:
        month = _MONTHS[named["month"].casefold()] if named.get("month") else int(named["m"])
        day = _day(_LEAP_YEAR, month, int(named["d"]))
    first, last = among or (day, day)
    years = range(first.year, min(last.year, first.year + _MOST_YEARS) + 1) if among else range(0)
    days = [one for year in years if (one := _day_or_none(year, day)) and first <= one <= last]
    if len(days) == 1:
        return days[0]
    readings = " or ".join(one.isoformat() for one in days[:2]) or f"it as year-{day:%m-%d}"
    raise UnclearDayError("a day with its year", f"write {readings}")


def _day_or_none(year: int, day: datetime.date) -> datetime.date | None:
    try:
        return day.replace(year=year)
    except ValueError:
        return None


def _slashed(first: int, second: int, year: int, slash_dates: str, *, year_known: bool = True) -> datetime.date:
    if slash_dates in (MONTH_FIRST, DAY_FIRST):
        month, day = (first, second) if slash_dates == MONTH_FIRST else (second, first)
        return _day(year, month, day)
    orders = {(m, d) for m, d in ((first, second), (second, first)) if m <= _MOST_MONTHS and d <= _MOST_DAYS}
    if len(orders) == 2:
        days = [_day(year, month, day) for month, day in sorted(orders)]
        readings = " or ".join(day.isoformat() if year_known else f"year-{day:%m-%d}" for day in days)
        raise UnclearDayError(ONE_WAY_ONLY, f"write {readings}")
    if not orders:
        raise UnclearDayError("a day that exists", "check month and day")
    return _day(year, *orders.pop())


def order_told(written: str) -> str:
    """Which number a date with its year puts first, where only one order makes it a date; empty for any other text."""
    flat = _without_weekday(" ".join(written.split()))
    if _NORDIC.match(flat):
        return DAY_FIRST
    match = _SLASHED.match(flat) or _BLANK_YEAR.match(flat)
    if not match or int(match["a"]) == int(match["b"]):
        return ""
    first, second = int(match["a"]), int(match["b"])
    if _MOST_MONTHS < second <= _MOST_DAYS and 1 <= first <= _MOST_MONTHS:
        return MONTH_FIRST
    return DAY_FIRST if _MOST_MONTHS < first <= _MOST_DAYS and 1 <= second <= _MOST_MONTHS else ""


def order_between(dates: Iterable[str], first: str, last: str) -> tuple[str, ...]:
    """The order in which alone dates that leave it open lie from one day to another, or none.

    Both days are read by themselves, and neither names its month in the other order: who writes ``March 9, 2026`` does
    not put the day first elsewhere.
    """
    try:
        ends = read_date(first), read_date(last)
    except UnclearDayError:
        return ()
    named = {order for end in (first, last) if (order := _order_of_named(end))}
    left_open = [written for written in dates if leaves_its_order_open(written)]
    within = [order for order in SLASH_DATES if all(ends[0] <= read_date(one, order) <= ends[1] for one in left_open)]
    return (within[0],) if left_open and len(within) == 1 and named <= {*within} else ()


def _order_of_named(written: str) -> str:
    match = _NAMED.match(_without_weekday(" ".join(written.split())))
    return "" if match is None else DAY_FIRST if match["month"] else MONTH_FIRST


def leaves_its_order_open(written: str) -> bool:
    """Whether a text is a date of which either number may be the month."""
    try:
        read_date(written)
    except UnclearDayError as question:
        return question.expected == ONE_WAY_ONLY
    return False


def _day(year: int, month: int, day: int) -> datetime.date:
    try:
        return datetime.date(year + 2000 if year < 100 else year, month, day)
    except ValueError:
        raise UnclearDayError("a day that exists", "check month and day") from None
