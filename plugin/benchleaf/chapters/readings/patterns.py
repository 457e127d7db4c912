"""The words that the rules of ``rules.csv`` ask for: each is so or not so of a tube, a rail and what lies around."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from functools import partial

from ...circuit.elements import RESISTOR, WINDING
from ...circuit.place_words import B_PLUS
from .cases import DRIVEN_VOLTS, Case
from .judging import HIGH, LOW, WITHIN
from .rows import Row
from .signs import signs

STOPPED_VOLTS = 0.5
AT_SUPPLY = 0.05
GONE = 0.05
FIRST_RAILS = ("B+1", "B+")
RIPPLE = 0.1
"""AC on a rail of more than a tenth of B+. Common practice, no source."""

AS_MEANT = 0.9
"""A plate, screen or rail at nine tenths of its voltage shows that the supply is there. Common practice, no source."""

_KIND_STATE = re.compile(r"(?P<kind>rail|rectifier cathode) (?P<state>low|high)$")
_KIND_DEAD = re.compile(r"(?P<kind>screen|osc plate|rail) (?P<not>not )?dead$")
_RESISTOR = re.compile(
    r"(?P<kind>plate|screen|cathode|grid|rail) resistor (?P<not>not )?"
    r"(?P<is>sound|measured high|measured low|measured)$"
)
_TIGHT = re.compile(r"(?P<kind>plate|screen|cathode) bypass not tight$")


def holds(word: str, case: Case) -> bool | None:
    """Whether one word of a rule is so; None where readings and parts do not tell. Raises KeyError for no word."""
    if word in _WORDS:
        return _WORDS[word](case)
    for pattern, told in _FORMS.items():
        if match := pattern.match(word):
            return told(match, case)
    raise KeyError(word)


def _state(match: re.Match[str], case: Case) -> bool:
    return case.state(match["kind"].removeprefix("rectifier ")) == {"low": LOW, "high": HIGH}[match["state"]]


def _dead(match: re.Match[str], case: Case) -> bool | None:
    dead = case.dead(match["kind"])
    # An electrode that was not read does not speak against a rule that only asks for it not to be dead.
    if dead is None:
        return True if match["not"] else None
    return not dead if match["not"] else dead


def _resistor(match: re.Match[str], case: Case) -> bool:
    found, wanted = case.resistor_is(match["kind"]), match["is"]
    is_so = {
        "sound": found == "sound",
        "measured high": found == "high",
        "measured low": found == "low",
        "measured": found in ("sound", "high", "low"),
    }[wanted]
    return not is_so if match["not"] else is_so


def _not_tight(match: re.Match[str], case: Case) -> bool:
    """Whether a capacitor there may leak; one that is not written may be there all the same."""
    return case.bypass(match["kind"]) not in case.tight


def _coupling_may_leak(case: Case) -> bool:
    """A leak lifts a grid towards the plate before it, never above that plate's own voltage."""
    row, coupling = case.positive_grid, case.coupling
    if row is None or coupling is None or coupling.element.name in case.tight:
        return False
    before = case.volts_at.get(coupling.plate)
    return before is None or row.measured_volts is None or before > row.measured_volts


def _next_grid_positive(case: Case) -> bool:
    onward = case.coupling_onward
    return onward is not None and onward.grid in case.positive_grids


def _fixed_bias(case: Case) -> bool:
    row = case.by_kind.get("grid")
    return row is not None and row.expected_volts is not None and row.expected_volts <= -1


def _at_supply(case: Case) -> bool | None:
    """Whether the plate stands at what feeds it, so that it takes no current."""
    volts, part, at = case.volts("plate"), case.resistor("plate"), case.point("plate")
    supply = case.volts_at.get(part.other(at)) if part and at else None
    supply = case.b_plus_volts if supply is None else supply
    return None if volts is None or not supply else volts >= (1 - AT_SUPPLY) * supply


def _contact_biased(case: Case) -> bool | None:
    row = case.by_kind.get("cathode")
    expected = row.expected_volts if row else None
    return None if expected is None else abs(expected) < DRIVEN_VOLTS


def _supply_rows(case: Case) -> Iterator[Row]:
    """The rows of the points that feed plate and screen, as far as the record writes what does."""
    points = set()
    for kind in ("plate", "screen"):
        if at := case.point(kind):
            points |= {case.network.point(case.network.other_end(feed, at)) for feed in case.network.feeds(at)}
    for row in case.others:
        if row.current == "DC" and case.network.point(row.spot.place) in points:
            yield row


