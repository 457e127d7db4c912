"""Which unit, and which of AC, DC, peak, RMS, belongs to each number of a written value."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

from .kinds import BY_NAME, ROWS, UNITS, Kind, Sense
from .notation import Statement, Term
from .numerals import IllegibleError, in_digits

_SIGNS = {"lt": "< ", "le": "<= ", "gt": "> ", "ge": ">= ", "approx": "~ "}
_DOT_AFTER_LETTER = re.compile(r"(?<=[A-Za-z])\.")
_MARK = re.compile(
    r" ?(?:(peak to peak|pk to pk|pk pk|p p|pp)|(peak|pk|(?<=[VvAa])p)|(rms)|(ac|~)|(dc|=))$", re.IGNORECASE
)
_MARKS = ("pp", "peak", "rms", "ac", "dc")
_MOST_UNITS = 1000
"""Spellings whose kind is remembered: a record asks for the same ones again and again."""


class UnclearError(Exception):
    """It could be any of ``readings``, each written plainly; ``plain`` is False where it is of no kind by itself."""

    def __init__(self, reason: str, readings: Iterable[str], *, plain: bool = True) -> None:
        super().__init__(reason)
        self.reason = reason
        self.readings = tuple(dict.fromkeys(readings))
        self.plain = plain


@dataclass(frozen=True, slots=True)
class Measure:
    """The sense of a unit's spelling, and the mark (AC, DC, peak …) that stood with it."""

    sense: Sense
    mark: str = ""


PERCENT = Measure(Sense("percent"))
PERCENT_WORDS = frozenset(BY_NAME["ratio"].spellings.loose)


def measures_of(statement: Statement, kind: Kind, bare: str | None) -> list[Measure]:
    """The measure of each term; a number without a unit takes that of the next number, or else of the one before."""
    found: list[Measure | None] = []
    for term in statement.terms:
        if term.joint == "±" and term.unit.lower() in PERCENT_WORDS:
            found.append(PERCENT)
            continue
        if kind.marking:
            _ask_about_marking(term)
        try:
            found.append(_code_measure(term, kind) if term.code else _unit_measure(term.unit, kind, bare))
        except IllegibleError:
            before = [(t, m) for t, m in zip(statement.terms, found, strict=False) if m]
            if not before or _owner(term.unit) is None:
                raise
            terms, measures = zip(*before, strict=True)
            raise UnclearError(
                "a value of another kind stands behind it", of_each(terms, measures), plain=False
            ) from None
    given = [measure for measure in found if measure is not None and measure is not PERCENT]
    if not given:
        raise _without_unit(statement, kind)
    filled: list[Measure] = []
    following = given[-1]
    for measure in reversed(found):
        filled.append(measure or following)
        following = filled[-1]
    return filled[::-1]


def _unit_measure(unit: str, kind: Kind, bare: str | None) -> Measure | None:
    """What a unit's spelling means; None where there is none, IllegibleError where it is none of this kind."""
    spellings = kind.spellings
    key = _key(unit)
    mark = ""
    while key and (sense := spellings.find(key)) is None:
        match = _MARK.search(key) if kind.marked else None
        if match is None:
            raise IllegibleError(no_unit_of(unit, kind))
        mark = joined(_MARKS[(match.lastindex or 1) - 1], mark)
        key = key[: match.start()]
    if key and sense:
        return Measure(sense, mark)
    given = spellings.find(bare) if bare else None
    if given:
        return Measure(given, mark)
    if mark:
        raise IllegibleError(f"{mark.upper()} alone is no unit: write V or A before it")
    return None


def _key(unit: str) -> str:
    """A unit's text as the spellings have it: no dots, words for signs, a blank for a hyphen."""
    if unit.isalpha() and unit.isascii():
        return unit
    key = _DOT_AFTER_LETTER.sub("", unit)
    for sign, word in (("Ω", "ohm"), ("℧", "mho"), ("-", " "), (" / ", "/"), ("° ", "°")):
        key = key.replace(sign, word)
    return key.lstrip()


