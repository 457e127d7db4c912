"""The pins of the plug after it is pulled: what the capacitor across the line holds, and what drains it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...circuit.usual_limits import METER_OHMS
from ...electrics.stored_charge import (
    DISCHARGED_VOLTS,
    FREE_FARADS,
    MOST_TIME_CONSTANT,
    most_ohms,
    seconds_to,
    volts_left,
)
from ...record.figures import to_figures
from ...record.units import say
from .barriers import Barrier, Chain, spread

if TYPE_CHECKING:
    from ...words import Words
    from .described import DescribedState
    from .line_and_load import LineSource, SetLoad


@dataclass(frozen=True, slots=True)
class PulledPlug:
    """The pins after the plug is pulled at the crest of the high line: parts at the end of their tolerance.

    ``resistor_ohms`` lies across them whatever becomes of the set, None where none does; ``after_1_s_volts``,
    ``after_2_s_volts`` and ``seconds_to_60_v`` are with it alone (None: never). ``metered_volts`` is what a meter of
    10 megohm shows after a second. ``through_set_seconds`` is the time constant through the set itself while it is
    whole, None where it drains nothing. ``most_ohms`` is the largest resistor that would do. ``of_dropper`` says that
    the capacitor in series with the heaters is what holds the most.
    """

    farads: float
    crest_volts: float
    resistor_ohms: float | None
    after_1_s_volts: float
    after_2_s_volts: float
    seconds_to_60_v: float | None
    metered_volts: float
    through_set_seconds: float | None
    most_ohms: float
    of_dropper: bool = False

    @property
    def asked(self) -> bool:
        """Whether the standard asks for a discharge at all."""
        return self.farads > FREE_FARADS

    @property
    def drained(self) -> bool:
        """Whether the resistor alone keeps the time constant."""
        return self.resistor_ohms is not None and self.resistor_ohms * self.farads <= MOST_TIME_CONSTANT * (1 + 1e-9)


def pulled_plug(described: DescribedState, line: LineSource, load: SetLoad) -> PulledPlug | None:
    """What is left on the pins; None where no capacitor lies across the line. The switch is on: off, it parts them.

    A capacitor that is the heaters' dropper lies across them too, through cold heaters that drain nothing, and holds
    the crest of its own volts.
    """
    least, most = spread(described.wiring.across, more=False), spread(described.wiring.across, more=True)
    farads = math.fsum(_farads(chain) for chain in most)
    ohms = _resistors(least)
    crest = line.high_volts * (math.sqrt(2) if line.hertz else 1.0)
    dropper = load.dropper_farads if load.blocks_direct and line.hertz else None
    if dropper:
        farads += dropper
        ohms = _side_by_side(ohms, load.bleeder_ohms)
        crest = math.sqrt(2) * load.dropper_volts * line.high_volts / line.volts
    if farads <= 0 or ohms == 0:
        return None
    metered = METER_OHMS if ohms is None else ohms * METER_OHMS / (ohms + METER_OHMS)
    left = [crest if ohms is None else volts_left(crest, ohms, farads, seconds) for seconds in (1.0, 2.0)]
    until = None if ohms is None else seconds_to(DISCHARGED_VOLTS, crest, ohms, farads)
    through = load.ohms * farads if load.ohms and not load.blocks_direct else None
    return PulledPlug(
        farads=to_figures(farads),
        crest_volts=to_figures(crest),
        resistor_ohms=None if ohms is None else to_figures(ohms),
        after_1_s_volts=to_figures(left[0]),
        after_2_s_volts=to_figures(left[1]),
        seconds_to_60_v=None if until is None else to_figures(until),
        metered_volts=to_figures(volts_left(crest, metered, farads, 1.0)),
        through_set_seconds=None if through is None else to_figures(through, 2),
        most_ohms=to_figures(most_ohms(farads)),
        of_dropper=bool(dropper),
    )


def _side_by_side(one: float | None, other: float | None) -> float | None:
    there = [ohms for ohms in (one, other) if ohms is not None]
    return 0.0 if not all(there) else 1 / math.fsum(1 / ohms for ohms in there) if there else None


def _farads(chain: Chain) -> float:
    """A chain's capacitance; 0 where it holds no charge. A resistor in series does not change what it holds."""
    held = [one.value for one in chain if one.kind == "capacitor"]
    return 1 / math.fsum(1 / value for value in held) if held and all(held) else 0.0


def _resistors(barrier: Barrier) -> float | None:
    """The chains that direct current may pass, side by side; None where there is none, 0 where one is a wire."""
    chains = [math.fsum(one.value for one in chain) for chain in barrier if all(o.kind != "capacitor" for o in chain)]
    if not chains:
        return None
    return 0.0 if not all(chains) else 1 / math.fsum(1 / ohms for ohms in chains)


def say_pulled(pulled: PulledPlug, words: Words) -> str:
    """One line for the bench: what to read, and what to expect."""
    metered = f"{say(pulled.metered_volts, 'V')} on a {say(METER_OHMS, 'ohm')} meter"
    head = f"{words.wall_plug.capitalize()} pulled, switch on, 1 s later: {_through_set(pulled)}"
    held = say(pulled.farads, "F")
    held += ", the capacitor in series with the heaters among it," if pulled.of_dropper else ""
    if pulled.resistor_ohms is None:
        fault = f"{held} keeps up to {say(pulled.crest_volts, 'V')}, {metered}"
    else:
        until = say(pulled.seconds_to_60_v, "s", digits=2)
        fault = (
            f"{say(pulled.resistor_ohms, 'ohm')} across {held} alone: at most "
            f"{say(pulled.after_1_s_volts, 'V')}, {metered}, {say(DISCHARGED_VOLTS, 'V')} after {until}"
        )
    return f"{head}{fault}{_against(pulled)}."


def _through_set(pulled: PulledPlug) -> str:
    if pulled.through_set_seconds is None:
        return ""
    return f"0 V through a whole set ({say(pulled.through_set_seconds, 's', digits=2)}); that open, "


def _against(pulled: PulledPlug) -> str:
    """What IEC 60950-1 asks; nothing is asked of little capacitance."""
    if not pulled.asked:
        return ""
    most = say(MOST_TIME_CONSTANT, "s")
    kept = "kept" if pulled.drained else f"so {say(pulled.most_ohms, 'ohm')} or less across it"
    return f" (IEC 60950-1, read second hand: RC at most {most}, {kept})"
