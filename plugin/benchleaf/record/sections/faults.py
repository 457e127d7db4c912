"""The trail from complaint to cure, as written."""

from ..section import Section
from ..values import Date, Words


class Fault(Section):
    """One fault: what was complained of, what was found, what caused it, what cured it."""

    complaint: Words | None = None
    found: Words | None = None
    cause: Words | None = None
    cure: Words | None = None
    date: Date | None = None
    note: Words | None = None
