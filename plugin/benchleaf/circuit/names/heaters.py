"""The heater supply: the string's order, the dial lamp, the windings and what was measured."""

from __future__ import annotations

import itertools
import re
from collections.abc import Mapping
from itertools import chain
from typing import TYPE_CHECKING

from ...record.problems import Nearest, one_of, quoted
from ...record.slips import Slips, near
from ...record.text import NOWHERE
from ...record.values import Beside
from ..heater_names import DROPPER, DROPPER_WORDS, LAMP_WORDS, fed_by
from ..listed import listed
from ..mains import mains_of
from ..rectifier import dry_rectifier
from .tubes import POSITION

if TYPE_CHECKING:
    from ...record.model import Record
    from ...record.sections.heaters import HeaterSupply
    from ...record.sections.pilot_lamp import PilotLamp
    from ...tubes import Tube

_NO_TUBES = DROPPER_WORDS | LAMP_WORDS


def look_over(record: Record, tubes: Mapping[str, Tube], slips: Slips) -> None:
    """Every name in the heater supply is a position of the set; the string has each of them once."""
    supply = record.heaters
    if supply is None:
        return
    _order(record, supply, slips)
    for name in supply.measured.volts if supply.measured else ():
        if name not in record.tubes and name not in supply.windings and name.casefold() not in _NO_TUBES:
            known = [*record.tubes, *supply.windings, "line", "dropper", "current", "frequency"]
            slips.add(name, "heaters.measured", quoted(name), POSITION, near(name, known))
    if supply.pilot_lamp:
        _lamp(record, supply, supply.pilot_lamp, slips)
    rectifiers = _rectifiers_of(record, tubes) if supply.windings else []
    for name, winding in supply.windings.items():
        _, unread = fed_by(winding.feeds or "", [*record.tubes], rectifiers)
        for at in [winding.feeds.cut(*span) for span in unread] if winding.feeds else ():
            slips.add(at, f"heaters.windings.{name}.feeds", quoted(at), POSITION, near(at, record.tubes))


def _rectifiers_of(record: Record, tubes: Mapping[str, Tube]) -> list[str]:
    """The positions whose tubes are known as rectifiers, and a dry rectifier among the parts."""
    dry = dry_rectifier(record, chain.from_iterable(listed(record).values()))
    found = [name for name, tube in tubes.items() if "rectifier" in (tube.role or "")]
    return [*found, *([dry.part] if dry else [])]


def _order(record: Record, supply: HeaterSupply, slips: Slips) -> None:
    """The order of a string; besides tubes it may name the lamp and the dropper."""
    order = (*(supply.order or ()), *(supply.second_string or ()))
    seen: set[str] = set()
    grouped = {n for pair in itertools.pairwise(order) if isinstance(pair[1], Beside) for n in pair}
    for index, name in enumerate(order):
        field = "heaters.order" if index < len(supply.order or ()) else "heaters.second string"
        if name in seen:
            slips.add(name, field, f"{quoted(name)} a second time", "each heater once", "delete one of them")
        elif name not in record.tubes and (name in grouped or name.casefold() not in _NO_TUBES):
            slips.add(name, field, quoted(name), POSITION, near(name, record.tubes))
        seen.add(name)
    missing = [name for name in record.tubes if name not in seen and not slips.lost.mentions(name)]
    misspelt = any(name not in record.tubes and name.casefold() not in _NO_TUBES for name in order)
    mains = mains_of(record)
    lost = slips.lost.touches("power", "line", "mains")
    if order and missing and not misspelt and mains.from_line and not mains.wound and not lost:
        slips.add(
            order[0], "heaters.order", f"no {one_of(missing)}", "every tube of the string once", "add what is missing"
        )


def _lamp(record: Record, supply: HeaterSupply, pilot: PilotLamp, slips: Slips) -> None:
    from ...tubes import lamp, lamps

    across = pilot.across
    number = re.sub(r"^\d{1,2}\s*[x×]\s*", "", str(pilot.type))
    if not (pilot.volts and pilot.amps) and lamp(number) is None:
        remedy = Nearest(number, tuple(lamps()), "give its volts and amperes, such as “6.3 V 0.15 A”")
        typed = pilot.type.place != NOWHERE
        at = pilot.type if typed else pilot.place or pilot.volts or pilot.amps or (across and across.cut(len(across)))
        found = quoted(pilot.type) if typed else "no lamp number"
        slips.add(at, "heaters.pilot lamp", found, "a lamp number in the table", remedy)
    if not across:
        return
    named = re.sub(r"\bwinding\b", "", across, flags=re.I).strip().casefold()
    words = across.split()
    known = {name.casefold() for name in record.tubes} | LAMP_WORDS | {DROPPER}
    windings = {name.casefold() for name in supply.windings}
    if words and named not in windings and not known & {w.casefold() for w in words}:
        at = across.cut(0, len(words[0]))
        slips.add(at, "heaters.pilot lamp.across", quoted(at), POSITION, near(at, [*record.tubes, *supply.windings]))
