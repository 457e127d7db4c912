"""Drop, peak current, inverse volts and reservoir of rectifiers, as printed and as well formed rows."""

from __future__ import annotations

import math

import pytest

from benchleaf.electrics.rectifier import Filter, FilterTap, Rectifier, Supply
from benchleaf.electrics.steady_state import solve
from benchleaf.tubes import all_types, find, from_memory, grade
from benchleaf.tubes.rectifiers import RectifierFigures, rectifier_figures
from benchleaf.tubes.tables import read_table, rows_of

# Plausible for receiving rectifiers, in the table's own units: common practice, no source.
RANGES = {"drop_v": (10, 70), "peak_ma": (100, 1100), "inverse_v": (500, 3000), "reservoir_uf": (4, 200)}


def figures(type_: str) -> RectifierFigures:
    tube = find(type_)
    assert tube is not None, type_
    found = rectifier_figures(tube)
    assert found is not None, type_
    return found


def test_every_row_is_of_a_rectifier_of_the_table_and_plausible() -> None:
    for row in read_table("rectifiers.csv"):
        tube = find(row["type"])
        assert tube is not None, row
        assert tube.type == row["type"], row
        assert "rectifier" in (tube.role or ""), row
        low, high = RANGES[row["figure"]]
        assert low <= float(row["value"]) <= high, row
        assert bool(row["at_ma"]) == (row["figure"] == "drop_v"), row


def test_every_type_with_a_row_has_a_drop_to_compute_with() -> None:
    assert [type_ for type_ in rows_of("rectifiers.csv") if not figures(type_).drops] == []


@pytest.mark.handbook
def test_the_6x4_drops_22_volts_at_70_milliamperes_a_plate() -> None:
    """tubeofile.com, page of the 6X4, citing General Electric: 22 V at the full rated 70 mA. The peak, 245 mA a plate,
    and 1250 V of inverse are General Electric's own (description and rating, design-maximum)."""
    found = figures("6X4")
    assert [(drop.volts, drop.amps) for drop in found.drops] == [(22.0, pytest.approx(0.070))]
    assert found.peak_amps is not None
    assert found.peak_amps.value == pytest.approx(0.245)
    assert found.inverse_volts is not None
    assert found.inverse_volts.value == 1250
    assert {source.key for source in found.inverse_volts.sources} == {"ge-6x4", "design-program"}


def test_the_family_of_the_6x4_is_given_for_one_plate_too() -> None:
    """Each gives 70, 40 or 60 mA from both plates: its drop is not taken at more than that through one."""
    for type_ in ("12X4", "6X5GT", "6ZY5G", "84"):
        tube = find(type_)
        assert tube is not None
        assert tube.maxima.dc_amps is not None
        assert figures(type_).drops[0].amps <= tube.maxima.dc_amps, type_


@pytest.mark.handbook
def test_two_published_drops_are_both_kept() -> None:
    """5Y3GT: 60 V at 125 mA in a manual of 1959, 50 V at 125 mA in the data of a rectifier model."""
    drops = [(drop.volts, round(drop.amps, 3)) for drop in figures("5Y3GT").drops]
    assert drops == [(60.0, 0.125), (50.0, 0.125)]


@pytest.mark.handbook
@pytest.mark.parametrize(
    ("type_", "peak", "inverse"),
    [
        ("EZ80", 0.270, 980),  # Mazda EZ80, Aug 1963
        ("83", 1.0, 1550),  # General Electric ET-T464, Feb 1947, as quoted
    ],
)
def test_peak_current_and_inverse_volts_as_printed(type_: str, peak: float, inverse: float) -> None:
    found = figures(type_)
    assert found.peak_amps is not None
    assert found.inverse_volts is not None
    assert (found.peak_amps.value, found.inverse_volts.value) == (pytest.approx(peak), inverse)
    assert not from_memory(found.peak_amps.sources)


def test_only_the_mercury_vapour_tubes_keep_their_drop_at_every_current() -> None:
    arcs = {type_ for type_ in rows_of("rectifiers.csv") if figures(type_).arc}
    assert arcs == {"83"}


