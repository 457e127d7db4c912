"""A written value becomes a quantity in SI, or the question it raises. Nothing is guessed.

``numerals`` reads the number, ``notation`` takes the text apart, ``kinds`` knows the spellings, and ``meaning``
decides what it all comes to for one kind of quantity.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from decimal import Decimal

from .kinds import BY_NAME, Kind
from .meaning import Quantity, mean
from .measure import UnclearError
from .notation import take_apart
from .numerals import IllegibleError, clean, in_digits
from .refusals import AmbiguousQuantity, QuantityError, UnreadableQuantity

__all__ = ["KINDS", "AmbiguousQuantity", "Quantity", "QuantityError", "UnreadableQuantity", "read_any", "read_quantity"]

_SIGN_BEHIND = re.compile(r"(.*[0-9A-Za-z.%]) ?([-+])")
_SIGN_BEFORE_UNIT = re.compile(r"([-+]?[\d.,]*\d) ?([-+]) ([A-Za-z%].*)")
"""``12- V``; ``12-V`` is a word of two, as is written of a rating."""
KINDS = tuple(BY_NAME)
"""Every kind of quantity."""

_WORDS = {
    **dict.fromkeys(("open", "o/c", "oc", "o.c", "open circuit", "open-circuit", "∞", "infinite", "infinity"), "open"),
    **dict.fromkeys(("∞ ω", "∞ω", "∞ ohm", "∞ ohms", "infinite ohms"), "open"),
    **dict.fromkeys(("short", "s/c", "sc", "s.c", "shorted", "short circuit", "short-circuit", "dead short"), "short"),
    **dict.fromkeys(
        ("ol", "o.l", "o/l", "0l", "0.l", "overload", "over range", "over-range", "overrange"), "overrange"
    ),
}


def read_quantity(text: str, kind: str, *, bare: str | None = None) -> Quantity:
    """The quantity of one kind that a text means, in SI.

    ``kind`` is one of ``KINDS``. ``bare`` is the unit of a number written without one (``V`` in a table of voltages);
    where none is given such a number is asked about. Raises AmbiguousQuantity where the text could mean several values
    and UnreadableQuantity where it means none; both are QuantityError. Value codes (4k7) follow IEC 60062.
    """
    text = str(text)
    row = BY_NAME.get(kind)
    if row is None:
        raise KeyError(f"{kind!r} is no kind of quantity")
    try:
        body = clean(text)
        word = _WORDS.get(body.lower().rstrip("."))
        if word and (row.overrange if word == "overrange" else row.circuit_words):
            return Quantity(None, row.unit, word, text)
        if body.endswith("?"):
            raise _doubted(body.rstrip("? "), row, bare)
        if signed := _signed_behind(body, row):
            mean(take_apart(signed[0]), text, row, bare)
            raise _sign_behind(*signed)
        return mean(take_apart(body), text, row, bare)[0]
    except IllegibleError as refusal:
        raise UnreadableQuantity(text, row.expected, refusal.remedy) from None
    except UnclearError as question:
        raise AmbiguousQuantity(text, row.expected, question.reason, question.readings) from None


def _doubted(body: str, kind: Kind, bare: str | None) -> UnclearError:
    """The question that a question mark behind a value is."""
    mean(take_apart(body), body, kind, bare)
    return UnclearError("a question mark stands behind it, and the doubt belongs into a note", [body])


def _signed_behind(body: str, kind: Kind | None = None) -> tuple[str, str] | None:
    """A value without the sign behind it, and that sign; before the unit only where the ``kind`` may be below zero."""
    if signed := _SIGN_BEHIND.fullmatch(body):
        return signed[1], signed[2]
    signed = _SIGN_BEFORE_UNIT.fullmatch(body) if kind is None or kind.signed else None
    return (f"{signed[1]} {signed[3]}", signed[2]) if signed else None


def _sign_behind(value: str, sign: str) -> UnclearError:
    """The question that a sign behind a value is, as on an adding machine's paper; read as nothing it would be lost."""
    readings = [value] if value[0] in "-+" or sign == "+" else [f"-{value}", value]
    return UnclearError("its sign stands behind it", readings)


def read_any(text: str, kinds: Iterable[str]) -> Quantity | None:
    """The quantity a text means by its unit alone, of the ``kinds`` that may stand there; None where it means none.

    A number without a unit, a letter that is a unit only to somebody who knows the kind (K for kelvin), a word such as
    ``open`` and a text that may be a part's name (R12) are no quantity here. Raises AmbiguousQuantity where the unit is
    plain and the value is not (``2.2 M``).
    """
    text = str(text)
    try:
        body = clean(text)
        signed = _signed_behind(body)
        statement = take_apart(signed[0] if signed else body)
    except IllegibleError:
        return None
    found: Quantity | None = None
    questions: list[tuple[Kind, UnclearError]] = []
    for kind in map(BY_NAME.__getitem__, kinds):
        try:
            quantity, plain = mean(statement, text, kind)
        except IllegibleError:
            continue
        except UnclearError as question:
            if question.plain:
                questions.append((kind, question))
        else:
            if plain and (asked := signed and _signed_behind(body, kind)):
                questions.append((kind, _sign_behind(*asked)))
            found = found or (quantity if plain else None)
    if not questions:
        return found
    kind, first = questions[0]
    readings = tuple(dict.fromkeys(reading for _, question in questions for reading in question.readings))
    if found is not None and found.si is not None and not signed:
        readings += (f"{in_digits(Decimal(repr(found.si)))} {found.unit}",)
    raise AmbiguousQuantity(text, kind.expected, first.reason, readings)
