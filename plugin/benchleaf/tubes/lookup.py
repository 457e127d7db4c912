"""From a designation as people write it to a tube of the table."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache, lru_cache
from typing import cast

from benchleaf.tubes.build_tube import tube_of
from benchleaf.tubes.tables import name_rows, type_rows
from benchleaf.tubes.tube import AskedAs, Tube

_AMERICAN = re.compile(r"(\d{1,3}[A-Z]{1,2}\d{1,2})([A-Z]*)")
_MAKERS_PREFIX = re.compile(r"(?:UX|CX|UY|CY|UV|C)(\d{3}[A-Z]?)")
LONGEST_DESIGNATION = 24
"""No designation is longer: a longer word is not looked up."""

_GLASS_SUFFIX = re.compile(r"M?G|G[ABCXY]|GT[ABXYW]?|WGT?[AB]?")
_OTHER_SUFFIX = re.compile(r"[ABCSXY]|W[ABXY]?")


def squeezed(written: str) -> str:
    """Capitals without spaces, hyphens, dots and a leading `type` or `#`: `6v6-gt` is `6V6GT`."""
    text = re.sub(r"[\s.\-–_#]+", "", written.upper())
    return text.removeprefix("TYPE")


@cache
def _by_squeezed_name() -> dict[str, tuple[str, AskedAs]]:
    names: dict[str, tuple[str, AskedAs]] = {
        squeezed(name): (row["type"], cast(AskedAs, row["relation"])) for name, row in name_rows().items()
    }
    return names | {squeezed(type_): (type_, "type") for type_ in type_rows()}


@cache
def _by_stem() -> dict[str, tuple[str, ...]]:
    """American number without its suffix to the table's types that share it, the plain one first."""
    stems: dict[str, list[str]] = {}
    for name, (type_, _) in _by_squeezed_name().items():
        american = _AMERICAN.fullmatch(name)
        if american:
            stems.setdefault(american[1], []).append(type_)
    return {stem: tuple(dict.fromkeys(sorted(types, key=len))) for stem, types in stems.items()}


def _versions(name: str) -> Iterator[tuple[str, AskedAs]]:
    """Types that differ from the written one by bulb or a letter of improvement only.

    A glass suffix (G, GT …) was given to octal tubes only, so it never leads to a type of another base.
    """
    american = _AMERICAN.fullmatch(name)
    if american is None:
        return
    stem, suffix = american.groups()
    for type_ in _by_stem().get(stem, ()):
        octal = type_rows()[type_]["base"] == "octal"
        glass = octal and _GLASS_SUFFIX.fullmatch(suffix)
        if not suffix or glass or _OTHER_SUFFIX.fullmatch(suffix):
            yield type_, "version"


def _candidates(name: str) -> Iterator[tuple[str, AskedAs]]:
    if name in _by_squeezed_name():
        yield _by_squeezed_name()[name]
    yield from _versions(name)
    prefixed = _MAKERS_PREFIX.fullmatch(name)
    if prefixed and prefixed[1] in _by_squeezed_name():
        yield _by_squeezed_name()[prefixed[1]]


@lru_cache(maxsize=2048)
def find(designation: str) -> Tube | None:
    """The table's tube for a designation as written, or None.

    Case, spaces and hyphens do not matter; `50L6` and `50L6-GT` find the 50L6GT, `6V6GT/G` the 6V6GT, `ECC83`
    the 12AX7, `UX-280` the 80. The result says what was `asked` and how it is related (`asked_as`); a name is
    never bent to a type with another number.
    """
    if len(designation) > LONGEST_DESIGNATION:
        return None
    name_written = squeezed(designation)
    first, *others = name_written.split("/")
    # A number behind a slash is a type of its own only behind another: 39/44, but of IW4/350 the volts.
    for name in (name_written, first, *(one for one in others if first.isdigit() or not one.isdigit())):
        for type_, relation in _candidates(name):
            return replace(tube_of(type_), asked=designation.strip(), asked_as=relation)
    return None


def nearest(designation: str, n: int = 3) -> list[str]:
    """Up to `n` designations of the table that look most like the written one, best first."""
    names = {squeezed(name): name for name in (*name_rows(), *type_rows())}
    close = difflib.get_close_matches(squeezed(designation)[:LONGEST_DESIGNATION], names, n=n, cutoff=0.5)
    return [names[name] for name in close]


def all_types() -> tuple[str, ...]:
    """Every type of the table, in the table's order."""
    return tuple(type_rows())
