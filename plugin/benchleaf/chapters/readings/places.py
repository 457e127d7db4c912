"""Where a reading was taken: an electrode of a tube, a rail or a winding, whatever word or pin it was written with."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from functools import cache

from ...record.quantities import Quantity
from ...tubes import TOP_CAP, Electrode, Tube, by_pin, described, electrode, say_electrode
from ...tubes.electrodes import Dialect

RAIL = "rail"
"""What stands for the electrode where the place is a rail or another point with one value."""

_KINDS = (
    ("diode", r"diode"),
    ("heater", r"heater|filament"),
    ("osc grid", r"osc(illator)? grid"),
    ("screen", r"\bscreen"),
    ("grid", r"(?<!screen )(?<!suppressor )\bgrid"),
    ("suppressor", r"suppressor"),
    ("target", r"target"),
    ("cathode", r"cathode"),
    ("plate", r"plate|anode"),
    ("tie", r"no connection|internal (connection|shield)|shell|\bnc\b|\bic\b"),
)
_ONE_LETTER = {
    "k": "cathode",
    "g": "grid",
    "g1": "grid",
    "g2": "screen",
    "g3": "suppressor",
    "a": "plate",
    "p": "plate",
}
LOOK_FIRST = (
    "cathode", "grid", "osc grid", "screen", "suppressor", "plate", "target", "other", "diode", "heater", "tie",
)  # fmt: skip
"""The order in which a section's electrodes are looked at; diodes, heaters and tie points come after all sections."""

CONTROL_GRIDS = ("grid", "osc grid")
_BY_ITSELF = ("diode", "heater", "tie")
_REGULATED = re.compile(r"\b(reg(ulated)?|stab(ili[sz]ed)?|VR)\b|\b0[ABCD]\d", re.I)
_BY_SIGNAL = re.compile(r"\b(a\.?[vg]\.?c)\b", re.I)
_PIN = re.compile(r"(?:pin\s*)?(\d{1,2})$", re.I)


@dataclass(frozen=True, slots=True)
class Spot:
    """One place of a set. ``tube`` is the position, or the rail's name; ``electrode`` the American word.

    ``key`` is the tube table's short key, the word as written where the table does not know it, empty for a rail.
    ``pin`` is given where two pins of one name are two places (heaters, tie points). ``current`` is ``DC``, ``AC``,
    ``peak`` or ``pp``. ``said`` is the word in the page's dialect, ``section`` the index of the tube's section.
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

    @property
    def identity(self) -> tuple[str, str, str, str]:
        """What two readings of the same place have in common."""
        name = self.tube if self.kind != RAIL else " ".join(self.tube.split()).casefold()
        return name, self.key, self.pin, self.current

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


def spots(
    name: str, at: str, value: Quantity | None, tube: Tube | None, *, is_tube: bool, dialect: Dialect
) -> list[Spot]:
    """The places a reading belongs to. ``plates`` of a full-wave rectifier are two; all others are one."""
    current = current_of(value)
    if not is_tube:
        word = at.strip()
        return [Spot(name, word or RAIL, word.casefold(), current=current, said=word or RAIL)]
    if tube is None or not (found := _found(tube, at)):
        return [_unknown(name, at, current, tube, dialect)]
    # Two joined plates of a rectifier are two places; the two ends of a filament are read across.
    keys = found.key.split("&") if not found.key.startswith("f") else [found.key]
    return [_spot(name, key, at, current, tube, dialect) for key in keys]


def _found(tube: Tube, at: str) -> Electrode | None:
    match = _PIN.match(at.strip())
    if match:
        return by_pin(tube, int(match[1]))
    found = electrode(tube, at)
    return found if isinstance(found, Electrode) else None


def _spot(name: str, key: str, at: str, current: str, tube: Tube, dialect: Dialect) -> Spot:
    parts = set(key.split("+"))
    on_pins = {row.electrode for row in tube.pin_rows if parts & set(row.electrode.split("+"))}
    if len(on_pins) == 1:
        key = on_pins.pop()
    direct = tube.heater.direct
    word, said = (say_electrode(key, tube.role, d, direct=direct) for d in ("us", dialect))
    kind = kind_of(word, tube)
    if kind == "heater" and direct and current == "DC" and "rectifier" in (tube.role or ""):
        kind = "cathode"
    match = _PIN.match(at.strip())
    pin = match[1] if match and kind in ("heater", "tie") else ""
    return Spot(name, word, key, pin, current, kind, said, _section(key, tube))


def _section(key: str, tube: Tube) -> int:
    parts = set(key.split("+"))
    return next((n for n, section in enumerate(tube.sections) if parts & set(section.electrodes)), 0)


def kind_of(word: str, tube: Tube | None) -> str:
    """What an American word for an electrode is: one of ``LOOK_FIRST``."""
    role = (tube.role or "") if tube else ""
    kind = _ONE_LETTER.get(word) or next((kind for kind, pattern in _KINDS if re.search(pattern, word)), "other")
    if role == "twin diode" and kind in ("plate", "cathode"):
        return "diode"
    return "other" if role == "dual-grid output triode" and word == "grid 2" else kind


@cache
def _any_tube() -> Tube:
    """A tube of which nothing is known, so that its electrodes' words are still understood."""
    return described("?", 6.3, 0.3)


def _unknown(name: str, at: str, current: str, tube: Tube | None, dialect: Dialect) -> Spot:
    """A place of a tube that the table does not have, by the word or pin as written."""
    match = _PIN.match(at.strip())
    if match or at.strip().casefold() == TOP_CAP:
        word = f"pin {match[1]}" if match else TOP_CAP
        return Spot(name, word, word, current=current, kind="other", said=word, known=False)
    if tube is None and (found := _found(_any_tube(), at)):
        return replace(_spot(name, found.key, at, current, _any_tube(), dialect), known=False)
    word = " ".join(at.split()).casefold()
    return Spot(name, word, word, current=current, kind=kind_of(word, tube), said=at.strip(), known=False)
