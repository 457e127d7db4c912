"""What stands below ``heaters``, written at the first level of a record: the batteries, the windings, the dropper."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from .text import Entries, Text

_LAMPS = tuple(f"{of} {lamp}" for of in ("pilot", "dial", "scale") for lamp in ("lamp", "lamps", "light", "lights"))
_OWN = ("batteries", "windings", "dropper", "shunts", "ntc", "cathode currents", "mains taps", "second string", *_LAMPS)
_TRANSFORMER = ("power transformer", "mains transformer", "transformer")
_PRIMARY = "primary"


def heaters_home(tree: Entries) -> None:
    """Take what belongs below ``heaters`` there, in place, unless it stands there too.

    The windings of a transformer that has a section of its own, ``power transformer:``, are those of ``windings``.
    A dropper that is called by its name among the parts has what stands there.
    """
    flat = {" ".join(name.split()).casefold(): name for name in tree}
    moved = [flat[name] for name in (*_OWN, *_TRANSFORMER) if name in flat and _is_home_less(name, tree[flat[name]])]
    _dropper_of_parts(tree.get(flat.get("heaters", Text(""))), tree.get(flat.get("parts", Text(""))))
    supply = tree[flat["heaters"]] if "heaters" in flat else Entries(moved[0].place if moved else tree.place)
    if not moved or not isinstance(supply, Entries):
        return
    taken = {" ".join(name.split()).casefold() for name in (*supply, *supply.empty)}
    for name in moved:
        own = " ".join(name.split()).casefold()
        told = f"“{name}” read as those under “heaters”"
        if own not in _TRANSFORMER and own not in taken:
            supply[name.taken_as(str(name), told)] = tree.pop(name)
        elif own in _TRANSFORMER and "windings" not in taken:
            windings = tree.pop(name)
            for primary in [one for one in windings if one.casefold() == _PRIMARY and _PRIMARY not in taken]:
                supply[primary] = windings.pop(primary)
            supply[Text("windings", name.place).taken_as("windings", told)] = windings
            taken.add("windings")
    if supply and "heaters" not in flat:
        tree[Text("heaters", supply.place)] = supply


_OHMS = r"\d[\d.,]*\s?(?:k\s?)?(?:ohms?|Ω|[kR])(?!\w)"
_DROPS = re.compile(rf"(?:(?:was|dropper|resistor)\s+)*(?P<ohms>{_OHMS})(?:,?\s+(?P<watts>[\d.]+\s?W)\b)?", re.I)
_READ_OR_NEW = re.compile(
    rf"(?:measured|now|replaced(?: (?:with|by))?)\s+(?:{_OHMS}|\d[\d.,]*(?=\s*(?:[,;]|\Z)))", re.I
)


def _dropper_of_parts(supply: Any, parts: Any) -> None:
    """Give a dropper that is named by its part, ``dropper: R1``, the part's ohms and watts, in place."""
    key = next((key for key in supply if key.casefold() == "dropper"), None) if isinstance(supply, Mapping) else None
    said = supply[key] if key is not None else None
    if not isinstance(said, Text) or not isinstance(parts, Mapping):
        return
    line = next((line for name, line in parts.items() if name.casefold() == said.casefold()), None)
    ohms = _DROPS.match(line) if isinstance(line, Text) else None
    if ohms and isinstance(line, Text):
        further = [found[0] for found in _READ_OR_NEW.finditer(line, ohms.end())]
        whole = ", ".join([f"resistor {ohms['ohms']} {ohms['watts'] or ''}".strip(), *further])
        supply[key] = said.taken_as(whole, f"“{said}” read as in the list of parts: {whole}")


def _is_home_less(name: str, value: object) -> bool:
    """Whether a value is one that may be moved: a transformer's is a table of its windings."""
    return isinstance(value, Entries) or (isinstance(value, Text) and name not in _TRANSFORMER)
