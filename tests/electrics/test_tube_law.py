"""The tube law against published points that it was not made from, and its slopes against differences."""

from __future__ import annotations

import csv
import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.electrics.dc_elements import DcBranch, DcNet, HeldNode, TubeInNet
from benchleaf.electrics.dc_network import solve
from benchleaf.electrics.tube_law import (
    LawArrays,
    PublishedPoint,
    TubeLaw,
    converter,
    currents,
    oscillator_triode,
    through_point,
)
from benchleaf.tubes import find
from random_nets import PENTODES, TRIODES, laws, published
from sites import REPO


def _arrays(law: TubeLaw) -> LawArrays:
    return LawArrays(*(np.array([[float(getattr(law, name))]]) for name in LawArrays._fields))


def _at(law: TubeLaw, plate: float, screen: float, grid: float) -> tuple[float, float, float]:
    amps = currents(_arrays(law), np.array([[[plate, screen, grid]]])).amps[0, 0]
    return float(amps[0]), float(amps[1]), float(amps[2])


SECOND_POINTS = [*csv.DictReader((REPO / "tests/electrics/second_points.csv").read_text().splitlines())]
WITHIN, PENTODES_WITHIN, SCREENS_WITHIN = 0.20, 0.17, 1.5


def _volts(row: dict[str, str], column: str) -> float | None:
    return float(row[column]) if row[column] else None


def _first_law(row: dict[str, str]) -> TubeLaw | None:
    """The law through the type's first published point of that section that is not the row's own."""
    tube = find(row["type"])
    assert tube is not None
    for point in tube.typical:
        here = (point.plate_volts, point.screen_volts) == (_volts(row, "plate_v"), _volts(row, "screen_v"))
        fits = point.section == row["section"] and bool(point.screen_volts) == bool(row["screen_v"])
        if here or not fits or re.search("push|triode", point.use):
            continue
        try:
            return through_point(published(point))
        except (TypeError, ValueError):
            continue
    return None


@pytest.mark.handbook
def test_the_second_points_of_sheets_follow_from_the_first() -> None:
    """Each printed point of ``second_points.csv`` (the source stands in its row) by a law through another point."""
    off = {}
    for row in SECOND_POINTS:
        law = _first_law(row)
        if law is None:
            continue
        plate_amps, screen_amps = float(row["plate_ma"]) / 1000, (_volts(row, "screen_ma") or 0.0) / 1000
        grid = _volts(row, "grid_v")
        if grid is None:
            grid = -float(row["cathode_ohms"]) * (plate_amps + screen_amps)
        plate, screen = _volts(row, "plate_v"), _volts(row, "screen_v")
        assert plate
        to_plate, to_screen, _ = _at(law, plate, screen or 0.0, grid)
        off[row["type"], plate] = to_plate / plate_amps - 1
        assert abs(off[row["type"], plate]) <= (PENTODES_WITHIN if screen else WITHIN), row
        if screen_amps:
            assert screen_amps / SCREENS_WITHIN < to_screen < screen_amps * SCREENS_WITHIN, row
    assert len(off) >= 20
    assert sorted(map(abs, off.values()))[len(off) // 2] <= 0.04


EL84 = PublishedPoint(250, 48e-3, -7.3, 250, 5.5e-3, mu=19, gm_siemens=11.3e-3, rp_ohms=40e3)


@pytest.mark.handbook
def test_a_published_cathode_resistor_gives_the_published_current() -> None:
    """EL84 on 135 ohm, Philips: 250 V at plate and screen, 48 mA and 5.5 mA above a cathode 7.3 V high."""
    point = PublishedPoint(EL84.plate_volts, 48e-3, None, 250, 5.5e-3, cathode_ohms=135, mu=19, gm_siemens=11.3e-3)
    net = DcNet(
        4,
        (DcBranch("Rk", (3, 0), 135.0),),
        (TubeInNet("V1", through_point(point), 1, 3, 0, 2),),
        (HeldNode("plate", 1, 257.3), HeldNode("screen", 2, 257.3)),
    )
    solved = solve(net)
    assert solved.volts[0, 3] == pytest.approx(7.3, rel=0.02)
    assert solved.plate_amps[0, 0] == pytest.approx(48e-3, rel=0.02)


def test_every_published_point_that_can_be_used_lies_on_its_law() -> None:
    tried = 0
    for type_ in (*TRIODES, *PENTODES):
        tube = find(type_)
        assert tube is not None
        for point in tube.typical:
            try:
                law = through_point(published(point))
            except (TypeError, ValueError):
                continue
            grid = point.grid_volts or -(point.cathode_ohms or 0.0) * (point.plate_amps + (point.screen_amps or 0.0))
            to_plate, to_screen, _ = _at(law, point.plate_volts, point.screen_volts or 0.0, grid)
            assert to_plate == pytest.approx(point.plate_amps, rel=5e-3), point
            assert to_screen == pytest.approx(point.screen_amps or 0.0, rel=0.02), point
            tried += 1
    assert tried >= 15


@pytest.mark.parametrize(
    ("point", "why"),
    [
        (PublishedPoint(0.0, 1e-3, -1.0), "plate volts"),
        (PublishedPoint(100.0, 1e-3, -1.0, 100.0), "screen"),
        (PublishedPoint(100.0, 1e-3), "grid's volts"),
        (PublishedPoint(100.0, 1e-3, 0.0), "slope or mu"),
        (PublishedPoint(100.0, 1e-3, -5.0, mu=100), "cut off"),
        (PublishedPoint(100.0, 1e-3, 1.0, gm_siemens=1e-1), "does not fit"),
    ],
)
def test_a_point_that_cannot_be_used_says_why(point: PublishedPoint, why: str) -> None:
    with pytest.raises(ValueError, match=why):
        through_point(point)


@pytest.mark.parametrize("values", [(0, 1, 1, 1), (1, 1, -1, 1)])
def test_a_converter_needs_all_it_is_made_from(values: tuple[float, ...]) -> None:
    with pytest.raises(ValueError, match="above zero"):
        converter(*values)
    with pytest.raises(ValueError, match="above zero"):
        oscillator_triode(1e-3, 0.0)


def test_a_converter_passes_its_published_currents_whatever_its_grid() -> None:
    law = converter(3e-3, 8e-3, 100.0, 250.0)
    assert _at(law, 250, 100, -20)[:2] == pytest.approx((3e-3, 8e-3), rel=1e-6)
    assert _at(oscillator_triode(4e-3, 100.0), 100, 0, -30)[0] == pytest.approx(4e-3, rel=1e-6)


@given(
    plate=st.floats(-20, 400),
    screen=st.floats(-20, 400),
    grid=st.floats(-60, 10),
    number=st.integers(0, 9),
)
def test_slopes_are_those_of_the_currents(plate: float, screen: float, grid: float, number: int) -> None:
    law = _arrays(laws((*TRIODES, *PENTODES))[number])
    volts = np.array([[[plate, screen, grid]]])
    found = currents(law, volts)
    for moved in range(3):
        step = np.zeros(3)
        step[moved] = 1e-5
        by_difference = (currents(law, volts + step).amps - currents(law, volts - step).amps) / 2e-5
        assert found.slopes[..., moved] == pytest.approx(by_difference, rel=1e-4, abs=1e-9)


@given(plate=st.floats(-50, 500), screen=st.floats(-50, 500), grid=st.floats(-100, 20), number=st.integers(0, 9))
def test_no_electrode_emits_current(plate: float, screen: float, grid: float, number: int) -> None:
    assert min(_at(laws((*TRIODES, *PENTODES))[number], plate, screen, grid)) >= 0
