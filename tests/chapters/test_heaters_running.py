"""A running string obeys Kirchhoff's law: what heaters, dropper and NTC resistor have is the line."""

from __future__ import annotations

import math

import pytest

import makers
from benchleaf.chapters.heaters.findings import HeatersFindings
from benchleaf.chapters.heaters.running import tap_heating_amps

TUBES = "tubes:\n  V1: UCH42\n  V2: UF41\n  V3: UBC41\n"
HEAD = "line: {} V 50 Hz\npower: series string\n" + TUBES + "heaters:\n"


def found(line: float, rows: str) -> HeatersFindings:
    made = makers.found("heaters", HEAD.format(line) + rows)
    assert isinstance(made, HeatersFindings)
    return made


@pytest.mark.parametrize("ohms", [0, 500, 1500])
@pytest.mark.parametrize("hot", [0, 40, 400])
def test_heaters_dropper_and_ntc_resistor_have_the_line(ohms: int, hot: int) -> None:
    rows = f"  dropper: {ohms} ohm 30 W\n" if ohms else ""
    rows += f"  ntc: cold 5500 ohm, hot {hot} ohm\n" if hot else ""
    run = found(120, rows or "  order: V1, V2, V3\n").nominal
    assert run is not None
    assert run.current_amps is not None
    heaters = sum(tube.volts or 0 for tube in run.tubes.values())
    assert heaters + (ohms + hot) * run.current_amps == pytest.approx(120, rel=1e-6)
    assert (run.dropper_volts or 0.0) == pytest.approx(ohms * run.current_amps)
    assert (run.dropper_watts or 0.0) == pytest.approx(ohms * run.current_amps**2)
    assert (run.thermistor_volts or 0.0) == pytest.approx(hot * run.current_amps)
    assert run.heat_watts == pytest.approx(120 * run.current_amps)


@pytest.mark.parametrize("hot", [0, 100])
def test_behind_a_barretter_the_ntc_resistor_has_its_volts_at_the_held_current(hot: int) -> None:
    """At 100 mA the heaters have their rated volts, 14 + 12.6 + 14 V (the tube table), and 100 ohm have 10 V."""
    rows = "  dropper: barretter 30-150 V 0.1 A\n" + (f"  ntc: cold 5500 ohm, hot {hot} ohm\n" if hot else "")
    run = found(120, rows).nominal
    assert run is not None
    assert run.current_amps == pytest.approx(0.1)
    heaters = sum(tube.volts or 0 for tube in run.tubes.values())
    assert run.dropper_volts == pytest.approx(120 - heaters - hot * 0.1)


def test_a_rectifiers_pulses_in_step_with_the_string_heat_more_than_they_carry() -> None:
    """By hand: k = sin 45°/(π/4) = 0.9003; total² = 0.1² + 2·0.1·√2·0.05·0.9003 + 0.1², less 0.1 A."""
    k = math.sin(math.pi / 4) / (math.pi / 4)
    total = math.sqrt(0.1**2 + 2 * 0.1 * math.sqrt(2) * 0.05 * k + (2 * 0.05) ** 2)
    assert tap_heating_amps(0.1, 0.05, direct_current=False) == pytest.approx(total - 0.1)
    assert tap_heating_amps(0.1, 0.05, direct_current=True) == 0.05
