"""What a part comes to: every judgement in its words, with its verdict. Nowhere else is a verdict on a part decided."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...electrics.capacitor_limits import ESR_SOURCE
from ...electrics.safety_capacitors import BRIDGING_SOURCE, CLASSES_SOURCE, is_of_class_y
from ...report.amount import Amount, Origin
from ...report.sentence import Judged, Phrase, Styled
from ...report.source import COMMON_PRACTICE, Source, Standing
from ...report.verdict import Verdict
from .buffer import NEEDED_VOLTS
from .volts_across import rating

if TYPE_CHECKING:
    from ...circuit.pieces import Tolerance
    from ...words import Words
    from .findings import PartFindings, ReadMarking
    from .held import Heat, Held
    from .on_grid import OnGrid

CLASSES = Source(Standing.CHECKED, CLASSES_SOURCE)
BRIDGING = Source(Standing.CHECKED, BRIDGING_SOURCE)
ESR_LIMIT = Source(Standing.READ, ESR_SOURCE)

_STATES = {
    "kept": Verdict.GOOD,
    "reformed": Verdict.GOOD,
    "replaced": Verdict.GOOD,
    "restuffed": Verdict.GOOD,
    "added": Verdict.GOOD,
    "removed": Verdict.PLAIN,
    "looked at": Verdict.UNKNOWN,
    "to do": Verdict.OPEN,
    "reform": Verdict.OPEN,
    "on order": Verdict.OPEN,
    "tested": Verdict.OPEN,
}
_LEANINGS = {
    "reform": (Verdict.GOOD, "it formed: keeping it is reasonable"),
    "replace": (Verdict.WATCH, "replacing it is the better way"),
    "go on": (Verdict.WATCH, "go on reforming"),
    "either": (Verdict.UNKNOWN, "cannot be told yet"),
}
_TIMINGS = {
    "close": (Verdict.GOOD, "timing kept"),
    "near": (Verdict.WATCH, "timing a little off"),
    "off": (Verdict.WATCH, "timing shifted"),
}
FIRST_TO_REPLACE = "the first part to replace in a vibrator supply"


def of_the_set(verdict: Verdict, *, inside: bool) -> Verdict:
    """A verdict on a part as one on the set: what is wrong with a part that is not in it is worth knowing, no more."""
    return verdict if inside or not verdict.is_off else Verdict.PUT_RIGHT


def state(word: str) -> Judged:
    """How far the work on a part is."""
    return Judged(_STATES[word], (word,))


def leaning(leans: str) -> Judged:
    """Whether an electrolytic is better reformed or replaced."""
    verdict, words = _LEANINGS[leans]
    return Judged(verdict, (words,))


def new_one_wanted(row: PartFindings) -> bool:
    """Whether a new part is still to be got: for one to do, and for an electrolytic that is better replaced."""
    better_replaced = row.reformed is not None and row.reformed.leans == "replace"
    return row.state == "to do" or (row.state == "reform" and better_replaced)


def still_to_handle(state: str, *, checked: bool) -> bool:
    """Whether a part has to be dealt with at the bench: to do, to reform, or looked at and not yet checked."""
    return state in ("to do", "reform") or (state == "looked at" and not checked)


def unknown(words: str) -> Judged:
    """What the record does not tell."""
    return Judged(Verdict.UNKNOWN, (words,))


def band_words(band: Tolerance) -> str:
    """``±20 %``, or ``−20 % to +50 %``."""
    high = Amount(band.high, "1").text
    return f"±{high}" if band.low == -band.high else f"{Amount(band.low, '1').text} to +{high}"


def off(ratio: float | None) -> Amount:
    """A drift or a change of value with its sign; two figures."""
    return Amount(ratio, "1", Origin.COMPUTED, digits=2, signed=True)


def as_found(row: PartFindings) -> Judged | Styled:
    """The old part's measured value against its tolerance, or against the one that is assumed."""
    assumed = row.assumed_tolerance
    if row.was_in_tolerance is None and row.was_in_assumed is not None and assumed is not None:
        verdict, word = (Verdict.PLAIN, "within") if row.was_in_assumed else (Verdict.WATCH, "out of")
        return Styled((Judged(verdict, (f"{word} assumed {band_words(assumed)}",)),), Origin.ASSUMED)
    return against_tolerance(row)


def against_tolerance(row: PartFindings) -> Judged:
    """The old part's measured value against its written tolerance alone."""
    return _against(row.was_in_tolerance, row.was_tolerance, told=row.assumed_tolerance is not None)


def as_new(row: PartFindings) -> Judged:
    """The new part's measured value against its own tolerance."""
    return _against(row.now_in_tolerance, row.now_tolerance, told=False)


def _against(within: bool | None, band: Tolerance | None, *, told: bool) -> Judged:
    if within is not None and band is not None:
        verdict, word = (Verdict.GOOD, "within") if within else (Verdict.FAULT, "out of")
        return Judged(verdict, (f"{word} {band_words(band)}",))
    return unknown("no tolerance written" if band is None and not told else "cannot be told")


