"""What heater readings point to, and what to measure next; each with where that is from."""

from __future__ import annotations

from dataclasses import dataclass

ADDS_UP = 0.03
"""How far the measured volts may miss the line before that is the finding."""

WHOLE_STRING_OFF = 0.05
"""How far all heaters together may be from what is computed: what a meter and a line that moves may do."""

COMMON = "common practice, no source"
LOVELL = "L. Lovell, Antique Radio Repair (1989), on series strings"


@dataclass(frozen=True, slots=True)
class Cause:
    """What a reading points to, what to measure next, and where that is from."""

    cause: str
    next: str
    source: str


def of_tube(verdict: str, share: float | None, lamp: bool, series: bool) -> Cause | None:
    if verdict == "open":
        return Cause(
            "its heater is open, or its socket makes no contact: the whole line stands across the break",
            "pull the plug and measure the heater's resistance at the pins of the tube itself",
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
            "a bad joint or socket contact between winding and tube, or a reading taken elsewhere",
            "measure at the winding's own lugs with the tubes in and glowing",
            COMMON,
        )
    if lamp and share > 0:
        return Cause(
            "the pilot lamp is out or loose, so that the tap section carries the plate's current alone",
            "look whether the lamp glows; measure the volts across the tap",
            "Nuts and Volts, questions and answers on the 35W4",
        )
    if share > 0:
        return Cause(
            "a type of lower heater current in this socket, or a poor contact counted in the reading",
            "read the type on the glass; measure again at the pins of the tube, not at the wiring",
            COMMON,
        )
    return Cause(
        "a type of higher heater current in this socket, or part of its heater shorted or bridged",
        "read the type on the glass; with the plug out, compare its cold heater resistance with another of the type",
        COMMON,
    )


def of_whole_string(ratio: float | None, tubes_word: str) -> Cause | None:
    if ratio is None or abs(ratio - 1) <= WHOLE_STRING_OFF:
        return None
    if ratio < 1:
        return Cause(
            f"all {tubes_word} run lower than computed: line lower than written, or more in series than written",
            "measure the line and the dropper's drop in the same minute",
            COMMON,
        )
    return Cause(
        f"all {tubes_word} run higher than computed: line higher than written, dropper low, or a heater shorted",
        "measure the line, then the dropper with the plug out",
        COMMON,
    )


def of_sum(off: float | None, dropper_written: bool) -> Cause | None:
    if off is None or abs(off) <= ADDS_UP:
        return None
    if off < 0:
        what = "something in series that is not written (a dropper, a surge resistor, a bad switch or joint)"
        if dropper_written:
            what = "a bad switch, joint or socket in series, a dropper of another value"
        return Cause(
            f"{what}, or a reading that is wrong",
            "measure from the line's end of the string along it, piece by piece, in one go",
            COMMON,
        )
    return Cause(
        "a reading that is wrong, or a line that was higher than written when the heaters were measured",
        "measure line and heaters again in one go, with the meter's range and kind (AC) checked",
        COMMON,
    )
