"""What a written value, taken apart, means for one kind of quantity: one value in SI, a question, or nothing."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal

from .notation import Statement, Term
from .numerals import Illegible, in_digits
from .unit_names import ASCII, BARE, BASE, EXPECTED, FACTORS, SCALES
from .unit_words import CODE_LETTERS, SPELLINGS, Sense

_KIND_OF = {unit: kind for kind, unit in BASE.items()}

_MARKED = frozenset(("voltage", "current"))
_DASHED = frozenset(("voltage", "frequency", "temperature", "duration", "length"))
_COMPOUND = frozenset(("duration", "length"))
_SIGNED = frozenset(("voltage", "current", "temperature", "ratio", "charge"))
_POINT_MAY_GROUP = frozenset(("ohm", "picofarad"))
_SMALLEST, _LARGEST = Decimal("1e-24"), Decimal("1e18")
_LARGEST_CAPACITANCE = 10
_SIGNS = {"lt": "< ", "le": "<= ", "gt": "> ", "ge": ">= ", "approx": "~ "}

_DOT_AFTER_LETTER = re.compile(r"(?<=[A-Za-z])\.")
_MARK = re.compile(
    r" ?(?:(peak to peak|pk to pk|pk pk|p p|pp)|(peak|pk|p)|(rms)|(ac|~)|(dc|=))$", re.IGNORECASE
)
_MARKS = ("pp", "peak", "rms", "ac", "dc")


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value in SI with the way it was written.

    ``si`` is in ``unit`` (F, H, ohm, V, A, W, Hz, 1, S, K, s, m, C); None for ``open``, ``short``, ``overrange`` and for
    a range. ``qualifier`` is ``exact``, ``lt``, ``le``, ``gt``, ``ge``, ``approx``, ``tolerance``, ``range``, ``open``,
    ``short`` or ``overrange``; ``low`` and ``high`` are the ends of a range or tolerance, in the same unit. ``mark`` is
    ``ac``, ``dc``, ``peak``, ``pp``, ``rms`` or empty, as written. ``remark`` says how a spelling was taken that some
    read otherwise. ``place`` is the line and column it was written at.
    """

    si: float | None
    unit: str
    qualifier: str
    written: str
    mark: str = ""
    low: float | None = None
    high: float | None = None
    remark: str = field(default="", compare=False)
    place: tuple[int, int] | None = field(default=None, compare=False, repr=False)

    @property
    def kind(self) -> str:
        """The kind of quantity, as ``read_quantity`` names it."""
        return _KIND_OF[self.unit]


class Open(Exception):
    """It could be any of ``readings``, each written plainly; ``plain`` is False where it is of no kind by itself."""

    def __init__(self, reason: str, readings: Iterable[str], *, plain: bool = True) -> None:
        super().__init__(reason)
        self.reason = reason
        self.readings = tuple(dict.fromkeys(readings))
        self.plain = plain


@dataclass(frozen=True, slots=True)
class _Measure:
    """The sense of a unit's spelling, and the mark (AC, DC, peak …) that stood with it."""

    sense: Sense
    mark: str = ""


_PERCENT = _Measure(Sense("percent"))
_PERCENT_WORDS = frozenset(("%", "percent", "per cent", "pct"))


def mean(statement: Statement, written: str, kind: str, bare: str | None = None) -> tuple[Quantity, bool]:
    """The quantity of one kind, and whether the unit alone says that kind. Raises Open or Illegible.

    ``bare`` is the unit of numbers that are written without one.
    """
    terms = statement.terms
    if statement.either_way and (kind != "ratio" or len(terms) > 1):
        raise Illegible("a ± stands before it: write the value, then ± and how far it may be off")
    measures = _measures(statement, kind, bare)
    sense = measures[0].sense
    joints = {term.joint for term in terms[1:]}
    low = high = value = None
    qualifier = statement.relation
    if not joints:
        value = _value(terms[0], measures[0], kind, statement.relation)
    elif len(terms) == 2 and joints <= {"±", "to"} | ({"-"} if kind in _DASHED else set()):
        if qualifier != "exact":
            raise Illegible("it has a bound and a range: write one of them")
        if "±" in joints:
            qualifier = "tolerance"
            value, low, high = _tolerance(terms, measures, kind)
        else:
            qualifier = "range"
            low, high = _range(terms, measures, kind)
    elif kind in _COMPOUND and joints <= {" ", "|", "and", ","}:
        value = _sum(terms, measures, kind)
    else:
        raise _two_values(terms, measures, kind)
    mark = _one_mark(statement, measures, kind)
    quantity = Quantity(
        _as_float(value), BASE[kind], qualifier, written, mark, _as_float(low), _as_float(high), sense.remark
    )
    return quantity, sense.plain and not terms[0].leads


