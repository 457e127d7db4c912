"""What is wrong on the line side by inspection alone: earth, class, ratings, the fuse's lead, plug against cord."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...report.verdict import Verdict
from ...words import Words
from .described import DescribedState
from .earth import ONE_FAULT_FROM_A_SHORT, SHORT_CIRCUIT, earth_of
from .fuse_place import is_misplaced
from .inspection import Check
from .ratings import class_checks, resistor_checks, volts_checks

if TYPE_CHECKING:
    from ...record.sections.line_side import LineSideState
    from .line_and_load import LineSource
    from .side import StateFindings


def checks_of(
    state: LineSideState, now: StateFindings, line: LineSource | None, words: Words, *, limit_published: bool
) -> tuple[Check, ...]:
    """What inspection shows of the state the set is in, worst first."""
    described = now.described
    found = [
        *_earth(described, words),
        *class_checks(described.wiring, now.b_minus_network, now.sockets, words),
        *(volts_checks(described.wiring, line, words) if line else ()),
        *resistor_checks(now.b_minus_network, limit_published=limit_published, words=words),
        *_fuse(described, words),
        *_cord(state, words),
    ]
    return tuple(sorted(found, key=lambda check: -check.verdict.rank))


def _earth(described: DescribedState, words: Words) -> Iterator[Check]:
    earth = earth_of(described)
    if earth == SHORT_CIRCUIT:
        yield Check(
            Verdict.DANGER,
            f"The chassis is one side of the {words.line} and has {_a(words.earth)} wire: with the plug one way round "
            f"the {words.line} is shorted through it. Take that wire off; this chassis must never have one.",
        )
    if earth == ONE_FAULT_FROM_A_SHORT:
        yield Check(
            Verdict.DANGER,
            f"The chassis has {_a(words.earth)} wire, yet no double-wound transformer parts it from the {words.line}: "
            f"one failing part between {words.b_minus} and chassis shorts the {words.line} through that wire.",
        )


def _a(word: str) -> str:
    return f"an {word}" if word[0] in "aeiou" else f"a {word}"


def _fuse(described: DescribedState, words: Words) -> Iterator[Check]:
    fuse = described.fuse
    if fuse is None or not is_misplaced(described):
        return
    if fuse.place == "return lead":
        yield Check(
            Verdict.FAULT,
            f"The only fuse sits in the return lead: when it blows the set is dead and still stands at {words.line} "
            f"voltage. It belongs in the {words.hot} lead, before the switch.",
        )
    if fuse.place == "both leads":
        yield Check(
            Verdict.NOTE,
            f"With a fuse in both leads the one in the return may blow alone: the set stays at {words.line} voltage.",
        )


def _cord(state: LineSideState, words: Words) -> Iterator[Check]:
    cord = str(state.cord or "")
    if state.plug == "three-pin with earth" and re.search(r"\b(?:two|2)[- ](?:core|wire|conductor)", cord, re.I):
        yield Check(
            Verdict.FAULT,
            f"A three-pin plug on a two-core {words.cord} has no {words.earth} wire to offer: one of the two is "
            "written wrong.",
        )
