"""How a value is put on paper, whatever it is a value of: sign, number, unit, bounds, ranges, tolerances.

    statement  = [relation] [AC | DC] term { joint term }
    term       = [sign] number unit-text | code            code: 4k7, 3R2, p47
    joint      = "±" | "-" | "to" | anything else, which makes it several values

What the unit text means is not decided here.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from decimal import Decimal

from .numerals import VULGAR, IllegibleError, Numeral, read_numeral

_MOST_TERMS = 6

_RELATIONS = {
    "<": "lt",
    ">": "gt",
    "<=": "le",
    "=<": "le",
    "≤": "le",
    ">=": "ge",
    "=>": "ge",
    "≥": "ge",
    "~": "approx",
    "≈": "approx",
    "less than": "lt",
    "under": "lt",
    "below": "lt",
    "more than": "gt",
    "over": "gt",
    "above": "gt",
    "at most": "le",
    "at least": "ge",
    "about": "approx",
    "around": "approx",
    "approx": "approx",
    "approximately": "approx",
    "circa": "approx",
    "ca": "approx",
}
_RELATION = re.compile(
    r"(?:(<=|=<|>=|=>|[<>≤≥~≈]) ?|(less than|under|below|more than|over|above|at most|at least|about|around"
    r"|approximately|approx|circa|ca)\.? )",
    re.IGNORECASE,
)
_LEADING_MARK = re.compile(r"(ac|dc) (?=[-+.,0-9])", re.IGNORECASE)
_SIGN = re.compile(r"[-+±]? ?")
_CODE = re.compile(r"([0-9]{0,4})([RrkKMGpnumVvΩ])([0-9]{1,4})(?![0-9.,/])")
_NEXT_NUMBER = re.compile(rf"[.,]?[0-9]|[{VULGAR}]")
_JOINT = re.compile(r"(?: ?(±)| ?(-)| (to) |()) ?([-+]?) ?$", re.IGNORECASE)
_SIGN_OF_NEXT = re.compile(r"[^\W\d]\.? -$")
"""Behind a unit and a blank, with none behind it, a dash is the sign of the next number: ``100 uV -2 V``."""
_TRAILING_JOINT = re.compile(r" ?([-+/x*×:;,&]|\band) ?$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Term:
    """One number of a statement with the text behind it, ``unit`` (perhaps empty).

    ``code`` is the letter that stands for the decimal point in 4k7, and ``leads`` that it comes first, as in p47;
    ``joint`` is what joins the term to the one
    before (``±``, ``-``, ``to``; other text or nothing where they are simply two values).
    """

    numeral: Numeral
    unit: str
    code: str = ""
    leads: bool = False
    joint: str = ""


@dataclass(frozen=True, slots=True)
class Statement:
    """A written value taken apart: its relation (``exact``, ``lt`` …), a mark that stands before it, its terms.

    ``either_way`` says that a ± stands before the first number.
    """

    relation: str
    mark: str
    terms: tuple[Term, ...]
    either_way: bool = False


def take_apart(body: str) -> Statement:
    """The parts of a written value that ``clean`` has been over, or IllegibleError."""
    if "+" in body:
        body = body.replace("+/-", "±").replace("+-", "±")
    relation, mark, position = "exact", "", 0
    if match := _RELATION.match(body):
        relation, position = _RELATIONS[(match[1] or match[2]).lower()], match.end()
    if match := _LEADING_MARK.match(body, position):
        mark, position = match[1].lower(), match.end()
    sign = _SIGN.match(body, position)
    assert sign is not None
    terms = _read_terms(body, sign.end(), negative="-" in sign[0])
    return Statement(relation, mark, terms, either_way="±" in sign[0])


def _read_terms(body: str, position: int, *, negative: bool) -> tuple[Term, ...]:
    terms: list[Term] = []
    joint = ""
    while True:
        numeral, code, end = _read_number(body, position, negative=negative)
        leads = bool(code) and body[position] == code
        following = _NEXT_NUMBER.search(body, end)
        if following is None:
            terms.append(Term(numeral, body[end:].strip(), code, leads, joint))
            return tuple(terms)
        if len(terms) + 1 == _MOST_TERMS:
            raise IllegibleError("it holds many numbers: write one value")
        unit, next_joint, sign = _part(body[end : following.start()])
        terms.append(Term(numeral, unit, code, leads, joint))
        joint, negative, position = next_joint, sign == "-", following.start()


def _read_number(body: str, position: int, *, negative: bool) -> tuple[Numeral, str, int]:
    """The number or value code at ``position``, the letter of the code, and where it ends."""
    if match := _CODE.match(body, position):
        numeral, code, end = Numeral(Decimal(f"{match[1] or 0}.{match[3]}")), match[2], match.end()
    elif found := read_numeral(body, position):
        (numeral, end), code = found, ""
    else:
        raise IllegibleError(_missing_number(body[position:]))
    return (_negated(numeral) if negative else numeral), code, end


def _part(between: str) -> tuple[str, str, str]:
    """What stands between two numbers: the unit of the first, the joint, the sign of the second."""
    match = _JOINT.search(between)
    assert match is not None
    joint = (match[1] or match[2] or match[3] or "").lower()
    if joint == "-" and _SIGN_OF_NEXT.search(between):
        return between[: match.start()].strip(), " ", "-"
    if joint:
        return between[: match.start()].strip(), joint, match[5]
    if loose := _TRAILING_JOINT.search(between):
        return between[: loose.start()].strip(), loose[1], ""
    return between.strip(), " " if between.startswith(" ") or between.endswith(" ") else "|", ""


def _negated(numeral: Numeral) -> Numeral:
    grouped = None if numeral.grouped is None else -numeral.grouped
    return replace(numeral, value=-numeral.value, grouped=grouped)


def _missing_number(rest: str) -> str:
    if not rest:
        return "there is nothing to read: write a number and its unit"
    if rest[0] in "lIO" and any(c.isdigit() for c in rest[:4]):
        return f"“{rest[0]}” is a letter: write the digit {'0' if rest[0] == 'O' else '1'}"
    return "it does not begin with a number: write the number first, then its unit"
