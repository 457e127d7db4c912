"""A stage's currents by two ways: which is told, and what the page says where the two differ."""

from __future__ import annotations

import pytest

import makers
from benchleaf.chapters.bench import Bench
from benchleaf.chapters.readings.findings import ReadingsFindings
from benchleaf.circuit.operating import Operating
from makers import meant


def examined(tubes: str, readings: str, parts: str, power: str = "transformer") -> tuple[ReadingsFindings, Bench]:
    body = f"power: {power}\ntubes:\n{makers.rows(tubes)}readings:\n  today:\n{makers.rows(readings, 4)}"
    bench = makers.bench(f"{body}parts:\n{makers.rows(parts)}")
    return makers.found("readings", bench), bench


CATHODE = "R8: keep, 150 ohm 10 %, measured 156 ohm, between V4 cathode and B-"
BEAM = "V4: plate {}, screen 92.6, cathode 5.9\nB+1: 121"


def test_a_plate_never_takes_more_than_its_cathode_gives_without_a_word() -> None:
    """8 V across 200 ohm would be 40 mA, 5.9 V across 156 ohm give 37.8 mA; each of 121 V and 113 V is off by 2 %.

    By hand: 0.02 x (121^2 + 113^2)^0.5 / 200 = 16.6 mA, so that the cathode's resistor tells it better.
    """
    winding = f"{CATHODE}\nT3: keep, 200 ohm, job output transformer, between V4 plate and B+1"
    found, bench = examined("V4: 50C5", BEAM.format(113), winding, "series string")
    point = found.operating["V4"]
    assert (point.plate_by, point.plate_amps) == ("assumed share", meant(5.9 / 156 * 49 / 53))
    assert (point.drop_amps, point.drop_off_amps, point.drop_agrees) == (0.04, 0.0166, True)
    said = "The two agree within that: V4 40 mA by the drop, uncertain by 16.6 mA"
    assert said in makers.plain(makers.page("readings", bench, found))
    found, bench = examined("V4: 50C5", BEAM.format(109.5), winding, "series string")
    assert found.operating["V4"].drop_agrees is False
    assert "They differ by more than that" in makers.page("readings", bench, found)


def test_a_plate_with_a_large_drop_may_contradict_its_cathode_though_the_screen_is_not_known() -> None:
    """71 V across 1 kohm are 71 mA into the plate alone: 1.88 of the 37.8 mA that the cathode gives."""
    load = f"{CATHODE}\nR9: 1 kohm, between V4 plate and B+1"
    found, bench = examined("V4: 50C5", BEAM.format(50), load, "series string")
    point = found.operating["V4"]
    assert (point.plate_amps, point.sum_over_cathode, point.disagrees) == (0.071, 1.88, True)
    assert any("V4: plate take" in text for text in makers.said("readings", bench, found))
    assert "what flows into plate alone is 188 %" in makers.plain(makers.page("readings", bench, found))


def test_a_cathode_at_the_chassis_is_no_share_of_anything() -> None:
    """A cathode's resistor that reads 0 V passes nothing, and what the plate takes is no multiple of nothing."""
    parts = "R1: 1 kohm, between V1 cathode and chassis\nR2: 100 kohm, between V1 plate and B+1"
    found, _ = examined("V1: 6SJ7", "V1: plate 100, cathode 0\nB+1: 250", parts)
    point = found.operating["V1"]
    assert (point.plate_amps, point.sum_over_cathode) == (meant(150 / 100e3), None)


def test_a_plate_a_little_above_its_cathode_is_remarked_on() -> None:
    """105 V across 100 kohm and 1.00 V across 1 kohm: 1.05 mA and 1.00 mA, within 10 %."""
    found, bench = examined(
        "V3: 6J5",
        "V3: plate 95, cathode 1\nB+2: 200",
        "R1: 100 kohm, between V3 plate and B+2\nR2: 1 kohm, between V3 cathode and chassis",
    )
    assert found.operating["V3"].above_cathode
    assert "It cannot be more" in makers.page("readings", bench, found)


def test_a_small_drop_that_nothing_tells_better_has_its_ends() -> None:
    """8 V across 200 ohm: 40 mA, by hand 16.6 mA either way."""
    winding = "T3: keep, 200 ohm, job output transformer, between V4 plate and B+1"
    found, _ = examined("V4: 50C5", BEAM.format(113), winding, "series string")
    point = found.operating["V4"]
    assert (point.plate_amps, point.plate_amps_low, point.plate_amps_high) == (0.04, 0.0234, 0.0566)


