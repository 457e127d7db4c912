"""Series heater strings as they run: exact by ratio, against ngspice with behavioural heaters, against print."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import ngspice
from benchleaf.electrics.heaters import (
    COLD_INRUSH_RATIO,
    HEATER_CURRENT_EXPONENT,
    LAMP_CURRENT_EXPONENT,
    HeaterElement,
    HeaterTap,
    Running,
    Shunted,
    inrush_amps,
    pilot_lamp,
    running_string,
)

RECTIFIER, OUTPUT, TWELVE = HeaterElement(35, 0.15), HeaterElement(50, 0.15), HeaterElement(12.6, 0.15)
FIVE_TUBES = [RECTIFIER, OUTPUT, TWELVE, TWELVE, TWELVE]
LAMP_47 = pilot_lamp(6.3, 0.15)
TAP = HeaterTap(0, 7.5 / 35, LAMP_47, 0.05)


def heater_lines(name: str, a: str, b: str, heater: HeaterElement) -> list[str]:
    """A heater for ngspice: a voltage that follows the power of its own current."""
    law = f"{heater.volts!r}*sgn(i(VS{name}))*pow(abs(i(VS{name}))/{heater.amps!r},{1 / heater.exponent!r})"
    return [f"VS{name} {a} {a}{name} 0", f"B{name} {a}{name} {b} V={law}"]


def test_hundred_and_fifty_milliamp_string_on_117_volts() -> None:
    """35W4, 50C5 and three 12.6 V tubes make 122.8 V: on 117 V each runs at 117/122.8 of its rating."""
    running = running_string(FIVE_TUBES, 117)
    assert running.heater_volts == pytest.approx([h.volts * 117 / 122.8 for h in FIVE_TUBES], rel=1e-15)
    assert running.current_amps == pytest.approx(0.15 * (117 / 122.8) ** 0.6, rel=1e-15)
    assert running.dropper_volts == 0


def test_string_at_its_rated_sum_runs_at_its_rating() -> None:
    running = running_string(FIVE_TUBES, 122.8)
    assert running.heater_volts == (35, 50, 12.6, 12.6, 12.6)
    assert running.current_amps == 0.15


@pytest.mark.handbook
def test_240_volt_string_with_its_published_dropper_runs_at_its_rating() -> None:
    """vintage-radio.com, heater dropper calculations: 14, 12.6, 14, 45 and 31 V at 0.1 A on 240 V need 1234 ohm."""
    string = [HeaterElement(v, 0.1) for v in (14, 12.6, 14, 45, 31)]
    running = running_string(string, 240, 1234)
    assert running.current_amps == pytest.approx(0.1, rel=1e-9)
    assert running.dropper_volts == pytest.approx(123.4, rel=1e-9)
    assert running.dropper_watts == pytest.approx(12.34, rel=1e-9)


@pytest.mark.handbook
def test_tapped_rectifier_shares_its_current_with_the_lamp() -> None:
    """Wireless World note on the 35Z5GT (r-type.org): of 150 mA and the plate's share, lamp about 110, section 90."""
    running = running_string(FIVE_TUBES, line_for(0.15), tap=TAP)
    assert running.tap is not None
    assert running.current_amps == pytest.approx(0.15, rel=1e-6)
    assert running.tap.lamp_amps == pytest.approx(0.110, rel=0.04)
    assert running.tap.section_amps == pytest.approx(0.090, rel=0.04)
    assert running.tap.lamp_amps + running.tap.section_amps == pytest.approx(0.200, rel=1e-9)
    assert running.heater_volts[0] < 35


def line_for(amps: float) -> float:
    """Line volts at which the five tubes with tap and lamp carry ``amps``, worked out by bisection."""
    low, high = 0.0, 7.5
    for _ in range(200):
        mid = (low + high) / 2
        drawn = 0.15 * (mid / 7.5) ** 0.6 + 0.15 * (mid / 6.3) ** 0.55
        low, high = (mid, high) if drawn < amps + 0.05 else (low, mid)
    return low + (27.5 + 50 + 3 * 12.6) * (amps / 0.15) ** (1 / 0.6)


@pytest.mark.handbook
def test_five_percent_more_volts_draw_three_percent_more_amperes() -> None:
    """Emission Labs Technical Note TN-03, on tube heaters near their rating."""
    assert HeaterElement(6.3, 0.3).amps_at(6.3 * 1.05) / 0.3 == pytest.approx(1.03, abs=0.001)


