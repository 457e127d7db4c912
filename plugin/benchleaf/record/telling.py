"""The errors of a validation told as Problems, each at its place in the file and in words of our own."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from pydantic import ValidationError

from .problems import MOST_TOLD, Nearest, Problem
from .section import OURS, described
from .text import NOWHERE, Entries, LineColumn, Listing, Text, line_column_of


def problems_of(error: ValidationError, tree: Entries, file: str) -> list[Problem]:
    """Every error as a Problem at its place, in the order of the file, up to ``MOST_TOLD``.

    Where the reader had to leave lines out, what is missing is not told: it may have been written.
    """
    told = []
    for e in error.errors(include_url=False):
        words = e.get("ctx", {}) if e["type"] == OURS else _plain_words(e)
        if words["missing"] and not tree.whole:
            continue
        place = words["place"] or (e["input"].place if isinstance(e["input"], Text) else _traced(tree, e["loc"])[1])
        told.append((place, e["loc"], words))
    told.sort(key=lambda t: t[0])
    told = [t for t in told if not (t[2]["wanting"] and _has_slip(t[0], told))]
    return sorted(
        {
            Problem.at(file, place, _traced(tree, loc)[0], words["found"], words["expected"], _remedy(words["remedy"]))
            for place, loc, words in told[:MOST_TOLD]
        }
    )


def _has_slip(place: LineColumn, told: Iterable[tuple[LineColumn, object, Mapping[str, Any]]]) -> bool:
    """Whether something else is told of the line that begins here: it may be what the line lacks."""
    return any(not words["wanting"] and at[0] == place[0] and at >= place for at, _, words in told)


def _remedy(remedy: str | Nearest) -> str:
    return remedy.told() if isinstance(remedy, Nearest) else remedy


def _plain_words(error: Any) -> dict[str, Any]:
    """The library's own kinds of error in our words."""
    value = error["input"]
    expected = "another value"
    if error["type"] in ("dict_type", "mapping_type"):
        expected = "names and values, each on its own line, indented"
    if error["type"] in ("tuple_type", "list_type"):
        expected = "a list, each entry on its own line after “- ”"
    return {
        "found": described(value),
        "expected": expected,
        "remedy": "",
        "place": line_column_of(value),
        "missing": False,
        "wanting": False,
    }


def _traced(tree: Entries, location: tuple[int | str, ...]) -> tuple[str, LineColumn]:
    """The names on the way to a value, as written, and the place of the innermost thing on that way.

    A location also holds names of the model that nobody wrote. They are passed over, but for a last one: it is missing.
    """
    names: list[str] = []
    place: LineColumn = NOWHERE
    node: Any = tree
    for step, part in enumerate(location, 1):
        if isinstance(node, Entries) and isinstance(part, str):
            key = next((k for k in (*node, *node.empty) if k == part), None)
            if key is None:
                names += [part] if step == len(location) else []
                continue
            names.append(part)
            place, node = key.place, node.get(key)
        elif isinstance(node, Listing) and isinstance(part, int) and part < len(node):
            node = node[part]
            place = line_column_of(node) or place
        elif isinstance(part, str):
            names.append(part)
    return ".".join(names), place
