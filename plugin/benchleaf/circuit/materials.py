"""Materials that harm, by what a record names: each with what to do and not to do, in ``materials.csv``."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..record.mapping import as_mapping
from .in_place import in_place

if TYPE_CHECKING:
    from ..record.model import Record
    from ..tubes import Tube
    from .listed import Listed
    from .rectifier import DryRectifier

_NOT_SEARCHED = frozenset({"maker", "model", "papers", "summary", "advice", "by"})
_DEEPEST = 12
_DENIED_BEFORE = re.compile(r"\b(?:no|not|never|without|free of|nor)\b[^.,;:\n]{0,20}\Z", re.I)
_DENIED_BEHIND = re.compile(r"[:,]?\s+(?:nothing|none|not (?:there|found|fitted))\b", re.I)


@dataclass(frozen=True, slots=True)
class Material:
    """One material, the ``words`` that name it in small letters, the pattern of them, and its caution.

    ``in_its_part`` where it leaves the set with its part.
    """

    name: str
    words: tuple[str, ...]
    named_by: re.Pattern[str]
    in_its_part: bool
    caution: str


@cache
def _materials() -> tuple[Material, ...]:
    with Path(__file__).with_name("materials.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return tuple(
        Material(
            row["material"],
            tuple(word.casefold() for word in words),
            re.compile(rf"(?<!\w)(?:{'|'.join(map(re.escape, words))})(?!\w)", re.I),
            bool(row["in its part alone"]),
            row["caution"],
        )
        for row in rows
        if (words := [word.strip() for word in row["named by"].split(";")])
    )


def materials_of(
    record: Record, tubes: Mapping[str, Tube], dry_rectifier: DryRectifier | None, components: Iterable[Listed]
) -> tuple[Material, ...]:
    """The materials that the record names, or that a part or tube of it holds, in the order of the table.

    One that is in its part alone went with it, whatever else of the record still tells of that part.
    """
    written = as_mapping(record)
    said = "\n".join(_texts({key: value for key, value in written.items() if key not in _NOT_SEARCHED}))
    if any("mercury" in (tube.role or "") for tube in tubes.values()):
        said += "\nmercury"
    if dry_rectifier and dry_rectifier.type == "selenium":
        said += "\nselenium"
    folded = said.casefold().replace("ı", "i")  # a pattern without regard to capitals takes the Turkish i for one too
    told = (material for material in _materials() if any(word in folded for word in material.words))
    named = (material for material in told if any(map(_is_there, material.named_by.finditer(said))))
    return tuple(one for one in named if not (one.in_its_part and _is_out(one, components)))


def _is_out(material: Material, components: Iterable[Listed]) -> bool:
    """Whether the parts that held a material were all taken out or replaced, and none that is in now holds it."""
    held, holds = False, False
    for one in components:
        old = one.piece.was
        held |= old is not None and bool(material.named_by.search(old.typed))
        holds |= bool(material.named_by.search(in_place(one, "now").seen.typed))
    return held and not holds


def _is_there(named: re.Match[str]) -> bool:
    """Whether a material is named as there: not “no asbestos”, nor “selenium: nothing”."""
    return not (_DENIED_BEFORE.search(named.string[: named.start()]) or _DENIED_BEHIND.match(named.string, named.end()))


def _texts(node: Any, depth: int = 0) -> Iterator[str]:
    """Every text of a record, names among them."""
    if isinstance(node, str):
        yield node
    elif depth < _DEEPEST and isinstance(node, dict):
        for key, value in node.items():
            yield str(key)
            yield from _texts(value, depth + 1)
    elif depth < _DEEPEST and isinstance(node, list):
        for value in node:
            yield from _texts(value, depth + 1)
