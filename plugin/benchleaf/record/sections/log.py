"""The work log as written."""

import re
from collections.abc import Mapping
from typing import Any

from pydantic_core import InitErrorDetails

from ..section import Section, form
from ..text import Entries, Text
from ..values import Date, Duration, Wording

_HOURS_BEHIND = re.compile(
    r"(?P<did>.*?(?P<last>[^\W\d]+)[^\w]*)\s(?P<time>[\d.,½¼¾]+\s?(?:h|hrs?|hours?|mins?|minutes?))\.?", re.I | re.S
)
_HOURS_AND_MINUTES = re.compile(r"(?P<hours>\d{1,2})\s?[hu]\s?(?P<minutes>[0-5]\d)(?=[\s,;]|$)", re.I)
_HOURS_ELSEWHERE = re.compile(r"(?P<hours>\d[\d.,]*)\s?(?:u|uur|uren|std|stunden?)\.?(?=[\s,;]|$)", re.I)
"""Hours as a Dutch or German bench writes them: ``2 u``, ``1,5 Std.``."""
_NOT_OF_WORK = re.compile(
    r"for|after|on|in|within|under|over|every|each|about|until|by|than|last|next|another|further"
    r"|play\w*|runs?|ran|running|soak\w*|burn\w*|warm\w*",
    re.I,
)
"""Words behind which hours are not those of the work: ``left on for 3 h``, ``played 8 h``."""


class LogEntry(Section):
    """``2026-03-01, 3 h, replaced the paper capacitors one at a time``."""

    FORM = form(["by"], values={"date": "date", "duration": "time"}, rest="did")

    date: Date | None = None
    time: Duration | None = None
    by: Wording | None = None
    did: Wording | None = None

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """Hours that end what was done are how long it took: ``recapped 3h``; ``1h30`` before it is too."""
        table = super()._table(data, errors)
        did = table.get(Text("did")) if isinstance(table, Entries) and Text("time") not in table else None
        if not isinstance(table, Entries) or not isinstance(did, Text):
            return table
        if begins := _HOURS_AND_MINUTES.match(did) or _HOURS_ELSEWHERE.match(did):
            time, rest = did.cut(0, begins.end()), did.cut(begins.end())
            minutes = begins.groupdict().get("minutes")
            table[Text("time", time.place)] = time.taken_as(
                f"{begins['hours']} h" + (f" {minutes} min" if minutes else "")
            )
            del table[Text("did")]
            if rest := rest.cut(1) if rest[:1] in (",", ";") else rest:
                table[Text("did", rest.place)] = rest
            return table
        found = _HOURS_BEHIND.fullmatch(did)
        if found is None or _NOT_OF_WORK.fullmatch(found["last"]):
            return table
        time, rest = did.cut(*found.span("time")), did.cut(0, found.end("did"))
        table[Text("time", time.place)] = time
        table[Text("did", rest.place)] = rest.taken_as(rest.rstrip(" ,;"), f"“{time}” read as how long it took")
        return table
