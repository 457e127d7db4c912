"""The chapter in short: what the speaker loads, and what its field coil drops; the table of both has its own page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...report.amount import Amount, Origin
from ...report.digest import Brief, Digest, remaining
from ...report.sentence import Note, Phrase
from .say import said, standouts

if TYPE_CHECKING:
    from ..bench import Bench
    from .examine import SpeakerFindings
    from .field_coil import FieldCoil


def digest(findings: SpeakerFindings, bench: Bench) -> Digest:
    """The load in a sentence, and the field coil in another where its ends were read."""
    page = said(findings, bench)
    coil = findings.field
    return Digest(
        (*page.conclusion.phrase, *(_field(coil) if coil else ())),
        small=(Note(page.note),) if page.note else (),
        working="The values, and how they were worked out",
        half=True,
        brief=Brief(remains=remaining(tuple(standouts(findings, bench)))),
    )


def _field(coil: FieldCoil) -> Phrase:
    if coil.volts is None:
        return ()
    volts, amps, watts = (
        Amount(value, unit, Origin.COMPUTED, anchor="speaker")
        for value, unit in ((coil.volts, "V"), (coil.amps, "A"), (coil.watts, "W"))
    )
    named = f" {coil.part}" if coil.part else ""
    return (f" Its field coil{named} drops ", volts, " at ", amps, ", which is ", watts, " of heat.")
