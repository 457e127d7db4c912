"""Where each base has its pins, seen from below: one table of positions for each, never one rule for all."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from benchleaf.tubes.tables import read_table

__all__ = ["PinPosition", "Socket", "socket"]

_TITLES = {"memory": "from memory"}


@dataclass(frozen=True, slots=True)
class PinPosition:
    """A pin seen from below: ``degrees`` clockwise from the top, ``radius`` of the pin circle (0 is its middle)."""

    pin: int
    degrees: float
    radius: float
    large: bool


@dataclass(frozen=True, slots=True)
class Socket:
    """A base's pins. ``locator`` stands at the bottom of the drawing: ``key``, ``gap``, ``boss`` or ``none``."""

    base: str
    pins: tuple[PinPosition, ...]
    locator: str
    source: str


def socket(base: str) -> Socket | None:
    """The pin positions of a base by the vocabulary's name (see ``base_name``), or None where the table has none."""
    return _sockets().get(base)


@cache
def _sockets() -> Mapping[str, Socket]:
    positions: dict[str, list[PinPosition]] = {}
    locators: dict[str, tuple[str, str]] = {}
    for row in read_table("sockets.csv"):
        position = PinPosition(int(row["pin"]), float(row["degrees"]), float(row["radius"]), row["size"] == "large")
        positions.setdefault(row["base"], []).append(position)
        locators[row["base"]] = row["mark"], _TITLES.get(row["source"], row["source"])
    return MappingProxyType({base: Socket(base, tuple(pins), *locators[base]) for base, pins in positions.items()})
