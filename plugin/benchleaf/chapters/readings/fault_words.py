"""The words of a fault that was tried: those of the rules where a rule has them, so that one thing has one name."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from .rules import Rule, rules

if TYPE_CHECKING:
    from collections.abc import Mapping

    from ...circuit.supposed_faults.supposed_fault import SupposedFault
    from ...words import Words

__all__ = ["said_of", "words_of"]

_ELSEWHERE = "elsewhere"


def words_of(fault: SupposedFault, words: Words) -> tuple[str, str]:
    """The cause and the next measurement, in the dialect's words."""
    row = _rows().get((fault.fault, fault.site.where)) or _rows()[fault.fault, _ELSEWHERE]
    named = words.by_name() | {"part": fault.subject}
    cause, then = row["cause"], row["then"]
    lent = (row["measured"] if fault.measured else "") or row["rule"]
    if lent:
        rule = _by_name()[lent]
        cause, then = rule.cause, rule.next
    return cause.format(**named), then.format(**named)


def said_of(fault: SupposedFault, words: Words) -> str:
    """Subject and fault in a few words, to stand in a list: “C7 leaks”, “V4 has gas or grid emission”."""
    cause, _ = words_of(fault, words)
    if fault.subject and fault.subject in cause:
        return cause
    for head in (f"the {words.tube} ", "the rectifier "):
        if cause.startswith(head):
            return f"{fault.subject} {cause.removeprefix(head)}"
    return cause


@cache
def _rows() -> Mapping[tuple[str, str], Mapping[str, str]]:
    with Path(__file__).with_name("fault_words.csv").open(encoding="utf-8", newline="") as file:
        return {(row["fault"], row["where"]): row for row in csv.DictReader(file)}


@cache
def _by_name() -> Mapping[str, Rule]:
    return {rule.name: rule for rule in rules()}
