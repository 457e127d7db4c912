"""The heater string as written, and as it runs at a line voltage."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from ...bench import Bench
from ...electrics import heaters as physics
from ...record.model import Line, Record
from .rated import PilotLamp, Rating, common_amps, for_current, is_lamp, pilot_lamp, position, rating, same, si

DRAIN_WITH_LAMP_AMPS = 0.060
"""B+ current assumed behind a tapped rectifier: the most a 35W4 or 35Z5GT may give with the lamp on its tap and no
shunt (60 mA: wereboar.com, article on the dial lamp of 2024; the tube table has the same figure from memory)."""

RMS_OF_DRAIN = 2.0
"""RMS of a half-wave rectifier's current into a capacitor over the direct current. Common practice, no source."""

DROPPER_WORDS = frozenset(
    {"dropper", "resistor", "resistance cord", "line cord", "cord", "ballast", "diode", "capacitor"}
)
DROPPER, LAMP = "dropper", "lamp"


@dataclass(frozen=True, slots=True)
class FittedDropper:
    """What is written to stand in series with the heaters. ``ohms`` is the measured value where there is one."""

    kind: str
    ohms: float | None
    farads: float | None = None
    rated_watts: float | None = None
    rated_volts: float | None = None
    measured: bool = False
    from_drop: bool = False
    written: str = ""


@dataclass(frozen=True, slots=True)
class HeaterString:
    """The string from the line to B-. ``chain`` names its pieces in order: tube positions, ``dropper``, ``lamp``."""

    tubes: tuple[Rating, ...]
    chain: tuple[str, ...]
    order_written: bool
    left_out: tuple[str, ...]
    unknown_names: tuple[str, ...]
    doubled: tuple[str, ...]
    dropper: FittedDropper | None
    lamp: PilotLamp | None
    current_amps: float | None
    direct_current: bool
    frequency_hertz: float | None

    @property
    def known(self) -> bool:
        """Whether every tube of the string has known ratings."""
        return bool(self.tubes) and not self.unknown_names and all(r.known for r in self.tubes)

    @property
    def tapped(self) -> Rating | None:
        """The rectifier across whose tap the lamp sits, where lamp and tap are known."""
        if self.lamp is None or self.lamp.place != "tap" or self.lamp.volts is None or self.lamp.count > 1:
            return None
        return next((r for r in self.tubes if r.tube == self.lamp.at and r.tap_volts and r.known), None)

    @property
    def series_lamp(self) -> PilotLamp | None:
        """The lamp, where it stands in the string and its ratings are known."""
        return self.lamp if self.lamp and self.lamp.place == "series" and self.lamp.volts is not None else None

    @property
    def mixed(self) -> tuple[Rating, ...]:
        """The tubes rated for another current than most of the string."""
        return tuple(r for r in self.tubes if r.known and not same(r.amps, self.current_amps))


@dataclass(frozen=True, slots=True)
class TubeRunning:
    """One tube at one line voltage. ``judged_of_rated`` is the share it is judged by: without a lamp's tap section."""

    volts: float | None
    rated_volts: float | None
    of_rated: float | None
    judged_of_rated: float | None = None
    current_of_rated: float | None = None


@dataclass(frozen=True, slots=True)
class RunningLine:
    """The heaters at one line voltage; ``which`` says why it is listed: low, nominal, high, measured."""

    line_volts: float
    current_amps: float | None
    tubes: Mapping[str, TubeRunning]
    which: str = ""
    string_volts: float | None = None
    dropper_volts: float | None = None
    dropper_watts: float | None = None
    capacitor_volts: float | None = None
    lamp_volts: float | None = None
    lamp_amps: float | None = None
    tap_section_amps: float | None = None
    heat_watts: float | None = None


