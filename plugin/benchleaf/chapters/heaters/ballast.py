"""A ballast tube by its code: what it drops at the string's current, and the resistors that would do the same."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...electrics.droppers import rating_for
from ...record.units import say
from ...tubes.ballast_code import ballast_code
from .rated import si

if TYPE_CHECKING:
    from ...record.sections.dropper import NewDropper


@dataclass(frozen=True, slots=True)
class CodedBallast:
    """What its code says, and resistors in its place: ``ohms`` in series and ``lamp_ohms`` across its one lamp.

    ``lamp_ohms`` carries what the lamp does not take of the string's current, None where the lamp takes all of it or
    more. Each rating is twice the heat (common practice, no source).
    """

    code: str
    volts: float
    lamp_volts: float
    lamp_amps: float
    pins: str
    ohms: float | None
    watts: float | None
    rating_watts: float | None
    lamp_ohms: float | None
    lamp_shunt_rating_watts: float | None
    source: str


def coded_ballast(written: NewDropper | None, amps: float | None) -> CodedBallast | None:
    """The ballast of a written dropper's code in a string of ``amps``; None where it has no code."""
    code = ballast_code(str(written.type)) if written and written.type and written.kind == "ballast" else None
    if code is None:
        return None
    rest = code.volts - code.lamp_volts
    watts = rest * amps if amps and rest > 0 else None
    past_lamp = amps - code.lamp_amps if amps else 0.0
    return CodedBallast(
        code=code.code,
        volts=code.volts,
        lamp_volts=code.lamp_volts,
        lamp_amps=code.lamp_amps,
        pins=code.pins,
        ohms=rest / amps if amps and rest > 0 else None,
        watts=watts,
        rating_watts=rating_for(watts) if watts else None,
        lamp_ohms=code.lamp_volts / past_lamp if past_lamp > 0 else None,
        lamp_shunt_rating_watts=rating_for(code.lamp_volts * past_lamp) if past_lamp > 0 else None,
        source=code.source.title,
    )


def volts_by_code(written: NewDropper, *, lamp_apart: float) -> float | None:
    """The volts of a coded ballast without those of a lamp that the record has in the string by itself."""
    code = ballast_code(str(written.type)) if written.type and written.kind == "ballast" else None
    if code is None or si(written.ohms) or si(written.volts) or si(written.measured):
        return None
    return code.volts - lamp_apart


def said_of_ballast(ballast: CodedBallast | None, amps: float | None) -> Iterator[str]:
    """What its code says, and what would take its place."""
    if ballast is None:
        return
    lamp = f"{say(ballast.lamp_volts, 'V')} {say(ballast.lamp_amps, 'A')}"
    yield (
        f"Ballast {ballast.code} by its code ({ballast.source}): {say(ballast.volts, 'V')} in all, a pilot lamp of "
        f"{lamp} among them; the letter {ballast.pins} is how its pins are joined, for which see the sheet."
    )
    if ballast.ohms is None:
        return
    lamp_said = ""
    if ballast.lamp_ohms is not None:
        lamp_said = (
            f", and {say(ballast.lamp_ohms, 'ohm', digits=2)} "
            f"{say(ballast.lamp_shunt_rating_watts, 'W')} across the lamp where it has one"
        )
    yield (
        f"Resistors in its place at {say(amps, 'A')}: {say(ballast.ohms, 'ohm')} in series with "
        f"{say(ballast.watts, 'W')} of heat, {say(ballast.rating_watts, 'W')} or more, vented{lamp_said}. "
        "Without a lamp in its socket the whole current goes through that shunt."
    )
