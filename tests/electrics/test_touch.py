"""Touch current by the body networks of IEC 60990, and its limits."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import ngspice
from benchleaf.electrics.limits import (
    DEFAULT_LIMIT,
    LIMITS,
    RESIDUAL_CURRENT_DEVICES,
    TouchLimit,
    over_limit,
    trip,
)
from benchleaf.electrics.nodal_analysis import (
    Capacitor,
    NetworkElement,
    NetworkError,
    Resistor,
    VoltageSource,
    Wire,
    solve,
)
from benchleaf.electrics.touch import (
    Touch,
    loaded_volts,
    meter_volts,
    service_check_volts,
    touch_between,
    touch_current,
)
from body_network import body_network


def through_capacitor(volts: float, farads: float) -> list[NetworkElement]:
    return [VoltageSource("hot", "earth", volts), Capacitor("hot", "chassis", farads)]


# ngspice 39 batch runs recorded in tests/facts/worked_examples.csv.
RECORDED = [
    (120, 60, 22e-9, 0.9936e-3, 0.4949),
    (117, 60, 100e-9, 4.3682e-3, 2.1758),
    (120, 60, 4.7e-9, 0.2126e-3, 0.1059),
    (240, 50, 10e-9, 0.7536e-3, 0.3758),
]


@pytest.mark.regression
@pytest.mark.parametrize(("volts", "hertz", "farads", "amps", "u2"), RECORDED)
def test_touch_current_through_a_line_to_chassis_capacitor(
    volts: float, hertz: float, farads: float, amps: float, u2: float
) -> None:
    """worked_examples.csv, ngspice 39, with the values of IEC 60990 Fig. 4."""
    touch = touch_current(through_capacitor(volts, farads), "chassis", hertz)
    assert touch.unweighted_amps == pytest.approx(amps, abs=6e-8)
    assert touch.u2_volts == pytest.approx(u2, abs=6e-5)
    assert touch.amps_rms == touch.u2_volts / 500
    assert touch.amps_peak == pytest.approx(touch.amps_rms * math.sqrt(2))


@pytest.mark.regression
def test_u1_of_22_nanofarads_on_120_volts() -> None:
    """ngspice and lcapy runs: U1 0.4966 V weighted; 0.49680 V across the 500 ohm arm of the unweighted network."""
    assert touch_current(through_capacitor(120, 22e-9), "chassis", 60).u1_volts == pytest.approx(0.4966, abs=5e-5)
    plain = touch_current(through_capacitor(120, 22e-9), "chassis", 60, network="unweighted")
    assert plain.u1_volts == pytest.approx(0.4968043975677446, rel=1e-12)
    assert plain.u2_volts == plain.u1_volts


SETS = st.fixed_dictionaries(
    {
        "volts": st.sampled_from([110.0, 117.0, 120.0, 230.0, 240.0]),
        "ohms": st.floats(1e3, 1e7),
        "farads": st.floats(1e-9, 1e-7),
        "load": st.floats(100, 1e4),
    }
)


@pytest.mark.parametrize("hertz", [50.0, 60.0])
@pytest.mark.parametrize(("ohms", "farads"), [(330e3, 50e-9), (1e6, 4.7e-9), (10e6, 3.3e-9), (220e3, 100e-9)])
@pytest.mark.parametrize("load", [800.0, 2200.0])
def test_body_on_a_chassis_behind_resistor_and_capacitor_agrees_with_ngspice(
    hertz: float, ohms: float, farads: float, load: float
) -> None:
    """Switch open in the return: the chassis comes up to the line through the heaters."""
    parts: list[NetworkElement] = [
        VoltageSource("hot", "earth", 120),
        Resistor("hot", "bminus", load),
        Resistor("bminus", "chassis", ohms),
        Capacitor("bminus", "chassis", farads),
    ]
    ours = touch_current(parts, "chassis", hertz)
    body = body_network("chassis")
    theirs = ngspice.alternating(
        ngspice.netlist([*parts, *body.elements]), hertz, ["v(chassis)", "v(chassis_u1_earth)", "v(chassis_u2_earth)"]
    )
    assert ours.u1_volts == pytest.approx(abs(theirs["v(chassis_u1_earth)"]), rel=1e-6)
    assert ours.u2_volts == pytest.approx(abs(theirs["v(chassis_u2_earth)"]), rel=1e-6)
    entering = (theirs["v(chassis)"] - theirs["v(chassis_u1_earth)"]) * (1 / 1500 + 2j * math.pi * hertz * 0.22e-6)
    assert ours.unweighted_amps == pytest.approx(abs(entering), rel=1e-6)
    assert ours.no_load_volts == pytest.approx(120)


def test_body_network_over_frequency_agrees_with_ngspice() -> None:
    for hertz in (15.0, 1e3, 20e3, 1e6):
        touch = touch_current(through_capacitor(10, 1e-6), "chassis", hertz)
        lines = ngspice.netlist([*through_capacitor(10, 1e-6), *body_network("chassis").elements])
        theirs = ngspice.alternating(lines, hertz, ["v(chassis_u2_earth)"])
        assert touch.u2_volts == pytest.approx(abs(theirs["v(chassis_u2_earth)"]), rel=1e-6)


def test_direct_current_mains_passes_resistors_only() -> None:
    """110 V DC: 1 megohm and the body's 2000 ohm; the weighting carries no current, so U2 is U1."""
    parts: list[NetworkElement] = [VoltageSource("plus", "earth", 110), Resistor("plus", "chassis", 1e6)]
    touch = touch_current(parts, "chassis", 0)
    assert touch.direct
    assert touch.amps_rms == pytest.approx(110 / 1.002e6, rel=1e-12)
    assert touch.amps_peak == touch.amps_rms
    assert touch.u1_volts == pytest.approx(touch.u2_volts, rel=1e-12)
    assert touch_current([parts[0], Capacitor("plus", "chassis", 1e-6)], "chassis", 0).amps_rms == 0