@pytest.mark.parametrize("name", ["5Y3", "5Y3G", "5Y3WGTA"])
def test_versions_rectify_alike(name: str) -> None:
    assert figures(name).type == "5Y3GT"


def test_an_amplifier_has_no_such_figures() -> None:
    tube = find("6K7")
    assert tube is not None
    assert rectifier_figures(tube) is None


def test_a_peak_from_memory_is_borne_out_by_a_sister() -> None:
    """The 12X4 is the 6X4 with a 12.6 V heater; the 6X4's 245 mA are General Electric's."""
    tube, peak = find("12X4"), figures("12X4").peak_amps
    assert tube is not None
    assert peak is not None
    assert grade.rectifier(tube, "peak_amps", peak).borne_out_by == ("the 6X4 is rated the same",)


def test_half_wave_types_of_series_sets_are_there() -> None:
    known = set(rows_of("rectifiers.csv"))
    assert {"35W4", "35Z5GT", "UY41", "UY85"} <= known <= set(all_types())


@pytest.mark.handbook
def test_the_az12_gives_less_at_more_volts() -> None:
    """J. Roschy, AZ1, AZ11, AZ12 (2010), and tubeofile.com: 200 mA at 2 x 300 V, 120 mA at 2 x 500 V."""
    tube = find("AZ12")
    assert tube is not None
    limits = {limit.condition: limit for limit in tube.maxima.dc}
    assert limits["transformer of 2 x 300 V"].amps == pytest.approx(0.200)
    assert limits["transformer of 2 x 500 V"].amps == pytest.approx(0.120)
    assert len(limits["transformer of 2 x 300 V"].sources) == 4


@pytest.mark.handbook
def test_one_system_on_three_bases_drops_the_same() -> None:
    """J. Roschy, AZ1, AZ11, AZ12 (2010): the AZ11 is the AZ1 on another base, the RGN1064 its forerunner."""
    assert {figures(type_).drops[0].volts for type_ in ("AZ1", "AZ11", "RGN1064")} == {28.0}
    assert figures("AZ12").drops[0].volts < 28.0


@pytest.mark.handbook
@pytest.mark.parametrize(
    ("volts", "ohms", "gives"), [(250, 125, 260), (275, 175, 285), (300, 215, 310), (350, 300, 360)]
)
def test_the_drop_of_the_ez40_gives_what_is_printed_of_it_at_work(volts: int, ohms: int, gives: int) -> None:
    """tubeofile.com, page of the EZ40, citing two sheets: direct volts at 90 mA into 50 uF, from a winding of so
    many volts a side with so many ohms in each. The drop, 20 V at 90 mA, is from memory; 15 V would be 6 % off."""
    of = figures("EZ40")
    drop, reservoir = of.drops[0], of.reservoir_farads
    assert reservoir is not None
    rectifier = Rectifier.tube(drop.volts, drop.amps)
    found = solve(
        Supply("full-wave", volts * math.sqrt(2), 50, ohms, rectifier), Filter((FilterTap(reservoir.value, 0.0, 0.09),))
    )
    assert found.mean_volts[0] == pytest.approx(gives, rel=0.03)


def test_the_ez80_speaks_for_the_ez40_that_came_before_it() -> None:
    """The same page: identical electrical ratings, another base."""
    tube = find("EZ40")
    assert tube is not None
    assert grade.drop(tube, figures("EZ40").drops[0]).grade == "cross-checked"
    assert "the EZ80 has the same heater" in grade.heater_amps(tube).borne_out_by
    assert not from_memory(tube.maxima.dc[0].sources)


@pytest.mark.handbook
def test_what_was_read_off_the_curve_of_the_ez81_lies_with_its_drop_on_childs_law() -> None:
    """Philips EZ81, Jan 1970, as quoted: 10 V at 60 mA of a plate, off the measured part of the curve; 18 V at 150 mA
    is from memory."""
    remembered, read = figures("EZ81").drops
    assert from_memory(remembered.sources)
    assert not from_memory(read.sources)
    law = Rectifier.tube(read.volts, read.amps)
    assert law.perveance is not None
    assert law.perveance * remembered.volts**1.5 == pytest.approx(remembered.amps, rel=0.05)
