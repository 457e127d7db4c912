"""One reading beside its expected value, and what a list of readings was scaled by."""

from __future__ import annotations

from dataclasses import dataclass, field

from .places import Spot

_WORTH_SAYING = 0.03
_PAGE = {"json": False}


@dataclass(frozen=True, slots=True)
class MeterMayExplain:
    """A difference that a meter's own resistance may make: ``whose`` is ``expected`` or ``measured``.

    ``up_to_volts`` is what there may have been without that meter, if the whole ``load_ohms`` of ``part`` stood behind
    the electrode; a tube's own resistance makes it less.
    """

    whose: str
    input_ohms: float
    part: str
    load_ohms: float
    up_to_volts: float


@dataclass(frozen=True, slots=True)
class Row:
    """One place in one list of readings. Volts; ``deviation`` and ``tolerance`` are ratios.

    ``adjusted_volts`` is the expected value after the line, the same as expected where it does not follow the line.
    ``normalised_volts`` is the expected value in proportion to the measured B+. ``source`` names the list the expected
    value stands in, ``source_kind`` is ``published`` or ``similar``.
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
    spot: Spot = field(default=Spot("", ""), metadata=_PAGE)

    @property
    def as_typed(self) -> bool:
        """Whether the page shows the reading as it was written: a bound, a range, an overrange."""
        return self.measured_qualifier not in ("exact", "approx", "tolerance")

    @property
    def scaled(self) -> bool:
        """Whether the line made a difference to the expected value."""
        return self.scaled_by is not None and self.adjusted_volts != self.expected_volts

    @property
    def worth_normalising(self) -> bool:
        """Whether the figure at the set's own B+ says anything that the deviation does not."""
        if self.deviation is None or self.normalised_deviation is None:
            return False
        return abs(self.deviation - self.normalised_deviation) >= _WORTH_SAYING

    def bar(self) -> str:
        """The deviation as a small drawing within its tolerance, as SVG; empty where there is none."""
        from ...drawing.bars import deviation_bar

        return "" if self.deviation is None else deviation_bar(self.deviation, self.tolerance)


@dataclass(frozen=True, slots=True)
class LineScale:
    """From the line a source holds for to the line of a run: ``factor``, or None and why there is none."""

    source: str
    source_volts: float | None
    source_from: str
    run_volts: float | None
    run_from: str
    factor: float | None
    missing: str = ""


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
