"""Results as written: what was measured before and after the work."""

import re
from collections.abc import Mapping
from typing import Any

from pydantic_core import InitErrorDetails

from ..before_after import BEFORE_AFTER, Sided, sided
from ..line_items import body_and_remark
from ..line_values import value_at, words_of
from ..section import Section, form, from_mistake
from ..text import Entries, Text
from ..values import ANY_KINDS, AnyValue, Wording

_SIDES = {**BEFORE_AFTER, "was": "before", "now": "after", "sheet": "sheet"}
_HEAD = re.compile(r"(for|note)\s+", re.I)
_NO_VALUE = re.compile(rf"(?:{'|'.join(_SIDES)})\b[\s:]*(?=[^\s:])(?![^\W\d])", re.I)
"""A side with something behind it that is neither a value nor words: it is asked."""
_BY_ITSELF = re.compile(r"[-+~<>]?\s?[.\d][.,\d]*\Z")


class Result(Section):
    """``before 900 uV, after 140 uV, for 50 mW``, also ``900 uV before``; a value alone is the one after the work."""

    FORM = form(["before", "after", "for", "sheet", "note"], rest="note", remark="note")

    before: AnyValue | None = None
    after: AnyValue | None = None
    sheet: AnyValue | None = None
    for_: Wording | None = None
    note: Wording | None = None

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """Values with their side before or behind them; words behind a value, or in its place, are the note."""
        if not isinstance(data, Text):
            return super()._table(data, errors)
        (body,), remark = body_and_remark(data, None)
        found = sided(body, _SIDES, ANY_KINDS)
        if found.twice or not _alone(found) or any(_NO_VALUE.match(piece) for piece in found.left):
            return super()._table(data, errors)
        errors += [from_mistake(mistake) for mistake in found.mistakes]
        table: Entries = Entries(data.place, data)
        table.update({Text(key, value.place): value for key, value in found.values.items()})
        for piece in (*found.tails, *found.left):
            _add(table, piece)
        if remark:
            note = table.get(Text("note"))
            table[Text("note", remark.place)] = remark if note is None else note.and_then(remark)
        return table


def _alone(found: Sided) -> bool:
    """Whether a line can be read so; one value without a word is the one after the work.

    Before one that is after the work it is the one before: ``45 mV, now 4 mV``.
    """
    first = found.left[0] if found.left else None
    leads = first is not None and all(first.place < value.place for value in found.values.values())
    if first is None or not leads or "before" in found.values:
        return bool(found.values)
    words = words_of(first, strokes=False)
    value = value_at(first, words, 0, dict.fromkeys(ANY_KINDS, "after")) if words else None
    if value is None and not _BY_ITSELF.match(first):
        return bool(found.values)
    end = words[value.words - 1][1] if value else len(first)
    found.put("before" if "after" in found.values else "after", first.cut(0, end))
    found.left[:1] = [rest] if (rest := first.cut(end)) else []
    return True


def _add(table: Entries, piece: Text) -> None:
    """What stands beside the values: what they are for, or the note."""
    head = _HEAD.match(piece)
    key = Text(head[1].casefold() if head else "note", piece.place)
    text = piece.cut(head.end()) if head else piece.taken_as(piece, f"kept as a note: {piece}")
    before = table.get(key)
    table[key] = text if before is None else before.and_then(text)