def joined(first: str, second: str) -> str:
    """Two marks in one: a peak or RMS value of AC is peak or RMS."""
    if not second or first == second:
        return first
    if "ac" in (first, second) and "dc" not in (first, second):
        return first if second == "ac" else second
    raise IllegibleError(f"it is marked {first.upper()} and {second.upper()}: write one of them")


def _code_measure(term: Term, kind: Kind) -> Measure:
    """The unit that the letter of a value code stands for."""
    unit = kind.code_letters.get(term.code)
    spelled = kind.spellings.find(_key(term.unit)) if term.unit else None
    if unit is None:
        owner = next((row for row in ROWS if term.code in row.code_letters), None)
        if owner:
            raise IllegibleError(f"that is the code of {owner.noun}, not of {kind.noun}")
        if kind.name == "voltage" and term.code in "Vv" and not term.leads and not term.unit:
            raise UnclearError("the V stands where a decimal point belongs", [f"{in_digits(term.numeral.value)} V"])
        raise IllegibleError(f"“{term.code}” between digits has no meaning in {kind.noun}")
    if term.unit and (spelled is None or spelled.unit not in ("ohm", "farad")):
        raise IllegibleError(no_unit_of(term.unit, kind))
    digits = -int(term.numeral.value.as_tuple().exponent)
    if term.leads and (digits < 2 or term.code in "kKMG"):
        reading = f"{in_digits(term.numeral.value)} {UNITS[unit].plain}"
        raise UnclearError("it looks like a code with the point before its first digit", [reading], plain=False)
    return Measure(Sense(unit))


def _ask_about_marking(term: Term) -> None:
    """Three digits and a tolerance letter are a part's marking (IEC 60062), not a value: 473J."""
    digits = in_digits(term.numeral.value)
    if len(term.unit) == 1 and term.unit in "BCDGJKZ" and len(digits) == 3 and digits.isdigit():
        value = Decimal(digits[:2]).scaleb(int(digits[2]) - 12)
        sizes = ("microfarad", "nanofarad")
        size = next((name for name in sizes if value >= UNITS[name].factor), "picofarad")
        reading = f"{in_digits(value / UNITS[size].factor)} {UNITS[size].plain}"
        raise UnclearError("it looks like a part's marking: two digits, zeros, tolerance", [reading], plain=False)


def of_each(terms: Sequence[Term], measures: Sequence[Measure]) -> list[str]:
    """Each term by itself, in each unit it may have."""
    return [
        plainly(term.numeral.value * factor, unit, "exact", measure.mark)
        for term, measure in zip(terms, measures, strict=True)
        for factor, unit in (
            [(Decimal(1), UNITS[measure.sense.unit].plain)] if measure.sense.unit else measure.sense.readings
        )
    ]


def _without_unit(statement: Statement, kind: Kind) -> UnclearError:
    numeral, relation = statement.terms[0].numeral, statement.relation
    numbers = [numeral.value] if numeral.grouped is None else [numeral.grouped, numeral.value]
    if numeral.with_e is not None and kind.name == "resistance":
        numbers.append(numeral.with_e)
    units = kind.bare if len(numbers) == 1 else kind.bare[:1]
    readings = (plainly(number, unit, relation, statement.mark) for number in numbers for unit in units)
    return UnclearError("it has no unit", readings, plain=False)


def plainly(number: Decimal, unit: str, relation: str, mark: str) -> str:
    text = f"{_SIGNS.get(relation, '')}{in_digits(number)} {unit}"
    return f"{text} {mark.upper() if mark in ('ac', 'dc', 'rms') else mark}" if mark else text


def no_unit_of(unit: str, kind: Kind) -> str:
    """What to tell of a text that is no unit of this kind."""
    owner = _owner(unit)
    if owner:
        return f"“{unit}” is a unit of {owner.noun}, not of {kind.noun}"
    return f"“{unit}” is no unit of {kind.noun}"


@lru_cache(maxsize=_MOST_UNITS)
def _owner(unit: str) -> Kind | None:
    """The kind that a unit's spelling belongs to by itself."""
    key = _key(unit)
    senses = ((row, row.spellings.find(key)) for row in ROWS)
    return next((row for row, sense in senses if sense and sense.plain and sense.unit), None)
