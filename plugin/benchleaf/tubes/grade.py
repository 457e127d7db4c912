"""How far a value of the table may be trusted: read, cross-checked, or from memory.

`read` is a value with a publication, list or symbol library behind it that was opened. `cross-checked` is one from
memory that something independent bears out, and the standing says what: the designation (see `designation.py`), a
sister type's value that was read (`sisters.py`), or three figures of a triode that fit each other. A check that
agrees makes a value likelier, never certain.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from typing import Literal

from benchleaf.tubes.build_tube import tube_of
from benchleaf.tubes.designation import KNOWN_EXCEPTIONS, HeaterRule, heater_rule, numbered_base
from benchleaf.tubes.rectifiers import rectifier_figures
from benchleaf.tubes.sisters import same_heat, sisters
from benchleaf.tubes.tube import (
    DirectCurrentLimit,
    Maxima,
    PinRow,
    Rated,
    TableSource,
    Tube,
    Typical,
    from_memory,
    titles,
)

Grade = Literal["read", "cross-checked", "from memory"]
GRADES: tuple[Grade, ...] = ("read", "cross-checked", "from memory")

MU_TOLERANCE = 0.15
"""How far slope times plate resistance may lie from the amplification factor: sheets round each to two figures."""


@dataclass(frozen=True, slots=True)
class ValueGrade:
    """The grade of one value, and in words what bears it out where it was only remembered."""

    grade: Grade
    borne_out_by: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        """What a page says after the source: empty for a value that was read or only remembered."""
        return f"cross-checked: {', '.join(self.borne_out_by)}" if self.borne_out_by else ""


READ, REMEMBERED = ValueGrade("read"), ValueGrade("from memory")


def said(sources: Iterable[TableSource], standing: ValueGrade) -> str:
    """The sources of a value in one line, with what bears it out where it was only remembered."""
    return "; ".join(part for part in (titles(sources), standing.words) if part)


def _graded(sources: tuple[TableSource, ...], checks: Iterator[str]) -> ValueGrade:
    if not from_memory(sources):
        return READ
    found = tuple(dict.fromkeys(checks))
    return ValueGrade("cross-checked", found) if found else REMEMBERED


def plain(sources: tuple[TableSource, ...]) -> ValueGrade:
    """The standing of a value that nothing but its sources speaks for."""
    return _graded(sources, iter(()))


@cache
def heater_volts(type_: str) -> ValueGrade:
    """The standing of the heater volts of a type of the table. Raises KeyError for a type that is not in it."""
    tube = tube_of(type_)
    return _graded(tube.heater.sources, _heater_checks(tube, "volts"))


@cache
def heater_amps(type_: str) -> ValueGrade:
    """The standing of the heater current of a type of the table. Raises KeyError for a type that is not in it."""
    tube = tube_of(type_)
    return _graded(tube.heater.sources, _heater_checks(tube, "amps"))


def _heater_checks(tube: Tube, figure: Literal["volts", "amps"]) -> Iterator[str]:
    said = {name: rule for name, rule in _rules(tube) if rule.agrees(tube.heater.volts, tube.heater.amps)}
    here = [name for name, rule in said.items() if _speaks_of(rule) == figure]
    yield from (_by_designation(name, said[name]) for name in here)
    if here or not said:
        return
    # The designation fixes the other figure, so that a sister's heating power fixes this one.
    for sister in _read_sisters(tube, lambda other: other.heater.sources):
        if same_heat(sister.heater.watts, tube.heater.watts):
            yield f"the heating power of the {sister.type}, {sister.heater.watts:.3g} W"


def _rules(tube: Tube) -> Iterator[tuple[str, HeaterRule]]:
    """What the type's own designation and those of its equivalents say; house numbers say nothing."""
    names = (tube.type, *(other.name for other in tube.equivalents if other.relation == "equivalent"))
    for name in names:
        rule = heater_rule(name)
        foreign_lock_in = rule is not None and rule.scheme == "RETMA lock-in" and tube.base != "loctal (B8B)"
        if rule is not None and name not in KNOWN_EXCEPTIONS and not foreign_lock_in and _speaks_of(rule):
            yield name, rule


def _speaks_of(rule: HeaterRule) -> Literal["volts", "amps"] | None:
    return "amps" if rule.amps is not None else "volts" if rule.volts else None


def _by_designation(name: str, rule: HeaterRule) -> str:
    return f"{name} by its designation is {rule.words}"


