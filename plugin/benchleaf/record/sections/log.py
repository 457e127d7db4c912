"""The work log as written."""

from ..section import Section, form
from ..values import Date, Duration, Wording


class LogEntry(Section):
    """``2026-03-01, 3 h, replaced the paper capacitors one at a time``."""

    FORM = form(["by"], values={"date": "date", "duration": "time"}, rest="did")

    date: Date | None = None
    time: Duration | None = None
    by: Wording | None = None
    did: Wording | None = None