def buffer_fault(row: PartFindings) -> Judged | None:
    """A vibrator's buffer that is shorted or leaks."""
    if row.buffer is None or not row.buffer.fault:
        return None
    verdict = Verdict.DANGER if row.buffer.fault == "shorted" else Verdict.WATCH
    return Judged(verdict, (f"{row.buffer.fault}: {FIRST_TO_REPLACE}",))


def buffer_rating(row: PartFindings) -> Judged | None:
    """A vibrator's buffer against the least rating it should have."""
    if row.buffer is None:
        return None
    needed = (" at least ", Amount(NEEDED_VOLTS, "V", source=COMMON_PRACTICE), " needed")
    if row.buffer.rating_enough is None:
        return Judged(Verdict.UNKNOWN, ("buffer’s DC rating not written",), (needed[0].lstrip(), *needed[1:]))
    verdict = Verdict.GOOD if row.buffer.rating_enough else Verdict.WATCH
    return Judged(verdict, ("buffer rated ", Amount(row.buffer.rated_volts, "V"), ",", *needed))


def buffer_timing(row: PartFindings) -> Judged | None:
    """A vibrator's new buffer against the value it replaces."""
    if row.buffer is None or not row.buffer.timing:
        return None
    verdict, words = _TIMINGS[row.buffer.timing]
    return Judged(verdict, (words,), (off(row.buffer.change), " against what it replaces"))


def found_leakage(row: PartFindings) -> Judged | None:
    """The old capacitor's leakage against its limit."""
    if row.was_held is None or row.was_held.leakage_enough is None:
        return None
    if row.was_held.leakage_enough:
        return Judged(Verdict.GOOD, ("leakage within the limit",))
    if row.old_is_fitted:
        return Judged(_leaks(row.was_held), ("leaks too much",))
    return Judged(Verdict.PUT_RIGHT, ("leaks too much as found",))


def found_esr(row: PartFindings) -> Judged | None:
    """The old electrolytic's series resistance where it is over its limit."""
    if row.was_held is None or row.was_held.esr_enough is not False:
        return None
    verdict = Verdict.FAULT if row.old_is_fitted else Verdict.PUT_RIGHT
    return Judged(verdict, ("ESR too high",), ("as found, ", *_esr_limit(row.was_held)))


def new_leakage(row: PartFindings) -> Judged | None:
    """The new capacitor's leakage against its limit."""
    enough = row.now_held.leakage_enough if row.now_held else None
    if enough is None:
        return None
    if enough:
        return Judged(Verdict.GOOD, ("leakage within the limit",))
    return Judged(_leaks(row.now_held), ("the new one leaks too much",))


def _leaks(held: Held | None) -> Verdict:
    """An electrolytic's limit is published; that of others is common practice, and over it they are to be watched."""
    return Verdict.FAULT if held is not None and held.leakage_limit_amps is not None else Verdict.WATCH


def new_esr(row: PartFindings) -> Judged | None:
    """The new electrolytic's series resistance against its limit."""
    if row.now_held is None or row.now_held.esr_enough is None:
        return None
    if row.now_held.esr_enough:
        return Judged(Verdict.GOOD, ("ESR within the limit",))
    return Judged(Verdict.FAULT, ("ESR of the new one too high",), _esr_limit(row.now_held))


def _esr_limit(held: Held) -> tuple[str, Amount]:
    return "limit ", Amount(held.esr_limit_ohms, "ohm", Origin.COMPUTED, digits=2, source=ESR_LIMIT)


def heat(found: Heat) -> Verdict | None:
    """A resistor's rating against its heat: under it is a fault, under twice of it is one to watch; None if unknown."""
    if found.enough is None or found.rated_watts is None:
        return None
    if found.enough:
        return Verdict.GOOD
    return Verdict.FAULT if found.watts > found.rated_watts else Verdict.WATCH


def heat_and_rating(row: PartFindings) -> Judged | None:
    """A resistor's heat beside its rating."""
    verdict = heat(row.heat) if row.heat else None
    if row.heat is None or verdict is None:
        return None
    made, rated = Amount(row.heat.watts, "W", Origin.COMPUTED, digits=2), Amount(row.heat.rated_watts, "W")
    return Judged(verdict, ("makes ", made, ", rated ", rated))


def heat_rated(found: Heat) -> Judged:
    """A resistor's rating by itself, judged by the heat it makes."""
    verdict = heat(found)
    return unknown("not written") if verdict is None else Judged(verdict, (Amount(found.rated_watts, "W"),))


def lower_volts(row: PartFindings) -> Judged | None:
    """A new part rated for fewer volts than the one before."""
    return Judged(Verdict.WATCH, ("lower voltage rating than before",)) if row.volts_rating_lower else None


def lower_watts(row: PartFindings) -> Judged | None:
    """A new part rated for fewer watts than the one before."""
    return Judged(Verdict.WATCH, ("lower power rating than before",)) if row.watts_rating_lower else None


