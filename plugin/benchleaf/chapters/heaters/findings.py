"""What follows from the heaters as written: sums, droppers, the string as it runs, windings and their loads."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from ...bench import Bench
from ...electrics.droppers import dropper_for, left_for_dropper, rating_for, series_capacitor_for
from ...findings import Standout
from ...record.model import Line, Record
from . import sentences
from .gaps import assumed_of, missing_of
from .measured import MeasuredHeaters, beside_computed
from .model import HeaterSupply
from .rated import PilotLamp, Rating, pilot_lamp, si
from .string import HeaterString, RunningLine, TubeRunning, on_direct_current, run, string_of
from .verdicts import Judged, judged
from .windings import Wanted, Winding, Windings, fed, from_battery, wanted

LINE_BAND = 0.10
"""Low and high line where the record does not give them. Common practice, no source."""

PREFERRED_SERIES = "E24"

_SWEEP = tuple(0.80 + 0.05 * k for k in range(9))


@dataclass(frozen=True, slots=True)
class Dropper:
    """The resistor that would leave the heaters their rating, the next preferred value above it, and its rating.

    ``capacitor_farads`` would do the same on alternating current of the given frequency.
    """

    ohms: float
    watts: float
    preferred_ohms: float
    rating_watts: float
    preferred_series: str = PREFERRED_SERIES
    capacitor_farads: float | None = None
    capacitor_frequency_hertz: float | None = None


@dataclass(frozen=True, slots=True)
class SweepPoint:
    """The lowest and the highest share of rated volts among the tubes, at one line voltage."""

    line_volts: float
    lowest: float
    highest: float


@dataclass(frozen=True)
class HeatersFindings:
    """Everything computed about the heater supply; see the field names for units."""

    arrangement: str
    rated_sum_volts: float | None
    rated_current_amps: float | None
    left_for_dropper_volts: float | None
    dropper: Dropper | None
    running: tuple[RunningLine, ...]
    line_volts: float | None = None
    line_limits_assumed: bool = False
    judged: Mapping[str, Judged] = field(default_factory=dict)
    mixed: tuple[str, ...] = ()
    fitted_of_rating: float | None = None
    heat_watts: float | None = None
    windings: tuple[Winding, ...] = ()
    wanted: tuple[Wanted, ...] = ()
    measured: MeasuredHeaters | None = None
    missing: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    string: HeaterString | None = field(default=None, metadata={"json": False})
    ratings: tuple[Rating, ...] = field(default=(), metadata={"json": False})
    lamp: PilotLamp | None = field(default=None, metadata={"json": False})
    sweep: tuple[SweepPoint, ...] = field(default=(), metadata={"json": False})
    before_rectifier: RunningLine | None = field(default=None, metadata={"json": False})
    current: str = field(default="AC", metadata={"json": False})
    note: str = field(default="", metadata={"json": False})

    @property
    def nominal(self) -> RunningLine | None:
        """The heaters at the nominal line."""
        return next((line for line in self.running if "nominal" in line.which), None)

    @property
    def shares(self) -> tuple[float, ...]:
        """The shares of rated volts the tubes are judged by at the nominal line, lowest first."""
        return tuple(sorted(j.of_rated for j in self.judged.values() if j.of_rated is not None))

    @property
    def outside(self) -> tuple[str, ...]:
        """The tubes outside their band at the nominal line."""
        return tuple(tube for tube, j in self.judged.items() if j.verdict in ("low", "high"))

    @property
    def asbestos(self) -> bool:
        """Whether a part is written that was made with asbestos."""
        fitted = self.string.dropper if self.string else None
        return fitted is not None and fitted.kind in ("resistance cord", "ballast")


def arrangement_of(record: Record) -> str:
    """``series``, ``parallel``, ``mixed`` or ``unknown``."""
    heaters = record.heaters or HeaterSupply()
    power = record.power or ""
    ordered, wound = heaters.order is not None, bool(heaters.windings)
    if wound and ordered:
        return "mixed"
    if wound or power == "transformer":
        return "parallel"
    if power == "series string" or ordered or heaters.dropper is not None:
        return "series"
    return "parallel" if power in ("battery", "vibrator") and _direct_from_line(record) else "unknown"


def _direct_from_line(record: Record) -> bool:
    """Whether the line of a battery or vibrator set is low enough to be the heaters' own supply."""
    volts = si(record.line.volts) if record.line else None
    return volts is not None and volts <= 24


