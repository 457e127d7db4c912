"""The network of a whole set: ngspice with the same equations, what must hold in any network, and that it converges."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

import ngspice
from benchleaf.electrics.dc_elements import DcBranch, DcNet, DcVariant, HeldNode, RectifierInNet, TubeInNet
from benchleaf.electrics.dc_network import solve
from benchleaf.electrics.rectifier import Filter, FilterTap, Rectifier, Supply
from benchleaf.electrics.reservoir import Charging, mean_amps
from benchleaf.electrics.steady_state import solve as steady
from benchleaf.electrics.tube_law import PublishedPoint, TubeLaw, through_point
from benchleaf.electrics.working_slopes import amplification, plate_output_ohms, working_slopes
from random_nets import SPREAD, drawn, faulty

TRIODE = through_point(PublishedPoint(250, 1.2e-3, -2.0, mu=100, gm_siemens=1.6e-3))
PENTODE = through_point(PublishedPoint(250, 45e-3, -12.5, 250, 4.5e-3, gm_siemens=4.1e-3, rp_ohms=50e3))


def _amplifier(**other: float) -> DcNet:
    """A triode coupled to an output pentode: rails 1 and 2, plate 3, grid 4, cathode 5 of the pentode, its plate 6."""
    branches = (
        DcBranch("R5", (2, 3), 220e3, 0.058),
        DcBranch("R4", (7, 0), 10e6, 0.058),
        DcBranch("R6", (4, 0), 470e3, 0.058),
        DcBranch("R8", (5, 0), 270.0, 0.058),
        DcBranch("T1", (1, 6), 300.0, 0.09),
        DcBranch("R9", (1, 2), 2.2e3, 0.02),
        DcBranch("C7", (3, 4), 1e11),
    )
    branches = tuple(replace(branch, ohms=other.get(branch.name, branch.ohms)) for branch in branches)
    tubes = (TubeInNet("V3", TRIODE, 3, 0, 7, None, SPREAD), TubeInNet("V4", PENTODE, 6, 5, 4, 2, SPREAD))
    charging = Charging(2, 350 * 2**0.5, 150.0, 1.5e-3)
    return DcNet(8, branches, tubes, rectifiers=(RectifierInNet("V5", charging, 1, 0, 0.2, 0.4, 0.03),))


def _softplus(x: str, width: float) -> str:
    return f"{width!r}*((({x})/{width!r})>40?(({x})/{width!r}):ln(1+exp(min(({x})/{width!r},40))))"


def _spice(net: DcNet, variant: DcVariant) -> list[str]:
    """The network as B sources, from the equations and none of the code."""
    ohms = dict(variant.ohms)
    lines = [f"RX{n} {n} 0 1e9" for n in range(1, net.size)]
    for number, branch in enumerate((*net.branches, *variant.added)):
        one, other = branch.ends
        lines.append(f"R{number} {one} m{number} {ohms.get(branch.name, branch.ohms)!r}")
        lines.append(f"V{number} m{number} {other} DC {branch.volts!r}")
    lines += [f"VH{n} {held.node} 0 DC {held.volts!r}" for n, held in enumerate(net.held)]
    for number, tube in enumerate(net.tubes):
        lines += _tube(number, tube, tube.law.perveance * dict(variant.emission).get(tube.name, 1.0))
        if gas := dict(variant.grid_amps).get(tube.name):
            lines.append(f"IG{number} {tube.cathode} {tube.grid} DC {gas!r}")
    return lines


def _tube(number: int, tube: TubeInNet, perveance: float) -> list[str]:
    law: TubeLaw = tube.law
    k = tube.cathode
    plate, screen, grid = (f"(v({at or 0})-v({k}))" for at in (tube.plate, tube.screen, tube.grid))
    pull = screen if law.pentode else plate
    acts = f"+{grid}" if law.grid_acts else ""
    lines = [
        f"BD{number} d{number} 0 V={_softplus(f'{pull}/{law.mu!r}{acts}+{law.offset_volts!r}', 0.12)}",
        f"BP{number} p{number} 0 V={_softplus(plate, 0.4)}",
    ]
    knee = f"({law.knee!r}*v(d{number})+0.3)" if law.pentode else "0.5"
    reached = f"{perveance * (1 - law.screen_share)!r}*pwr(v(d{number}),1.5)*(1-exp(-v(p{number})/{knee}))"
    factor = f"(1+0.7*tanh({law.plate_slope!r}*({plate}-{law.plate_volts!r})/0.7))"
    lines.append(f"BA{number} {tube.plate} {k} I={reached}*{factor}")
    if tube.screen is not None:
        fed = f"(1-exp(-({_softplus(screen, 0.4)})/0.5))"
        lines.append(f"BS{number} {tube.screen} {k} I=({perveance!r}*pwr(v(d{number}),1.5)-{reached})*{fed}")
    if tube.grid is not None:
        lines.append(f"BG{number} {tube.grid} {k} I={_softplus(f'{grid}-({law.contact_volts!r})', 0.1)}/2000")
    return lines


def test_ngspice_finds_the_same_volts() -> None:
    rng = random.Random(8)
    worst = tried = 0.0
    while tried < 60:
        net = drawn(rng)
        held = (HeldNode("B+", 1, rng.uniform(90, 350)),)
        net = replace(net, rectifiers=(), held=held)
        (fault,) = faulty(net, rng, 1)
        solved = solve(net, [fault])
        assert solved.converged.all()
        volts = ngspice.direct(_spice(net, fault), [f"v({n})" for n in range(1, net.size)])
        theirs = np.array([volts[f"v({n})"] for n in range(1, net.size)])
        off = np.abs(solved.volts[0, 1:] - theirs) / np.maximum(np.abs(theirs), 1.0)
        worst, tried = max(worst, off.max()), tried + 1
    assert worst < 1e-5


def test_random_faulty_networks_converge(sampled: Callable[[int], int]) -> None:
    """Two thousand in the ordinary run, twenty thousand with ``--whole``."""
    rng = random.Random(1)
    steps: list[int] = []
    for _ in range(1000 // sampled(10)):
        net = drawn(rng)
        variants = list(faulty(net, rng, 20))
        solved = solve(net, variants)
        assert solved.converged.all(), [v for v, ok in zip(variants, solved.converged, strict=True) if not ok]
        steps += [int(n) for n in solved.steps]
    assert float(np.percentile(steps, 50)) <= 15
    assert float(np.percentile(steps, 99)) <= 30


def test_currents_at_every_node_sum_to_zero_and_none_stands_above_its_source() -> None:
    rng = random.Random(2)
    for _ in range(20):
        net = drawn(rng)
        variants = list(faulty(net, rng, 10))
        solved = solve(net, variants)
        for row, variant in enumerate(variants):
            highest = [h.volts for h in net.held] + [r.charging.peak_volts for r in net.rectifiers]
            assert solved.volts[row].max() <= max(highest) + 1e-6
            _sums_to_zero(net, variant, solved.volts[row], {t.name: n for n, t in enumerate(net.tubes)}, solved, row)


def _sums_to_zero(
    net: DcNet, variant: DcVariant, volts: np.ndarray, numbers: dict[str, int], solved: object, row: int
) -> None:
    out = volts * 1e-9
    ohms = dict(variant.ohms)
    for branch in (*net.branches, *variant.added):
        one, other = branch.ends
        amps = (volts[one] - volts[other] - branch.volts) / ohms.get(branch.name, branch.ohms)
        out[one] += amps
        out[other] -= amps
    for tube in net.tubes:
        n = numbers[tube.name]
        taken = (solved.plate_amps[row, n], solved.screen_amps[row, n], solved.grid_amps[row, n])
        for node, amps in zip((tube.plate, tube.screen, tube.grid), taken, strict=True):
            if node is not None:
                out[node] += amps
                out[tube.cathode] -= amps
    for rectifier in net.rectifiers:
        charging = dict(variant.charging).get(rectifier.name, rectifier.charging)
        out[rectifier.node] -= mean_amps([charging], volts[[rectifier.node]])[0][0]
    free = [n for n in range(1, net.size) if n not in {h.node for h in net.held}]
    assert np.abs(out[free]).max() < 1e-9


def test_faults_move_what_they_must() -> None:
    leak = DcVariant("C7", added=(DcBranch("leak", (3, 4), 1e6),))
    high = DcVariant("R5", ohms=(("R5", 440e3),))
    gas = DcVariant("gas", grid_amps=(("V4", 5e-6),))
    solved = solve(_amplifier(), [DcVariant(), leak, high, gas])
    sound, leaky, load, gassy = solved.volts
    assert leaky[4] > sound[4] + 5
    assert leaky[5] > sound[5] + 1
    assert load[3] < sound[3] - 20
    assert gassy[4] > sound[4] + 1
    assert gassy[1] < sound[1]


def test_order_and_names_change_nothing() -> None:
    net = _amplifier()
    turned = replace(
        net,
        branches=tuple(replace(b, name=f"x{b.name}", ends=b.ends[::-1]) for b in reversed(net.branches)),
        tubes=tuple(reversed(net.tubes)),
    )
    assert solve(turned).volts == pytest.approx(solve(net).volts, abs=1e-6)


def test_slopes_are_differences_of_whole_solutions() -> None:
    net = _amplifier()
    found = solve(net, slopes=True)
    at = dict(zip(found.parameters, np.moveaxis(found.slopes[0], 1, 0), strict=True))
    part = 0.05
    for branch in net.branches:
        if branch.deviation:
            up, down = (
                solve(_amplifier(**{branch.name: branch.ohms * (1 + s * part * branch.deviation)})) for s in (1, -1)
            )
            change = (up.volts[0] - down.volts[0]) / (2 * part)
            assert at[branch.name] == pytest.approx(change, rel=0.02, abs=2e-3 * np.abs(change).max() + 1e-6)
    for name, field in (("V3 mu", "mu"), ("V4 perveance", "perveance"), ("V4 screen_share", "screen_share")):
        number, deviation = int(name[1]) - 3, getattr(SPREAD, field)
        tubes = list(net.tubes)
        law = tubes[number].law
        changed = replace(law, **{field: getattr(law, field) * (1 + part * deviation)})
        tubes[number] = replace(tubes[number], law=changed)
        change = (solve(replace(net, tubes=tuple(tubes))).volts[0] - found.volts[0]) / part
        assert at[name] == pytest.approx(change, rel=0.06, abs=0.02 * np.abs(change).max() + 1e-6)


def _deviations(net: DcNet) -> np.ndarray:
    """One standard deviation of each node's volts, all parameters being independent."""
    return (solve(net, slopes=True).slopes ** 2).sum(axis=2) ** 0.5


