"""The parts that sets of one chassis share: each with its job, its ends and the value it is meant to have."""

from __future__ import annotations

from collections.abc import Sequence

from ..sections.parts import Component, Part, PartSection
from .given import Given
from .said import AsTyped, one_line

_MARKED = ("value", "volts", "watts", "tolerance", "type", "class")
"""What stands on a component, in the order in which it is said."""


def parts(given: Given) -> AsTyped:
    """Every part of the table by its name.

    The value is the sheet's, or what the part that was found is marked with; never the one that was fitted.
    """
    return {name: _part(part) for name, part in given.named()}


def _part(given: Given) -> AsTyped:
    sections = {name: _section(one, PartSection) for name, one in given.inner("sections").named()}
    if not sections:
        return _section(given, Part) or "keep"
    shared = _section(given, Part)
    named = shared if isinstance(shared, dict) else {key: given.text(key) for key in ("job", "positive")}
    return {**named, "sections": {name: said or "keep" for name, said in sections.items()}}


def _section(given: Given, sort: type[Part] | type[PartSection]) -> AsTyped:
    meant = next((found for side in ("sheet", "was") if (found := _components(given.listed(side)))), [])
    fields: dict[str, AsTyped] = {
        "sheet": meant[0] if len(meant) == 1 else meant,
        "job": given.text("job"),
        "between": " and ".join(given.texts("between")),
        "positive": given.text("positive"),
    }
    if sort is Part:
        fields["outside foil"] = given.text("outside_foil")
    said = one_line(sort, fields)
    ends = given.texts("between")
    return {**said, "between": list(ends)} if isinstance(said, dict) and ends else said


_OF_NO_VALUE = frozenset({"selenium", "silicon"})
"""Types of parts that say what the part is without a value."""


def _components(listed: Sequence[Given]) -> list[AsTyped]:
    found = []
    for one in listed:
        fields: dict[str, AsTyped] = {key: one.quantity(key) for key in _MARKED[:4]}
        fields |= {key: one.text(key) for key in _MARKED[4:]}
        surge = one.quantity("surge_rating")
        told = fields["value"] or fields["type"] in _OF_NO_VALUE
        found.append(one_line(Component, {**fields, "surge rating": surge}, _MARKED) if told else "")
    return [said for said in found if said]
