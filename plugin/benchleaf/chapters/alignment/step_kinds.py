"""What each step of an alignment sets and to what, from its words and its frequency; steps that stand in odd order."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...circuit.frequencies import is_fm_intermediate, is_fm_signal, near_intermediate

if TYPE_CHECKING:
    from ...record.model import Record
    from .findings import AdjustedStep

_AIMS = (
    ("zero", re.compile(r"\b(?:zero|null|balance[ds]?|balancing|nil|0\s?V)\b", re.I)),
    ("minimum", re.compile(r"\b(?:min(?:imum)?|dip|least|reject\w*)\b", re.I)),
    ("maximum", re.compile(r"\b(?:max(?:imum)?|peak(?:ed|ing)?|most|strongest)\b", re.I)),
)
_TRAP = re.compile(r"\b(?:wave ?|IF ?)?trap\b|\bIF (?:filter|rejector)\b", re.I)
_DETECTOR = re.compile(r"\b(?:discriminator|ratio|detector|demodulator|foster|quadrature)\b", re.I)
_OSCILLATOR = re.compile(r"\bosc(?:illator)?\b|\bpadd(?:er|ing)\b|\bdial\b|\bpointer\b", re.I)
_SIGNAL = re.compile(r"\b(?:aerial|ant(?:enna)?|r\.?f\.?|mixer|input|loop|preselector|band ?pass|signal)\b", re.I)
_CHECKED = re.compile(
    r"\bcheck(?:ed|s|ing)?\b(?!.*\b(?:adjust|set|peak|trim)\w*\b)"
    r"|\b(?:no adjustment|not (?:touched|adjusted|moved)|as it was|left alone)\b",
    re.I,
)
"""What sets nothing: it was looked at only."""


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
    near = near_intermediate(hertz, record)
    fm = is_fm_intermediate(near) if near else bool(hertz and is_fm_signal(hertz))
    aim = next((name for name, words in _AIMS if words.search(adjust)), "")
    if _CHECKED.search(adjust):
        what = ""
    elif _TRAP.search(adjust):
        what = "trap"
    elif near is not None:
        what = "detector" if is_fm_intermediate(near) and (_DETECTOR.search(adjust) or aim == "zero") else "IF"
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
