"""What a capacitor is made of, as far as that says how it ages and what it lets through."""

from __future__ import annotations

from .in_place import InPlace

ELECTROLYTIC_FARADS = 0.9e-6
"""From here on a capacitor of no written type is electrolytic. Common practice, no source."""
_FILM = ("film", "mica", "ceramic", "polyester", "polypropylene")


def kind_of_capacitor(inside: InPlace) -> str:
    """``electrolytic``, ``film`` (and mica, ceramic) or ``paper``; one without a type by its size."""
    type_ = inside.seen.type.casefold()
    if "electrolytic" in type_:
        return "electrolytic"
    if any(word in type_ for word in _FILM) or inside.seen.safety_class:
        return "film"
    large = (inside.value or inside.nominal or 0.0) >= ELECTROLYTIC_FARADS
    return "electrolytic" if large and not type_ else "paper"
