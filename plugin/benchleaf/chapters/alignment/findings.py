"""Alignment: the steps as they were done and what each of them brought; what the dial and the gang come to by band."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any

from ...electrics.response import SCurve, Swept
from ...report.anchors import LinkedText
from ...report.typed import Typed
from .feeds import AerialFeed
from .stage_gains import StageGain

_PAGE_ONLY: dict[str, Any] = {"json": False}


@dataclass(frozen=True, slots=True)
class AdjustedStep:
    """One adjustment. ``before`` and ``after`` are in ``unit``; ``gain_db`` compares them, None where it cannot be.

    ``frequency_hertz`` is that of the wavelength where only a wavelength was written. ``sets`` is ``IF``, ``detector``,
    ``trap``, ``oscillator``, ``aerial`` or empty, ``aim`` is ``maximum``, ``minimum``, ``zero`` or empty, and ``fm``
    says that it belongs to FM. ``band`` is empty where it lies in none. ``into``, ``through``, ``meter`` and
    ``generator`` are the step's own words; ``feed`` is what stood for an aerial where one was set. ``for_output`` is
    the output that ``before`` and ``after`` are the generator's level for: then less is a gain.
    """

    frequency_hertz: float | None
    wavelength_metres: float | None
    adjust: str
    before: float | None
    after: float | None
    unit: str
    gain_db: float | None
    note: str
    sets: str = ""
    fm: bool = False
    aim: str = ""
    band: str = ""
    generator: str = ""
    into: str = ""
    through: str = ""
    meter: str = ""
    for_output: str = ""
    feed: AerialFeed | None = field(default=None, metadata=_PAGE_ONLY)
    frequency: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    wavelength: str = field(default="", metadata=_PAGE_ONLY)
    before_typed: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    after_typed: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    found_at: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    dial_read: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    dial_now: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    linked: tuple[LinkedText, ...] = field(default=(), metadata=_PAGE_ONLY)


@dataclass(frozen=True, slots=True)
class SweptResponse:
    """A response as swept: its points in hertz and decibels below the highest, and what they come to.

    ``intermediate_hertz`` is the written IF that it lies at. ``levels`` are the points as typed. ``said`` is None where
    the points are too few, or cannot be held against each other. ``middle_hertz`` is halfway at -6 dB, or at -3 dB.
    """

    points_hertz_decibels: tuple[tuple[float, float], ...]
    intermediate_hertz: float | None
    width_at_3_db_hertz: float | None = None
    width_at_6_db_hertz: float | None = None
    middle_hertz: float | None = None
    q_factor: float | None = None
    said: Swept | None = field(default=None, metadata=_PAGE_ONLY)
    levels: tuple[tuple[Typed, Typed], ...] = field(default=(), metadata=_PAGE_ONLY)


@dataclass(frozen=True, slots=True)
class DetectorCurve:
    """The curve of a detector for FM: its points in hertz and volts, and what they come to, None where nothing."""

    points_hertz_volts: tuple[tuple[float, float], ...]
    zero_hertz: float | None = None
    width_hertz: float | None = None
    balance_ratio: float | None = None
    said: SCurve | None = field(default=None, metadata=_PAGE_ONLY)
    levels: tuple[tuple[Typed, Typed], ...] = field(default=(), metadata=_PAGE_ONLY)


@dataclass(frozen=True, slots=True)
class AlignmentSession:
    """One alignment and how it was fed and read; the response as swept before and after it."""

    date: str
    generator: str
    meter: str
    steps: tuple[AdjustedStep, ...]
    note: str
    response: SweptResponse | None = None
    response_before: SweptResponse | None = None
    s_curve: DetectorCurve | None = None
    gains: tuple[StageGain, ...] = ()
    out_of_order: tuple[tuple[int, str], ...] = field(default=(), metadata=_PAGE_ONLY)


@dataclass(frozen=True, slots=True)
class ListedPadder:
    """A padder of the parts list that is one band's; ``off`` is how far it is from the one worked out, a ratio."""

    name: str
    farads: float
    off: float


@dataclass(frozen=True, slots=True)
class WorstError:
    """Where on the dial the error costs most: the error, the half width of the tuned circuit there, and the loss."""

    dial_hertz: float
    error_hertz: float
    half_width_hertz: float
    loss_db: float


@dataclass(frozen=True, slots=True)
class BandDial:
    """What follows of one band without its gang.

    ``usual_hertz`` are where the trade aligns; ``usual_by_rule`` where no habit is known of the band and they are
    those of ``spread_points``. ``rejections_db`` is that of the image by one tuned circuit, at the band's two ends.
    """

    low_hertz: float
    high_hertz: float
    intermediate_hertz: float | None
    usual_hertz: tuple[float, float]
    usual_by_rule: bool
    oscillator_hertz: tuple[float, float] | None
    images_in_band_hertz: tuple[float, float] | None
    whistles_hertz: tuple[float, ...]
    rejections_db: tuple[float, float] | None


@dataclass(frozen=True, slots=True)
class BandTracking:
    """One band: where signal and oscillator are in step and what brings them there; None where it is not known.

    ``why_not`` says why there are no figures: ``no gang``, ``slug``, ``cut``, ``no IF``, ``FM``, ``odd``
    (no band of a radio), ``cannot cover``, ``coil``, ``padder`` or ``oscillator trimmer`` (which would not be above 0);
    empty where there are. ``error_hertz``
    has points of the dial, each with how far the oscillator is above where it should be. ``low_end_shift_hertz`` is the
    low end's error with a padder that is a twentieth smaller.
    """

    band: str
    points_hertz: tuple[float, ...] | None
    padder_farads: float | None
    oscillator_trimmer_farads: float | None
    oscillator_henries: float | None
    signal_trimmer_farads: float | None
    signal_henries: float | None
    greatest_error_hertz: float | None
    error_hertz: tuple[tuple[float, float], ...] | None
    image_hertz: tuple[float, float] | None
    dial: BandDial = field(metadata=_PAGE_ONLY)
    why_not: str = field(default="", metadata=_PAGE_ONLY)
    worst: WorstError | None = field(default=None, metadata=_PAGE_ONLY)
    low_end_shift_hertz: float | None = field(default=None, metadata=_PAGE_ONLY)
    padder: ListedPadder | None = field(default=None, metadata=_PAGE_ONLY)

    @property
    def figure(self) -> str:
        """The name of its error curve."""
        return f"alignment-error-{as_id(self.band)}"


def as_id(name: str) -> str:
    """A band's name as a piece of an id."""
    return re.sub(r"[\W_]+", "-", name.casefold()).strip("-") or "band"


@dataclass(frozen=True, slots=True)
class AlignmentFindings:
    """Section ``alignment``, and the tracking of each band. ``live`` is ``chassis``, ``B-`` or ``""``: what counts as
    connected to the line. ``has_gang`` says that the record has a line on the gang, ``has_loop`` that the set has an
    aerial of its own."""

    sessions: tuple[AlignmentSession, ...]
    steps: int
    hangs_on_line: bool
    tracking: tuple[BandTracking, ...] = ()
    has_gang: bool = field(default=False, metadata=_PAGE_ONLY)
    live: str = field(default="", metadata=_PAGE_ONLY)
    has_loop: bool = field(default=False, metadata=_PAGE_ONLY)
    has_loop_only: bool = field(default=False, metadata=_PAGE_ONLY)