def test_floating_part_gives_exactly_no_current() -> None:
    """Behind an isolating transformer nothing returns to earth."""
    parts: list[NetworkElement] = [
        VoltageSource("hot", "earth", 120),
        VoltageSource("s1", "s2", 120),
        Wire("s1", "chassis"),
    ]
    touch = touch_current(parts, "chassis", 60)
    assert touch == Touch(
        frequency_hz=60,
        no_load_volts=None,
        u1_volts=0,
        u2_volts=0,
        amps_rms=0,
        amps_peak=0,
        unweighted_amps=0,
        prospective_amps=0,
    )
    assert meter_volts(parts, "chassis", 60) == 0


def test_both_hands_across_a_floating_winding_close_the_circuit() -> None:
    """An isolating transformer protects against one contact only. Closed form of 120 V into the body network."""
    parts: list[NetworkElement] = [VoltageSource("s1", "s2", 120), Resistor("s1", "s2", 800)]
    touch = touch_between(parts, "s1", "s2", 60)
    assert touch.no_load_volts == pytest.approx(120)
    skin_and_body = 500 + 1 / (1 / 1500 + 2j * math.pi * 60 * 0.22e-6)
    assert touch.unweighted_amps == pytest.approx(120 / abs(skin_and_body), rel=1e-3)
    assert touch.prospective_amps == math.inf


def test_chassis_joined_to_the_hot_lead_has_no_limit_but_the_body() -> None:
    touch = touch_current([VoltageSource("hot", "earth", 120), Wire("hot", "chassis")], "chassis", 60)
    skin = 1 / (1 / 1500 + 2j * math.pi * 60 * 0.22e-6)
    filtered = 10e3 + 1 / (2j * math.pi * 60 * 22e-9)
    body = 1 / (1 / 500 + 1 / filtered)
    assert touch.u1_volts == pytest.approx(120 * abs(body / (body + skin)), rel=1e-12)
    assert touch.prospective_amps == math.inf


def test_earth_on_a_live_chassis_is_a_dead_short() -> None:
    parts = [VoltageSource("hot", "earth", 120), Wire("hot", "chassis"), Wire("chassis", "earth")]
    with pytest.raises(NetworkError) as caught:
        touch_current(parts, "chassis", 60)
    assert caught.value.kind == "shorted source"


