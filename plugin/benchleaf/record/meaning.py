"""What a written value, taken apart, means for one kind of quantity: one value in SI, a question, or nothing."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal

from .kinds import BY_UNIT, UNITS, Kind, Unit
from .measure import PERCENT, Measure, UnclearError, joined, measures_of, of_each, plainly
from .notation import Statement, Term
from .numerals import IllegibleError, in_digits
from .ratios import ratio_of

_SMALLEST = Decimal("1e-24")


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value in SI with the way it was written.

    ``si`` is in ``unit`` (F, H, ohm, V, A, W, Hz, 1, S, K, s, m, C, n:1); None for ``open``, ``short``, ``overrange``
    and for a range. ``qualifier`` is ``exact``, ``lt``, ``le``, ``gt``, ``ge``, ``approx``, ``tolerance``, ``range``,
    ``open``, ``short`` or ``overrange``; ``low`` and ``high`` are the ends of a range or tolerance, in the same unit.
    ``mark`` is ``ac``, ``dc``, ``peak``, ``pp``, ``rms`` or empty, as written. ``remark`` says how a spelling was taken
    that some read otherwise. ``place`` is the line and column it was written at.
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
        return BY_UNIT[self.unit].name


def mean(statement: Statement, written: str, kind: Kind, bare: str | None = None) -> tuple[Quantity, bool]:
    """The quantity of one kind, and whether the unit alone says that kind. Raises UnclearError or IllegibleError.

    ``bare`` is the unit of numbers that are written without one.
    """
    terms = statement.terms
    if statement.either_way and (not kind.either_way or len(terms) > 1):
        raise IllegibleError("a ± stands before it: write the value, then ± and how far it may be off")
    if not kind.signed and any(term.numeral.value.is_signed() for term in terms):
        raise IllegibleError(f"{kind.noun} is never below zero: leave the sign out")
    if kind.of_two_numbers:
        return _ratio(statement, written, kind)
    measures = measures_of(statement, kind, bare)
    sense = measures[0].sense
    joints = {term.joint for term in terms[1:]}
    low = high = value = None
    qualifier = statement.relation
    if not joints:
        value = _value(terms[0], measures[0], kind, statement.relation)
    elif len(terms) == 2 and joints <= {"±", "to"} | ({"-"} if kind.dashed else set()):
        if qualifier != "exact":
            raise IllegibleError("it has a bound and a range: write one of them")
        if "±" in joints:
            qualifier = "tolerance"
            value, low, high = _tolerance(terms, measures, kind)
        else:
            qualifier = "range"
            low, high = _range(terms, measures, kind)
    elif kind.compound and joints <= {" ", "|", "and", ","}:
        value = _sum(terms, measures, kind)
    else:
        raise _two_values(terms, measures, kind)
    mark = _one_mark(statement, measures, kind)
    quantity = Quantity(
        _as_float(value), kind.unit, qualifier, written, mark, _as_float(low), _as_float(high), sense.remark
    )
    return quantity, sense.plain and not terms[0].leads


def _ratio(statement: Statement, written: str, kind: Kind) -> tuple[Quantity, bool]:
    """A ratio of two numbers; only a colon says that it is one."""
    if statement.mark:
        raise IllegibleError(f"{statement.mark.upper()} does not go with {kind.noun}: leave it out")
    value, low, high = ratio_of(statement, kind)
    if low is not None and statement.relation != "exact":
        raise IllegibleError("it has a bound and a range: write one of them")
    qualifier = statement.relation if low is None else "tolerance"
    quantity = Quantity(_as_float(value), kind.unit, qualifier, written, low=_as_float(low), high=_as_float(high))
    return quantity, statement.terms[1].joint == ":"


def _one_mark(statement: Statement, measures: list[Measure], kind: Kind) -> str:
    mark = statement.mark
    if mark and not kind.marked:
        raise IllegibleError(f"{mark.upper()} does not go with {kind.noun}: leave it out")
    for measure in measures:
        mark = joined(measure.mark, mark) if measure.mark else mark
    return mark


def _value(term: Term, measure: Measure, kind: Kind, relation: str = "exact") -> Decimal:
    """The one value of a term in SI, or UnclearError."""
    sense, numeral = measure.sense, term.numeral
    numbers = [numeral.value]
    if numeral.grouped is not None and (numeral.comma or (sense.unit and UNITS[sense.unit].point_may_group)):
        numbers.insert(0, numeral.grouped)
    if numeral.with_e is not None and sense.unit == "ohm":
        numbers.append(numeral.with_e)
    if len(numbers) == 1 and sense.unit:
        return _in_si(numeral.value, UNITS[sense.unit])
    units = [(Decimal(1), UNITS[sense.unit].plain)] if sense.unit else list(sense.readings)
    readings = [plainly(number * factor, unit, relation, measure.mark) for number in numbers for factor, unit in units]
    if not sense.unit:
        reason = f"“{term.unit}” does not say which unit it is"
    elif numeral.with_e is not None:
        reason = "E may stand for a power of ten or for the decimal point"
    else:
        reason = f"its {'comma' if numeral.comma else 'point'} may part thousands or decimals"
    raise UnclearError(reason, readings, plain=sense.plain)


def _in_si(number: Decimal, unit: Unit) -> Decimal:
    """A number of ``unit`` in SI, within the bounds of anything that is measured."""
    if unit.shift is not None:
        value = (number + unit.shift) * unit.factor
        if value < 0:
            raise IllegibleError("nothing is colder than absolute zero, -273.15 °C")
    else:
        value = number * unit.factor
    if value and not _SMALLEST <= abs(value) <= unit.largest:
        raise IllegibleError("its size is beyond anything that is measured: check number and unit")
    return value


def _tolerance(terms: tuple[Term, ...], measures: list[Measure], kind: Kind) -> tuple[Decimal, Decimal, Decimal]:
    """A value with the lowest and the highest that its tolerance allows."""
    value = _value(terms[0], measures[0], kind)
    number, unit = terms[1].numeral.value, measures[1].sense.unit
    if measures[1] is PERCENT:
        if not kind.off_in_percent or not 0 <= number <= 100:
            raise IllegibleError("that tolerance makes no sense here: write the lowest and the highest value")
        reach = abs(value) * number / 100
    elif not unit or number < 0 or terms[1].numeral.comma:
        raise IllegibleError("the tolerance behind ± is unclear: write it in per cent or in the unit of the value")
    else:
        reach = number * UNITS[unit].factor
    return value, value - reach, value + reach


def _range(terms: tuple[Term, ...], measures: list[Measure], kind: Kind) -> tuple[Decimal, Decimal]:
    """The ends of a range, or the question which was meant."""
    if terms[1].numeral.fraction and terms[1].joint == "-":
        raise _two_values(terms, measures, kind)
    try:
        low, high = (_value(term, measure, kind) for term, measure in zip(terms, measures, strict=True))
    except UnclearError as question:
        raise UnclearError(question.reason, of_each(terms, measures), plain=question.plain) from None
    if low >= high:
        raise _two_values(terms, measures, kind)
    return low, high


def _sum(terms: tuple[Term, ...], measures: list[Measure], kind: Kind) -> Decimal:
    """A value in parts, each of a smaller unit than the one before: 1 h 30 min."""
    parts = [_value(term, measure, kind) for term, measure in zip(terms, measures, strict=True)]
    sizes = [UNITS[measure.sense.unit].factor for measure in measures]
    falls = all(part < size for size, part in zip(sizes, parts[1:], strict=False))
    if not falls or sizes != sorted(set(sizes), reverse=True):
        raise _two_values(terms, measures, kind)
    return sum(parts, Decimal(0))


def _two_values(terms: tuple[Term, ...], measures: list[Measure], kind: Kind) -> UnclearError:
    """Several numbers that are no range, tolerance or sum."""
    readings = of_each(terms, measures)
    over, under = terms[0].numeral.value, terms[1].numeral.value
    if terms[1].joint == "/" and len(terms) == 2 and over > under > 1 and over % 10 < under < 10 and over > 10:
        mixed = over // 10 + (over % 10) / under
        readings.append(f"{in_digits(mixed)} {readings[0].split(' ', 1)[1]}")
    plain = all(measure.sense.plain for measure in measures) and not {t.joint for t in terms[1:]} & {" ", "|"}
    return UnclearError("it holds more than one number, and one value is wanted", readings, plain=plain)


def _as_float(value: Decimal | None) -> float | None:
    return None if value is None else float(value) + 0.0
