"""The trail from complaint to cure, as written."""

from ..section import Section
from ..values import Date, Wording


class Fault(Section):
    """One fault: what was complained of, what was found, what caused it, what cured it."""

    complaint: Wording | None = None
    found: Wording | None = None
    cause: Wording | None = None
    cure: Wording | None = None
    date: Date | None = None
    note: Wording | None = None
