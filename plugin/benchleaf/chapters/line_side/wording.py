"""How states and faults are said on a page, in the dialect the site speaks."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...record.sections.touchable_words import TOUCHABLE_PARTS
from ...record.units import say, say_column
from ...words import Words
from .single_faults import NONE
from .topology import EARTH_LEAD

if TYPE_CHECKING:
    from .states import TouchState
    from .worst_case import Corner, Margin

_FAULTS = {
    "B- to chassis capacitor shorted": "capacitor from {words.b_minus} to chassis shorted",
    "B- touching chassis": "{words.b_minus} touching the chassis",
    "line to chassis capacitor shorted": "capacitor from {words.line} to chassis shorted",
    "hot lead chafed to chassis": "{words.hot} lead chafed through to the chassis",
    "return lead chafed to chassis": "return lead chafed through to the chassis",
    "neutral broken": "neutral broken",
    "return fuse blown": "fuse in the return lead blown",
    "earth lead broken": "{words.earth} wire broken",
    "earthed aerial connected": "{words.earthed} {words.aerial} connected",
    "earthed record player connected": "{words.earthed} record player connected",
    "output transformer primary to secondary": "output transformer, primary to secondary",
    "earthed instrument on the chassis": "{words.earthed} instrument clipped to the chassis",
}
_CAPACITOR = " capacitor shorted"


def fault_words(fault: str, words: Words) -> str:
    """A fault's short name as the page says it."""
    if fault in _FAULTS:
        return _FAULTS[fault].format(words=words)
    if fault.endswith(_CAPACITOR):
        return f"{part_words(fault.removesuffix(_CAPACITOR), words)} capacitor shorted"
    return fault


def part_words(part: str, words: Words) -> str:
    """A touchable part as the page says it; a name of the writer's own stays as it is."""
    if part == EARTH_LEAD:
        return f"{words.earth} wire"
    if part not in TOUCHABLE_PARTS and f"{part} socket" not in TOUCHABLE_PARTS:
        return part
    return words.of_key(part)


def milliamps(amps: float | None) -> str:
    """A touch current, in milliampere as the limits have it: ``0.269 mA``."""
    if amps is None or amps >= 1e-3:
        return say(amps, "A")
    return say_column((amps, 1e-3), "A")[0]


def plug_words(plug: str, *, either_way: bool) -> str:
    """Which way the plug is in; one that goes ``either_way`` has no right way."""
    return {"right": "one way", "reversed": "the other way"}.get(plug, plug) if either_way else plug


def position_words(state: TouchState, *, either_way: bool) -> str:
    """Plug and switch of a state: ``plug reversed, switch off``."""
    return f"plug {plug_words(state.plug, either_way=either_way)}, switch {state.switch}"


def fault_or_nothing(state: TouchState, words: Words) -> str:
    """The fault of a state, or ``nothing wrong``."""
    return "nothing wrong" if state.fault == NONE else fault_words(state.fault, words)


def margin_words(margin: Margin) -> str:
    """At what a state that is under the limit as written would be over it, corner by corner."""
    high = say(margin.high_line_volts, "V")
    corners = (
        (f"at {high}", margin.high_line),
        (f"at {say(margin.line_volts, 'V')} with the parts at the end of their tolerance", margin.tolerances),
        (f"at {high} and at the end of their tolerance", margin.both),
    )
    return ", ".join(f"{at} {milliamps(corner.amps)}{_beside(corner)}" for at, corner in corners)


def _beside(corner: Corner) -> str:
    return " (over)" if corner.over_limit else " (under)"
