"""Rectifier and filter as they work: B+ at three lines, ripple at each capacitor, peak current and its limit."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from ...report.amount import signed_percent
from ...report.verdict import Verdict

if TYPE_CHECKING:
    from ...circuit.in_place import InPlace
    from .by_circuit import ByCircuit
    from .direct_current import DirectCurrent, WindingCurrent


_PAGE = {"json": False}

RESERVOIR_ALLOWANCE = 0.25
"""What a reservoir may have over the largest published one: values made today in the place of old ones, 10 µF for 8 µF,
22 µF for 20 µF, 47 µF for 40 µF (common practice, no source)."""
OFF = 0.1
"""From this share of the reading on, a computed B+ does not agree with it, and what rests on it is not judged: a
wrong rectifier, reservoir, line or load makes so much, what the tables may be off by does not. Common practice, no
source."""


@dataclass(frozen=True, slots=True)
class Rail:
    """One capacitor: volts, ripple peak to peak in volts (two figures); ``load_amps`` is what is drawn from it.

    ``ripple_at_most`` says that a choke or field coil before it was taken as its resistance, as its inductance is not
    written: the ripple is less than that.
    """

    rail: str
    part: str
    farads: float
    volts: float
    ripple_volts: float
    load_amps: float
    ripple_at_most: bool = False


@dataclass(frozen=True, slots=True)
class Working:
    """The supply at one line. Currents are those of one plate; ``thumb_ripple_volts`` is I/(fC) at the reservoir and
    ``thumb_off`` how far that is from the ripple computed, as a ratio. ``over_peak`` is None where no limit is known,
    and where the computed B+ does not agree with the one read."""

    which: str
    line_volts: float
    rails: tuple[Rail, ...]
    peak_amps: float
    rms_amps: float
    direct_amps: float
    reservoir_rms_amps: float
    thumb_ripple_volts: float
    thumb_off: float | None
    over_peak: bool | None


@dataclass(frozen=True, slots=True)
class LineCurrent:
    """A series set’s line current in RMS amperes: heater string, pulses, both together, and their plain sum."""

    string_amps: float
    pulses_amps: float
    together_amps: float
    sum_amps: float
    read_amps: float | None = None


@dataclass(frozen=True, slots=True)
class BackBias:
    """What makes B- negative of the chassis: ``name`` as the record has it, ``parts`` in the return, ohms of them all.

    ``computed_volts`` and ``read_volts`` count below the chassis. ``first_inside`` says that the first filter capacitor
    ends at B-, so that its charging does not pass these parts; ``loads_from_it`` that what is drawn was taken from the
    reading, by Ohm's law, so that the computed volts bear nothing out.
    """

    name: str
    parts: tuple[str, ...]
    ohms: float
    computed_volts: float
    read_volts: float | None
    read_in: str
    first_inside: bool
    loads_from_it: bool = False


@dataclass(frozen=True, slots=True)
class RippleRead:
    """Ripple of a rail in one list; ``computed_volts`` with the capacitors of now, at that list's line. In volts
    ``RMS``, or as ``shown``: ``peak to peak`` or ``peak``.

    ``off`` is the reading over what is computed, less one. ``at_most`` where only a bound is computed. ``agrees`` is
    None where a reading below a bound tells nothing. ``near`` where nothing need be said of what lies between.
    """

    rail: str
    run: str
    read_volts: float
    computed_volts: float
    off: float
    at_most: bool
    agrees: bool | None
    shown: str = "RMS"

    @property
    def near(self) -> bool:
        """Within what two meters differ by: 20 %, common practice, no source."""
        return bool(self.agrees) and abs(self.off) <= 0.2


PEAK_KNOWN_TO = 0.1
"""Share that peaks may be off: the drop of a rectifier and a winding's ohms are known no better. Common practice, no
source."""


@dataclass(frozen=True, slots=True)
class SupplyFindings:
    """The B+ supply. ``lacks`` says what would be needed where nothing was computed.

    ``with_old`` are the capacitors that ``before`` was computed with; ``lacks_before`` those that had no value
    then, so that it could not be. ``reservoir_share_over_limit`` is the first capacitor over the largest published,
    less one; beyond ``reservoir_allowed_share`` it is too large. ``before_it`` is what the record has of the
    resistance before the rectifier, ``surge`` the resistors among it. ``coils`` lead from rail to rail and have
    ohms, but no inductance written. ``refused`` says why there is nothing at all though nothing is lacking,
    ``refused_at`` the same of single cases. ``rests_on`` are the AC volts it was computed from, ``lists_apart`` the
    lists whose AC volts their lines and selector settings do not explain. ``ripple`` is what was read of it. ``direct``
    is the direct current beside its limit, ``winding`` beside what the winding for B+ is written for.
    ``if_loaded_volts`` is the first rail at the nominal line if the AC volts were read on load, where the record does
    not say so. ``by_circuit`` is the first rail as the set's own circuit makes it.
    """

    kind: str = ""
    rectifier: str = ""
    rectifier_type: str = ""
    hertz: float | None = None
    before: Working | None = None
    working: tuple[Working, ...] = ()
    silicon: Working | None = None
    silicon_series_ohms: float | None = None
    silicon_missing_heater_volts: float | None = None
    peak_limit_amps: float | None = None
    reservoir_limit_farads: float | None = None
    reservoir_too_large: bool | None = None
    reservoir_share_over_limit: float | None = None
    reservoir_allowed_share: float = RESERVOIR_ALLOWANCE
    limit_source: str = ""
    line_current: LineCurrent | None = None
    computed_against_read: float | None = None
    read_in: str = field(default="", metadata=_PAGE)
    read_volts: tuple[float | None, ...] = field(default=(), metadata=_PAGE)
    assumed: tuple[str, ...] = field(default=(), metadata=_PAGE)
    lacks: tuple[str, ...] = field(default=(), metadata=_PAGE)
    hot_reservoir: str = field(default="", metadata=_PAGE)
    instead_of: str = field(default="", metadata=_PAGE)
    dry: str = field(default="", metadata=_PAGE)
    square: bool = field(default=False, metadata=_PAGE)
    buffers: tuple[str, ...] = field(default=(), metadata=_PAGE)
    with_old: tuple[tuple[str, InPlace], ...] = field(default=(), metadata=_PAGE)
    lacks_before: tuple[str, ...] = field(default=(), metadata=_PAGE)
    peak_limit_published: bool = field(default=False, metadata=_PAGE)
    before_it: tuple[str, ...] = field(default=(), metadata=_PAGE)
    surge: tuple[str, ...] = field(default=(), metadata=_PAGE)
    coils: tuple[str, ...] = field(default=(), metadata=_PAGE)
    refused: str = field(default="", metadata=_PAGE)
    refused_at: tuple[tuple[str, str], ...] = field(default=(), metadata=_PAGE)
    rests_on: str = field(default="", metadata=_PAGE)
    lists_apart: tuple[str, ...] = field(default=(), metadata=_PAGE)
    back_bias: BackBias | None = None
    ripple: tuple[RippleRead, ...] = ()
    direct: DirectCurrent | None = None
    winding: WindingCurrent | None = None
    if_loaded_volts: float | None = None
    by_circuit: ByCircuit | None = None

    @property
    def agrees(self) -> bool | None:
        """Whether the computed B+ is within a tenth of the one read; None without a reading."""
        off = self.computed_against_read
        return None if off is None else abs(off) < OFF

    @property
    def beside_read(self) -> str:
        """How far the computed B+ lies from the one read, in words."""
        percent = signed_percent(self.computed_against_read)
        return "is the same within half a per cent" if percent.startswith("±") else f"differs by {percent}"

    @property
    def direct_verdict(self) -> Verdict:
        """What direct current over its limit comes to: a fault beyond a published one only."""
        if self.direct is None or not self.direct.over:
            return Verdict.GOOD
        if self.agrees is False:
            return Verdict.UNKNOWN
        return Verdict.FAULT if self.direct.published else Verdict.WATCH

    def peak_verdict(self, of: Working) -> Verdict:
        """What peaks over the limit come to."""
        return _peak_verdict(self, of)

    @property
    def nominal(self) -> Working | None:
        """At the nominal line."""
        return next((w for w in self.working if w.which == "nominal"), None)


def _peak_verdict(findings: SupplyFindings, of: Working) -> Verdict:
    """A fault only beyond a published limit, and by more than the peaks are known."""
    if findings.agrees is False:
        return Verdict.UNKNOWN
    limit = findings.peak_limit_amps
    beyond = limit is not None and of.peak_amps > limit * (1 + PEAK_KNOWN_TO)
    return Verdict.FAULT if findings.peak_limit_published and beyond else Verdict.WATCH
