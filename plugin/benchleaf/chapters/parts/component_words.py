"""A component in words: what it is in the trade's own units, how it was written, what was measured of it."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from ...record.units import plain
from ...report.amount import DEFAULT_FIGURES, Amount, Origin, bound_words
from ...report.sentence import Phrase, PhrasePart, Styled
from ...words.decimal_sign import with_decimal_sign
from . import verdicts

if TYPE_CHECKING:
    from ...circuit.pieces import Seen

_OTHER_WAY = {"at least": "at most", "at most": "at least"}
_NUMBER = re.compile(r"\d[\d.,]*")


def component(seen: Seen | None) -> Phrase:
    """``10 nF 630 V film ±5 %``: value, ratings and type as marked; nothing where no component is written."""
    if seen is None:
        return ()
    words: list[PhrasePart] = []
    for said in (
        _value(seen),
        Amount(seen.amps, "A") if seen.amps is not None else "",
        with_decimal_sign(f"{seen.volts:g}\u202fV") if seen.volts is not None else "",
        "AC" if seen.volts_mark == "ac" else "",
        seen.safety_class,
        seen.type,
        verdicts.band_words(seen.tolerance) if seen.tolerance else "",
        Amount(seen.watts, "W") if seen.watts is not None else "",
        f"ESL {Amount(seen.esl_henries, 'H').text}" if seen.esl_henries is not None else "",
        f"leads {Amount(seen.leads_metres, 'm').text}" if seen.leads_metres is not None else "",
        seen.condition,
    ):
        words += [" ", said] if said and words else [said] if said else []
    return tuple(words) or (seen.typed or "not described",)


def _value(seen: Seen) -> PhrasePart:
    if seen.value is not None:
        return Amount(seen.value, seen.unit, written=seen.value_typed, digits=figures(seen.value_typed))
    if seen.value_range is not None:
        low, high = (Amount(end, seen.unit).text for end in seen.value_range)
        return f"{low} to {high}"
    return "" if seen.condition else seen.value_typed


def of_the_series(note: str, preferred: str | None) -> str:
    """Of which preferred series a value is; what is made of several has none of its own."""
    made = "in series" in note or "in parallel" in note
    return f"{preferred} value" if preferred else "made of several" if made else "no value of E6 to E192"


def own_spelling(seen: Seen | None) -> str:
    """The value as the record has it, where the trade prints it in other figures (``0.05 uF`` as 50 nF); else empty."""
    if seen is None or seen.value is None:
        return ""
    said = plain(seen.value, seen.unit, digits=figures(seen.value_typed)).partition(" ")[0]
    number, *more = [*_NUMBER.findall(seen.value_typed), ""]
    return "" if number in (said, said.replace(",", ".")) and len(more) < 2 else seen.value_typed


def measured(seen: Seen | None) -> Phrase:
    """What the meter showed; nothing where it was not measured."""
    if seen is None or not seen.measured_typed:
        return ()
    if seen.measured is None:
        return (Styled((seen.measured_typed,), Origin.MEASURED),)
    typed, bound = seen.measured_typed, bound_words(seen.measured_bound)
    return (Amount(seen.measured, seen.unit, Origin.MEASURED, typed, bound, figures(typed)),)


def leakage(seen: Seen | None) -> Phrase:
    """The leakage as it was measured: ``27 µA at 200 V``."""
    if seen is None or not seen.leakage_typed:
        return ()
    if seen.leakage_amps is None or not seen.leakage_bound:
        return (Styled((seen.leakage_typed,), Origin.MEASURED),)
    bound = _OTHER_WAY.get(seen.leakage_bound, "")
    amps = Amount(seen.leakage_amps, "A", Origin.MEASURED, bound=bound, digits=figures(seen.leakage_typed))
    return amps, " at ", Amount(seen.leakage_volts, "V", Origin.MEASURED)


def leakage_resistance(seen: Seen, anchor: str = "") -> Amount:
    """What its leakage comes to in ohms; ``anchor`` is the id of its working."""
    bound = bound_words(seen.leakage_bound)
    return Amount(seen.leakage_ohms, "ohm", Origin.COMPUTED, bound=bound, anchor=anchor)


def series_resistance(seen: Seen | None, origin: Origin) -> Phrase:
    """``ESR 9 Ω``; nothing where it is not written."""
    return () if seen is None or seen.esr_ohms is None else ("ESR ", Amount(seen.esr_ohms, "ohm", origin))


def figures(typed: str) -> int:
    """How many figures a number was written with, three at least, so that none of them is rounded away."""
    number = _NUMBER.search(typed)
    digits = re.sub(r"\D", "", number[0]).lstrip("0") if number else ""
    return max(DEFAULT_FIGURES, len(digits))
