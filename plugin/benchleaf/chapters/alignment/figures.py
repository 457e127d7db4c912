"""The error between signal and oscillator over the dial, a curve a band."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .band_tracking import Q

if TYPE_CHECKING:
    from ...drawing import Figure
    from ..bench import Bench
    from .findings import AlignmentFindings, BandTracking


def draw(findings: AlignmentFindings, bench: Bench) -> tuple[Figure, ...]:
    """A curve for each band whose gang gives one, with the half width of the circuit at the aerial."""
    drawn = [_curve(one, bench.words.aerial) for one in findings.tracking if one.error_hertz]
    return tuple(figure for figure in drawn if figure)


def _curve(one: BandTracking, aerial: str) -> Figure | None:
    from ...drawing.plot import Series, line_plot, to_figure
    from ...electrics.tracking import half_width
    from ...record.units import say

    if not one.error_hertz or not one.points_hertz:
        return None
    dial = [hertz for hertz, _ in one.error_hertz]
    width = [half_width(hertz, Q) for hertz in dial]
    plot, _ = line_plot(
        [
            Series(dial, [error for _, error in one.error_hertz], "oscillator too high"),
            Series(dial, width, f"half width, Q {Q:.0f}"),
            Series(dial, [-each for each in width], "the same, below"),
        ],
        x_label="dial, hertz",
        y_label="hertz",
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
