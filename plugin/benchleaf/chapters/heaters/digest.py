"""The chapter in short: what the heaters run at and whether that is within their band, with the string as a bar."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...report.amount import Amount, Origin
from ...report.digest import Brief, Digest, Shown, remaining
from ...report.sentence import Judged, Phrase, PhrasePart, listed
from ...report.verdict import Verdict
from ...words import Words
from .bands import BAND, BAND_SOURCE, FILAMENT_SOURCE
from .say import STRING, WINDINGS, as_measured, fed_by, standouts
from .string_bar import BAR, NAMED_UPRIGHT, shares

if TYPE_CHECKING:
    from ..bench import Bench
    from .findings import HeatersFindings
    from .windings import HeaterWinding

_MOST_WINDINGS = 3


def digest(findings: HeatersFindings, bench: Bench) -> Digest:
    """One conclusion with its numbers; the bar where there is a string."""
    words = [*_fed(findings, bench), *_measured(findings, bench)]
    return Digest(
        listed(words, " "),
        figures=(Shown(BAR, _caption(findings, bench.words)),) if shares(findings, bench.words) else (),
        working=_working(findings, bench),
        brief=Brief(remains=remaining(tuple(standouts(findings, bench)))),
    )


def _working(findings: HeatersFindings, bench: Bench) -> str:
    """What its own page holds beside this."""
    swing = f"{bench.circuit.mains.fed_by(bench.words)} swing"
    held = (
        ("each heater", findings.string is not None and findings.nominal is not None),
        ("each winding", bool(findings.windings)),
        (swing, findings.string is not None and len(findings.running) > 1),
        ("lamp", len(findings.lamp_cases) > 1),
        ("warm-up", findings.switch_on is not None),
        (f"each {bench.words.tube}", findings.string is None),
    )
    said = ", ".join(name for name, there in held if there)
    return said[:1].upper() + said[1:]


def _fed(findings: HeatersFindings, bench: Bench) -> Iterator[Phrase]:
    if findings.arrangement == "unknown":
        yield ("How the heaters of this set are fed is not written.",)
        return
    if findings.arrangement != "parallel":
        yield _string(findings, bench)
    if findings.arrangement != "series":
        yield _wound(findings)
    if findings.second is not None and findings.second.rated_sum_volts is not None:
        second = findings.second
        volts, amps = _volts(second.rated_sum_volts), _amps(second.rated_current_amps)
        yield ("A second string asks for ", volts, " at ", amps, ".")


def _volts(volts: float | None, anchor: str = STRING) -> Amount:
    return Amount(volts, "V", Origin.COMPUTED, anchor=anchor)


def _amps(amps: float | None, anchor: str = STRING) -> Amount:
    return Amount(amps, "A", Origin.COMPUTED, anchor=anchor)


def _share(share: float, anchor: str = STRING) -> Amount:
    return Amount(share, "1", Origin.COMPUTED, digits=2, anchor=anchor)


def _string(findings: HeatersFindings, bench: Bench) -> Phrase:
    if findings.rated_sum_volts is None:
        return ("The heaters form a string that cannot be computed yet. ", *_missing(findings), ".")
    asked = Amount(findings.rated_sum_volts, "V", Origin.COMPUTED, digits=4, anchor=STRING)
    said: Phrase = ("The heaters ask for ", asked, " at ", _amps(findings.rated_current_amps))
    if not findings.shares or findings.feed.volts is None:
        return (*said, "; how they run cannot be computed. ", *_missing(findings), ".")
    feed = Amount(findings.feed.volts, "V").text
    low, high = (_share(share) for share in (findings.shares[0], findings.shares[-1]))
    span: Phrase = (low,) if low.text == high.text else (low, " to ", high)
    how = {"readings": " as read", "cathode currents": " by what their cathodes may draw"}.get(findings.rests_on, "")
    on = (f"; on the {feed} {fed_by(findings, bench.words)} they run at ", *span, f" of their rated volts{how}, ")
    return (*said, *on, *_within(findings), as_measured(findings.outside, findings, bench.words), ".")


def _missing(findings: HeatersFindings) -> Phrase:
    return (findings.missing[0].rstrip("."),) if findings.missing else ("Something is missing",)


def _within(findings: HeatersFindings) -> Phrase:
    """Whether all are within their band, and what that band rests on."""
    bands = {(judged.low, judged.high) for judged in findings.judged.values()}
    sources: tuple[PhrasePart, ...] = (BAND_SOURCE,) if BAND in bands else ()
    sources += (FILAMENT_SOURCE,) if bands - {BAND} else ()
    if not findings.outside:
        unknown = [tube for tube, judged in findings.judged.items() if judged.verdict == "not known"]
        all_of = Judged(Verdict.GOOD, ("all within their band",))
        return (all_of if not unknown else f"within their band as far as is known: not {', '.join(unknown)}", *sources)
    watched = {findings.judged[tube].graded for tube in findings.outside} == {"watch"}
    verdict = Verdict.WATCH if watched else Verdict.FAULT
    return (Judged(verdict, (f"outside their band: {', '.join(findings.outside)}",)), *sources)


def _wound(findings: HeatersFindings) -> Phrase:
    """The load of each winding against its rating, and what it was read at."""
    rated = [winding for winding in findings.windings if winding.load_amps is not None]
    if not rated and findings.wanted:
        asked = [(_amps(each.amps, WINDINGS), " at ", _volts(each.volts, WINDINGS)) for each in findings.wanted]
        return ("The heaters are in parallel and ask for ", *listed(asked), "; what feeds them is not written.")
    if not rated:
        return ("The heaters are in parallel; their load cannot be known from what is written.",)
    more = len(rated) - _MOST_WINDINGS
    rest: Phrase = (f", and {more} more",) if more > 0 else ()
    return ("The heaters are in parallel: ", *listed(map(_winding, rated[:_MOST_WINDINGS]), "; "), *rest, ".")


def _winding(winding: HeaterWinding) -> Phrase:
    load = _amps(winding.load_amps, WINDINGS)
    if winding.rated_amps is None:
        said: Phrase = (f"{winding.name} gives ", load, " at ", Amount(winding.volts, "V", Origin.PUBLISHED))
    else:
        rating = Amount(winding.rated_amps, "A", Origin.PUBLISHED)
        words: Phrase = (f"{winding.name} gives ", load, " of its ", rating)
        said = (Judged(Verdict.FAULT, words),) if winding.overloaded else words
    if winding.measured_volts is None:
        return said
    read = Amount(winding.measured_volts, "V", Origin.MEASURED)
    off = winding.measured_verdict in ("low", "high")
    return (*said, ", read ", Judged(Verdict.WATCH, (read, f", {winding.measured_verdict}")) if off else read)


def _measured(findings: HeatersFindings, bench: Bench) -> Iterator[Phrase]:
    """Whether the heaters as read come to what feeds them."""
    read = findings.measured
    if read is None or read.adds_up is None:
        return
    fed = Amount(read.fed_volts, "V").text
    comes_to = Amount(read.adds_to_volts, "V", Origin.MEASURED, digits=4)
    judged = Judged(Verdict.GOOD, ("adds up",)) if read.adds_up else Judged(Verdict.WATCH, ("does not add up",))
    yield (f"With the {fed_by(findings, bench.words)} at {fed} the string reads ", comes_to, ": ", judged, ".")


def _caption(findings: HeatersFindings, words: Words) -> Phrase:
    """What the bar shows, and what it cannot."""
    said: list[PhrasePart] = ["Volts and per cent of rating, to scale."]
    string, running = findings.string, findings.nominal
    if string and running and string.tapped and string.lamp and running.lamp_volts is not None:
        said += [
            f" {string.tapped.tube} is judged beyond the tap that feeds the {string.lamp.said} (",
            _volts(running.lamp_volts), ").",
        ]  # fmt: skip
    if string and string.dropper and string.dropper.kind in ("capacitor", "diode"):
        said += [f" What the {string.dropper.kind} takes does not add to these, and is not drawn."]
    narrow = [(f"{each.name} ", _volts(each.volts)) for each in shares(findings, words) if each.share < NAMED_UPRIGHT]
    said += [" Too narrow to be named: ", *listed(narrow), "."] if narrow else []
    return tuple(said)
