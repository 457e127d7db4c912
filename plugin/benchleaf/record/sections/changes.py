"""Circuit changes that are neither repair nor line side, as written."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from pydantic_core import InitErrorDetails

from ..forms import Form
from ..section import Section, form
from ..text import Text
from ..trade_words import CONDITIONS
from ..values import Date, Wording
from ..whole_words import reason_apart, words_of_form
from .parts import Between, Component, Components

_ADDED = ("added", "fitted", "installed")
_COMPONENT = Component.FORM or Form()
_NEW = replace(
    _COMPONENT, words={word: key for word, key in _COMPONENT.words.items() if CONDITIONS.get(word) != "none"}
)
"""What is added is there: ``none originally`` is said of what was before it."""


class Change(Section):
    """``add 0.1 uF 250 V film, across C12 b, why RF bypass of the B+ rail``."""

    FORM = form(
        ["add", "remove", "across", "between", "date", "why", "note"],
        values={"date": "date"},
        groups={"add": _NEW},
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

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """The reason is all that is said behind ``why``, with its commas."""
        why = None
        if isinstance(data, Text):
            data, why = reason_apart(data, words_of_form(cls.FORM))
        table = super()._table(data, errors)
        return table if why is None or table is None else {**table, Text("why", why.place): why}
