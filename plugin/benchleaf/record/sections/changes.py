"""Circuit changes that are neither repair nor line side, as written."""

from ..forms import Form
from ..section import Section, form
from ..values import Date, Wording
from .parts import Between, Component, Components


_ADDED = ("added", "fitted", "installed")


class Change(Section):
    """``add 0.1 uF 250 V film, across C12 b, why RF bypass of the B+ rail``."""

    FORM = form(
        ["add", "remove", "across", "between", "date", "why", "note"],
        values={"date": "date"},
        groups={"add": Component.FORM or Form()},
        synonyms=dict.fromkeys(_ADDED, "add"),
        remark="note",
    )
    SYNONYMS = dict.fromkeys(_ADDED, "add")

    add: Components = ()
    remove: Wording | None = None
    across: Wording | None = None
    between: Between | None = None
    date: Date | None = None
    why: Wording | None = None
    note: Wording | None = None
