"""What is wrong on the line side by inspection alone: earth, class, ratings, the fuse's lead, plug against cord."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...dialect import Words
from ...findings import DANGER, FAULT, NOTE
from .barriers import Barrier, pieces
from .described import Described

if TYPE_CHECKING:
    from .b_minus import Network
    from .model import LineSideState

MAY_BE_FITTED = "may be fitted"
FITTED = "fitted"
MUST_NOT_BE_FITTED = "must not be fitted"
ONE_FAULT_FROM_A_SHORT = "fitted, one fault from a short circuit"
SHORT_CIRCUIT = "fitted, a short circuit"


@dataclass(frozen=True, slots=True)
class Check:
    """A sentence on what was found, with how much it matters (``findings.DANGER``, ``FAULT`` or ``NOTE``)."""

    severity: int
    text: str


def earth_of(described: Described) -> str:
    """What an earth wire to the chassis is, or would be, in this wiring."""
    wiring = described.wiring
    if wiring.double_wound:
        return FITTED if wiring.earthed else MAY_BE_FITTED
    if not wiring.earthed:
        return MUST_NOT_BE_FITTED
    return SHORT_CIRCUIT if wiring.live_chassis else ONE_FAULT_FROM_A_SHORT


def checks_of(state: LineSideState, described: Described, network: Network | None, words: Words) -> tuple[Check, ...]:
    """What inspection shows of the state the set is in, worst first."""
    found = [
        *_earth(described, words),
        *_class(described, network, words),
        *_ratings(network),
        *_fuse(described, words),
        *_cord(state, words),
    ]
    return tuple(sorted(found, key=lambda check: -check.severity))


def _earth(described: Described, words: Words) -> Iterator[Check]:
    earth = earth_of(described)
    if earth == SHORT_CIRCUIT:
        yield Check(
            DANGER,
            f"The chassis is one side of the {words.line} and has {_a(words.earth)} wire: with the plug one way round "
            f"the {words.line} is shorted through it. Take that wire off; this chassis must never have one.",
        )
    if earth == ONE_FAULT_FROM_A_SHORT:
        yield Check(
            DANGER,
            f"The chassis has {_a(words.earth)} wire, yet no double-wound transformer parts it from the {words.line}: "
            f"one failing part between B- and chassis shorts the {words.line} through that wire.",
        )


def _a(word: str) -> str:
    return f"an {word}" if word[0] in "aeiou" else f"a {word}"


def _class(described: Described, network: Network | None, words: Words) -> Iterator[Check]:
    wiring = described.wiring
    if network is not None and network.capacitor_farads:
        yield from _class_to_chassis(network.class_enough, network.class_written, "from B- to chassis", words)
    across = _capacitor_classes(wiring.across)
    if any(c is None for c in across):
        yield Check(
            NOTE,
            f"The capacitor across the {words.line} has no class written: class X belongs there, whose failure must "
            "not start a fire.",
        )
    to_chassis = _capacitor_classes((*wiring.hot_to_chassis, *wiring.return_to_chassis))
    wrong = [c for c in to_chassis if c is None or not c.startswith("Y")]
    if wrong:
        said = "no class written" if wrong[0] is None else f"class {wrong[0]}"
        yield Check(
            NOTE if wrong[0] is None else FAULT,
            f"A capacitor from the {words.line} to the chassis has {said}: it belongs to class Y, Y1 or two Y2 in "
            f"series where the chassis can be touched and has no {words.earth} wire (common practice, no source).",
        )


def _class_to_chassis(enough: bool | None, written: str | None, place: str, words: Words) -> Iterator[Check]:
    needed = f"between the {words.line} and a hand belongs Y1, or two Y2 in series (common practice, no source)"
    if enough is None:
        yield Check(NOTE, f"No class is written for the capacitor {place}: {needed}.")
    elif not enough:
        yield Check(FAULT, f"The capacitor {place} is of class {written}: {needed}.")


def _capacitor_classes(barrier: Barrier) -> list[str | None]:
    return [piece.of_class for piece in pieces(barrier) if piece.kind == "capacitor"]


def _ratings(network: Network | None) -> Iterator[Check]:
    if network is None:
        return
    if network.resistor_rating_enough is False:
        yield Check(
            FAULT,
            "The resistor from B- to chassis is rated for less than the peak of the high line: it bridges the same "
            "barrier as the capacitor and must stand as much.",
        )
    watts, rated = network.resistor_watts, network.resistor_rated_watts
    if watts is not None and rated is not None and watts > rated:
        yield Check(FAULT, "The resistor from B- to chassis can be asked for more watts than it is rated for.")
    if network.resistor_over_limit:
        yield Check(FAULT, "The resistor from B- to chassis alone lets more current through than the limit.")


def _fuse(described: Described, words: Words) -> Iterator[Check]:
    fuse = described.fuse
    if fuse is not None and fuse.place == "return lead":
        yield Check(
            FAULT,
            f"The only fuse sits in the return lead: when it blows the set is dead and still stands at {words.line} "
            "voltage. It belongs in the hot lead, before the switch.",
        )
    if fuse is not None and fuse.place == "both leads":
        yield Check(
            NOTE,
            f"With a fuse in both leads the one in the return may blow alone: the set stays at {words.line} voltage.",
        )


def _cord(state: LineSideState, words: Words) -> Iterator[Check]:
    cord = str(state.cord or "")
    if state.plug == "three-pin with earth" and re.search(r"\b(?:two|2)[- ](?:core|wire|conductor)", cord, re.I):
        yield Check(
            FAULT,
            f"A three-pin plug on a two-core cord has no {words.earth} wire to offer: one of the two is written wrong.",
        )
