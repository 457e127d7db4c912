"""The signs of one stage: how its readings stand to what is expected there, and what follows of its currents.

They are measured, and name no cause. The rules lend a cause its words; what fits these signs is for ``rules`` to say.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...circuit.usual_limits import READING_LIMIT
from ...electrics.tube_law import EXPONENT
from ...record.place_words import B_PLUS
from .evidence import DRIVEN_VOLTS, NEXT_TO_NOTHING
from .judging import HIGH, LOW, WITHIN, tolerance_or_usual

if TYPE_CHECKING:
    from ...circuit.places import Place
    from .evidence import Evidence

OTHER_RAIL = 0.03
"""What a reading may be off by where the plate's feed is not written, so that the rail it hangs on is taken for B+."""

MOVED = 0.07
"""From here on a rail, or a tube as a whole, counts as moved where a stage is judged. Common practice, no source."""

FAR = 3.0
LOST = 0.2
BIAS_SHARE, BIAS_SHARES = 0.5, (0.2, 0.9)
"""Bias over cut-off bias where the type's amplification factor is not known, and what it is held within where it is."""

CONTACT_VOLTS = 0.7
"""Contact potential and initial velocities: what published points of common triodes leave over (0.6 to 0.9 V)."""

_STEPS = 60
_NOT_KNOWN = ""


@dataclass(frozen=True, slots=True)
class Signs:
    """``grid``, ``cathode``, ``screen`` and ``plate`` each in one word, empty where not known.

    ``within`` is as expected; ``low`` and ``high`` out of the band; ``dead`` next to nothing. A grid is ``positive``,
    ``lost`` or ``too negative`` where it has a bias from elsewhere, ``carried`` with the stage before it where it is
    coupled directly and off. A cathode is ``zero`` or ``far high``, and ``lifted`` where it should be at zero.
    ``drive`` is the cathode's voltage over the one that plate (triode) or screen would make with tube and cathode
    resistor as meant; 1 is all sound. ``leaking`` is what a leak across the cathode's resistor would make of it.
    ``current`` are the ends of the plate current over the expected one, by the drop between supply and plate.
    ``b_plus_low`` says of an output stage that B+ is low, which one that draws nothing never makes it.
    ``whole`` is ``low`` or ``high`` where plate and screen both are, one of them out of its band: what the supply does.
    """

    grid: str = _NOT_KNOWN
    cathode: str = _NOT_KNOWN
    screen: str = _NOT_KNOWN
    plate: str = _NOT_KNOWN
    drive: float | None = None
    leaking: float | None = None
    current: tuple[float, float] | None = None
    b_plus_low: bool = False
    whole: str = ""

    @property
    def off(self) -> Mapping[str, str]:
        """Every electrode that is not as expected, with its word."""
        return {name: word for name, word in self.known.items() if word != WITHIN}

    @property
    def known(self) -> Mapping[str, str]:
        """Every electrode of which the readings tell, with its word."""
        names = ("grid", "cathode", "screen", "plate")
        return {name: word for name in names if (word := getattr(self, name))}


def signs(case: Evidence) -> Signs:
    """The signs that a tube's readings show."""
    drive, leaking = _drive(case)
    return Signs(
        grid=_grid(case),
        cathode=_cathode(case, drive),
        screen=_fed(case, "screen"),
        plate=_fed(case, "plate"),
        drive=drive,
        leaking=leaking,
        current=_current(case, "plate"),
        b_plus_low=case.is_output and case.b_plus_verdict == LOW,
        whole=_whole(case),
    )


def _fed(case: Evidence, kind: str) -> str:
    """A plate or screen, in proportion to what feeds it."""
    state, volts, expected = case.state(kind), case.volts(kind), case.expected(kind)
    gone = volts is not None and expected is not None and abs(volts) < NEXT_TO_NOTHING * expected
    if (gone or case.dead(kind)) and state != WITHIN:
        return "dead"
    if state not in (LOW, HIGH, WITHIN):
        return _NOT_KNOWN
    return WITHIN if _with_its_rail(case, kind) else state


