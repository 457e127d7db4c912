"""What the cache has kept, read back: as plain data of one known shape, or not at all."""

from __future__ import annotations

from collections.abc import Hashable
from functools import cache
from typing import Any, TypeVar, cast

T = TypeVar("T")


def read_as(kind: type[T], stored: bytes) -> T:
    """JSON as the data class, tuple or list ``kind``, each field of the type it is annotated with.

    Raises ValueError for anything else. Nothing is converted: text is no number, and a number no text.
    """
    made: T = _adapter(cast(Hashable, kind)).validate_json(stored, strict=True)
    return made


@cache
def _adapter(kind: Hashable) -> Any:
    from pydantic import TypeAdapter

    made: Any = TypeAdapter
    return made(kind)
