"""The words that the patterns of ``rules.csv`` are made of: each is true, false, or not known of a tube's readings."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from functools import partial

from .cases import DRIVEN_VOLTS, Case
from .judging import HIGH, LOW, WITHIN

STOPPED_VOLTS = 0.5
AT_SUPPLY = 0.05
FAR = 3.0
LOST = 0.2
RIPPLE = 0.1
"""AC on a rail of more than a tenth of B+. Common practice, no source."""

_STATES = {"low": LOW, "high": HIGH, "within": WITHIN}
_KIND_STATE = re.compile(
    r"(?P<kind>plate|screen|cathode|osc plate|rail|rectifier cathode) (?P<not>not )?"
    r"(?P<states>(?:low|high|within)(?:\|\w+)*)$"
)
_KIND_DEAD = re.compile(r"(?P<kind>plate|screen|osc plate|rail) (?P<not>not )?dead$")
_RESISTOR = re.compile(
    r"(?P<kind>plate|screen|cathode|grid|rail) resistor (?P<not>not )?"
    r"(?P<is>sound|measured high|measured low|measured|in parts|low|open)$"
)
_BYPASS = re.compile(r"(?P<kind>plate|screen|cathode|rail) bypass (?P<not>not )?(?P<is>in parts|tight)$")


def holds(atom: str, case: Case) -> bool | None:
    """Whether one word of a pattern is so; None where readings and parts do not tell. Raises KeyError for no word."""
    if atom in _WORDS:
        return _WORDS[atom](case)
    for pattern, told in _FORMS.items():
        if match := pattern.match(atom):
            return told(match, case)
    raise KeyError(atom)


def _state(match: re.Match[str], case: Case) -> bool | None:
    state = case.state(match["kind"].removeprefix("rectifier "))
    if state not in (LOW, HIGH, WITHIN):
        return True if match["not"] else None
    found = state in {_STATES[word] for word in match["states"].split("|")}
    return not found if match["not"] else found


def _dead(match: re.Match[str], case: Case) -> bool | None:
    dead = case.dead(match["kind"])
    # An electrode that was not read does not speak against a pattern that only asks for it not to be dead.
    if dead is None:
        return True if match["not"] else None
    return not dead if match["not"] else dead


def _resistor(match: re.Match[str], case: Case) -> bool | None:
    found, wanted = case.resistor_is(match["kind"]), match["is"]
    is_so = {
        "sound": found == "sound",
        "measured high": found == "high",
        "measured low": found == "low",
        "low": found == "low",
        "measured": found in ("sound", "high", "low"),
        "in parts": bool(found),
        "open": False,
    }[wanted]
    return not is_so if match["not"] else is_so


def _bypass(match: re.Match[str], case: Case) -> bool | None:
    part = case.bypass(match["kind"])
    is_so = part is not None and (match["is"] == "in parts" or part in case.tight)
    return not is_so if match["not"] else is_so


def _coupling_may_leak(case: Case) -> bool:
    """A leak lifts a grid towards the plate before it, never above that plate's own voltage."""
    row, coupling = case.positive_grid, case.coupling
    if row is None or coupling is None or coupling.element.name in case.tight:
        return False
    before = case.volts_at.get(coupling.plate)
    return before is None or row.measured_volts is None or before > row.measured_volts


def _onward(case: Case, *, positive: bool) -> bool | None:
    onward = case.coupling_onward
    if onward is None:
        return False
    return onward.grid in case.positive_grids if positive else onward.element.name not in case.tight


def _bias(case: Case, *, lost: bool) -> bool | None:
    volts, row = case.volts("grid"), case.by_kind.get("grid")
    expected = row.expected_volts if row else None
    if volts is None or expected is None or expected > -1:
        return False
    return abs(volts) < LOST * abs(expected) if lost else row is not None and row.verdict == HIGH


def _at_supply(case: Case) -> bool | None:
    """Whether the plate stands at what feeds it, so that it takes no current."""
    volts, part, at = case.volts("plate"), case.resistor("plate"), case.point("plate")
    supply = case.volts_at.get(part.other(at)) if part and at else None
    supply = case.b_plus_volts if supply is None else supply
    return None if volts is None or not supply else volts >= (1 - AT_SUPPLY) * supply


def _far_high(case: Case) -> bool | None:
    volts, expected = case.volts("cathode"), case.expected("cathode")
    if volts is None or not expected or expected < DRIVEN_VOLTS:
        return False
    return volts >= FAR * expected


def _contact_biased(case: Case) -> bool | None:
    row = case.by_kind.get("cathode")
    expected = row.expected_volts if row else None
    return None if expected is None else abs(expected) < DRIVEN_VOLTS


def _lifted(case: Case) -> bool:
    row = case.by_kind.get("cathode")
    return row is not None and row.allowed_by == "zero" and row.verdict == HIGH and not case.is_rectifier


def _conducts(case: Case) -> bool:
    return case.is_triode and (case.volts("cathode") or 0.0) >= DRIVEN_VOLTS


def _next_to_nothing(case: Case) -> bool | None:
    volts, expected = case.volts("cathode"), case.expected("cathode")
    return None if volts is None or not expected else abs(volts) < 0.05 * expected


