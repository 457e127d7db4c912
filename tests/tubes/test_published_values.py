"""The table against rows read independently from publications (tests/facts), each row naming its source."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from benchleaf.tubes import Tube, find, from_memory
from benchleaf.tubes.build_tube import parts_of
from benchleaf.tubes.tube import TOP_CAP

FACTS = Path(__file__).parents[1] / "facts"
# Rows the table does not follow, and why; each must still differ, or it is to be struck out.
NOT_FOLLOWED = {
    ("ECH21", "heater_amps"): "the article's own figure is doubtful: the UCH21 takes 2 W, so 0.33 A at 6.3 V",
    ("UF41", "heater_volts"): "12.5 V printed by one page, 12.6 V by another",
    ("5AR4", "heater_amps"): "the page rounds to whole amperes",
}
# Limits the table gives otherwise, and why; each must still differ.
MAXIMA_NOT_FOLLOWED = {
    ("EBF80", "max_screen_v"): "300 V holds under 2.5 mA of plate current; at the 5 mA of its normal point 125 V",
    ("EBF89", "max_screen_v"): "300 V holds under 4 mA of plate current; over 8 mA, as at its normal point, 125 V",
}
# Pins that a better source leads elsewhere; each must still differ.
PINS_NOT_FOLLOWED = {
    ("EZ80", 1): "the Mazda sheet of 1963 counts the plates the other way round",
    ("EZ80", 7): "the Mazda sheet of 1963 counts the plates the other way round",
}


def rows_of(name: str) -> list[dict[str, str]]:
    with (FACTS / name).open(encoding="utf-8", newline="") as table:
        return list(csv.DictReader(table))


def tube(type_: str) -> Tube:
    found = find(type_)
    assert found is not None, type_
    return found


@pytest.mark.handbook
def test_heaters_of_the_published_list() -> None:
    differ = set()
    for row in (*rows_of("heaters_published.csv"), *rows_of("tube_heaters.csv")):
        heater = tube(row["type"]).heater
        for column, value in (("heater_volts", heater.volts), ("heater_amps", heater.amps)):
            if row[column] and float(row[column]) != value:
                differ.add((tube(row["type"]).type, column))
    assert differ == set(NOT_FOLLOWED)


@pytest.mark.handbook
def test_published_heaters_are_not_called_from_memory() -> None:
    for row in rows_of("tube_heaters.csv"):
        assert not any(source.from_memory for source in tube(row["type"]).heater.sources), row["type"]


@pytest.mark.handbook
def test_published_maxima_stand_in_the_table() -> None:
    columns = {
        "max_plate_w": ("plate_watts", 1.0),
        "max_plate_v": ("plate_volts", 1.0),
        "max_screen_v": ("screen_volts", 1.0),
        "max_screen_w": ("screen_watts", 1.0),
        "max_cathode_ma": ("cathode_amps", 1e-3),
    }
    checked, differ = 0, set()
    for row in rows_of("heaters_published.csv"):
        for column, (name, factor) in columns.items():
            if not row[column]:
                continue
            rated = getattr(tube(row["type"]).maxima, name)
            if rated.value != pytest.approx(float(row[column]) * factor):
                differ.add((row["type"], column))
            assert not from_memory(rated.sources), row
            checked += 1
    assert checked > 60
    assert differ == set(MAXIMA_NOT_FOLLOWED)


@pytest.mark.handbook
def test_pins_against_the_published_pin_rows() -> None:
    """439 rows of symbol libraries, data sheets and a tube table; joined electrodes may be named in part."""
    differ = set()
    for row in rows_of("tube_pins.csv"):
        type_ = row["type"].split("/")[0]
        pin = TOP_CAP if row["pin"] == "cap" else int(row["pin"])
        ours = set(parts_of(tube(type_).pins[pin]))
        theirs = set(parts_of(row["electrode"].replace("kp", "k").replace("g3t+", "")))
        if not (ours <= theirs or theirs <= ours):
            differ.add((type_, pin))
    assert differ == set(PINS_NOT_FOLLOWED)


@pytest.mark.handbook
def test_12be6_as_general_electric_printed_it() -> None:
    """General Electric ET-T891A, Nov 1956: 300 V, 1 W, screens 100 V; 250 V, 100 V, -1.5 V, 2.9 mA, 6.8 mA."""
    maxima = tube("12BE6").maxima
    assert maxima.plate_watts is not None
    assert maxima.plate_watts.value == 1.0
    assert maxima.plate_watts.sources[0].title.startswith("General Electric")
    point = tube("12BE6").typical[0]
    assert (point.plate_volts, point.screen_volts, point.grid_volts) == (250.0, 100.0, -1.5)
    assert point.plate_amps == pytest.approx(2.9e-3)
    assert point.screen_amps == pytest.approx(6.8e-3)


@pytest.mark.handbook
def test_eabc80_takes_the_data_sheet_and_keeps_the_other_figure_in_words() -> None:
    """Philips EABC80, Oct 1955: 6.3 V 0.48 A; lists give 0.45 A."""
    eabc80 = tube("EABC80")
    assert eabc80.heater.amps == 0.48
    assert "Philips" in eabc80.heater.source
    assert "0.45 A from memory" in eabc80.disagreement


@pytest.mark.handbook
def test_el84_operating_points_of_the_philips_sheet() -> None:
    """Philips EL84, sheets 2-3: 250 V, -8.4 V, 210 ohm, 36 mA, 7000 ohm."""
    points = [point for point in tube("EL84").typical if point.cathode_ohms == 210]
    assert [(point.grid_volts, point.load_ohms) for point in points] == [(-8.4, 7000.0)]
    assert points[0].plate_amps == pytest.approx(0.036)


def test_a_rectifier_with_a_pilot_lamp_on_its_tap_may_give_less() -> None:
    """35W4: 60 mA with the lamp, 90 mA with lamp and shunt, 100 mA without (from memory)."""
    rectifier = tube("35W4")
    by_condition = {limit.condition: limit.amps for limit in rectifier.maxima.dc}
    assert by_condition == pytest.approx(
        {
            "pilot lamp on the tap": 0.060,
            "pilot lamp on the tap with shunt resistor": 0.090,
            "no pilot lamp": 0.100,
        }
    )
    assert rectifier.maxima.dc_amps == pytest.approx(0.060)
    assert rectifier.heater.tap_volts == 7.5
    assert all(from_memory(limit.sources) for limit in rectifier.maxima.dc)


@pytest.mark.handbook
def test_triode_section_of_the_ech81_has_its_own_limits() -> None:
    """Philips ECH81, sheets 1-5: triode 0.8 W, 250 V, 6.5 mA."""
    (triode,) = tube("ECH81").other_maxima
    assert triode.section == "triode"
    assert triode.plate_watts is not None
    assert triode.plate_watts.value == 0.8
    assert triode.cathode_amps is not None
    assert triode.cathode_amps.value == pytest.approx(6.5e-3)


@pytest.mark.handbook
def test_centre_tapped_heater_of_the_12ax7_both_ways() -> None:
    """op316.com, 12AX7 family table: 12.6 V 0.15 A, or 6.3 V 0.3 A."""
    heater = tube("12AX7").heater
    assert (heater.volts, heater.amps) == (12.6, 0.15)
    assert (heater.parallel_volts, heater.parallel_amps) == (6.3, 0.3)
