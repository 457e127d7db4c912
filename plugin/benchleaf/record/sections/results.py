"""Results as written: what was measured before and after the work."""

from ..section import Section, form
from ..values import AnyValue, Wording


class Result(Section):
    """``before 900 uV, after 140 uV, for 50 mW``."""

    FORM = form(["before", "after", "for", "sheet", "note"], rest="note", remark="note")

    before: AnyValue | None = None
    after: AnyValue | None = None
    sheet: AnyValue | None = None
    for_: Wording | None = None
    note: Wording | None = None
