"""What is said beside the steps: one that undoes another, an aerial circuit set through what no aerial is like."""

from __future__ import annotations

from collections.abc import Iterator

from ...electrics import dummy_aerial
from ...report.amount import Amount
from ...report.sentence import Phrase
from ...report.source import COMMON_PRACTICE, Source, Standing
from ...words import Words
from .feeds import AerialFeed
from .findings import AdjustedStep, AlignmentFindings, AlignmentSession

ONE_PART = Source(
    Standing.READ, "Dummy Antenna, radioexperimenter.us: 200 pF up to 1700 kHz, a 400 ohm carbon resistor above"
)
NETWORK = Source(
    Standing.CHECKED,
    "IRE standard dummy antenna as described in rec.antiques.radio+phono, 5 September 2006: 200 pF, then 20 µH with "
    "400 pF and 400 ohm in series across it",
)
_ORDER = {
    "IF behind oscillator": "the IF was set behind the oscillator, which moves the dial; the oscillator was not set "
    "again.",
    "aerial before oscillator": "this circuit was set before the oscillator of its band, so that it stands at another "
    "frequency than the dial shows; it was not set again.",
}


def order_remarks(session: AlignmentSession) -> tuple[Phrase, ...]:
    """Steps that stand in odd order."""
    return tuple((f"{_at(session.steps[n])}: {_ORDER[why]}",) for n, why in session.out_of_order)


def feed_remarks(session: AlignmentSession, findings: AlignmentFindings, words: Words) -> tuple[Phrase, ...]:
    """Aerial circuits that were set through something else than stands for an aerial there."""
    told = ((step, _feed(step.feed, findings, words)) for step in session.steps if step.feed)
    return tuple((f"{_at(step)}: ", *said) for step, said in told if said)


def _feed(feed: AerialFeed, findings: AlignmentFindings, words: Words) -> Phrase:
    if findings.has_loop_only:
        through = Amount(feed.farads, "F") if feed.farads else Amount(feed.ohms, "ohm") if feed.ohms else None
        if feed.kind == "":
            return ()
        what = (through,) if through else ("a standard one",)
        return ("set through ", *what, f", and this set’s loop takes no dummy {words.aerial}: a few turns near the "
                "loop, fed by the generator, do (", COMMON_PRACTICE, ").")  # fmt: skip
    if feed.fits is not False or findings.has_loop:
        return ()
    through = Amount(feed.farads, "F") if feed.farads else Amount(feed.ohms, "ohm")
    usual = (
        Amount(dummy_aerial.USUAL_FARADS, "F") if feed.usual == "capacitor" else Amount(dummy_aerial.USUAL_OHMS, "ohm")
    )
    return ("set through ", through, "; what stands for an ", words.aerial, " there is ", usual, " (", ONE_PART, ").")


def working_lines(findings: AlignmentFindings, words: Words) -> Iterator[Phrase]:
    """How the curves were worked out, and what stands for an aerial."""
    sessions = findings.sessions
    if any(one.response or one.response_before for one in sessions):
        yield ("The response is counted from its highest point; between two points it is taken for a straight line of "
               "decibels. Q is the middle over the width at −3 dB, as of one circuit; the sides are held against each "
               "other at −6 dB, from the IF.",)  # fmt: skip
    if any(one.s_curve for one in sessions):
        yield ("The detector’s width is from one peak to the other, of the points as read; its zero lies on a straight "
               "line between the two points around it.",)  # fmt: skip
    aerial_steps = any(step.feed and step.feed.kind for one in sessions for step in one.steps)
    if aerial_steps and not findings.has_loop_only:
        yield (f"What stands for an {words.aerial}: one part (", ONE_PART, "), or for all waves a network (", NETWORK,
               "); a set with a loop of its own takes none. A large capacitor into a grid, for the IF, only keeps "
               "direct voltage off the generator.")  # fmt: skip


def _at(step: AdjustedStep) -> str:
    return step.frequency.text if step.frequency else step.wavelength or step.adjust
