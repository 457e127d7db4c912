"""What a writer is told although a record is in order: what was kept as a note, and how a spelling was taken."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from .problems import quoted
from .quantities import Quantity
from .section import Section
from .text import NOWHERE, LineColumn, Text
from .values import Day


@dataclass(frozen=True, order=True, slots=True)
class Remark:
    """One thing said of a record that is no problem, at its line and column in ``file``."""

    file: str
    line: int
    column: int
    field: str
    said: str

    def __str__(self) -> str:
        field = f"{self.field}: " if self.field else ""
        return f"{self.file}:{self.line}:{self.column}: {field}remark: {self.said}"


def remarks_of(record: Section, file: str) -> list[Remark]:
    """Every remark on a record, each once, in the order of the file."""
    found = {Remark(file, *place, field, said) for field, place, said in _found(record, "")}
    return sorted(found)


def _found(value: Any, field: str) -> Iterator[tuple[str, LineColumn, str]]:
    if isinstance(value, Quantity):
        if value.remark:
            yield field, value.place or NOWHERE, f"{quoted(value.written)} {value.remark}"
    elif isinstance(value, Day):
        if value.remark:
            yield field, value.place or NOWHERE, value.remark
    elif isinstance(value, Text):
        yield from ((field, place, said) for place, said in value.remarks)
    elif isinstance(value, Section):
        hidden = type(value).PRIVATE
        for name, of in type(value).model_fields.items():
            if name not in hidden:
                at = field if name == type(value).OTHERS else f"{field}.{of.alias}".lstrip(".")
                yield from _found(getattr(value, name), at)
    elif isinstance(value, dict):
        for key, entry in value.items():
            yield from _found(key, field)
            yield from _found(entry, f"{field}.{key}")
    elif isinstance(value, tuple | list):
        for entry in value:
            yield from _found(entry, field)
