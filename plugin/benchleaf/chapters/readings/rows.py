"""One reading beside its expected value, and what a list of readings was scaled by."""

from __future__ import annotations

from dataclasses import dataclass, field

from .spots import Spot

_WORTH_SAYING = 0.03
_PAGE = {"json": False}


@dataclass(frozen=True, slots=True)
class SourceResistance:
    """What resistance stands behind an electrode, in ohms: the load, with the tube's own beside it.

    ``kind`` is ``triode``, ``screen`` or ``pentode``; ``low_ohms`` and ``high_ohms`` are the band that the tube's
    resistance makes. ``tube_ohms`` is the middle of the tube's own, None where only the load counts (a pentode without
    a published plate resistance); volts and amperes are what it follows from. ``tube_from`` says where the tube's
    resistance was published, empty where the law of the tube alone gives it.
    """

    kind: str
    part: str
    load_ohms: float
    ohms: float
    low_ohms: float
    high_ohms: float
    tube_ohms: float | None = None
    supply_volts: float | None = None
    tube_volts: float | None = None
    tube_amps: float | None = None
    cathode_biased: bool = False
    tube_from: str = ""

    @property
    def is_band(self) -> bool:
        """Whether the page has a band to say."""
        return self.low_ohms != self.high_ohms


@dataclass(frozen=True, slots=True)
class SourceUnknown:
    """Why the resistance behind an electrode is not known; ``most_ohms`` is the most that it can be."""

    why: str
    most_ohms: float


@dataclass(frozen=True, slots=True)
class Loading:
    """The two meters' loading taken out of an expected value: ``factor`` is what it is multiplied by.

    (1 + source / its meter) / (1 + source / this meter), with the band that the source's makes. Ohms.
    """

    source: SourceResistance
    its_meter_ohms: float
    this_meter_ohms: float
    factor: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class LoadingUnknown:
    """Why the two meters' loading cannot be taken out, and the ends of what it multiplies an expected value by."""

    why: str
    least_factor: float
    most_factor: float


@dataclass(frozen=True, slots=True)
class MeterMayExplain:
    """A difference that one meter may make while the other is not known: ``whose`` is ``expected`` or ``measured``.

    ``up_to_volts`` is the most there may have been without that meter.
    """

    whose: str
    input_ohms: float
    source: SourceResistance
    up_to_volts: float


@dataclass(frozen=True, slots=True)
class ReadingRow:
    """One place in one list of readings. Volts; ``deviation`` and ``tolerance`` are ratios.

    ``adjusted_volts`` is what is expected here: after the line, the point it was read to (``shifted_by`` volts) and
    the two meters (``loading``); the same as expected where none of them matters. ``without_loading`` is the verdict
    there would be without the meters; ``loading_unknown`` says why they could not be accounted for, and the verdict is
    then one that holds whatever they make. ``uncertainty_volts`` is the meter's, ``expected_uncertainty_volts`` that of
    the expected value where it was read far down its meter's scale. ``ordinary_volts`` are the ends that the
    parts' tolerances alone allow. ``normalised_volts`` is the expected value in proportion to the measured B+.
    ``allowed_volts`` are the ends of the band that a reading must lie in, infinite where it has no end.
    ``source`` names the list the expected value stands in, ``source_kind`` is ``published`` or ``similar``.
    """

    run: str
    tube: str
    electrode: str
    expected_volts: float | None
    adjusted_volts: float | None
    measured_volts: float | None
    deviation: float | None
    tolerance: float | None
    verdict: str
    normalised_volts: float | None = None
    normalised_deviation: float | None = None
    normalised_verdict: str | None = None
    current: str = "DC"
    pin: str = ""
    measured_written: str = ""
    measured_qualifier: str | None = None
    expected_written: str = ""
    expected_qualifier: str | None = None
    scaled_by: float | None = None
    allowed_by: str = ""
    source: str = ""
    source_kind: str = ""
    source_of: str = ""
    remarks: tuple[str, ...] = ()
    meter: MeterMayExplain | None = None
    loading: Loading | None = None
    without_loading: str | None = None
    loading_unknown: LoadingUnknown | None = None
    expected_uncertainty_volts: float | None = None
    shifted_by: float | None = None
    uncertainty_volts: float | None = None
    ordinary_volts: tuple[float, float] | None = None
    spot: Spot = field(default=Spot("", ""), metadata=_PAGE)
    allowed_volts: tuple[float, float] | None = field(default=None, metadata=_PAGE)

    @property
    def as_typed(self) -> bool:
        """Whether the page shows the reading as it was written: a bound, a range, an overrange."""
        return self.measured_qualifier not in ("exact", "approx", "tolerance")

    @property
    def scaled(self) -> bool:
        """Whether anything made a difference to the expected value."""
        return self.adjusted_volts is not None and self.adjusted_volts != self.expected_volts

    @property
    def agrees_by_meter(self) -> bool:
        """Whether the reading is in order only once the meters' loading is accounted for."""
        return self.verdict == "within" and self.without_loading in ("low", "high")

    @property
    def ordinary(self) -> bool | None:
        """Whether part tolerances alone would make the reading; None where that is not known."""
        if self.ordinary_volts is None or self.measured_volts is None or self.as_typed:
            return None
        low, high = self.ordinary_volts
        return low <= self.measured_volts <= high

    @property
    def worth_normalising(self) -> bool:
        """Whether the figure at the set's own B+ says anything that the deviation does not."""
        if self.deviation is None or self.normalised_deviation is None:
            return False
        return abs(self.deviation - self.normalised_deviation) >= _WORTH_SAYING

    @property
    def on_the_line(self) -> bool:
        """Whether the deviation has a place between the two ends of the tolerance."""
        return self.deviation is not None and bool(self.tolerance) and abs(self.deviation) <= (self.tolerance or 0.0)

    def mark(self) -> str:
        """The deviation between the two ends of its tolerance, as SVG; empty where it has no place there."""
        from ...drawing.bars import tolerance_mark

        return tolerance_mark(self.deviation or 0.0, self.tolerance or 0.0) if self.on_the_line else ""


@dataclass(frozen=True, slots=True)
class LineScale:
    """From the line a source holds for to the line of a run: ``factor``, or None and why there is none.

    ``share_at_primary`` is the share of the run's line that a resistor before the transformer's primary leaves.
    """

    source: str
    source_volts: float | None
    source_from: str
    run_volts: float | None
    run_from: str
    factor: float | None
    missing: str = ""
    source_selector_volts: float | None = None
    run_selector_volts: float | None = None
    share_at_primary: float = 1.0


@dataclass(frozen=True, slots=True)
class BPlus:
    """The B+ that a run is normalised to: where, expected and measured volts, and their ratio."""

    place: str
    electrode: str
    expected_volts: float
    measured_volts: float
    ratio: float
    source: str

    def is_at(self, spot: Spot) -> bool:
        return (self.place, self.electrode) == (spot.tube, spot.electrode)
