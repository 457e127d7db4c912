"""Lines of a record made from its values: in the line form where that is read as the same, else name by name."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from pydantic import ValidationError
from pydantic_core import PydanticCustomError

from ..mapping import as_mapping
from ..section import Section
from ..text import Entries, Listing, Text

AsTyped = str | list[Any] | dict[str, Any]
"""A line, a list, or names and what stands under them."""
_PLAIN = re.compile(r"[A-Za-z0-9.<~µΩ](?:[\w .,;&/()+%×−<>=-]*[\w.%)+−-])?")
_NAME = re.compile(r"[A-Za-z0-9](?:[\w .&/()+−-]*[\w.)+−-])?")


def one_line(
    section: type[Section], fields: Mapping[str, AsTyped], head: Sequence[str] = (), plain: Sequence[str] = ()
) -> AsTyped:
    """A section's fields as a line: those of ``head`` with blanks between, those of ``plain`` without their names.

    Where that line would be read as anything else, it is names and values.
    """
    kept = {key: value for key, value in fields.items() if value}
    if any(not isinstance(value, str) for value in kept.values()):
        return kept
    first = " ".join(str(kept[key]) for key in head if key in kept)
    behind = [str(kept[key]) for key in plain if key in kept]
    named = [f"{key} {value}" for key, value in kept.items() if key not in (*head, *plain)]
    line = ", ".join(text for text in (first, *behind, *named) if text)
    return line if line and _reads(section, line) == _reads(section, kept) is not None else kept


def _reads(section: type[Section], said: AsTyped) -> dict[str, Any] | None:
    try:
        return as_mapping(section.model_validate(as_written(said)))
    except (ValidationError, PydanticCustomError):
        return None


def as_written(said: AsTyped) -> Any:
    """The same as the reader of a file would hand it on."""
    if isinstance(said, str):
        return Text(said)
    if isinstance(said, list):
        listing = Listing()
        listing.extend(as_written(entry) for entry in said)
        return listing
    entries = Entries()
    entries.update({Text(key): as_written(value) for key, value in said.items()})
    return entries


def as_lines(said: Mapping[str, AsTyped], indent: str = "") -> Iterator[str]:
    """Names and values as lines of YAML; what is empty is left out."""
    for key, value in said.items():
        name = key if _NAME.fullmatch(key) else json.dumps(key, ensure_ascii=False)
        if isinstance(value, str) and value:
            yield f"{indent}{name}: {_scalar(value)}"
        elif value:
            yield f"{indent}{name}:"
            yield from as_lines(value, f"{indent}  ") if isinstance(value, dict) else _rows(value, f"{indent}  ")


def _rows(values: Sequence[Any], indent: str) -> Iterator[str]:
    for value in values:
        if isinstance(value, dict):
            for number, line in enumerate(as_lines(value)):
                yield f"{indent}{'- ' if number == 0 else '  '}{line}"
        elif value:
            yield f"{indent}- {_scalar(str(value))}"


def _scalar(text: str) -> str:
    """Text as YAML on one line: as it is where it is plain beyond doubt, else in quotes."""
    return text if _PLAIN.fullmatch(text) else json.dumps(text, ensure_ascii=False)
