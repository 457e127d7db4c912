"""What an ohmmeter should show at one place before power: from the parts, or as a rule, with the band."""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from ...circuit import cold_subjects as subjects
from ...circuit.elements import CAPACITOR
from ...circuit.in_place import When, in_place
from ...circuit.places import rail
from ...circuit.rail_ohms import MARKED_OFF, MEASURED_OFF, ohms_between, rail_ohms
from ...circuit.speaker_load import COIL_OF_IMPEDANCE
from ...circuit.usual_limits import JOINED_OHMS
from ...circuit.winding_halves import both_halves
from ...circuit.winding_ohms import primary_band
from ...electrics.heaters import COLD_INRUSH_RATIO
from ...electrics.insulation import EARTH_OHMS, INSULATION_OHMS
from ...record.place_words import B_MINUS, B_PLUS, CHASSIS
from ..line_side.line_and_load import SetLoad, line_of, load_of, nameplate_watts
from ..line_side.ohmmeter import HOT_PIN, RETURN_PIN, OhmmeterReading, resistances
from ..line_side.topology import B_MINUS as SIDE_B_MINUS
from ..line_side.topology import CHASSIS as SIDE_CHASSIS
from ..line_side.wired_then import is_before_work

if TYPE_CHECKING:
    from ...circuit.cold_subjects import ColdSubject
    from ...circuit.elements import Element
    from ...record.quantities import Quantity
    from ..bench import Bench
    from ..heaters.findings import HeatersFindings
    from ..line_side.barriers import Barrier
    from ..line_side.described import DescribedState
    from ..line_side.findings import LineSideFindings

CHARGED_OHMS = 50e3
"""What leaky filter capacitors alone should come to, at least, when they have charged. Common practice, no source."""
USUAL_PRIMARY_OHMS = (100.0, 700.0)
"""An output transformer's primary. Common practice, no source."""
USUAL_SECONDARY_OHMS = (0.0, 2.0)
"""Its secondary. Common practice, no source."""
USUAL_HIGH_VOLTAGE_OHMS = (50.0, 1000.0)
"""A mains transformer's winding for B+, from end to end. Common practice, no source."""
HEATER_WINDING_OHMS = (0.0, 2.0)
"""A heater winding, with the cold heaters that may lie beside it. Common practice, no source: thick wire that loses a
few per cent of its volts has hundredths to tenths of an ohm."""
USUAL_FIELD_OHMS = (300.0, 10e3)
"""A speaker's field. Common practice, no source."""
PRIMARY_LOSS = (0.015, 0.08)
"""What a mains transformer's primary has, over the line's volts squared by the set's watts. Common practice, no source:
its copper takes some per cent of the watts."""
_PARTS, _RULE = "parts", "rule"


@dataclass(frozen=True, slots=True)
class ColdBands:
    """Where a reading should lie: one or more bands in ohm, ``inf`` where nothing joins the two places.

    ``rests_on`` is ``parts`` or ``rule`` (common practice). ``climbs`` says that capacitors charge meanwhile,
    ``out`` that it is read out of its socket, ``by_way`` that pin and switch choose the band, and ``with_series`` that
    the last band holds for the string with its dropper and lamp.
    """

    bands: tuple[tuple[float, float], ...]
    rests_on: str = _PARTS
    climbs: bool = False
    out: bool = False
    by_way: bool = False
    with_series: bool = False

    @property
    def low_ohms(self) -> float:
        """The lowest end of all."""
        return min(low for low, _ in self.bands)

    @property
    def high_ohms(self) -> float:
        """The highest end of all."""
        return max(high for _, high in self.bands)

    def holds(self, reading: Quantity) -> bool | None:
        """Whether a reading may lie in a band, the leads' own ohms allowed; None where it is no reading at all."""
        if reading.qualifier in ("open", "overrange"):
            return math.isinf(self.high_ohms)
        ohms = 0.0 if reading.qualifier == "short" else reading.si
        if ohms is None:
            return None
        at_least = reading.qualifier in ("gt", "ge")
        at_most = reading.qualifier in ("lt", "le")
        return any(
            (at_most or ohms <= high * (1 + MEASURED_OFF) + JOINED_OHMS)
            and (at_least or ohms >= low * (1 - MEASURED_OFF) - JOINED_OHMS)
            for low, high in self.bands
        )


