"""What a name in the order of a heater string, or among its readings, means."""

from __future__ import annotations

from collections.abc import Iterable

DROPPER_WORDS = frozenset(
    {"dropper", "resistor", "resistance cord", "line cord", "cord", "ballast", "diode", "capacitor", "barretter"}
)
DROPPER, LAMP = "dropper", "lamp"
_LAMP_WORDS = frozenset({"lamp", "pilot lamp", "dial lamp", "pilot", "lamps", "pilot lamps", "dial lamps"})


def position(name: str, known: Iterable[str]) -> str | None:
    """The tube position a word means, whatever its capitals."""
    return {k.casefold(): str(k) for k in known}.get(name.strip().casefold())


def is_lamp(name: str) -> bool:
    """Whether a name in the order of the string, or among the readings, means the pilot lamp."""
    return name.strip().casefold() in _LAMP_WORDS


def member_named(name: str, positions: list[str]) -> str | None:
    """What a name in the order of the string means: a tube position, ``lamp``, ``dropper``, or nothing."""
    if found := position(name, positions):
        return found
    if is_lamp(name):
        return LAMP
    return DROPPER if name.strip().casefold() in DROPPER_WORDS else None
