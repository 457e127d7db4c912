"""Heaters with a shunt or a lamp across them: by hand, against print, against ngspice."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import ngspice
from benchleaf.electrics.barretters import Barretter, behind_barretter
from benchleaf.electrics.bridges import Bridged, shunt_for
from benchleaf.electrics.heaters import HeaterElement, HeaterTap, pilot_lamp, running_string

SIX, TWELVE, OUTPUT = HeaterElement(6.3, 0.3), HeaterElement(12.6, 0.15), HeaterElement(25, 0.3)


def heater_lines(name: str, a: str, b: str, heater: HeaterElement) -> list[str]:
    """A heater for ngspice: a voltage that follows the power of its own current."""
    law = f"{heater.volts!r}*sgn(i(VS{name}))*pow(abs(i(VS{name}))/{heater.amps!r},{1 / heater.exponent!r})"
    return [f"VS{name} {a} {a}{name} 0", f"B{name} {a}{name} {b} V={law}"]


def test_shunt_that_takes_the_rest_of_the_string() -> None:
    """12.6 V at 0.15 A in a 0.3 A string: 12.6/0.15 = 84 ohm, by Ohm's law."""
    assert shunt_for(12.6, 0.15, 0.3) == pytest.approx(84)
    assert shunt_for(6.3, 0.3, 0.3) is None
    running = running_string([SIX, OUTPUT, Bridged((TWELVE,), 84)], 43.9)
    assert running.current_amps == pytest.approx(0.3)
    assert running.heater_volts == pytest.approx([6.3, 25, 12.6])


def test_lamp_with_its_shunt_in_a_300_milliamp_string() -> None:
    """6.3 V over the 0.15 A that the lamp leaves is 42 ohm, by Ohm\'s law; less makes the lamp dimmer."""
    lamp = pilot_lamp(6.3, 0.15)
    assert shunt_for(6.3, 0.15, 0.3) == pytest.approx(42)
    assert Bridged((lamp,), 42).volts_at(0.3) == pytest.approx(6.3)
    assert Bridged((lamp,), 39).volts_at(0.3) < 6.3


@pytest.mark.parametrize("line", [105.0, 117.0, 129.0])
@pytest.mark.parametrize("ohms", [60.0, 84.0, 150.0])
def test_shunt_across_two_heaters_agrees_with_ngspice(line: float, ohms: float) -> None:
    string = [SIX, OUTPUT, Bridged((TWELVE, TWELVE), ohms)]
    lines = [f"Vline n0 0 {line}", "Rd n0 n1 150", *heater_lines("A", "n1", "n2", SIX)]
    lines += [*heater_lines("B", "n2", "n3", OUTPUT), *heater_lines("C", "n3", "n4", TWELVE)]
    lines += [*heater_lines("D", "n4", "0", TWELVE), f"Rs n3 0 {ohms}"]
    theirs = ngspice.direct(lines, ["v(n1)", "v(n2)", "v(n3)", "v(n4)", "i(vsc)"])
    ours = running_string(string, line, 150)
    assert ours.heater_volts[0] == pytest.approx(theirs["v(n1)"] - theirs["v(n2)"], rel=1e-6)
    assert ours.heater_volts[2] == pytest.approx(theirs["v(n3)"], rel=1e-6)
    inside = string[2].running(ours.current_amps)  # type: ignore[union-attr]
    assert inside.heater_amps == pytest.approx(theirs["i(vsc)"], rel=1e-6)
    assert inside.heater_volts[1] == pytest.approx(theirs["v(n4)"], rel=1e-6)
    assert inside.heater_amps + inside.shunt_amps == pytest.approx(ours.current_amps, rel=1e-9)


