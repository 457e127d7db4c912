"""Classes and voltage ratings of the capacitors of the line side, held against where they sit."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from ...electrics.safety_capacitors import (
    BRIDGING_RULE,
    CLASS_VOLTS,
    CLASSES_RULE,
    bridges_to_a_hand,
    is_of_class_y,
)
from ...record.units import say
from ...report.verdict import Verdict
from ...words import Words
from .b_minus import IsolatingNetwork
from .barriers import Barrier, ComputedComponent, components_of
from .inspection import Check
from .line_and_load import LineSource
from .topology import Wiring
from .wording import part_words


def class_checks(
    wiring: Wiring, network: IsolatingNetwork | None, sockets: Mapping[str, IsolatingNetwork], words: Words
) -> Iterator[Check]:
    """Whether each capacitor has the class its place needs."""
    if network is not None and network.capacitor_farads:
        yield from _to_a_hand(network, f"from {words.b_minus} to chassis", words)
    if not wiring.double_wound:
        for name, facts in sockets.items():
            if facts.capacitor_farads:
                yield from _to_a_hand(facts, f"before the {part_words(name, words)}", words)
    across = [p.of_class for p in components_of(wiring.across) if p.kind == "capacitor"]
    if any(c is None for c in across):
        yield Check(
            Verdict.NOTE,
            f"The capacitor across the {words.line} has no class written: class X belongs there, whose failure must "
            "not start a fire.",
        )
    yield from _to_chassis(wiring, words)


def _to_chassis(wiring: Wiring, words: Words) -> Iterator[Check]:
    """Capacitors from either lead to the chassis: class Y, and as much as lies before a hand where no earth is."""
    chains = (*wiring.hot_to_chassis, *wiring.return_to_chassis)
    to_chassis = [[p.of_class for p in chain if p.kind == "capacitor"] for chain in chains]
    wrong = [c for classes in to_chassis for c in classes if not is_of_class_y(c)]
    place = f"A capacitor from the {words.line} to the chassis"
    if wrong:
        said = "no class written" if wrong[0] is None else f"class {wrong[0]}"
        yield Check(
            Verdict.NOTE if wrong[0] is None else Verdict.FAULT,
            f"{place} has {said}: it belongs to class Y, for its failure could give a shock ({CLASSES_RULE}).",
        )
        return
    touched = any(part.listed and not part.barrier for part in wiring.parts)
    if touched and not wiring.earthed and not all(bridges_to_a_hand(classes) for classes in to_chassis if classes):
        alone = next(classes[0] for classes in to_chassis if classes and not bridges_to_a_hand(classes))
        yield Check(
            Verdict.WATCH,
            f"{place} is of class {alone} alone, and the chassis can be touched and has no {words.earth} wire: "
            f"{_wanted(words)}.",
        )


def _wanted(words: Words) -> str:
    return f"between the {words.line} and a hand belongs Y1, or two Y2 in series ({BRIDGING_RULE})"


def _to_a_hand(network: IsolatingNetwork, place: str, words: Words) -> Iterator[Check]:
    written = network.class_written
    if network.class_enough is None:
        yield Check(Verdict.NOTE, f"No class is written for the capacitor {place}: {_wanted(words)}.")
    elif network.class_alone:
        yield Check(Verdict.WATCH, f"The capacitor {place} is of class {written} alone: {_wanted(words)}.")
    elif not network.class_enough:
        yield Check(
            Verdict.FAULT,
            f"The capacitor {place} is of class {written}, and its failure could give a shock, for which class Y is "
            f"made ({CLASSES_RULE}): {_wanted(words)}.",
        )


def volts_checks(wiring: Wiring, line: LineSource, words: Words) -> Iterator[Check]:
    """Capacitors whose written rating, or whose class, is below what the line puts across them."""
    places: dict[str, Barrier] = {
        f"across the {words.line}": wiring.across,
        "from B- to chassis": wiring.b_minus,
        f"from the {words.line} to chassis": (*wiring.hot_to_chassis, *wiring.return_to_chassis),
    }
    if not wiring.double_wound:
        places |= {f"before the {part_words(p.name, words)}": p.barrier for p in wiring.parts if p.listed}
    for place, barrier in places.items():
        for component in components_of(barrier):
            if component.kind == "capacitor":
                yield from _rated(component, place, line, words)


def _rated(component: ComputedComponent, place: str, line: LineSource, words: Words) -> Iterator[Check]:
    """A written rating below what stands there. That of a class is the line's nominal voltage: it is tested with more.

    Endurance of IEC 60384-14: class X at 1.25 and class Y at 1.7 times the rating (makers' data sheets, from memory).
    """
    alternating = line.hertz > 0
    in_rms = alternating and (component.rated_is_rms or component.of_class is not None)
    needed = line.high_volts if in_rms or not alternating else line.high_volts * math.sqrt(2)
    if component.of_class and alternating:
        needed = line.volts
    kind = "RMS" if in_rms else "peak" if alternating else "DC"
    if in_rms and component.of_class is not None and (component.rated_volts or 0.0) >= line.volts:
        # A class's volts are those of a nominal line, which may swing (IEC 60384-14; from memory).
        return
    if component.rated_volts is not None and component.rated_volts < needed * (1 - 1e-6):
        yield Check(
            Verdict.FAULT,
            f"The capacitor {place} is rated {say(component.rated_volts, 'V')}, and the {words.line} of "
            f"{say(line.volts, 'V')} puts up to {say(needed, 'V')} {kind} across it.",
        )
        return
    most = CLASS_VOLTS.get(component.of_class or "")
    if component.rated_volts is None and most is not None and alternating and line.volts > most:
        yield Check(
            Verdict.FAULT,
            f"The capacitor {place} is of class {component.of_class}, which ends at {say(most, 'V')}: the {words.line} "
            f"is {say(line.volts, 'V')}.",
        )


def resistor_checks(network: IsolatingNetwork | None, *, limit_published: bool, words: Words) -> Iterator[Check]:
    """The resistor from B- to chassis: working voltage, watts, and its share of the current alone."""
    if network is None:
        return
    if network.resistor_rating_enough is False:
        yield Check(
            Verdict.FAULT,
            f"The resistor from {words.b_minus} to chassis is rated for less than the peak of the high "
            f"{words.line}: it bridges the same "
            "barrier as the capacitor and must stand as much.",
        )
    watts, rated = network.resistor_watts, network.resistor_rated_watts
    if watts is not None and rated is not None and watts > rated:
        yield Check(
            Verdict.FAULT,
            f"The resistor from {words.b_minus} to chassis can be asked for more watts than it is rated for.",
        )
    if network.resistor_over_limit:
        yield Check(
            Verdict.FAULT if limit_published else Verdict.WATCH,
            f"The resistor from {words.b_minus} to chassis alone lets more current through than the limit.",
        )