_NO_PATH = ColdBands(((INSULATION_OHMS, math.inf),))
_CHARGED = ColdBands(((CHARGED_OHMS, math.inf),), climbs=True)


@dataclass(frozen=True)
class ColdExpectations:
    """All that a set should show to an ohmmeter; ``at`` gives the bands of one subject on one day."""

    bench: Bench
    heaters: HeatersFindings | None
    line_side: LineSideFindings | None

    def at(self, subject: ColdSubject, day: datetime.date | None = None) -> ColdBands | None:
        """The bands; None where nothing can be expected."""
        when: When = day or "now"
        kind = subject.kind
        if kind == subjects.BETWEEN:
            return self._between(subject, when)
        if kind == subjects.PLUG:
            return self._plug_off(when) if subject.which == subjects.OFF else self._plug(when)
        if kind == subjects.LINE_TO_CHASSIS:
            return self._line_to_chassis(day)
        if kind == subjects.LINE_TO_B_MINUS:
            pins = {subjects.HOT: (HOT_PIN,), subjects.RETURN: (RETURN_PIN,)}.get(subject.which, (HOT_PIN, RETURN_PIN))
            return self._from_pins(pins, SIDE_B_MINUS, when)
        if kind == subjects.STRING:
            return self._string() or self._plug(when)
        if kind == subjects.HEATER_WINDING:
            return ColdBands((HEATER_WINDING_OHMS,), _RULE)
        if kind == subjects.HEATER:
            return self._heater(subject.tube, section=subject.which == subjects.SECTION)
        if kind == subjects.PART:
            return self._part(subject, when)
        if kind == subjects.FIELD:
            return self._field(subject.part, when)
        if kind == subjects.VOICE_COIL:
            return self._voice_coil()
        if kind == subjects.APART:
            return _NO_PATH
        return ColdBands(((0.0, EARTH_OHMS),), _RULE) if kind == subjects.EARTH_WIRE else None

    def _between(self, subject: ColdSubject, when: When) -> ColdBands | None:
        one, other = subject.places
        if "heater" in (one.electrode, other.electrode):
            # What a heater leads to by way of the string is no part of the network.
            return None
        bottom, chassis = rail(B_MINUS), rail(CHASSIS)
        network = self.bench.circuit.network
        if {one, other} == {bottom, chassis} and not network.same(bottom, chassis):
            return _of_side(self._side(when), (SIDE_B_MINUS, SIDE_CHASSIS))
        to_bottom = network.is_common(other)
        circuit = self.bench.circuit
        found = rail_ohms(circuit, one, when) if to_bottom else ohms_between(circuit, one, other, when)
        if found.low_ohms is not None and found.high_ohms is not None:
            charging = any(e.kind == CAPACITOR for place in (one, other) for e in network.at(place))
            return ColdBands(((found.low_ohms, found.high_ohms),), climbs=charging and found.high_ohms > JOINED_OHMS)
        # The filaments of a three-way set hang on a rail by a dropper, which is no part of the network.
        by_the_filaments = circuit.mains.power == "three-way" and B_PLUS in (one.kind, other.kind)
        return _CHARGED if found.known and not by_the_filaments else None

    def _plug(self, when: When) -> ColdBands | None:
        circuit = self.bench.circuit
        if (band := primary_band(circuit, by_the_plug=False)) is not None:
            return ColdBands((band,))
        if circuit.mains.wound:
            return self._primary(subjects.line_transformer(circuit), when)
        line = line_of(circuit.mains)
        load = load_of(self.bench.record, line, self.heaters) if line else None
        return ColdBands((load.cold_ohms,)) if load and load.cold_ohms and not load.blocks_direct else None

    def _string(self) -> ColdBands | None:
        line = line_of(self.bench.circuit.mains)
        load = load_of(self.bench.record, line, self.heaters) if line else None
        if load is None or not load.cold_ohms or not load.heater_ohms:
            return None
        low, high = (ohms - load.series_ohms for ohms in load.cold_ohms)
        if not load.series_ohms:
            return ColdBands(((low, high),))
        return ColdBands(((low, high), load.cold_ohms), with_series=True)

    def _side(self, when: When) -> tuple[OhmmeterReading, ...]:
        """The line side as it was wired then: as before until the first new part was in, where both are written."""
        side = self.line_side
        if side is None:
            return ()
        early = is_before_work(self.bench.circuit, when)
        state = (side.before or side.after) if early else (side.after or side.before)
        if state is None:
            return ()
        load = side.load or SetLoad()
        return (*resistances(state.described, load), *resistances(_without_leaks(state.described), load))

    def _line_to_chassis(self, day: datetime.date | None) -> ColdBands | None:
        found = self._from_pins((HOT_PIN, RETURN_PIN), SIDE_CHASSIS, day or "now")
        if found is not None:
            return found
        grounding = self.bench.circuit.grounding
        return _NO_PATH if self.bench.circuit.mains.double_wound and not grounding.chassis_on_line else None

    def _from_pins(self, pins: tuple[str, ...], to: str, when: When) -> ColdBands | None:
        """The bands from any of the pins to a place of the line side, whatever the switch."""
        side = self._side(when)
        found = [bands for pin in pins if (bands := _of_side(side, (pin, to))) is not None]
        merged = _merged(band for bands in found for band in bands.bands)
        return ColdBands(merged, by_way=len(merged) > 1) if found else None

    def _plug_off(self, when: When) -> ColdBands | None:
        off = (reading for reading in self._side(when) if reading.switch == "off")
        return _of_side(off, (HOT_PIN, RETURN_PIN))

    def _heater(self, position: str, *, section: bool) -> ColdBands | None:
        """Of a whole heater, or of a ``section`` to its tap: that one's ohms nobody has; it is part of the whole."""
        fitted = next((t for name, t in self.bench.record.tubes.items() if str(name) == position), None)
        own, tube = (fitted.heater if fitted else None), self.bench.tubes.get(position)
        volts, amps = (own.volts.si, own.amps.si) if own else (None, None)
        if tube and not own:
            volts, amps = tube.heater.volts, tube.heater.amps
        if not volts or not amps:
            return None
        least, most = COLD_INRUSH_RATIO
        low, high = volts / amps / most, volts / amps / least
        beside = self.heaters is not None and self.heaters.arrangement == "parallel"
        return ColdBands(((0.0 if beside or section else low, high),), out=beside)

    def _part(self, subject: ColdSubject, when: When) -> ColdBands | None:
        if subject.which == subjects.OUTPUT_SECONDARY:
            return ColdBands((USUAL_SECONDARY_OHMS,), _RULE)
        if subject.which in (subjects.PRIMARY, subjects.SECONDARY):
            if subject.part != subjects.line_transformer(self.bench.circuit) or not self.bench.circuit.mains.wound:
                return None
            first = subject.which == subjects.PRIMARY
            return self._primary(subject.part, when) if first else ColdBands((USUAL_HIGH_VOLTAGE_OHMS,), _RULE)
        return self._between_ends(subject.part, when) or (
            ColdBands((USUAL_PRIMARY_OHMS,), _RULE) if subject.which == subjects.OUTPUT_PRIMARY else None
        )

    def _between_ends(self, name: str, when: When) -> ColdBands | None:
        """A part where it stands, with what lies beside it; by itself where its ends are not written."""
        if (halves := both_halves(self.bench.circuit.network.elements, name)) is not None:
            return self._across_both(*halves, when)
        own = self._own(name, when)
        element = next((e for e in self.bench.circuit.network.elements if e.name == name), None)
        if element is None:
            return own
        if element.kind == CAPACITOR:
            return self._between(subjects.placed(self.bench.circuit, *element.ends), when)
        if own is None:
            return None
        found = ohms_between(self.bench.circuit, *element.ends, when)
        both = found.low_ohms is not None and found.high_ohms is not None
        return ColdBands(((found.low_ohms or 0.0, found.high_ohms or 0.0),)) if both else own

    def _across_both(self, first: Element, last: Element, when: When) -> ColdBands | None:
        """From plate to plate of a winding with a tap: both halves in series, with what lies beside them."""
        found = ohms_between(self.bench.circuit, first.ends[0], last.ends[1], when)
        both = found.low_ohms is not None and found.high_ohms is not None
        return ColdBands(((found.low_ohms or 0.0, found.high_ohms or 0.0),)) if both else None

    def _own(self, name: str, when: When) -> ColdBands | None:
        listed = self.bench.circuit.component(name)
        there = in_place(listed, when) if listed else None
        if there is None or there.unit != "ohm" or not there.value or there.value < 0:
            return None
        off = MEASURED_OFF if there.how == "measured" else MARKED_OFF
        return ColdBands(((there.value * (1 - off), there.value * (1 + off)),))

    def _primary(self, name: str, when: When) -> ColdBands | None:
        """A mains transformer's primary: by its ohms in the parts list, else by the watts on the nameplate."""
        if (own := self._own(name, when)) is not None:
            return own
        watts, volts = nameplate_watts(self.bench.record), self.bench.circuit.mains.volts
        if not watts or volts is None or not self.bench.circuit.mains.wound:
            return None
        low, high = (volts.nominal**2 / watts * share for share in PRIMARY_LOSS)
        return ColdBands(((low, high),), _RULE)

    def _field(self, name: str, when: When) -> ColdBands | None:
        speaker = self.bench.record.speaker
        written = speaker.field.si if speaker and speaker.field else None
        if (own := self._between_ends(name, when)) is not None:
            return own
        if written and written > 0:
            return ColdBands(((written * (1 - MARKED_OFF), written * (1 + MARKED_OFF)),))
        return ColdBands((USUAL_FIELD_OHMS,), _RULE) if name else None

    def _voice_coil(self) -> ColdBands | None:
        speaker = self.bench.record.speaker
        written = (speaker.voice_coil, speaker.impedance) if speaker else (None, None)
        coil, rated = (quantity.si if quantity else None for quantity in written)
        if coil and coil > 0:
            return ColdBands(((coil * (1 - MEASURED_OFF), coil * (1 + MEASURED_OFF)),))
        if rated and rated > 0:
            return ColdBands(((rated * COIL_OF_IMPEDANCE * (1 - MARKED_OFF), rated),), _RULE)
        return None


