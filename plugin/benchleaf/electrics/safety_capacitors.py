"""Classes of capacitors for the line (IEC 60384-14): which of them may stand where."""

from __future__ import annotations

from collections.abc import Sequence

__all__ = [
    "BRIDGING_RULE",
    "BRIDGING_SOURCE",
    "CLASSES_RULE",
    "CLASSES_SOURCE",
    "CLASS_VOLTS",
    "bridges_to_a_hand",
    "is_of_class_y",
]

CLASSES_SOURCE = "IEC 60384-14, as quoted on the emc-pstc list (messages 9293 and 21132) and in makers' summaries"
"""Class X is for places where a failing capacitor gives no electric shock, class Y for those where it could. Y1 counts
as double or reinforced insulation, Y2 as basic insulation. The standard itself was not opened."""

BRIDGING_SOURCE = (
    "IEC 950, draft amendment 4, clause 2.2.8.1, as quoted on the emc-pstc list (message 920); for a single Y1 also "
    "the engineers of UL on IEC 62368-1, G.11.3; neither standard was opened"
)
"""Reinforced insulation, as between the line and a hand, may be bridged by one Y1, or by two Y2 in series."""

CLASSES_RULE, BRIDGING_RULE = "IEC 60384-14, read second hand", "IEC 950, draft amendment 4, 2.2.8.1, read second hand"
"""The same in short, for a sentence."""

CLASS_VOLTS = {"Y1": 500.0, "Y2": 300.0, "Y3": 250.0, "Y4": 150.0}
"""Highest rated volts RMS of the classes: IEC 60384-14, as summarised by makers (Y2 to 250 V in older texts)."""


def is_of_class_y(written: str | None) -> bool:
    """Whether a written class is one of class Y at all."""
    return (written or "").startswith("Y")


def bridges_to_a_hand(in_series: Sequence[str | None]) -> bool:
    """Whether the classes of capacitors in series make up for reinforced insulation: ``BRIDGING_SOURCE``."""
    return "Y1" in in_series or sum(one == "Y2" for one in in_series) >= 2
