"""The components of the line side as they are at one time, named in the parts list, written out there, or both."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from ..record.kind_of_part import UNIT_BY_KIND
from ..record.place_words import LINE, NEUTRAL, folded
from ..record.sections.line_side import BarrierPart, LineSideState
from ..record.text import Text
from .in_place import InPlace, alike, in_place, of_component
from .pieces import seen

if TYPE_CHECKING:
    from .circuit import Circuit
    from .listed import Listed

Time = Literal["before", "after", "now"]

_SAYS_HOT = re.compile(r"\b(?:hot|live)\b", re.I)
"""Of the two leads of a line, ``line`` and ``mains`` may be either."""
_BOTH = ("each lead", "both leads")


@dataclass(frozen=True, slots=True)
class SideComponent:
    """One component between two places of the line side, at one time.

    ``name`` is its name in the parts list, empty where it is written here alone; ``written`` is what was written here,
    None where only its name was. ``lead`` is the lead of the cord it hangs on, as far as that is known; ``in_series``
    says that it is in series with the one before it.
    """

    inside: InPlace
    name: str = ""
    written: InPlace | None = None
    lead: str = ""
    in_series: bool = False


def components(circuit: Circuit, parts: Sequence[BarrierPart], place: str, time: Time) -> tuple[SideComponent, ...]:
    """The components of a place (``B- to chassis``, ``across the line``, ``line to chassis``, a touchable part).

    One that is named is what the parts list has in place then. One that is written out, and that the parts list has
    between the same places too, is taken as the parts list measured it.
    """
    parts = _on_each_lead(circuit, parts, place, time)
    twins = twins_of(circuit, parts, place, time)
    return tuple(_component(circuit, part, twins.get(number), time) for number, part in enumerate(parts))


def _on_each_lead(circuit: Circuit, parts: Sequence[BarrierPart], place: str, time: Time) -> Sequence[BarrierPart]:
    """One that is written to hang on each lead as two, where the parts list has more of them than are written."""
    apart: list[BarrierPart] = []
    for part in parts:
        both = part.part is None and str(part.lead or "") in _BOTH
        leads = map(Text, ("hot lead", "return lead"))
        apart += [part.model_copy(update={"lead": lead}) for lead in leads] if both else [part]
    more = len(twins_of(circuit, apart, place, time)) > len(twins_of(circuit, parts, place, time))
    return apart if more else parts


def listed_there(circuit: Circuit, place: str, time: Time) -> tuple[SideComponent, ...]:
    """What the parts list has in a place at one time, for a state that says nothing of it."""
    found = ((listed, in_place(listed, time)) for listed in circuit.on_line_side.get(place, ()))
    there = ((listed, inside) for listed, inside in found if inside.which and inside.is_there)
    return tuple(SideComponent(inside, listed.name, None, lead_of(listed, circuit)) for listed, inside in there)


def _component(circuit: Circuit, part: BarrierPart, twin: Listed | None, time: Time) -> SideComponent:
    lead, in_series = str(part.lead or ""), bool(part.joint)
    own = of_component(seen(part), "", None)
    if part.part is None and twin is None:
        return SideComponent(own, lead=lead, in_series=in_series)
    listed = twin or circuit.component(part.part)
    if listed is None:
        return SideComponent(own, str(part.part), None, lead, in_series)
    there = in_place(listed, time)
    if there.how != "measured" and (twin is not None or own.how == "measured"):
        inside = replace(_completed(own, there), which=there.which)
    else:
        inside = _completed(there, own)
    written = own if own.unit or own.condition else None
    return SideComponent(inside, listed.name, written, lead or lead_of(listed, circuit), in_series)


def _completed(there: InPlace, other: InPlace) -> InPlace:
    """What is in place, with the leakage, the ratings and the class that only the other writing says."""
    a, b = there.seen, other.seen
    leaks = a if a.leakage_typed else b
    both = replace(
        a,
        volts=b.volts if a.volts is None else a.volts,
        volts_mark=b.volts_mark if a.volts is None else a.volts_mark,
        watts=b.watts if a.watts is None else a.watts,
        safety_class=a.safety_class or b.safety_class,
        type=a.type or b.type,
        leakage_ohms=leaks.leakage_ohms,
        leakage_bound=leaks.leakage_bound,
        leakage_amps=leaks.leakage_amps,
        leakage_volts=leaks.leakage_volts,
        leakage_typed=leaks.leakage_typed,
    )
    return replace(there, seen=both, tolerance=there.tolerance or other.tolerance)


def twins_of(circuit: Circuit, parts: Sequence[BarrierPart], place: str, time: Time) -> dict[int, Listed]:
    """The component of the parts list that each one written out is, by its number among ``parts``.

    They lie between the same places, are of one kind and of about the same value. Two in series do not lie between
    the places that the parts list names, and are left alone.
    """
    found: dict[int, Listed] = {}
    for kind in UNIT_BY_KIND:
        written = [(n, own) for n, own in _written_out(parts) if own.kind == kind]
        for listed in _between(circuit, place, kind, parts, time):
            near = [n for n, own in written if n not in found and alike(own, in_place(listed, time))]
            if near:
                found[near[0]] = listed
    return found


def contradictions(
    circuit: Circuit, parts: Sequence[BarrierPart], place: str, time: Time
) -> Iterator[tuple[BarrierPart, Listed]]:
    """Each component whose value, written here, is not the one that the parts list gives.

    One is named and has its value beside the name, or is the only one of its kind written in a place where the parts
    list has one of that kind.
    """
    for part in parts:
        listed = circuit.component(part.part)
        if listed and _differ(of_component(seen(part), "", None), in_place(listed, time)):
            yield part, listed
    for kind in UNIT_BY_KIND:
        written = [(n, own) for n, own in _written_out(parts) if own.kind == kind]
        others = list(_between(circuit, place, kind, parts, time)) if len(written) == 1 else []
        if len(others) == 1 and _differ(written[0][1], in_place(others[0], time)):
            yield parts[written[0][0]], others[0]


def _written_out(parts: Sequence[BarrierPart]) -> Iterator[tuple[int, InPlace]]:
    """The components with a value and no name that lie between the two places by themselves."""
    for number, part in enumerate(parts):
        chained = bool(part.joint) or (number + 1 < len(parts) and bool(parts[number + 1].joint))
        if part.part is None and not chained:
            yield number, of_component(seen(part), "", None)


def _between(circuit: Circuit, place: str, kind: str, parts: Sequence[BarrierPart], time: Time) -> Iterator[Listed]:
    """What the parts list has in a place at one time, but for what is named there already."""
    named = {folded(part.part) for part in parts if part.part}
    for listed in circuit.on_line_side.get(place, ()):
        inside = in_place(listed, time)
        if folded(listed.name) not in named and inside.kind == kind and inside.which and inside.is_there:
            yield listed


def _differ(own: InPlace, listed: InPlace) -> bool:
    """Whether both have a value and the two are not alike."""
    known = [any((one.value, one.nominal)) for one in (own, listed)]
    return all(known) and not alike(own, listed)


def lead_of(listed: Listed, circuit: Circuit) -> str:
    """The lead of the cord that one end of a part is; empty where its ends do not say which."""
    ends = [circuit.places.read(end) for end in listed.piece.ends or ()]
    if any(end.key == LINE and _SAYS_HOT.search(end.word) for end in ends):
        return "hot lead"
    return "return lead" if any(end.key == NEUTRAL for end in ends) else ""


def named_in(state: LineSideState) -> Iterable[tuple[str, BarrierPart]]:
    """Every component of a state that is written by its name, with the key it stands under."""
    return ((place, part) for place, parts in state.barriers() for part in parts if part.part)