def test_part_already_on_earth_carries_nothing() -> None:
    touch = touch_current([VoltageSource("hot", "earth", 120), Wire("chassis", "earth")], "chassis", 60)
    assert (touch.no_load_volts, touch.amps_rms, touch.prospective_amps) == (0, 0, 0)


@pytest.mark.regression
def test_meter_shows_117_volts_where_a_quarter_of_a_milliampere_flows() -> None:
    """Earlier ngspice run of 1 megohm and 4.7 nF, plug reversed: 120 V, 117 V on a 10 megohm meter, 0.244 mA."""
    parts = [*through_capacitor(120, 4.7e-9), Resistor("hot", "chassis", 1e6)]
    touch = touch_current(parts, "chassis", 60)
    assert touch.no_load_volts == pytest.approx(120)
    assert meter_volts(parts, "chassis", 60) == pytest.approx(117, abs=0.5)
    assert touch.unweighted_amps == pytest.approx(0.244e-3, abs=5e-7)
    assert over_limit(touch) is False


@pytest.mark.handbook
def test_service_network_reads_half_a_percent_apart_from_its_own_rule() -> None:
    """Closed form: a source of 0.5 mA gives 0.5 mA times |1500 ohm parallel to 0.15 uF|.

    The hot check of receiver service manuals calls 0.75 V RMS across it 0.5 mA."""
    parts = [VoltageSource("hot", "earth", 5000), Resistor("hot", "chassis", 10e6)]
    volts = service_check_volts(parts, "chassis", 60)
    exact = 0.5e-3 * abs(1 / (1 / 1500 + 2j * math.pi * 60 * 0.15e-6))
    assert volts == pytest.approx(exact, rel=2e-4)
    assert volts == pytest.approx(0.75, rel=5e-3)


@pytest.mark.handbook
@pytest.mark.parametrize(("ohms", "farads"), [(1500.0, 0.15e-6), (1500.0, None), (None, 0.15e-6)])
def test_a_load_divides_the_volts_behind_a_capacitor(ohms: float | None, farads: float | None) -> None:
    """By hand, with complex impedances, on 120 V 60 Hz through 47 nF."""
    omega = 2 * math.pi * 60
    load = 1 / ((1 / ohms if ohms else 0) + 1j * omega * (farads or 0))
    volts = 120 * abs(load / (load + 1 / (1j * omega * 47e-9)))
    assert loaded_volts(through_capacitor(120, 47e-9), "chassis", 60, ohms, farads) == pytest.approx(volts, rel=1e-9)


def test_an_open_meter_reads_all_the_volts_and_one_of_ten_megohms_a_little_less() -> None:
    """A chassis floating behind 10 megohm: half of the line is left on a meter of 10 megohm."""
    parts = [VoltageSource("hot", "earth", 120), Resistor("hot", "chassis", 10e6)]
    assert meter_volts(parts, "chassis", 60) == pytest.approx(60)
    assert loaded_volts(parts, "chassis", 0, None, 1e-7) == pytest.approx(120)


def test_limit_of_0_35_volts_peak_is_0_7_milliamperes() -> None:
    """IEC 60065 Annex D, as service manuals reproduce it: U2 0.35 V peak is 0.7 mA peak, U1 1.0 V DC is 2.0 mA."""
    assert DEFAULT_LIMIT.amps * 500 == pytest.approx(0.35)
    assert DEFAULT_LIMIT.kind == "peak"
    assert DEFAULT_LIMIT.dc_amps is not None
    assert DEFAULT_LIMIT.dc_amps * 500 == pytest.approx(1.0)


def sine(rms: float, hertz: float = 60.0, no_load: float | None = 120.0) -> Touch:
    peak = rms if hertz == 0 else rms * math.sqrt(2)
    return Touch(hertz, no_load, rms * 500, rms * 500, rms, peak, rms, rms)


def test_half_a_milliampere_rms_is_just_over_0_7_peak() -> None:
    assert over_limit(sine(0.494e-3)) is False
    assert over_limit(sine(0.496e-3)) is True
    assert sine(0.495e-3).amps_peak * 500 == pytest.approx(0.35, abs=1e-4)


