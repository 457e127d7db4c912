"""The tubes of a record, looked up in the table or described by the record itself."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from ...record.problems import Nearest, one_of, quoted
from ...record.slips import Slips, near
from ...record.spelling import one_slip
from ...tubes.lookup import squeezed
from .described_role import role_of_described

if TYPE_CHECKING:
    from ...record.model import Record
    from ...record.sections.line_up import FittedTube
    from ...tubes import Tube
    from ...tubes.tube_table import TubeTable

_TYPE = "a type in the tube table"
_MOST_ALIKE = 64
"""More than any designation has others one slip away."""
_OWN = "add its heater, “heater … V … A”"
POSITION = "a position listed under tubes"


def fitted(record: Record, slips: Slips) -> dict[str, Tube]:
    """The tube at each position whose type is in the table or described by the record."""
    tubes: dict[str, Tube] = {}
    for position, written in record.tubes.items():
        field = f"tubes.{position}"
        tube = (
            _described(record, str(position), written, slips)
            if written.heater
            else record.tube_table.find(str(written.type))
        )
        if tube:
            tubes[str(position)] = tube
        elif not written.heater:
            remedy = partial(_like, str(written.type), record.tube_table, f"if not, {_OWN}", _OWN)
            slips.add(written.type, field, quoted(written.type), _TYPE, remedy, by_itself=True)
    return tubes


def look_over_changes(record: Record, slips: Slips) -> None:
    """Changed tubes: at a position of the set, and of a type that is known, or told where the set has it too."""
    table = record.tube_table
    told = {tube.type.casefold() for tube in record.tubes.values()}
    for position, changed in record.changed_tubes.items():
        if position not in record.tubes:
            slips.add(position, "changed tubes", quoted(position), POSITION, near(position, record.tubes))
        for side, tube in (("was", changed.was), ("now", changed.now)):
            lost = tube is not None and slips.lost.mentions(tube.type)
            if tube and tube.type.casefold() not in told and not lost and table.find(str(tube.type)) is None:
                field = f"changed tubes.{position}.{side}"
                slips.add(tube.type, field, quoted(tube.type), _TYPE, partial(_like, str(tube.type), table))


def _like(type_: str, table: TubeTable, also: str = "", otherwise: str = "") -> str:
    """The remedy that names the type one slip away; none where those that may be meant differ in heater or kind."""
    names = [name for name in table.nearest(type_, _MOST_ALIKE) if one_slip(squeezed(type_), squeezed(name))]
    kinds = {(tube.role, tube.heater.volts) for name in names if (tube := table.find(name))}
    return f"did you mean {quoted(names[0])}?{f' {also}' if also else ''}" if len(kinds) == 1 else otherwise


def _described(record: Record, position: str, written: FittedTube, slips: Slips) -> Tube | None:
    """A tube described by the record itself: heater, base and, in pin order, its electrodes."""
    from ...tubes import BEYOND_HEATER_AMPS, BEYOND_HEATER_VOLTS, PIN_COUNT, base_name, described, key_of

    assert written.heater is not None
    field = f"tubes.{position}"
    volts, amps = written.heater.volts, written.heater.amps
    for value, key, beyond in ((volts, "volts", BEYOND_HEATER_VOLTS), (amps, "amps", BEYOND_HEATER_AMPS)):
        if value.si is None or not 0 < value.si < beyond:
            expected = f"one value of heater {key}, above zero and below {beyond:,.0f} {value.unit}"
            slips.add(value, f"{field}.heater.{key}", quoted(value.written), expected)
            return None
    base = base_name(str(written.base)) if written.base else None
    if written.base and base is None:
        bases = tuple(PIN_COUNT)
        otherwise = f"known here: {one_of(bases, 'and')}"
        remedy = Nearest(str(written.base), bases, otherwise)
        slips.add(written.base, f"{field}.base", quoted(written.base), "a base by its name", remedy)
        return None
    most = PIN_COUNT[base] if base else max(PIN_COUNT.values())
    if written.pins and len(written.pins) > most:
        expected = f"at most {most}" + (f": {base} has {most}" if base else "")
        slips.add(written.pins[most], f"{field}.pins", f"{len(written.pins)} pins", expected, "leave the others out")
        return None
    role = role_of_described(record, position, written)
    pins: dict[int | str, str] = {number: key_of(role, name) for number, name in enumerate(written.pins or (), 1)}
    return described(str(written.type), volts.si or 0.0, amps.si or 0.0, base=base, role=role, pins=pins or None)
