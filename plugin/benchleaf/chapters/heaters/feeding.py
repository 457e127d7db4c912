"""What a string hangs on: the line, a battery, or the direct voltage that a three-way set makes of the line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ...electrics.droppers import SeriesResistor, dropper_for, rating_for
from ...electrics.filaments import running_members
from ...record.sections.heaters import HeaterSupply
from ..bench import Bench
from .choices import PREFERRED_SERIES, WantedDropper
from .line_voltages import supply_volts
from .portable import Cathodes, End, FilamentRun, ends_of, filaments_of, spans_of
from .rated import Rating, rating, si
from .string import HeaterString


@dataclass(frozen=True, slots=True)
class Feed:
    """What the heaters are judged on: ``kind`` is ``line``, ``filament supply`` or ``battery``.

    ``volts`` RMS, or DC, at the nominal line; None where that is not written.
    """

    kind: str = "line"
    volts: float | None = None


def three_way(bench: Bench, tubes: Sequence[Rating]) -> bool:
    """Whether ``tubes`` form the string of a set for line and batteries, which never hangs on the line itself."""
    mains = bench.circuit.mains
    if not (mains.on_batteries and mains.from_line):
        return False
    return _supply(bench) is not None or any(is_filament(r, bench) for r in tubes)


def is_filament(one: Rating, bench: Bench) -> bool:
    """Whether this is a battery tube; in a set on batteries a type that is not in the table counts as one."""
    return one.direct or bench.tubes.get(one.tube) is None


def beside_filaments(bench: Bench) -> frozenset[str]:
    """Tubes of a three-way set that hang on the line themselves, such as a rectifier, where no order is written."""
    ratings = [rating(str(p), bench) for p in bench.record.tubes]
    written = bench.record.heaters
    if (written and written.order) or not three_way(bench, ratings):
        return frozenset()
    apart = frozenset(r.tube for r in ratings if not is_filament(r, bench))
    return apart if len(apart) < len(ratings) else frozenset()


def feed_of(bench: Bench, string: HeaterString, nominal: float | None, runs: tuple[FilamentRun, ...]) -> Feed:
    """What the string is judged on: of a three-way set the filament supply, or else its battery."""
    on_line = next((run for run in runs if run.supply == "line"), None)
    battery = next((run for run in runs if run.supply == "battery"), None)
    if battery and (nominal is None or on_line is None):
        return Feed("battery", battery.supply_volts)
    if three_way(bench, string.tubes):
        return Feed("filament supply", _supply(bench))
    own = not bench.circuit.mains.from_line and nominal is not None and supply_volts(bench.circuit) == nominal
    return Feed("battery" if own else "line", nominal)


def filament_dropper(bench: Bench, string: HeaterString, cathodes: Cathodes) -> WantedDropper | None:
    """The resistor between filament supply and string, with the shunts that are fitted and the cathode currents.

    The string takes the current it has at the sum of its rated volts. None where nothing is left to drop.
    """
    from ...electrics.preferred import next_above

    fed = _supply(bench)
    if fed is None or not string.known:
        return None
    total, spans = sum(r.volts or 0.0 for r in string.as_members), spans_of(string)

    def needed_at(end: End) -> SeriesResistor | None:
        amps, _ = running_members(*filaments_of(bench, string, cathodes, end), total, spans=spans)
        return dropper_for(fed, total, amps)

    try:
        needed = needed_at("amps")
        ends = sorted(at.ohms for end in ends_of(bench, string, cathodes) if (at := needed_at(end)))
    except (ValueError, OverflowError):
        return None
    if needed is None:
        return None
    low, high = (ends[0], ends[-1]) if ends else (None, None)
    preferred = next_above(needed.ohms, PREFERRED_SERIES)
    return WantedDropper(needed.ohms, needed.watts, preferred, rating_for(needed.watts), low_ohms=low, high_ohms=high)


def _supply(bench: Bench) -> float | None:
    written = bench.record.heaters or HeaterSupply()
    return si(written.filament_supply)