def test_direct_current_is_held_against_its_own_limit() -> None:
    assert over_limit(sine(1.9e-3, 0)) is False
    assert over_limit(sine(2.1e-3, 0)) is True
    assert over_limit(sine(1.9e-3, 0), LIMITS["IEC 60335-1 class II"]) is None


def test_class_two_appliance_limit_is_rms() -> None:
    """IEC 60335-1 to edition 4, class II, as quoted in a product-safety forum: 0.25 mA RMS."""
    assert over_limit(sine(0.249e-3), LIMITS["IEC 60335-1 class II"]) is False
    assert over_limit(sine(0.251e-3), LIMITS["IEC 60335-1 class II"]) is True


@pytest.mark.parametrize("limit", LIMITS.values(), ids=list(LIMITS))
def test_every_limit_says_where_it_comes_from_and_how_sure_it_is(limit: TouchLimit) -> None:
    assert 0.2e-3 < limit.amps < 1e-3
    assert limit.standard
    assert limit.source
    assert ("memory" in limit.source) <= (limit.confidence != "high")


def test_residual_current_devices() -> None:
    """UL 943B summary: trips between 4 and 6 mA; a 30 mA device between half and full (from memory)."""
    five, thirty = RESIDUAL_CURRENT_DEVICES["5 mA"], RESIDUAL_CURRENT_DEVICES["30 mA"]
    assert [trip(ma * 1e-3, five) for ma in (3.9, 5, 6)] == ["does not trip", "may trip", "trips"]
    assert [trip(ma * 1e-3, thirty) for ma in (15, 20, 30)] == ["does not trip", "may trip", "trips"]
    assert trip(math.inf, thirty) == "trips"


def set_with(
    conductors: tuple[str, str], volts: float, ohms: float, farads: float, load: float
) -> list[NetworkElement]:
    """B- on the second conductor of the plug; the chassis behind a resistor and a capacitor."""
    first, bminus = conductors
    return [
        VoltageSource("hot", "neutral", volts),
        Wire("neutral", "earth"),
        Resistor(first, bminus, load),
        Resistor(bminus, "chassis", ohms),
        Capacitor(bminus, "chassis", farads),
        Capacitor("chassis", first, farads / 10),
    ]


@settings(max_examples=40, derandomize=True)
@given(SETS)
def test_turning_the_plug_is_the_same_as_exchanging_the_conductors_names(values: dict[str, float]) -> None:
    """The set turned in its outlet, and the set as it was with the other conductor earthed at the wall."""
    turned = touch_current(set_with(("neutral", "hot"), **values), "chassis", 60)
    wall_exchanged = set_with(("hot", "neutral"), **values)
    wall_exchanged[1] = Wire("hot", "earth")
    exchanged = touch_current(wall_exchanged, "chassis", 60)
    assert turned.amps_rms == pytest.approx(exchanged.amps_rms, rel=1e-9)
    assert turned.no_load_volts == pytest.approx(exchanged.no_load_volts, rel=1e-9)


@settings(max_examples=40, derandomize=True)
@given(SETS)
def test_touch_current_is_thevenin_source_into_the_body(values: dict[str, float]) -> None:
    parts = set_with(("neutral", "hot"), **values)
    touch = touch_current(parts, "chassis", 60)
    source = solve(parts, 60).thevenin("chassis", "earth")
    assert source.open_volts is not None
    assert source.ohms is not None
    skin = 1 / (1 / 1500 + 2j * math.pi * 60 * 0.22e-6)
    filtered = 10e3 + 1 / (2j * math.pi * 60 * 22e-9)
    body = skin + 1 / (1 / 500 + 1 / filtered)
    assert touch.unweighted_amps == pytest.approx(abs(source.open_volts / (source.ohms + body)), rel=1e-9)
    assert touch.prospective_amps == pytest.approx(abs(source.open_volts / source.ohms), rel=1e-9)


@settings(max_examples=40, derandomize=True)
@given(SETS, st.floats(1.01, 3))
def test_larger_capacitor_never_means_less_touch_current(values: dict[str, float], factor: float) -> None:
    parts = through_capacitor(values["volts"], values["farads"])
    larger = through_capacitor(values["volts"], values["farads"] * factor)
    assert touch_current(larger, "chassis", 60).amps_rms > touch_current(parts, "chassis", 60).amps_rms
