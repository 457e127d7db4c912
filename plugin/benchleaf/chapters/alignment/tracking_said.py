"""Dial and tracking in words and tables: where to align, the padder and coils, the error, the image."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ...circuit.frequencies import AERIAL_Q
from ...record.decibels import say_decibels
from ...report.amount import Amount, Origin, signed_percent
from ...report.anchors import part_anchor
from ...report.sentence import Link, Phrase, PhrasePart, Sentence, aside, listed
from ...report.source import COMMON_PRACTICE
from ...report.table import NUMBER, Cell, Column, Row, RowGroup, Table, cell
from ...report.verdict import Verdict
from ...words import Words
from .band_tracking import PADDER_TOLERANCE, SMALLER
from .findings import AlignmentFindings, BandTracking

_WHY_NOT = {
    "slug": "Cores in coils tune the set: there is no gang and its tracking is not worked out.",
    "cut": "The oscillator’s section of the gang is cut: there is no padder, and its tracking is not worked out.",
    "no IF": "Its intermediate frequency is not written.",
    "FM": "The gang’s sections for FM are others than for AM, and not written.",
    "odd": "It is too narrow, or too low, for its tracking to be worked out.",
    "cannot cover": "This gang cannot cover this band: its two ends are too near to each other, or the band is too "
    "wide.",
    "coil": "No coil of the oscillator keeps it in step at three points.",
    "padder": "No padder keeps the oscillator in step at three points.",
    "oscillator trimmer": "No trimmer of the oscillator keeps it in step at three points.",
}


@dataclass(frozen=True, slots=True)
class BandSaid:
    """One band with its tracking: a sentence, the table and the name of the curve where there are figures."""

    heading: str
    anchor: str
    sentence: Phrase
    table: Table | None = None
    figure: str = ""


@dataclass(frozen=True, slots=True)
class TrackingSaid:
    """All bands: the table of the dial, what a gang gives, and how it was worked out.

    ``image`` is the sentence on it, empty where the page begins with that.
    """

    image: Phrase
    dial: Table
    bands: tuple[BandSaid, ...]
    working: tuple[Phrase, ...]


def tracking_said(findings: AlignmentFindings, words: Words) -> TrackingSaid:
    """What the page says of the bands."""
    with_gang = [one for one in findings.tracking if one.why_not != "no gang"]
    bands = tuple(_band(one, f"alignment-tracking-{number}", words) for number, one in enumerate(with_gang, 1))
    told = listed(images(findings.tracking), " ") if findings.sessions else ()
    return TrackingSaid(told, _dial(findings.tracking), bands, _working(words.aerial))


def in_short(findings: AlignmentFindings) -> Phrase:
    """One sentence a band for the record, or one for all that have no figures alike; nothing without a gang."""
    if not findings.has_gang:
        return ()
    said: dict[Phrase, None] = {}
    for one in findings.tracking:
        if one.why_not in ("cut", "slug"):
            said[_why_not(one)] = None
        elif one.why_not not in ("FM", "no gang"):
            said[(f"{one.band}: ", *_short(one))] = None
    return ("Tracking, worked out. ", *listed(said, " ")) if said else ()


def gang_standouts(findings: AlignmentFindings) -> Iterator[Sentence]:
    """A gang that cannot cover a band, and a padder far from the one worked out."""
    for one in findings.tracking:
        if one.why_not == "cannot cover":
            yield Sentence(Verdict.NOTE, f"{one.band}: {_within(_WHY_NOT[one.why_not])}", "alignment")
        elif one.padder and one.padder_farads and abs(one.padder.off) > PADDER_TOLERANCE:
            listed_, wanted = Amount(one.padder.farads, "F"), Amount(one.padder_farads, "F", digits=3)
            yield Sentence(
                Verdict.NOTE,
                f"{one.padder.name}, the padder of {one.band}, has {listed_.text}; "
                f"gang, band and IF ask for about {wanted.text}.",
                "alignment",
            )


def _working(aerial: str) -> tuple[Phrase, ...]:
    """A line a formula. The circuit at the aerial has that in its name, in the dialect."""
    return (
        ("The oscillator is taken to run above the signal; its trimmer lies across its section of the gang, the padder "
         "in series with both. Strays of wiring and coils are part of the trimmers.",),
        (f"Circuit at the {aerial}, r = (highest ÷ lowest frequency)²: trimmer = (Cmax − r Cmin) ÷ (r − 1); coil = "
         "1 ÷ ((2π flow)² (Cmax + trimmer)). Thomson’s formula.",),
        ("Oscillator: with y = 1 ÷ (2π (f + IF))², y (C + trimmer + padder) = coil × padder × (C + trimmer) at three "
         "points of the dial, which is linear in three unknowns and solved exactly.",),
        ("The three points are those with the least greatest error over the band, found by Nelder and Mead’s simplex "
         "method from the middle and 0.866 of half the band to either side.",),
        (f"The error is the oscillator’s frequency less IF, less what the circuit at the {aerial} is tuned to.",),
        ("That circuit loses 10 log (1 + (error ÷ half width)²), half width = f ÷ 2Q. It holds the image back by 10 "
         "log (1 + (Q (fi ÷ f − f ÷ fi))²). ", f"Q = {AERIAL_Q:.0f} is taken (", COMMON_PRACTICE, ")."),
        ("The image lies at f + 2 IF; a station at 2 or 3 times IF may beat with that harmonic.",),
    )  # fmt: skip


def _hertz(value: float, digits: int = 4) -> Amount:
    return Amount(value, "Hz", Origin.COMPUTED, digits=digits)


def images(tracking: tuple[BandTracking, ...]) -> list[Phrase]:
    """Of each band where the image lies, whether in the band itself, and where a station may whistle."""
    said: list[Phrase] = []
    for one in tracking:
        if not one.image_hertz or not one.dial.intermediate_hertz:
            said.append((f"{one.band}: its intermediate frequency is not written.",))
            continue
        told: list[PhrasePart] = [f"{one.band}: the image of a station lies ", _hertz(2 * one.dial.intermediate_hertz)]
        told += [" above it, from ", _hertz(one.image_hertz[0]), " to ", _hertz(one.image_hertz[1])]
        if one.dial.images_in_band_hertz:
            last = one.dial.images_in_band_hertz[1]
            told += [", which is in the band itself up to ", _hertz(last), " on the dial"]
        if one.dial.whistles_hertz:
            at = listed([(_hertz(hertz),) for hertz in one.dial.whistles_hertz], ", ", " and ")
            told += ["; a station at ", *at, " may whistle"]
        said.append((*told, "."))
    return said


def _dial(tracking: tuple[BandTracking, ...]) -> Table:
    columns = (Column("Band"), Column("Usually aligned at"), Column("Oscillator"), Column("Image"), Column("Held back"))
    rows = tuple(Row(cell(one.band), (_usual(one), *_beyond(one))) for one in tracking)
    caption = (
        f"The dial’s bands; the image held back by one tuned circuit of Q {AERIAL_Q:.0f}, taken, at the band’s two ends"
    )
    return Table("Dial and image", caption, columns, (RowGroup(rows),))


def _usual(one: BandTracking) -> Cell:
    """Where the trade aligns; a set may have a sheet that says otherwise."""
    first, last = _usual_points(one)
    if one.dial.usual_by_rule:
        return cell("near ", first, " and ", last)
    return cell(first, " and ", last, " ", aside(COMMON_PRACTICE))


def _usual_points(one: BandTracking) -> tuple[Amount, Amount]:
    first, last = (Amount(hertz, "Hz", digits=3) for hertz in one.dial.usual_hertz)
    return first, last


def _beyond(one: BandTracking) -> tuple[Cell, Cell, Cell]:
    oscillator, image, rejections = one.dial.oscillator_hertz, one.image_hertz, one.dial.rejections_db
    held = cell(f"{say_decibels(rejections[0])} and {say_decibels(rejections[1])}") if rejections else cell("–")
    return _span(oscillator), _span(image), held


def _span(ends: tuple[float, float] | None) -> Cell:
    return cell(_hertz(ends[0]), " to ", _hertz(ends[1])) if ends else cell("–")


def _band(one: BandTracking, anchor: str, words: Words) -> BandSaid:
    heading = f"Tracking of {one.band}"
    if one.points_hertz is None:
        return BandSaid(heading, anchor, _why_not(one))
    return BandSaid(heading, anchor, _sentence(one, words), _table(one, words), one.figure)


def _why_not(one: BandTracking) -> Phrase:
    return (_WHY_NOT[one.why_not],)


def _sentence(one: BandTracking, words: Words) -> Phrase:
    """The greatest error beside what the aerial circuit lets pass, and what a wrong padder does."""
    if not one.worst or one.greatest_error_hertz is None or one.low_end_shift_hertz is None:
        return ()
    worst = one.worst
    return (
        "In step at three points, the oscillator is off by ", _hertz(one.greatest_error_hertz, 2),
        " at most. It costs most at ", _hertz(worst.dial_hertz),
        f", where the half width of the circuit at the {words.aerial} is ",
        _hertz(worst.half_width_hertz, 2), f" (Q {AERIAL_Q:.0f} is taken): it loses {say_decibels(worst.loss_db)}",
        f". A padder {round((1 - SMALLER) * 100)} % small puts the low end off by ",
        _hertz(one.low_end_shift_hertz, 2), ".",
    )  # fmt: skip


def _within(sentence: str) -> str:
    """A sentence behind a colon."""
    return sentence[:1].lower() + sentence[1:]


def _short(one: BandTracking) -> Phrase:
    if one.points_hertz is None or one.greatest_error_hertz is None or one.padder_farads is None:
        return (_within(_WHY_NOT[one.why_not]),)
    points = listed([(_hertz(point, 3),) for point in one.points_hertz], ", ", " and ")
    padder = Amount(one.padder_farads, "F", Origin.COMPUTED, bound="about", digits=2)
    return ("in step at ", *points, " with a padder of ", padder, "; off by ", _hertz(one.greatest_error_hertz, 2),
            " at most between them.")  # fmt: skip


def _table(one: BandTracking, words: Words) -> Table:
    columns = (Column("What"), Column("Worked out", NUMBER, Origin.COMPUTED), Column("Beside it"))
    rows = [
        Row(cell("Align at"), (cell(*listed([(_hertz(point),) for point in one.points_hertz or ()])), _habit(one))),
        Row(cell("Padder"), (_farads(one.padder_farads), _padder(one))),
        Row(cell("Oscillator’s trimmer, with strays"), (_farads(one.oscillator_trimmer_farads), cell())),
        Row(cell("Oscillator’s coil"), (_henries(one.oscillator_henries), cell())),
        Row(cell(f"{words.aerial.capitalize()} trimmer, with strays"), (_farads(one.signal_trimmer_farads), cell())),
        Row(cell(f"{words.aerial.capitalize()} coil"), (_henries(one.signal_henries), cell())),
    ]
    caption = f"What keeps the circuits of {one.band} in step; worked out from the gang’s two ends"
    return Table(f"Tracking of {one.band}", caption, columns, (RowGroup(tuple(rows)),))


def _habit(one: BandTracking) -> Cell:
    first, last = _usual_points(one)
    return cell("–") if one.dial.usual_by_rule else cell("usually ", first, " and ", last)


def _farads(value: float | None) -> Cell:
    return cell(Amount(value, "F", Origin.COMPUTED, digits=3))


def _henries(value: float | None) -> Cell:
    return cell(Amount(value, "H", Origin.COMPUTED, digits=3))


def _padder(one: BandTracking) -> Cell:
    """The range in which one may be, and the one that is listed."""
    wanted = one.padder_farads or 0.0
    low, high = (Amount(wanted * (1 + sign * PADDER_TOLERANCE), "F", Origin.COMPUTED, digits=3) for sign in (-1, 1))
    told: list[PhrasePart] = [low, " to ", high]
    if not one.padder:
        return cell(*told, " ", aside("none is listed"))
    within = "within" if abs(one.padder.off) <= PADDER_TOLERANCE else "outside"
    own: list[PhrasePart] = [Link(one.padder.name, part_anchor(one.padder.name)), " ", Amount(one.padder.farads, "F")]
    return Cell((tuple(told), (*own, f", {signed_percent(one.padder.off)}, {within}")))
