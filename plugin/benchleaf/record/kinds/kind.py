"""What a kind of quantity is: its unit in SI, the units it is written in and how they are spelled, how it is said.

All that reads or says a value takes what it needs to know of a kind from its row.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cached_property
from typing import NamedTuple

_LARGEST = Decimal("1e18")


class Sense(NamedTuple):
    """What a spelling means.

    ``unit`` is the unit's name; empty where the spelling leaves it open, and then ``readings`` holds the units it may
    be, each with the factor that the number takes. ``plain`` is False where a spelling says its kind only to somebody
    who knows the kind already (K for kelvin, h for henry). ``remark`` is what the writer is told although the value is
    accepted.
    """

    unit: str = ""
    readings: tuple[tuple[Decimal, str], ...] = ()
    plain: bool = True
    remark: str = ""


class Spellings(NamedTuple):
    """The spellings of one kind's units.

    Upper and lower case count in ``exact``, only that of the first letter in ``initial``, none in ``loose``.
    """

    exact: dict[str, Sense]
    initial: dict[str, Sense]
    loose: dict[str, Sense]

    def find(self, word: str) -> Sense | None:
        """What a spelling means, or None where it is no unit of this kind."""
        return self.exact.get(word) or self.initial.get(word[:1] + word[1:].lower()) or self.loose.get(word.lower())


class Unit(NamedTuple):
    """A unit, by the name pint knows it by.

    In SI a value is (number + ``shift``) x ``factor``; a difference takes the factor alone. ``plain`` is its spelling
    in ASCII that reads back as this unit. Of its other spellings, parted by blanks ("_" stands for a blank within one,
    and a hyphen counts as a blank), upper and lower case count in ``exact`` and ``known``, only that of the first
    letter in ``initial``, none in ``loose``; those in ``known`` say the unit only where the kind is known already.
    ``symbol`` is what a page says it by, from ``said_from`` (in SI) upwards; empty where it is never said.
    ``point_may_group`` is True where a value of four figures is usual, so that a point may part thousands.
    """

    name: str
    factor: Decimal
    plain: str
    loose: str = ""
    initial: str = ""
    exact: str = ""
    known: str = ""
    symbol: str = ""
    said_from: float = 0
    shift: Decimal | None = None
    largest: Decimal = _LARGEST
    point_may_group: bool = False


class Open(NamedTuple):
    """Spellings that leave the unit open: ``readings`` such as ``1 nF | 1 uF``, each a factor and a plain unit.

    Upper and lower case count, or that of the first letter alone (``initial``). ``plain`` as a Sense has it.
    """

    spelled: str
    readings: str
    initial: bool = False
    plain: bool = True


class Remarked(NamedTuple):
    """Spellings that are taken with a remark. Case counts for the first letter (``initial``), or not at all."""

    spelled: str
    unit: str
    remark: str
    initial: bool = False


@dataclass(frozen=True, eq=False)
class Kind:
    """One kind of quantity.

    ``unit`` is the SI unit its values are kept in, ``in_key`` that unit at the end of a published key. ``noun`` (with
    its article) and ``examples`` tell a writer what to write, ``bare`` the units that a number without one may be in,
    ``suggested`` the unit to write behind it (empty where none is likelier than others). ``units`` are from small to
    large; ``at_zero`` names the one that says a zero, where it is not the smallest, and ``figures`` how many it is said
    with where nothing else is asked for. ``code_letters`` stand for the decimal point in a value code such as 4k7
    (IEC 60062).

    The rest says what may be written: ``marked`` with AC, DC, peak, RMS; ``dashed`` as 105-125; ``compound`` in parts,
    1 h 30 min; ``signed`` below zero; ``overrange`` as OL; ``circuit_words`` open and short; ``either_way`` with ± and
    nothing before it; ``off_in_percent`` with a tolerance in per cent; ``marking`` says that three digits and a letter
    are a part's marking; ``of_two_numbers`` that it is a ratio written with a colon, 45:1.
    """

    name: str
    unit: str
    in_key: str
    noun: str
    examples: str
    bare: tuple[str, ...]
    units: tuple[Unit, ...]
    opens: tuple[Open, ...] = ()
    remarked: tuple[Remarked, ...] = ()
    code_letters: Mapping[str, str] = field(default_factory=dict)
    suggested: str = ""
    at_zero: str = ""
    figures: int = 3
    marked: bool = False
    dashed: bool = False
    compound: bool = False
    signed: bool = False
    overrange: bool = False
    circuit_words: bool = False
    either_way: bool = False
    off_in_percent: bool = True
    marking: bool = False
    of_two_numbers: bool = False

    @cached_property
    def expected(self) -> str:
        """What a writer may type, in plain words."""
        return f"{self.noun} such as {self.examples}"

    @cached_property
    def sizes(self) -> tuple[Unit, ...]:
        """The units a page says it in, from small to large."""
        return tuple(unit for unit in self.units if unit.symbol)

    @cached_property
    def spellings(self) -> Spellings:
        """Every spelling of its units, with what it means."""
        return _spellings_of(self)


def _spellings_of(kind: Kind) -> Spellings:
    found = Spellings({}, {}, {})
    for unit in kind.units:
        sense = Sense(unit.name)
        found.loose.update(dict.fromkeys(_words(unit.loose), sense))
        found.initial.update(dict.fromkeys(_words(unit.initial), sense))
        found.exact.update(dict.fromkeys(_words(unit.exact), sense))
        found.exact.update(dict.fromkeys(_words(unit.known), Sense(unit.name, plain=False)))
    for spelling in kind.opens:
        table = found.initial if spelling.initial else found.exact
        parted = (reading.split() for reading in spelling.readings.split(" | "))
        sense = Sense(readings=tuple((Decimal(factor), unit) for factor, unit in parted), plain=spelling.plain)
        table.update(dict.fromkeys(_words(spelling.spelled), sense))
    for taken in kind.remarked:
        table = found.initial if taken.initial else found.loose
        table.update(dict.fromkeys(_words(taken.spelled), Sense(taken.unit, remark=taken.remark)))
    return found


def _words(text: str) -> list[str]:
    return [word.replace("_", " ") for word in text.split()]
