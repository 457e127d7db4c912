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
        """Hours that end what was done are how long it took: ``recapped 3h``."""
        table = super()._table(data, errors)
        did = table.get(Text("did")) if isinstance(table, Entries) and Text("time") not in table else None
        if not isinstance(table, Entries) or not isinstance(did, Text):
            return table
        found = _HOURS_BEHIND.fullmatch(did)
        if found is None or _NOT_OF_WORK.fullmatch(found["last"]):
            return table
        time, rest = did.cut(*found.span("time")), did.cut(0, found.end("did"))
        table[Text("time", time.place)] = time
        table[Text("did", rest.place)] = rest.taken_as(rest.rstrip(" ,;"), f"“{time}” read as how long it took")
        return table