def string_of(record: Record, bench: Bench, apart: frozenset[str] = frozenset()) -> HeaterString:
    """The string as the record has it: its order, or all tubes as listed but those ``apart`` on windings."""
    written = record.heaters.order if record.heaters else None
    positions = [str(p) for p in record.tubes]
    chain: list[str] = []
    unknown: list[str] = []
    doubled: list[str] = []
    for name in written or [p for p in positions if p not in apart]:
        piece = _piece(str(name), positions)
        if piece is None:
            unknown.append(str(name))
        elif piece in chain:
            doubled.append(piece)
        else:
            chain.append(piece)
    tubes = for_current(tuple(rating(p, record, bench) for p in chain if p not in (DROPPER, LAMP)))
    amps = common_amps(tubes)
    dropper, lamp = fitted_dropper(record, amps), pilot_lamp(record, positions)
    _place_once(chain, unknown, LAMP, lamp is not None, lamp is not None and lamp.place == "series")
    _place_once(chain, unknown, DROPPER, dropper is not None, dropper is not None)
    line = record.line
    return HeaterString(
        tubes=tubes,
        chain=tuple(chain),
        order_written=written is not None,
        left_out=tuple(p for p in positions if p not in chain and p not in apart),
        unknown_names=tuple(unknown),
        doubled=tuple(doubled),
        dropper=dropper,
        lamp=lamp,
        current_amps=amps,
        direct_current=on_direct_current(line),
        frequency_hertz=si(line.frequency) if line else None,
    )


def on_direct_current(line: Line | None) -> bool:
    """Whether the line is written as direct current: ``110 V DC`` or ``110 V, DC``."""
    return line is not None and (line.volts.mark == "dc" or (line.current or "").upper() == "DC")


def _place_once(chain: list[str], unknown: list[str], piece: str, written: bool, in_string: bool) -> None:
    """Puts the lamp or the dropper at the line end where the order does not place it; notes one that is not written."""
    if in_string and piece not in chain:
        chain.insert(0, piece)
    if not in_string and piece in chain:
        chain.remove(piece)
        if not written:
            unknown.append(piece)


def _piece(name: str, positions: list[str]) -> str | None:
    if found := position(name, positions):
        return found
    if is_lamp(name):
        return LAMP
    return DROPPER if name.strip().casefold() in DROPPER_WORDS else None


def fitted_dropper(record: Record, amps: float | None) -> FittedDropper | None:
    """The dropper as written; a ballast given by its drop alone is the resistance of that drop at ``amps``."""
    written = record.heaters.dropper if record.heaters else None
    if written is None:
        return None
    ohms = si(written.measured) or si(written.ohms)
    drop = si(written.volts)
    value = written.measured or written.ohms or written.farads or written.volts
    from_drop = ohms is None and written.kind in ("ballast", "resistor", "resistance cord") and bool(drop and amps)
    if from_drop and drop and amps:
        ohms = drop / amps
    return FittedDropper(
        kind=str(written.kind),
        ohms=ohms,
        farads=si(written.farads),
        rated_watts=si(written.watts),
        rated_volts=drop,
        measured=si(written.measured) is not None,
        from_drop=from_drop,
        written=value.written if value else "",
    )


def tap_heating_amps(string_amps: float, drain_amps: float, direct_current: bool) -> float:
    """What the plate's current adds to the heating current of the tap, in ampere RMS.

    On direct current the two simply add. On alternating current the plate draws pulses at the crests, in phase with the
    string's sine: with an RMS value of ``RMS_OF_DRAIN`` times the direct current (a pulse a quarter of a cycle wide)
    total^2 = I^2 + 2 I sqrt 2 Id k + (2 Id)^2, k = sin(45 deg)/(pi/4) being the mean of the crest under the pulse.
    """
    if direct_current:
        return drain_amps
    half = math.pi / RMS_OF_DRAIN**2
    shared = math.sqrt(2) * drain_amps * math.sin(half) / half
    total = math.sqrt(string_amps**2 + 2 * string_amps * shared + (RMS_OF_DRAIN * drain_amps) ** 2)
    return total - string_amps