def test_lamp_across_a_whole_heater_agrees_with_ngspice() -> None:
    lamp = pilot_lamp(6.3, 0.15)
    lines = ["Vline n0 0 117", "Rd n0 n1 200", *heater_lines("A", "n1", "n2", OUTPUT)]
    lines += [*heater_lines("B", "n2", "0", SIX), *heater_lines("L", "n2", "0", lamp)]
    theirs = ngspice.direct(lines, ["v(n2)", "i(vsl)", "i(vsb)"])
    bridged = Bridged((SIX,), None, lamp)
    ours = running_string([OUTPUT, bridged], 117, 200)
    inside = bridged.running(ours.current_amps)
    assert ours.heater_volts[1] == pytest.approx(theirs["v(n2)"], rel=1e-6)
    assert inside.lamp_amps == pytest.approx(theirs["i(vsl)"], rel=1e-6)
    assert inside.heater_amps == pytest.approx(theirs["i(vsb)"], rel=1e-6)


def test_tap_with_lamp_and_shunt_agrees_with_ngspice() -> None:
    """A shunt across the tap section, as sets with more plate current have it; plate current from the tap."""
    whole, rest_of = HeaterElement(35, 0.15), HeaterElement(87.8, 0.15)
    section, rest = whole.part(7.5 / 35), whole.part(27.5 / 35)
    lamp = pilot_lamp(6.3, 0.15)
    lines = ["Vline n0 0 120", *heater_lines("S", "n0", "n1", section), *heater_lines("L", "n0", "n1", lamp)]
    lines += ["Rs n0 n1 150", "Iplate n1 0 0.08", *heater_lines("R", "n1", "n2", rest)]
    lines += heater_lines("H", "n2", "0", rest_of)
    theirs = ngspice.direct(lines, ["v(n0)", "v(n1)", "i(vsl)", "i(vsr)"])
    tap = running_string([whole, rest_of], 120, tap=HeaterTap(0, 7.5 / 35, lamp, 0.08, 150))
    assert tap.tap is not None
    assert tap.tap.volts == pytest.approx(theirs["v(n0)"] - theirs["v(n1)"], rel=1e-6)
    assert tap.tap.lamp_amps == pytest.approx(theirs["i(vsl)"], rel=1e-6)
    assert tap.current_amps == pytest.approx(theirs["i(vsr)"], rel=1e-6)
    alone = running_string([whole, rest_of], 120, tap=HeaterTap(0, 7.5 / 35, None, 0.08, 150)).tap
    assert alone is not None
    assert alone.lamp_amps == 0
    assert alone.volts > tap.tap.volts


@pytest.mark.handbook
@pytest.mark.parametrize(
    ("amps", "low", "high"),
    [(0.3, 95, 165), (0.2, 80, 200), (0.1, 15, 40)],
    ids=["r-type.org, type 304", "Museums Victoria, item 415424", "Museums Victoria, item 415207"],
)
def test_published_barretters_hold_their_current(amps: float, low: float, high: float) -> None:
    """Currents and ranges as printed there; on either side of the range a string of 40 V is no longer held."""
    tube = Barretter(amps, low, high)
    for left, held in ((low - 1, False), (low, True), (high, True), (high + 1, False)):
        run = behind_barretter([HeaterElement(40, amps)], 40 + left, tube)
        assert run.regulating is held
        assert run.heater_volts == (40,)


@pytest.mark.parametrize("wrong", [lambda: Bridged(()), lambda: Bridged((SIX,), 0), lambda: Bridged((SIX,), -1)])
def test_bridge_that_cannot_be_is_refused(wrong: object) -> None:
    assert callable(wrong)
    with pytest.raises(ValueError, match="bridge"):
        wrong()


@settings(max_examples=60, derandomize=True)
@given(st.floats(20, 240), st.floats(1, 2000), st.floats(0, 500), st.booleans())
def test_shares_add_up_and_more_line_is_never_less_current(line: float, shunt: float, ohms: float, lamp: bool) -> None:
    bridged = Bridged((TWELVE, SIX), shunt, pilot_lamp(18, 0.1) if lamp else None)
    low, high = (running_string([OUTPUT, bridged], v, ohms) for v in (line, line * 1.05))
    assert math.fsum(low.heater_volts) + low.dropper_volts == pytest.approx(line, rel=1e-9)
    assert high.current_amps > low.current_amps
    inside = bridged.running(low.current_amps)
    assert inside.heater_amps + inside.lamp_amps + inside.shunt_amps == pytest.approx(low.current_amps, rel=1e-9)
