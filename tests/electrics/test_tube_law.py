"""The tube law against published points that it was not made from, and its slopes against differences."""

from __future__ import annotations

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


def _arrays(law: TubeLaw) -> LawArrays:
    return LawArrays(*(np.array([[float(getattr(law, name))]]) for name in LawArrays._fields))


def _at(law: TubeLaw, plate: float, screen: float, grid: float) -> tuple[float, float, float]:
    amps = currents(_arrays(law), np.array([[[plate, screen, grid]]])).amps[0, 0]
    return float(amps[0]), float(amps[1]), float(amps[2])


AX7 = PublishedPoint(250, 1.2e-3, -2.0, mu=100, gm_siemens=1.6e-3)
SN7 = PublishedPoint(250, 9e-3, -8.0, mu=20, gm_siemens=2.6e-3)
AU7 = PublishedPoint(250, 10.5e-3, -8.5, mu=17, gm_siemens=2.2e-3)
V6 = PublishedPoint(250, 45e-3, -12.5, 250, 4.5e-3, gm_siemens=4.1e-3, rp_ohms=50e3)
EL84 = PublishedPoint(250, 48e-3, -7.3, 250, 5.5e-3, mu=19, gm_siemens=11.3e-3, rp_ohms=40e3)

SECOND_POINTS = [
    ("12AX7, GE ET-T509B", AX7, (100, 0, -1), 0.50e-3, None, 0.02),
    ("6SN7GT, Tung-Sol 1948", SN7, (90, 0, 0), 10e-3, None, 0.11),
    ("12AU7, from memory", AU7, (100, 0, 0), 11.8e-3, None, 0.18),
    ("6V6GT, Tung-Sol 1941", V6, (180, 180, -8.5), 29e-3, 3e-3, 0.02),
    ("6V6GT, Tung-Sol 1941", V6, (315, 225, -13), 34e-3, 2.2e-3, 0.04),
    ("EL84, Philips", EL84, (250, 250, -8.4), 36e-3, 4.1e-3, 0.02),
    ("EL84, Philips", EL84, (250, 210, -6.4), 36e-3, 3.9e-3, 0.04),
]


@pytest.mark.handbook
@pytest.mark.parametrize(("sheet", "point", "second", "plate_amps", "screen_amps", "within"), SECOND_POINTS)
def test_the_second_point_of_a_sheet_follows_from_the_first(
    sheet: str,
    point: PublishedPoint,
    second: tuple[float, float, float],
    plate_amps: float,
    screen_amps: float | None,
    within: float,
) -> None:
    to_plate, to_screen, _ = _at(through_point(point), *second)
    assert to_plate == pytest.approx(plate_amps, rel=within), sheet
    if screen_amps is not None:
        assert screen_amps / 1.5 < to_screen < screen_amps * 1.5, sheet


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
