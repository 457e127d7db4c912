"""Every state stands in a row, in as few rows as hold them; parts that are only bolted on share a point."""

from __future__ import annotations

from collections import Counter

import pytest

from benchleaf.chapters.line_side.diagram import diagrams
from benchleaf.chapters.line_side.shown import rows_of
from benchleaf.chapters.line_side.state_rows import in_boxes
from benchleaf.chapters.line_side.wording import milliamps
from benchleaf.record.units import say
from benchleaf.words import AMERICAN
from line_sides import EUROPEAN_SET, FIVE_TUBE, TRANSFORMER_SET, found

SETS = (FIVE_TUBE, EUROPEAN_SET, TRANSFORMER_SET)


@pytest.mark.parametrize("record", SETS)
def test_each_state_stands_in_one_row_with_its_own_figures(record: str) -> None:
    findings = found(record)
    for when, side in (("before", findings.before), ("after", findings.after)):
        told = Counter[tuple[str, ...]]()
        for fault, rows in findings.rows_by_fault:
            for row in rows:
                said = row.before if when == "before" else row.after
                if said is not None:
                    told.update(
                        (fault, p, s, part, *said) for p in row.plugs for s in row.switches for part in row.parts
                    )
        assert side is not None
        assert told == Counter(
            (
                *(s.fault, s.plug, s.switch, s.part, say(s.no_load_volts, "V")),
                "short circuit" if s.short_circuit else milliamps(s.touch_amps_rms),
            )
            for s in side.states
        )


def test_what_comes_to_the_same_stands_once() -> None:
    findings = found(TRANSFORMER_SET)
    states = sum(len(side.states) for side in (findings.before, findings.after) if side)
    assert sum(len(rows) for _, rows in findings.rows_by_fault) < states / 4


@pytest.mark.parametrize(
    ("positions", "boxes"),
    [
        ([("a", "on"), ("a", "off"), ("b", "on"), ("b", "off")], [(("a", "b"), ("on", "off"))]),
        ([("a", "on"), ("b", "off")], [(("a",), ("on",)), (("b",), ("off",))]),
        ([("a", "on"), ("b", "on"), ("b", "off")], [(("a",), ("on",)), (("b",), ("on", "off"))]),
    ],
)
def test_positions_are_told_as_all_of_one_with_all_of_the_other(
    positions: list[tuple[str, str]], boxes: list[tuple[tuple[str, ...], tuple[str, ...]]]
) -> None:
    assert in_boxes(positions) == boxes


@pytest.mark.parametrize("record", SETS)
def test_each_position_with_nothing_wrong_has_one_row(record: str) -> None:
    findings = found(record)
    assert findings.before
    assert findings.after
    rows = [row for row in rows_of(findings.before.states, findings.after.states) if not row.faults]
    shown = [(plug, switch) for row in rows for plug in row.plugs for switch in row.switches]
    there = {(s.plug, s.switch) for side in (findings.before, findings.after) for s in side.normal if s.listed}
    assert sorted(shown) == sorted(there)


def test_parts_that_are_bolted_on_share_a_point_and_others_do_not() -> None:
    findings = found(
        EUROPEAN_SET.replace("touchable: chassis through the grub screws,", "touchable: chassis, shafts, grub screws,")
    )
    assert findings.before
    assert findings.after
    drawn = diagrams(findings.before.described, findings.after.described, AMERICAN)
    before, after = ([part.names if part else None for part in drawn[when].parts] for when in ("before", "after"))
    assert before == [("shafts", "grub screws", "pick-up socket"), ("aerial socket",), ("earth socket",)]
    assert after == [None, ("aerial socket",), ("earth socket",)]
    assert {diagram.most_names for diagram in drawn.values()} == {3}
