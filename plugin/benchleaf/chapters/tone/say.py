"""What the tone control and the feedback come to, in sentences and tables."""

from __future__ import annotations

from ...record.units import say
from ...report.amount import Amount, Origin
from ...report.plain_page import PlainPage
from ...report.sentence import Phrase, Sentence
from ...report.table import Table, of_values
from ...report.verdict import Verdict
from ...words import Words
from ..bench import Bench
from .examine import FeedbackLoop, ToneCut, ToneFindings

ANCHOR = "tone"


def _working(findings: ToneFindings, words: Words) -> tuple[Phrase, ...]:
    cut = f"A capacitor across the {words.plate} takes 3 dB at 1 over 2π times it and the resistance around it."
    controlled = any(one.control for one in findings.cuts)
    of_cuts = (cut, "With the control all in, no more is lost than its share of both resistances.")[: 1 + controlled]
    of_loops = () if not findings.loops else (_OF_LOOPS,)
    return tuple((said,) for said in (*(of_cuts if findings.cuts else ()), *of_loops))


_OF_LOOPS = (
    "Feedback: the share returned is the cathode’s resistor over it and the feedback resistor; times the gain "
    "from that grid to the speaker it is the loop’s gain, and one more than that divides gain and distortion "
    "(Black, 1934)."
)


def standouts(findings: ToneFindings, bench: Bench) -> list[Sentence]:
    """Nothing: what it comes to is neither good nor bad."""
    return []


def said(findings: ToneFindings, bench: Bench) -> PlainPage:
    """The chapter's page."""
    cuts = (table for cut in findings.cuts for table in _of_cut(cut, bench.words))
    loops = (table for loop in findings.loops for table in _of_loop(loop))
    return PlainPage(_conclusion(findings, bench.words), (*cuts, *loops), "", _working(findings, bench.words))


def _conclusion(findings: ToneFindings, words: Words) -> Sentence:
    told = [_cut_said(cut, words) for cut in findings.cuts] + [_loop_said(loop) for loop in findings.loops]
    return Sentence(Verdict.PLAIN, " ".join(told), ANCHOR)


def _cut_said(cut: ToneCut, words: Words) -> str:
    """Where it begins; of a capacitor without a control all that there is to tell, so that it needs no table."""
    begins = f"cuts the treble of {cut.tube} from {say(cut.cut_hertz, 'Hz', digits=2)} at most"
    if cut.control:
        return f"{cut.capacitor} with {cut.control} {begins}."
    source = f"the {words.plate} as a source of {say(cut.source_ohms, 'ohm', digits=2)}, {_how(cut)}"
    return f"{cut.capacitor}, {say(cut.farads, 'F')}, {begins}: {source}."


def _how(cut: ToneCut) -> str:
    return "worked out" if cut.source_how == "worked out" else "its load alone"


def _loop_said(loop: FeedbackLoop) -> str:
    if loop.loop is None:
        return f"{loop.resistor} feeds the speaker’s winding back to {loop.cathode}; how much is not known."
    return f"{loop.resistor} feeds {say(loop.loop.decibels, 'dB', digits=2)} back to {loop.cathode}."


def _of_cut(cut: ToneCut, words: Words) -> tuple[Table, ...]:
    if not cut.control:
        return ()
    values = (
        (
            f"{words.plate.capitalize()} as a source ({_how(cut)})",
            Amount(cut.source_ohms, "ohm", Origin.COMPUTED, digits=2),
        ),
        ("Capacitor", Amount(cut.farads, "F")),
        ("Control, all of it", Amount(cut.control_ohms or None, "ohm")),
        ("Treble falls from, control at nothing", Amount(cut.cut_hertz, "Hz", Origin.COMPUTED, digits=2)),
        ("Treble falls from, control all in", Amount(cut.open_hertz, "Hz", Origin.COMPUTED, digits=2)),
        ("Most that is lost then", Amount(cut.open_decibels, "dB", Origin.COMPUTED, digits=2)),
    )
    return of_values(f"Tone control {cut.capacitor}", f"Tone control at the {words.plate} of {cut.tube}", values)


def _of_loop(loop: FeedbackLoop) -> tuple[Table, ...]:
    found = loop.loop
    values = (
        ("Feedback resistor", Amount(loop.resistor_ohms, "ohm")),
        ("Resistor at the cathode", Amount(loop.cathode_ohms, "ohm")),
        ("Gain to the speaker without feedback", Amount(loop.forward_gain_times, "1", Origin.COMPUTED, digits=2)),
        ("Share returned", Amount(found.returned_share if found else None, "1", Origin.COMPUTED, digits=2)),
        ("Feedback", Amount(found.decibels if found else None, "dB", Origin.COMPUTED, digits=2)),
    )
    return of_values(f"Feedback {loop.resistor}", f"Feedback to {loop.cathode}", values)