def _measures(statement: Statement, kind: str, bare: str | None) -> list[_Measure]:
    """The measure of each term; a number without a unit takes that of the next number, or else of the one before."""
    found: list[_Measure | None] = []
    for term in statement.terms:
        if term.joint == "±" and term.unit.lower() in _PERCENT_WORDS:
            found.append(_PERCENT)
            continue
        if kind == "capacitance":
            _ask_about_marking(term)
        try:
            found.append(_code_measure(term, kind) if term.code else _unit_measure(term.unit, kind, bare))
        except Illegible:
            if not any(found) or _owner(term.unit) is None:
                raise
            first = _of_each(statement.terms[:1], [measure for measure in found[:1] if measure])
            raise Open("a value of another kind stands behind it", first, plain=False) from None
    given = [measure for measure in found if measure is not None and measure is not _PERCENT]
    if not given:
        raise _without_unit(statement, kind)
    filled: list[_Measure] = []
    following = given[-1]
    for measure in reversed(found):
        filled.append(measure or following)
        following = filled[-1]
    return filled[::-1]


def _unit_measure(unit: str, kind: str, bare: str | None) -> _Measure | None:
    """What a unit's spelling means; None where there is none, Illegible where it is none of this kind."""
    spellings = SPELLINGS[kind]
    key = _key(unit)
    mark = ""
    while key and (sense := spellings.find(key)) is None:
        match = _MARK.search(key) if kind in _MARKED else None
        if match is None:
            raise Illegible(_unknown(unit, kind))
        mark = _joined(_MARKS[(match.lastindex or 1) - 1], mark)
        key = key[: match.start()]
    if key and sense:
        return _Measure(sense, mark)
    given = spellings.find(bare) if bare else None
    if given:
        return _Measure(given, mark)
    if mark:
        raise Illegible(f"{mark.upper()} alone is no unit: write V or A before it")
    return None


def _key(unit: str) -> str:
    """A unit's text as the spellings have it: no dots, words for signs, a blank for a hyphen."""
    if unit.isalpha() and unit.isascii():
        return unit
    key = _DOT_AFTER_LETTER.sub("", unit)
    for sign, word in (("Ω", "ohm"), ("℧", "mho"), ("-", " "), (" / ", "/"), ("° ", "°")):
        key = key.replace(sign, word)
    return key


def _joined(first: str, second: str) -> str:
    """Two marks in one: a peak or RMS value of AC is peak or RMS."""
    if not second or first == second:
        return first
    if "ac" in (first, second) and "dc" not in (first, second):
        return first if second == "ac" else second
    raise Illegible(f"it is marked {first.upper()} and {second.upper()}: write one of them")


def _one_mark(statement: Statement, measures: list[_Measure], kind: str) -> str:
    mark = statement.mark
    if mark and kind not in _MARKED:
        raise Illegible(f"{mark.upper()} does not go with {noun(kind)}: leave it out")
    for measure in measures:
        mark = _joined(measure.mark, mark) if measure.mark else mark
    return mark


