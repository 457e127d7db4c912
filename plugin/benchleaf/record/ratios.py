"""A ratio written as two numbers, such as the turns of two windings: ``45:1``, ``3.5 : 1``, ``1 to 3``."""

from __future__ import annotations

from decimal import Decimal

from .kinds import Kind
from .measure import PERCENT_WORDS, UnclearError, no_unit_of
from .notation import Statement, Term
from .numerals import IllegibleError, in_digits

_COLON = "write two numbers with a colon between them, such as 45:1"
_LONGEST_UNDER = 9999


def ratio_of(statement: Statement, kind: Kind) -> tuple[Decimal, Decimal | None, Decimal | None]:
    """The first number over the second, with the lowest and highest that a tolerance in per cent allows.

    Which of two windings comes first, and whether turns or impedances are meant, is for the key to say. A stroke, a
    hyphen, or ``to`` where neither number is 1, may be a fraction, a range or a slip of the pen: it is asked.
    Raises UnclearError or IllegibleError.
    """
    terms = statement.terms
    terms, off = (terms[:-1], terms[-1]) if terms[-1].joint == "±" else (terms, None)
    for term in terms:
        _refuse_unit(term, kind)
    if len(terms) == 1:
        raise _one_number(terms[0])
    if len(terms) > 2:
        raise IllegibleError(_COLON)
    value = _quotient(*terms)
    if off is None:
        return value, None, None
    share = off.numeral.value / 100
    if off.unit.lower() not in PERCENT_WORDS or not 0 <= share <= 1 or off.numeral.comma:
        raise IllegibleError(f"the tolerance of {kind.noun} is written in per cent")
    return value, value * (1 - share), value * (1 + share)


def _refuse_unit(term: Term, kind: Kind) -> None:
    if term.code:
        raise IllegibleError(f"“{term.code}” between digits has no meaning in {kind.noun}")
    if term.unit:
        raise IllegibleError(no_unit_of(term.unit, kind))


def _one_number(term: Term) -> UnclearError:
    """The question that a number alone is, or a fraction."""
    from fractions import Fraction

    number = term.numeral.value
    if term.numeral.fraction and number < 1:
        found = Fraction(number).limit_denominator(_LONGEST_UNDER)
        return UnclearError("a ratio has a colon", [f"{found.numerator}:{found.denominator}"], plain=False)
    digits = in_digits(number)
    return UnclearError("it is one number", [f"{digits}:1", f"1:{digits}"], plain=False)


def _quotient(first: Term, second: Term) -> Decimal:
    over, under = first.numeral, second.numeral
    written = f"{in_digits(over.value)}:{in_digits(under.value)}"
    if not over.value or not under.value:
        raise IllegibleError("neither number of a ratio is zero")
    if over.comma or under.comma:
        grouped = [in_digits(n.value if n.grouped is None else n.grouped) for n in (over, under)]
        raise UnclearError("its comma may part thousands or decimals", [":".join(grouped), written])
    if second.joint not in (":", "to", "/", "-"):
        raise IllegibleError(_COLON)
    if second.joint in ("/", "-") or (second.joint == "to" and 1 not in (over.value, under.value)):
        raise UnclearError("a ratio has a colon between its numbers", [written], plain=False)
    return over.value / under.value
