"""The words that the patterns of ``rules.csv`` are made of: each is true, false, or not known of a tube's readings."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from functools import partial

from .evidence import DRIVEN_VOLTS, Evidence
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


def holds(atom: str, evidence: Evidence) -> bool | None:
    """Whether one word of a pattern is so; None where readings and parts do not tell. Raises KeyError for no word."""
    if atom in _WORDS:
        return _WORDS[atom](evidence)
    for pattern, told in _FORMS.items():
        if match := pattern.match(atom):
            return told(match, evidence)
    raise KeyError(atom)


def _state(match: re.Match[str], evidence: Evidence) -> bool | None:
    state = evidence.state(match["kind"].removeprefix("rectifier "))
    if state not in (LOW, HIGH, WITHIN):
        return True if match["not"] else None
    found = state in {_STATES[word] for word in match["states"].split("|")}
    return not found if match["not"] else found


def _dead(match: re.Match[str], evidence: Evidence) -> bool | None:
    dead = evidence.dead(match["kind"])
    # An electrode that was not read does not speak against a pattern that only asks for it not to be dead.
    if dead is None:
        return True if match["not"] else None
    return not dead if match["not"] else dead


def _resistor(match: re.Match[str], evidence: Evidence) -> bool | None:
    found, wanted = evidence.resistor_is(match["kind"]), match["is"]
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


def _bypass(match: re.Match[str], evidence: Evidence) -> bool | None:
    part = evidence.bypass(match["kind"])
    is_so = part is not None and (match["is"] == "in parts" or part in evidence.tight)
    return not is_so if match["not"] else is_so


def _coupling_may_leak(evidence: Evidence) -> bool:
    """A leak lifts a grid towards the plate before it, never above that plate's own voltage."""
    row, coupling = evidence.positive_grid, evidence.coupling
    if row is None or coupling is None or coupling.element.name in evidence.tight:
        return False
    before = evidence.volts_at.get(coupling.plate)
    return before is None or row.measured_volts is None or before > row.measured_volts


def _onward(evidence: Evidence, *, positive: bool) -> bool | None:
    onward = evidence.coupling_onward
    if onward is None:
        return False
    return onward.grid in evidence.positive_grids if positive else onward.element.name not in evidence.tight


def _bias(evidence: Evidence, *, lost: bool) -> bool | None:
    volts, row = evidence.volts("grid"), evidence.by_kind.get("grid")
    expected = row.expected_volts if row else None
    if volts is None or expected is None or expected > -1:
        return False
    return abs(volts) < LOST * abs(expected) if lost else row is not None and row.verdict == HIGH


def _at_supply(evidence: Evidence) -> bool | None:
    """Whether the plate stands at what feeds it, so that it takes no current."""
    volts, part, at = evidence.volts("plate"), evidence.resistor("plate"), evidence.point("plate")
    supply = evidence.volts_at.get(part.other(at)) if part and at else None
    supply = evidence.b_plus_volts if supply is None else supply
    return None if volts is None or not supply else volts >= (1 - AT_SUPPLY) * supply


def _far_high(evidence: Evidence) -> bool | None:
    volts, expected = evidence.volts("cathode"), evidence.expected("cathode")
    if volts is None or not expected or expected < DRIVEN_VOLTS:
        return False
    return volts >= FAR * expected


def _contact_biased(evidence: Evidence) -> bool | None:
    row = evidence.by_kind.get("cathode")
    expected = row.expected_volts if row else None
    return None if expected is None else abs(expected) < DRIVEN_VOLTS


def _lifted(evidence: Evidence) -> bool:
    row = evidence.by_kind.get("cathode")
    return row is not None and row.allowed_by == "zero" and row.verdict == HIGH and not evidence.is_rectifier


def _conducts(evidence: Evidence) -> bool:
    return evidence.is_triode and (evidence.volts("cathode") or 0.0) >= DRIVEN_VOLTS


def _next_to_nothing(evidence: Evidence) -> bool | None:
    volts, expected = evidence.volts("cathode"), evidence.expected("cathode")
    return None if volts is None or not expected else abs(volts) < 0.05 * expected


def _alternating(evidence: Evidence, *, low: bool) -> bool | None:
    rows = [
        r for r in evidence.rows if r.current == "AC" and r.spot.kind == "plate" and r.verdict in (LOW, HIGH, WITHIN)
    ]
    if not rows:
        return None if low else True
    return any(r.verdict == LOW for r in rows) == low


def _one_plate(evidence: Evidence) -> bool:
    rows = [r for r in evidence.rows if r.current == "AC" and r.spot.kind == "plate" and r.verdict in (LOW, WITHIN)]
    return len(rows) == 2 and {r.verdict for r in rows} == {LOW, WITHIN}


