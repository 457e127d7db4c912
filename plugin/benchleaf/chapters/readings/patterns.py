"""The words that the rules of ``rules.csv`` ask for: each is so or not so of a tube, a rail and what lies around."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from functools import partial

from ...circuit.elements import RESISTOR, SWITCH, WINDING
from ...record.place_words import AVC, B_MINUS, B_PLUS, CHASSIS, FIRST_RAILS
from .evidence import DRIVEN_VOLTS, Evidence
from .judging import HIGH, LOW, WITHIN
from .rows import ReadingRow
from .signs import signs

STOPPED_VOLTS = 0.5
AT_SUPPLY = 0.05
GONE = 0.05
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


def holds(word: str, evidence: Evidence) -> bool | None:
    """Whether one word of a rule is so; None where readings and parts do not tell. Raises KeyError for no word."""
    if word in _WORDS:
        return _WORDS[word](evidence)
    for pattern, told in _FORMS.items():
        if match := pattern.match(word):
            return told(match, evidence)
    raise KeyError(word)


def _state(match: re.Match[str], evidence: Evidence) -> bool:
    return evidence.state(match["kind"].removeprefix("rectifier ")) == {"low": LOW, "high": HIGH}[match["state"]]


def _dead(match: re.Match[str], evidence: Evidence) -> bool | None:
    dead = evidence.dead(match["kind"])
    # An electrode that was not read does not speak against a rule that only asks for it not to be dead.
    if dead is None:
        return True if match["not"] else None
    return not dead if match["not"] else dead


def _resistor(match: re.Match[str], evidence: Evidence) -> bool:
    found, wanted = evidence.resistor_is(match["kind"]), match["is"]
    is_so = {
        "sound": found == "sound",
        "measured high": found == "high",
        "measured low": found == "low",
        "measured": found in ("sound", "high", "low"),
    }[wanted]
    return not is_so if match["not"] else is_so


def _not_tight(match: re.Match[str], evidence: Evidence) -> bool:
    """Whether a capacitor there may leak; one that is not written may be there all the same."""
    return evidence.bypass(match["kind"]) not in evidence.tight


def _coupling_may_leak(evidence: Evidence) -> bool:
    """A leak lifts a grid towards the plate before it, never above that plate's own voltage."""
    row, coupling = evidence.positive_grid, evidence.coupling
    if row is None or coupling is None or coupling.element.name in evidence.tight:
        return False
    before = evidence.volts_at.get(coupling.plate)
    return before is None or row.measured_volts is None or before > row.measured_volts


def _next_grid_positive(evidence: Evidence) -> bool:
    onward = evidence.coupling_onward
    return onward is not None and onward.grid in evidence.positive_grids and evidence.coupling_draws


def _fixed_bias(evidence: Evidence) -> bool:
    row = evidence.by_kind.get("grid")
    return row is not None and row.expected_volts is not None and row.expected_volts <= -1


def _at_supply(evidence: Evidence) -> bool | None:
    """Whether the plate stands at what feeds it, so that it takes no current."""
    volts, part, at = evidence.volts("plate"), evidence.resistor("plate"), evidence.point("plate")
    supply = evidence.volts_at.get(part.other(at)) if part and at else None
    supply = evidence.b_plus_volts if supply is None else supply
    return None if volts is None or not supply else volts >= (1 - AT_SUPPLY) * supply


def _contact_biased(evidence: Evidence) -> bool | None:
    row = evidence.by_kind.get("cathode")
    expected = row.expected_volts if row else None
    return None if expected is None else abs(expected) < DRIVEN_VOLTS


def _supply_rows(evidence: Evidence) -> Iterator[ReadingRow]:
    """The rows of the points that feed plate and screen, as far as the record writes what does."""
    points = set()
    for kind in ("plate", "screen"):
        if at := evidence.point(kind):
            points |= {
                evidence.network.point(evidence.network.other_end(feed, at)) for feed in evidence.network.feeds(at)
            }
    for row in evidence.others:
        if row.current == "DC" and evidence.network.point(row.spot.place) in points:
            yield row


def _supply_may_be(evidence: Evidence, *, low: bool) -> bool:
    """Whether nothing that was read shows the supply to be as it should: B+, the stage's own rail, another tube."""
    if evidence.b_plus_verdict or any(row.verdict == WITHIN for row in _supply_rows(evidence)):
        return False
    shares = [share for of_tube in evidence.shares_of_others for share in of_tube]
    return not any(share >= AS_MEANT if low else share <= 1 / AS_MEANT for share in shares)


def _at_the_rectifier(evidence: Evidence) -> bool:
    """Whether this is where the rectifier's voltage is read: its cathode, or the first rail in its stead."""
    if evidence.is_rectifier:
        return True
    cathode_read = any(
        r.spot.place.tube and r.spot.place.kind == B_PLUS and r.measured_qualifier for r in evidence.others
    )
    return _first_rail(evidence) and not cathode_read


def _first_rail(evidence: Evidence) -> bool:
    """Whether a rail is the one that the rectifier feeds: by its name or its first filter, and no rail before it."""
    at = evidence.point("rail")
    if not evidence.rail or at is None:
        return False
    first = evidence.network.first_filter
    return bool(first and evidence.network.same(at, first[1])) or (
        at.key in FIRST_RAILS and not evidence.resistor("rail")
    )


def _b_plus_low(evidence: Evidence) -> bool:
    if not _at_the_rectifier(evidence) or _alternating(evidence, low=True):
        return False
    return (evidence.state("rail" if evidence.rail else "cathode") == LOW) and not _gone(evidence)