@pytest.mark.handbook
def test_lamp_and_heater_exponents_are_the_published_ones() -> None:
    """Fink and Beaty p. 22-8 (lamps, 0.55); TN-03: ln 1.03 / ln 1.05 = 0.606."""
    assert LAMP_CURRENT_EXPONENT == 0.55
    assert pytest.approx(math.log(1.03) / math.log(1.05), abs=0.01) == HEATER_CURRENT_EXPONENT


def test_dropper_string_swings_more_than_its_line() -> None:
    """Closed form for small changes: 10 % / (f + n (1 - f)), f the heaters' share of the line; 0.27 gives 14 %."""
    string = [HeaterElement(6.3, 0.3)] * 3 + [HeaterElement(12.6, 0.3)]
    dropper = (117 - 31.5) / 0.3
    nominal, high = (running_string(string, line, dropper).heater_volts[0] for line in (117, 117 * 1.1))
    assert nominal == pytest.approx(6.3)
    assert 0.12 < high / nominal - 1 < 0.15


def test_wrong_tube_in_a_socket_takes_the_volts_its_current_asks_for() -> None:
    """A 0.3 A heater in a 0.15 A string runs dark, (1/2)^(1/0.6) of its rating where the others run at theirs."""
    string = [HeaterElement(50, 0.15), HeaterElement(35, 0.15), HeaterElement(12.6, 0.15), HeaterElement(6.3, 0.3)]
    at_rating = 97.6 + 6.3 * 0.5 ** (1 / 0.6)
    running = running_string(string, at_rating)
    assert running.current_amps == pytest.approx(0.15, rel=1e-12)
    assert running.heater_volts == pytest.approx([50, 35, 12.6, 6.3 * 0.5 ** (1 / 0.6)], rel=1e-12)


def test_shorted_heater_makes_the_others_run_bright() -> None:
    whole, shorted = running_string(FIVE_TUBES, 117), running_string(FIVE_TUBES[:4], 117)
    assert all(s > w for s, w in zip(shorted.heater_volts, whole.heater_volts, strict=False))


def test_ratio_and_numerical_solution_are_the_same_where_both_apply() -> None:
    mixed = [HeaterElement(50, 0.15), HeaterElement(6.3, 0.3), HeaterElement(12.6, 0.225)]
    exact = running_string(mixed, 60)
    found = running_string([*mixed[:2], Shunted(mixed[2], math.inf)], 60)
    assert found.heater_volts == pytest.approx(exact.heater_volts, rel=1e-12)
    assert found.current_amps == pytest.approx(exact.current_amps, rel=1e-12)


@pytest.mark.parametrize("line", [90.0, 117.0, 132.0])
@pytest.mark.parametrize("ohms", [0.0, 40.0, 160.0])
def test_string_with_dropper_agrees_with_ngspice(line: float, ohms: float) -> None:
    """Two exponents (one heater is a lamp), so that no ratio applies; ngspice 39 with behavioural heaters."""
    string = [RECTIFIER, HeaterElement(25, 0.3), LAMP_47, TWELVE]
    lines = [f"Vline n0 0 {line}"]
    for k, heater in enumerate(string):
        lines += heater_lines(f"H{k}", f"n{k}", f"n{k + 1}", heater)
    lines.append(f"Rd n4 0 {max(ohms, 1e-9)!r}")
    theirs = ngspice.direct(lines, [f"v(n{k})" for k in range(5)])
    ours = running_string(string, line, ohms)
    for k in range(4):
        assert ours.heater_volts[k] == pytest.approx(theirs[f"v(n{k})"] - theirs[f"v(n{k + 1})"], rel=1e-6, abs=1e-9)
    assert ours.dropper_volts == pytest.approx(theirs["v(n4)"], rel=1e-6, abs=1e-6)


