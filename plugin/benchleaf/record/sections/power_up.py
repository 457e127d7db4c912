"""First power-up and reforming, as written."""

from ..section import Section, form
from ..values import Current, Date, Duration, Voltage, Wording


class PowerUpStep(Section):
    """``line 80 V, 0.16 A, B+1 70 V``: line volts, line current, then whatever else was read."""

    FORM = form(["line", "after"], values={"current": "amps"}, rest="read", remark="note")

    line: Voltage | None = None
    amps: Current | None = None
    after: Duration | None = None
    read: Wording | None = None
    note: Wording | None = None


class PowerUp(Section):
    """One session on a raised line."""

    SYNONYMS = {"using": "with"}

    date: Date | None = None
    with_: Wording | None = None
    steps: tuple[PowerUpStep, ...] = ()
    note: Wording | None = None


class ReformingEntry(Section):
    """``90 min, 0.21 mA``."""

    FORM = form(["at"], values={"duration": "after", "current": "current", "voltage": "at"}, rest="note")

    after: Duration | None = None
    current: Current | None = None
    at: Voltage | None = None
    note: Wording | None = None


class Reforming(Section):
    """Reforming of one electrolytic capacitor."""

    to: Wording | None = None
    date: Date | None = None
    log: tuple[ReformingEntry, ...] = ()
    note: Wording | None = None
