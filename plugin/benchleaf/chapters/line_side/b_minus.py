"""What stands between B- and chassis, or between line and chassis: reactance, shares, largest capacitor, class."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from ...electrics.colours import UNMARKED_TOLERANCE
from ...electrics.impedance import capacitive_reactance
from ...electrics.limits import TouchLimit
from ...electrics.nodal_analysis import Capacitor, NetworkElement, Resistor, VoltageSource
from ...electrics.safety_capacitors import bridges_to_a_hand, is_of_class_y
from ...electrics.touch import Touch, touch_current
from ...record.sections.wave_bands import Band
from ...record.text import Text
from .barriers import Barrier, Chain, components_of
from .line_and_load import LineSource

_LARGEST_ASKED = 10e-6
_MOST_STEPS = 60
_CLOSE_AMPS = 1e-12


@dataclass(frozen=True, slots=True)
class RadioFrequency:
    """Ohm of the network at one end of a band of the set."""

    band: str
    hertz: float
    ohms: float


@dataclass(frozen=True, slots=True)
class IsolatingNetwork:
    """A resistor and a capacitor that part the chassis from one side of the line.

    ``reactance_ohms`` of the capacitor and the two currents are at the nominal line, all of it across the network.
    ``largest_farads`` is the largest capacitor that stays under the limit at high line if it is ``assumed_tolerance``
    over its value, the resistor beside it: None where the resistor alone is over the limit, or on direct current.
    ``barrier_peak_volts`` is the peak of the high line, which resistor and capacitor have to stand; whether the written
    rating of the resistor does is ``resistor_rating_enough``. ``class_enough`` says whether the written class is what a
    part between line and hand needs; None where no class was written. ``class_alone`` is true for class Y that is not
    enough alone.
    """

    resistor_ohms: float | None
    capacitor_farads: float | None
    reactance_ohms: float | None
    resistor_amps: float
    capacitor_amps: float
    carries_more: str | None
    high_line_volts: float
    assumed_tolerance: float
    largest_farads: float | None
    resistor_over_limit: bool
    barrier_peak_volts: float
    resistor_rated_volts: float | None
    resistor_rating_enough: bool | None
    resistor_watts: float | None
    resistor_rated_watts: float | None
    class_written: str | None
    class_enough: bool | None
    class_alone: bool
    radio_frequency: tuple[RadioFrequency, ...]


def network_facts(
    barrier: Barrier, line: LineSource, limit: TouchLimit, bands: Mapping[Text, Band]
) -> IsolatingNetwork | None:
    """The figures of a network of resistors and capacitors; None where there is none, or it is bridged by a wire."""
    chains = [chain for chain in barrier if chain]
    if not chains or any(all(component.kind == "wire" for component in chain) for chain in chains):
        return None
    siemens = math.fsum(_siemens(chain) for chain in chains)
    farads = math.fsum(_farads(chain) for chain in chains)
    ohms = 1 / siemens if siemens else None
    reactance = capacitive_reactance(farads, line.hertz) if farads and line.hertz else None
    resistor_amps = line.volts * siemens
    capacitor_amps = line.volts / reactance if reactance else 0.0
    largest, too_low = largest_capacitor(ohms, line, limit)
    resistors = [component for component in components_of(barrier) if component.kind == "resistor"]
    peak = line.high_volts * (math.sqrt(2) if line.hertz else 1.0)
    rated = _sum([r.rated_volts for r in resistors])
    return IsolatingNetwork(
        resistor_ohms=ohms,
        capacitor_farads=farads or None,
        reactance_ohms=reactance,
        resistor_amps=resistor_amps,
        capacitor_amps=capacitor_amps,
        carries_more=_more(resistor_amps, capacitor_amps),
        high_line_volts=line.high_volts,
        assumed_tolerance=UNMARKED_TOLERANCE,
        largest_farads=largest,
        resistor_over_limit=too_low,
        barrier_peak_volts=peak,
        resistor_rated_volts=rated,
        resistor_rating_enough=None if rated is None else rated >= peak,
        resistor_watts=line.high_volts**2 * siemens if resistors else None,
        resistor_rated_watts=_sum([r.rated_watts for r in resistors]),
        class_written=_class_written(barrier),
        class_enough=_class_enough(barrier),
        class_alone=_class_enough(barrier) is False and all(is_of_class_y(c) for p in _classes(barrier) for c in p),
        radio_frequency=tuple(_radio_frequency(siemens, farads, bands)) if farads else (),
    )


def _siemens(chain: Chain) -> float:
    """Conductance of a chain for direct current; of a capacitor that of its leakage."""
    ohms = 0.0
    for component in chain:
        if component.kind == "resistor":
            ohms += component.value
        elif component.kind == "capacitor":
            ohms += math.inf if component.leak_ohms is None else component.leak_ohms
    return 0.0 if math.isinf(ohms) or not ohms else 1 / ohms


def _farads(chain: Chain) -> float:
    """Capacitance of a chain; a resistor in series with it is small beside its reactance and left out."""
    elastances = [1 / component.value for component in chain if component.kind == "capacitor"]
    return 1 / math.fsum(elastances) if elastances else 0.0


def _more(resistor_amps: float, capacitor_amps: float) -> str | None:
    if not (resistor_amps or capacitor_amps):
        return None
    return "resistor" if resistor_amps >= capacitor_amps else "capacitor"


def _sum(values: list[float | None]) -> float | None:
    """What several resistors in a row stand together; None where one of them does not say."""
    known = [v for v in values if v is not None]
    return math.fsum(known) if known and len(known) == len(values) else None


def largest_capacitor(resistor_ohms: float | None, line: LineSource, limit: TouchLimit) -> tuple[float | None, bool]:
    """Farad of the largest capacitor under the limit, and whether the resistor alone is over it.

    Chassis and line are taken as parted by this network alone, at high line, the capacitor ``UNMARKED_TOLERANCE`` over
    its value. The touch current rises with the capacitor, so that it meets the limit once.
    """

    def excess(farads: float) -> float:
        between: list[NetworkElement] = [
            VoltageSource("hot", "earth", line.high_volts),
            Capacitor("hot", "chassis", farads),
        ]
        if resistor_ohms is not None:
            between.append(Resistor("hot", "chassis", resistor_ohms))
        return _over_by(touch_current(between, "chassis", line.hertz), limit)

    if excess(0.0) > 0:
        return None, True
    if not line.hertz or excess(_LARGEST_ASKED) <= 0:
        return None, False
    return _where_zero(excess, 0.0, _LARGEST_ASKED) / (1 + UNMARKED_TOLERANCE), False


def _over_by(touch: Touch, limit: TouchLimit) -> float:
    """Amperes by which a touch current is over the limit, in the limit's own kind; -1 where there is none."""
    if touch.direct:
        return -1.0 if limit.dc_amps is None else touch.amps_rms - limit.dc_amps
    return (touch.amps_peak if limit.kind == "peak" else touch.amps_rms) - limit.amps


