"""The swept response and the detector's curve in words and tables."""

from __future__ import annotations

from dataclasses import dataclass

from ...electrics.response import FallenBy
from ...record.decibels import say_decibels
from ...report.amount import Amount, Origin
from ...report.points_table import points_tables
from ...report.sentence import Phrase, PhrasePart
from ...report.table import Table
from .findings import AlignmentSession, DetectorCurve, SweptResponse

_EVEN = 1.25
"""One side no more than this many times as wide as the other is called even (common practice, no source)."""
_DIP_DB = 0.5
_TOO_FEW = "The points of the response are too few, or not all of one kind, to be worked out."
_NO_S = "The detector’s points do not pass through zero between two peaks, so that nothing is worked out of them."


@dataclass(frozen=True, slots=True)
class SweptSaid:
    """One curve: its heading, what it comes to, its points, and the name of the figure."""

    heading: str
    sentence: Phrase
    tables: tuple[Table, ...]
    figure: str


def curves_said(session: AlignmentSession, number: int) -> tuple[SweptSaid, ...]:
    """The curves of one alignment."""
    found: list[SweptSaid] = []
    after, before = session.response, session.response_before
    if after or before:
        told = response_in_words(after, before)
        found.append(SweptSaid("Response", told, _tables(after, before), response_figure(number)))
    if session.s_curve:
        curve = session.s_curve
        table = points_tables("The detector’s curve", "The detector, as it was read", "Frequency", (), curve.levels)
        found.append(SweptSaid("The FM detector", s_in_words(curve), table, s_figure(number)))
    return tuple(found)


def response_figure(number: int) -> str:
    """The name of a session's response curve."""
    return f"alignment-response-{number}"


def s_figure(number: int) -> str:
    """The name of a session's detector curve."""
    return f"alignment-detector-{number}"


def response_in_words(after: SweptResponse | None, before: SweptResponse | None) -> Phrase:
    """How wide the response is, where it lies and how even it is; what it was before."""
    one = after or before
    if one is None:
        return ()
    if one.said is None:
        return (_TOO_FEW,)
    said = one.said
    told: list[PhrasePart] = []
    for band in (said.three, said.six):
        if band.width:
            told += [" and " if told else "", Amount(band.width, "Hz", Origin.COMPUTED, digits=2)]
            told += [" wide at ", Amount(-band.down, "dB")]
            told += _was(band, before if after else None)
    if not told:
        return ("The points do not reach down to 3 dB on both sides.",)
    middle = said.six.middle or said.three.middle
    if middle and one.intermediate_hertz:
        told += ["; its middle is ", *_from_if(middle - one.intermediate_hertz)]
    if said.evenness:
        told += [", ", _evenness(said.evenness)]
    if said.dip_db >= _DIP_DB:
        told += [f"; two humps, {say_decibels(said.dip_db)} deep between them"]
    told += [". As wide as one circuit of Q ", _q(said.q), "."] if said.q else ["."]
    return tuple(told)


def _was(band: FallenBy, before: SweptResponse | None) -> list[PhrasePart]:
    if before is None or before.said is None:
        return []
    was = (before.said.three if band.down == before.said.three.down else before.said.six).width
    return [" (before: ", Amount(was, "Hz", Origin.COMPUTED, digits=2), ")"] if was else []


def _from_if(off: float) -> Phrase:
    if abs(off) < 1:
        return ("at the IF",)
    return (Amount(abs(off), "Hz", Origin.COMPUTED, digits=2), f" {'above' if off > 0 else 'below'} the IF")


def _evenness(ratio: float) -> str:
    if 1 / _EVEN <= ratio <= _EVEN:
        return "its sides even"
    times, side = (ratio, "above") if ratio > 1 else (1 / ratio, "below")
    return f"its side {side} the IF {times:.1f} times as wide as the other"


def _q(q: float) -> str:
    return f"{q:.0f}"


def s_in_words(curve: DetectorCurve) -> Phrase:
    """Where a detector's curve is at zero, how wide and how even it is."""
    if curve.said is None:
        return (_NO_S,)
    said = curve.said
    return (
        "Zero at ", Amount(said.zero_hertz, "Hz", Origin.COMPUTED, digits=5),
        "; peaks ", Amount(said.width_hertz, "Hz", Origin.COMPUTED, digits=2), " apart, the smaller ",
        f"{said.balance:.0%}".replace("%", "\u202f%"), " of the other; ",
        Amount(abs(said.volts_per_hertz) * 1e3, "V", Origin.COMPUTED, digits=2), " a kilohertz between them.",
    )  # fmt: skip


def _tables(after: SweptResponse | None, before: SweptResponse | None) -> tuple[Table, ...]:
    """The points of what was swept; of a set swept before the work alone they are named so."""
    one, alone = (after, "Level") if after else (before, "Before")
    earlier = before.levels if after and before else ()
    label, caption = "Points of the response", "The response as it was swept"
    return points_tables(label, caption, "Frequency", earlier, one.levels if one else (), alone)
