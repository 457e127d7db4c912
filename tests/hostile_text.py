"""Records whose texts and names have words in them that would do harm as markup or as a template."""

from __future__ import annotations

import random
from collections.abc import Mapping
from typing import Any

from benchleaf.record.model import Record
from benchleaf.record.text import Text

HOSTILE = """</td></table></p><script>alert(1)</script>"'><img src=x onerror=alert(1)> {{ 7*'ax' }} {% x %}"""

KNOWN_WORDS = {("Record", "power"), ("Record", "chassis")}


def with_hostile_text(record: Record, chance: random.Random) -> Record:
    """The record with hostile words after about half its texts and names.

    They are drawn field by field or, so that what belongs together still does, text by text. The kind of supply and
    what is said of the chassis stay: no other word than the known ones can be read there.
    """
    drawn: dict[Any, bool] = {}
    by_field = chance.random() < 0.5

    def changed(value: Any, owner: str, field: str) -> Any:
        if (owner, field) in KNOWN_WORDS:
            return value
        if isinstance(value, Text):
            hostile = drawn.setdefault((owner, field) if by_field else str(value), chance.random() < 0.5)
            return Text(f"{value} {HOSTILE}") if hostile else value
        if hasattr(type(value), "model_fields"):
            name = type(value).__name__
            return value.model_copy(update={f: changed(getattr(value, f), name, f) for f in type(value).model_fields})
        if isinstance(value, Mapping):
            return {changed(k, owner, f"{field}: name"): changed(v, owner, field) for k, v in value.items()}
        if isinstance(value, tuple):
            return tuple(changed(entry, owner, field) for entry in value)
        return value

    return changed(record, "", "")  # type: ignore[no-any-return]