def _code_measure(term: Term, kind: str) -> _Measure:
    """The unit that the letter of a value code stands for."""
    unit = CODE_LETTERS.get(kind, {}).get(term.code)
    spelled = SPELLINGS[kind].find(_key(term.unit)) if term.unit else None
    if unit is None:
        owner = next((k for k, letters in CODE_LETTERS.items() if term.code in letters), None)
        if owner:
            raise Illegible(f"that is the code of {noun(owner)}, not of {noun(kind)}")
        if kind == "voltage" and term.code in "Vv" and not term.leads and not term.unit:
            raise Open("the V stands where a decimal point belongs", [f"{in_digits(term.numeral.value)} V"])
        raise Illegible(f"“{term.code}” between digits has no meaning in {noun(kind)}")
    if term.unit and (spelled is None or spelled.unit not in ("ohm", "farad")):
        raise Illegible(_unknown(term.unit, kind))
    digits = -int(term.numeral.value.as_tuple().exponent)
    if term.leads and (digits < 2 or term.code in "kKMG"):
        reading = f"{in_digits(term.numeral.value)} {ASCII[unit]}"
        raise Open("it looks like a code with the point before its first digit", [reading], plain=False)
    return _Measure(Sense(unit))


def _ask_about_marking(term: Term) -> None:
    """Three digits and a tolerance letter are a part's marking (IEC 60062), not a value: 473J."""
    digits = in_digits(term.numeral.value)
    if len(term.unit) == 1 and term.unit in "BCDGJKZ" and len(digits) == 3 and digits.isdigit():
        value = Decimal(digits[:2]).scaleb(int(digits[2]) - 12)
        size = next(name for name in ("microfarad", "nanofarad", "picofarad") if value >= FACTORS[name] or name[0] == "p")
        reading = f"{in_digits(value / FACTORS[size])} {ASCII[size]}"
        raise Open("it looks like the marking of a part, two digits, zeros and a tolerance", [reading], plain=False)


def _value(term: Term, measure: _Measure, kind: str, relation: str = "exact") -> Decimal:
    """The one value of a term in SI, or Open."""
    sense, numeral = measure.sense, term.numeral
    if numeral.value.is_signed() and kind not in _SIGNED:
        raise Illegible(f"{noun(kind)} is never below zero: leave the sign out")
    numbers = [numeral.value]
    if numeral.grouped is not None and (numeral.comma or sense.unit in _POINT_MAY_GROUP):
        numbers.insert(0, numeral.grouped)
    if numeral.with_e is not None and sense.unit == "ohm":
        numbers.append(numeral.with_e)
    if len(numbers) == 1 and sense.unit:
        return _in_si(numeral.value, sense.unit)
    units = [(Decimal(1), ASCII[sense.unit])] if sense.unit else list(sense.readings)
    readings = [
        _plainly(number * factor, unit, relation, measure.mark) for number in numbers for factor, unit in units
    ]
    if not sense.unit:
        reason = f"“{term.unit}” does not say which unit it is"
    elif numeral.with_e is not None:
        reason = "E may stand for a power of ten or for the decimal point"
    else:
        reason = f"its {'comma' if numeral.comma else 'point'} may part thousands or decimals"
    raise Open(reason, readings, plain=sense.plain)


def _in_si(number: Decimal, unit: str) -> Decimal:
    """A number of ``unit`` in SI, within the bounds of anything that is measured."""
    if unit in SCALES:
        shift, factor = SCALES[unit]
        value = (number + shift) * factor
    else:
        value = number * FACTORS[unit]
    if value < 0 and (unit in SCALES or unit == "kelvin"):
        raise Illegible("nothing is colder than absolute zero, -273.15 °C")
    if value and not _SMALLEST <= abs(value) <= (_LARGEST_CAPACITANCE if unit == "farad" else _LARGEST):
        raise Illegible("its size is beyond anything that is measured: check number and unit")
    return value


def _tolerance(terms: tuple[Term, ...], measures: list[_Measure], kind: str) -> tuple[Decimal, Decimal, Decimal]:
    """A value with the lowest and the highest that its tolerance allows."""
    value = _value(terms[0], measures[0], kind)
    number, unit = terms[1].numeral.value, measures[1].sense.unit
    if measures[1] is _PERCENT:
        if kind in ("temperature", "ratio") or not 0 <= number <= 100:
            raise Illegible("that tolerance makes no sense here: write the lowest and the highest value")
        reach = abs(value) * number / 100
    elif not unit or number < 0 or terms[1].numeral.comma:
        raise Illegible("the tolerance behind ± is unclear: write it in per cent or in the unit of the value")
    else:
        reach = number * (SCALES[unit][1] if unit in SCALES else FACTORS[unit])
    return value, value - reach, value + reach


