"""The error between signal and oscillator over the dial, a curve a band; responses and detectors as swept."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...circuit.frequencies import AERIAL_Q
from ...report.sentence import text_of
from .swept_said import response_figure, response_in_words, s_figure, s_in_words

if TYPE_CHECKING:
    from ...drawing import Figure
    from ..bench import Bench
    from .findings import AlignmentFindings, AlignmentSession, BandTracking


def draw(findings: AlignmentFindings, bench: Bench) -> tuple[Figure, ...]:
    """A curve for each band whose gang gives one, with the half width of the circuit at the aerial; what was swept."""
    drawn = [_curve(one, bench.words.aerial) for one in findings.tracking if one.error_hertz]
    for number, session in enumerate(findings.sessions, 1):
        drawn += [_response(session, number), _detector(session, number)]
    return tuple(figure for figure in drawn if figure)


def _response(session: AlignmentSession, number: int) -> Figure | None:
    """The response after the work and, where it was swept, before it; its ends at -3 and -6 dB marked."""
    from ...drawing.plot import LinePlot, Series, to_figure

    swept = [(name, one) for name, one in (("after", session.response), ("before", session.response_before)) if one]
    drawn = [(name, one) for name, one in swept if len(one.points_hertz_decibels) > 1]
    if not drawn:
        return None
    said = drawn[0][1].said
    bands = (said.three, said.six) if said else ()
    ends = [(hertz, -band.down, "") for band in bands for hertz in (band.low, band.high) if hertz is not None]
    plot = LinePlot(
        [
            Series([f for f, _ in one.points_hertz_decibels], [level for _, level in one.points_hertz_decibels], name)
            for name, one in drawn
        ],
        x_label="frequency, Hz",
        y_label="decibels below the highest",
        marked_points=ends,
    )
    words = text_of(response_in_words(session.response, session.response_before))
    return to_figure(plot, name=response_figure(number), title="Response as swept", description=words)


def _detector(session: AlignmentSession, number: int) -> Figure | None:
    from ...drawing.plot import Limit, LinePlot, Series, to_figure

    curve = session.s_curve
    if curve is None or len(curve.points_hertz_volts) < 2:
        return None
    plot = LinePlot(
        [Series([f for f, _ in curve.points_hertz_volts], [volts for _, volts in curve.points_hertz_volts], "output")],
        x_label="frequency, Hz",
        y_label="output, V",
        limits=[Limit(0.0, 0.0, "zero")],
    )
    words = text_of(s_in_words(curve))
    return to_figure(plot, name=s_figure(number), title="The FM detector’s curve", description=words)


def _curve(one: BandTracking, aerial: str) -> Figure | None:
    from ...drawing.plot import LinePlot, Series, to_figure
    from ...electrics.tracking import half_width
    from ...record.units import say

    if not one.error_hertz or not one.points_hertz:
        return None
    dial = [hertz for hertz, _ in one.error_hertz]
    width = [half_width(hertz, AERIAL_Q) for hertz in dial]
    plot = LinePlot(
        [
            Series(dial, [error for _, error in one.error_hertz], "oscillator too high"),
            Series(dial, width, f"half width, Q {AERIAL_Q:.0f}"),
            Series(dial, [-each for each in width], "the same, below"),
        ],
        x_label="dial, Hz",
        y_label="error, Hz",
        marked_points=[(hertz, 0.0, say(hertz, "Hz", digits=4)) for hertz in one.points_hertz],
    )
    points = ", ".join(say(hertz, "Hz", digits=4) for hertz in one.points_hertz)
    return to_figure(
        plot,
        name=one.figure,
        title=f"Tracking error of {one.band}",
        description=f"In step at {points}; {say(one.greatest_error_hertz, 'Hz', digits=2)} off at most. Between the "
        f"broken lines the circuit at the {aerial} loses less than 3 dB.",
    )
