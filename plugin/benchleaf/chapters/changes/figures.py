"""The impedance of an added capacitor over frequency, with what it is across and the two together."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...electrics.impedance import RealCapacitor, pair_impedance

if TYPE_CHECKING:
    from ...drawing import Figure
    from ..bench import Bench
    from .findings import ChangeFindings, ChangesFindings

IMPEDANCE = "-impedance-figure"
_APART = 4.0
_LOWEST, _HIGHEST, _A_DECADE = 10.0, 100e6, 40


def draw(findings: ChangesFindings, bench: Bench) -> tuple[Figure, ...]:
    """One figure for each change that is drawn; named by the change’s anchor."""
    return tuple(_impedance(change, change.added_part) for change in findings.drawn() if change.added_part)


def _impedance(change: ChangeFindings, one: RealCapacitor) -> Figure:
    from ...drawing.plot import Limit, LinePlot, Series, to_figure
    from ...record.units import say

    there = change.there_part
    # Plain floats: the same curve to the last digit on every machine.
    decades = 7
    hertz = [_LOWEST * 10 ** (i / _A_DECADE) for i in range(decades * _A_DECADE + 1)]
    series = [Series(hertz, _curve(one, None, hertz), change.name)]
    if there is not None:
        series.append(Series(hertz, _curve(there, None, hertz), change.across or "there before"))
        series.append(Series(hertz, _curve(one, there, hertz), "both"))
    set_frequencies = _set_frequencies(change)
    limits = [
        Limit(f, f, f"{word} {say(f, 'Hz')}", across="x")
        for f, word in ((change.self_resonance_hertz, "self-resonance"), (change.antiresonance_hertz, "anti-resonance"))
        if f is not None and _LOWEST < f < _HIGHEST
    ]
    plot = LinePlot(
        series,
        x_label="frequency, Hz",
        y_label="impedance, Ω",
        log_x=True,
        log_y=True,
        limits=limits,
        marked_points=set_frequencies,
        height=290,
    )
    return to_figure(
        plot,
        name=f"{change.anchor}{IMPEDANCE}",
        title=f"Impedance of {change.name}" + (f" and {change.across}" if there else ""),
        description=_words(change),
    )


def _set_frequencies(change: ChangeFindings) -> list[tuple[float, float, str]]:
    """The set’s frequencies with their names; names that would fall on each other stand together at the first."""
    found: list[tuple[float, float, str]] = []
    for at in sorted(change.at, key=lambda a: a.hertz):
        if not _LOWEST <= at.hertz <= _HIGHEST:
            continue
        ohms = at.both_ohms if at.both_ohms is not None else at.added_ohms
        word = at.what.split(",")[0]
        near = next((i for i, (hertz, _, words) in enumerate(found) if words and at.hertz / hertz < _APART), None)
        if near is not None:
            hertz, first, words = found[near]
            found[near] = (hertz, first, words if word in words.split(", ") else f"{words}, {word}")
            word = ""
        found.append((at.hertz, ohms, word))
    return found


def _curve(one: RealCapacitor, other: RealCapacitor | None, hertz: list[float]) -> list[float]:
    return [abs(pair_impedance(one, other, f) if other else one.impedance(f)) for f in hertz]


def _words(change: ChangeFindings) -> str:
    from ...record.decibels import say_decibels
    from ...record.units import say

    said = ["From 10 Hz to 100 MHz on logarithmic scales; circles stand at the set’s own frequencies"]
    if change.self_resonance_hertz is not None:
        said.append(f"{change.name} by itself is lowest at {say(change.self_resonance_hertz, 'Hz')}")
    if change.antiresonance_hertz is not None:
        said.append(f"the two resonate against each other near {say(change.antiresonance_hertz, 'Hz')}")
    if change.most_gain_decibels is not None:
        most = say_decibels(max(change.most_gain_decibels, 0.0))
        little = "little" if change.gains_little else "something"
        said.append(f"at the circles the addition gains {little}, {most} at the most")
    return "; ".join(said) + "."
