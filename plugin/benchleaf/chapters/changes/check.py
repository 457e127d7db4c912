"""What a change names and the record does not have: each a Problem at its place."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...record.problems import Problem, did_you_mean, quoted
from ...record.text import NOWHERE, place_of
from ..parts.model import node_name
from ..parts.pieces import pieces_of

if TYPE_CHECKING:
    from ...record.model import Record


def problems(record: Record, file: str) -> list[Problem]:
    """Parts that ``across`` names and neither the parts nor the changes have, in the order of the file."""
    names = [str(name) for name in (*record.parts, *record.changes)]
    for name, part in record.parts.items():
        names += [f"{name} {piece.section}" for piece in pieces_of(part) if piece.section]
    known = {node_name(name) for name in names}
    found = []
    for name, change in record.changes.items():
        if change.across and node_name(change.across) not in known:
            line, column = place_of(change.across) or NOWHERE
            what = f"the part {quoted(change.across)}, which is not in the parts"
            remedy = did_you_mean(change.across, names) or "add it to the parts"
            found.append(Problem(file, line, column, f"changes.{name}.across", what, "a part of this record", remedy))
    return sorted(found)