def test_the_range_grows_with_everything_that_is_uncertain() -> None:
    net = _amplifier()
    sure = replace(net, branches=tuple(replace(b, deviation=0.0) for b in net.branches))
    narrow, wide = _deviations(sure), _deviations(net)
    assert (wide >= narrow - 1e-12).all()
    assert wide[0, 3] > narrow[0, 3] + 0.1


def test_the_range_is_that_of_parts_drawn_at_random() -> None:
    """Four hundred sets of resistors within their deviations: the spread of each node is the one from the slopes."""
    net = replace(_amplifier(), tubes=tuple(replace(t, deviations=type(SPREAD)()) for t in _amplifier().tubes))
    net = replace(net, rectifiers=tuple(RectifierInNet(r.name, r.charging, r.node) for r in net.rectifiers))
    rng = random.Random(3)
    variants = [
        DcVariant(ohms=tuple((b.name, b.ohms * (1 + rng.gauss(0, b.deviation))) for b in net.branches))
        for _ in range(400)
    ]
    drawn_at_random = solve(net, variants).volts.std(axis=0)
    expected = _deviations(net)[0]
    for node in (1, 2, 3, 5, 6):
        assert drawn_at_random[node] == pytest.approx(expected[node], rel=0.1)


def test_a_meter_shows_what_it_leaves() -> None:
    net = _amplifier()
    solved = solve(net)
    for node, off in ((3, 0.005), (5, 1e-4), (1, 1e-4)):
        with_meter = solve(net, [DcVariant(added=(DcBranch("meter", (node, 0), 1e6),))])
        assert (solved.volts[:, node] * solved.meter_share(node, 1e6))[0] == pytest.approx(
            with_meter.volts[0, node], rel=off
        )


