"""Resistors and capacitors of the stages of which nothing says where they lie: nothing is worked out with them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

from ..record.problems import one_of
from ..record.remarks import Remark
from ..record.text import NOWHERE

if TYPE_CHECKING:
    from .circuit import Circuit
    from .listed import Listed

_OF_STAGES = re.compile(r"[RC]\s?\d", re.I)
_ELSEWHERE = re.compile(
    r"\b(?:dropper|drop|heaters?|filaments?|lamps?|dial|line|mains|cord|aerial|antenna|ant|earth|ground|surge|ntc|tuning|trimm\w*|padd\w*"
    r"|gang|vol\w*|controls?|ctl|pot\w*|diode|stopper|lampholder|rectifier|ratio|tone|feedback|avc|speaker|phono|pick-?up|buffer|osc\w*|if|ift|rf|hash|barrier|Y[12]|X[12])\b",
    re.I,
)
"""Jobs and places that no direct current of a stage passes, or that other chapters follow."""
_UNSEEN = frozenset({"trimmer", "air", "mica", "silver mica"})
_COUPLING = re.compile(r"\b(?:coupl\w+|koppel\w*|kopplung)\b", re.I)
_MOST_NAMED = 6


def placeless(circuit: Circuit) -> tuple[Listed, ...]:
    """Those that lie nowhere, of a set whose voltages were read or can be."""
    if not circuit.network.stages or circuit.mains.on_batteries:
        return ()
    return tuple(one for one in circuit.components if _lies_nowhere(one, circuit))


def _lies_nowhere(one: Listed, circuit: Circuit) -> bool:
    piece = one.piece
    seen = [each for each in (piece.sheet, piece.was, piece.now) if each]
    said = " ".join((piece.job, piece.note, *(each.note for each in seen)))
    on_line = {each.part for of_place in circuit.on_line_side.values() for each in of_place}
    written = piece.ends or one.part in on_line
    apart = any(each.safety_class or each.type in _UNSEEN for each in seen) or _ELSEWHERE.search(said)
    return _OF_STAGES.match(one.part) is not None and bool(seen) and not written and not apart


def may_couple(circuit: Circuit) -> tuple[str, ...]:
    """The names of capacitors among them that are said to couple: any of them may lead to a grid."""
    return tuple(one.name for one in placeless(circuit) if _COUPLING.search(f"{one.piece.job} {one.piece.note}"))


def placeless_remarks(circuit: Circuit, file: str) -> Iterator[Remark]:
    """One remark for all of them, at the first: a silent check let its writer believe that all was in order."""
    record, lying = circuit.record, placeless(circuit)
    if not record.readings or not lying:
        return
    names = list(dict.fromkeys(one.part for one in lying))
    key = next(name for name in record.parts if str(name) == names[0])
    line, column = getattr(key, "place", None) or NOWHERE
    more = len(names) - _MOST_NAMED
    told = [*names[:_MOST_NAMED], *([f"{more} more"] if more > 0 else [])]
    them = "them" if len(names) > 1 else "it"
    said = (
        f"{one_of(told, 'and')}: nothing says between which places, so that no voltage is worked out with {them}; "
        "write “V3 plate to V4 grid”, or what it does there, “V4 cathode”, “reservoir”"
    )
    yield Remark(file, line, column, "parts", said)