def examine(record: Record, bench: Bench) -> HeatersFindings | None:
    """All findings on the heater supply; None where neither the heaters nor the kind of supply are written."""
    if record.heaters is None and (record.power is None or not record.tubes):
        return None
    arrangement = arrangement_of(record)
    if arrangement in ("series", "mixed"):
        return _of_string(record, bench, arrangement)
    return _of_windings(record, bench, arrangement)


def _of_string(record: Record, bench: Bench, arrangement: str) -> HeatersFindings:
    supply = record.heaters or HeaterSupply()
    lamp = pilot_lamp(record, map(str, record.tubes))
    wound = fed(record, bench, lamp) if supply.windings else None
    apart = frozenset(t.tube for w in wound.windings for t in w.tubes) if wound else frozenset()
    in_order = {str(name).casefold() for name in supply.order or ()}
    string = string_of(record, bench, frozenset(t for t in apart if t.casefold() not in in_order))
    lines = _lines(record.line, si(supply.measured.line) if supply.measured else None)
    nominal_volts = next((v for v, which in lines if "nominal" in which), None)
    running = tuple(
        run(string, volts, which, frequency_hertz=_frequency(supply, which)) for volts, which in lines if string.tubes
    )
    nominal = next((r for r in running if "nominal" in r.which), None)
    at_measured = next((r for r in running if "measured" in r.which), nominal)
    rated = {r.tube: r.volts for r in string.tubes}
    total = math.fsum(v for v in rated.values() if v is not None) if string.known else None
    in_lamp = _lamp_volts(string)
    left = None if total is None or nominal_volts is None else left_for_dropper(nominal_volts, total + in_lamp)
    fitted = string.dropper
    heat = nominal.dropper_watts if nominal else None
    return HeatersFindings(
        arrangement=arrangement,
        rated_sum_volts=None if total is None else round(total, 9),
        rated_current_amps=string.current_amps if string.known else None,
        left_for_dropper_volts=None if left is None else round(left, 9),
        dropper=_dropper(nominal_volts, total, in_lamp, string),
        running=running,
        line_volts=nominal_volts,
        line_limits_assumed=_limits_assumed(record.line),
        judged=judged(string.tubes, nominal),
        mixed=tuple(r.tube for r in string.mixed),
        fitted_of_rating=heat / fitted.rated_watts if fitted and fitted.rated_watts and heat else None,
        heat_watts=nominal.heat_watts if nominal else None,
        windings=wound.windings if wound else (),
        measured=beside_computed(supply, string, at_measured, nominal_volts, rated, bench.words.tubes),
        missing=missing_of(record, bench.words, arrangement, string, wound),
        assumed=assumed_of(record, bench.words, string, wound),
        string=string,
        ratings=string.tubes,
        lamp=lamp,
        sweep=_sweep(string, nominal_volts),
        before_rectifier=run(string, nominal_volts, "", drain_amps=0) if string.tapped and nominal_volts else None,
        current="DC" if string.direct_current else "AC",
        note=str(supply.note or ""),
    )


def _frequency(supply: HeaterSupply, which: str) -> float | None:
    return si(supply.measured.frequency) if supply.measured and "measured" in which else None


def _lamp_volts(string: HeaterString) -> float:
    lamp = string.series_lamp
    return lamp.volts * lamp.count if lamp and lamp.volts else 0.0