def test_what_is_not_in_the_network_cannot_be_changed() -> None:
    with pytest.raises(ValueError, match="R77"):
        solve(_amplifier(), [DcVariant(ohms=(("R77", 1.0),))])
    with pytest.raises(ValueError, match="nodes 0 to 7"):
        solve(_amplifier(), [DcVariant(added=(DcBranch("x", (1, 8), 1.0),))])


def test_wires_and_gaps_are_solved_like_any_other_value() -> None:
    extremes = [DcVariant(ohms=((name, ohms),)) for name in ("R5", "R8", "T1", "R9") for ohms in (0.0, 1e12, np.inf)]
    solved = solve(_amplifier(), extremes, slopes=True)
    assert solved.converged.all()
    assert np.isfinite(solved.slopes).all()


SUPPLIES = [
    ("half-wave", 165.5, 22.0, 60.0, (18.0, 0.120), 100e-6, 0.07),
    ("full-wave", 495.0, 150.0, 50.0, (50.0, 0.125), 40e-6, 0.06),
    ("full-wave", 353.5, 200.0, 50.0, (19.0, 0.090), 50e-6, 0.05),
]


@pytest.mark.parametrize(("kind", "peak", "ohms", "hertz", "tube", "farads", "amps"), SUPPLIES)
def test_the_time_domain_finds_the_same_supply(
    kind: str, peak: float, ohms: float, hertz: float, tube: tuple[float, float], farads: float, amps: float
) -> None:
    """Where the ripple is below a fifth of B+, within 1.5 %."""
    rectifier = Rectifier.tube(*tube)
    found = steady(Supply(kind, peak, hertz, ohms, rectifier), Filter((FilterTap(farads, load_amps=amps),)))
    assert found.ripple_volts[0] < found.mean_volts[0] / 5
    charging = Charging(1 if kind == "half-wave" else 2, peak, ohms, rectifier.perveance)
    draws = found.mean_volts[0] / amps
    net = DcNet(2, (DcBranch("load", (1, 0), draws),), rectifiers=(RectifierInNet("V5", charging, 1),))
    assert solve(net).volts[0, 1] == pytest.approx(found.mean_volts[0], rel=0.015)


