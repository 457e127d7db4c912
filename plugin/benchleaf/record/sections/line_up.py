"""The tubes of a set and the ones that were changed, as written."""

from typing import ClassVar

from ..forms import Form
from ..section import Section, form
from ..values import Current, Date, Pins, Ratio, Voltage, Wording


class Heater(Section):
    """A heater rating given in the record: ``12.6 V 0.15 A``."""

    FORM = form(["volts", "amps"], values={"voltage": "volts", "current": "amps"})

    volts: Voltage
    amps: Current


class FittedTube(Section):
    """A tube position: ``12BE6, frequency changer``. A type that is not in the table brings its own data."""

    FORM = form(
        ["type", "job", "heater", "base", "pins", "note"],
        first=("type",),
        groups={"heater": Heater.FORM or Form()},
        rest="job",
        remark="note",
        tube_first=True,
    )

    type: Wording
    job: Wording | None = None
    heater: Heater | None = None
    base: Wording | None = None
    pins: Pins | None = None
    note: Wording | None = None


class TestedTube(Section):
    """One side of a change: ``50C5 at 61 % emission``."""

    __test__: ClassVar[bool] = False

    FORM = form(
        ["type", "note"],
        values={"ratio": "emission"},
        first=("type",),
        skipped=frozenset({"at", "emission"}),
    )

    type: Wording
    emission: Ratio | None = None
    note: Wording | None = None


class ChangedTube(Section):
    """``was 50C5 at 61 % emission, now 50C5 at 102 % emission``."""

    FORM = form(
        ["was", "now", "why", "date", "note"],
        values={"date": "date"},
        groups={"was": TestedTube.FORM or Form(), "now": TestedTube.FORM or Form()},
        remark="note",
        strict=True,
    )

    was: TestedTube | None = None
    now: TestedTube | None = None
    why: Wording | None = None
    date: Date | None = None
    note: Wording | None = None
