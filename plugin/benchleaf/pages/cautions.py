"""The cautions that stand first on the page of a mains-connected set and are printed with every sheet.

Common practice of the trade, in our words; local codes and licensed practice decide. Keyed on how the set is fed and
grounded; where that is in doubt, the chassis counts as connected to the line.
"""

from __future__ import annotations

from dataclasses import dataclass

from ..circuit.circuit import Circuit
from ..circuit.grounding import Grounding
from ..words import Words


@dataclass(frozen=True, slots=True)
class Caution:
    """A block of cautions with its title; ``short`` is what stands on the record before they are opened."""

    title: str
    lines: tuple[str, ...]
    short: str

    @property
    def count(self) -> str:
        """How many there are: ``The seven rules``."""
        numbers = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
        many = len(self.lines)
        return f"The {numbers[many] if many < len(numbers) else many} rule{'' if many == 1 else 's'}"


def cautions(circuit: Circuit, words: Words) -> tuple[Caution, ...]:
    """The cautions for one set, the sternest first; none of them ever says that a set is without danger."""
    mains, grounding = circuit.mains, circuit.grounding
    own = () if mains.from_line else (_battery(words),)
    harmful = _of_materials(circuit)
    if mains.from_line or grounding.contradicted:
        return (_line(grounding, words), *own, *harmful)
    return (*own, *harmful)


def _of_materials(circuit: Circuit) -> tuple[Caution, ...]:
    """The block of what the record names that harms."""
    found = circuit.materials
    if not found:
        return ()
    named = " and ".join(filter(None, (", ".join(one.name for one in found[:-1]), found[-1].name)))
    short = "The record names it; what not to do with it stands below."
    return (Caution(f"May be in this set: {named}", tuple(one.caution for one in found), short),)


def _line(grounding: Grounding, words: Words) -> Caution:
    """The block of a set that runs from the line, or is said to be connected to it."""
    line = words.line
    common = (
        f"Pull the {words.wall_plug} before a hand goes inside, and discharge the {words.filter_capacitors} through a "
        "resistor: they hold a dangerous charge after the set is off.",
        "Measure with one hand, the other away from metal, and never alone in the house.",
        "First power after a repair belongs on an isolating transformer with a current limit. A variable transformer "
        "does not isolate.",
        "Local electrical codes and licensed practice decide what may be connected and by whom. The figures here are "
        "computed from what was written; they are no approval of the set.",
    )
    if not grounding.chassis_on_line:
        title = f"This set carries lethal voltages and runs from the {line}"
        short = (
            f"Pull the {words.wall_plug} before a hand goes inside, and discharge the {words.filter_capacitors}. "
            "Local codes "
            "and licensed practice decide what may be connected, and by whom."
        )
        return Caution(title, ((_b_minus(words), *common) if grounding.b_minus_on_line else common), short)
    live = (
        f"One side of the {line} goes to the chassis or is parted from it by a resistor and a capacitor only. "
        f"Depending on how the plug sits and whether the switch is on, metal you can touch may be at {line} voltage.",
        f"Connect no {words.earth} wire and no {words.earthed} generator, oscilloscope or record player to this set "
        "while it "
        f"hangs on the {line}: the {words.earth} clip is then a short circuit through your instrument.",
        f"Knobs, {words.set_screws}, the back and the cabinet are the insulation. Do not run it without them within "
        "reach of "
        "anybody.",
    )
    short = (
        f"Metal you can touch may be at {line} voltage, depending on plug and switch. No {words.earth} wire, no "
        f"{words.earthed} instrument. Pull the {words.wall_plug} before a hand goes inside, and discharge the "
        f"{words.filter_capacitors}."
    )
    return Caution(_title(grounding, line), live + common, short)


def _title(grounding: Grounding, line: str) -> str:
    if grounding.contradicted:
        return f"Treat the chassis as connected to the {line}: the record says two things of it that cannot both be so"
    if grounding.chassis == "in doubt":
        return f"Treat the chassis as connected to the {line}: the record does not say that it is not"
    if grounding.chassis == "on the line":
        return f"The chassis of this set is one side of the {line}"
    return f"The chassis of this set hangs on the {line} through a resistor and a capacitor"


def _b_minus(words: Words) -> str:
    line = words.line
    return (
        f"{words.b_minus} counts as one side of the {line}, although the chassis is said to be apart from it. Clip "
        f"no {words.earthed} "
        f"generator or oscilloscope to {words.b_minus} while the set hangs on the {line}: that is a short circuit "
        "through your "
        "instrument."
    )


def _battery(words: Words) -> Caution:
    lines = (
        "A high-tension battery or a vibrator supply gives a painful and possibly dangerous shock, and its capacitors "
        "hold their charge.",
        "Never connect the high tension to the filaments, not for an instant: they burn out at once.",
        "Local electrical codes and licensed practice decide what may be connected and by whom.",
    )
    short = (
        "The high tension shocks; on the filaments it burns them out at once. Local codes decide what may be connected."
    )
    return Caution(f"Battery set: mind the high tension and the {words.tubes}", lines, short)
