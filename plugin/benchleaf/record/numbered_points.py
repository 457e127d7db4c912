"""Points of a set that have a number or a letter for a name: ``node T``, ``bias 1``, ``180 tap``."""

from __future__ import annotations

import re

from .line_values import Spans
from .text import Text
from .trade_words import BESIDE_A_JOB

_NODE = re.compile(r"[a-z]{1,2}\d?|\d{1,2}", re.I)
"""What a node of a circuit diagram is called: ``node T``, ``node 3``."""
_VOLTS_OF_A_TAP = re.compile(r"\d{2,3}v?")
_OF_THE_MAINS = frozenset({"PT", "MT"})
JOINT = frozenset({"to", "naar", "nach", "and", "-", "–", "&"})
"""Words and signs that join the two ends of a part."""


def is_node(item: Text, words: Spans, index: int) -> bool:
    """Whether a node and its letter stand here: ``node T``; not ``node to`` and ``node at``."""
    if index + 1 >= len(words) or flat(item, words[index]) != "node":
        return False
    name = flat(item, words[index + 1])
    return bool(_NODE.fullmatch(name)) and name not in BESIDE_A_JOB


def numbered_tap(item: Text, words: Spans, index: int) -> int:
    """How many words of a tap by its volts stand here, at one side of “to”: ``180 tap``, ``90 V tap``; else 0.

    That of a mains transformer is a setting and no point that a part lies at.
    """
    if item.manner.part in _OF_THE_MAINS:
        return 0
    said = [flat(item, word) for word in words[index : index + 3]]
    count = 2 if said[1:2] == ["tap"] else 3 if said[2:3] == ["tap"] and said[1] in ("v", "volt") else 0
    if not count or not _VOLTS_OF_A_TAP.fullmatch(said[0]):
        return 0
    joined = index > 0 and flat(item, words[index - 1]) in JOINT
    end = index + count
    return count if joined or (end < len(words) and flat(item, words[end]) in JOINT) else 0


def is_bias_tap(item: Text, words: Spans, index: int) -> bool:
    """Whether a tap of the bias resistors stands here, by its number: ``bias 1``."""
    if index + 1 >= len(words) or flat(item, words[index]) != "bias":
        return False
    return re.fullmatch(r"\d", flat(item, words[index + 1])) is not None and (
        index + 2 == len(words) or flat(item, words[index + 2]) in JOINT
    )


def flat(item: Text, word: tuple[int, int]) -> str:
    """A word of an item for comparison, without its points and commas."""
    said = item[word[0] : word[1]]
    return said.casefold().strip(".,:") or said