def _with_its_rail(case: Evidence, kind: str) -> bool:
    """Whether a reading is off only as much as a rail that feeds it, or may."""
    row, volts, expected = case.by_kind[kind], case.volts(kind), case.expected(kind)
    if volts is None or not expected:
        return False
    tolerance = tolerance_or_usual(row.tolerance)
    return any(abs(volts / expected / share - 1) <= tolerance for share in rail_shares(case, kind))


def rail_shares(case: Evidence, kind: str) -> Iterator[float]:
    """What feeds an electrode, or may, over what is expected of it: its rail where that was read.

    Else it may be any rail, or one that was not read and shows in another tube that is off as a whole.
    """
    at = case.point(kind)
    feeds = case.network.feeds(at) if at else ()
    written = {case.network.point(case.network.other_end(feed, at)) for feed in feeds} if at else set()
    read = {place: share for place in case.expected_at if (share := _share_at(case, place))}
    if written and all(place in read for place in written):
        yield from (read[place] for place in written)
        return
    if not written:
        yield from (share for place, share in read.items() if place.kind == B_PLUS)
    for shares in case.shares_of_others:
        if max(shares) < 1 - MOVED or min(shares) > 1 + MOVED:
            yield from shares


def _share_at(case: Evidence, place: Place) -> float | None:
    volts, expected = case.volts_at.get(place), case.expected_at[place]
    return volts / expected if volts and expected else None


def _whole(case: Evidence) -> str:
    """Whether plate and screen are both low or both high, one out of its band and none as it should be."""
    b_plus, shares = case.b_plus_share or 1.0, []
    for kind in ("plate", "screen"):
        volts, expected = case.volts(kind), case.expected(kind)
        if volts is not None and expected:
            shares.append(volts / expected / b_plus)
    states = {case.state(kind) for kind in ("plate", "screen")}
    if not shares or "dead" in (_fed(case, "plate"), _fed(case, "screen")):
        return ""
    if LOW in states and max(shares) < 1 - MOVED:
        return LOW
    return HIGH if HIGH in states and min(shares) > 1 + MOVED else ""


def _cathode(case: Evidence, drive: float | None) -> str:
    row, volts, expected = case.by_kind.get("cathode"), case.volts("cathode"), case.expected("cathode")
    if row is None:
        return _NOT_KNOWN
    if row.allowed_by == "zero" and row.verdict == HIGH:
        return "lifted"
    if case.cathode_zero:
        return "zero"
    if volts is not None and expected and expected >= DRIVEN_VOLTS and volts >= FAR * expected:
        return "far high"
    state = case.state("cathode")
    if state not in (LOW, HIGH, WITHIN):
        return _NOT_KNOWN
    sound = drive is not None and abs(drive - 1) <= tolerance_or_usual(row.tolerance)
    return WITHIN if sound and _rail_is_off(case) else state


def _rail_is_off(case: Evidence) -> bool:
    """Whether what pulls the current is in proportion to a rail that is not as expected, beside B+."""
    puller = "plate" if case.is_triode else "screen"
    b_plus = case.b_plus_share or 1.0
    moved = any(abs(share / b_plus - 1) > MOVED for share in rail_shares(case, puller))
    return moved and _with_its_rail(case, puller)


def _grid(case: Evidence) -> str:
    if case.positive_grid is not None:
        return "positive"
    row, volts = case.by_kind.get("grid"), case.volts("grid")
    if row is None or volts is None:
        return _NOT_KNOWN
    expected = row.expected_volts
    if row.verdict in (LOW, HIGH) and volts > DRIVEN_VOLTS:
        return "carried"
    if expected is None or expected > -1:
        return WITHIN
    if abs(volts) < LOST * abs(expected):
        return "lost"
    return "too negative" if row.verdict == HIGH else WITHIN


