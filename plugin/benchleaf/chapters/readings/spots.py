"""A reading's spot: a place of the set, and which voltage of it was read."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from ...circuit.places import CONTROL_GRIDS, Place, Places
from ...record.quantities import Quantity

if TYPE_CHECKING:
    from ...words import Words

RAIL = "rail"
"""What stands for the electrode where the place is a rail or another point with one value."""

LOOK_FIRST = (
    "cathode", "grid", "osc grid", "screen", "suppressor", "plate", "target", "other", "diode", "heater", "tie",
)  # fmt: skip
"""The order in which a section's electrodes are looked at; diodes, heaters and tie points come after all sections."""

_BY_ITSELF = ("diode", "heater", "tie")
_REGULATED = re.compile(r"\b(reg(ulated)?|stab(ili[sz]ed)?|VR)\b|\b0[ABCD]\d", re.I)
_BY_SIGNAL = re.compile(r"\b(a\.?[vg]\.?c)\b", re.I)


@dataclass(frozen=True, slots=True)
class Spot:
    """One voltage of a set. ``tube`` is the position, or the rail's name; ``electrode`` the American word.

    ``key`` is the tube table's short key, the word as written where the table does not know it, empty for a rail.
    ``pin`` is given where two pins of one name are two places (heaters, tie points). ``current`` is ``DC``, ``AC``,
    ``peak`` or ``pp``. ``said`` is the word in the page's dialect, ``section`` the index of the tube's section.
    ``place`` is where it is in the circuit.
    """

    tube: str
    electrode: str
    key: str = ""
    pin: str = ""
    current: str = "DC"
    kind: str = RAIL
    said: str = field(default=RAIL, compare=False)
    section: int = field(default=0, compare=False)
    known: bool = field(default=True, compare=False)
    place: Place = field(default=Place("", ""), compare=False)

    @property
    def identity(self) -> tuple[str, str, str, str]:
        """What two readings of the same place have in common."""
        return self.place.tube or self.place.key, self.key, self.pin, self.current

    @property
    def look(self) -> tuple[int, int]:
        """Sorts a tube's places into the order in which they are looked at."""
        if self.kind in _BY_ITSELF:
            return 99, LOOK_FIRST.index(self.kind)
        return self.section, LOOK_FIRST.index(self.kind) if self.kind in LOOK_FIRST else len(LOOK_FIRST)

    @property
    def is_control_grid(self) -> bool:
        return self.kind in CONTROL_GRIDS and self.current == "DC"

    @property
    def follows_line(self) -> bool:
        """Whether its voltage goes up and down with the line: no grid, diode, regulated or signal-made voltage does."""
        if self.kind == RAIL:
            return not (_REGULATED.search(self.tube) or _BY_SIGNAL.search(self.tube))
        if self.current != "DC":
            return self.kind not in (*CONTROL_GRIDS, "diode", "tie")
        return self.kind in ("plate", "screen", "cathode", "suppressor", "target")

    @property
    def follows_b_plus(self) -> bool:
        """Whether it is in proportion to the B+ of the set."""
        return self.current == "DC" and self.follows_line


def current_of(value: Quantity | None) -> str:
    """``DC``, ``AC``, ``peak`` or ``pp`` of a reading; volts are DC unless something else stands beside them."""
    mark = value.mark if value else ""
    return {"ac": "AC", "rms": "AC", "peak": "peak", "pp": "pp"}.get(mark, "DC")


def spots(places: Places, name: str, at: str, value: Quantity | None, words: Words) -> list[Spot]:
    """The spots a reading belongs to. ``plates`` of a full-wave rectifier are two; all others are one."""
    return [spot_at(place, current_of(value), words) for place in places.of_reading(name, at)]


def spot_at(place: Place, current: str, words: Words) -> Spot:
    """The spot of a place for a ``current``, as ``current_of`` says it."""
    if not place.tube:
        return Spot(place.said(words), RAIL, current=current, place=place)
    kind = place.electrode
    if kind == "heater" and place.kind == "B+" and current == "DC":
        kind = "cathode"
    return Spot(
        place.tube,
        place.word,
        place.key,
        place.pin,
        current,
        kind,
        place.said(words),
        place.section,
        place.known,
        place,
    )
