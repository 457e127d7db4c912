"""What a meter shows: as the network solved with it, whether it takes little or all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from benchleaf.electrics import dc_meters
from benchleaf.electrics.dc_elements import DcBranch, DcNet, DcVariant, Deviations, HeldNode, TubeInNet
from benchleaf.electrics.dc_meters import DcMeter, meter_readings
from benchleaf.electrics.dc_network import DcSolution, solve
from benchleaf.electrics.reservoir import Charging, mean_amps
from benchleaf.electrics.tube_law import PublishedPoint, through_point

TRIODE = through_point(PublishedPoint(250.0, 1.1e-3, -3.0, mu=70.0, gm_siemens=1.2e-3))
"""The 6Q7 of the table."""
NET = DcNet(
    5,
    (
        DcBranch("load", (1, 4), 220e3, 0.06),
        DcBranch("bias", (2, 0), 4.7e3, 0.06),
        DcBranch("leak", (3, 0), 1e6),
    ),
    (TubeInNet("V3", TRIODE, plate=1, cathode=2, grid=3, deviations=Deviations(perveance=0.15)),),
    (HeldNode("B+", 4, 250.0),),
)
OPEN = DcVariant("open", ohms=(("bias", 1e9),))


@pytest.mark.parametrize("ohms", [1e4, 2.5e5, 5e6, 1e7])
@pytest.mark.parametrize("node", [1, 2, 3])
@pytest.mark.parametrize("variant", [DcVariant(), OPEN], ids=lambda variant: variant.name or "sound")
def test_a_meter_is_a_part_of_the_set_while_it_lies_there(variant: DcVariant, node: int, ohms: float) -> None:
    found = meter_readings(NET, [variant], solve(NET, [variant], slopes=True), [DcMeter(node, ohms)])
    with_it = replace(NET, branches=(*NET.branches, DcBranch("meter", (node, 0), ohms)))
    solved = solve(with_it, [variant], slopes=True)
    assert found.volts[0, 0] == pytest.approx(solved.volts[0, node], rel=0.02, abs=0.05)
    off = np.abs(found.slopes[0, 0] - solved.slopes[0, node]).max()
    assert off <= 0.06 * np.abs(solved.slopes[0, node]).max() + 0.005 * abs(solved.volts[0, node]) + 0.01


def test_the_meter_is_the_resistor_of_a_cathode_whose_own_is_open() -> None:
    """By a straight line from 2.6 V, where the tube is all but cut off, it would be next to nothing."""
    (with_little, with_much), plain = (
        meter_readings(NET, [OPEN], solve(NET, [OPEN]), [DcMeter(2, 1e4), DcMeter(2, 1e7)]).volts[0],
        solve(NET, [OPEN]).volts[0, 2],
    )
    assert 1.0 < with_little < 0.8 * with_much <= plain


VARIANTS = [
    DcVariant(),
    DcVariant("2 % up", ohms=(("load", 224e3),)),
    DcVariant("half as much again", ohms=(("load", 330e3),)),
    OPEN,
]


@pytest.mark.parametrize(("ohms", "solved"), [(1e5, [3]), (1.8e6, [3]), (3e6, [2]), (1e9, [])])
def test_a_variant_near_the_first_takes_over_what_the_meter_does_there_and_others_are_solved(
    monkeypatch: pytest.MonkeyPatch, ohms: float, solved: list[int]
) -> None:
    """A meter that takes less than 5 % is left to the slope: at 3 megohm that is so of all but the last two."""
    counted: list[int] = []

    def counting(net: DcNet, variants: Sequence[DcVariant], **more: Any) -> DcSolution:
        counted.append(len(variants))
        return solve(net, variants, **more)

    monkeypatch.setattr(dc_meters, "solve", counting)
    found = meter_readings(NET, VARIANTS, solve(NET, VARIANTS, slopes=True), [DcMeter(1, ohms)])
    with_it = replace(NET, branches=(*NET.branches, DcBranch("meter", (1, 0), ohms)))
    exact = solve(with_it, VARIANTS, slopes=True)
    assert counted == solved
    assert found.volts[:, 0] == pytest.approx(exact.volts[:, 1], rel=1e-4)
    assert found.shares[:, 0] == pytest.approx(exact.volts[:, 1] / solve(NET, VARIANTS).volts[:, 1], rel=5e-3)
    if ohms >= 3e6:
        np.testing.assert_allclose(found.slopes[:2, 0], exact.slopes[:2, 1], rtol=0.07)


def test_a_meter_reads_against_the_point_that_it_lies_at() -> None:
    found = meter_readings(NET, [DcVariant()], solve(NET), [DcMeter(1, 1e7, to=2)]).volts[0, 0]
    volts = solve(NET).volts[0]
    assert found == pytest.approx(volts[1] - volts[2], rel=0.02)


def test_two_reservoirs_in_series_give_one_s_current_at_twice_its_volts() -> None:
    one = Charging(1, 165.0, 30.0, 5e-4)
    volts = np.array([60.0, 120.0, 150.0])
    for row in volts:
        single, doubled = mean_amps([one], np.array([row])), mean_amps([replace(one, stacked=2)], np.array([2 * row]))
        assert doubled[0] == pytest.approx(single[0])
        assert doubled[1] == pytest.approx(single[1] / 2)
