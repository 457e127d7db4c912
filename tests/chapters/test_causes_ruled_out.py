"""What a reading by itself rules out among the causes, and what is read at a rail and is no point of the set."""

from __future__ import annotations

from typing import Any

import pytest

import makers
from benchleaf.chapters.readings.runs import told_apart
from benchleaf.chapters.readings.told_causes import run_causes
from benchleaf.chapters.readings.tried_runs import TriedRun, tried_run

SET = """power: series string
chassis: through R and C
line: 120 V 60 Hz
tubes:
  V1: 12BE6 converter
  V2: 12BA6 IF
  V3: 12AV6 detector, AVC, 1st audio
  V4: 50C5 output
  V5: 35W4 rectifier
heaters:
  order: V5 V4 V2 V1 V3
parts:
  C1: 47 uF 160 V, filter, B+1 to B-
  C2: 33 uF 160 V, filter, B+2 to B-
  R1: 22k, V1 g1 to B-
  R2: 33 ohm, surge, keep
  R3: 1.2k, B+1 to B+2
  R4: 150 ohm, V4 cathode to B-
  R6: 68 ohm, V2 cathode to B-
  R7: 10 meg, V3 grid to B-
  R8: 470k, V3 plate to B+2
  R9: 470k, V4 grid to B-
  C7: 4.7 nF, V3 plate to V4 grid
  T3: output transformer, V4 plate to B+1, 120 ohm
readings:
  run:
    line: 119
    meter: 10 meg
    to: B-
    B+1: 121{ripple}
    B+2: 94
    V4: cathode 6.5, grid 0, screen 94, plate 116
    V3: plate 48, grid -.6
    V2: plate 94, screen 94, cathode 1.0
    V1: plate 94, screen 94, grid 1 {swing}
"""


def tried(text: str) -> set[tuple[str, str]]:
    """Every fault that is tried, by its subject."""
    bench = makers.bench(text)
    expected, measured = told_apart(bench)
    one = tried_run(measured[0], expected, bench)
    assert isinstance(one, TriedRun)
    return {(fault.subject, fault.fault) for fault in one.trial.faults}


@pytest.mark.parametrize(("swing", "may_be"), [("-7.4", False), ("-2", False), ("-0.6", True), ("0", True)])
def test_a_tube_whose_oscillator_makes_volts_is_not_dead(swing: str, may_be: bool) -> None:
    """Grid current makes the volts across the leak (textbook): a set in order was told that its converter is dead."""
    assert (("V1", "dead") in tried(SET.format(swing=swing, ripple=""))) is may_be


@pytest.mark.parametrize("ripple", [", ripple 4.1 V AC", "\n    B+1 ripple: 4.1 AC", "\n    B+1 hum: 4.1 AC"])
def test_ripple_is_no_point_of_the_set(ripple: str) -> None:
    found: Any = makers.found("readings", SET.format(swing="-7.4", ripple=ripple))
    places = {one.place for one in found.worked_out}
    assert "B+1" in places
    assert not [place for place in places if "ripple" in place or "hum" in place]


@pytest.mark.parametrize(
    ("listed", "said"),
    [
        ("470k, V3 plate to B+2", "R8 has gone high"),
        ("was 470k, V3 plate to B+2, now 470k", "R8, fitted in the work, is higher than it should be"),
        ("was 470k, V3 plate to B+2, now 470k, fitted 2020-03-01", "R8, fitted in the work, is higher"),
        ("was 470k, V3 plate to B+2, now 470k, fitted 2024-03-01", "R8 has gone high"),
    ],
)
def test_what_age_does_is_not_said_of_a_new_part(listed: str, said: str) -> None:
    text = SET.format(ripple="", swing="-1.5").replace("470k, V3 plate to B+2", listed)
    text = text.replace("  run:\n", "  2022-05-01:\n").replace("plate 48", "plate 19")
    bench = makers.bench(text)
    expected, measured = told_apart(bench)
    (one,) = run_causes(measured, expected, bench)
    told = [cause.cause for cause in one.ranked]
    assert any(cause.startswith(said) for cause in told), told


def test_a_reading_of_an_earlier_list_has_nothing_beside_it_that_is_worked_out_for_the_newest() -> None:
    """A rectifier's cathode read in a faulty set stood beside what follows for the one put right."""
    text = SET.format(ripple="", swing="-1.5").replace("  run:\n", "  2022-05-01:\n")
    newer = text + "  2022-06-01:\n    line: 119\n    B+1: 121\n    B+2: 94\n    V4: cathode 6.5, plate 116\n"
    table = makers.digest("readings", newer).table
    cells = {row.head.text: [cell.text for cell in row.cells] for row in table.rows()}
    (v2,) = (texts for head, texts in cells.items() if head.startswith("V2"))
    assert any("2022-05-01" in text for text in v2)
    assert not any("(" in text for text in v2), v2
    (v4,) = (texts for head, texts in cells.items() if head.startswith("V4"))
    assert any("(" in text for text in v4), "the newest has its range"
