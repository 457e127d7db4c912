"""The curves in words and tables."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ...report.amount import Amount, Origin
from ...report.points_table import points_tables
from ...report.prose import as_prose
from ...report.sentence import Phrase, PhrasePart
from ...report.source import COMMON_PRACTICE, FROM_MEMORY
from ...report.table import Table
from .findings import MeasuredCurve, ResultsFindings

_HEADS = {"Hz": "Frequency", "V": "Signal", "W": "Output"}
_ODD = "Its points are not all of one kind, or not above zero, so that nothing is worked out of them."


@dataclass(frozen=True, slots=True)
class CurveSaid:
    """One curve: its heading, what it comes to, how it was read, its points, the note, and the name of the figure."""

    heading: str
    sentence: Phrase
    conditions: Phrase
    tables: tuple[Table, ...]
    note: str
    figure: str


def curve_said(curve: MeasuredCurve) -> CurveSaid:
    """What the page says of a curve."""
    heading = curve.name[:1].upper() + curve.name[1:]
    sentence = curve_in_words(curve)
    conditions: Phrase = ("Read ", *as_prose(curve.conditions), ".") if curve.conditions else ()
    head, alone = _HEADS.get(curve.at_unit, "At"), "Before" if curve.only_before else "Read"
    tables = points_tables(curve.name, f"{heading}, as it was read", head, curve.levels_before, curve.levels, alone)
    return CurveSaid(heading, sentence, conditions, tables, curve.note, curve.figure)


def curve_in_words(curve: MeasuredCurve) -> Phrase:
    """What a curve comes to."""
    if not curve.points:
        return (_ODD,)
    if curve.subject == "response":
        return _response(curve)
    if curve.hold_db is not None:
        least = "at least" if curve.hold_is_least else ""
        return ("The signal may fall by ", Amount(curve.hold_db, "dB", Origin.COMPUTED, bound=least, digits=2),
                " from the strongest one before the output falls by 10 dB; over the whole curve the output changes by ",
                Amount(curve.output_change_db, "dB", Origin.COMPUTED, digits=2), ".")  # fmt: skip
    if curve.subject == "distortion":
        if curve.ten_percent_watts is None:
            return ("It does not reach 10 %.",) if all(share < 0.1 for _, share in curve.points) else ()
        return ("10 % is reached at ", Amount(curve.ten_percent_watts, "W", Origin.COMPUTED, digits=2), ".")
    if curve.width_hertz is not None:
        return (Amount(curve.width_hertz, "Hz", Origin.COMPUTED, digits=2), " wide at ", Amount(-6.0, "dB"), ".")
    return ()


def _response(curve: MeasuredCurve) -> Phrase:
    if curve.reference_hertz is None:
        return ("Its points enclose neither 400 Hz nor 1000 Hz, from which a response is counted.",)
    told: list[PhrasePart] = ["Against ", Amount(curve.reference_hertz, "Hz"), " it is "]
    if curve.low_hertz is None and curve.high_hertz is None:
        return (*told, "nowhere 3 dB down.")
    told += ["3 dB down at "]
    ends = [hertz for hertz in (curve.low_hertz, curve.high_hertz) if hertz is not None]
    for n, hertz in enumerate(ends):
        told += [" and " if n else "", Amount(hertz, "Hz", Origin.COMPUTED, digits=2)]
    return (*told, ".")


def curves_working(findings: ResultsFindings) -> Iterator[Phrase]:
    """How each kind of curve was worked out."""
    curves = findings.curves
    if any(curve.reference_hertz for curve in curves):
        yield ("Between two points a response is a straight line of decibels over the logarithm of the frequency; it "
               "is counted from 400 Hz, or 1000 Hz where they do not enclose that (", FROM_MEMORY, ").")  # fmt: skip
    if any(curve.hold_db is not None for curve in curves):
        yield ("AVC is held to what the signal may lose while the output loses 10 dB, straight lines between points of "
               "both logarithms (the definition ", FROM_MEMORY, ").")  # fmt: skip
    if any(curve.subject == "distortion" for curve in curves):
        yield ("Power is commonly told at 10 % of distortion (", COMMON_PRACTICE, "); between two points distortion is "
               "a straight line over the logarithm of the power.")  # fmt: skip
