"""What a writer is told although a record is in order: what was kept as a note, and how a spelling was taken."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

from .kinds.of_parts import OF_OLD_SHEETS
from .millions import IN_MILLIONS
from .problems import quoted
from .quantities import Quantity
from .section import Section
from .text import NOWHERE, LineColumn, Text
from .values import Day

_MOST_ALIKE = 3
"""Remarks of one kind that are told each by itself: more hide the ones that matter."""
_KEPT = "kept as a note: "
_READ = re.compile(r"(?P<what>“[^”]*”) (?P<how>read as .*)")


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


def folded(remarks: Iterable[Remark]) -> list[Remark]:
    """Remarks as they are told: those of one kind in one, with its lines, where a file has more than three."""
    kinds: dict[tuple[str, str], list[Remark]] = {}
    for remark in remarks:
        kinds.setdefault((remark.file, _kind(remark.said)[0]), []).append(remark)
    told: list[Remark] = []
    for (file, kind), alike in kinds.items():
        if len(alike) <= (_MOST_ALIKE if kind not in (OF_OLD_SHEETS, IN_MILLIONS) else 1):
            told += alike
            continue
        where = ", ".join(f"line {one.line} {_kind(one.said)[1]}".rstrip() for one in alike)
        told.append(Remark(file, alike[0].line, alike[0].column, "", f"{kind}: {where}"))
    return sorted(told)


def _kind(said: str) -> tuple[str, str]:
    """What sort of remark it is, and what it is about in the words that were typed."""
    if said.startswith(_KEPT):
        return _KEPT.rstrip(" :"), f"“{said.removeprefix(_KEPT)}”"
    read = _READ.fullmatch(said)
    return (read["how"], read["what"]) if read else (said, "")


@cache
def _shown(section: type[Section]) -> tuple[tuple[str, str], ...]:
    """The fields of a section that are no private ones, each with its key; the one for all other keys has none."""
    fields = section.model_fields.items()
    return tuple((n, "" if n == section.OTHERS else str(f.alias)) for n, f in fields if n not in section.PRIVATE)


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
        for name, key in _shown(type(value)):
            if (inside := getattr(value, name)) is not None:
                yield from _found(inside, f"{field}.{key}".lstrip(".") if key else field)
    elif isinstance(value, dict):
        for key, entry in value.items():
            yield from _found(key, field)
            yield from _found(entry, f"{field}.{key}")
    elif isinstance(value, tuple | list):
        for entry in value:
            yield from _found(entry, field)