def test_an_output_tube_without_a_published_share_has_the_usual_one() -> None:
    found, _ = examined(
        "V4: EL42", "V4: plate 167, screen 174, cathode 10.1", "R11: 174 ohm, between V4 cathode and B-"
    )
    point = found.operating["V4"]
    assert (point.plate_amps, point.plate_by) == (meant(0.9 * 10.1 / 174), "assumed share")
    assert "no source" in point.screen_share_source


def test_two_halves_on_one_cathode_resistor_share_its_current() -> None:
    """A published amplifier (`published_circuits/`, 12AY7): 125 V below 250 V through 100 kohm each, 1.9 V on 820 ohm.

    By hand: 1.25 mA and 1.25 mA are 1.08 of 2.32 mA. Each was held against the whole, and called 54 % of it.
    """
    twin = "V1: plate 1 125, plate 2 {}, cathode 1 1.9\nB+4: 250"
    parts = "R1: 100 kohm, between V1 plate 1 and B+4\nR2: 100 kohm, between V1 plate 2 and B+4\n"
    parts += "R3: 820 ohm, between V1 cathode 1 and chassis\nwires:\n  - V1 cathode 1, V1 cathode 2"
    body = "power: transformer\ntubes:\n  V1: 12AY7\nreadings:\n  today:\n"
    rows = makers.rows(parts).replace("  wires:", "wires:").replace("    - V1", "  - V1")
    for volts, share, disagrees in ((125, 1.08, False), (60, 1.36, True)):
        bench = makers.bench(f"{body}{makers.rows(twin.format(volts), 4)}parts:\n{rows}")
        point = makers.found("readings", bench).operating["V1 triode 1"]
        assert (point.plate_amps, point.sum_over_cathode, point.disagrees) == (0.00125, share, disagrees)


@pytest.mark.parametrize(
    ("plate", "cathode", "over_cathode", "above", "disagrees"),
    [
        (39e-3, 40e-3, None, False, False),
        (40e-3, 40e-3, None, False, False),
        (40.1e-3, 40e-3, None, True, False),
        (40.1e-3, None, None, False, False),
        (None, 40e-3, None, False, False),
        # Two measured resistors and two readings allow a tenth (common practice, no source).
        (43.6e-3, 40e-3, 1.09, True, False),
        (44.8e-3, 40e-3, 1.12, False, True),
        (35.6e-3, 40e-3, 0.89, False, True),
        (36.4e-3, 40e-3, 0.91, False, False),
    ],
)
def test_a_plate_above_its_cathode_is_told_up_to_what_two_resistors_allow(
    plate: float | None, cathode: float | None, over_cathode: float | None, above: bool, disagrees: bool
) -> None:
    point = Operating(cathode, plate, sum_over_cathode=over_cathode)
    assert (point.above_cathode, point.disagrees) == (above, disagrees)


@pytest.mark.parametrize(
    ("drop", "off", "low", "high", "agrees"),
    [
        (0.375, 0.125, None, None, True),
        (0.37, 0.125, None, None, False),
        (0.625, 0.125, None, None, True),
        (0.63, 0.125, None, None, False),
        (0.25, 0.125, 0.375, 0.75, True),
        (0.24, 0.125, 0.375, 0.75, False),
        (0.875, 0.125, 0.375, 0.75, True),
        (0.88, 0.125, 0.375, 0.75, False),
        (None, 0.125, None, None, None),
        (0.375, None, None, None, None),
    ],
)
def test_a_small_drop_agrees_within_what_it_may_be_off_by(
    drop: float | None, off: float | None, low: float | None, high: float | None, agrees: bool | None
) -> None:
    point = Operating(plate_amps=0.5, plate_amps_low=low, plate_amps_high=high, drop_amps=drop, drop_off_amps=off)
    assert point.drop_agrees is agrees


def test_the_lower_arm_of_a_screens_divider_contradicts_nothing() -> None:
    """108 kohm from 261 V and 51 kohm to chassis at 58 V: 1.88 mA arrive, 1.14 mA go down, 0.74 mA are the screen's."""
    found, _ = examined(
        "V1: 6K7",
        "V1: plate 240, screen 58, cathode 2\nB+2: 261",
        "R4: keep, 108 k, between B+2 and V1 screen\nR5: keep, 51 k, between V1 screen and chassis\n"
        "R6: keep, 300 ohm, between V1 cathode and chassis",
    )
    point = found.operating["V1"]
    assert point.lacks == ()
    assert point.screen_amps == pytest.approx((261 - 58) / 108e3 - 58 / 51e3, rel=0.01)
