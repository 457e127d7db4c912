"""`second_points.csv`: a second published operation of a type, to hold a tube law against and never to fit one to.

Its sources are keys of the tube table's `sources.csv`. Of the table's points the first of a section is the one to fit.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from benchleaf.tubes import Typical, find
from benchleaf.tubes.tables import read_table

FILE = Path(__file__).with_name("second_points.csv")
ROWS = list(csv.DictReader(FILE.read_text(encoding="utf-8").splitlines()))
BASED_ON_CATHODE = 0.1
"""A bias that a cathode resistor makes is as printed within this: sheets round it to two figures."""


def number(text: str, scale: float = 1.0) -> float | None:
    return float(text) * scale if text else None


def ids(row: dict[str, str]) -> str:
    return f"{row['type']} at {row['plate_v']} V"


def in_table(row: dict[str, str]) -> list[Typical]:
    tube = find(row["type"])
    assert tube is not None, row["type"]
    return [point for point in tube.typical if point.section == row["section"] and point.plate_amps]


def test_there_are_enough_to_hold_a_law_against() -> None:
    assert len(ROWS) >= 24
    assert len({(row["type"], row["section"]) for row in ROWS}) >= 15
    assert {row["source"] for row in ROWS} <= {row["key"] for row in read_table("sources.csv")} - {"memory"}


@pytest.mark.parametrize("row", ROWS, ids=ids)
def test_it_is_a_point_that_the_table_prints_of_its_source(row: dict[str, str]) -> None:
    """The file and the table cannot come apart: volts, currents and source are those of a row there."""
    titles = {r["key"]: r["title"] for r in read_table("sources.csv")}
    fields = {
        "plate_volts": number(row["plate_v"]),
        "screen_volts": number(row["screen_v"]),
        "grid_volts": number(row["grid_v"]),
        "cathode_ohms": number(row["cathode_ohms"]),
        "plate_amps": number(row["plate_ma"], 1e-3),
        "screen_amps": number(row["screen_ma"], 1e-3),
    }
    found = [
        point
        for point in in_table(row)
        if all(
            getattr(point, name) == (None if value is None else pytest.approx(value)) for name, value in fields.items()
        )
        and titles[row["source"]] in point.source
    ]
    assert found, row


@pytest.mark.parametrize("row", ROWS, ids=ids)
def test_it_is_not_the_point_that_a_law_is_fitted_to(row: dict[str, str]) -> None:
    fitted = in_table(row)[0]
    here = number(row["plate_v"]), number(row["screen_v"]), number(row["plate_ma"], 1e-3)
    assert (fitted.plate_volts, fitted.screen_volts, fitted.plate_amps) != here


@pytest.mark.parametrize("row", [r for r in ROWS if r["cathode_ohms"] and r["grid_v"]], ids=ids)
def test_a_cathode_resistor_makes_the_printed_bias(row: dict[str, str]) -> None:
    """Ohm's law: plate and screen current through the resistor."""
    amps = (number(row["plate_ma"], 1e-3) or 0) + (number(row["screen_ma"], 1e-3) or 0)
    assert amps * float(row["cathode_ohms"]) == pytest.approx(-float(row["grid_v"]), rel=BASED_ON_CATHODE)