def _alternating(case: Case, *, low: bool) -> bool | None:
    rows = [r for r in case.rows if r.current == "AC" and r.spot.kind == "plate" and r.verdict in (LOW, HIGH, WITHIN)]
    if not rows:
        return None if low else True
    return any(r.verdict == LOW for r in rows) == low


def _one_plate(case: Case) -> bool:
    rows = [r for r in case.rows if r.current == "AC" and r.spot.kind == "plate" and r.verdict in (LOW, WITHIN)]
    return len(rows) == 2 and {r.verdict for r in rows} == {LOW, WITHIN}


def _oscillator(case: Case, *, weak: bool) -> bool | None:
    volts, row = case.volts("osc grid"), case.by_kind.get("osc grid")
    if volts is None:
        return None
    stopped = -STOPPED_VOLTS < volts < STOPPED_VOLTS
    return stopped if not weak else not stopped and row is not None and row.verdict == LOW


def _ripple(case: Case) -> bool:
    """AC on a supply rail, written under the rail's name or as its ripple."""
    if not _rail_is(case, r"^(b\+|h\.?t)|ripple") or not case.b_plus_volts:
        return False
    least = RIPPLE * case.b_plus_volts
    return any(r.current == "AC" and r.measured_volts is not None and r.measured_volts > least for r in case.rows)


def _rail_is(case: Case, pattern: str) -> bool:
    return case.rail and re.search(pattern, case.tube, re.I) is not None


_REGULATED = r"\b(reg(ulated)?|stab(ili[sz]ed)?|VR)\b|\b0[ABCD]\d"
_FORMS: Mapping[re.Pattern[str], Callable[[re.Match[str], Case], bool | None]] = {
    _KIND_STATE: _state,
    _KIND_DEAD: _dead,
    _RESISTOR: _resistor,
    _BYPASS: _bypass,
}
_WORDS: Mapping[str, Callable[[Case], bool | None]] = {
    "grid positive": lambda case: case.positive_grid is not None,
    "grid not positive": lambda case: case.positive_grid is None,
    "grid not read": lambda case: "grid" not in case.by_kind,
    "grid read at bias": lambda case: (
        "grid" in case.by_kind and case.positive_grid is None and not _bias(case, lost=True)
    ),
    "grid bias lost": partial(_bias, lost=True),
    "grid too negative": partial(_bias, lost=False),
    "bias as meant": lambda case: not _bias(case, lost=False),
    "coupling may leak": _coupling_may_leak,
    "coupling not suspected": lambda case: not _coupling_may_leak(case),
    "coupling from here may leak": partial(_onward, positive=False),
    "next grid positive": partial(_onward, positive=True),
    "is output": lambda case: case.is_output,
    "not output": lambda case: not case.is_output and not case.rail,
    "is rectifier": lambda case: case.is_rectifier,
    "not rectifier": lambda case: not case.is_rectifier and not case.rail,
    "resistor-fed": lambda case: case.resistor_fed,
    "winding-fed": lambda case: not case.rail and not case.is_rectifier and not case.resistor_fed,
    "role known": lambda case: bool(case.role),
    "not oscillator": lambda case: "osc grid" not in case.by_kind,
    "contact-biased": _contact_biased,
    "cathode zero": lambda case: case.cathode_zero,
    "cathode not zero": lambda case: not case.cathode_zero,
    "cathode not off": lambda case: case.state("cathode") in ("", WITHIN),
    "cathode far high": _far_high,
    "cathode not far high": lambda case: not _far_high(case),
    "cathode does not conduct": lambda case: not _conducts(case),
    "cathode should be zero and is not": _lifted,
    "plate at supply": _at_supply,
    "plate not at supply": lambda case: not _at_supply(case),
    "plate AC low": partial(_alternating, low=True),
    "plate AC not low": partial(_alternating, low=False),
    "one plate AC low": _one_plate,
    "rectifier cathode next to nothing": _next_to_nothing,
    "rectifier cathode not next to nothing": lambda case: not _next_to_nothing(case),
    "B+ low": lambda case: case.b_plus_verdict == LOW if case.b_plus_verdict else None,
    "B+ not low": lambda case: case.b_plus_verdict != LOW,
    "a tube draws too much": lambda case: case.heavy,
    "no tube draws too much": lambda case: not case.heavy,
    "a tube draws too little": lambda case: case.light,
    "is rail": lambda case: case.rail and not _rail_is(case, r"\bA\.?[VG]\.?C"),
    "is AVC": lambda case: _rail_is(case, r"\bA\.?[VG]\.?C"),
    "rail positive": lambda case: (case.volts("rail") or 0.0) >= STOPPED_VOLTS,
    "rail ripple": _ripple,
    "regulated": lambda case: _rail_is(case, _REGULATED),
    "not regulated": lambda case: not _rail_is(case, _REGULATED),
    "meter does not load": lambda case: not case.meter_loads,
    "osc grid at zero": partial(_oscillator, weak=False),
    "osc grid weak": partial(_oscillator, weak=True),
}
