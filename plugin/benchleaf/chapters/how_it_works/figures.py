"""The set as blocks: the way of the signal from the aerial to the loudspeaker, and below it what feeds it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from ...record.units import say
from ...report.digest import Shown
from ...report.sentence import Link
from .findings import RowOfStages
from .stage_words import oscillator, title_of

if TYPE_CHECKING:
    from ...drawing import Figure
    from ...drawing.blocks import Block, BlockRow
    from ...words import Words
    from ..bench import Bench
    from .findings import HowItWorksFindings, StageInOrder

SIGNAL, SUPPLY = "how-it-works-signal", "how-it-works-supply"
_OF_SUPPLY = ("supply", "heaters", "other")
_LABELS = {
    "AM radio": "AM",
    "FM radio": "FM",
    "supply": "B+",
    "heaters": "Heaters",
    "other": "Where these stand is not told",
}
_MOST_BANDS = 3
_WORKED = ("avc", "tuning eye", "tuning indicator", "noise limiter")
"""What stands beside a stage and is worked by it; all else works on it."""


def draw(findings: HowItWorksFindings, bench: Bench) -> tuple[Figure, ...]:
    """The two drawings, as far as there is something in them."""
    return tuple(_drawings(findings, bench))


def placeable(findings: HowItWorksFindings) -> Mapping[str, Shown]:
    """The way of the signal by its name in a story."""
    caption = ("The way of the signal. ", Link("Each stage in turn", "how-it-works"), ".")
    return {"how it works": Shown(SIGNAL, caption)}


def _drawings(findings: HowItWorksFindings, bench: Bench) -> Iterator[Figure]:
    from ...drawing.blocks import block_drawing

    words = bench.words
    for name, rows, title in (
        (
            SIGNAL,
            _signal_rows(findings),
            f"From the {words.aerial} to the speaker",
        ),
        (SUPPLY, [row for row in findings.rows if row.row in _OF_SUPPLY], "What feeds it"),
    ):
        if rows:
            drawn = [_row(row, n, rows, findings, words) for n, row in enumerate(rows)]
            described = " ".join(_described(row, findings, words) for row in rows)
            yield block_drawing(drawn, name=name, title=title, description=described)


def _signal_rows(findings: HowItWorksFindings) -> list[RowOfStages]:
    """The rows of the signal; where there is one way in, sound goes on in the same row."""
    rows = [row for row in findings.rows if row.row not in _OF_SUPPLY]
    if len(rows) == 2 and not findings.both:
        return [RowOfStages(rows[0].row, (*rows[0].stages, *rows[1].stages))]
    return rows


def _row(row: RowOfStages, n: int, rows: Sequence[RowOfStages], findings: HowItWorksFindings, words: Words) -> BlockRow:
    from ...drawing.blocks import INTO, OUT_OF, BlockRow

    main = [stage for stage in row.stages if stage.works_on is None]
    index = {stage.number: at for at, stage in enumerate(main)}
    below = tuple(
        (index[stage.works_on], _block(stage, row, findings, words), OUT_OF if stage.job in _WORKED else INTO)
        for stage in row.stages
        if stage.works_on is not None
    )
    onward = row.row != "audio" and any(other.row == "audio" for other in rows)
    return BlockRow(
        tuple(_block(stage, row, findings, words) for stage in main),
        tuple(_arrow(stage) for stage in main[:-1]),
        below,
        _label(row, words),
        joined=row.row != "other",
        onward=_arrow(main[-1]) if onward else (words.b_plus, "") if row.row == "supply" else None,
        entered=row.row == "audio" and n > 0,
    )


def _label(row: RowOfStages, words: Words) -> str:
    return words.of_key(_LABELS.get(row.row, ""))


def _arrow(stage: StageInOrder) -> tuple[str, str]:
    return stage.hands_on, say(stage.hands_on_hertz, "Hz") if stage.hands_on_hertz else ""


def _block(stage: StageInOrder, row: RowOfStages, findings: HowItWorksFindings, words: Words) -> Block:
    from ...drawing.blocks import Block

    heading = stage.written or title_of(stage, words)
    lines = [f"{tube.tube} {tube.type}" for tube in stage.tubes]
    if len(stage.tubes) == 1 and stage.tubes[0].section:
        lines.append(stage.tubes[0].section)
    lines += [" ".join(stage.parts)] if stage.parts else []
    lines += _frequencies(stage, row, findings)
    lines += ["to earlier stages"] if stage.job == "avc" else []
    return Block(heading, tuple(lines), stage.job not in ("unknown job", "untold"))


def _frequencies(stage: StageInOrder, row: RowOfStages, findings: HowItWorksFindings) -> list[str]:
    """The bands at the aerial, and where the oscillator runs for each."""
    of_row = [band for band in findings.bands if not findings.both or band.fm is (row.row == "FM radio")]
    if stage.job == "aerial":
        told = [f"{band.band} {band.written}" for band in of_row]
    elif stage.job == "oscillator":
        told = [_range(band.band, band.oscillator_hertz) for band in of_row if band.oscillator_hertz]
    else:
        return []
    return told if len(told) <= _MOST_BANDS else [*told[: _MOST_BANDS - 1], f"and {len(told) - _MOST_BANDS + 1} more"]


def _range(name: str, hertz: tuple[float, float]) -> str:
    low, high = (oscillator(each) for each in hertz)
    number, _, unit = low.rpartition("\u202f")
    return f"{name} {number if high.endswith(unit) else low}–{high}"


def _described(row: RowOfStages, findings: HowItWorksFindings, words: Words) -> str:
    """One row in words."""
    told = [_told(stage, findings, words) for stage in row.stages]
    label = _label(row, words)
    return f"{f'{label}: ' if label else ''}{'; '.join(told)}."


def _told(stage: StageInOrder, findings: HowItWorksFindings, words: Words) -> str:
    title = stage.written or title_of(stage, words)
    tubes = " and ".join(tube.tube for tube in stage.tubes)
    gives = f", hands on {' '.join(filter(None, _arrow(stage)))}" if stage.hands_on and stage.gives_to else ""
    partner = findings.stage(stage.works_on)
    beside = f", at {title_of(partner, words)}" if partner else ""
    return f"{title}{f' {tubes}' if tubes else ''}{beside}{gives}"
