"""How far a value of the table may be trusted: read, cross-checked, or from memory.

`read` is a value with a publication, list or symbol library behind it that was opened. `cross-checked` is one from
memory that something independent bears out, and the standing says what: the designation (see `designation.py`), the
value of a type of the same system that was read (`sisters.py`), the pins other tubes of the base have their heaters on,
the heat of a point against a rating, or three figures of a triode that fit each other. A check that agrees makes a
value likelier, never certain.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from typing import Literal

from benchleaf.tubes.build_tube import parts_of, tube_of
from benchleaf.tubes.designation import KNOWN_EXCEPTIONS, HeaterRule, heater_rule, numbered_base
from benchleaf.tubes.rectifiers import rectifier_figures
from benchleaf.tubes.sisters import Shares, relatives, same_heat
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

MU_TOLERANCE = 0.15
"""How far slope times plate resistance may lie from the amplification factor: sheets round each to two figures."""

_LEAST_HEAT = 0.25
"""The least share of its rated dissipation at which a sheet states a tube's use. Common practice, no source."""

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


def _kin(tube: Tube, sharing: Shares = "system") -> Iterator[Tube]:
    return (tube_of(relative.type) for relative in relatives(tube.type) if sharing in relative.shares)


def _read_kin(tube: Tube) -> Iterator[Tube]:
    """Tubes of the same system whose heater was read."""
    return (other for other in _kin(tube) if not from_memory(other.heater.sources))


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
        for kin in _kin(tube, "pins"):
            for other in kin.pin_rows if kin.base == tube.base else ():
                if other.pin == row.pin and _alike(row, other) and not from_memory(other.sources):
                    yield f"the {kin.type} has it there"
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
        for kin, maxima in _kins_maxima(tube, section):
            other = getattr(maxima, name)
            if other and other.value == value.value and not from_memory(other.sources):
                yield f"the {kin} is rated the same"
        if name == "plate_watts":
            for point in tube.typical:
                if point.section == section and not from_memory(point.sources) and _fits_heat(point, value.value):
                    yield f"the heat of a point that was read, {_heat_of(point)}, is under it"

    return _graded(value.sources, checks())


def direct_current(tube: Tube, section: str, limit: DirectCurrentLimit) -> ValueGrade:
    """The standing of a rectifier's most direct current."""

    def checks() -> Iterator[str]:
        for kin, maxima in _kins_maxima(tube, section):
            for other in maxima.dc:
                same = (other.amps, other.condition) == (limit.amps, limit.condition)
                if same and not from_memory(other.sources):
                    yield f"the {kin} is rated the same"

    return _graded(limit.sources, checks())


def _kins_maxima(tube: Tube, section: str) -> Iterator[tuple[str, Maxima]]:
    for kin in _kin(tube):
        for maxima in (kin.maxima, *kin.other_maxima):
            if maxima.section == section:
                yield kin.type, maxima


def rectifier(tube: Tube, name: Literal["peak_amps", "inverse_volts", "reservoir_farads"], limit: Rated) -> ValueGrade:
    """The standing of a rectifier's limit; `name` is its field of `RectifierFigures`."""

    def checks() -> Iterator[str]:
        for kin in _kin(tube):
            figures = rectifier_figures(kin)
            other: Rated | None = getattr(figures, name) if figures else None
            if other and other.value == limit.value and not from_memory(other.sources):
                yield f"the {kin.type} is rated the same"

    return _graded(limit.sources, checks())


def point(tube: Tube, typical: Typical, figure: str = "") -> ValueGrade:
    """The standing of an operating point, or of one ``figure`` of it (a field of `Typical`).

    What bears one out: the same point read of the same triode or system, or of the same type by another source, with
    the same figure; the same slope or factor, read at these plate volts or where its point is not printed. Its heat
    under a rating that was read speaks of plate volts and current only; that slope times plate resistance is the
    amplification factor, of these three.
    """

    def checks() -> Iterator[str]:
        for kin in _kin(tube, "triode"):
            if _read_alike(typical, kin, figure):
                yield f"the {kin.type} has the same point"
        if _read_alike(typical, tube, figure):
            yield "another source has the same"
        yield from _figures_read(typical, tube, figure)
        if figure in ("", "mu", "gm_siemens", "rp_ohms") and figures_fit(typical):
            yield "slope times internal resistance is the amplification factor"
        for maxima in (tube.maxima, *tube.other_maxima) if figure in ("", "plate_volts", "plate_amps") else ():
            rated = maxima.plate_watts if maxima.section == typical.section else None
            if rated and not from_memory(rated.sources) and _fits_heat(typical, rated.value):
                yield f"its heat, {_heat_of(typical)}, is under the {rated.value:g} W read"

    return _graded(typical.sources, checks())


def _read_alike(typical: Typical, other: Tube, figure: str) -> bool:
    """True where a point of ``other`` that was read is the same, and has the same figure if one is asked for."""
    same = (o for o in other.typical if _same_point(typical, o) and not from_memory(o.sources))
    return any(not figure or getattr(o, figure) == getattr(typical, figure) for o in same)


def _figures_read(typical: Typical, tube: Tube, figure: str) -> Iterator[str]:
    """Who prints the slope or factor asked for, of the type or its kin, at these plate volts or without any."""
    for name, words in (("gm_siemens", "slope"), ("mu", "amplification factor")):
        value = getattr(typical, name) if figure == name else None
        for other in (tube, *_kin(tube, "triode")) if value is not None else ():
            read = (o for o in other.typical if o.section == typical.section and not from_memory(o.sources))
            if any(getattr(o, name) == value and o.plate_volts in (None, typical.plate_volts) for o in read):
                yield f"{'another source' if other is tube else f'the {other.type}'} has the same {words}"
                break


def _fits_heat(typical: Typical, most_watts: float) -> bool:
    """True where plate volts times plate current are at most the rating, and no small part of it."""
    if not (typical.plate_volts and typical.plate_amps):
        return False
    return _LEAST_HEAT * most_watts <= typical.plate_volts * typical.plate_amps <= most_watts


def _heat_of(typical: Typical) -> str:
    watts = (typical.plate_volts or 0.0) * (typical.plate_amps or 0.0)
    return f"{watts:.3g} W at {typical.plate_volts:g} V"


def _same_point(one: Typical, other: Typical) -> bool:
    def place(p: Typical) -> tuple[object, ...]:
        return p.section, p.plate_volts, p.screen_volts, p.plate_amps

    return one.plate_amps is not None and place(one) == place(other)


def figures_fit(typical: Typical) -> bool:
    """True for a triode's point whose slope times internal resistance is its amplification factor within 15 %."""
    if typical.screen_volts is not None or not (typical.mu and typical.gm_siemens and typical.rp_ohms):
        return False
    return abs(typical.gm_siemens * typical.rp_ohms - typical.mu) <= MU_TOLERANCE * typical.mu