def _supply_may_be(case: Case, *, low: bool) -> bool:
    """Whether nothing that was read shows the supply to be as it should: B+, the stage's own rail, another tube."""
    if case.b_plus_verdict or any(row.verdict == WITHIN for row in _supply_rows(case)):
        return False
    shares = [share for of_tube in case.shares_of_others for share in of_tube]
    return not any(share >= AS_MEANT if low else share <= 1 / AS_MEANT for share in shares)


def _at_the_rectifier(case: Case) -> bool:
    """Whether this is where the rectifier's voltage is read: its cathode, or the first rail in its stead."""
    if case.is_rectifier:
        return True
    cathode_read = any(r.spot.place.tube and r.spot.place.kind == B_PLUS and r.measured_qualifier for r in case.others)
    return _first_rail(case) and not cathode_read


def _first_rail(case: Case) -> bool:
    """Whether a rail is the one that the rectifier feeds: by its name or its first filter, and no rail before it."""
    at = case.point("rail")
    if not case.rail or at is None:
        return False
    first = case.network.first_filter
    return bool(first and case.network.same(at, first[1])) or (at.key in FIRST_RAILS and not case.resistor("rail"))


def _b_plus_low(case: Case) -> bool:
    if not _at_the_rectifier(case) or _alternating(case, low=True):
        return False
    return (case.state("rail" if case.rail else "cathode") == LOW) and not _gone(case)


def _b_plus_gone(case: Case) -> bool:
    return _at_the_rectifier(case) and not _alternating(case, low=True) and _gone(case)


def _gone(case: Case) -> bool:
    kind = "rail" if case.rail else "cathode"
    volts, expected = case.volts(kind), case.expected(kind)
    return volts is not None and bool(expected) and abs(volts) < GONE * (expected or 0.0)


def _alternating(case: Case, *, low: bool) -> bool:
    """Whether a rectifier's plates are short of AC; not, where they were not read."""
    rows = [r for r in case.rows if r.current == "AC" and r.spot.kind == "plate"]
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
    _TIGHT: _not_tight,
}
_WORDS: Mapping[str, Callable[[Case], bool | None]] = {
    "grid not read": lambda case: "grid" not in case.by_kind and case.positive_grid is None,
    "grid positive": lambda case: case.positive_grid is not None,
    "fixed bias": _fixed_bias,
    "coupling may leak": _coupling_may_leak,
    "coupling not suspected": lambda case: not _coupling_may_leak(case),
    "next grid positive": _next_grid_positive,
    "is output": lambda case: case.is_output,
    "not output": lambda case: not case.is_output and not case.rail,
    "is rectifier": lambda case: case.is_rectifier,
    "may be resistor-fed": lambda case: case.feed in ("", RESISTOR),
    "may be winding-fed": lambda case: case.feed in ("", WINDING),
    "role known": lambda case: bool(case.role),
    "not oscillator": lambda case: "osc grid" not in case.by_kind,
    "contact-biased": _contact_biased,
    "not contact-biased": lambda case: not _contact_biased(case),
    "screen by itself": lambda case: case.point("screen") is not None,
    "plate may be at supply": lambda case: _at_supply(case) is not False,
    "plate not at supply": lambda case: not _at_supply(case),
    "supply may be low": partial(_supply_may_be, low=True),
    "supply may be high": partial(_supply_may_be, low=False),
    "low as a whole": lambda case: signs(case).whole == LOW,
    "high as a whole": lambda case: signs(case).whole == HIGH,
    "plate AC low": partial(_alternating, low=True),
    "one plate AC low": _one_plate,
    "B+ low at the rectifier": _b_plus_low,
    "B+ gone at the rectifier": _b_plus_gone,
    "B+ known": lambda case: bool(case.b_plus_verdict),
    "B+ not known": lambda case: not case.b_plus_verdict,
    "line written": lambda case: case.line_written,
    "line not written": lambda case: not case.line_written,
    "a tube draws too much": lambda case: case.heavy,
    "no tube draws too much": lambda case: not case.heavy,
    "a tube draws too little": lambda case: case.light,
    "is rail": lambda case: case.rail and not _rail_is(case, r"\bA\.?[VG]\.?C"),
    "not first rail": lambda case: not _first_rail(case),
    "is AVC": lambda case: _rail_is(case, r"\bA\.?[VG]\.?C"),
    "rail positive": lambda case: (case.volts("rail") or 0.0) >= STOPPED_VOLTS,
    "rail ripple": _ripple,
    "regulated": lambda case: _rail_is(case, _REGULATED),
    "not regulated": lambda case: not _rail_is(case, _REGULATED),
    "meter does not load": lambda case: not case.meter_loads,
    "osc grid at zero": partial(_oscillator, weak=False),
    "osc grid weak": partial(_oscillator, weak=True),
}
