"""What follows from the parts of a tone control and of a feedback loop: corners, what is left, the loop's gain."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...circuit.elements import CAPACITOR, RESISTOR, Element
from ...circuit.in_place import in_place
from ...electrics.tone import Feedback, feedback, least_of_treble, shunt_corner
from ...record.figures import in_figures, to_figures

if TYPE_CHECKING:
    from ...circuit.network import Network
    from ...circuit.places import Place
    from ..bench import Bench
    from ..readings.findings import ReadingsFindings
    from ..readings.signal_figures import StageSignal
    from ..speaker.examine import SpeakerFindings

_TONE = re.compile(r"\btone\b|\bklang|\btreble\b|\btop cut\b", re.I)
_FEEDBACK = re.compile(r"\bfeedback\b|\bNFB\b|gegenkopplung", re.I)
_SECONDARY = re.compile(r"secondary|\bsec\b|speaker|voice coil", re.I)
_MOST_STAGES = 6


@dataclass(frozen=True, slots=True)
class ToneCut:
    """A capacitor with its control across a plate.

    ``cut_hertz`` is where the treble begins to fall with the control at nothing, ``open_hertz`` with all of it in;
    then no more than ``open_decibels`` are lost. ``source_how`` is ``worked out`` or ``load``.
    """

    capacitor: str
    control: str
    tube: str
    farads: float
    source_ohms: float
    source_how: str
    control_ohms: float
    cut_hertz: float
    open_hertz: float | None
    open_decibels: float | None


@dataclass(frozen=True, slots=True)
class FeedbackLoop:
    """Feedback from the speaker's winding to a cathode. ``loop`` is None where a gain or the turns are not known."""

    resistor: str
    cathode: str
    resistor_ohms: float
    cathode_ohms: float
    stages: tuple[str, ...]
    forward_gain_times: float | None
    loop: Feedback | None


@dataclass(frozen=True, slots=True)
class ToneFindings:
    """Tone controls and feedback loops that the parts show."""

    cuts: tuple[ToneCut, ...]
    loops: tuple[FeedbackLoop, ...]


def examine(
    bench: Bench, readings: ReadingsFindings | None = None, speaker: SpeakerFindings | None = None
) -> ToneFindings | None:
    """The findings; None where no part is written as one of a tone control at a plate or of a feedback loop."""
    signals = {one.stage: one for one in readings.signal} if readings else {}
    cuts = tuple(_cuts(bench, signals))
    loops = tuple(_loops(bench, signals, speaker.turns_ratio if speaker else None))
    return ToneFindings(cuts, loops) if cuts or loops else None


def _cuts(bench: Bench, signals: Mapping[str, StageSignal]) -> Iterator[ToneCut]:
    network = bench.circuit.network
    for element in network.elements:
        farads = _value(element, "F") if element.kind == CAPACITOR else None
        if farads is None:
            continue
        for here, there in (element.ends, element.ends[::-1]):
            control = None if _is_bottom(network, there) else _control(network, there, element)
            marked = _TONE.search(element.job) or (control and _TONE.search(control.job))
            plate = next((at for at in network.joined_to(here) if at.kind == "plate"), None)
            if not marked or plate is None or (control is None and not _is_bottom(network, there)):
                continue
            source = _source(bench, plate, signals)
            if source is not None:
                yield _cut(element, control, plate, farads, source)


def _cut(
    capacitor: Element, control: Element | None, plate: Place, farads: float, source: tuple[float, str]
) -> ToneCut:
    ohms = (_value(control, "ohm") if control else None) or 0.0
    made = ToneCut(
        capacitor.name,
        control.name if control else "",
        plate.tube,
        farads,
        *source,
        ohms,
        shunt_corner(source[0], 0.0, farads),
        shunt_corner(source[0], ohms, farads) if ohms else None,
        20 * math.log10(least_of_treble(source[0], ohms)) if ohms else None,
    )
    return in_figures(made, "source_ohms", "cut_hertz", "open_hertz", "open_decibels", digits=2)


def _is_bottom(network: Network, at: Place) -> bool:
    return network.is_common(at) or at.kind == "B+"


def _control(network: Network, at: Place, besides: Element) -> Element | None:
    """The resistor behind a tone capacitor that goes on to the bottom or a rail."""
    resistors = (one for one in network.at(at, RESISTOR) if one is not besides and _value(one, "ohm"))
    return next((one for one in resistors if _is_bottom(network, network.other_end(one, at))), None)


def _source(bench: Bench, plate: Place, signals: Mapping[str, StageSignal]) -> tuple[float, str] | None:
    """What a plate is as a source: worked out, or else its load alone."""
    stage = bench.circuit.network.stage_of(plate)
    signal = signals.get(stage.name) if stage else None
    if signal and signal.output_ohms:
        return signal.output_ohms.value, "worked out"
    load = bench.circuit.load(plate)
    if load is None:
        return None
    ohms = load.ohms or next((value for part in load.parts[:1] if (value := _value(part, "ohm"))), 0.0)
    return (ohms, "load") if ohms else None


def _value(element: Element, unit: str) -> float | None:
    inside = in_place(element.listed, "now")
    return inside.value if inside.unit == unit and inside.value and inside.is_there else None


def _loops(bench: Bench, signals: Mapping[str, StageSignal], turns: float | None) -> Iterator[FeedbackLoop]:
    network = bench.circuit.network
    for element in network.elements:
        ohms = _value(element, "ohm") if element.kind == RESISTOR and _FEEDBACK.search(element.job) else None
        for cathode, source in (element.ends, element.ends[::-1]):
            if not ohms or cathode.kind != "cathode" or not _SECONDARY.search(source.name()):
                continue
            below = [value for r in network.to_common(cathode, RESISTOR) if (value := _value(r, "ohm"))]
            bypassed = any((_value(c, "F") or 0) > 0 for c in network.to_common(cathode, CAPACITOR))
            if len(below) != 1 or bypassed:
                continue
            names = tuple(_onward(network, cathode))
            gains = [s.gain_times.value if (s := signals.get(name)) and s.gain_times else None for name in names]
            known = [gain for gain in gains if gain]
            forward = math.prod(known) / turns if turns and known and len(known) == len(gains) else None
            loop = feedback(forward, below[0] / (below[0] + ohms)) if forward else None
            rounded = (
                in_figures(loop, "returned_share", "loop_gain_times", "factor", "decibels", digits=2) if loop else None
            )
            yield FeedbackLoop(
                element.name, cathode.name(bench.words), ohms, below[0], names, to_figures(forward, 2), rounded
            )


def _onward(network: Network, cathode: Place) -> Iterator[str]:
    """The stages from a cathode to the one whose plate is coupled to no further grid."""
    stage = next((s for s in network.stages if s.cathode is not None and network.same(s.cathode, cathode)), None)
    for _ in range(_MOST_STAGES):
        if stage is None:
            return
        yield stage.name
        coupled = next((c for c in network.couplings if c.plate in stage.plates), None)
        following = coupled.grid if coupled else None
        stage = next((s for s in network.stages if following is not None and following in s.grids), None)