def _of_windings(record: Record, bench: Bench, arrangement: str) -> HeatersFindings:
    supply = record.heaters or HeaterSupply()
    lamp = pilot_lamp(record, map(str, record.tubes))
    direct = not supply.windings and arrangement == "parallel" and record.power in ("battery", "vibrator")
    supplies = from_battery(record, bench, lamp) if direct else fed(record, bench, lamp)
    ratings = tuple(r for w in supplies.windings for r in w.ratings) + supplies.unfed
    lines = _lines(record.line, si(supply.measured.line) if supply.measured else None)
    nominal_volts = next((v for v, which in lines if "nominal" in which), None)
    running = tuple(_at_line(supplies, ratings, v, which, nominal_volts) for v, which in lines if ratings)
    nominal = next((r for r in running if "nominal" in r.which), None) or _at_line(supplies, ratings, 1.0, "", 1.0)
    at_measured = next((r for r in running if "measured" in r.which), nominal)
    rated = {r.tube: r.volts for r in ratings}
    groups = wanted(ratings)
    return HeatersFindings(
        arrangement=arrangement,
        rated_sum_volts=None,
        rated_current_amps=groups[0].amps if len(groups) == 1 and all(r.known for r in ratings) else None,
        left_for_dropper_volts=None,
        dropper=None,
        running=running if arrangement == "parallel" else (),
        line_volts=nominal_volts,
        line_limits_assumed=_limits_assumed(record.line),
        judged=judged(ratings, nominal) if arrangement == "parallel" else {},
        windings=supplies.windings,
        wanted=wanted(supplies.unfed),
        measured=beside_computed(supply, None, at_measured, nominal_volts, rated, bench.words.tubes),
        missing=missing_of(record, bench.words, arrangement, None, supplies),
        assumed=assumed_of(record, bench.words, None, supplies),
        ratings=ratings,
        lamp=lamp,
        current="DC" if on_direct_current(record.line) else "AC",
        note=str(supply.note or ""),
    )


def _at_line(
    supplies: Windings, ratings: tuple[Rating, ...], line_volts: float, which: str, nominal_volts: float | None
) -> RunningLine:
    """Windings follow the line in proportion."""
    volts: dict[str, float] = {}
    for winding in supplies.windings:
        if winding.volts and nominal_volts:
            volts |= {t.tube: winding.volts * line_volts / nominal_volts for t in winding.tubes}
    tubes = {r.tube: _tube_at(r, volts.get(r.tube)) for r in ratings}
    return RunningLine(line_volts, None, tubes, which)


def _tube_at(one: Rating, volts: float | None) -> TubeRunning:
    share = volts / one.volts if volts and one.volts else None
    return TubeRunning(volts, one.volts, share, share)


def _lines(line: Line | None, measured: float | None) -> list[tuple[float, str]]:
    """Low, nominal and high line and the measured one, lowest first; a voltage is listed once, with all it is."""
    nominal = si(line.volts) if line else None
    found: list[tuple[float, str]] = []
    if nominal is not None and line is not None:
        low, high = si(line.low) or nominal * (1 - LINE_BAND), si(line.high) or nominal * (1 + LINE_BAND)
        found = [(low, "low"), (nominal, "nominal"), (high, "high")]
    if measured is not None:
        found.append((measured, "measured"))
    which: dict[float, list[str]] = {}
    for volts, why in found:
        which.setdefault(round(volts, 9), []).append(why)
    return [(volts, ", ".join(why)) for volts, why in sorted(which.items())]


def _limits_assumed(line: Line | None) -> bool:
    return line is not None and (si(line.low) is None or si(line.high) is None)


def _dropper(line: float | None, total: float | None, lamp: float, string: HeaterString) -> Dropper | None:
    """The resistor for the string at its common current; None where the heaters ask for all of the line or more."""
    from ...electrics.preferred import next_above

    amps = string.current_amps
    if line is None or total is None or amps is None:
        return None
    needed = dropper_for(line, total + lamp, amps)
    if needed is None:
        return None
    frequency = None if string.direct_current else string.frequency_hertz
    capacitor = series_capacitor_for(line, total + lamp, amps, frequency) if frequency else None
    return Dropper(
        ohms=needed.ohms,
        watts=needed.watts,
        preferred_ohms=next_above(needed.ohms, PREFERRED_SERIES),
        rating_watts=rating_for(needed.watts),
        capacitor_farads=capacitor.farads if capacitor else None,
        capacitor_frequency_hertz=frequency if capacitor else None,
    )


def _sweep(string: HeaterString, nominal: float | None) -> tuple[SweepPoint, ...]:
    points = []
    for factor in _SWEEP if nominal and string.known else ():
        tubes = run(string, (nominal or 0) * factor, "").tubes.values()
        shares = [t.judged_of_rated for t in tubes if t.judged_of_rated is not None]
        if shares:
            points.append(SweepPoint((nominal or 0) * factor, min(shares), max(shares)))
    return tuple(points)


def standouts(findings: HeatersFindings, bench: Bench) -> list[Standout]:
    """What a restorer should know first about the heaters, worst first."""
    return sorted(sentences.of(findings, bench.words), key=lambda s: -s.severity)
