"""Controls in a cathode's way to the bottom, such as the volume control of a set before AVC: any part of them is in."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from .elements import RESISTOR

if TYPE_CHECKING:
    from .elements import Element
    from .network import Network
    from .places import Place

_CONTROL = re.compile(
    r"\b(?:vol(?:ume)?|gain|sensitivity|intensity|controls?|ctl|ctrl|pots?|potentiometer|rheostat|variable|preset)\b",
    re.I,
)
_BY_NAME = re.compile(r"(?:VR|RV|P)\d", re.I)


def biases_by_hand(network: Network, element: Element) -> bool:
    """Whether a resistor is a control that a cathode's current passes, straight from it or by way of a resistor."""
    types = [seen.type for seen in (element.listed.piece.now, element.listed.piece.was) if seen]
    by_words = _CONTROL.search(element.job) or "potentiometer" in types or _BY_NAME.match(element.name)
    return bool(by_words) and any(_leads_to_a_cathode(network, end, element) for end in element.ends)


def _leads_to_a_cathode(network: Network, end: Place, control: Element) -> bool:
    if network.is_common(end):
        return False
    near = [end, *(network.other_end(one, end) for one in network.at(end, RESISTOR) if one is not control)]
    return any(at.kind == "cathode" and at.tube for place in near for at in network.joined_to(place))
