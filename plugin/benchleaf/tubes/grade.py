"""How far a value of the table may be trusted: read, cross-checked, or from memory.

`read` is a value with a publication, list or symbol library behind it that was opened. `cross-checked` is one from
memory that something independent bears out, and the standing says what: the designation (see `designation.py`), the
value of a type of the same system that was read (`sisters.py`), the pins other tubes of the base have their heaters on,
a rating and a point that fit each other, and what else speaks for a point (`point_checks.py`), among it a public model
of the tube (`fitted_models.py`) and a second point on the tube law (`second_points.py`). A check that agrees makes a
value likelier, never certain.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from itertools import chain
from typing import Literal

from benchleaf.tubes.build_tube import parts_of, tube_of
from benchleaf.tubes.designation import KNOWN_EXCEPTIONS, HeaterRule, heater_rule, numbered_base
from benchleaf.tubes.point_checks import drop_checks, kin, point_checks, rating_checks
from benchleaf.tubes.rectifiers import Drop, rectifier_figures
from benchleaf.tubes.second_points import second_points
from benchleaf.tubes.sisters import same_heat
from benchleaf.tubes.tables import type_rows
from benchleaf.tubes.tube import (
    DirectCurrentLimit,
    Maxima,
    Pin,
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

_SHIELDS = frozenset({"s", "shell", "nc", "ic"})

_ENOUGH_READ = 5
"""So many types of a base must have been read before the pins of their heaters say anything of another type."""


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
def heater_volts(tube: Tube) -> ValueGrade:
    """The standing of a tube's heater volts."""
    return _graded(tube.heater.sources, _heater_checks(tube, "volts"))


@cache
def heater_amps(tube: Tube) -> ValueGrade:
    """The standing of a tube's heater current."""
    return _graded(tube.heater.sources, _heater_checks(tube, "amps"))


def _heater_checks(tube: Tube, figure: Literal["volts", "amps"]) -> Iterator[str]:
    heater = tube.heater
    said = {name: rule for name, rule in _rules(tube) if rule.agrees(heater.volts, heater.amps)}
    here = [name for name, rule in said.items() if _speaks_of(rule) == figure]
    yield from (_by_designation(name, said[name]) for name in here)
    for other in _read_kin(tube):
        if (other.heater.volts, other.heater.amps) == (heater.volts, heater.amps):
            yield f"the {other.type} has the same heater"
        elif said and not here and same_heat(other.heater.watts, heater.watts):
            # The designation fixes the other figure, so that a sister's heating power fixes this one.
            yield f"the heating power of the {other.type}, {other.heater.watts:.3g} W"


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


def _read_kin(tube: Tube) -> Iterator[Tube]:
    """Tubes of the same system whose heater was read."""
    return (other for other in kin(tube) if not from_memory(other.heater.sources))


@cache
def base(tube: Tube) -> ValueGrade:
    """The standing of a tube's base."""
    names = (tube.type, *(other.name for other in tube.equivalents if other.relation == "equivalent"))
    said = (f"{name} is on this base by its number" for name in names if numbered_base(name) == tube.base)
    return _graded(tube.identity_sources, said)


def heater_is_borne_out(tube: Tube) -> bool:
    """True where both figures of a heater are cross-checked."""
    return heater_volts(tube).grade == heater_amps(tube).grade == "cross-checked"


def pin(tube: Tube, row: PinRow) -> ValueGrade:
    """The standing of one pin: a tube of the same system has the same electrodes on the pins of the same base."""

    def checks() -> Iterator[str]:
        for sister in kin(tube, "pins"):
            for other in sister.pin_rows if sister.base == tube.base else ():
                if other.pin == row.pin and _alike(row, other) and not from_memory(other.sources):
                    yield f"the {sister.type} has it there"
        if _heats(row) and row.pin in _heater_pins(tube.base or "", direct=tube.heater.direct):
            yield "the heaters of this base that were read are there"

    return _graded(row.sources, checks())


