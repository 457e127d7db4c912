"""What every chapter's findings share: how much one matters, and how findings are written out as JSON."""

from __future__ import annotations

import dataclasses
import datetime
import math
from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from .verdict import Verdict

DANGER, FAULT, NOTE = (verdict.severity for verdict in (Verdict.DANGER, Verdict.FAULT, Verdict.NOTE))
"""How much a finding matters, as a number: somebody can be hurt; the set or a part is out of order; worth knowing."""


def as_json(value: Any) -> Any:
    """A finding as plain JSON data: SI numbers as they are, ``None`` for what has no value, never NaN or infinity.

    Frozen dataclasses become objects in the order of their fields, without those whose metadata says ``json=False``.
    Raises TypeError for anything that has no place in a finding.
    """
    if value is None or isinstance(value, bool | int | str):
        return str(value) if isinstance(value, str) else value
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    if isinstance(value, datetime.date):
        return value.isoformat()
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {key: as_json(getattr(value, name)) for name, key in _shown(type(value))}
    if isinstance(value, Mapping):
        return {str(key): as_json(entry) for key, entry in value.items()}
    if isinstance(value, list | tuple | frozenset):
        return [as_json(entry) for entry in value]
    raise TypeError(f"a finding cannot hold a {type(value).__name__}")


@lru_cache(maxsize=1024)
def _shown(kind: type[Any]) -> tuple[tuple[str, str], ...]:
    """The fields of a frozen dataclass that JSON has, each with its key there."""
    return tuple((f.name, f.name.rstrip("_")) for f in dataclasses.fields(kind) if f.metadata.get("json", True))