def _range(terms: tuple[Term, ...], measures: list[_Measure], kind: str) -> tuple[Decimal, Decimal]:
    """The ends of a range, or the question which was meant."""
    if terms[1].numeral.fraction and terms[1].joint == "-":
        raise _two_values(terms, measures, kind)
    try:
        low, high = (_value(term, measure, kind) for term, measure in zip(terms, measures, strict=True))
    except Open as question:
        raise Open(question.reason, _of_each(terms, measures), plain=question.plain) from None
    if low >= high:
        raise _two_values(terms, measures, kind)
    return low, high


def _sum(terms: tuple[Term, ...], measures: list[_Measure], kind: str) -> Decimal:
    """A value in parts, each of a smaller unit than the one before: 1 h 30 min."""
    parts = [_value(term, measure, kind) for term, measure in zip(terms, measures, strict=True)]
    sizes = [FACTORS[measure.sense.unit] for measure in measures]
    falls = all(part < size for size, part in zip(sizes, parts[1:], strict=False))
    if not falls or sizes != sorted(set(sizes), reverse=True):
        raise _two_values(terms, measures, kind)
    return sum(parts, Decimal(0))


def _of_each(terms: tuple[Term, ...], measures: list[_Measure]) -> list[str]:
    """Each term by itself, in each unit it may have."""
    return [
        _plainly(term.numeral.value * factor, unit, "exact", measure.mark)
        for term, measure in zip(terms, measures, strict=True)
        for factor, unit in (
            [(Decimal(1), ASCII[measure.sense.unit])] if measure.sense.unit else measure.sense.readings
        )
    ]


def _two_values(terms: tuple[Term, ...], measures: list[_Measure], kind: str) -> Open:
    """Several numbers that are no range, tolerance or sum."""
    readings = _of_each(terms, measures)
    over, under = terms[0].numeral.value, terms[1].numeral.value
    if terms[1].joint == "/" and len(terms) == 2 and over > under > 1 and over % 10 < under < 10 and over > 10:
        mixed = over // 10 + (over % 10) / under
        readings.append(f"{in_digits(mixed)} {readings[0].split(' ', 1)[1]}")
    plain = all(measure.sense.plain for measure in measures) and not {t.joint for t in terms[1:]} & {" ", "|"}
    return Open("it holds more than one number, and one value is wanted", readings, plain=plain)


def _without_unit(statement: Statement, kind: str) -> Open:
    numeral, relation = statement.terms[0].numeral, statement.relation
    numbers = [numeral.value] if numeral.grouped is None else [numeral.grouped, numeral.value]
    if numeral.with_e is not None and kind == "resistance":
        numbers.append(numeral.with_e)
    units = BARE[kind] if len(numbers) == 1 else BARE[kind][:1]
    readings = (_plainly(number, unit, relation, statement.mark) for number in numbers for unit in units)
    return Open("it has no unit", readings, plain=False)


def _plainly(number: Decimal, unit: str, relation: str, mark: str) -> str:
    text = f"{_SIGNS.get(relation, '')}{in_digits(number)} {unit}"
    return f"{text} {mark.upper() if mark in ('ac', 'dc', 'rms') else mark}" if mark else text


def _unknown(unit: str, kind: str) -> str:
    """What to tell of a text that is no unit of this kind."""
    owner = _owner(unit)
    if owner:
        return f"“{unit}” is a unit of {noun(owner)}, not of {noun(kind)}"
    return f"“{unit}” is no unit of {noun(kind)}"


def _owner(unit: str) -> str | None:
    """The kind that a unit's spelling belongs to by itself."""
    key = _key(unit)
    senses = ((kind, spellings.find(key)) for kind, spellings in SPELLINGS.items())
    return next((kind for kind, sense in senses if sense and sense.plain and sense.unit), None)


def noun(kind: str) -> str:
    """A kind with its article: ``a resistance``."""
    return EXPECTED[kind].partition(" such as ")[0]


def _as_float(value: Decimal | None) -> float | None:
    return None if value is None else float(value) + 0.0
