"""Resistors of which an end leaks to their can: those in the negative return, and dividers whose sections share one.

Such a resistor is a ribbon wound between sheets of card in a case of metal that is riveted to the chassis. Where the
card has charred the current goes past it, though an ohmmeter across its ends may find it good (common practice, no
source).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...electrics.dc_elements import DcBranch, DcVariant
from ...record.place_words import CHASSIS
from ..back_bias import MOST_OHMS, return_path
from ..elements import RESISTOR
from ..in_place import in_place
from ..places import rail
from .supposed_fault import FaultSite, SupposedFault
from .trade_weights import sizes

if TYPE_CHECKING:
    from .tried_set import Tried

__all__ = ["TO_ITS_CAN", "can_leaks"]

TO_ITS_CAN = "leaks to its can"


def can_leaks(tried: Tried) -> Iterator[SupposedFault]:
    """The leaks of each end that is not on the chassis already. A new one, fitted in the work, has no can."""
    network = tried.circuit.network
    can = tried.closed.node(network.point(rail(CHASSIS)))
    if can is None:
        return
    path = return_path(tried.circuit.mains, network, tried.day)
    back = set(path.parts) if path else set()
    resistors = list(tried.elements(RESISTOR))
    sections = Counter(element.listed.part for element, _ in resistors)
    for element, site in resistors:
        there = in_place(element.listed, tried.day)
        passes = element.name in back and (there.nominal or there.value or 0.0) <= MOST_OHMS
        of = "return" if passes else "divider" if sections[element.listed.part] > 1 else ""
        if not of or not there.is_there or there.which == "now":
            continue
        ends = sorted(site.nodes - {can})
        for node in ends:
            for one in sizes(f"can of a {of}"):
                branch = DcBranch(f"{element.name} {one.fault}", (node, can), one.size)
                variant = DcVariant(f"{branch.name} at {node} {one.size:g}", added=(branch,))
                at = FaultSite("elsewhere", site.at, frozenset((node, can)))
                weight = one.weight / len(ends)
                yield SupposedFault(element.name, one.fault, weight, variant, at, one.size, f"end at node {node}")
