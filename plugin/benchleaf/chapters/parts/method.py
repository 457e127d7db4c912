"""How the chapter's numbers were computed: formulas, assumptions, and where limits come from."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...electrics.capacitor_limits import LEAKAGE_SOURCE
from ...report.amount import Amount
from ...report.sentence import Phrase
from ...report.source import COMMON_PRACTICE, FROM_MEMORY, Source, Standing
from .verdicts import BRIDGING, CLASSES, ESR_LIMIT

if TYPE_CHECKING:
    from ...words import Words
    from ..bench import Bench
    from .findings import PartsFindings
    from .supply_peak import SupplyPeak

COLOUR_CODE = Source(Standing.READ, "IEC 60062")
PREFERRED = Source(Standing.READ, "IEC 60063")
LEAKAGE_LIMIT = Source(Standing.CHECKED, LEAKAGE_SOURCE)

_DRIFT: Phrase = (
    "Drift is measured value over nominal value, less one. A meter that gave a bound only (",
    "“>”, “OL”",
    ") gives no drift. Where no tolerance is written the band is assumed: ±20\u00a0% (no fourth band, ",
    COLOUR_CODE, "; for capacitors ", COMMON_PRACTICE, "), −20 to +50\u00a0% for electrolytics (", FROM_MEMORY,
    "). A leaky paper capacitor reads too high on most capacitance meters.",
)  # fmt: skip
_CHANGE: Phrase = (
    "The change of value is the new value over the sheet’s, or over the old part’s where there is no sheet.",
)
_LEAKAGE: Phrase = (
    "Leakage resistance is test voltage over leakage current. The volts on the next grid are those of a divider: volts "
    "before the capacitor × grid leak ÷ (leakage resistance + grid leak). The grid draws no current in this. From "
    "0.5\u00a0V up it is said to shift the bias (",
    COMMON_PRACTICE,
    "), which is to be watched; it is a fault from the grid’s whole bias up: the cathode’s volts as read, or else as "
    "published.",
)
_LIMITS: Phrase = (
    "Limits of leakage: electrolytics ", LEAKAGE_LIMIT,
    "; others 100\u00a0MΩ at a grid or on the AVC line and 10\u00a0MΩ elsewhere (", COMMON_PRACTICE,
    "). Limit of ESR: twice that of a new one, from ", ESR_LIMIT, ".",
)  # fmt: skip
_HEAT: Phrase = (
    "Heat of a resistor is V²/R from the volts read at its ends, with its measured value. It should be rated for at "
    "least twice that (",
    COMMON_PRACTICE,
    ").",
)
_BUFFER: Phrase = (
    "The buffer (timing) capacitor tunes the secondary so that the vibrator’s contacts open with little volts across "
    "them. Within ±10\u00a0% of what it replaces the timing counts as kept, beyond ±20\u00a0% as shifted, and it needs "
    "a rating of at least 1.6\u00a0kV (all three ",
    COMMON_PRACTICE,
    ").",
)


def method(findings: PartsFindings, bench: Bench) -> tuple[Phrase, ...]:
    """The working, one entry for each sort of number on the page."""
    return tuple(_entries(findings, bench.words))


def _entries(findings: PartsFindings, words: Words) -> Iterator[Phrase]:
    yield from (_DRIFT, _CHANGE, _LEAKAGE, _LIMITS, _HEAT)
    if findings.effects():
        yield (
            "Corner frequency 1/(2πRC) and time constant RC with the resistor named. For a coupling R is the grid leak "
            "alone: what drives it adds its own resistance and takes the corner a little lower. For a cathode R is its "
            f"resistor alone: the {words.tube} itself is in parallel, and takes the corner higher. Loss is "
            "10·log₁₀(1 + (corner/f)²).",
        )
    yield _highest_volts(findings.supply, words)
    if any(row.buffer for row in findings.rows()):
        yield _BUFFER
    yield (
        *("Preferred values are those of ", PREFERRED, ". Classes X and Y are those of ", CLASSES),
        *(f"; between the {words.line} and a hand belongs Y1, or two Y2 in series: ", BRIDGING, "."),
    )


def _highest_volts(supply: SupplyPeak, words: Words) -> Phrase:
    if supply.volts is None:
        lacks = {
            "line": f"the record gives no {words.line} voltage",
            "rectifier AC": f"it would need an AC reading at the rectifier’s {words.plate}, "
            "or the winding that feeds it",
            "power": "the record does not say how the set is supplied",
            "supply": "this kind of supply is not computed",
        }
        return (f"The highest voltage is not known: {lacks[supply.lacks]}.",)
    high, read = Amount(supply.high_line_volts, "V").text, Amount(supply.read_volts, "V").text
    at = Amount(supply.read_line_volts, "V").text
    bare = f", {Amount(supply.no_load_volts, 'V').text} without load" if supply.no_load_volts else ""
    twice = "2 × " if supply.doubled else ""
    through = "doubler" if supply.doubled else "half-wave rectifier"
    how = {
        "half-wave": f"{twice}√2 × {high} {words.line} through a {through} =",
        "DC line": f"the {words.line} itself at its highest,",
        "winding": f"{twice}√2 × {read} of the winding that feeds the rectifier{bare}, raised to {high} "
        f"{words.line}, =",
        "read": f"{twice}√2 × {read} AC read at the rectifier ({supply.read_in}){bare}, raised from {at} to {high} "
        f"{words.line}, =",
    }
    assumed = f". High {words.line} is assumed 10\u00a0% over nominal" if supply.high_line_assumed else ""
    single = "" if supply.doubled else " A voltage doubler would make twice this."
    return (
        f"Highest voltage: {how[supply.how]} {Amount(supply.volts, 'V').text}, with the rectifier conducting and "
        f"nothing that draws current{assumed}.{single} In a series string a {words.tube} that is out darkens "
        "all, so that this stands there at a quick restart only, or where the rectifier is warm before the output "
        f"{words.tube}: one to watch, unless a written surge rating covers it. It is a fault behind a transformer, a "
        "dry rectifier or a doubler unless a surge rating does, with a dead output stage, and where the rating is "
        "below what stands there while the set plays: as read, or on a rail peak/π at low "
        f"{words.line}, the mean of the rectified half-wave. Behind a divider of resistors it is the share that they "
        f"leave while the {words.tubes} are cold, at the worst of their tolerances.",
    )