def _alike(one: PinRow, other: PinRow) -> bool:
    """True where two pins lead to the same, but for shields and a suppressor joined to the cathode inside."""
    bare = [frozenset(parts_of(row.electrode)) - _SHIELDS for row in (one, other)]
    return bool(bare[0] and bare[1]) and (bare[0] <= bare[1] or bare[1] <= bare[0])


def _heats(row: PinRow) -> bool:
    return bool(set(parts_of(row.electrode)) & {"h", "f", "f+", "f-"})


@cache
def _heater_pins(base: str, *, direct: bool) -> frozenset[Pin]:
    """The pins all heaters (or filaments) of a base are on of which both ends were read; none where they differ."""
    read = []
    for type_, row in type_rows().items():
        if row["base"] == base and (row["cathode"] == "filament") is direct:
            ends = [pin for pin in tube_of(type_).pin_rows if _heats(pin)]
            if ends and not any(from_memory(pin.sources) for pin in ends):
                read.append(frozenset(pin.pin for pin in ends))
    common = frozenset.intersection(*read) if len(read) >= _ENOUGH_READ else frozenset()
    return common if len(common) > 1 else frozenset()


def pins(tube: Tube) -> ValueGrade:
    """The standing of a tube's pins together: no better than the weakest of them."""
    standings = [pin(tube, row) for row in tube.pin_rows]
    worst = max((GRADES.index(s.grade) for s in standings), default=GRADES.index("from memory"))
    named = dict.fromkeys(words for s in standings for words in s.borne_out_by)
    return ValueGrade(GRADES[worst], tuple(named) if GRADES[worst] == "cross-checked" else ())


def rated(tube: Tube, section: str, name: str, value: Rated) -> ValueGrade:
    """The standing of a rated value of a section; `name` is its field of `Maxima`."""

    def checks() -> Iterator[str]:
        for other_type, maxima in _kins_maxima(tube, section):
            other = getattr(maxima, name)
            if other and other.value == value.value and not from_memory(other.sources):
                yield f"the {other_type} is rated the same"
        yield from rating_checks(tube, section, name, value.value)

    return _graded(value.sources, checks())


def direct_current(tube: Tube, section: str, limit: DirectCurrentLimit) -> ValueGrade:
    """The standing of a rectifier's most direct current."""

    def checks() -> Iterator[str]:
        for other_type, maxima in _kins_maxima(tube, section):
            for other in maxima.dc:
                same = (other.amps, other.condition) == (limit.amps, limit.condition)
                if same and not from_memory(other.sources):
                    yield f"the {other_type} is rated the same"

    return _graded(limit.sources, checks())


def _kins_maxima(tube: Tube, section: str) -> Iterator[tuple[str, Maxima]]:
    for other in kin(tube):
        for maxima in (other.maxima, *other.other_maxima):
            if maxima.section == section:
                yield other.type, maxima


def rectifier(tube: Tube, name: Literal["peak_amps", "inverse_volts", "reservoir_farads"], limit: Rated) -> ValueGrade:
    """The standing of a rectifier's limit; `name` is its field of `RectifierFigures`."""

    def checks() -> Iterator[str]:
        for sister in kin(tube):
            figures = rectifier_figures(sister)
            other: Rated | None = getattr(figures, name) if figures else None
            if other and other.value == limit.value and not from_memory(other.sources):
                yield f"the {sister.type} is rated the same"

    return _graded(limit.sources, checks())


def point(tube: Tube, typical: Typical, figure: str = "") -> ValueGrade:
    """The standing of an operating point, or of one ``figure`` of it (a field of `Typical`)."""
    checks = chain(point_checks(tube, typical, figure), second_points(tube, typical, figure))
    return _graded(typical.sources, checks)


def drop(tube: Tube, of: Drop) -> ValueGrade:
    """The standing of what a rectifier drops."""
    return _graded(of.sources, drop_checks(tube, of))
