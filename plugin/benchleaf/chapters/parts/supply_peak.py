"""The highest voltage that parts fed from the rectifier can see, and what was read at a place in the circuit."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from ...circuit.elements import RESISTOR
from ...circuit.places import COMMON, FED_FROM_B_PLUS, Place, rail_order
from ...circuit.rail_ohms import cold_shares, rail_ohms
from ...circuit.rectifier_feed import rectifiers_of
from ...circuit.winding_source import usual_drain, winding_source
from ...record.figures import to_figures
from ...record.place_words import B_PLUS
from ...record.sections.reading_lists import measured_runs

if TYPE_CHECKING:
    from collections.abc import Mapping

    from ...circuit.network import Network
    from ..bench import Bench

DEAD_OUTPUT_STAGE = "dead output stage"
SLOW_TRANSFORMER = "slow transformer"
"""A transformer whose rectifier is indirectly heated: it warms as the tubes do that draw from it."""
DIVIDED = 0.9
"""A share of the peak that resistors leave behind them; what takes less away is not told."""
BLEEDER_AMPS = 5e-3
"""What resistors have to draw to be a bleeder: less hardly loads a rectifier. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class SupplyPeak:
    """Peak of the rectified supply with nothing drawing current, in volts, at the high line.

    ``how`` is ``half-wave``, ``DC line``, ``read`` (from the rectifier's AC reading, in volts RMS) or ``winding`` (from
    what is written of the winding that feeds it), ``doubled`` true
    for a doubler, which makes twice that. ``case`` is when so much stands there: ``dead output stage``, ``dry
    rectifier``, ``doubler``, ``transformer``, ``slow transformer``, ``bled transformer``, ``series string``,
    ``three-way`` or empty.
    ``least_volts`` is what the rectifier makes at least at low line, the mean of the rectified half-wave (peak/π); None
    on direct current.
    ``read_in`` is the list of that reading, ``read_line_volts`` its line with the selector as it stands now.
    ``no_load_volts`` are those volts RMS without load, where they were read on load or that is not written.
    ``lacks`` names what the record would have to say, where ``volts`` is None.
    ``shares`` are the shares of it behind dividers, by point (``divided``).
    """

    volts: float | None = None
    high_line_volts: float | None = None
    high_line_assumed: bool = False
    how: str = ""
    read_volts: float | None = None
    read_line_volts: float | None = field(default=None, metadata={"json": False})
    read_in: str = field(default="", metadata={"json": False})
    no_load_volts: float | None = None
    doubled: bool = False
    case: str = ""
    least_volts: float | None = None
    lacks: str = field(default="", metadata={"json": False})
    shares: Mapping[Place, float] = field(default_factory=dict, metadata={"json": False})

    def share(self, ends: tuple[Place, Place], network: Network) -> float:
        """The share of it that a part between two places can see: what stands at the end that has more."""
        return max((self.shares.get(network.point(end), 1.0) for end in ends if end.kind in FED_FROM_B_PLUS), default=1)


def supply_peak(bench: Bench) -> SupplyPeak:
    """√2 times the high line for a rectifier on the line; √2 times the rectifier's AC reading for a transformer set.

    The rectifier conducts while nothing draws current: nothing is dropped on the way. A doubler makes twice that.
    """
    peak = _single(bench)
    line = bench.circuit.mains.volts
    if peak.volts is None or line is None:
        return peak
    doubled = bool(bench.circuit.doubling)
    least = peak.volts * line.low / line.high / math.pi if peak.how != "DC line" else None
    return replace(
        peak,
        volts=peak.volts * (2 if doubled else 1),
        doubled=doubled,
        case=_case(bench, peak.volts),
        least_volts=least,
        shares=divided(bench),
    )


def _single(bench: Bench) -> SupplyPeak:
    mains = bench.circuit.mains
    if mains.volts is None:
        return SupplyPeak(lacks="line")
    high, assumed = mains.volts.high, mains.volts.high_assumed
    if mains.straight_from_line:
        if mains.direct:
            return SupplyPeak(high, high, assumed, "DC line")
        return SupplyPeak(math.sqrt(2) * high, high, assumed, "half-wave")
    if mains.wound:
        source = winding_source(bench.circuit, "", "now", bench.circuit.dry_rectifier)
        if source is None:
            return SupplyPeak(None, high, assumed, lacks="rectifier AC")
        read, line = source.ac, source.ac.line_volts or mains.volts.nominal
        bare = source.no_load(usual_drain(bench.circuit, read.run))
        # Where nobody wrote whether it was on load, the peak is the higher.
        volts = bare.if_loaded or bare.volts
        peak = math.sqrt(2) * volts * high / line
        how = "read" if read.how == "read" else "winding"
        rises = to_figures(volts) if volts > read.volts else None
        return SupplyPeak(
            peak, high, assumed, how, read.volts, read_line_volts=line, read_in=read.run, no_load_volts=rises
        )
    return SupplyPeak(None, high, assumed, lacks="supply" if mains.power else "power")