@pytest.mark.parametrize("line", [105.0, 117.0, 129.0])
@pytest.mark.parametrize("plate", [0.0, 0.05, 0.09])
def test_rectifier_tap_with_pilot_lamp_agrees_with_ngspice(line: float, plate: float) -> None:
    """Lamp parallel to the tap section, plate current drawn from the tap as a current source."""
    section, rest = RECTIFIER.part(7.5 / 35), RECTIFIER.part(27.5 / 35)
    lines = [f"Vline n0 0 {line}", *heater_lines("S", "n0", "n1", section), *heater_lines("L", "n0", "n1", LAMP_47)]
    lines += [f"Iplate n1 0 {plate!r}", *heater_lines("R", "n1", "n2", rest)]
    for k, heater in enumerate(FIVE_TUBES[1:]):
        lines += heater_lines(f"H{k}", f"n{k + 2}", "0" if k == 3 else f"n{k + 3}", heater)
    theirs = ngspice.direct(lines, ["v(n0)", "v(n1)", "v(n2)", "i(vsl)", "i(vss)", "i(vsr)"])
    ours = running_string(FIVE_TUBES, line, tap=HeaterTap(0, 7.5 / 35, LAMP_47, plate))
    assert ours.tap is not None
    assert ours.tap.volts == pytest.approx(theirs["v(n0)"] - theirs["v(n1)"], rel=1e-6)
    assert ours.tap.lamp_amps == pytest.approx(theirs["i(vsl)"], rel=1e-6)
    assert ours.tap.section_amps == pytest.approx(theirs["i(vss)"], rel=1e-6)
    assert ours.current_amps == pytest.approx(theirs["i(vsr)"], rel=1e-6)
    assert ours.heater_volts[0] == pytest.approx(theirs["v(n0)"] - theirs["v(n2)"], rel=1e-6)


def test_burnt_out_lamp_leaves_string_and_plate_current_to_the_section() -> None:
    """Nuts and Volts on the 35W4: with the lamp open the section carries it all and overheats."""
    lit = running_string(FIVE_TUBES, 117, tap=TAP).tap
    dark_string = running_string(FIVE_TUBES, 117, tap=HeaterTap(0, 7.5 / 35, None, 0.05))
    dark = dark_string.tap
    assert lit is not None
    assert dark is not None
    assert dark.section_amps == pytest.approx(dark_string.current_amps + 0.05)
    assert dark.volts > 7.5 > lit.volts
    assert dark.lamp_amps == 0


def test_series_lamp_with_its_shunt_agrees_with_ngspice() -> None:
    """cool386.com, dial lamps: a 6.3 V 0.25 A lamp with 38 ohm across it in a 0.3 A string of 45.1 V."""
    string = [HeaterElement(6.3, 0.3), HeaterElement(6.3, 0.3), HeaterElement(6.3, 0.3), HeaterElement(26.2, 0.3)]
    lamp = pilot_lamp(6.3, 0.25)
    lines = ["Vline n0 0 117"]
    for k, heater in enumerate([*string, lamp]):
        lines += heater_lines(f"H{k}", f"n{k}", f"n{k + 1}", heater)
    lines += ["Rs n4 n5 38", "Rd n5 0 225"]
    theirs = ngspice.direct(lines, ["v(n4)", "v(n5)", "i(vsh0)"])
    ours = running_string([*string, Shunted(lamp, 38)], 117, 225)
    assert ours.heater_volts[4] == pytest.approx(theirs["v(n4)"] - theirs["v(n5)"], rel=1e-6)
    assert ours.current_amps == pytest.approx(theirs["i(vsh0)"], rel=1e-6)
    assert ours.heater_volts[4] < 6.3


def test_series_capacitor_string_agrees_with_ngspice() -> None:
    """Each heater as the resistor it is at its running point: an AC run must give the same volts and current."""
    string = [HeaterElement(v, 0.1) for v in (14, 12.6, 14, 45, 31)]
    ours = running_string(string, 240, 50.0, capacitor_farads=1.5e-6, frequency_hz=50)
    lines = ["Vline n0 0 DC 0 AC 240", "Cs n0 n1 1.5u", "Rd n1 n2 50"]
    for k, volts in enumerate(ours.heater_volts):
        lines.append(f"RH{k} n{k + 2} {0 if k == 4 else f'n{k + 3}'} {volts / ours.current_amps!r}")
    theirs = ngspice.alternating(lines, 50, ["v(n1)", "v(n2)", "i(vline)"])
    assert abs(theirs["i(vline)"]) == pytest.approx(ours.current_amps, rel=1e-6)
    assert abs(theirs["v(n1)"]) == pytest.approx(ours.string_volts, rel=1e-6)
    assert abs(240 - theirs["v(n1)"]) == pytest.approx(ours.capacitor_volts, rel=1e-6)
    assert math.hypot(ours.string_volts, ours.capacitor_volts) == pytest.approx(240, rel=1e-12)


def test_capacitor_right_at_60_hertz_is_not_at_50() -> None:
    string = [HeaterElement(v, 0.15) for v in (35, 12.6, 12.6)]
    sixty, fifty = (running_string(string, 117, capacitor_farads=4e-6, frequency_hz=f) for f in (60, 50))
    assert fifty.current_amps < sixty.current_amps


