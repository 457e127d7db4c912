"""At which pins of its tube a reading is taken."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ...tubes import Pin, Tube
    from .spots import Spot


def is_at(spot: Spot, pin: Pin, key: str) -> bool:
    """Whether a place is at a pin, on which the tube's table has the electrodes of ``key``."""
    if spot.pin:
        return spot.pin == str(pin)
    return bool(set(spot.key.split("+")) & set(key.split("+"))) if spot.key else False


def pins_of(spot: Spot, tubes: Mapping[str, Tube]) -> str:
    """The pins of a place as a page says them, ``pin 7`` or ``pins 2, 5``; empty where they are not known."""
    tube = tubes.get(spot.place.tube)
    pins = [str(pin) for pin, key in tube.pins.items() if is_at(spot, pin, key)] if tube and tube.pins else []
    if not pins:
        return f"pin {spot.pin}" if spot.pin and spot.pin != "?" else ""
    if len(pins) == 1:
        return f"pin {pins[0]}" if pins[0].isdecimal() else pins[0]
    return f"pins {', '.join(pins)}"