def _of_side(found: Iterable[OhmmeterReading], pair: tuple[str, str]) -> ColdBands | None:
    """The bands of one pair, a band a position of the switch; None where one hangs on what is not written.

    What leaks at an insulation tester's volts may not at an ohmmeter's: a band reaches from the one to the other.
    """
    bands: dict[str, tuple[float, float]] = {}
    for reading in found:
        if {reading.between, reading.other} != {*pair}:
            continue
        if not reading.known:
            return None
        low, high = bands.get(reading.switch, (math.inf, 0.0))
        ends = (reading.low_ohms, reading.high_ohms)
        here, there = (INSULATION_OHMS, math.inf) if ends[0] is None or ends[1] is None else (ends[0], ends[1])
        bands[reading.switch] = min(low, here), max(high, there)
    return ColdBands(_merged(bands.values())) if bands else None


def _merged(bands: Iterable[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    """Bands that lie over each other as one, the lowest first."""
    merged: list[tuple[float, float]] = []
    for low, high in sorted(bands):
        if merged and low <= merged[-1][1] * (1 + MEASURED_OFF):
            merged[-1] = merged[-1][0], max(merged[-1][1], high)
        else:
            merged.append((low, high))
    return tuple(merged)


def _without_leaks(described: DescribedState) -> DescribedState:
    """The same with capacitors that do not leak, as at an ohmmeter's few volts old ones may not."""

    def dry(barrier: Barrier) -> Barrier:
        return tuple(tuple(replace(one, leak_ohms=None) for one in chain) for chain in barrier)

    wirings = (
        replace(
            wiring,
            b_minus=dry(wiring.b_minus),
            across=dry(wiring.across),
            hot_to_chassis=dry(wiring.hot_to_chassis),
            return_to_chassis=dry(wiring.return_to_chassis),
        )
        for wiring in described.wirings
    )
    return replace(described, wirings=tuple(wirings))
