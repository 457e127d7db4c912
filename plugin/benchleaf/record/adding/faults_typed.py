"""The trail of a fault as it is typed: `fault hum, found C7 leaky, cause …, cure …`, or one of these by itself."""

from __future__ import annotations

import re

from ..line_items import items
from ..problems import quoted
from ..sections.faults import CURE, RULED_OUT, RULED_OUT_WORDS, Fault
from ..text import Text
from .as_written import Added, InItem
from .open_record import Addition, AskedError, OpenRecord

_STEPS = ("complaint", "found", *RULED_OUT_WORDS, "cause", "cure", "note")
_STEP = re.compile(rf"(?:^|[,;.]\s+)(?P<step>{'|'.join(_STEPS)}|date)(?::\s*|\s+)", re.I)
_LATER = ("found", *RULED_OUT_WORDS, "cause", "cure")


def fault_of(line: str, into: OpenRecord) -> Addition:
    """The addition of a fault, or of a step to the one fault that has it not yet. Raises AskedError."""
    trail = _trail(line)
    if "complaint" in trail:
        entry: Added = dict(trail)
        return Addition("faults", [entry], [entry], "faults, a new one")
    if RULED_OUT in trail:
        return _ruled_out(trail, into)
    open_ = [n for n, fault in enumerate(into.record.faults) if not any(getattr(fault, step) for step in trail)]
    if len(open_) != 1:
        told = f"{len(open_)} faults without {' and '.join(map(quoted, trail))}"
        raise AskedError(told, "one", "begin with the complaint, such as “fault hum, found C7 leaky, cure replaced”")
    about = f"faults, the one of {quoted(_said_of(into.record.faults[open_[0]]))}"
    return Addition("faults", InItem(open_[0], dict(trail)), [dict(trail)], about)


def _ruled_out(trail: dict[str, str], into: OpenRecord) -> Addition:
    """What was ruled out, put to the one fault without a cure, behind what was ruled out there before."""
    open_ = [n for n, fault in enumerate(into.record.faults) if not fault.cure]
    if len(open_) != 1 or len(trail) > 1:
        told = f"{len(open_)} faults without {quoted('cure')}" if len(trail) == 1 else "several steps"
        raise AskedError(told, "one", "begin with the complaint, such as “fault hum, ruled out C7, found C12 dry”")
    fault = into.record.faults[open_[0]]
    put: dict[str, Added] = {RULED_OUT: f"; {trail[RULED_OUT]}"} if fault.ruled_out else dict(trail)
    about = f"faults, the one of {quoted(_said_of(fault))}"
    return Addition("faults", InItem(open_[0], put), [dict(trail)], about)


def is_fault(line: str, into: OpenRecord) -> bool:
    """Whether a line begins with a word for a step of the trail."""
    match = _STEP.match(line)
    return match is not None and match["step"].casefold() in ("complaint", *_LATER)


def _said_of(fault: Fault) -> str:
    return str(fault.complaint or fault.found or fault.cause or fault.cure or "")


def _trail(line: str) -> dict[str, str]:
    """What is said at each step; what no word stands before is the complaint."""
    marks = list(_STEP.finditer(line))
    first = line[: marks[0].start()] if marks else line
    trail = {"complaint": first.strip()} if first.strip() else {}
    ends = [*(mark.start() for mark in marks[1:]), len(line)]
    for mark, end in zip(marks, ends, strict=False):
        step = mark["step"].casefold()
        step = RULED_OUT if step in RULED_OUT_WORDS else step
        said = line[mark.end() : end].strip()
        if step in trail:
            raise AskedError(f"{quoted(step)} a second time", "each step once", "write a line for each fault")
        if said:
            trail[step] = said
    return trail if "cure" in trail else _with_cure(trail)


def _with_cure(trail: dict[str, str]) -> dict[str, str]:
    """A trail in which what was done, behind a comma of its last step, is the cure: ``found P1 dirty, cleaned``."""
    last = next((step for step in reversed(trail) if step in ("cause", "found", RULED_OUT, "complaint")), "")
    said = list(map(str, items(Text(trail.get(last, "")))))
    at = next((n for n, item in enumerate(said) if n and CURE.match(item)), None)
    return trail if at is None else {**trail, last: ", ".join(said[:at]), "cure": ", ".join(said[at:])}