@pytest.mark.parametrize("charging", [Charging(2, 300, 100, 1e-3), Charging(1, 165, 30, None, 1.0)])
def test_the_supply_by_its_slope_and_by_plain_summation(charging: Charging) -> None:
    for volts in (-20.0, 0.0, 80.0, 0.9 * charging.peak_volts):
        (amps,), (slope,) = mean_amps([charging], np.array([volts]))
        (more,), _ = mean_amps([charging], np.array([volts + 1e-4]))
        assert slope == pytest.approx((more - amps) / 1e-4, rel=2e-3, abs=1e-9)
        angles = (np.arange(20_000) + 0.5) * 2 * np.pi / 20_000
        rectifier = Rectifier(charging.perveance, charging.drop_volts)
        wave = charging.peak_volts * np.sin(angles) - volts
        plain = np.mean([rectifier.amps(float(v), charging.ohms) for v in wave]) * charging.paths
        assert amps == pytest.approx(plain, rel=2e-3)


def test_a_table_stands_in_the_place_of_the_formula() -> None:
    table = Charging(2, 300, 100, table=((0.0, 0.2), (200.0, 0.1), (300.0, 0.0)))
    amps, slopes = mean_amps([table] * 4, np.array([0.0, 100.0, 250.0, 400.0]))
    assert amps == pytest.approx([0.2, 0.15, 0.05, 0.0])
    assert slopes == pytest.approx([-0.0005, -0.0005, -0.001, 0.0])


def test_small_signals_are_small_changes_of_the_whole_network() -> None:
    """A stage's grid moved by a hundredth of a volt moves its plate by what its slopes say."""
    base = _amplifier()
    net = replace(
        base,
        branches=tuple(b for b in base.branches if b.name not in ("R4", "C7")),
        tubes=(replace(base.tubes[0], cathode=8), base.tubes[1]),
        size=9,
        held=(HeldNode("B+2", 2, 250.0), HeldNode("B+1", 1, 260.0), HeldNode("grid", 7, -0.5)),
        rectifiers=(),
    )
    for cathode_ohms in (0.01, 1500.0):
        one = replace(net, branches=(*net.branches, DcBranch("Rk", (8, 0), cathode_ohms)))
        here, up, down = solve(one, [DcVariant(held=(("grid", v),)) for v in (-0.5, -0.49, -0.51)]).volts
        at = working_slopes(one, solve(one, slopes=True))["V3"][0]
        gain = amplification(at, 220e3, cathode_ohms)
        assert gain == pytest.approx(-(up[3] - down[3]) / 0.02, rel=2e-3)
        shunted = solve(one, [DcVariant(added=(DcBranch("load", (3, 0), 1e12, volts=0.0),))])
        assert plate_output_ohms(at, 220e3, cathode_ohms) == pytest.approx(shunted.ohms[0, 3], rel=2e-3)
        assert here[3] == pytest.approx(at.plate_volts + here[8])
    with pytest.raises(ValueError, match="above zero"):
        amplification(at, 0.0)


def test_a_slope_moves_with_what_it_depends_on() -> None:
    net = _amplifier()
    found = solve(net, slopes=True)
    at = working_slopes(net, found)
    moved = dict(zip(found.parameters, at["V4"][1:], strict=True))
    law = net.tubes[1].law
    stronger = replace(law, perveance=law.perveance * 1.15)
    other = replace(net, tubes=(net.tubes[0], replace(net.tubes[1], law=stronger)))
    whole = working_slopes(other, solve(other, slopes=True))["V4"][0]
    assert moved["V4 perveance"].slope == pytest.approx(whole.slope, rel=0.02)
    assert moved["V4 perveance"].plate_amps == pytest.approx(whole.plate_amps, rel=0.02)
    assert moved["R4"].slope == pytest.approx(at["V4"][0].slope, rel=1e-4)
