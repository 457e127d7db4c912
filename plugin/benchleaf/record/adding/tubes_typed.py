"""A line about a tube as it is typed: one that is fitted, how it tested, and what took its place."""

from __future__ import annotations

import re

from ..problems import quoted
from ..text import Entries, Text
from .as_written import Added
from .open_record import Addition, AskedError, OpenRecord
from .readings_typed import by_electrode, tube_and_rest

_ALL_DIGITS = re.compile(r"\d{1,4}")
_GOES_ON_AS_READING = re.compile(r"(?:[-+−<>~]?[.,]?\d|AC\b|DC\b|V\b|volts?\b|x\b)", re.I)
_TESTED = re.compile(
    r"(?:tests?|tested|checks|checked|weak|strong|good|gassy|noisy|microphonic|dead|shorted|NOS|emission)\b"
    r"|\d+(?:[.,]\d+)?\s*(?:%|per\s?cent\b)",
    re.I,
)
"""How a line goes on behind a tube's name that says how the tube is."""
_EXCHANGED = re.compile(r"(?:was|replaced|exchanged|swapped|now)\s+(?:with\s+|for\s+|NOS\s+)*(?P<first>\S+)", re.I)


def is_tube(line: str, into: OpenRecord) -> bool:
    """Whether a line names a tube and then a type, or how it tested.

    Of a type that is a number alone it is asked what is meant.
    """
    found = tube_and_rest(line, into)
    if found is None:
        return False
    name, rest = found
    first, _, more = rest.partition(" ")
    first = first.rstrip(",;")
    known = into.record.tubes.get(Text(name))
    if known is not None and _TESTED.match(rest) and not by_electrode(rest):
        return True
    if _ALL_DIGITS.fullmatch(first):
        if not more and into.record.tube_table.find(first):
            both = f"write {quoted(f'tubes {name}: {first}')} or {quoted(f'readings {name}: plate {first}')}"
            raise AskedError(quoted(line), "a type of tube, or an electrode and its volts", both)
        return bool(more) and not _GOES_ON_AS_READING.match(more) and into.record.tube_table.find(first) is not None
    return into.record.tube_table.find(first) is not None or (known is not None and _same_type(str(known.type), first))


def is_exchange(line: str, into: OpenRecord) -> bool:
    """Whether a line names a tube, and behind “was” or “now” a type."""
    found = tube_and_rest(line, into)
    match = _EXCHANGED.match(found[1]) if found else None
    if found is None or match is None:
        return False
    type_, known = match["first"].rstrip(",;"), into.record.tubes.get(Text(found[0]))
    return into.record.tube_table.find(type_) is not None or bool(known and _same_type(str(known.type), type_))


def exchange_of(line: str, into: OpenRecord) -> Addition:
    """The addition of a tube that was changed. Raises AskedError."""
    position, rest = tube_and_rest(line, into) or name_and_rest(line)
    name = next((key for key in into.named("changed tubes") if into.manner.position(key) == position), position)
    added: dict[str, Added] = {into.as_named("changed tubes", str(name)): rest}
    return Addition("changed tubes", added, added, f"changed tubes {quoted(str(name))}")


def tube_of(line: str, into: OpenRecord) -> Addition:
    """The addition of a tube, or of what more is said of one that is listed. Raises AskedError."""
    name, rest = tube_and_rest(line, into) or name_and_rest(line)
    there = into.named("tubes").get(Text(name))
    whole: Added = {name: rest}
    if there is None:
        return Addition("tubes", whole, whole, f"tubes {name}")
    fitted = into.record.tubes.get(Text(name))
    if fitted is not None and _TESTED.match(rest):
        rest = f"{fitted.type} {rest}"
    type_, _, more = rest.partition(" ")
    more = more.strip(" ,;")
    if fitted is None or not _same_type(str(fitted.type), type_.rstrip(",;")):
        was = str(fitted.type) if fitted else str(there)
        change = rest if _EXCHANGED.match(rest) else f"was {was}, now {rest}"
        raise AskedError(
            quoted(f"{name}: {type_}"),
            f"{quoted(was, 60)}, as the record has it",
            f"write {quoted(f'changed tubes {name}: {change}', 120)} where it was changed, "
            f"or change the line of {name} in the file where that is wrong",
        )
    if not more:
        raise AskedError(quoted(line), f"something new of {name}", "the record has this type there already")
    if isinstance(there, Entries):
        return Addition(
            "tubes", {name: {"note": more}}, {name: {"type": str(fitted.type), "note": more}}, f"tubes {name}"
        )
    return Addition("tubes", {name: f"; {more}"}, {name: f"{fitted.type}; {more}"}, f"tubes {name}, as a remark")


def name_and_rest(line: str) -> tuple[str, str]:
    """The first word of a line, and what is said of it. Raises AskedError where nothing is."""
    name, _, rest = line.partition(" ")
    if not rest.strip():
        raise AskedError(quoted(line), "a name, a colon, and what is said of it")
    return name.rstrip(":"), rest.strip()


def _same_type(one: str, other: str) -> bool:
    return "".join(one.split()).casefold() == "".join(other.split()).casefold()
