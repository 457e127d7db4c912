"""What was measured on the line side: volts beside a current are those it makes across the resistor, by Ohm's law."""

from __future__ import annotations

import pytest

import makers
from benchleaf.record.sections.line_measured import LineSideMeasurement

SET = "power: series string\nchassis: line-connected\nline side:\n  measured:\n    - "


def measured(line: str) -> LineSideMeasurement:
    side = makers.record(SET + line).line_side
    assert side is not None
    (one,) = side.measured
    return one


@pytest.mark.parametrize(
    "line",
    [
        "chassis, 0.3 V across 1500 ohm, 0.2 mA",
        "chassis, 0.38 V across 1500 ohm, 0.2 mA",
        "chassis, 0.235 V across 1500 ohm, 0.2 mA",
        "chassis, -0.3 V across 1500 ohm, 0.2 mA",
        "chassis, 117 V across 1500 ohm, 78 mA",
    ],
)
def test_volts_that_the_current_makes_stand_beside_it(line: str) -> None:
    """0.2 mA through 1500 ohms are 0.3 V; a resistor of 20 % and two meters may be a third off."""
    one = measured(line)
    assert one.volts is not None
    assert one.amps is not None
    assert one.at is None


@pytest.mark.parametrize("volts", [90.0, 117.0, 260.0])
def test_volts_of_a_line_beside_a_current_that_makes_fewer_are_the_lines(volts: float) -> None:
    one = measured(f"chassis, {volts:g} V across 1500 ohm, 0.2 mA")
    assert one.volts is None
    assert one.at is not None
    assert one.at.si == volts
    assert one.at.remark == "read as the line’s, at which it was measured: the current makes 0.3 V across 1500 ohm"


@pytest.mark.parametrize(
    "line",
    [
        "chassis, 0.4 V across 1500 ohm, 0.2 mA",
        "chassis, 0.22 V across 1500 ohm, 0.2 mA",
        "chassis, 89 V across 1500 ohm, 0.2 mA",
        "chassis, 261 V across 1500 ohm, 0.2 mA",
        "chassis, 117 V across 1500 ohm, 0.2 mA, at 120 V",
        "chassis, 100 V across 1500 ohm, 100 mA",
        "chassis, 0.4 V across 1.5k, 0.2 mA",
    ],
)
def test_volts_and_a_current_that_do_not_go_together_are_asked(line: str) -> None:
    (problem,) = makers.refused(SET + line)
    assert "volts and a current that go together; delete one of them" in str(problem)


@pytest.mark.parametrize(
    ("line", "volts", "amps"),
    [
        ("chassis, 3 V, 0.2 mA", 3.0, 2e-4),
        ("chassis, 3 V across the meter, 0.2 mA", 3.0, 2e-4),
        ("chassis, 3 V across 1500 ohm", 3.0, None),
        ("chassis, 0 V across 1500 ohm, 0.2 mA", 0.0, 2e-4),
        ("chassis, 0.2 mA across 1500 ohm", None, 2e-4),
    ],
)
def test_where_no_sum_can_be_made_both_stand_as_written(line: str, volts: float | None, amps: float | None) -> None:
    one = measured(line)
    assert (one.volts.si if one.volts else None, one.amps.si if one.amps else None) == (volts, amps)


@pytest.mark.parametrize(
    ("line", "places", "ohms", "at"),
    [
        ("insulation line to chassis 20 M at 500 V", "line to chassis", 20e6, 500.0),
        ("insulation line to chassis, 20 meg, 500 V", "line to chassis", 20e6, 500.0),
        ("insulation line to chassis > 200 M @ 500 V DC", "line to chassis", 200e6, 500.0),
        ("insulation line to chassis over 1 Gohm", "line to chassis", 1e9, None),
        ("insulation line to chassis, 20 M, at 250 V", "line to chassis", 20e6, 250.0),
    ],
)
def test_an_insulation_has_its_places_its_ohms_and_the_volts_it_was_read_at(
    line: str, places: str, ohms: float, at: float | None
) -> None:
    one = measured(line)
    assert (str(one.insulation), one.ohms.si if one.ohms else None) == (places, ohms)
    assert (one.at.si if one.at else None) == at
    assert one.volts is None