def _read_sisters(tube: Tube, sources: Callable[[Tube], tuple[TableSource, ...]]) -> Iterator[Tube]:
    for name in sisters(tube.type):
        sister = tube_of(name)
        found = sources(sister)
        if found and not from_memory(found):
            yield sister


@cache
def base(type_: str) -> ValueGrade:
    """The standing of the base of a type of the table. Raises KeyError for a type that is not in it."""
    tube = tube_of(type_)
    names = (type_, *(other.name for other in tube.equivalents if other.relation == "equivalent"))
    said = (f"{name} is on this base by its number" for name in names if numbered_base(name) == tube.base)
    return _graded(tube.identity_sources, said)


def heater_is_borne_out(type_: str) -> bool:
    """True where both figures of a heater are cross-checked."""
    return heater_volts(type_).grade == heater_amps(type_).grade == "cross-checked"


def pin(tube: Tube, row: PinRow) -> ValueGrade:
    """The standing of one pin: a sister has the same electrodes on the same pins."""

    def checks() -> Iterator[str]:
        for name in sisters(tube.type):
            for other in tube_of(name).pin_rows:
                if other.pin == row.pin and other.electrode == row.electrode and not from_memory(other.sources):
                    yield f"the {name} has it there"

    return _graded(row.sources, checks())


def pins(tube: Tube) -> ValueGrade:
    """The standing of a tube's pins together: no better than the weakest of them."""
    standings = [pin(tube, row) for row in tube.pin_rows]
    worst = max((GRADES.index(s.grade) for s in standings), default=GRADES.index("from memory"))
    named = dict.fromkeys(words for s in standings for words in s.borne_out_by)
    return ValueGrade(GRADES[worst], tuple(named) if GRADES[worst] == "cross-checked" else ())


def rated(tube: Tube, section: str, name: str, value: Rated) -> ValueGrade:
    """The standing of a rated value of a section; `name` is its field of `Maxima`."""

    def checks() -> Iterator[str]:
        for sister, maxima in _sister_maxima(tube, section):
            other = getattr(maxima, name)
            if other and other.value == value.value and not from_memory(other.sources):
                yield f"the {sister} is rated the same"

    return _graded(value.sources, checks())


def direct_current(tube: Tube, section: str, limit: DirectCurrentLimit) -> ValueGrade:
    """The standing of a rectifier's most direct current."""

    def checks() -> Iterator[str]:
        for sister, maxima in _sister_maxima(tube, section):
            for other in maxima.dc:
                same = (other.amps, other.condition) == (limit.amps, limit.condition)
                if same and not from_memory(other.sources):
                    yield f"the {sister} is rated the same"

    return _graded(limit.sources, checks())


def _sister_maxima(tube: Tube, section: str) -> Iterator[tuple[str, Maxima]]:
    for name in sisters(tube.type):
        sister = tube_of(name)
        for maxima in (sister.maxima, *sister.other_maxima):
            if maxima.section == section:
                yield name, maxima


def rectifier(tube: Tube, name: Literal["peak_amps", "inverse_volts", "reservoir_farads"], limit: Rated) -> ValueGrade:
    """The standing of a rectifier's limit; `name` is its field of `RectifierFigures`."""

    def checks() -> Iterator[str]:
        for sister in sisters(tube.type):
            figures = rectifier_figures(tube_of(sister))
            other: Rated | None = getattr(figures, name) if figures else None
            if other and other.value == limit.value and not from_memory(other.sources):
                yield f"the {sister} is rated the same"

    return _graded(limit.sources, checks())


def point(tube: Tube, typical: Typical) -> ValueGrade:
    """The standing of an operating point: a sister's point that was read, or a triode's figures that fit each other."""

    def checks() -> Iterator[str]:
        for name in sisters(tube.type):
            if any(_same_point(typical, o) and not from_memory(o.sources) for o in tube_of(name).typical):
                yield f"the {name} has the same point"
        if figures_fit(typical):
            yield "slope times plate resistance is the amplification factor"

    return _graded(typical.sources, checks())


def _same_point(one: Typical, other: Typical) -> bool:
    def place(p: Typical) -> tuple[object, ...]:
        return p.section, p.plate_volts, p.screen_volts, p.plate_amps

    return one.plate_amps is not None and place(one) == place(other)


def figures_fit(typical: Typical) -> bool:
    """True for a triode's point whose slope times plate resistance is its amplification factor within 15 %."""
    if typical.screen_volts is not None or not (typical.mu and typical.gm_siemens and typical.rp_ohms):
        return False
    return abs(typical.gm_siemens * typical.rp_ohms - typical.mu) <= MU_TOLERANCE * typical.mu
