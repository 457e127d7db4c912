"""What the dial and the gang of a set come to, band by band, from its intermediate frequency."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from ...circuit.frequencies import AERIAL_Q, intermediate_of, intermediates, is_fm
from ...circuit.in_place import in_place
from ...electrics import tracking as electrics
from ...record.figures import to_figures
from .findings import BandDial, BandTracking, ListedPadder, WorstError

if TYPE_CHECKING:
    from ...record.model import Record
    from ...record.sections.gang import Gang
    from ...record.sections.wave_bands import Band
    from ..bench import Bench

PADDER_TOLERANCE = 0.1
"""How far a listed padder may be from the one worked out: that depends on strays (common practice, no source)."""
SMALLER = 0.95
"""Of the padder, as an example of what a wrong one does."""

_MEDIUM_WAVE = ((450e3, 620e3), (1.4e6, 1.8e6))
_USUAL_ON_MEDIUM_WAVE = (600e3, 1.5e6)
"""Hz (common practice, no source)."""
_LOWEST = 10e3
"""Hz; nothing was broadcast below."""
_NARROWEST = 1.02
"""Of a band's low end; within less the oscillator is in step wherever it is set."""
_FIGURES = 9
_STEPS_SHOWN = 100
_PADDER = re.compile(r"\bpadd(?:er|ing)\b", re.I)


def tracking_of(bench: Bench) -> tuple[BandTracking, ...]:
    """Every band of a set whose intermediate frequency is written; nothing for a set without one."""
    record = bench.record
    if not intermediates(record):
        return ()
    found = [_band(str(name), band, record) for name, band in record.bands.items()]
    return tuple(_with_padder(one, found, bench) for one in found)


def _band(name: str, band: Band, record: Record) -> BandTracking:
    between = intermediate_of(band, record)
    dial = _dial(band, between)
    low, high = band.low_hertz, band.high_hertz
    image = (electrics.image(low, between), electrics.image(high, between)) if between else None
    rounded = (to_figures(image[0], _FIGURES), to_figures(image[1], _FIGURES)) if image else None
    bare = BandTracking(name, None, None, None, None, None, None, None, None, rounded, dial)
    why_not = _without_figures(band, between, record.gang)
    if why_not or between is None or record.gang is None:
        return replace(bare, why_not=why_not)
    return _tracked(bare, between, record.gang)


def _without_figures(band: Band, between: float | None, gang: Gang | None) -> str:
    """Why nothing of the gang can be worked out for a band; empty where it may be."""
    if between is None:
        return "no IF"
    if gang is None:
        return "no gang"
    if gang.tuning:
        return "slug"
    if is_fm(band):
        return "FM"
    if band.low_hertz < _LOWEST or band.high_hertz < _NARROWEST * band.low_hertz:
        return "odd"
    return "cut" if gang.oscillator_section else ""


def _dial(band: Band, between: float | None) -> BandDial:
    low, high = band.low_hertz, band.high_hertz
    (from_, to), (end_from, end_to) = _MEDIUM_WAVE
    medium = from_ <= low <= to and end_from <= high <= end_to
    first, _, last = electrics.spread_points(low, high)
    return BandDial(
        low,
        high,
        between,
        _USUAL_ON_MEDIUM_WAVE if medium else (first, last),
        usual_by_rule=not medium,
        oscillator_hertz=(low + between, high + between) if between else None,
        images_in_band_hertz=electrics.images_in_band(low, high, between) if between else None,
        whistles_hertz=electrics.whistles(low, high, between) if between else (),
        rejections_db=_rejections(low, high, between) if between and low >= _LOWEST else None,
    )


def _rejections(low: float, high: float, between: float) -> tuple[float, float]:
    return electrics.image_rejection(low, between, AERIAL_Q), electrics.image_rejection(high, between, AERIAL_Q)


def _tracked(bare: BandTracking, between: float, gang: Gang) -> BandTracking:
    """The band with its coils, padder and trimmers, or why there are none."""
    low, high = bare.dial.low_hertz, bare.dial.high_hertz
    least, most = (end.si if end else None for end in (gang.low, gang.high))
    if not least or not most:
        return replace(bare, why_not="no gang")
    try:
        signal = electrics.signal_circuit(low, high, least, most)
        points = electrics.least_error_points(low, high, between, signal)
        oscillator = electrics.oscillator_through(points, between, signal)
    except electrics.CannotCoverError:
        return replace(bare, why_not="cannot cover")
    except electrics.NoPadderError as told:
        return replace(bare, why_not=told.lacking)

    def off(hertz: float) -> float:
        return electrics.error(hertz, between, signal, oscillator)

    fine = [(hertz, off(hertz)) for hertz in electrics.dial(low, high)]
    worst = max(fine, key=lambda point: abs(point[1]) / point[0])
    small = replace(oscillator, padder_farads=SMALLER * oscillator.padder_farads)
    return replace(
        bare,
        points_hertz=tuple(_rounded(point) for point in points),
        padder_farads=_rounded(oscillator.padder_farads),
        oscillator_trimmer_farads=_rounded(oscillator.trimmer_farads),
        oscillator_henries=_rounded(oscillator.henries),
        signal_trimmer_farads=_rounded(signal.trimmer_farads),
        signal_henries=_rounded(signal.henries),
        greatest_error_hertz=_rounded(round(max(abs(error) for _, error in fine), 3)),
        error_hertz=tuple(
            (_rounded(hertz), _rounded(round(off(hertz), 3))) for hertz in electrics.dial(low, high, _STEPS_SHOWN)
        ),
        worst=WorstError(*worst, electrics.half_width(worst[0], AERIAL_Q), electrics.loss(*worst, AERIAL_Q)),
        low_end_shift_hertz=electrics.error(low, between, signal, small),
    )


def _rounded(value: float) -> float:
    return to_figures(value, _FIGURES)


def _with_padder(one: BandTracking, all_of: list[BandTracking], bench: Bench) -> BandTracking:
    """A band with the padder of the parts list whose job names it, or the only one where only one band is padded."""
    if one.padder_farads is None:
        return one
    listed = list(_padders(bench))
    named = [padder for padder in listed if _names(padder[1], one.band)]
    alone = len(listed) == 1 and sum(other.padder_farads is not None for other in all_of) == 1
    chosen = named if len(named) == 1 else listed if alone else []
    if not chosen:
        return one
    name, _, farads = chosen[0]
    return replace(one, padder=ListedPadder(name, farads, farads / one.padder_farads - 1))


def _padders(bench: Bench) -> Iterator[tuple[str, str, float]]:
    """The name, job and farads of every padder that is in the set and has a value."""
    for entry in bench.circuit.components:
        now = in_place(entry, "now")
        if _PADDER.search(entry.piece.job) and now.unit == "F" and now.value:
            yield entry.name, entry.piece.job, now.value


def _names(job: str, band: str) -> bool:
    return re.search(rf"(?<!\w){re.escape(band)}(?!\w)", job, re.I) is not None