def _drive(case: Evidence) -> tuple[float | None, float | None]:
    """The cathode's voltage over what the three-halves law makes of the voltage that pulls the current.

    The second is the same for a leak across the cathode's resistor that takes as much more current as the drop before
    plate (triode) or screen shows.
    """
    puller = "plate" if case.is_triode else "screen"
    pull, pull_meant = case.volts(puller), case.expected(puller)
    cathode, meant = case.volts("cathode"), case.expected("cathode")
    if pull is None or cathode is None or not pull_meant or pull_meant <= 0 or not meant or meant < DRIVEN_VOLTS:
        return None, None
    share, bias = pull / pull_meant, _bias_share(case, pull_meant, meant)
    by_law = cathode_share(share, bias)
    if not by_law:
        return None, None
    current = _current(case, puller)
    leaking = None
    if current:
        drawn = max(0.0, (current[0] + current[1]) / 2)
        leaking = max(0.0, (share - (1 - bias) * drawn ** (1 / EXPONENT)) / bias) / by_law
    return max(cathode, 0.0) / meant / by_law, leaking


def _bias_share(case: Evidence, pull: float, cathode: float) -> float:
    """Bias over cut-off bias, by the amplification factor that the table has for the type."""
    published = case.mu
    if not published:
        return BIAS_SHARE
    least, most = BIAS_SHARES
    return min(most, max(least, cathode / (pull / published + CONTACT_VOLTS)))


def cathode_share(pull: float, bias: float = BIAS_SHARE) -> float:
    """The share of its voltage that a cathode resistor has at a share ``pull`` of plate (triode) or screen voltage.

    Cathode current = perveance x (V/mu - Vk)^1.5 (Child 1911, Langmuir 1913; van der Bijl) with Vk = current x
    resistor, the grid at the foot of that resistor: k = ((pull - b k)/(1 - b))^1.5, ``bias`` b being that over cut-off
    bias.
    """
    low, high = 0.0, max(pull, 0.0) / bias
    for _ in range(_STEPS):
        middle = (low + high) / 2
        left = max(0.0, (pull - bias * middle) / (1 - bias))
        low, high = (middle, high) if left**EXPONENT > middle else (low, middle)
    return (low + high) / 2


def _current(case: Evidence, kind: str) -> tuple[float, float] | None:
    """Least and greatest share of the expected current into plate or screen, in proportion to the supply it comes from.

    By the drop between the two, so that it holds only where what lies there is as it should be.
    """
    here, meant = case.volts(kind), case.expected(kind)
    supply, written = _supply(case, kind)
    volts, volts_meant = (at.get(supply) if supply else None for at in (case.volts_at, case.expected_at))
    if here is None or meant is None or not volts or not volts_meant or volts <= 0 or volts_meant <= 0:
        return None
    share = READING_LIMIT if written else OTHER_RAIL
    drop, drop_meant = volts - here, volts_meant - meant
    unsure, unsure_meant = share * math.hypot(volts, here), share * math.hypot(volts_meant, meant)
    if drop_meant < 2 * unsure_meant:
        return None
    by = volts / volts_meant * _ohms_share(case, kind)
    low, high = (drop - unsure) / (drop_meant + unsure_meant) / by, (drop + unsure) / (drop_meant - unsure_meant) / by
    return low, high


def _supply(case: Evidence, kind: str) -> tuple[Place | None, bool]:
    """The point that feeds an electrode, and whether that is written; else the rail that counts as B+."""
    at = case.point(kind)
    feeds = case.network.feeds(at) if at else ()
    if at and len(feeds) == 1:
        return case.network.point(case.network.other_end(feeds[0], at)), True
    return (None, False) if feeds else (case.b_plus_at, False)


def _ohms_share(case: Evidence, kind: str) -> float:
    """What an electrode's resistor measures over what it should have; 1 where it was not measured."""
    part = case.resistor(kind)
    if part is None or part.how != "measured" or not part.nominal_ohms or part.bound:
        return 1.0
    return part.ohms / part.nominal_ohms