def _oscillator(evidence: Evidence, *, weak: bool) -> bool | None:
    volts, row = evidence.volts("osc grid"), evidence.by_kind.get("osc grid")
    if volts is None:
        return None
    stopped = -STOPPED_VOLTS < volts < STOPPED_VOLTS
    return stopped if not weak else not stopped and row is not None and row.verdict == LOW


def _ripple(evidence: Evidence) -> bool:
    """AC on a supply rail, written under the rail's name or as its ripple."""
    if not _rail_is(evidence, r"^(b\+|h\.?t)|ripple") or not evidence.b_plus_volts:
        return False
    least = RIPPLE * evidence.b_plus_volts
    return any(r.current == "AC" and r.measured_volts is not None and r.measured_volts > least for r in evidence.rows)


def _rail_is(evidence: Evidence, pattern: str) -> bool:
    return evidence.rail and re.search(pattern, evidence.tube, re.I) is not None


_REGULATED = r"\b(reg(ulated)?|stab(ili[sz]ed)?|VR)\b|\b0[ABCD]\d"
_FORMS: Mapping[re.Pattern[str], Callable[[re.Match[str], Evidence], bool | None]] = {
    _KIND_STATE: _state,
    _KIND_DEAD: _dead,
    _RESISTOR: _resistor,
    _BYPASS: _bypass,
}
_WORDS: Mapping[str, Callable[[Evidence], bool | None]] = {
    "grid positive": lambda evidence: evidence.positive_grid is not None,
    "grid not positive": lambda evidence: evidence.positive_grid is None,
    "grid not read": lambda evidence: "grid" not in evidence.by_kind,
    "grid read at bias": lambda evidence: (
        "grid" in evidence.by_kind and evidence.positive_grid is None and not _bias(evidence, lost=True)
    ),
    "grid bias lost": partial(_bias, lost=True),
    "grid too negative": partial(_bias, lost=False),
    "bias as meant": lambda evidence: not _bias(evidence, lost=False),
    "coupling may leak": _coupling_may_leak,
    "coupling not suspected": lambda evidence: not _coupling_may_leak(evidence),
    "coupling from here may leak": partial(_onward, positive=False),
    "next grid positive": partial(_onward, positive=True),
    "is output": lambda evidence: evidence.is_output,
    "not output": lambda evidence: not evidence.is_output and not evidence.rail,
    "is rectifier": lambda evidence: evidence.is_rectifier,
    "not rectifier": lambda evidence: not evidence.is_rectifier and not evidence.rail,
    "resistor-fed": lambda evidence: evidence.resistor_fed,
    "winding-fed": lambda evidence: not evidence.rail and not evidence.is_rectifier and not evidence.resistor_fed,
    "role known": lambda evidence: bool(evidence.role),
    "not oscillator": lambda evidence: "osc grid" not in evidence.by_kind,
    "contact-biased": _contact_biased,
    "cathode zero": lambda evidence: evidence.cathode_zero,
    "cathode not zero": lambda evidence: not evidence.cathode_zero,
    "cathode not off": lambda evidence: evidence.state("cathode") in ("", WITHIN),
    "cathode far high": _far_high,
    "cathode not far high": lambda evidence: not _far_high(evidence),
    "cathode does not conduct": lambda evidence: not _conducts(evidence),
    "cathode should be zero and is not": _lifted,
    "plate at supply": _at_supply,
    "plate not at supply": lambda evidence: not _at_supply(evidence),
    "plate AC low": partial(_alternating, low=True),
    "plate AC not low": partial(_alternating, low=False),
    "one plate AC low": _one_plate,
    "rectifier cathode next to nothing": _next_to_nothing,
    "rectifier cathode not next to nothing": lambda evidence: not _next_to_nothing(evidence),
    "B+ low": lambda evidence: evidence.b_plus_verdict == LOW if evidence.b_plus_verdict else None,
    "B+ not low": lambda evidence: evidence.b_plus_verdict != LOW,
    "a tube draws too much": lambda evidence: evidence.heavy,
    "no tube draws too much": lambda evidence: not evidence.heavy,
    "a tube draws too little": lambda evidence: evidence.light,
    "is rail": lambda evidence: evidence.rail and not _rail_is(evidence, r"\bA\.?[VG]\.?C"),
    "is AVC": lambda evidence: _rail_is(evidence, r"\bA\.?[VG]\.?C"),
    "rail positive": lambda evidence: (evidence.volts("rail") or 0.0) >= STOPPED_VOLTS,
    "rail ripple": _ripple,
    "regulated": lambda evidence: _rail_is(evidence, _REGULATED),
    "not regulated": lambda evidence: not _rail_is(evidence, _REGULATED),
    "meter does not load": lambda evidence: not evidence.meter_loads,
    "osc grid at zero": partial(_oscillator, weak=False),
    "osc grid weak": partial(_oscillator, weak=True),
}
