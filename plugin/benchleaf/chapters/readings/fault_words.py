"""The words of a fault that was tried: those of the rules where a rule has them, so that one thing has one name."""

from __future__ import annotations

import csv
import re
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from .rules import SOURCES, Rule, rules

if TYPE_CHECKING:
    from collections.abc import Mapping

    from ...circuit.supposed_faults.supposed_fault import SupposedFault
    from ...words import Words

__all__ = ["in_the_past", "said_of", "source_of", "words_of"]

_ELSEWHERE, _NEW = "elsewhere", "new"
_THIS = re.compile(r"this (\w+)")
_PAST = {
    "leaks": "leaked", "pulls": "pulled", "takes": "took", "is": "was", "has": "had", "does": "did",
    "measures": "measured", "gives": "gave",
}  # fmt: skip
_VERB = re.compile(rf"\b({'|'.join(_PAST)})\b")


def words_of(fault: SupposedFault, words: Words, *, new: bool = False) -> tuple[str, str]:
    """The cause and the next measurement, in the dialect's words. ``new`` says that the part was fitted in the work."""
    row, rule = _row(fault, new)
    named = words.by_name() | {"part": fault.subject}
    cause, then = (rule.cause, rule.next) if rule else (row["cause"], row["then"])
    off = f"power off and {words.filter_capacitors} discharged: "
    then = then.format(**named)
    return cause.format(**named), off + then if then.startswith("lift ") else then


def source_of(fault: SupposedFault) -> str:
    """Where the words of a fault come from."""
    _, rule = _row(fault)
    return rule.source if rule else SOURCES["practice"]


def _row(fault: SupposedFault, new: bool = False) -> tuple[Mapping[str, str], Rule | None]:
    """A fault's row of words, and the rule that lends it its own. What age does is not said of a new part."""
    if new and not fault.measured and (fault.fault, _NEW) in _rows():
        return _rows()[fault.fault, _NEW], None
    row = _rows().get((fault.fault, fault.site.where)) or _rows()[fault.fault, _ELSEWHERE]
    lent = (row["measured"] if fault.measured else "") or row["rule"]
    return row, _by_name()[lent] if lent else None


def in_the_past(cause: str) -> str:
    """A cause that was put right: “C7 leaked”."""
    return _VERB.sub(lambda verb: _PAST[verb[0]], cause)


def said_of(fault: SupposedFault, words: Words, *, new: bool = False) -> str:
    """Subject and fault in a few words, to stand in a list: “C7 leaks”, “V4 has gas or grid emission”."""
    cause, _ = words_of(fault, words, new=new)
    at = fault.site.at
    if at is not None:
        cause = _THIS.sub(rf"the \1 of {at.tube}" if at.tube else at.name(words), cause)
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