def run(
    string: HeaterString,
    line_volts: float,
    which: str,
    *,
    frequency_hertz: float | None = None,
    drain_amps: float = DRAIN_WITH_LAMP_AMPS,
) -> RunningLine:
    """The string at ``line_volts``; volts and current are None where they cannot be known."""
    running = _solved(string, line_volts, frequency_hertz or string.frequency_hertz, drain_amps)
    if running is None:
        dark = {r.tube: TubeRunning(None, r.volts, None) for r in string.tubes}
        return RunningLine(line_volts, None, dark, which)
    tap, lamp = running.tap, string.series_lamp
    tubes = {
        r.tube: _running(r, volts, running.current_amps, tap.rest_volts if tap and r is string.tapped else None)
        for r, volts in zip(string.tubes, running.heater_volts, strict=False)
    }
    return RunningLine(
        line_volts=line_volts,
        current_amps=running.current_amps,
        tubes=tubes,
        which=which,
        string_volts=running.string_volts,
        dropper_volts=running.dropper_volts if string.dropper else None,
        dropper_watts=running.dropper_watts if string.dropper else None,
        capacitor_volts=running.capacitor_volts or None,
        lamp_volts=tap.volts if tap else running.heater_volts[-1] if lamp else None,
        lamp_amps=tap.lamp_amps if tap else running.current_amps if lamp else None,
        tap_section_amps=tap.section_amps if tap else None,
        heat_watts=running.string_volts * running.current_amps,
    )


def _running(one: Rating, volts: float, amps: float, rest_volts: float | None) -> TubeRunning:
    """One tube's share; ``rest_volts`` is what the heater beyond a lamp's tap has, by which its rectifier is judged."""
    if one.volts is None or one.amps is None:
        return TubeRunning(volts, one.volts, None)
    judged = volts / one.volts if rest_volts is None else rest_volts / (one.volts - (one.tap_volts or 0))
    return TubeRunning(volts, one.volts, volts / one.volts, judged, amps / one.amps)


def _solved(
    string: HeaterString, line_volts: float, frequency: float | None, drain_amps: float
) -> physics.Running | None:
    """The physics of it, or None where something that matters was not written or cannot be."""
    dropper = string.dropper
    if not string.known or cannot_run(string, frequency):
        return None
    heaters = [physics.Heater(r.volts, r.amps) for r in string.tubes if r.volts and r.amps]
    lamp = string.series_lamp
    if lamp and lamp.volts and lamp.amps:
        heaters.append(physics.pilot_lamp(lamp.volts * lamp.count, lamp.amps))
    try:
        return physics.running_string(
            heaters,
            line_volts,
            (dropper.ohms or 0.0) if dropper else 0.0,
            tap=_tap(string, drain_amps),
            capacitor_farads=dropper.farads if dropper else None,
            frequency_hz=frequency or 0.0,
            half_wave=dropper is not None and dropper.kind == "diode" and not string.direct_current,
        )
    except (ValueError, OverflowError, ZeroDivisionError):
        return None


def _tap(string: HeaterString, drain_amps: float) -> physics.Tap | None:
    whole, lamp = string.tapped, string.lamp
    if whole is None or lamp is None or not (whole.volts and whole.amps and whole.tap_volts):
        return None
    if lamp.volts is None or lamp.amps is None:
        return None
    added = tap_heating_amps(whole.amps, drain_amps, string.direct_current) if drain_amps else 0.0
    bulb = physics.pilot_lamp(lamp.volts, lamp.amps)
    return physics.Tap(string.tubes.index(whole), whole.tap_volts / whole.volts, bulb, added)


def cannot_run(string: HeaterString, frequency: float | None) -> str:
    """Why the string cannot be computed as it runs, in a word or two; empty where it can."""
    dropper = string.dropper
    if string.lamp and string.lamp.place == "series" and string.lamp.volts is None:
        return "lamp"
    if dropper is None:
        return ""
    if dropper.kind in ("resistor", "resistance cord", "ballast") and dropper.ohms is None:
        return "dropper"
    if dropper.kind == "capacitor":
        if string.direct_current:
            return "capacitor on DC"
        if dropper.farads is None:
            return "capacitor"
        if not frequency:
            return "frequency"
    return ""
