"""What heater readings point to, and what to measure next; each with where that is from."""

from __future__ import annotations

from dataclasses import dataclass

from ...report.source import Standing
from ...words import Words

ADDS_UP = 0.03
"""How far the measured volts may miss the line before that is the finding."""

WHOLE_STRING_OFF = 0.05
"""How far all heaters together may be from what is computed: what a meter and a line that moves may do."""

COMMON = Standing.PRACTICE.words
LOVELL = "L. Lovell, Antique Radio Repair (1989), on series strings"


@dataclass(frozen=True, slots=True)
class Cause:
    """What a reading points to, what to measure next, and where that is from."""

    cause: str
    next: str
    source: str


def of_tube(verdict: str, share: float | None, lamp: bool, series: bool, words: Words) -> Cause | None:
    if verdict == "open":
        return Cause(
            f"its heater is open, or its socket makes no contact: the whole {words.line} stands across the break",
            f"pull the plug and measure the heater's resistance at the pins of the {words.tube} itself",
            LOVELL,
        )
    if verdict == "dark" and series:
        return Cause(
            "no volts across it: its heater is shorted, bridged, or no current flows in the string",
            "see whether the others glow; with the plug out, measure the resistance across its heater pins",
            COMMON,
        )
    if verdict == "dark":
        return Cause("no volts reach its pins", "measure at the winding, then follow the lead to the socket", COMMON)
    if verdict != "far off" or share is None:
        return None
    if not series:
        return Cause(
            f"a bad joint or socket contact between winding and {words.tube}, or a reading taken elsewhere",
            f"measure at the winding's own lugs with the {words.tubes} in and glowing",
            COMMON,
        )
    if lamp and share > 0:
        return Cause(
            f"the pilot lamp is out or loose, so that the tap section carries the {words.plate}'s current alone",
            "look whether the lamp glows; measure the volts across the tap",
            "Nuts and Volts, questions and answers on the 35W4",
        )
    if share > 0:
        return Cause(
            "a type of lower heater current in this socket, or a poor contact counted in the reading",
            f"read the type on the glass; measure again at the pins of the {words.tube}, not at the wiring",
            COMMON,
        )
    return Cause(
        "a type of higher heater current in this socket, or part of its heater shorted or bridged",
        "read the type on the glass; with the plug out, compare its cold heater resistance with another of the type",
        COMMON,
    )


def of_whole_string(ratio: float | None, words: Words) -> Cause | None:
    if ratio is None or abs(ratio - 1) <= WHOLE_STRING_OFF:
        return None
    if ratio < 1:
        return Cause(
            f"all {words.tubes} run lower than computed: {words.line} lower than written, or more in series than "
            "written",
            f"measure the {words.line} and the dropper's drop in the same minute",
            COMMON,
        )
    return Cause(
        f"all {words.tubes} run higher than computed: {words.line} higher than written, dropper low, or a heater "
        "shorted",
        f"measure the {words.line}, then the dropper with the plug out",
        COMMON,
    )


def of_sum(off: float | None, dropper_written: bool, words: Words) -> Cause | None:
    if off is None or abs(off) <= ADDS_UP:
        return None
    if off < 0:
        what = "something in series that is not written (a dropper, a surge resistor, a bad switch or joint)"
        if dropper_written:
            what = "a bad switch, joint or socket in series, a dropper of another value"
        return Cause(
            f"{what}, or a reading that is wrong",
            f"measure from the {words.line} end of the string along it, piece by piece, in one go",
            COMMON,
        )
    return Cause(
        f"a reading that is wrong, or a {words.line} that was higher than written when the heaters were measured",
        f"measure {words.line} and heaters again in one go, with the meter's range and kind (AC) checked",
        COMMON,
    )
