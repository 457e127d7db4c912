"""What a stage does to a signal: one load on all pages, and no figures of a stage of which nothing is known."""

from __future__ import annotations

import makers
from benchleaf.report.sentence import text_of

FM_SET = """line: 220 V 50 Hz
power: transformer
tubes:
  V1: ECC85, FM front end
  V5: EL84, output
parts:
  R30: 680 kohm, V5 grid to chassis
  R31: 160 ohm, V5 cathode to chassis
  T2: output transformer, 315 ohm, V5 plate to HT1
  R40: 820 ohm, HT1 to HT2
  C50: 100 uF 25 V electrolytic, V5 cathode to chassis
speaker: 4.5 ohm
readings:
  2026-03-16 after:
    line: {line} V
    to: chassis
    HT1: 251
    HT2: 224
    V5: plate 238, screen 224, cathode 7.2, grid 0
    V1: plate1 176, plate2 165
"""


def test_an_unwritten_load_is_one_on_all_pages_whatever_the_line() -> None:
    """7 kohm stood on one page and 5.2 on the others, by another choice among the published operations."""
    for line in ("220", "231"):
        on = makers.bench(FM_SET.format(line=line))
        (signal,) = (one for one in makers.found("readings", on).circuit.signal if one.type == "EL84")
        load = on.circuit.load(on.circuit.places.read("V5 plate"))
        assert signal.load_how == load.how == "published"
        assert signal.load_ohms == load.ohms == makers.found("speaker", on).meant_ohms


def test_a_stage_of_which_no_part_is_listed_has_no_figures() -> None:
    """With neither cathode nor grid known an ECC85 was told 2.82 W, more than it is allowed."""
    found = makers.found("readings", FM_SET.format(line="220")).circuit
    assert {one.type for one in found.signal} == {"EL84"}
    more = FM_SET.replace("speaker:", "  R1: 200 ohm, V1 cathode 1 to chassis\nspeaker:").format(line="220")
    assert "V1 triode 1" in {one.stage for one in makers.found("readings", more).circuit.signal}


def test_a_detectors_volts_are_no_branch_of_b_plus() -> None:
    """A point of the writer's own with no part at it is on the tree only where its name is a rail's."""
    text = FM_SET.replace("    V1: plate1", "    ratio detector sum: 14.5\n    V1: plate1").format(line="220")
    names = [branch.name for branch in makers.found("readings", text).latest.tree]
    assert not any("detector" in name for name in names)
    assert any("HT2" in name or "B+2" in name for name in names)
    fed = text.replace("ratio detector sum: 14.5", "front end: 180")
    fed = fed.replace("  R40:", "  R9: 4.7 kohm, between HT2 and front end\n  R40:")
    assert any("front end" in branch.name for branch in makers.found("readings", fed).latest.tree)


COUPLATE = """line: 119 V 60 Hz
power: series string
tubes:
  V3: 12AV6, first audio
  V4: 50C5, output
parts:
  R4: 150 ohm, V4 cathode to B-
  R7: 10 megohm, V3 grid to B-
  T3: output transformer, V4 plate to B+1, 120 ohm
  R3: 1.2 kohm, B+1 to B+2
{inside}readings:
  2025-09-09 after:
    line: 119 V
    meter: 10 megohm
    to: B-
    B+1: 121
    B+2: 94
    V4: cathode 6.5, grid 0, screen 94, plate 116
    V3: plate 48, grid -.6
"""
OUT = """  K1:
    job: couplate
    inside:
      ra: 470 kohm, V3 plate to B+2, reads 512k, removed
      rb: 470 kohm, V4 grid to B-, removed
      ca: 5 nF, V3 plate to V4 grid, removed
"""
IN_ITS_PLACE = """  R8: new 470 kohm, V3 plate to B+2
  R9: new 470 kohm, V4 grid to B-
  C7: new 4.7 nF 630 V film, coupling, V3 plate to V4 grid
"""


def test_a_part_that_was_taken_out_is_no_load() -> None:
    """With the couplate's parts removed and others in their place the stage lost its gain, its load and its corner."""

    def of_v3(inside: str) -> object:
        found = makers.found("readings", COUPLATE.format(inside=inside)).circuit
        return next(one for one in found.signal if one.stage == "V3")

    alone, beside = of_v3(IN_ITS_PLACE), of_v3(OUT + IN_ITS_PLACE)
    assert alone == beside
    assert alone.load_ohms == 235_000  # type: ignore[attr-defined]


def test_what_was_off_as_found_counts_what_has_a_published_value() -> None:
    """“9 were not” stood beside “5 of 13”: the ninth was a positive grid, which no sheet has."""
    text = FM_SET.replace(
        "  2026-03-16 after", "  sheet:\n    line: 220 V\n    V5: plate 242, cathode 7.3\n{found}  2026-03-16 after"
    )
    found = "  2026-03-09 found:\n    line: 220 V\n    to: chassis\n    V5: plate 180, cathode 10.4, grid 2.6\n"
    said = makers.plain(text_of(makers.digest("readings", text.format(line="220", found=found)).conclusion))
    assert "As found, 2 were not: V5 cathode and V5 plate; V5 grid was positive." in said