def _where_zero(rising: Callable[[float], float], low: float, high: float) -> float:
    """Where a rising function crosses zero between two places (regula falsi with the Illinois correction)."""
    at_low, at_high = rising(low), rising(high)
    kept = 0
    for _ in range(_MOST_STEPS):
        middle = (low * at_high - high * at_low) / (at_high - at_low)
        here = rising(middle)
        if abs(here) < _CLOSE_AMPS:
            return middle
        if here > 0:
            high, at_high = middle, here
            at_low, kept = (at_low / 2 if kept > 0 else at_low), 1
        else:
            low, at_low = middle, here
            at_high, kept = (at_high / 2 if kept < 0 else at_high), -1
    return low


def _class_written(barrier: Barrier) -> str | None:
    classes = [
        component.of_class
        for component in components_of(barrier)
        if component.kind == "capacitor" and component.of_class
    ]
    return " and ".join(dict.fromkeys(classes)) or None


def _classes(barrier: Barrier) -> list[list[str | None]]:
    """The classes of the capacitors of every path that has one, path by path."""
    paths = [[p.of_class for p in chain if p.kind == "capacitor"] for chain in barrier]
    return [path for path in paths if path]


def _class_enough(barrier: Barrier) -> bool | None:
    """Whether every path of capacitors may stand between the line and a hand; None without all their classes."""
    paths = _classes(barrier)
    if not paths or any(one is None for path in paths for one in path):
        return None
    return all(bridges_to_a_hand(path) for path in paths)


def _radio_frequency(siemens: float, farads: float, bands: Mapping[Text, Band]) -> Iterable[RadioFrequency]:
    """|Z| of R and C at the low end of each band, where the shield is worst."""
    for name, band in bands.items():
        hertz = band.low_hertz
        admittance = complex(siemens, 2 * math.pi * hertz * farads)
        yield RadioFrequency(str(name), hertz, 1 / abs(admittance))
