"""What each step of an alignment sets and to what, from its words and its frequency; steps that stand in odd order."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ...record.model import Record
    from .findings import AdjustedStep

_NEAR_IF = 1.1
"""Times the intermediate frequency, or as many times below, that its steps lie (common practice, no source)."""
_FM_FROM = 40e6
_FM_IF_FROM = 2e6

_AIMS = (
    ("zero", re.compile(r"\b(?:zero|null|balance[ds]?|balancing|nil|0\s?V)\b", re.I)),
    ("minimum", re.compile(r"\b(?:min(?:imum)?|dip|least|reject\w*)\b", re.I)),
    ("maximum", re.compile(r"\b(?:max(?:imum)?|peak(?:ed|ing)?|most|strongest)\b", re.I)),
)
_TRAP = re.compile(r"\b(?:wave ?|IF ?)?trap\b|\bIF (?:filter|rejector)\b", re.I)
_DETECTOR = re.compile(r"\b(?:discriminator|ratio|detector|demodulator|foster|quadrature)\b", re.I)
_OSCILLATOR = re.compile(r"\bosc(?:illator)?\b|\bpadd(?:er|ing)\b|\bdial\b|\bpointer\b", re.I)
_SIGNAL = re.compile(r"\b(?:aerial|ant(?:enna)?|r\.?f\.?|mixer|input|loop|preselector|band ?pass|signal)\b", re.I)


@dataclass(frozen=True, slots=True)
class Sets:
    """``what`` is ``trap``, ``detector``, ``IF``, ``oscillator``, ``aerial`` or empty; ``fm`` that it belongs to FM.

    ``aim`` is ``maximum``, ``minimum``, ``zero`` or empty.
    """

    what: str
    fm: bool
    aim: str


def sets(adjust: str, hertz: float | None, record: Record) -> Sets:
    """What a step sets. The words decide; where they say nothing, a frequency near the IF is a step of that chain."""
    between = [one.si for one in (record.IF, record.second_if) if one and one.si]
    near = next((one for one in between if hertz and one / _NEAR_IF <= hertz <= one * _NEAR_IF), None)
    fm = near > _FM_IF_FROM if near else bool(hertz and hertz >= _FM_FROM)
    aim = next((name for name, words in _AIMS if words.search(adjust)), "")
    if _TRAP.search(adjust):
        what = "trap"
    elif near is not None:
        what = "detector" if near > _FM_IF_FROM and (_DETECTOR.search(adjust) or aim == "zero") else "IF"
    elif _OSCILLATOR.search(adjust):
        what = "oscillator"
    else:
        what = "aerial" if _SIGNAL.search(adjust) else ""
    return Sets(what, fm, aim)


def band_of(hertz: float | None, record: Record) -> str:
    """The band a frequency lies in; empty where it lies in none, or in the overlap of two."""
    found = [n for n, b in record.bands.items() if hertz and b.low_hertz <= hertz <= b.high_hertz]
    return str(found[0]) if len(found) == 1 else ""


def out_of_order(steps: tuple[AdjustedStep, ...]) -> Iterator[tuple[int, str]]:
    """Steps that undo one above them, by their place, with what they undo.

    The IF behind the last setting of an oscillator of its kind moves the dial; an aerial circuit set before the
    oscillator of its band was, is set at another frequency than the dial will show.
    """
    for n, step in enumerate(steps):
        before = [s for s in steps[:n] if s.sets == "oscillator" and s.fm == step.fm]
        behind = [s for s in steps[n + 1 :] if s.sets == "oscillator" and s.fm == step.fm]
        if step.sets == "IF" and before and not behind:
            yield n, "IF behind oscillator"
        of_band = [s for s in behind if s.band == step.band]
        if step.sets == "aerial" and step.band and of_band and not any(s.band == step.band for s in before):
            again = any(s.sets == "aerial" and s.band == step.band for s in steps[steps.index(of_band[-1]) + 1 :])
            if not again:
                yield n, "aerial before oscillator"