def _case(bench: Bench, peak_volts: float) -> str:
    """When nothing draws current from the rectifier, the worst first.

    A transformer set whose resistors draw from B+ at all times never has its whole peak. In a series string a tube that
    is out darkens all, the rectifier with them; there the filter sees its peak where the rectifier is warm before the
    output tube, or still hot when the set is switched on again. The filaments of a three-way set draw from it at once,
    whatever rectifies, and their string is dark with one of them out.
    """
    circuit = bench.circuit
    if circuit.dead_output_part:
        return DEAD_OUTPUT_STAGE
    if circuit.mains.power == "three-way":
        return circuit.mains.power
    if circuit.dry_rectifier:
        return "dry rectifier"
    if circuit.doubling:
        return "doubler"
    if circuit.mains.wound:
        if _is_bled(bench, peak_volts):
            return "bled transformer"
        return SLOW_TRANSFORMER if _warms_with_the_others(bench) else "transformer"
    return circuit.mains.power


def _warms_with_the_others(bench: Bench) -> bool:
    """Whether the rectifier has a cathode of its own, so that cold it gives nothing while the other tubes are cold."""
    tubes = [bench.tubes.get(position) for position in rectifiers_of(bench.circuit)]
    return bool(tubes) and all(tube is not None and not tube.heater.direct for tube in tubes)


def _is_bled(bench: Bench, peak_volts: float) -> bool:
    """Whether resistors alone draw from the first rail, enough to pull the peak down."""
    first = _first_rail(bench.circuit.network)
    if first is None or not any(element.kind == RESISTOR for element in bench.circuit.network.elements):
        return False
    ohms = rail_ohms(bench.circuit, first).high_ohms
    return ohms is not None and peak_volts >= BLEEDER_AMPS * ohms > 0


def _first_rail(network: Network) -> Place | None:
    rails = {network.point(at) for element in network.elements for at in element.ends if at.kind == B_PLUS}
    return min((at for at in rails if not at.tube), key=rail_order, default=None)


def divided(bench: Bench) -> Mapping[Place, float]:
    """The share of the supply's peak that dividers leave at a point while the tubes are cold, where it is less."""
    first = _first_rail(bench.circuit.network)
    if first is None:
        return {}
    return {point: share for point, share in cold_shares(bench.circuit, first).items() if 0 < share <= DIVIDED}


def sees_supply(ends: tuple[Place, Place] | None, network: Network) -> bool:
    """Whether a part stands between something fed from B+ and something near B-, and so can see the whole supply.

    Near B- is what the record calls otherwise and is that point, such as the centre tap of a back-biased supply.
    """
    if ends is None:
        return False
    low = COMMON | {"grid", "AVC", "diode"}
    return any(
        a.kind in FED_FROM_B_PLUS and (b.kind in low or (not b.tube and network.is_common(b)))
        for a, b in (ends, ends[::-1])
    )


def volts_at(bench: Bench, place: Place, *, latest: bool) -> tuple[float, str] | None:
    """Volts DC read at a place and their run: the first measured run or the latest, else an expected one."""
    record, measured = bench.record, list(measured_runs(bench.record.readings))
    expected = [name for name in record.readings if str(name) not in measured]
    for name in (*(reversed(measured) if latest else measured), *expected):
        volts = bench.circuit.direct_volts[str(name)].get(bench.circuit.network.point(place))
        if volts is not None:
            return volts, str(name)
    return None


def latest_volts(bench: Bench, ends: tuple[Place, Place]) -> tuple[float, float, str] | None:
    """Volts DC at both ends from the latest measured run that has both, else an expected one; B- is 0 V where it was
    not read."""
    record, network = bench.record, bench.circuit.network
    measured = list(measured_runs(record.readings))
    expected = [name for name in record.readings if str(name) not in measured]
    for name in (*reversed(measured), *expected):
        read = bench.circuit.direct_volts[str(name)]
        found = [read.get(network.point(end), 0.0 if network.is_common(end) else None) for end in ends]
        if found[0] is not None and found[1] is not None:
            return found[0], found[1], str(name)
    return None
