"""A stage's direct voltages with its tube: published plate resistances, ngspice, and the effect of each part."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

import ngspice
from benchleaf.electrics.dc_stage import BIAS_SHARES, DcStage, calibrated, extremes, plate_resistance, solve_stage
from benchleaf.electrics.loading import in_parallel, true_volts

TRIODES = [
    ("6J5, 6SN7GT one section", 250, 9e-3, 7_700),
    ("6SL7GT one section", 250, 2.3e-3, 44_000),
    ("6SQ7", 250, 0.9e-3, 91_000),
    ("6Q7", 250, 1.0e-3, 58_000),
    ("12AX7", 250, 1.2e-3, 62_500),
    ("12AX7 at 100 V", 100, 0.5e-3, 80_000),
    ("12AU7", 250, 10.5e-3, 7_700),
]


@pytest.mark.parametrize(("tube", "volts", "amps", "ohms"), TRIODES)
def test_published_plate_resistances_lie_within_the_band(tube: str, volts: float, amps: float, ohms: float) -> None:
    """Typical operation of common triodes as in the tube manuals of the 1940s and 1950s; figures from memory."""
    band = [plate_resistance(volts, amps, share) for share in BIAS_SHARES]
    assert min(band) <= ohms <= max(band), tube


def test_no_current_has_no_plate_resistance() -> None:
    with pytest.raises(ValueError, match="above zero"):
        plate_resistance(100, 0, 0.5)


TRIODE = DcStage(165, 220e3)
PENTODE = DcStage(250, 100, 300, screen_supply_volts=250, screen_ohms=90e3)


def _triode(share: float) -> DcStage:
    found = calibrated(TRIODE, 60, None, 0, share)
    assert found is not None
    return found


@pytest.mark.parametrize("share", BIAS_SHARES)
def test_a_calibrated_stage_gives_the_voltages_it_was_made_for(share: float) -> None:
    solved = solve_stage(_triode(share))
    assert solved.plate == pytest.approx(60)
    other = calibrated(PENTODE, 249, 96, 3, share)
    assert other is not None
    at = solve_stage(other)
    assert (at.plate, at.screen, at.cathode) == (pytest.approx(249, abs=0.5), pytest.approx(96), pytest.approx(3))


def test_a_stage_that_cannot_be_has_no_tube() -> None:
    assert calibrated(TRIODE, 170, None, 0, 0.5) is None
    assert calibrated(DcStage(100, 0), 100, None, 0, 0.5) is None


def _spice(stage: DcStage, meter_ohms: float | None = None) -> list[str]:
    """A triode stage as a netlist: the three-halves law as a behavioural source."""
    drive = f"(v(p)-v(k))/{stage.mu!r}-v(k)-{stage.offset_volts!r}"
    lines = [
        f"Vb b 0 DC {stage.supply_volts!r}",
        f"Rl b p {stage.load_ohms!r}",
        f"Rk k 0 {stage.cathode_ohms or 1e-3!r}",
        f"B1 p k I={stage.perveance!r}*pwr(uramp({drive}),1.5)",
    ]
    return [*lines, f"Rm p 0 {meter_ohms!r}"] if meter_ohms else lines


@pytest.mark.parametrize("load", [100e3, 220e3, 470e3])
@pytest.mark.parametrize("cathode", [0.0, 1e3, 2.7e3])
def test_ngspice_solves_the_same_triode_stage(load: float, cathode: float) -> None:
    stage = DcStage(180, load, cathode, mu=70, perveance=1.4e-3, offset_volts=0.4)
    solved = solve_stage(stage)
    spice = ngspice.direct(_spice(stage), ["v(p)", "v(k)"])
    assert solved.plate == pytest.approx(spice["v(p)"], rel=1e-5)
    assert solved.cathode == pytest.approx(spice["v(k)"], rel=1e-4, abs=1e-5)


@pytest.mark.parametrize("meter_ohms", [300e3, 1e6, 5e6])
@pytest.mark.parametrize("cathode", [0.0, 1.5e3])
def test_the_source_resistance_undoes_a_meter_in_ngspice(meter_ohms: float, cathode: float) -> None:
    """The loaded reading times (1 + source / meter) is the unloaded one; with the load alone it is too much."""
    stage = DcStage(165, 220e3, cathode, mu=70, perveance=2.4e-3, offset_volts=0.0 if cathode else 0.4)
    unloaded = ngspice.direct(_spice(stage), ["v(p)", "v(k)"])["v(p)"]
    loaded = ngspice.direct(_spice(stage, meter_ohms), ["v(p)", "v(k)"])
    at, cathode_volts = loaded["v(p)"], loaded["v(k)"]
    amps = (165 - at) / 220e3 - at / meter_ohms
    band = [plate_resistance(at - cathode_volts, amps, share, cathode) for share in BIAS_SHARES]
    told = [true_volts(at, in_parallel(220e3, ohms), meter_ohms) for ohms in band]
    assert min(told) * 0.98 <= unloaded <= max(told) * 1.02
    assert told[1] == pytest.approx(unloaded, rel=0.06)
    assert true_volts(at, 220e3, meter_ohms) > unloaded


@given(st.floats(0.3, 3), st.sampled_from(BIAS_SHARES))
def test_a_higher_plate_load_never_raises_the_plate(times: float, share: float) -> None:
    sound = _triode(share)
    changed = solve_stage(replace(sound, load_ohms=220e3 * times)).plate
    assert (changed - 60) * (times - 1) <= 1e-6


@given(st.floats(0, 0.2))
def test_the_extremes_hold_every_value_between(share: float) -> None:
    tubes = [_triode(s) for s in BIAS_SHARES]
    low, high = extremes(tubes, {"load_ohms": 0.2})["plate"]
    for sign in (-1, 1):
        assert low - 1e-9 <= solve_stage(replace(tubes[1], load_ohms=220e3 * (1 + sign * share))).plate <= high + 1e-9


@pytest.mark.handbook
def test_a_higher_cathode_resistor_takes_an_el84_to_its_other_published_operating_point() -> None:
    """EL84, 250 V plate and screen: 135 ohm, 48 + 5.5 mA, 7.3 V; 210 ohm, 36 + 4.1 mA, 8.4 V (Philips, 1953-1955)."""
    first = DcStage(250 + 7.3, 1, 135, screen_supply_volts=250 + 7.3, screen_ohms=1)
    told = []
    for share in BIAS_SHARES:
        tube = calibrated(first, 257.25, 257.295, 7.3, share)
        assert tube is not None
        told.append(solve_stage(replace(tube, cathode_ohms=210)))
    assert min(at.cathode for at in told) <= 8.4 <= max(at.cathode for at in told)
    assert told[1].cathode == pytest.approx(8.4, rel=0.02)
    assert told[1].cathode_amps == pytest.approx(40.1e-3, rel=0.03)


@pytest.mark.handbook
@pytest.mark.parametrize(
    ("volts", "bias", "milliamps"), [(180, 8.5, 29 + 3), (250, 12.5, 45 + 4.5)], ids=["180 V", "250 V"]
)
def test_published_points_of_a_6v6gt_lie_within_the_band_of_bias(volts: float, bias: float, milliamps: float) -> None:
    """6V6GT, class A (Tung-Sol, 1941). From one point the law foretells the other within 10 %: I follows V^1.5."""
    foretold = (45 + 4.5) * (volts / 250) ** 1.5
    assert milliamps == pytest.approx(foretold, rel=0.1)
    tube = calibrated(
        DcStage(volts + bias, 1, bias / milliamps * 1e3, screen_supply_volts=volts + bias, screen_ohms=1),
        volts + bias - 0.04,
        volts + bias - 0.004,
        bias,
        0.5,
    )
    assert tube is not None
    assert 8 < tube.mu < 12


AMPLIFIER = DcStage(250.0, 100e3, 1500.0, mu=70.0, perveance=1.5e-3)
BEFORE_IT = DcStage(250.0, 100e3, 1000.0, 250.0, 470e3, mu=20.0, perveance=4e-4, screen_share=0.2)
AT_WORK = [
    AMPLIFIER,
    replace(AMPLIFIER, cathode_ohms=0.0, offset_volts=1.0),
    BEFORE_IT,
    replace(BEFORE_IT, load_ohms=1e6, screen_ohms=220e3),
    replace(BEFORE_IT, load_ohms=2e6, screen_ohms=100e3, cathode_ohms=2000.0),
]


@pytest.mark.parametrize("stage", AT_WORK)
def test_currents_add_up_at_every_electrode_and_the_tube_keeps_its_law(stage: DcStage) -> None:
    """Kirchhoff's laws, the three-halves law, and below 15 V a pentode's plate that takes in proportion to them."""
    at = solve_stage(stage)
    close = {"rel": 1e-6, "abs": 1e-12}
    assert (stage.supply_volts - at.plate) / stage.load_ohms == pytest.approx(at.plate_amps, **close)
    if at.screen is not None and stage.screen_supply_volts is not None:
        fed = (stage.screen_supply_volts - at.screen) / stage.screen_ohms
        assert fed == pytest.approx(at.screen_amps, **close)
    if stage.cathode_ohms:
        assert at.cathode / stage.cathode_ohms == pytest.approx(at.cathode_amps, **close)
    puller = at.plate if at.screen is None else at.screen
    drive = (puller - at.cathode) / stage.mu - at.cathode - stage.offset_volts
    assert at.cathode_amps == pytest.approx(stage.perveance * drive**1.5, rel=1e-6)
    if at.screen is not None:
        knee = min(1.0, (at.plate - at.cathode) / 15.0)
        assert at.plate_amps == pytest.approx(at.cathode_amps * (1 - stage.screen_share) * knee, rel=1e-6)


def test_two_of_them_work_below_the_knee() -> None:
    below = [at for at in map(solve_stage, AT_WORK) if at.screen is not None and at.plate - at.cathode < 15]
    assert len(below) >= 2


@pytest.mark.parametrize(
    ("change", "name", "volts"),
    [
        ({"load_ohms": 0.0}, "plate", 250.0),
        ({"cathode_ohms": 0.0}, "cathode", 0.0),
        ({"perveance": 0.0}, "plate", 250.0),
        ({"offset_volts": 100.0}, "plate", 250.0),
    ],
)
def test_what_is_a_wire_or_cut_off_stands_where_it_must(change: dict[str, float], name: str, volts: float) -> None:
    assert getattr(solve_stage(replace(AMPLIFIER, **change)), name) == pytest.approx(volts, abs=1e-3)
