"""An entry read piece by piece: what of it can be read is kept, although something in it cannot.

Only a record that has been told its mistakes is read so: the pieces that are left out are those that were asked.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Any

from pydantic import ValidationError
from pydantic_core import InitErrorDetails, PydanticCustomError

from .forms import Mistake
from .text import Text, line_column_of

_left: ContextVar[set[int] | None] = ContextVar("left", default=None)
"""The lines on which something was left out; None where a mistake costs all that it stands in."""


@contextmanager
def piecemeal() -> Iterator[set[int]]:
    """Reads piece by piece within; the set fills with the lines on which something is left out."""
    lines: set[int] = set()
    before = _left.set(lines)
    try:
        yield lines
    finally:
        _left.reset(before)


def is_piecemeal() -> bool:
    """Whether what can be read of an entry with a mistake is to be kept."""
    return _left.get() is not None


def kept_without(errors: Iterable[PydanticCustomError | ValidationError | Mistake | InitErrorDetails | None]) -> bool:
    """Whether what was read is kept although there are ``errors``, whose lines are noted."""
    lines = _left.get()
    if lines is None:
        return False
    lines |= {line for error in errors for line in _lines_of(error)}
    return True


def noted(asked: Iterable[Text]) -> bool:
    """Whether pieces that are asked are left out, and their lines noted."""
    lines = _left.get()
    if lines is None:
        return False
    lines |= {piece.place[0] for piece in asked}
    return True


def values_kept(
    values: Mapping[str, Any],
    mistaken: list[InitErrorDetails],
    read: Callable[[Mapping[str, Any]], Any],
    *,
    of_line: bool,
    empty_too: bool,
) -> Any:
    """What ``read`` makes of those ``values`` that can be read. Raises ValidationError where nothing is left.

    ``mistaken`` are the mistakes found before, so that their lines are noted. A value in which something further in is
    mistaken, as one entry of a list, is left to those who know where that is written, unless all is ``of_line``.
    ``empty_too`` says that an entry of which nothing could be read still tells that something was there.
    """
    kept = dict(values)
    for _ in range(len(kept) + 1):
        try:
            found = read(kept)
        except ValidationError as error:
            told = error.errors(include_url=False)
            gone = {key for e in told if (key := _mistaken(kept, e, of_line=of_line)) is not None}
            if not gone or (len(gone) == len(kept) and not empty_too):
                raise
            kept_without([error])
            kept = {key: value for key, value in kept.items() if key not in gone}
        else:
            kept_without(mistaken)
            return found
    return read(kept)


def _mistaken(values: Mapping[str, Any], error: Any, *, of_line: bool) -> str | None:
    """The key of the value that an error is about; None where it is about something within, or about all of them."""
    location = error["loc"]
    if location:
        key = str(location[0])
        whole = of_line or len(location) == 1 or isinstance(values.get(key), Text)
        return key if key in values and whole and error["type"] != "missing" else None
    place = _place(error)
    return next((key for key, value in values.items() if place and line_column_of(value) == place), None)


def _place(error: Any) -> tuple[int, int] | None:
    kind = error["type"]
    context = kind.context if isinstance(kind, PydanticCustomError) else error.get("ctx")
    return (context or {}).get("place") or line_column_of(error.get("input"))


def _lines_of(error: Any) -> Iterator[int]:
    if isinstance(error, ValidationError):
        for e in error.errors(include_url=False):
            yield from _lines_of(e)
    elif isinstance(error, Mistake):
        yield error.text.place[0]
    elif isinstance(error, PydanticCustomError):
        if place := (error.context or {}).get("place"):
            yield place[0]
    elif error is not None and (place := _place(error)):
        yield place[0]
