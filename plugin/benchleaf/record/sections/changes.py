"""Circuit changes that are neither repair nor line side, as written."""

from ..forms import Form
from ..section import Section, form
from ..values import Date, Words
from .parts import Between, Component, Components


class Change(Section):
    """``add 0.1 uF 250 V film, across C12 b, why RF bypass of the B+ rail``."""

    FORM = form(
        ["add", "remove", "across", "between", "date", "why", "note"],
        values={"date": "date"},
        groups={"add": Component.FORM or Form()},
        remark="note",
    )

    add: Components = ()
    remove: Words | None = None
    across: Words | None = None
    between: Between | None = None
    date: Date | None = None
    why: Words | None = None
    note: Words | None = None