def safety_class(row: PartFindings) -> Judged | None:
    """A capacitor's class against what its place needs; wrong in a part that stays, somebody can be hurt.

    Class Y that is not enough alone is one to watch: what bridges to a hand was read second hand only.
    """
    if not row.class_needed:
        return None
    if row.class_enough is False and row.class_needed == "Y1" and is_of_class_y(row.safety_class):
        beside = ("alone, in a place for class Y1, or two Y2 in series (", BRIDGING, ")")
        return Judged(Verdict.WATCH, (f"class {row.safety_class}",), beside)
    stays = row.new_is_fitted or row.state in ("kept", "reformed")
    wrong = Verdict.DANGER if stays else of_the_set(Verdict.FAULT, inside=row.state != "removed")
    has = f"class {row.safety_class}" if row.safety_class else "no class written"
    return Judged(Verdict.GOOD if row.class_enough else wrong, (has,), (f"in a place for class {row.class_needed}",))


_POLARITIES = {
    "reversed": (Verdict.FAULT, "positive end the wrong way round"),
    "missing": (Verdict.UNKNOWN, "polarity not written"),
    "misplaced": (Verdict.WATCH, "positive end on a part without polarity"),
}


def polarity(row: PartFindings) -> Judged | None:
    """A positive end that is wrong or not told."""
    if row.polarity not in _POLARITIES:
        return None
    verdict, words = _POLARITIES[row.polarity]
    return Judged(verdict, (words,))


def on_the_grid(grid: OnGrid) -> Judged:
    """What a leak does to the next grid's bias: a fault where it takes all of it away, as read or published."""
    if grid.shifts_bias is None:
        return unknown("cannot be told" if grid.volts is not None else "cannot be known")
    if grid.takes_bias_away:
        return Judged(Verdict.FAULT, ("takes away the bias of ", Amount(grid.bias_volts, "V")))
    return Judged(Verdict.WATCH, ("shifts the bias",)) if grid.shifts_bias else Judged(Verdict.GOOD, ("little",))


def read_on_the_grid(grid: OnGrid) -> Phrase:
    """What was read on a grid in the same list, where that is other than what the leak would put there.

    Both count from where the grid's leak returns to, which is said where that is no B-.
    """
    read: Phrase = (", read ", Amount(grid.read_volts, "V", Origin.MEASURED, signed=True))
    said = read if grid.read_otherwise else ()
    if not grid.return_volts:
        return said
    return (*said, " from where its leak returns, at ", Amount(grid.return_volts, "V", Origin.MEASURED, signed=True))


def marking(read: ReadMarking) -> Judged | None:
    """A marking that is no known code, or that does not agree with the value written."""
    if read.agrees is False:
        return Judged(Verdict.WATCH, ("not the value written",))
    return None if read.readings else unknown("no code that is known here")


def old_part(row: PartFindings) -> tuple[Judged, ...]:
    """Every judgement passed on the old part as it was measured, for those who count such parts."""
    value = as_found(row)
    passed = (value.words[0] if isinstance(value, Styled) else value, found_leakage(row), found_esr(row))
    return tuple(j for j in passed if isinstance(j, Judged) and j.verdict is not Verdict.UNKNOWN)


def worst(row: PartFindings, words: Words) -> Verdict | None:
    """The worst that is said of a part as it concerns the set; None where nothing is."""
    said = [part.verdict for line in ratings(row, words) for part in line if isinstance(part, Judged)]
    if row.was_in_tolerance is not None:
        said.append(of_the_set(against_tolerance(row).verdict, inside=row.old_is_fitted))
    if row.now_in_tolerance is not None:
        said.append(as_new(row).verdict)
    return max(said, key=lambda verdict: verdict.rank, default=None)


def ratings(row: PartFindings, words: Words) -> tuple[Phrase, ...]:
    """What is said of a part's ratings and marks: one line each, in the order of the work."""
    judged = (
        buffer_fault(row),
        buffer_rating(row),
        buffer_timing(row),
        rating(row, words),
        _unless_good(found_leakage(row)),
        found_esr(row),
        new_leakage(row),
        new_esr(row),
        heat_and_rating(row),
        lower_volts(row),
        lower_watts(row),
        safety_class(row),
        _class_alone(row),
        polarity(row),
        *_ends(row),
    )
    return tuple((line,) for line in judged if line)


def _unless_good(judged: Judged | None) -> Judged | None:
    """That an old part was in order within its limits goes without saying."""
    return None if judged is None or judged.verdict is Verdict.GOOD else judged


def _class_alone(row: PartFindings) -> str:
    return f"class {row.safety_class}" if row.safety_class and not row.class_needed else ""


def _ends(row: PartFindings) -> tuple[str, str]:
    positive = {"written": f"positive at {row.positive_at}", "implied": "positive end by its place"}
    foil = {"written": f"outside foil at {row.foil_at}", "missing": "outside foil not written"}
    return positive.get(row.polarity or "", ""), foil.get(row.outside_foil or "", "")
