"""Alignment as written."""

from typing import Annotated

from ..section import Section, form
from ..values import AnyValue, Date, Frequency, Length, OneOrMore, Wording


class AlignmentStep(Section):
    """``1400 kHz, aerial trimmer for maximum, before 0.40 V, after 0.71 V``."""

    FORM = form(
        ["before", "after"], values={"frequency": "frequency", "length": "wavelength"}, rest="adjust", remark="note"
    )

    frequency: Frequency | None = None
    wavelength: Length | None = None
    adjust: Wording | None = None
    before: AnyValue | None = None
    after: AnyValue | None = None
    note: Wording | None = None


class Alignment(Section):
    """One alignment: how the generator was fed in, what was read, and the steps."""

    FORM = form(["date", "generator", "meter", "note"], values={"date": "date"}, rest="steps")

    date: Date | None = None
    generator: Wording | None = None
    meter: Wording | None = None
    steps: Annotated[tuple[AlignmentStep, ...], OneOrMore] = ()
    note: Wording | None = None
