"""B+ stands on a set's pages by the rectifier and by the set's own circuit: said is by what the two differ, and why."""

from __future__ import annotations

import pytest

import makers
from sites import DEMO

MINUET = (DEMO / "sets/larkfield-minuet-5/record.yml").read_text(encoding="utf-8")


def test_both_figures_stand_at_one_line_with_what_they_differ_by() -> None:
    """124 V at 120 V and 123 V at 118 V stood on two pages, without a word that they are of two lines and two loads."""
    found = makers.found("supply", MINUET)
    by = found.by_circuit
    worked = {one.place: one for one in makers.found("readings", MINUET).worked_out}
    assert (by.rail, by.line_volts) == ("B+1", 118)
    assert (by.volts, by.low_volts, by.high_volts) == (
        worked["B+1"].volts,
        worked["B+1"].low_volts,
        worked["B+1"].high_volts,
    )
    # The rectifier's own figure goes with the line: 124 V at 120 V.
    assert by.here_volts == pytest.approx(found.nominal.rails[0].volts * 118 / 120, rel=0.01)
    assert by.off == pytest.approx(by.volts / by.here_volts - 1)
    page = makers.plain(makers.page("supply", MINUET))
    assert f'makes <span class="bl-computed">{by.volts:g} V</span>' in page
    assert "goes into the power-up" in page


def test_more_drawn_than_published_is_told_as_the_difference() -> None:
    """Half as many volts again at the output tube's cathode draw half as much again here, and nothing more there."""
    heavy = MINUET.replace("V4: 5.9 0 x x", "V4: 9.0 0 x x")
    more, usual = makers.found("supply", heavy).by_circuit, makers.found("supply", MINUET).by_circuit
    assert more.here_volts < usual.here_volts - 3
    assert more.volts == pytest.approx(usual.volts, rel=0.005)
    assert (usual.same, more.same) == (True, False)
    assert "draws another current than its type" in makers.page("supply", heavy)
    assert "draws another current than its type" not in makers.page("supply", MINUET)


def test_there_is_none_where_the_circuit_does_not_reach() -> None:
    oxbow = (DEMO / "sets/oxbow-regent-six/record.yml").read_text(encoding="utf-8")
    assert makers.found("supply", oxbow).by_circuit is None
