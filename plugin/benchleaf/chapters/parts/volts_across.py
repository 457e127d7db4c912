"""A capacitor's rated volts against the most it can see, graded by when it sees that."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...record.part_types import POLARISED_TYPES
from ...report.amount import Amount, Origin
from ...report.sentence import Judged
from ...report.verdict import Verdict
from .supply_peak import DEAD_OUTPUT_STAGE, SLOW_TRANSFORMER

if TYPE_CHECKING:
    from ...report.sentence import Phrase
    from ...words import Words
    from .findings import PartFindings


def rating(row: PartFindings, words: Words) -> Judged | None:
    """A capacitor's rated volts against what it can see."""
    rated, sees = Amount(row.rated_volts, "V"), Amount(row.sees_volts, "V", Origin.COMPUTED)
    if row.rating_enough:
        return Judged(Verdict.GOOD, ("rated ", rated, ", can see ", sees))
    if row.rating_enough is False:
        beside = (seen_when(row, words), *surge_words(row))
        return Judged(_too_low(row), ("rated ", rated, ", can see ", sees), beside)
    if row.sees_bound == "at least" and row.rated_volts is not None:
        swings = (f"the {words.plate} swings above the supply",)
        return Judged(Verdict.UNKNOWN, ("rated ", rated, ", can see more than ", sees), swings)
    return None


def _too_low(row: PartFindings) -> Verdict:
    """How much it matters that a capacitor can see more than it is rated for, by when it does.

    What it has while the set plays, and what a dead output stage leaves on it, are more than it is made for. Behind a
    dry rectifier, a doubler or a transformer it has its peak at every switching on, in a series string at a quick
    restart only, behind a rectifier that warms as the others do with one of them out, and resistors that draw from it
    at all times keep it below. A surge rating is made for both: within it, nothing is left to do.
    """
    if below_working_volts(row) or row.seen_when == DEAD_OUTPUT_STAGE:
        return Verdict.FAULT
    if row.surge_volts is not None and row.sees_volts is not None and row.surge_volts >= row.sees_volts:
        return Verdict.NOTE
    return Verdict.FAULT if row.seen_when in _AT_EVERY_START else Verdict.WATCH


_AT_EVERY_START = ("dry rectifier", "doubler", "transformer")


def below_working_volts(row: PartFindings) -> bool:
    """Whether a capacitor is rated for less than stands across it while the set plays."""
    return None not in (row.rated_volts, row.least_volts) and row.rated_volts < row.least_volts  # type: ignore[operator]


def seen_when(row: PartFindings, words: Words) -> str:
    """When a capacitor fed from B+ sees the most it can."""
    cold = f"while the {words.tubes} are cold or one is out"
    when = {
        DEAD_OUTPUT_STAGE: "as long as the output stage draws nothing",
        "dry rectifier": f"at every switching on, until the {words.tubes} draw current",
        "doubler": cold,
        "transformer": cold,
        SLOW_TRANSFORMER: f"if a {words.tube} is out or draws nothing",
        "bled transformer": f"at most, for what the resistors across the supply draw pulls it lower, {cold}",
        "three-way": f"while a {words.tube} is out or a filament is open",
    }
    restart = "when it is switched on again with the rectifier still hot, or where that warms before the output "
    quick = f"{restart}{words.tube}"
    behind = "behind a divider of resistors, " if row.seen_divided else ""
    return f"{behind}{when.get(row.seen_when or '', quick)}, and the {words.line} is high"


def surge_words(row: PartFindings) -> Phrase:
    """What is written of a capacitor's surge rating, after what it can see; empty for one that has none."""
    kind = row.in_the_set.seen.type.casefold() if row.in_the_set else ""
    if row.surge_volts is None:
        return ("; no surge rating is written",) if kind in POLARISED_TYPES else ()
    within = row.sees_volts is not None and row.surge_volts >= row.sees_volts
    return f"; {'within' if within else 'over'} its surge rating of ", Amount(row.surge_volts, "V")