def test_half_wave_diode_heats_as_ngspice_measures_it() -> None:
    """Ideal diode (N = 0.01) into the string's running resistance: RMS current of twenty cycles."""
    string = [HeaterElement(v, 0.1) for v in (14, 12.6, 14, 45, 31)]
    ours = running_string(string, 230, 300.0, half_wave=True)
    ohms = ours.string_volts / ours.current_amps
    lines = [f"Vline n0 0 SIN(0 {230 * math.sqrt(2)!r} 50)", "D1 n0 n1 ideal", f"Rs n1 0 {ohms!r}"]
    lines += [".model ideal D(N=0.01)", "Bi q 0 V=v(n1)"]
    found = ngspice.measured(lines, "20u 0.4 0 20u", {"heat": "RMS v(q) FROM=0.2 TO=0.4"})
    assert ours.string_volts == pytest.approx(found["heat"], rel=1e-3)
    assert ours.string_volts == pytest.approx(230 / math.sqrt(2))


def test_cold_string_draws_several_times_its_running_current() -> None:
    """Ratio 7.2 (audioXpress, September 2004, Table 1): 115 ohm of cold heaters, or with 100 ohm in series 215."""
    string = [HeaterElement(124.2, 0.15)]
    assert inrush_amps(string, 115) == pytest.approx(1.0)
    assert inrush_amps(string, 115, 100) == pytest.approx(115 / 215)
    assert inrush_amps(string, 115, cold_ratio=COLD_INRUSH_RATIO[0]) < inrush_amps(string, 115)


def test_no_line_no_current() -> None:
    dark = Running(0, 0, 0, (0, 0), 0, 0, 0)
    assert running_string([TWELVE, TWELVE], 0) == dark
    assert running_string([TWELVE, TWELVE], 0, 100) == dark


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: running_string([], 117),
        lambda: running_string(FIVE_TUBES, -1),
        lambda: running_string(FIVE_TUBES, math.nan),
        lambda: running_string(FIVE_TUBES, 117, -5),
        lambda: running_string(FIVE_TUBES, 117, capacitor_farads=1e-6),
        lambda: running_string(FIVE_TUBES, 117, capacitor_farads=1e-6, frequency_hz=60, half_wave=True),
        lambda: running_string(FIVE_TUBES, 117, tap=HeaterTap(5, 0.2, LAMP_47)),
        lambda: running_string(FIVE_TUBES, 0.001, tap=TAP),
        lambda: HeaterElement(0, 0.15),
        lambda: HeaterElement(6.3, math.nan),
        lambda: HeaterTap(0, 1.0, None),
        lambda: Shunted(LAMP_47, 0),
    ],
)
def test_string_that_cannot_be_is_refused(wrong: object) -> None:
    assert callable(wrong)
    with pytest.raises(ValueError, match=r"."):
        wrong()


heaters = st.builds(
    HeaterElement,
    st.floats(1, 117),
    st.sampled_from([0.1, 0.15, 0.3, 0.45]),
    st.sampled_from([HEATER_CURRENT_EXPONENT, LAMP_CURRENT_EXPONENT, 0.5]),
)
strings = st.lists(heaters, min_size=1, max_size=7)
properties = settings(max_examples=80, derandomize=True)


@properties
@given(strings, st.floats(10, 260), st.floats(0, 2000))
def test_shares_add_up_to_the_line(string: list[HeaterElement], line: float, ohms: float) -> None:
    running = running_string(string, line, ohms)
    assert math.fsum(running.heater_volts) + running.dropper_volts == pytest.approx(line, rel=1e-9)
    for heater, volts in zip(string, running.heater_volts, strict=True):
        assert heater.amps_at(volts) == pytest.approx(running.current_amps, rel=1e-9)


@properties
@given(strings, st.floats(10, 200), st.floats(1.001, 1.5), st.floats(0, 2000), st.floats(1e-7, 1e-4))
def test_more_line_never_means_less_current(
    string: list[HeaterElement], line: float, more: float, ohms: float, farads: float
) -> None:
    for extra in ({}, {"capacitor_farads": farads, "frequency_hz": 60.0}):
        low = running_string(string, line, ohms, **extra)
        high = running_string(string, line * more, ohms, **extra)
        assert high.current_amps > low.current_amps
        assert all(h > v for h, v in zip(high.heater_volts, low.heater_volts, strict=True))


@properties
@given(strings, st.floats(50, 240))
def test_order_of_the_string_changes_nothing(string: list[HeaterElement], line: float) -> None:
    turned = list(reversed(string))
    assert running_string(turned, line, 50).current_amps == pytest.approx(
        running_string(string, line, 50).current_amps, rel=1e-9
    )