def _b_plus_gone(evidence: Evidence) -> bool:
    return _at_the_rectifier(evidence) and not _alternating(evidence, low=True) and _gone(evidence)


def _gone(evidence: Evidence) -> bool:
    kind = "rail" if evidence.rail else "cathode"
    volts, expected = evidence.volts(kind), evidence.expected(kind)
    return volts is not None and bool(expected) and abs(volts) < GONE * (expected or 0.0)


def _alternating(evidence: Evidence, *, low: bool) -> bool:
    """Whether a rectifier's plates are short of AC; not, where they were not read."""
    rows = [r for r in evidence.rows if r.current == "AC" and r.spot.kind == "plate"]
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


def _meant_to_be_fed(evidence: Evidence) -> bool:
    """Whether a rail should have volts in this list: by its expected value, else unless a switch may have taken it off.

    A wave-change switch hands the supply to one half of a set at a time. A point by a name of the writer's own is a
    supply rail only where something leads to it from one.
    """
    expected, at = evidence.expected("rail"), evidence.point("rail")
    if expected is not None or at is None:
        return expected is None or abs(expected) >= STOPPED_VOLTS
    network = evidence.network
    if at.kind != B_PLUS and not any(network.other_end(one, at).kind == B_PLUS for one in network.feeds(at)):
        return False
    switched = (network.point(end) for one in network.elements if one.kind == SWITCH for end in one.ends)
    return network.point(at) not in switched


def _is_supply(evidence: Evidence) -> bool:
    """Whether a rail is one that B+ feeds: none that its circuit makes negative, such as B-, a bias or the AVC line.

    What is expected there says so, else what was read.
    """
    if not evidence.rail or any(row.spot.place.kind in _NEVER_FED for row in evidence.rows):
        return False
    expected, volts = evidence.expected("rail"), evidence.volts("rail")
    return expected >= 0 if expected is not None else volts is None or volts > -STOPPED_VOLTS


_NEVER_FED = frozenset({AVC, B_MINUS, CHASSIS})


def _rail_is(evidence: Evidence, pattern: str) -> bool:
    return evidence.rail and re.search(pattern, evidence.tube, re.I) is not None


_AVC = r"\bA\.?[VG]\.?C"
_REGULATED = r"\b(reg(ulated)?|stab(ili[sz]ed)?|VR)\b|\b0[ABCD]\d"
_FORMS: Mapping[re.Pattern[str], Callable[[re.Match[str], Evidence], bool | None]] = {
    _KIND_STATE: _state,
    _KIND_DEAD: _dead,
    _RESISTOR: _resistor,
    _TIGHT: _not_tight,
}
_WORDS: Mapping[str, Callable[[Evidence], bool | None]] = {
    "grid not read": lambda evidence: "grid" not in evidence.by_kind and evidence.positive_grid is None,
    "grid positive": lambda evidence: evidence.positive_grid is not None,
    "fixed bias": _fixed_bias,
    "coupling may leak": _coupling_may_leak,
    "coupling not suspected": lambda evidence: not _coupling_may_leak(evidence),
    "next grid positive": _next_grid_positive,
    "is output": lambda evidence: evidence.is_output,
    "not output": lambda evidence: not evidence.is_output and not evidence.rail,
    "is rectifier": lambda evidence: evidence.is_rectifier,
    "may be resistor-fed": lambda evidence: evidence.feed in ("", RESISTOR),
    "may be winding-fed": lambda evidence: evidence.feed in ("", WINDING),
    "role known": lambda evidence: bool(evidence.role),
    "not oscillator": lambda evidence: "osc grid" not in evidence.by_kind,
    "contact-biased": _contact_biased,
    "not contact-biased": lambda evidence: not _contact_biased(evidence),
    "screen by itself": lambda evidence: evidence.point("screen") is not None,
    "plate may be at supply": lambda evidence: _at_supply(evidence) is not False,
    "plate not at supply": lambda evidence: not _at_supply(evidence),
    "supply may be low": partial(_supply_may_be, low=True),
    "supply may be high": partial(_supply_may_be, low=False),
    "low as a whole": lambda evidence: signs(evidence).whole == LOW,
    "high as a whole": lambda evidence: signs(evidence).whole == HIGH,
    "plate AC low": partial(_alternating, low=True),
    "one plate AC low": _one_plate,
    "B+ low at the rectifier": _b_plus_low,
    "B+ gone at the rectifier": _b_plus_gone,
    "B+ known": lambda evidence: bool(evidence.b_plus_verdict),
    "B+ not known": lambda evidence: not evidence.b_plus_verdict,
    "line written": lambda evidence: evidence.line_written,
    "line not written": lambda evidence: not evidence.line_written,
    "a tube draws too much": lambda evidence: evidence.heavy,
    "no tube draws too much": lambda evidence: not evidence.heavy,
    "a tube draws too little": lambda evidence: evidence.light,
    "is rail": lambda evidence: _is_supply(evidence) and not _rail_is(evidence, _AVC),
    "rail meant to be fed": _meant_to_be_fed,
    "not first rail": lambda evidence: not _first_rail(evidence),
    "is AVC": lambda evidence: _rail_is(evidence, _AVC),
    "rail positive": lambda evidence: (evidence.volts("rail") or 0.0) >= STOPPED_VOLTS,
    "rail ripple": _ripple,
    "regulated": lambda evidence: _rail_is(evidence, _REGULATED),
    "not regulated": lambda evidence: not _rail_is(evidence, _REGULATED),
    "meter does not load": lambda evidence: not evidence.meter_loads,
    "osc grid at zero": partial(_oscillator, weak=False),
    "osc grid weak": partial(_oscillator, weak=True),
}
