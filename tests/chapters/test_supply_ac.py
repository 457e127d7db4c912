"""Which AC volts the computed supply rests on, where several lists have some."""

from __future__ import annotations

import re

import pytest

import makers
from benchleaf.chapters.supply.findings import SupplyFindings
from sites import DEMO

SET = """line: 230 V 50 Hz
power: transformer
tubes:
  V1: 6V6, output
  V2: 5Y3GT, rectifier
heaters:
  mains selector: on 245 V
parts:
  C1: 22 uF 450 V, B+1 to chassis
  C2: 22 uF 450 V, B+2 to chassis
  L1: field coil 1740 ohm, B+1 to B+2
  R1: 262 ohm, V1 cathode to chassis
  T2: output transformer, V1 plate to B+2
readings:
  20/9/2024 as found:
    line: 225 V
    mains selector: 220 V
    V2: plate 1 {found} AC, plate 2 {found} AC
    B+1: 360
    B+2: 219
  5/10/2024 all done:
    line: 230 V
    {after}B+1: 370
    B+2: 245
    V1: cathode 12.6, plate 231
"""
AFTER = "V2: plate 1 338 AC, plate 2 338 AC\n    "
OWN = "338 V AC as read in 5/10/2024 all done (line 230 V, selector on 245 V), on load: 349 V without it"


def supply(found: float, after: str = AFTER) -> SupplyFindings:
    """The supply with so many AC volts in the first list, and none or 338 V in the second."""
    result = makers.found("supply", SET.format(found=found, after=after))
    assert isinstance(result, SupplyFindings)
    assert result.lacks == ()
    return result


def test_the_ac_volts_are_those_of_the_list_that_b_plus_is_held_against() -> None:
    """342 V at 225 V on the tap of 220 V are the highest as read, and were scaled to the tap of now: 308 V for 340."""
    low, high = supply(300), supply(368)
    assert makers.plain(low.rests_on) == makers.plain(high.rests_on) == OWN
    assert low.working == high.working
    assert low.computed_against_read == high.computed_against_read


def test_another_list_lends_its_ac_volts_by_its_own_line_and_setting() -> None:
    """368 V on 225/220 are 368 x (230/245)/(225/220) = 337.8 V on 230/245: as good as 338 V there."""
    lent = supply(368, "")
    lists = "20/9/2024 as found (line 225 V, selector on 220 V)"
    assert makers.plain(lent.rests_on) == f"368 V AC as read in {lists}, on load: 379 V without it"
    own, other = supply(368).nominal, lent.nominal
    assert own is not None
    assert other is not None
    assert other.rails[0].volts == pytest.approx(own.rails[0].volts, rel=0.01)


@pytest.mark.parametrize(("found", "apart"), [(342, True), (368, False), (355, False), (400, True)])
def test_lists_whose_ac_volts_line_and_selector_do_not_explain_are_told(found: float, apart: bool) -> None:
    """342 V would be 314 V on the other setting: one of the two settings was a slip of the writer."""
    said = [one for one in makers.said("supply", SET.format(found=found, after=AFTER)) if "do not go together" in one]
    assert bool(said) == bool(supply(found).lists_apart) == apart
    if found == 342:
        assert said == [
            "The AC volts at the rectifier do not go together: 342 V in 20/9/2024 as found (line 225 V, selector on "
            "220 V) would be 314 V in 5/10/2024 all done (line 230 V, selector on 245 V); read was 338 V. A reading, "
            "a line or a setting is another than written."
        ]


def test_the_highest_voltage_names_the_list_and_the_line_it_rests_on() -> None:
    """338 V at 230 V make more of the line than 342 V at 225 V on the lower setting."""
    page = makers.plain(makers.page("parts", SET.format(found=342, after=AFTER)))
    assert (
        "√2 × 338 V AC read at the rectifier (5/10/2024 all done), 349 V without load, raised from 230 V to 253 V line"
        in page
    )


@pytest.mark.parametrize("chapter", ["supply", "power_up", "parts"])
def test_no_volts_at_a_rectifiers_plate_feed_nothing(chapter: str) -> None:
    """``V6: plate 0 AC`` in one demo set ended its examination."""
    record = (DEMO / "sets/oxbow-regent-six/record.yml").read_text(encoding="utf-8")
    lines = re.sub(r"(V6: plates? )[\d.]+( AC)", r"\g<1>0\2", record)
    assert "0 AC" in lines
    assert makers.found(chapter, lines) is not None
