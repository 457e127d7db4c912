"""What an editor is told of a value: pieces of the published schema.

They refuse nothing that the reader takes. Types stand behind conditions, so that an editor offers none of them as a
value (``true``, ``null``); a name with nothing behind it yet is no mistake.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

from pydantic.json_schema import JsonSchemaValue

TEXT_SCHEMA: dict[str, Any] = {"if": {"type": ["object", "array"]}, "then": {"type": ["string", "number", "boolean"]}}
"""What an editor may take a written value for: ``80`` and ``no`` are text to us, a number and a boolean to it."""

WRITTEN_SCHEMA: dict[str, Any] = {
    "if": {"type": ["object", "array", "null"]},
    "then": {"type": ["string", "number", "boolean"]},
}
"""A value that must be there."""

_TRUTHS = frozenset({"on", "off", "yes", "no"})
"""Words that an editor of YAML 1.1 takes for true and false."""


def one_or_more(schema: JsonSchemaValue) -> JsonSchemaValue:
    """The schema of one thing or a list of them."""
    return {"if": {"type": "array"}, "then": {"items": schema}, "else": schema}


def offered(words: Iterable[str]) -> JsonSchemaValue:
    """The schema of a choice that is read from many more words than these, which an editor offers."""
    return {"anyOf": [{"enum": list(words)}, TEXT_SCHEMA]}


def one_of_words(words: Iterable[str], others: Iterable[str]) -> JsonSchemaValue:
    """The schema of a choice: an editor offers ``words``, and takes ``others`` and any capitals as the reader does.

    The empty ``properties`` mean nothing for a text, and keep a language server from showing both halves as one.
    """
    choices, taken = list(words), [*words, *others]
    types = ["string", "boolean"] if _TRUTHS.intersection(taken) else "string"
    spelt = {"type": types, "pattern": spelt_anyhow(taken, but=choices)}
    return {"anyOf": [{"enum": choices}, {"properties": {}, "if": {"type": "null"}, "else": spelt}]}


def or_one_line(made: dict[str, Any]) -> dict[str, Any]:
    """A section of which all may be one line."""
    return {"anyOf": [made, {"type": "string"}]}


def may_be_one_line(made: dict[str, Any]) -> None:
    """The same put into the schema of a list that the reader makes of a line, and that no type of its own reads."""
    listed = dict(made)
    made.clear()
    made.update(or_one_line(listed))


def may_be_of_days(made: dict[str, Any]) -> None:
    """The same of a list whose entries may stand below days as names, which an editor cannot know."""
    listed = dict(made)
    made.clear()
    made.update({"anyOf": [listed, {"type": ["object", "string"]}, {"type": "array"}]})


def spelt_anyhow(texts: Iterable[str], *, but: Iterable[str] = ()) -> str:
    """A regular expression for texts with any capitals and any blanks, but for those in ``but`` as they stand."""
    exact = "|".join(map(_escaped, but))
    return f"^{f'(?!(?:{exact})$)' if exact else ''}\\s*(?:{'|'.join(map(_anyhow, texts))})\\s*$"


def _anyhow(text: str) -> str:
    letters = (f"[{c.upper()}{c.lower()}]" if c.upper() != c.lower() else _escaped(c) for c in text)
    return re.sub(" +", r"\\s+", "".join(letters))


def _escaped(text: str) -> str:
    """A text as it stands in a regular expression of any dialect."""
    return re.sub(r"[\\^$.|?*+()\[\]{}/]", r"\\\g<0>", text)
